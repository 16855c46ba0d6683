"""The versions of a shop's files, read through the git that is installed.

A repository may have come from anywhere, and its configuration can name programs to run: no hook, monitor, pager,
filter, signature check, external diff or remote of it is ever called. The working tree is not looked at through git.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import IO

from flipbook.measures.unreadable import shown
from flipbook.shop.problems import visible

PATIENCE = 60
"""Seconds that one answer of git may take."""
SUBJECT = 200
"""Columns of a commit's subject that are asked for."""

# Everything that git may call a program for, or that changes how it answers, is set against the repository's own word.
_SETTINGS = (
    "core.fsmonitor=false", "core.hooksPath=/dev/null", "core.pager=cat", "core.quotepath=off", "core.askPass=",
    "diff.orderFile=/dev/null", "diff.external=", "diff.relative=false", "log.showSignature=false", "log.showRoot=true", "log.follow=false",
    "log.mailmap=false", "protocol.allow=never", "color.ui=false",
)  # fmt: skip
_PLAINLY = (
    "--encoding=UTF-8",
    "--no-show-signature",
    "--no-notes",
    "--no-color",
    "--no-ext-diff",
    "--no-textconv",
    "--no-relative",
)
_LOG = ("log", "--topo-order", "-z", *_PLAINLY)  # fmt: skip
_PIECES = ":(top,glob)**/pieces/*/piece.yaml"
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?=T)")
_NO_BLOB = re.compile("0+")


class NoHistory(Exception):
    """There is no history to read; `says` and `write` are sentences without a full stop."""

    def __init__(self, says: str, write: str) -> None:
        super().__init__(f"{says}; {write}")
        self.says = says
        self.write = write


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """What a commit did to one file. Paths are from the top of the repository."""

    path: str
    was: str
    """The path before; another one where the file was renamed."""
    before: tuple[str, ...]
    """The blob in each parent; an empty text where a parent has none."""
    after: str
    """The blob in the commit; an empty text where the file was taken away."""

    @property
    def is_new(self) -> bool:
        return not any(self.before)


@dataclass(frozen=True, kw_only=True, slots=True)
class Commit:
    """A commit, and what it did to the files that were asked for."""

    name: str
    day: str
    """The committer's own date, 2026-02-14; nothing where it has none that can be read."""
    subject: str
    is_first: bool
    """Nothing comes before it, in this clone."""
    changes: tuple[Change, ...]


class Repository:
    """The git repository around a shop's folder."""

    def __init__(self, folder: Path) -> None:
        """Raises NoHistory when there is no git, no repository, or no commit in it."""
        program = shutil.which("git")
        if program is None:
            raise NoHistory(
                "git is not installed, or not on the PATH, and a piece's history is read from git", "install git"
            )
        self._words = [program, "-C", os.path.abspath(folder), "--no-pager"]
        for setting in _SETTINGS:
            self._words += ["-c", setting]
        asked = self._run("rev-parse", "--is-shallow-repository", "--is-inside-work-tree", "--show-prefix")
        if asked.returncode:
            raise _no_repository(asked.stderr)
        with _understood():
            shallow, inside, prefix = os.fsdecode(asked.stdout).split("\n", 2)
        if inside != "true":
            raise NoHistory("the shop's folder is not in a working tree of git", "open it where it is checked out")
        self.is_shallow = shallow == "true"
        self.prefix = prefix.removesuffix("\n")
        """The shop's folder from the top of the repository, with a slash at its end, or nothing."""
        if self._run("rev-parse", "--verify", "--quiet", "HEAD^{commit}").returncode:
            raise NoHistory("nothing has been committed here yet", "commit the shop's files, and their history starts")

    def commits(self, files: Iterable[str], folders: Iterable[str]) -> list[Commit]:
        """Every commit that touched one of the files or folders, children before parents whatever their dates say.

        A file that was renamed is new under one name and gone under the other; see `renames`.
        """
        form = "%x00".join(("%H", "%P", "%cI", f"%<({SUBJECT},trunc)%s"))
        words = (
            "--raw",
            "-c",
            "--no-renames",
            "--no-abbrev",
            f"--format={form}",
            "--",
            *_literal(files),
            *_literal(folders),
        )
        with _understood():
            return list(_commits(self._answer(*_LOG, *words).split(b"\0")))

    def renames(self, commit: Commit) -> list[Change]:
        """The logs of pieces that a commit renamed, whatever their names."""
        if commit.is_first:
            return []
        words = (
            "-r",
            "-z",
            "--raw",
            "-M",
            "-l1000",
            "--diff-filter=R",
            "--no-abbrev",
            "--no-commit-id",
            "--no-relative",
        )
        fields = self._answer("diff-tree", *words, "--no-ext-diff", commit.name, "--", _PIECES).split(b"\0")
        found, at = [], 0
        with _understood():
            while at < len(fields) and fields[at].startswith(b":"):
                change, at = _change(fields[at], fields, at + 1)
                found.append(change)
        return found

    @cached_property
    def has_merges(self) -> bool:
        """Whether lines of work were ever brought together."""
        return bool(self._answer("rev-list", "--merges", "--max-count=1", "HEAD"))

    def making(self, files: Iterable[str]) -> frozenset[str]:
        """The commits that made these files what they are; what a merge did not take over has made nothing of them."""
        answer = self._answer(*_LOG, "--format=%H", "--", *_literal(files))
        with _understood():
            return frozenset(answer.decode("ascii").split("\0"))

    def short_names(self, names: Iterable[str]) -> dict[str, str]:
        """The short names of commits, as git tells them apart."""
        with _asking(list(names)) as asked:
            answer = self._answer(
                "log", "--no-walk=unsorted", "--stdin", "-z", "--format=%H%x00%h", *_PLAINLY, stdin=asked
            )
        with _understood():
            fields = answer.decode("ascii").split("\0")
        return dict(zip(fields[::2], fields[1::2], strict=False))

    def standing(self, *paths: str) -> dict[str, str]:
        """The blobs of files as they were last committed, by path."""
        answer = self._answer("ls-tree", "-r", "-z", "--full-tree", "HEAD", "--", *paths)
        entries = (entry.partition(b"\t") for entry in answer.split(b"\0") if entry)
        with _understood():
            return {os.fsdecode(path): facts.split()[2].decode("ascii") for facts, _, path in entries}

    def contents(self, blobs: Iterable[str], most: int) -> Iterator[tuple[str, bytes | None]]:
        """The bytes of blobs, one after the other; None for one of more than `most` bytes, or that is not there."""
        wanted = list(dict.fromkeys(blobs))
        sizes = dict(self._sizes(wanted))
        small = [blob for blob in wanted if 0 <= sizes.get(blob, -1) <= most]
        yield from ((blob, None) for blob in wanted if not 0 <= sizes.get(blob, -1) <= most)
        if not small:
            return
        with _asking(small) as asked, self._start("cat-file", "--batch", stdin=asked) as running:
            assert running.stdout is not None
            try:
                for blob in small:
                    yield blob, _next_content(running.stdout, blob)
            finally:
                running.kill()

    def _sizes(self, blobs: Sequence[str]) -> Iterator[tuple[str, int]]:
        with _asking(blobs) as asked:
            answer = self._run(
                "cat-file", "--batch-check=%(objectname) %(objecttype) %(objectsize)", stdin=asked
            ).stdout
        for line in answer.splitlines():
            name, _, said = line.decode("ascii", "replace").partition(" ")
            kind, _, size = said.partition(" ")
            if kind == "blob":
                yield name, int(size)

    def _answer(self, *words: str, stdin: IO[bytes] | None = None) -> bytes:
        """What git answers. Raises NoHistory with its reason when it does not."""
        ran = self._run(*words, stdin=stdin)
        if ran.returncode:
            raise NoHistory(
                f"git could not be asked: {_first_line(ran.stderr)}", "look at it with `git status` and `git log`"
            )
        return ran.stdout

    def _run(self, *words: str, stdin: IO[bytes] | None = None) -> subprocess.CompletedProcess[bytes]:
        try:
            return subprocess.run(
                [*self._words, *words],
                env=_environment(),
                stdin=stdin or subprocess.DEVNULL,
                capture_output=True,
                timeout=PATIENCE,
                check=False,
            )
        except subprocess.TimeoutExpired:
            raise NoHistory(f"git gave no answer in {PATIENCE} seconds", "try `git log` in the shop's folder") from None
        except OSError as fault:
            raise NoHistory(
                f"git cannot be run: {(fault.strerror or '').lower()}", "look at how it is installed"
            ) from None

    def _start(self, *words: str, stdin: IO[bytes]) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            [*self._words, *words],
            env=_environment(),
            stdin=stdin,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )


@contextmanager
def _understood() -> Iterator[None]:
    """Whatever stands in place of git may answer anything. Raises NoHistory when it cannot be read."""
    try:
        yield
    except (ValueError, IndexError):
        says = "git gave an answer that cannot be read"
        raise NoHistory(says, "look whether `git log` answers in the shop's folder") from None


@contextmanager
def _asking(names: Sequence[str]) -> Iterator[IO[bytes]]:
    """A file that holds the names, so that git can read on while its answer waits to be read."""
    with tempfile.TemporaryFile() as asked:
        asked.write("".join(f"{name}\n" for name in names).encode("ascii"))
        asked.seek(0)
        yield asked


def _literal(paths: Iterable[str]) -> list[str]:
    """Paths from the top of the repository, in which no sign means anything but itself."""
    return [f":(top,literal){path}" for path in paths]


def _environment() -> dict[str, str]:
    """The surroundings of git: none of its own variables, no question asked, no lock taken, nothing fetched."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
    return kept | {
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_ALLOW_PROTOCOL": "none",
        "GIT_TERMINAL_PROMPT": "0",
        "GIT_PAGER": "cat",
        "LC_ALL": "C.UTF-8",
    }


def _no_repository(said: bytes) -> NoHistory:
    reason = _first_line(said)
    if "not a git repository" in reason:
        return NoHistory(
            "the shop's folder is in no git repository, so no earlier versions of it are kept",
            "say `git init` there and commit now and then, and the history starts",
        )
    if "dubious ownership" in reason:
        return NoHistory(
            "git does not trust this repository, since its folder belongs to somebody else",
            "if it is yours, add it to `safe.directory` as `git status` says there",
        )
    return NoHistory(f"git could not be asked: {reason}", "look at it with `git status`")


def _first_line(said: bytes) -> str:
    lines = said.decode("utf-8", "replace").strip().splitlines()
    return shown(visible(lines[0].removeprefix("fatal: ")), 160) if lines else "it gave no reason"


def _commits(fields: list[bytes]) -> Iterator[Commit]:
    """The commits of a log whose fields end with nothing: name, parents, date, subject, then what changed."""
    at = 0
    while at + 3 < len(fields):
        name, parents, date, subject = (field.decode("utf-8", "replace") for field in fields[at : at + 4])
        at += 4
        changes: list[Change] = []
        while at < len(fields):
            raw = fields[at].lstrip(b"\n")
            if not raw and at + 1 < len(fields) and fields[at + 1].startswith(b"::"):
                at += 1
                continue
            if not raw.startswith(b":"):
                break
            change, at = _change(raw, fields, at + 1)
            changes.append(change)
        found = _DATE.match(date)
        day = found[0] if found else ""
        yield Commit(name=name.strip(), day=day, subject=subject.strip(), is_first=not parents, changes=tuple(changes))


def _change(raw: bytes, fields: list[bytes], at: int) -> tuple[Change, int]:
    """One line of the raw form of git-diff(1), and where the fields go on; a merge has a blob for each parent."""
    parents = len(raw) - len(raw.lstrip(b":"))
    words = raw.lstrip(b":").decode("ascii").split()
    blobs = ["" if _NO_BLOB.fullmatch(blob) else blob for blob in words[parents + 1 : 2 * parents + 2]]
    has_two_paths = parents == 1 and words[-1][0] in "RC"
    was, path = os.fsdecode(fields[at]), os.fsdecode(fields[at + has_two_paths])
    return Change(path=path, was=was, before=tuple(blobs[:-1]), after=blobs[-1]), at + 1 + has_two_paths


def _next_content(stream: IO[bytes], blob: str) -> bytes | None:
    """The next answer of `cat-file --batch`; None when it is none, or is of another blob."""
    head = stream.readline().split()
    if len(head) != 3 or head[0].decode("ascii", "replace") != blob:
        return None
    size = int(head[2])
    data = stream.read(size + 1)
    return data[:size] if len(data) == size + 1 else None
