"""A new piece's folder, ready to write in."""

from __future__ import annotations

import os
import re
import unicodedata
from datetime import date
from decimal import Decimal
from pathlib import Path

from flipbook.measures.money import write_money
from flipbook.shop.keys import FILE_KINDS
from flipbook.shop.manner import quoted
from flipbook.shop.records.expenses import kind_named
from flipbook.shop.schemas import schema_text

LONGEST_NAME = 60
SCHEMAS = ".flipbook"
"""The folder of a shop where an editor finds the schemas of its files."""


def folder_name(title: str) -> str:
    """A safe name for the folder of a piece: letters, digits and hyphens, and no word that `for:` knows."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    name = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:LONGEST_NAME].strip("-")
    if not name:
        return "piece"
    return f"{name}-piece" if kind_named(name) else name


def starter_text(template: str, title: str, day: date, came_from: str, cost: Decimal | None) -> str:
    """The text of a new piece.yaml, from the starter's template."""
    if cost is None:
        found = (
            f"found:\n#  on: {day}\n#  from: Chapel Street jumble sale\n#  cost: 26.00\n"
            "#  tax: 1.56\n#  scan: receipts/chapel-street.jpg"
        )
    else:
        party = f"\n  from: {quoted(came_from)}" if came_from else ""
        found = (
            f"found:\n  on: {day}{party}\n  cost: {write_money(cost)}\n"
            "  tax:                   # sales tax, as 2.40\n  scan:                  # as receipts/mill-road.jpg"
        )
    words = {"@TITLE@": quoted(title), "@FOUND@": found, "@DAY@": day.isoformat()}
    return re.sub("@[A-Z]+@", lambda mark: words[mark[0]], template)


def start_piece(root: Path, folder: str, text: str) -> Path:
    """Make the folder with its piece.yaml and an empty photos/; the file appears whole.

    Raises FileExistsError when the folder is there already, and another OSError when it cannot be made.
    """
    home = root / "pieces" / folder
    if home.parent.exists() and not home.parent.is_dir():
        raise NotADirectoryError(20, "there is a file named pieces")
    home.parent.mkdir(exist_ok=True)
    home.mkdir()
    (home / "photos").mkdir()
    aside = home / ".piece.yaml.new"
    aside.write_text(text, encoding="utf-8", newline="\n")
    os.replace(aside, home / "piece.yaml")
    return home / "piece.yaml"


def put_schemas(root: Path) -> None:
    """Write the schema of each kind of file into the shop's folder SCHEMAS, where it is not there or is another.

    A file appears whole. No link is followed: one in a file's place gives way to the file, and a folder SCHEMAS that
    is a link is an error. Raises OSError when the folder or a file cannot be written.
    """
    home = root / SCHEMAS
    if home.is_symlink():
        raise NotADirectoryError(20, f"{SCHEMAS} is a link")
    home.mkdir(exist_ok=True)
    for kind in FILE_KINDS:
        file = home / f"{kind}.json"
        data = schema_text(kind).encode()
        if file.is_symlink() or not file.exists() or file.read_bytes() != data:
            _put(file, data)


def _put(file: Path, data: bytes) -> None:
    aside = file.with_name(f".{file.name}.new")
    aside.unlink(missing_ok=True)
    try:
        # `x` makes a new file, and never writes through a link
        with open(aside, "xb") as stream:
            stream.write(data)
        os.replace(aside, file)
    except OSError:
        aside.unlink(missing_ok=True)
        raise
