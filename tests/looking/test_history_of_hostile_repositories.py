"""A repository that came from anywhere runs nothing, prints nothing raw, and is left exactly as it was.

Every trap is first sprung by plain git, so that a trap that cannot shut proves nothing.
"""

from __future__ import annotations

import json
import os
import pty
import shutil
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from repository_writer import PIECE, RepositoryWriter, log_of
from shop_writer import Ran, flipbook_environment, run_flipbook

STEP = "2026-02-16 sanded the top"
ATTRIBUTES = "*.yaml diff=trap filter=trap\n"


def asked(
    repository: RepositoryWriter, *words: str, env: dict[str, str] | None = None, shop: Path | None = None
) -> Ran:
    """`flipbook history`, with nobody's own configuration of git."""
    surroundings = {"HOME": str(repository.top.parent), "XDG_CONFIG_HOME": str(repository.top.parent), **(env or {})}
    return run_flipbook("history", *words, "--shop", shop or repository.shop, env=surroundings)


class Trap:
    """A program that leaves a mark when it is run, and then does what it was run for."""

    def __init__(self, folder: Path, then: str = "cat") -> None:
        self.mark = folder / "sprung"
        self.program = folder / "trap.sh"
        self.program.write_text(f"#!/bin/sh\necho run >> '{self.mark}'\n{then}\n", encoding="utf-8")
        self.program.chmod(self.program.stat().st_mode | stat.S_IXUSR)

    def was_sprung(self) -> bool:
        """Whether it was run; it is set again."""
        was = self.mark.exists()
        self.mark.unlink(missing_ok=True)
        return was


# What is set in the repository to the trap, besides an attribute of every YAML file, and how plain git is caught in it.
TRAPS = [
    ("core.fsmonitor", ["status"]),
    ("diff.trap.textconv", ["log", "-p"]),
    ("diff.external", ["diff", "HEAD~1"]),
    ("diff.trap.command", ["log", "-p", "--ext-diff"]),
    ("filter.trap.clean", ["diff"]),
    ("core.hooksPath", ["update-index", "--refresh", "--really-refresh"]),
    ("gpg.program", ["log", "--show-signature"]),
]


def sign(repository: RepositoryWriter) -> None:
    """Put a signature into the last commit, which `log.showSignature` would have checked by `gpg.program`."""
    head, _, message = repository.git("cat-file", "commit", "HEAD").encode().partition(b"\n\n")
    signed = head + b"\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n aaaa\n -----END PGP SIGNATURE-----\n\n" + message
    name = repository.git("hash-object", "-t", "commit", "-w", "--stdin", data=signed).strip()
    repository.git("update-ref", "HEAD", name)
    repository.git("config", "log.showSignature", "true")


@pytest.mark.parametrize(("key", "words"), TRAPS, ids=[key for key, _ in TRAPS])
def test_a_program_named_in_the_repository_is_not_run(tmp_path: Path, key: str, words: list[str]) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(), ".gitattributes": ATTRIBUTES})
    repository.commit({PIECE: log_of(STEP)}, said="Sanded")
    sign(repository)
    trap = Trap(tmp_path)
    (tmp_path / "hooks").mkdir()
    shutil.copy(trap.program, tmp_path / "hooks" / "post-index-change")
    os.utime(repository.shop / "shop.yaml", (1, 1))
    repository.git("config", key, str(tmp_path / "hooks" if key == "core.hooksPath" else trap.program))
    repository.write({PIECE: log_of(STEP, "2026-02-18 waxed")})
    repository.git(*words, may_fail=True)
    assert trap.was_sprung()
    ran = asked(repository, "stool")
    assert (ran.code, ran.err) == (0, "")
    assert "new      step, 2026-02-16: sanded the top" in ran.out
    assert "new      step, 2026-02-18: waxed" in ran.out
    assert not trap.was_sprung()


def test_the_pager_is_not_run_on_a_terminal_either(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEP)})
    trap = Trap(tmp_path)
    repository.git("config", "core.pager", str(trap.program))
    ends = []
    for words in (["git", "log"], [sys.executable, "-m", "flipbook", "history", "stool"]):
        ours, theirs = pty.openpty()
        surroundings = flipbook_environment(repository.environment | {"TERM": "dumb"})
        ran = subprocess.run(words, cwd=repository.shop, env=surroundings, stdout=theirs, timeout=20, check=False)
        ends.append((ran.returncode, trap.was_sprung()))
        os.close(theirs)
        os.close(ours)
    assert ends == [(0, True), (0, False)]


def test_a_clone_without_its_contents_fetches_nothing(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "far")
    repository.git("config", "uploadpack.allowFilter", "true")
    repository.git("config", "uploadpack.allowAnySHA1InWant", "true")
    repository.commit({PIECE: log_of()}, said="Begun")
    repository.commit({PIECE: log_of(STEP)}, said="Sanded")
    repository.git("clone", "-q", "--filter=blob:none", f"file://{repository.top}", str(tmp_path / "near"))
    trap = Trap(tmp_path, then='exec git-upload-pack "$@"')
    near = tmp_path / "near"
    for words in (("remote.origin.uploadpack", str(trap.program)), ("protocol.file.allow", "always")):
        repository.git("-C", str(near), "config", *words)
    # The version at hand was fetched when it was checked out; the one before it was not.
    ran = asked(repository, "stool", shop=near)
    assert not trap.was_sprung()
    assert ran.code == 0
    assert "The log: it cannot be read: it is over 2 MiB, or not in this clone." in ran.out
    assert "step, 2026-02-16: sanded the top" in ran.out
    repository.git("-C", str(near), "show", "HEAD~1:" + PIECE)
    assert trap.was_sprung()


SETTINGS = [
    ("log.showRoot", "false"),
    ("log.follow", "true"),
    ("log.date", "format:%Y"),
    ("log.diffMerges", "off"),
    ("log.decorate", "full"),
    ("diff.relative", "true"),
    ("diff.renames", "false"),
    ("diff.orderFile", "/nonexistent/order"),
    ("diff.noprefix", "true"),
    ("diff.renameLimit", "1"),
    ("color.ui", "always"),
    ("core.quotePath", "true"),
    ("i18n.logOutputEncoding", "UTF-16"),
    ("format.pretty", "raw"),
    ("core.abbrev", "12"),
    ("core.bigFileThreshold", "1"),
    ("status.showUntrackedFiles", "no"),
    ("alias.log", "!false"),
]


def test_a_setting_of_the_repository_changes_nothing_that_is_told(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "all", "shop")
    steps = [f"2026-02-{day} step {day}" for day in range(10, 20)]
    repository.commit({"pieces/é stool/piece.yaml": log_of(*steps)}, said="Begun at Égérie's")
    repository.commit({"pieces/é stool/piece.yaml": None, PIECE: log_of(*steps, STEP)}, said="Renamed")
    plain = asked(repository, "stool", "--json")
    assert [one["subject"] for one in json.loads(plain.out)["versions"]] == ["Begun at Égérie's", "Renamed"]
    for key, value in SETTINGS:
        repository.git("config", key, value)
        changed = asked(repository, "stool", "--json")
        expected = plain.out
        for commit in repository.git("rev-list", "HEAD").split():
            short = repository.git("rev-parse", "--short", commit).strip()
            expected = expected.replace(f'"{commit[:7]}"', f'"{short}"')
        assert (changed.code, changed.err, changed.out) == (0, "", expected), key
        repository.git("config", "--unset", key)


def test_variables_of_git_that_point_elsewhere_are_not_heeded(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEP)}, said="Here")
    other = RepositoryWriter(tmp_path / "other")
    other.commit({PIECE: log_of(STEP)}, said="Elsewhere")
    trap = Trap(tmp_path)
    env = {
        "GIT_DIR": str(other.top / ".git"),
        "GIT_WORK_TREE": str(other.top),
        "GIT_INDEX_FILE": str(tmp_path / "index"),
        "GIT_EXTERNAL_DIFF": str(trap.program),
        "GIT_PAGER": str(trap.program),
        "GIT_CONFIG_COUNT": "1",
        "GIT_CONFIG_KEY_0": "core.fsmonitor",
        "GIT_CONFIG_VALUE_0": str(trap.program),
        "GIT_TRACE": "1",
        "GIT_CEILING_DIRECTORIES": str(tmp_path),
        "GIT_LITERAL_PATHSPECS": "1",
        "PAGER": str(trap.program),
    }
    ran = asked(repository, "stool", env=env)
    assert (ran.code, ran.err) == (0, "")
    assert "Here" in ran.out
    assert "Elsewhere" not in ran.out
    assert not trap.was_sprung()


def test_nothing_of_the_repository_is_written(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEP)})
    os.utime(repository.shop / PIECE, (1, 1))  # git's index would want to be refreshed

    def state() -> dict[str, tuple[int, bytes]]:
        files = [path for path in repository.top.rglob("*") if path.is_file()]
        return {str(path): (path.stat().st_mtime_ns, path.read_bytes()) for path in files}

    before = state()
    assert asked(repository, "stool").code == 0
    assert state() == before


MESSAGES = [
    b"red \x1b[31mwords",
    b"\x1b]0;title\x07 and a bell \x07",
    b"back\x08\x08\x08and over \x0dagain",
    "turned \u202eround".encode(),
    "a line\u2028break, a \u200bgap".encode(),
    b"not UTF-8 \xff\xfe\xc3",
    b"a tab\tand a \x7f\x9b31m",
    b"<b>&amp;</b> [bold]markup[/bold] :smile:",
    b":100644 100644 0000000 1111111 M",
    b"commit 0123456789012345678901234567890123456789",
    b"",
    b"x" * 5000,
    b"%H%x00 \\0 \\x1b[31m",
]


def test_messages_and_old_versions_are_shown_as_text_and_nothing_else(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    for number, message in enumerate(MESSAGES, 1):
        repository.commit({PIECE: log_of(*[STEP] * number)}, said=message)
    sly = '{on: 2026-02-18, did: "sanded \\e[31mred\\a \\u202e and \\0 on"}'
    repository.commit({PIECE: log_of(*[STEP] * len(MESSAGES), sly)})
    ran = asked(repository, "stool")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.count("new      step, 2026-02-16: sanded the top") == len(MESSAGES)
    assert "sanded ·[31mred· · and · on" in ran.out
    assert all(character == "\n" or character.isprintable() for character in ran.out)
    assert max(map(len, ran.out.splitlines())) <= 80
    told = json.loads(asked(repository, "stool", "--json").out)
    assert [len(one["told"]) for one in told["versions"]] == [3] + [1] * len(MESSAGES)


def test_without_a_repository_it_says_so(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.write({PIECE: log_of(STEP)})
    nothing_yet = asked(repository, "stool")
    shutil.rmtree(repository.top / ".git")
    outside = asked(repository, "stool", env={"GIT_CEILING_DIRECTORIES": ""})
    assert (nothing_yet.code, nothing_yet.out) == (outside.code, outside.out) == (2, "")
    assert nothing_yet.err == (
        "flipbook: nothing has been committed here yet; commit the shop's files, and their history starts\n"
    )
    assert outside.err == (
        "flipbook: the shop's folder is in no git repository, so no earlier versions of it are kept; say `git init` there "
        "and commit now and then, and the history starts\n"
    )


def test_without_git_it_says_so(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEP)})
    (tmp_path / "bin").mkdir()
    ran = asked(repository, "stool", env={"PATH": str(tmp_path / "bin")})
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        "flipbook: git is not installed, or not on the PATH, and a piece's history is read from git; install git\n"
    )


@pytest.mark.parametrize(
    "answer",
    [
        "exit 1",
        "printf 'fatal: \\033[31mbroken\\007\\n' >&2; exit 128",
        "exit 0",
        "head -c 100000 /dev/urandom",
        "kill -9 $$",
    ],
    ids=["fails", "fails with signs", "says nothing", "says anything", "dies"],
)
def test_a_git_that_answers_anything_makes_no_traceback(tmp_path: Path, answer: str) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of(STEP)})
    (tmp_path / "bin").mkdir()
    program = tmp_path / "bin" / "git"
    program.write_text(f"#!/bin/sh\n{answer}\n", encoding="utf-8")
    program.chmod(0o755)
    ran = asked(repository, "stool", env={"PATH": f"{tmp_path / 'bin'}:/usr/bin:/bin"})
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("flipbook: ")
    assert all(character == "\n" or character.isprintable() for character in ran.err)


def test_a_damaged_repository_makes_no_traceback(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: log_of()}, said="Begun")
    repository.commit({PIECE: log_of(STEP)}, said="Sanded")
    blob = repository.git("rev-parse", f"HEAD~1:{PIECE}").strip()
    (repository.top / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    lost = asked(repository, "stool")
    assert lost.code == 0
    assert "The log: it cannot be read: it is over 2 MiB, or not in this clone." in lost.out
    assert "Nothing older can be read, so all of this may have stood there already." in lost.out
    commit = repository.git("rev-parse", "HEAD~1").strip()
    (repository.top / ".git" / "objects" / commit[:2] / commit[2:]).unlink()
    broken = asked(repository, "stool")
    assert (broken.code, broken.out) == (2, "")
    assert broken.err.startswith("flipbook: git could not be asked: ")
