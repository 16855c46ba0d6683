"""A new piece's folder, ready to write in."""

from __future__ import annotations

import json
import os
import re
import unicodedata
from datetime import date
from decimal import Decimal
from pathlib import Path

from flipbook.measures.money import write_money
from flipbook.shop.composing import Block, Scalar, compose
from flipbook.shop.records.receipts import kind_named

LONGEST_NAME = 60


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
            "# How it came; cost is 0 for a free find:\n"
            f"# found:\n#   on: {day}\n#   from: Mill Road estate sale\n#   cost: 40.00\n#   scan: receipts/mill-road.jpg"
        )
    else:
        party = f"\n  from: {quoted(came_from)}" if came_from else ""
        found = f"found:\n  on: {day}{party}\n  cost: {write_money(cost)}"
    words = {"@TITLE@": quoted(title), "@FOUND@": found, "@DAY@": day.isoformat()}
    return re.sub("@[A-Z]+@", lambda mark: words[mark[0]], template)


def quoted(text: str) -> str:
    """`text` as YAML reads it back: bare where that is the same, else in double quotes."""
    node = compose("", f"key: {text}\n".encode())
    if isinstance(node, Block) and len(node.pairs) == 1:
        value = node.pairs[0][1]
        if (
            isinstance(value, Scalar)
            and value.bare
            and value.text == text
            and text == text.strip()
            and not value.is_empty
        ):
            return text
    return json.dumps(text, ensure_ascii=False)


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
