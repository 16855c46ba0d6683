"""What a sealed year says, as values and as the keys of its file, and the digests that show a change."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from flipbook.measures.money import write_money
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.fields import Many, Read, measure, text_of
from flipbook.shop.problems import Place
from flipbook.shop.records.base import Record
from flipbook.shop.written import Day, Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One sum behind a figure and the file that it is written in.

    `kind` is a term of the form (`sale`, `refund`, ...) or what the fact did to stock; `taken` says how much of a
    product left the shelf. `place` is known for a fact of the books, and not for one that a seal remembers.
    """

    day: date
    kind: str
    piece: str
    what: str
    amount: Decimal
    file: str
    taken: str = ""
    place: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SealedLine:
    """A line of the year, and the facts that it is the sum of; a line made of other lines has none."""

    key: str
    label: str
    caption: str
    amount: Decimal
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class InStock:
    """A piece in hand, or with no `piece` something on the shelf, at what it had cost."""

    piece: str
    what: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """A tax year as it stood on the day it was sealed. `settings` are those of shop.yaml that its sums went by."""

    year: int
    sealed_on: date
    currency: str
    rules: str
    start: date
    end: date
    settings: tuple[tuple[str, str], ...]
    lines: tuple[SealedLine, ...]
    stock_at_the_start: tuple[InStock, ...]
    stock_at_the_end: tuple[InStock, ...]
    behind_the_stock: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A seal that was opened: when, why, and the figures that it held."""

    sealed_on: date
    digest: str
    opened_on: date
    why: str
    lines: tuple[SealedLine, ...]
    """The lines without their facts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRecord:
    """All that is kept of one tax year: the seal that holds, if one does, and those that were opened."""

    year: int
    seal: Seal | None
    opened: tuple[Opening, ...] = ()


def line_digest(line: SealedLine) -> str:
    """The digest of a line with its facts."""
    return _digest([line.key, line.label, line.caption, write_money(line.amount), *map(_plain, line.facts)])


def whole_digest(record: YearRecord) -> str:
    """The digest of all that is kept of a year, its lines by their own digests."""
    opened = [[str(o.sealed_on), o.digest, str(o.opened_on), o.why, *map(line_digest, o.lines)] for o in record.opened]
    seal = record.seal
    if seal is None:
        return _digest([record.year, opened])
    about = [str(seal.sealed_on), seal.currency, seal.rules, str(seal.start), str(seal.end), seal.settings]
    stock = [
        [[entry.piece, entry.what, write_money(entry.amount)] for entry in entries]
        for entries in (seal.stock_at_the_start, seal.stock_at_the_end)
    ]
    return _digest(
        [
            record.year,
            about,
            [line_digest(line) for line in seal.lines],
            stock,
            [_plain(f) for f in seal.behind_the_stock],
            opened,
        ]
    )


def _plain(fact: Fact) -> list[str]:
    return [str(fact.day), fact.kind, fact.piece, fact.what, write_money(fact.amount), fact.file, fact.taken]


def _digest(content: object) -> str:
    # ASCII with fixed separators: the same bytes for the same content on any machine.
    return hashlib.sha256(json.dumps(content, separators=(",", ":")).encode("ascii")).hexdigest()[:16]


def opened_again(record: YearRecord, day: date, why: str) -> YearRecord:
    """The record with its seal opened on `day`. Raises ValueError when no seal holds."""
    seal = record.seal
    if seal is None:
        raise ValueError(f"{record.year} is not sealed")
    opening = Opening(
        sealed_on=seal.sealed_on,
        digest=whole_digest(record),
        opened_on=day,
        why=writable(why),
        lines=tuple(
            SealedLine(key=line.key, label=line.label, caption=line.caption, amount=line.amount) for line in seal.lines
        ),
    )
    return YearRecord(year=record.year, seal=None, opened=(*record.opened, opening))


def writable(text: str) -> str:
    """`text` with a question mark for what no UTF-8 file can hold: half characters of a broken name."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _figure(text: str) -> Decimal:
    if not re.fullmatch(r"-?(?:0|[1-9][0-9]{0,14})\.[0-9]{2}", text):
        raise Unreadable(f"`{shown(text)}` is not a figure of a seal", "a seal has figures to the cent, as `380.00`")
    return Decimal(text)


def _year(text: str) -> int:
    if not re.fullmatch(r"(?:19|20)[0-9]{2}|2100", text):
        raise Unreadable(f"`{shown(text)}` is not a year", "write it as `2025`")
    return int(text)


def _digest_read(text: str) -> str:
    if not re.fullmatch(r"[0-9a-f]{16}", text):
        raise Unreadable(f"`{shown(text)}` is not a digest", "a digest has sixteen signs, 0 to 9 and a to f")
    return text


def _as_written(node: Any, info: ValidationInfo) -> str:
    return text_of(node, info).text


Figure = Annotated[Decimal, measure("seal-figure", _figure, "a sum to the cent", "380.00")]
YearName = Annotated[int, measure("seal-year", _year, "a year", "2025")]
Digest = Annotated[str, measure("seal-digest", _digest_read, "sixteen signs", "0123456789abcdef")]
# The seal remembers texts to the last space.
Exact = Annotated[str, Read(_as_written, {"type": "string"})]


class FactWritten(Record):
    """A fact behind a figure."""

    on: Day
    kind: Words
    piece: Exact = ""
    what: Exact = ""
    taken: Exact = ""
    amount: Figure
    file: Exact

    def fact(self) -> Fact:
        return Fact(
            day=self.on,
            kind=self.kind,
            piece=self.piece,
            what=self.what,
            amount=self.amount,
            file=self.file,
            taken=self.taken,
        )


class FigureWritten(Record):
    """A line of a seal that was opened."""

    key: Exact
    line: Exact = ""
    caption: Exact = ""
    amount: Figure

    def sealed(self) -> SealedLine:
        return SealedLine(key=self.key, label=self.line, caption=self.caption, amount=self.amount)


class LineWritten(FigureWritten):
    """A line of a sealed year, with what it is the sum of."""

    digest: Digest
    facts: Annotated[tuple[FactWritten, ...], Many] = ()

    def sealed(self) -> SealedLine:
        facts = tuple(written.fact() for written in self.facts)
        return SealedLine(key=self.key, label=self.line, caption=self.caption, amount=self.amount, facts=facts)


class StockWritten(Record):
    """A piece in hand, or what was on the shelf."""

    piece: Exact = ""
    what: Exact = ""
    amount: Figure

    def in_stock(self) -> InStock:
        return InStock(piece=self.piece, what=self.what, amount=self.amount)


class SettingWritten(Record):
    """A setting of shop.yaml that the sums went by."""

    setting: Exact
    is_: Exact = Field(alias="is")


class SealWritten(Record):
    """A seal that holds."""

    sealed: Day
    currency: Words
    rules: Words
    from_: Day = Field(alias="from")
    to: Day
    settings: Annotated[tuple[SettingWritten, ...], Many] = ()
    lines: Annotated[tuple[LineWritten, ...], Many] = ()
    stock_at_the_start: Annotated[tuple[StockWritten, ...], Many] = ()
    stock_at_the_end: Annotated[tuple[StockWritten, ...], Many] = ()
    behind_the_stock: Annotated[tuple[FactWritten, ...], Many] = ()

    def seal(self, year: int) -> Seal:
        return Seal(
            year=year,
            sealed_on=self.sealed,
            currency=self.currency,
            rules=self.rules,
            start=self.from_,
            end=self.to,
            settings=tuple((written.setting, written.is_) for written in self.settings),
            lines=tuple(line.sealed() for line in self.lines),
            stock_at_the_start=tuple(entry.in_stock() for entry in self.stock_at_the_start),
            stock_at_the_end=tuple(entry.in_stock() for entry in self.stock_at_the_end),
            behind_the_stock=tuple(written.fact() for written in self.behind_the_stock),
        )


class OpeningWritten(Record):
    """A seal that was opened, and why."""

    sealed: Day
    digest: Digest
    opened: Day
    why: Exact
    figures: Annotated[tuple[FigureWritten, ...], Many] = ()

    def opening(self) -> Opening:
        return Opening(
            sealed_on=self.sealed,
            digest=self.digest,
            opened_on=self.opened,
            why=self.why,
            lines=tuple(figure.sealed() for figure in self.figures),
        )


class YearFile(Record):
    """A file of years/."""

    year: YearName
    digest: Digest
    seal: SealWritten | None = None
    opened: Annotated[tuple[OpeningWritten, ...], Many] = ()

    def record(self) -> YearRecord:
        return YearRecord(
            year=self.year,
            seal=self.seal.seal(self.year) if self.seal else None,
            opened=tuple(written.opening() for written in self.opened),
        )
