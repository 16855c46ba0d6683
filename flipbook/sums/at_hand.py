"""What a sum is asked with: the words said, and the shop and the piece that it is for, read when they are wanted."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from flipbook.books.lots import ProductShelf
from flipbook.books.reckon import Books
from flipbook.cli.ending import PROBLEMS, Ended, Misused, shop_at
from flipbook.cli.terminal import show_problems
from flipbook.compile import check_shop
from flipbook.entry.said import piece_said, read_or_refuse, read_words
from flipbook.measures.lengths import Size, read_length, read_size
from flipbook.measures.unreadable import shown
from flipbook.shop.choosing import Chosen, read_piece
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import folded, nearest
from flipbook.shop.reading import source_lines
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.setup import Product
from flipbook.trade.cautions import OILY_RAGS, Caution
from flipbook.trade.kinds import kind_used

T = TypeVar("T")
Usual = TypeVar("Usual")


@dataclass
class AtHand:
    """The shop and the piece that a sum is asked for, read when they are wanted."""

    arguments: argparse.Namespace
    page: str
    said_of_shelf: list[str] = field(default_factory=list)

    @cached_property
    def root(self) -> Path | None:
        """The shop's folder: as said, else the nearest above, else none. Raises Misused when one is wanted."""
        if self.arguments.shop is not None or self.arguments.piece is not None:
            return shop_at(self.arguments.shop)
        try:
            return shop_at(None)
        except Misused:
            return None

    @cached_property
    def chosen(self) -> Chosen | None:
        if self.arguments.piece is None:
            return None
        assert self.root is not None  # a piece is of a shop
        return piece_said(self.root, self.arguments.piece, self.page)

    @cached_property
    def piece(self) -> Piece | None:
        """The piece's record. Raises Ended where it cannot be read, and its problems were shown."""
        return self.read(self.chosen.piece.folder) if self.chosen is not None else None

    def read(self, folder: str) -> Piece:
        """The record of a piece of the shop. Raises Ended where it cannot be read, and its problems were shown."""
        assert self.root is not None
        read = read_piece(ShopFolder(self.root), folder)
        if isinstance(read, list):
            show_problems(read, source_lines(self.root), sys.stderr)
            raise Ended(PROBLEMS)
        return read

    @cached_property
    def books(self) -> Books | None:
        """The books of the shop; none without a shop, and none where it has problems, which is said of the shelf."""
        if self.root is None:
            return None
        books = check_shop(self.root).books
        if books is None:
            self.said_of_shelf.append("The shelf is not told: the shop has problems, which `flipbook check` shows.")
        return books

    @property
    def products(self) -> dict[str, Product]:
        return self.books.facts.products if self.books is not None else {}

    def on_shelf(self, name: str) -> ProductShelf | None:
        """A product of the shelf; where its name is not there, the nearest is said."""
        if self.books is None:
            return None
        found = self.books.shelf.products.get(folded(name))
        if found is None and self.books.shelf.products:
            near = nearest(name, [product.name for product in self.books.shelf.products.values()])
            hint = f"; the nearest there is `{near}`" if near else ""
            self.said_of_shelf.append(f"`{shown(name)}` was never bought for the shelf{hint}.")
        return found

    @property
    def words(self) -> str:
        """All that was said without an option."""
        return " ".join(self.arguments.words)

    def of_words(self, read: Callable[[str], T], what: str) -> T:
        """What they say, read. Raises Misused, naming `what` was misread."""
        return read_or_refuse(self.words, read, what)

    def did(self, usual: str) -> str:
        """The words of `--did`, for a log; `usual` where none were said. Raises Misused."""
        return self.said("--did", read_words, usual)

    def text(self, option: str) -> str | None:
        """What stands behind an option, as `--width`; none where it was not said."""
        text = getattr(self.arguments, option.strip("-").replace("-", "_"))
        assert text is None or isinstance(text, str)
        return text

    def said(self, option: str, read: Callable[[str], T], usual: Usual) -> T | Usual:
        """What an option says, read; `usual` where it was not said. Raises Misused, naming the option."""
        text = self.text(option)
        return usual if text is None else read_or_refuse(text, read, option)

    def length(self, option: str, usual: Usual) -> Fraction | Usual:
        """An exact length in millimetres. Raises Misused."""
        return self.said(option, read_length, usual)

    def lengths(self, option: str) -> list[Fraction]:
        """The lengths of an option that may be said again and again. Raises Misused."""
        texts = getattr(self.arguments, option.strip("-").replace("-", "_"))
        return [read_or_refuse(text, read_length, option) for text in texts]

    def number(self, option: str, usual: Usual) -> int | Usual:
        """A whole number. Raises Misused."""
        text = self.text(option)
        if text is None:
            return usual
        if not re.fullmatch("#?[0-9]{1,4}", text.strip()):
            raise Misused(f"{option}: `{shown(text)}` is no whole number; write it as `{option} 4`")
        return int(text.strip().removeprefix("#"))

    def choice(self, option: str, known: tuple[str, ...]) -> str:
        """One of the words known; the first where none was said. Raises Misused."""
        text = self.text(option)
        word = known[0] if text is None else text.strip().lower()
        if word not in known:
            raise Misused(f"{option}: `{shown(text or '')}` is not known; write {', '.join(known[:-1])} or {known[-1]}")
        return word

    def file(self, option: str, ending: str) -> Path | None:
        """The file that an option names. Raises Misused unless it ends as such a file does."""
        text = self.text(option)
        if text is None:
            return None
        if not text.strip() or "\0" in text:
            raise Misused(f"{option} wants a file's name, as `layout{ending}`")
        path = Path(text)
        if path.suffix.lower() != ending:
            raise Misused(f"{option} writes a {ending} file; say `{path.name or 'layout'}{ending}`")
        return path

    @property
    def size(self) -> Size | None:
        """The size that was said, else the piece's own."""
        said = self.said("--size", read_size, None) if "size" in self.arguments else None
        return said or (self.piece.size if self.piece is not None else None)

    def caution(self, caution: Caution) -> list[str]:
        """A caution in a line, but where the piece's file says that it was seen to."""
        if self.piece is not None and caution.name in (folded(name) for name in self.piece.seen_to):
            return []
        return [f"Caution, {caution.name}: {caution.first}"]

    def rags(self, names: Iterable[str]) -> list[str]:
        """The caution about oily rags, where one of some products warms as it dries."""
        warms = any(kind_used(name, self.products).warms for name in names)
        return self.caution(OILY_RAGS) if warms else []
