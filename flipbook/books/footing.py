"""The proof that the books foot: the same money, summed in several ways, comes to the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from flipbook.books.again import Again, anew
from flipbook.books.costs import SHELF_USE, CostSheet
from flipbook.books.landed import FOUND, MATERIAL, Landed, LandedReceipt
from flipbook.books.ledger import Row
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockYear
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO


class BooksDoNotFoot(Exception):
    """A fault of this program, never of the shop's files: two sums of the same money differ."""

    def __init__(self, what: str, one: Decimal, other: Decimal) -> None:
        super().__init__(f"{what}: {one:.2f} against {other:.2f}, a difference of {one - other:.2f}")


@dataclass(frozen=True, slots=True)
class Proof:
    """What was held against what, and came to the same to the cent."""

    rows: int
    receipts: int
    money_in: Decimal
    money_out: Decimal
    cost_of_goods_sold: Decimal

    @property
    def words(self) -> str:
        """The proof in one line."""
        receipts = (
            "the parts of 1 receipt to its total"
            if self.receipts == 1
            else f"the parts of {self.receipts} receipts to their totals"
        )
        return (
            f"The books foot: {self.rows} {'movement comes' if self.rows == 1 else 'movements come'} to the same by kind, piece, "
            f"month and year; {receipts}; cost of goods sold to {self.cost_of_goods_sold:,.2f} by the form and by the pieces."
        )


def prove(
    landed: Landed,
    sheets: Sequence[CostSheet],
    shelf: Shelf,
    rows: Sequence[Row],
    stock: Sequence[StockYear],
    again: Again = anew,
) -> Proof:
    """Raise BooksDoNotFoot for the first pair of sums that differ; else say what was proved."""
    for file, receipts in landed.items():
        again(("receipts foot", file), _receipts_foot, receipts)
    came, went = _sums(rows)
    for what, one, other in _pairs(sheets, shelf, rows, came, went, stock):
        _same(what, one, other)
    return Proof(
        rows=len(rows),
        receipts=sum(map(len, landed.values())),
        money_in=came.whole,
        money_out=went.whole,
        cost_of_goods_sold=_sum(year.by_pieces for year in stock),
    )


def _same(what: str, one: Decimal, other: Decimal) -> None:
    if one != other:
        raise BooksDoNotFoot(what, one, other)


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, ZERO)


def _receipts_foot(receipts: Iterable[LandedReceipt]) -> None:
    for landed in receipts:
        receipt = landed.receipt
        paid = receipt.paid if receipt.got_back is None else -receipt.got_back
        parts = _sum(part.landed for part in landed.parts)
        _same(f"the parts of the receipt at {receipt.spot} and its total", parts, paid)


def _pairs(
    sheets: Sequence[CostSheet],
    shelf: Shelf,
    rows: Sequence[Row],
    came: _Sums,
    went: _Sums,
    stock: Sequence[StockYear],
) -> Iterator[tuple[str, Decimal, Decimal]]:
    for way, sums in (("in", came), ("out", went)):
        for name, grouped in sums.groupings([in_year.year for in_year in stock]):
            yield f"money {way} by {name} and in all", _sum(grouped), sums.whole

    own = _sum(
        sheet.filed.piece.found.basis for sheet in sheets if sheet.filed.piece.found and sheet.filed.piece.found.own
    )
    on_sheets = _sum(sheet.sum_of(column) for sheet in sheets for column in (FOUND, MATERIAL))
    in_ledger = _sum(went.by_kind[kind] - came.by_kind[kind] for kind in (FOUND, MATERIAL))
    yield "found and material costs on the cost sheets and in the ledger", on_sheets - own, in_ledger
    used = _sum(sheet.sum_of(SHELF_USE) for sheet in sheets)
    wasted = _sum(taking.cost for taking in shelf.takings if not taking.piece)
    gained = _sum(returned.gain for returned in shelf.returned)
    left = _sum(product.value_left for product in shelf.products.values())
    shelved = went.by_kind["shelf"] - came.by_kind["shelf"]
    yield (
        "what was bought for the shelf and what was used, wasted and left",
        shelved + shelf.opening + gained,
        used + wasted + left,
    )
    takings = _sum(sheet.takings for sheet in sheets)
    tax_back = _sum(back.amount - back.income for sheet in sheets for back in sheet.given_back)
    from_buyers = _sum(row.money_in for row in rows if row.piece and row.kind in ("sale", "delivery"))
    yield "takings on the cost sheets and in the ledger", takings, from_buyers - went.by_kind["refund"] + tax_back
    for year in stock:
        yield (
            f"cost of goods sold in {year.year.title} by the form and by the pieces",
            year.cost_of_goods_sold,
            year.by_pieces,
        )


@dataclass(frozen=True, slots=True)
class _Sums:
    """What moved in or out by the ledger, in all and grouped."""

    whole: Decimal
    by_kind: dict[str, Decimal] = field(default_factory=lambda: defaultdict(lambda: ZERO))
    by_piece: dict[str, Decimal] = field(default_factory=lambda: defaultdict(lambda: ZERO))
    by_day: dict[date, Decimal] = field(default_factory=lambda: defaultdict(lambda: ZERO))

    def groupings(self, years: Sequence[TaxYear]) -> Iterator[tuple[str, Iterable[Decimal]]]:
        """By kind, by piece, by month and by year; the last two by way of the days."""
        by_month: dict[tuple[int, int], Decimal] = defaultdict(lambda: ZERO)
        in_years = []
        for day, moved in self.by_day.items():
            by_month[day.year, day.month] += moved
            in_years += [moved for year in years if day in year]  # in none or in two, it is found out by the sum
        yield from (
            ("kind", self.by_kind.values()),
            ("piece", self.by_piece.values()),
            ("month", by_month.values()),
            ("year", in_years),
        )


def _sums(rows: Sequence[Row]) -> tuple[_Sums, _Sums]:
    """What came in and what went out; were a row to hold both, its groups would not come to the whole."""
    came, went = _Sums(_sum(row.money_in for row in rows)), _Sums(_sum(row.money_out for row in rows))
    for row in rows:
        sums, moved = (went, row.money_out) if row.money_out else (came, row.money_in)
        sums.by_kind[row.kind] += moved
        sums.by_piece[row.piece] += moved
        sums.by_day[row.day] += moved
    return came, went
