"""A shop's folder to write in, and the command line run as a process; the fixtures of all tests are made of these."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from flipbook.books.reckon import Books
from flipbook.compile import Outcome, check_shop
from flipbook.shop.problems import Problem

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
    """Run `python -m flipbook` with `words`; neither stream may hold a traceback."""
    ran = subprocess.run(
        [sys.executable, "-m", "flipbook", *map(str, words)],
        cwd=cwd,
        env=flipbook_environment(env),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=PATIENCE,
        check=False,
    )
    out, err = ran.stdout.decode("utf-8"), ran.stderr.decode("utf-8")
    assert "Traceback" not in out, out
    assert "Traceback" not in err, err
    return Ran(ran.returncode, out, err)


def flipbook_environment(more: Mapping[str, str] | None = None) -> dict[str, str]:
    """The surroundings of a command: flipbook can be imported, and nothing of the terminal's is seen."""
    told = ("COLUMNS", "FORCE_COLOR", "NO_COLOR")
    seen = {key: value for key, value in os.environ.items() if key not in told and not key.startswith("PYTHON")}
    return {**seen, "PYTHONPATH": str(REPOSITORY), **(more or {})}
