"""The versions of a shop's files, read through the git that is installed.

A repository may have come from anywhere, and its configuration can name programs to run: no hook, monitor, pager,
filter, signature check, external diff or remote of it is ever called. The working tree is not looked at through git.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from flipbook.measures.unreadable import shown
from flipbook.shop.composing import MOST_BYTES
from flipbook.shop.problems import visible

PATIENCE = 60
"""Seconds that one answer of git may take."""
SUBJECT = 200
"""Columns of a commit's subject that are asked for."""
_TOGETHER = 32
"""Blobs that are asked for at one time, of 2 MiB each at most."""

# Everything that git may call a program for, or that changes how it answers, is set against the repository's own word.
_SETTINGS = (
    "core.fsmonitor=false", "core.hooksPath=/dev/null", "core.pager=cat", "core.quotepath=off", "core.askPass=",
    "diff.orderFile=/dev/null", "diff.external=", "diff.relative=false", "log.showSignature=false",
    "log.showRoot=true", "log.follow=false", "log.mailmap=false", "protocol.allow=never", "color.ui=false",
)  # fmt: skip
_ENVIRONMENT = {
    "GIT_OPTIONAL_LOCKS": "0", "GIT_NO_LAZY_FETCH": "1", "GIT_ALLOW_PROTOCOL": "none", "GIT_TERMINAL_PROMPT": "0",
    "GIT_PAGER": "cat", "LC_ALL": "C.UTF-8",
}  # fmt: skip
_LOG = (
    "log", "--topo-order", "-z", "--raw", "-c", "--no-renames", "--no-abbrev", "--encoding=UTF-8", "--no-notes",
    "--no-show-signature", "--no-color", "--no-ext-diff", "--no-textconv", "--no-relative",
    f"--format=%H%x00%P%x00%cI%x00%<({SUBJECT},trunc)%s",
)  # fmt: skip
_RENAMES = (
    "diff-tree", "-r", "-z", "--raw", "-M", "-l1000", "--diff-filter=R", "--no-abbrev", "--no-commit-id",
    "--no-relative", "--no-ext-diff",
)  # fmt: skip
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
class Commit:
    """A commit; `name` is the full one."""

    name: str
    day: str
    """The committer's own date, 2026-02-14; nothing where it has none that can be read."""
    subject: str
    is_first: bool
    """Nothing comes before it, in this clone."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FileChange:
    """What a commit did to one file, whose path is from the top of the repository."""

    commit: Commit
    path: str
    before: tuple[str, ...]
    """The blob in each parent; an empty text where a parent has none."""
    after: str
    """The blob in the commit; an empty text where the file was taken away."""

    @property
    def is_new(self) -> bool:
        return not any(self.before)


class Repository:
    """The git repository around a shop's folder."""

    def __init__(self, folder: Path) -> None:
        """Raises NoHistory when there is no git, no repository, or no commit in it."""
        program = shutil.which("git")
        if program is None:
            says = "git is not installed, or not on the PATH, and a piece's history is read from git"
            raise NoHistory(says, "install git")
        settings = (word for setting in _SETTINGS for word in ("-c", setting))
        self._words = [program, "-C", os.path.abspath(folder), "--no-pager", *settings]
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

    def changes(self, *paths: str, before: str = "") -> list[FileChange]:
        """What commits did to files or folders, children before parents whatever their dates say.

        Those that made the files what they are in HEAD, or in the parents of the commit `before`: what a merge did not
        take over has made nothing of them. A file that was renamed is new under one name and gone under the other.
        """
        start = f"{before}^@" if before else "HEAD"
        answer = self._answer(*_LOG, start, "--", *(f":(top,literal){path}" for path in paths))
        with _understood():
            return list(_changes(answer.split(b"\0")))

    def renames(self, commit: Commit) -> dict[str, tuple[str, str]]:
        """The logs of pieces that a commit renamed, whatever their names: by the new path, the old one and its blob."""
        if commit.is_first:
            return {}
        fields = self._answer(*_RENAMES, commit.name, "--", _PIECES).split(b"\0")
        told = (fields[at : at + 3] for at in range(0, len(fields) - 2, 3))
        with _understood():
            return {os.fsdecode(now): (os.fsdecode(was), raw.split()[2].decode("ascii")) for raw, was, now in told}

    @cached_property
    def has_merges(self) -> bool:
        """Whether lines of work were ever brought together."""
        return bool(self._answer("rev-list", "--merges", "--max-count=1", "HEAD"))

    def names(self) -> dict[str, str]:
        """The short name of every commit, by its full one, children before parents."""
        lines = (
            self._answer("rev-list", "--topo-order", "--encoding=UTF-8", "--format=%H %h", "HEAD")
            .decode("ascii", "replace")
            .splitlines()
        )
        return {name: short for name, _, short in (line.partition(" ") for line in lines) if name != "commit"}

    def standing(self, *paths: str) -> dict[str, str]:
        """The blobs of files as they were last committed, by path."""
        answer = self._answer("ls-tree", "-r", "-z", "--full-tree", "HEAD", "--", *paths)
        entries = (entry.partition(b"\t") for entry in answer.split(b"\0") if entry)
        with _understood():
            return {os.fsdecode(path): facts.split()[2].decode("ascii") for facts, _, path in entries}

    def contents(self, blobs: Iterable[str], most: int) -> Iterator[tuple[str, bytes | None]]:
        """The bytes of blobs while they come to `most` at most; None for one of over 2 MiB, or that is not there."""
        wanted = list(dict.fromkeys(blobs))
        sizes = dict(self._sizes(wanted))
        for start in range(0, len(wanted), _TOGETHER):
            together = wanted[start : start + _TOGETHER]
            answer = self._run("cat-file", "--batch", asked=[blob for blob in together if blob in sizes]).stdout
            for blob in together:
                most -= sizes.get(blob, 0)
                if most < 0:
                    return
                if blob not in sizes:
                    yield blob, None
                    continue
                head, _, answer = answer.partition(b"\n")
                is_it = head.startswith(f"{blob} blob ".encode()) and len(answer) > sizes[blob]
                yield blob, answer[: sizes[blob]] if is_it else None
                answer = answer[sizes[blob] + 1 :]

    def _sizes(self, blobs: Sequence[str]) -> Iterator[tuple[str, int]]:
        """The sizes of the blobs that are there and can be read."""
        answer = self._run("cat-file", "--batch-check=%(objectname) %(objecttype) %(objectsize)", asked=blobs).stdout
        for line in answer.decode("ascii", "replace").splitlines():
            name, _, said = line.partition(" blob ")
            if said.isdecimal() and int(said) <= MOST_BYTES:
                yield name, int(said)

    def _answer(self, *words: str) -> bytes:
        """What git answers. Raises NoHistory with its reason when it does not."""
        ran = self._run(*words)
        if ran.returncode:
            says = f"git could not be asked: {_first_line(ran.stderr)}"
            raise NoHistory(says, "look at it with `git status` and `git log`")
        return ran.stdout

    def _run(self, *words: str, asked: Iterable[str] = ()) -> subprocess.CompletedProcess[bytes]:
        """Run git with none of its own variables, no question asked, no lock taken, nothing fetched."""
        kept = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
        lines = "".join(f"{name}\n" for name in asked).encode("ascii")
        command, env = [*self._words, *words], kept | _ENVIRONMENT
        try:
            return subprocess.run(command, env=env, input=lines, capture_output=True, timeout=PATIENCE, check=False)
        except subprocess.TimeoutExpired:
            raise NoHistory(f"git gave no answer in {PATIENCE} seconds", "try `git log` in the shop's folder") from None
        except OSError as fault:
            says = f"git cannot be run: {(fault.strerror or '').lower()}"
            raise NoHistory(says, "look at how it is installed") from None


@contextmanager
def _understood() -> Iterator[None]:
    """Whatever stands in place of git may answer anything. Raises NoHistory when it cannot be read."""
    try:
        yield
    except (ValueError, IndexError):
        says = "git gave an answer that cannot be read"
        raise NoHistory(says, "look whether `git log` answers in the shop's folder") from None


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


def _changes(fields: list[bytes]) -> Iterator[FileChange]:
    """The changes in a log whose fields end with nothing: four of a commit, then two for each file that it changed.

    Those of a file start with a colon for each parent, and have the blob in each (the raw form of git-diff(1)).
    """
    at = 0
    while at + 3 < len(fields):
        name, parents, date, subject = (field.decode("utf-8", "replace") for field in fields[at : at + 4])
        day = _DATE.match(date)
        commit = Commit(name=name.strip(), day=day[0] if day else "", subject=subject.strip(), is_first=not parents)
        at += 4
        while at + 1 < len(fields) and fields[at].lstrip(b"\n")[:1] in (b"", b":"):
            raw = fields[at].decode("ascii").split()
            if raw:
                parents_told = len(raw[0]) - len(raw[0].lstrip(":"))
                blobs = ["" if _NO_BLOB.fullmatch(blob) else blob for blob in raw[parents_told + 1 : -1]]
                path = os.fsdecode(fields[at + 1])
                yield FileChange(commit=commit, path=path, before=tuple(blobs[:-1]), after=blobs[-1])
            at += 2 if raw else 1
