"""What a sealed year says, as values and as the keys of its file, and the digests that show a change."""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass, field, fields
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, ClassVar, NamedTuple

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
class Figure:
    """A line of a year, without what is behind it."""

    key: str
    label: str
    caption: str
    amount: Decimal

    @property
    def digest(self) -> str:
        """The digest of the line, with its facts where it has them."""
        return _digest(self._plain())

    def _plain(self) -> list[object]:
        return [self.key, self.label, self.caption, write_money(self.amount)]


@dataclass(frozen=True, slots=True, kw_only=True)
class SealedLine(Figure):
    """A line of the year, and the facts that it is the sum of; a line made of other lines has none."""

    facts: tuple[Fact, ...] = ()

    def _plain(self) -> list[object]:
        return [self.key, self.label, self.caption, write_money(self.amount), *map(_plain, self.facts)]


@dataclass(frozen=True, slots=True, kw_only=True)
class InStock:
    """A piece in hand, or with no `piece` something on the shelf, at what it had cost."""

    piece: str
    what: str
    amount: Decimal


class Setting(NamedTuple):
    """A setting of shop.yaml, and what it said."""

    setting: str
    is_: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Seal:
    """A tax year as it stood on the day it was sealed. `settings` are those of shop.yaml that its sums went by."""

    year: int
    sealed_on: date
    currency: str
    rules: str
    start: date
    end: date
    settings: tuple[Setting, ...]
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
    lines: tuple[Figure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearRecord:
    """All that is kept of one tax year: the seal that holds, if one does, and those that were opened."""

    year: int
    seal: Seal | None
    opened: tuple[Opening, ...] = ()

    @property
    def digest(self) -> str:
        """The digest of all that is kept of the year, its lines by their own digests."""
        opened = [
            [str(o.sealed_on), o.digest, str(o.opened_on), o.why, *(line.digest for line in o.lines)]
            for o in self.opened
        ]
        seal = self.seal
        if seal is None:
            return _digest([self.year, opened])
        about = [str(seal.sealed_on), seal.currency, seal.rules, str(seal.start), str(seal.end), seal.settings]
        lines = [line.digest for line in seal.lines]
        stock = [
            [[entry.piece, entry.what, write_money(entry.amount)] for entry in entries]
            for entries in (seal.stock_at_the_start, seal.stock_at_the_end)
        ]
        return _digest([self.year, about, lines, stock, [_plain(fact) for fact in seal.behind_the_stock], opened])


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
        digest=record.digest,
        opened_on=day,
        why=writable(why),
        lines=tuple(Figure(key=f.key, label=f.label, caption=f.caption, amount=f.amount) for f in seal.lines),
    )
    return YearRecord(year=record.year, seal=None, opened=(*record.opened, opening))


def writable(text: str) -> str:
    """`text` with a question mark for what no UTF-8 file can hold: half characters of a broken name."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _figure(text: str) -> Decimal:
    if not re.fullmatch(r"-?(?:0|[1-9][0-9]{0,14})\.[0-9]{2}", text):
        raise Unreadable(f"`{shown(text)}` is not a figure of a seal", "a seal has figures to the cent, as `185.00`")
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


Cents = Annotated[Decimal, measure("seal-figure", _figure, "a sum to the cent", "185.00")]
YearName = Annotated[int, measure("seal-year", _year, "a year", "2025")]
Digest = Annotated[str, measure("seal-digest", _digest_read, "sixteen signs", "0123456789abcdef")]
# The seal remembers texts to the last space.
Exact = Annotated[str, Read(_as_written, {"type": "string"})]


class KeptValue(Record):
    """A mapping of a year's file. Its keys, in the order of the file, are the attributes of a value of `shape`."""

    shape: ClassVar[type]

    def value(self, **more: object) -> Any:
        """The value that the mapping says, `more` being what does not stand in it."""
        read = {about.name for about in fields(self.shape)} & type(self).model_fields.keys()
        return self.shape(**{name: _value(getattr(self, name)) for name in read}, **more)


def _value(read: Any) -> Any:
    if isinstance(read, tuple):
        return tuple(entry.value() for entry in read)
    return read


class FactWritten(KeptValue):
    """A fact behind a figure."""

    shape = Fact
    day: Day = Field(alias="on")
    kind: Words
    piece: Exact = ""
    what: Exact = ""
    taken: Exact = ""
    amount: Cents
    file: Exact


class FigureWritten(KeptValue):
    """A line of a seal that was opened."""

    shape = Figure
    key: Exact
    label: Exact = Field(default="", alias="line")
    caption: Exact = ""
    amount: Cents


class LineWritten(FigureWritten):
    """A line of a sealed year, with what it is the sum of."""

    shape = SealedLine
    digest: Digest
    facts: Annotated[tuple[FactWritten, ...], Many] = ()


class StockWritten(KeptValue):
    """A piece in hand, or what was on the shelf."""

    shape = InStock
    piece: Exact = ""
    what: Exact = ""
    amount: Cents


class SettingWritten(KeptValue):
    """A setting of shop.yaml that the sums went by."""

    shape = Setting
    setting: Exact
    is_: Exact = Field(alias="is")

    def value(self, **more: object) -> Setting:
        return Setting(self.setting, self.is_)


class SealWritten(KeptValue):
    """A seal that holds."""

    shape = Seal
    sealed_on: Day = Field(alias="sealed")
    currency: Words
    rules: Words
    start: Day = Field(alias="from")
    end: Day = Field(alias="to")
    settings: Annotated[tuple[SettingWritten, ...], Many] = ()
    lines: Annotated[tuple[LineWritten, ...], Many] = ()
    stock_at_the_start: Annotated[tuple[StockWritten, ...], Many] = ()
    stock_at_the_end: Annotated[tuple[StockWritten, ...], Many] = ()
    behind_the_stock: Annotated[tuple[FactWritten, ...], Many] = ()


class OpeningWritten(KeptValue):
    """A seal that was opened, and why."""

    shape = Opening
    sealed_on: Day = Field(alias="sealed")
    digest: Digest
    opened_on: Day = Field(alias="opened")
    why: Exact
    lines: Annotated[tuple[FigureWritten, ...], Many] = Field(default=(), alias="figures")


class YearFile(KeptValue):
    """A file of years/."""

    shape = YearRecord
    year: YearName
    digest: Digest
    seal: SealWritten | None = None
    opened: Annotated[tuple[OpeningWritten, ...], Many] = ()

    def value(self, **more: object) -> YearRecord:
        seal = self.seal.value(year=self.year) if self.seal else None
        return YearRecord(year=self.year, seal=seal, opened=_value(self.opened))
