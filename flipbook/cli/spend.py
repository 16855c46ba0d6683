"""`flipbook spend`: a receipt, for a piece, the shelf or the shop."""

from __future__ import annotations

import argparse
import sys
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path

from flipbook.cli.ending import DONE, Misused
from flipbook.entry.bringing import scan
from flipbook.entry.entering import Entering, with_entry, write_down
from flipbook.entry.said import Spoken, money_reader, read_or_refuse, read_words
from flipbook.measures.amounts import read_amount
from flipbook.measures.money import show_money, write_money
from flipbook.measures.rounding import ZERO
from flipbook.measures.unreadable import shown
from flipbook.shop.choosing import NotChosen, choose
from flipbook.shop.composing import Block, compose
from flipbook.shop.editing import Entry
from flipbook.shop.names import products_of
from flipbook.shop.nearest import folded, nearest
from flipbook.shop.records.expenses import KINDS, SHELF, kind_named
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import ReceiptFile
from flipbook.shop.said_lines import SaidLine, read_count, read_said_line, read_said_size
from flipbook.shop.starting import put_schemas

_HEADING = """\
# yaml-language-server: $schema=../.flipbook/receipts.json
# Receipts of {year} that belong to the shop, or to several pieces.

"""


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    said = Spoken(arguments)
    root, day = said.root, said.when.day
    lines = _lines_said(said)
    party = said.wanted(said.text("--from"), read_words, "--from", "From whom?")
    sums = said.money("--discount", "--tax", "--shipping", "--total")
    words = said.words("--paid-with", "--private")
    spent = _spent_on(said, lines)
    home = f"pieces/{spent.piece}" if spent.piece else "receipts"
    file = f"{home}/piece.yaml" if spent.piece else f"{home}/{day.year}.yaml"
    brought = None
    if arguments.scan is not None:
        brought = scan(root, home, "receipts" if spent.piece else "scans", arguments.scan, day, party)
    receipt = _Receipt(
        day=day, party=party, lines=lines, spent=spent, sums=sums, words=words, scan=brought.path if brought else None
    )
    known = products_of(root) if SHELF in spent.own else []
    is_begun = not (root / file).exists()
    edit = receipt.into_piece if spent.piece else receipt.into_receipts
    copies = brought.copies if brought else ()
    write_down(root, Entering(file=file, edit=lambda data: edit(file, data), copies=copies), spent.note)
    if is_begun:
        with suppress(OSError):  # an editor does without them
            put_schemas(root)
    if brought is not None:
        sys.stdout.write(f"Scan       {home}/{brought.path}\n")
    if len(lines) > 1 or sums:
        sys.stdout.write(f"Total      {show_money(receipt.total, said.currency or '')}\n")
    _say_of_the_shelf([line for line, own in zip(lines, spent.own, strict=True) if own == SHELF], known)
    return DONE


def _lines_said(said: Spoken) -> list[SaidLine]:
    """What was bought, by --line or by the options of a receipt of one line. Raises Misused."""
    what = " ".join(said.arguments.what)
    if said.arguments.lines:
        flat = [option for option in ("--cost", "--count", "--each", "--size", "--container") if said.text(option)]
        if what.strip() or flat:
            odd = f"`{what}`" if what.strip() else flat[0]
            raise Misused(f'{odd} has no place beside --line; say it in a line of its own, as --line "WHAT; COST"')
        return [
            read_or_refuse(text, lambda one: read_said_line(read_words(one), said.currency), "--line")
            for text in said.arguments.lines
        ]
    read = money_reader(said.currency, zero=True)
    what = said.wanted(what, read_words, "what was bought", "What was bought?")
    count = said.read("--count", read_count)
    each = said.read("--each", read)
    if each is not None and count is None:
        raise Misused("--each wants --count beside it, as `--count 3 --each 11.25`")
    cost = None
    if each is None or said.text("--cost") is not None:
        cost = said.wanted(said.text("--cost"), read, "--cost", "What did it cost?")
    size, container = said.text("--size"), said.text("--container")
    if size is not None:
        sized = read_said_size(" ".join(size.split()))
        if not sized:
            read_or_refuse(size, read_amount, "--size")
        size, container = sized.get("size"), container or sized.get("container")
    if container is not None:
        container = read_or_refuse(container, read_words, "--container")
    return [SaidLine(what=what, size=size, container=container, count=count, each=each, cost=cost)]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Spent:
    """What a receipt was for: the piece whose log it goes into, if any, and what each line was for."""

    piece: str
    whole: str | None
    own: tuple[str, ...]
    note: str


def _spent_on(said: Spoken, lines: list[SaidLine]) -> _Spent:
    """What was said of it by `--for` and on the lines; asked for when neither says. Raises Misused."""
    notes: dict[str, None] = {}

    def named(text: str) -> str:
        purpose, note = _purpose(said.root, text)
        notes.update({note: None} if note else {})
        return purpose

    by_option = said.text("--for")
    whole = named(by_option) if by_option is not None else None
    if whole is None and not all(line.purpose for line in lines):
        question = "For which piece, or shelf, or which kind of expense?"
        whole = named(said.wanted(None, read_words, "--for", question))
    own = tuple(named(line.purpose) if line.purpose else whole or "" for line in lines)
    first = whole or own[0]
    is_of_a_piece = kind_named(first) is None and (whole is not None or len(set(own)) == 1)
    return _Spent(piece=first if is_of_a_piece else "", whole=whole, own=own, note="\n".join(notes))


def _purpose(root: Path, said: str) -> tuple[str, str]:
    """A kind of expense, `shelf`, or the folder of a piece; and what to say of the choice. Raises Misused."""
    kind = kind_named(said)
    if kind is not None:
        return kind, ""
    chosen = choose(root, said, open_first=True)
    if isinstance(chosen, NotChosen):
        near = None if chosen.listed else nearest(said, KINDS)
        odd = f"`{shown(said)}` is no piece and no kind of expense; write `{near}`"
        raise Misused(
            odd if near else f"{chosen}\nor `shelf`, or a kind of expense: `flipbook spend --help` lists them"
        )
    return chosen.piece.folder, chosen.note


@dataclass(frozen=True, kw_only=True, slots=True)
class _Receipt:
    """A receipt as it is to be written."""

    day: date
    party: str
    lines: list[SaidLine]
    spent: _Spent
    sums: dict[str, Decimal]
    words: dict[str, str]
    scan: str | None

    @property
    def total(self) -> Decimal:
        """What was paid: as said, else the lines - discount + tax + shipping."""
        taken_off, put_on = self.sums.get("discount", ZERO), (self.sums.get(key, ZERO) for key in ("tax", "shipping"))
        lines = sum((line.price for line in self.lines), ZERO)
        return self.sums.get("total", lines - taken_off + sum(put_on, ZERO))

    def entry(self) -> dict[str, Entry]:
        """The receipt by its keys, in the order in which a person writes them; flat when it has one line."""
        said = {key: write_money(value) for key, value in self.sums.items()}
        entry: dict[str, Entry | None] = {"on": str(self.day), "from": self.party}
        if len(self.lines) > 1:
            lines = [
                _line_keys(line, own if own != (self.spent.whole or self.spent.piece) else None)
                for line, own in zip(self.lines, self.spent.own, strict=True)
            ]
            said["total"] = write_money(self.total)
            whole = None if self.spent.piece else self.spent.whole
            entry |= {"scan": self.scan, "lines": lines, **_in_order(said), "for": whole}
        else:
            purpose = self.spent.own[0] if self.spent.own[0] != self.spent.piece else None
            entry |= {**_line_keys(self.lines[0], None), **_in_order(said), "for": purpose, "scan": self.scan}
        entry |= self.words
        return {key: value for key, value in entry.items() if value is not None}

    def into_piece(self, file: str, data: bytes) -> bytes:
        """The piece's file with the receipt among its `bought:`."""
        return with_entry(file, data, ["bought"], self.entry(), self.day, Piece)

    def into_receipts(self, file: str, data: bytes) -> bytes:
        """The file of a year's receipts with the receipt in it, begun when there is none."""
        if not data:
            data = _HEADING.format(year=self.day.year).encode()
        path = ["receipts"] if isinstance(compose(file, data), Block) else []
        return with_entry(file, data, path, self.entry(), self.day, ReceiptFile)


def _in_order(sums: dict[str, str]) -> dict[str, str]:
    return {key: sums[key] for key in ("discount", "tax", "shipping", "total") if key in sums}


def _line_keys(line: SaidLine, purpose: str | None) -> dict[str, Entry]:
    keys: dict[str, Entry | None] = {
        "what": line.what,
        "size": line.size,
        "count": None if line.count is None else str(line.count),
        "each": None if line.each is None else write_money(line.each),
        "cost": None if line.cost is None else write_money(line.cost),
        "container": line.container,
        "for": purpose,
    }
    return {key: value for key, value in keys.items() if value is not None}


def _say_of_the_shelf(lines: list[SaidLine], known: list[str]) -> None:
    """What is worth a second look among the lines that went on the shelf."""
    by_fold = {folded(name): name for name in known}
    for line in lines:
        near = get_close_matches(folded(line.what)[:80], by_fold, n=1, cutoff=0.85)
        if near and folded(line.what) not in by_fold:
            sys.stdout.write(f"`{line.what}` is new on the shelf, where `{by_fold[near[0]]}` is; are they one?\n")
        if line.size is None:
            sys.stdout.write(f"`{line.what}` counts by the piece; with --size a step can take a part of it.\n")
