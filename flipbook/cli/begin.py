"""`flipbook begin`: a new piece's folder."""

from __future__ import annotations

import argparse
import sys
from contextlib import suppress
from pathlib import Path

from flipbook.cli.ending import DONE, Misused, reason
from flipbook.entry.bringing import scan
from flipbook.entry.entering import Entering, write_down
from flipbook.entry.said import Spoken, asked, is_attended, read_or_refuse
from flipbook.measures.lengths import read_size
from flipbook.measures.unreadable import Unreadable
from flipbook.shipped import templates_folder
from flipbook.shop.editing import with_key
from flipbook.shop.records.piece import Found, Piece
from flipbook.shop.starting import folder_name, put_schemas, start_piece, starter_text


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    what = "the title"
    title = read_or_refuse(" ".join(arguments.title), _read_title, what) if arguments.title else None
    if title is None and not is_attended():
        raise Misused(f"{what} is not said\n{arguments.usage}")
    said = Spoken(arguments)
    root = said.root
    if title is None:
        title = asked("What is it?", _read_title)
    day = said.when.day
    cost = said.money("--cost").get("cost")
    came_from = " ".join((said.text("--from") or "").split())
    if cost is None and (said.text("--from") or arguments.scan):
        option = "--from" if said.text("--from") else "--scan"
        raise Misused(f"`{option}` wants `--cost` beside it; write `--cost 0` for a free find")
    keys = said.words("--kind")
    if said.read("--size", read_size) is not None:
        keys["size"] = " ".join(arguments.size.split())
    folder = folder_name(title)
    brought = None
    if arguments.scan:
        brought = scan(root, f"pieces/{folder}", "receipts", arguments.scan, day, came_from)
    template = (templates_folder() / "starter" / "piece.yaml").read_text(encoding="utf-8")
    text = _filled(starter_text(template, title, day, came_from, cost), keys)
    try:
        file = start_piece(root, folder, text)
    except FileExistsError:
        raise Misused(
            f"there is a folder pieces/{folder} already; give the piece a title that tells it apart"
        ) from None
    except OSError as fault:
        raise Misused(f"the folder pieces/{folder} cannot be made: {reason(fault)}") from None
    with suppress(OSError):  # an editor does without them
        put_schemas(root)
    sys.stdout.write(f"Write in   {file}\nPictures   {file.parent / 'photos'}\n")
    if cost is None:
        sys.stdout.write("Not yet said: how the piece came and what it cost (`found:`).\n")
    return DONE if brought is None else _with_scan(root, folder, brought.path, brought.copies)


def _read_title(text: str) -> str:
    """A title on one line. Raises Unreadable."""
    title = " ".join(text.split())
    if not title or not title.isprintable():
        raise Unreadable("that is no title", "say what the piece is, as `Ladder-back rocker`")
    return title


def _filled(text: str, keys: dict[str, str]) -> str:
    """The starter's text with some of its empty keys filled in."""
    if not keys:
        return text
    data = text.encode()
    for key, value in keys.items():
        data = with_key("piece.yaml", data, [key], value, keys=tuple(Piece.keys.values()))
    return data.decode()


def _with_scan(root: Path, folder: str, path: str, copies: tuple[tuple[Path, str], ...]) -> int:
    """Copy the scan in and name it under `found:`."""
    file = f"pieces/{folder}/piece.yaml"

    def edit(data: bytes) -> bytes:
        return with_key(file, data, ["found", "scan"], path, keys=tuple(Found.keys.values()))

    write_down(root, Entering(file=file, edit=edit, copies=copies))
    return DONE
