"""How a command ends: its exit status, what is said of misuse and faults, and which shop it is about."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from flipbook.measures.unreadable import shown

if TYPE_CHECKING:
    from flipbook.books.footing import BooksDoNotFoot

DONE, PROBLEMS, MISUSED, FAULT, STOPPED = 0, 1, 2, 3, 130
STATUSES = {
    DONE: "done",
    PROBLEMS: "the files have problems: all of them are shown, nothing is written, and the last good output stays",
    MISUSED: "the command was not understood, or cannot be carried out as it was given",
    FAULT: "flipbook itself is at fault: the books do not foot",
    STOPPED: "stopped by Ctrl-C",
}
"""Every exit status, and what it says."""


class Misused(Exception):
    """The command cannot be carried out as it was given; the text says why and what to do."""


class Ended(Exception):
    """The command ends here with a status, and what there was to say has been said."""

    def __init__(self, status: int) -> None:
        super().__init__(status)
        self.status = status


def _shop_above(start: Path) -> Path | None:
    """The nearest folder, `start` or one above it, that holds a shop.yaml."""
    return next((folder for folder in (start, *start.parents) if (folder / "shop.yaml").exists()), None)


def shop_at(given: str | None) -> Path:
    """The folder of the shop. Raises Misused when there is none."""
    if given is None:
        try:
            found = _shop_above(Path.cwd())
        except FileNotFoundError:
            raise Misused("the folder you are in is gone; go to your shop's folder, or name it") from None
        if found is None:
            raise Misused("there is no shop.yaml in this folder or above it; go to your shop's folder, or name it")
        return found
    root = Path(given)
    try:
        is_there = root.is_dir()
    except (OSError, ValueError):
        is_there = False
    if not is_there:
        raise Misused(f"there is no folder {shown(given)}")
    if not os.path.lexists(root / "shop.yaml"):
        raise Misused(f"{given} holds no shop.yaml, so it is not a shop's folder")
    return root


def fault_of_ours(fault: BooksDoNotFoot) -> int:
    sys.stderr.write(
        f"flipbook: the books do not foot, which is a fault of flipbook and not of your files.\n  {fault}\n"
        "Nothing was written. Please report it with the shop's files, or the smallest part of them that shows it.\n"
    )
    return FAULT


def reason(fault: OSError) -> str:
    return (fault.strerror or str(fault)).lower()


def many(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"
