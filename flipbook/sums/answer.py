"""What the sums of the workshop share on the command line: the piece they are for, the answer, and what is written.

A sum itself is in `workshop/`; the modules `reckon_*.py` read the words that it is asked in and tell its answer.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from shutil import get_terminal_size
from typing import NamedTuple, TypeVar

from flipbook.books.footing import BooksDoNotFoot
from flipbook.books.lots import ProductShelf
from flipbook.books.reckon import Books
from flipbook.cli.ending import DONE, PROBLEMS, Misused, fault_of_ours, reason, shop_at
from flipbook.cli.terminal import show_json, show_problems
from flipbook.compile import check_shop
from flipbook.entry.entering import Entering, after_its_day, write_down
from flipbook.entry.said import piece_said, read_or_refuse
from flipbook.looking.telling import wrapped
from flipbook.measures.amounts import Amount
from flipbook.measures.lengths import Size, Tell, read_length, read_size, tell_inches, tell_millimetres
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.choosing import Chosen, read_piece
from flipbook.shop.editing import Entry, appended
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import folded, nearest
from flipbook.shop.reading import source_lines
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.setup import Product
from flipbook.trade.cautions import OILY_RAGS, Caution
from flipbook.trade.kinds import kind_used

T = TypeVar("T")
Data = dict[str, object]

WIDEST = 80
_METRIC = ("mm", "cm", " m")


class CannotRead(Exception):
    """The piece's own file cannot be read; its problems were shown."""


class Row(NamedTuple):
    """A line of a table: what stands before it, and words that are broken under one another."""

    lead: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What a sum says: the answer in lines, what to look out for, how it was reckoned, and the same for a program.

    `planned` are steps still to be done, `step` one that was done on `day`, in the form that a file has them; `--jot`
    writes them.
    `files` are written besides, each with what it is.
    """

    lines: Sequence[str | Row]
    working: Sequence[str]
    data: Data
    warnings: Sequence[str] = ()
    planned: Sequence[Entry] = ()
    step: dict[str, Entry] | None = None
    day: date | None = None
    cannot_jot: str = ""
    files: Sequence[tuple[Path, bytes, str]] = ()


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
        """The piece's record. Raises CannotRead."""
        return self.read(self.chosen.piece.folder) if self.chosen is not None else None

    def read(self, folder: str) -> Piece:
        """The record of a piece of the shop. Raises CannotRead."""
        assert self.root is not None
        read = read_piece(ShopFolder(self.root), folder)
        if isinstance(read, list):
            show_problems(read, source_lines(self.root), sys.stderr)
            raise CannotRead
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
    def size(self) -> Size | None:
        """The size that was said, else the piece's own."""
        said = getattr(self.arguments, "size", None)
        if said is not None:
            return read_or_refuse(said, read_size, "--size")
        return self.piece.size if self.piece is not None else None

    def caution(self, caution: Caution) -> list[str]:
        """A caution in a line, but where the piece's file says that it was seen to."""
        if self.piece is not None and caution.name in (folded(name) for name in self.piece.seen_to):
            return []
        return [f"Caution, {caution.name}: {caution.first}"]

    def rags(self, names: Iterable[str]) -> list[str]:
        """The caution about oily rags, where one of some products warms as it dries."""
        warms = any(kind_used(name, self.products).warms for name in names)
        return self.caution(OILY_RAGS) if warms else []


def said(text: str, read: Callable[[str], T], what: str) -> T:
    """What a word of the command line says. Raises Misused, naming `what` was misread."""
    return read_or_refuse(text, read, what)


def reckoned(sum_of: Callable[[], T]) -> T:
    """The result of a sum; what it refuses is a misuse of the command."""
    try:
        return sum_of()
    except Unreadable as fault:
        raise Misused(f"{fault.says}; {fault.write}") from None


def telling(*texts: str | None) -> Tell:
    """How lengths are told: in millimetres where all that was said is metric, else as a tape is read."""
    words = [text for text in texts if text]
    metric = [any(unit in text for unit in _METRIC) and "in" not in text.replace("min", "") for text in words]
    return tell_millimetres if words and all(metric) else tell_inches


def length_said(text: str | None, option: str) -> Fraction:
    """An exact length in millimetres; nothing where none was said. Raises Misused."""
    return Fraction(0) if text is None else said(text, read_length, option)


def number_said(text: str, option: str) -> int:
    if not re.fullmatch("[0-9]{1,4}", text.strip()):
        raise Misused(f"{option}: `{shown(text)}` is no whole number; write it as `{option} 4`")
    return int(text)


def choice_said(text: str, known: tuple[str, ...], option: str) -> str:
    word = text.strip().lower()
    if word not in known:
        raise Misused(f"{option}: `{shown(text)}` is not known; write {', '.join(known[:-1])} or {known[-1]}")
    return word


def amount_data(amount: Amount | None) -> str | None:
    return None if amount is None else str(amount)


def length_data(length: Fraction) -> str:
    """A length for a program: exact millimetres as a decimal."""
    return write_decimal(length, places=4)


def tell_answer(answer: Answer, at_hand: AtHand) -> int:
    """Say an answer, write the files that go with it, and jot it down when that was asked."""
    arguments = at_hand.arguments
    if arguments.jot and arguments.json:
        raise Misused("--json answers a program and --jot writes into a log; say one of the two")
    if arguments.jot:
        _refuse_jot(answer, at_hand)
    written = [_write(path, data, what) for path, data, what in answer.files]
    if arguments.json:
        piece = at_hand.chosen.piece.folder if at_hand.chosen else None
        show_json(
            {
                "sum": arguments.inner,
                "piece": piece,
                **answer.data,
                "warnings": list(answer.warnings),
                "working": list(answer.working),
                "files": [str(path) for path, _, _ in answer.files],
            }
        )
        return DONE
    width = min(get_terminal_size().columns or WIDEST, WIDEST)
    if at_hand.chosen is not None and at_hand.chosen.note:
        _put(at_hand.chosen.note, width)
    for told in answer.lines:
        if isinstance(told, Row):
            _put(told.words, width, first=told.lead, rest=" " * len(told.lead))
        else:
            _put(told, width)
    for line in answer.warnings:
        _put(line, width, first="! ")
    for line in at_hand.said_of_shelf:
        _put(line, width)
    for line in answer.working:
        _put(line, width, first="  ", rest="    ")
    for line in written:
        _put(line, width)
    return _jot(answer, at_hand) if arguments.jot else DONE


def _put(line: str, width: int, first: str = "", rest: str = "  ") -> None:
    sys.stdout.write("\n".join(wrapped(line, width, first, rest)) + "\n")


def _refuse_jot(answer: Answer, at_hand: AtHand) -> None:
    if at_hand.chosen is None:
        raise Misused("--jot writes into a piece's log; say which with `--piece PIECE`")
    if not answer.planned and answer.step is None:
        raise Misused(answer.cannot_jot or "there is nothing in this to write into a log")
    if answer.planned and at_hand.chosen.has_left:
        folder = at_hand.chosen.piece.folder
        raise Misused(
            f"`{folder}` is {at_hand.chosen.state}, so nothing is left to plan for it; name a piece in the shop"
        )


def _jot(answer: Answer, at_hand: AtHand) -> int:
    """Write the answer into the piece's file."""
    assert at_hand.chosen is not None
    assert at_hand.root is not None
    file = at_hand.chosen.piece.file
    keys = tuple(Piece.keys.values())

    def edit(data: bytes) -> bytes:
        for entry in answer.planned:
            data = appended(file, data, ["planned"], entry, keys=keys)
        if answer.step is not None:
            before = after_its_day(data, ["log"], answer.day) if answer.day is not None else None
            data = appended(file, data, ["log"], answer.step, before=before, keys=keys)
        return data

    write_down(at_hand.root, Entering(file=file, edit=edit))
    return DONE


def _write(path: Path, data: bytes, what: str) -> str:
    """Write a file beside the shop's; one that is something else is left alone. Raises Misused."""
    try:
        if path.exists():
            start = path.read_bytes()[:40] if path.is_file() else b""
            if start[:12] != data[:12]:
                raise Misused(f"{path} is there already, and is another kind of file; say another name")
        path.write_bytes(data)
    except OSError as fault:
        raise Misused(f"{path} cannot be written: {reason(fault)}; say another place") from None
    return f"Written: {path}, {what}."


def file_named(text: str, ending: str, option: str) -> Path:
    """The file that an option names. Raises Misused unless it ends as such a file does."""
    if not text.strip() or "\0" in text:
        raise Misused(f"{option} wants a file's name, as `layout{ending}`")
    path = Path(text)
    if path.suffix.lower() != ending:
        raise Misused(f"{option} writes a {ending} file; say `{path.name or 'layout'}{ending}`")
    return path


def carry_out_sum(sum_of: Callable[[AtHand], Answer], arguments: argparse.Namespace, page: str) -> int:
    """Ask a sum, and tell its answer."""
    at_hand = AtHand(arguments, page)
    try:
        return tell_answer(sum_of(at_hand), at_hand)
    except CannotRead:
        return PROBLEMS
    except BooksDoNotFoot as fault:
        return fault_of_ours(fault)
