"""Names that a shop's files give, looked up without reading the records: outlets, and products of the shelf."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from flipbook.shop.composing import Block, Items, Node, Scalar, compose
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Problem

_MAY_STOCK = re.compile(rb"^[^#\n]*(?:shelf|opening)", re.MULTILINE | re.IGNORECASE)


def outlets_of(root: Path) -> list[str]:
    """The outlets of shop.yaml, as they are written; none when it cannot be read."""
    return [key for key, _ in _pairs(_value(_tree(ShopFolder(root), "shop.yaml"), "outlets"))]


def products_of(root: Path) -> list[str]:
    """The products that were bought for the shelf, or were on it from the start, sorted; those of files that can be read."""
    folder = ShopFolder(root)
    found: dict[str, str] = {}
    for file in _files(folder):
        data = folder.read(file)
        # Composing takes a hundred times as long as looking for the words.
        if isinstance(data, bytes) and _MAY_STOCK.search(data):
            top = compose(file, data)
            for name in _shelved(top) if isinstance(top, Block | Items) else ():
                found.setdefault(folded(name), name)
    return sorted(found.values(), key=folded)


def _files(folder: ShopFolder) -> Iterator[str]:
    for home, inner in (("receipts", ""), ("pieces", "/piece.yaml")):
        names = folder.names(home)
        for name in [] if isinstance(names, Problem) else names:
            if inner or name.endswith(".yaml"):
                yield f"{home}/{name}{inner}"


def _shelved(top: Block | Items) -> Iterator[str]:
    """The products of the receipts and of the opening stock of one file."""
    receipts = top if isinstance(top, Items) else _value(top, "receipts") or _value(top, "bought")
    for receipt in receipts.items if isinstance(receipts, Items) else ():
        whole = _text(_value(receipt, "for"))
        lines = _value(receipt, "lines")
        for line in lines.items if isinstance(lines, Items) else [receipt]:
            if folded(_text(_value(line, "for")) or whole) == "shelf":
                yield _text(_value(line, "what"))
    opening = _value(top, "opening")
    for lot in opening.items if isinstance(opening, Items) else ():
        yield _text(_value(lot, "what"))


def _tree(folder: ShopFolder, file: str) -> Node | None:
    data = folder.read(file)
    node = None if isinstance(data, Problem) else compose(file, data)
    return None if isinstance(node, Problem) else node


def _pairs(node: Node | None) -> Iterator[tuple[str, Node]]:
    for key, value in node.pairs if isinstance(node, Block) else ():
        yield " ".join(key.text.split()), value


def _value(node: Node | None, wanted: str) -> Node | None:
    return next((value for key, value in _pairs(node) if key == wanted), None)


def _text(node: Node | None) -> str:
    return " ".join(node.text.split()) if isinstance(node, Scalar) else ""
