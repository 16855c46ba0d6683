"""A shop's folder to write in, and the command line, in this process or in its own; fixtures are made of these."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO, TextIOWrapper
from pathlib import Path
from typing import TextIO

import pytest

from flipbook.books.reckon import Books
from flipbook.cli.main import main
from flipbook.compile import Outcome, check_shop
from flipbook.shop.problems import Problem
from flipbook.shop.records.piece import Piece

REPOSITORY = Path(__file__).resolve().parents[1]
PATIENCE = 20
"""Seconds that a command may take."""

GOOD_SHOP = """\
shop: Quillback Lane Refinishing
currency: USD
tax: {rules: plain}
outlets:
  porch sale: {}
  antiques hall: {takes: 12%}
"""
GOOD_PIECE = """\
piece: Oak stool
found: {on: 2026-01-05, from: Mill Road estate sale, cost: 10.00}
"""


class ShopWriter:
    """A shop's folder; a good shop.yaml is in it from the start, and no piece."""

    def __init__(self, root: Path) -> None:
        self.root = root
        root.mkdir()
        self.write({"shop.yaml": GOOD_SHOP})

    def write(self, files: Mapping[str, str | bytes]) -> ShopWriter:
        """Write files by their path in the shop; text as UTF-8, every byte as it is given."""
        for name, content in files.items():
            path = self.root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
        return self

    def piece(self, more: str = "", folder: str = "oak-stool") -> ShopWriter:
        """Write a piece found for 10.00 on 2026-01-05, with `more` lines below."""
        return self.write({f"pieces/{folder}/piece.yaml": GOOD_PIECE + more})

    def receipts(self, text: str) -> ShopWriter:
        """Write receipts/2026.yaml."""
        return self.write({"receipts/2026.yaml": text})

    def check(self) -> Outcome:
        """Read and reckon, in this process."""
        return check_shop(self.root)

    def problems(self) -> list[Problem]:
        """All that check tells, warnings too."""
        return self.check().problems

    def run(self, *words: str | Path, code: int = 0, env: Mapping[str, str] | None = None) -> Ran:
        """A command, carried out in the shop's folder; it must end as `code` says."""
        ran = run_flipbook(*words, cwd=self.root, env=env)
        assert ran.code == code, ran
        return ran

    def only(self) -> Piece:
        """The record of the shop's one piece."""
        (filed,) = self.books().facts.pieces
        return filed.piece

    def files(self) -> dict[str, bytes]:
        """Every file of the shop, by its path there; what the program keeps beside them starts with a dot."""
        paths = [path for path in self.root.rglob("*") if path.is_file()]
        names = {str(path.relative_to(self.root)): path for path in paths}
        return {name: path.read_bytes() for name, path in sorted(names.items()) if not re.search(r"(^|/)\.", name)}

    def books(self) -> Books:
        """The books; the shop must have no error."""
        outcome = self.check()
        assert outcome.books is not None, outcome.problems
        return outcome.books


@dataclass(frozen=True)
class Ran:
    """How a command ended and what it said."""

    code: int
    out: str
    err: str


def run_flipbook(*words: str | Path, cwd: Path | None = None, env: Mapping[str, str] | None = None) -> Ran:
    """Carry out a command in this process, where `cwd` and `env` say, with nobody at a terminal."""
    out, err = (TextIOWrapper(BytesIO(), encoding="utf-8") for _ in range(2))
    with _surroundings(cwd, env, TextIOWrapper(BytesIO()), out, err), _patience():
        code = main([str(word) for word in words])
    return _ran(code, *map(_written, (out, err)))


def run_process(*words: str | Path, cwd: Path | None = None, env: Mapping[str, str] | None = None) -> Ran:
    """Run `python -m flipbook` with `words`: a start from nothing, for what one process cannot show."""
    ran = subprocess.run(
        [sys.executable, "-m", "flipbook", *map(str, words)],
        cwd=cwd,
        env=flipbook_environment(env),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=PATIENCE,
        check=False,
    )
    return _ran(ran.returncode, ran.stdout, ran.stderr)


def _written(stream: TextIOWrapper) -> bytes:
    stream.seek(0)
    return stream.buffer.read()


def _ran(code: int, out: bytes, err: bytes) -> Ran:
    """How it ended; neither stream may hold a traceback."""
    ran = Ran(code, out.decode("utf-8"), err.decode("utf-8"))
    assert "Traceback" not in ran.out, ran.out
    assert "Traceback" not in ran.err, ran.err
    return ran


@contextmanager
def _surroundings(
    cwd: Path | None, env: Mapping[str, str] | None, given: TextIO, out: TextIO, err: TextIO
) -> Iterator[None]:
    """The streams, folder and environment of a command for a while, and then those that were there before."""
    names = ("stdin", "stdout", "stderr", "__stdin__", "__stdout__", "__stderr__")
    before = {name: getattr(sys, name) for name in names}
    here, environment = os.getcwd(), dict(os.environ)
    try:
        for name, stream in zip(names, (given, out, err) * 2, strict=True):
            setattr(sys, name, stream)
        _set_environment(flipbook_environment(env))
        if cwd is not None:
            os.chdir(cwd)
        yield
    finally:
        os.chdir(here)
        _set_environment(environment)
        for name, stream in before.items():
            setattr(sys, name, stream)


def _set_environment(to: Mapping[str, str]) -> None:
    os.environ.clear()
    os.environ.update(to)


@contextmanager
def _patience() -> Iterator[None]:
    """A command that takes longer than a person waits fails its test, and does not hold up the others."""

    def over(*_: object) -> None:
        pytest.fail(f"the command took longer than {PATIENCE} s")

    before = signal.signal(signal.SIGALRM, over)
    signal.setitimer(signal.ITIMER_REAL, PATIENCE)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def flipbook_environment(more: Mapping[str, str] | None = None) -> dict[str, str]:
    """The surroundings of a command: flipbook can be imported, and nothing of the terminal's is seen."""
    told = ("COLUMNS", "LINES", "FORCE_COLOR", "NO_COLOR")
    seen = {key: value for key, value in os.environ.items() if key not in told and not key.startswith("PYTHON")}
    return {**seen, "PYTHONPATH": str(REPOSITORY), **(more or {})}
