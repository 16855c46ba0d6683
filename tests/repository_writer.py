"""A shop in a git repository of its own, committed to as a person would, and what plain git says of it."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from shop_writer import GOOD_SHOP

PIECE = "pieces/oak-stool/piece.yaml"


@dataclass(frozen=True)
class LogLine:
    """A commit as `git log` shows it: full name, short name, the committer's date, and the subject."""

    name: str
    short: str
    day: str
    subject: str


class RepositoryWriter:
    """A repository at `top`, with a shop in it at `shop` (the top itself, unless it is said otherwise)."""

    def __init__(self, top: Path, shop: str = ".") -> None:
        self.top = top
        self.shop = top / shop
        self.shop.mkdir(parents=True, exist_ok=True)
        self.git("init", "-q", "-b", "main", ".")
        (self.shop / "shop.yaml").write_text(GOOD_SHOP, encoding="utf-8")

    @property
    def environment(self) -> dict[str, str]:
        """The surroundings of plain git: nobody's own configuration."""
        kept = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
        who = {
            f"GIT_{role}_{what}": "bench@quillback.example"
            for role in ("AUTHOR", "COMMITTER")
            for what in ("NAME", "EMAIL")
        }
        return {**kept, **who, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1", "LC_ALL": "C.UTF-8"}

    def git(self, *words: str, when: str = "", data: bytes | None = None, may_fail: bool = False) -> str:
        """What plain git answers."""
        dated = {"GIT_AUTHOR_DATE": when, "GIT_COMMITTER_DATE": when} if when else {}
        ran = subprocess.run(
            ["git", *words],
            cwd=self.top,
            env=self.environment | dated,
            input=data if data is not None else b"",
            capture_output=True,
            timeout=30,
            check=False,
        )
        assert may_fail or ran.returncode == 0, ran.stderr
        return ran.stdout.decode("utf-8", "surrogateescape")

    def write(self, files: Mapping[str, str | bytes | None]) -> None:
        """Write files by their path in the shop; one that is None is taken away."""
        for name, content in files.items():
            path = self.shop / name
            if content is None:
                path.unlink()
                continue
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))

    def commit(
        self, files: Mapping[str, str | bytes | None], on: str = "2026-02-14", said: str | bytes = "Noted"
    ) -> str:
        """Write files and commit all that is there, at noon of a day; the commit's full name."""
        self.write(files)
        self.git("add", "-A")
        message = said if isinstance(said, bytes) else said.encode("utf-8")
        self.git(
            "commit",
            "-q",
            "--allow-empty",
            "--allow-empty-message",
            "--cleanup=verbatim",
            "-F",
            "-",
            when=f"{on}T12:00:00+00:00",
            data=message,
        )
        return self.git("rev-parse", "HEAD").strip()

    def log(self, *words: str) -> list[LogLine]:
        """What `git log` with `words` says, the newest first."""
        told = self.git("log", "--format=%H%x09%h%x09%cs%x09%s", *words)
        return [LogLine(*line.split("\t", 3)) for line in told.splitlines()]


def log_of(*steps: str, cost: str = "10.00", more: str = "") -> str:
    """A piece's file with these steps in its log, each as a line of YAML."""
    written = "".join(f"  - {step}\n" for step in steps)
    return (
        f"piece: Oak stool\nfound: {{on: 2026-01-05, from: Mill Road estate sale, cost: {cost}}}\n"
        + (f"log:\n{written}" if steps else "")
        + more
    )
