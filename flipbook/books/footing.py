"""The proof that the books foot: the same money, summed in several ways, comes to the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.flows import Flows
from flipbook.books.form import YearLine
from flipbook.books.landed import Landed, LandedReceipt
from flipbook.books.ledger import Movement
from flipbook.books.profile import Profile
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockYear
from flipbook.books.terms import EXPENSES, INCOME, RowKind, Term
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO


class BooksDoNotFoot(Exception):
    """A fault of this program, never of the shop's files: two sums of the same money differ."""

    def __init__(self, what: str, one: Decimal, other: Decimal) -> None:
        super().__init__(f"{what}: {one:.2f} against {other:.2f}, a difference of {one - other:.2f}")


@dataclass(frozen=True, slots=True)
class Footed:
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
    landed: Landed, sheets: Sequence[CostSheet], shelf: Shelf, rows: Sequence[Movement], stock: Sequence[StockYear]
) -> Footed:
    """Raise BooksDoNotFoot for the first pair of sums that differ; else say what was proved."""
    for receipts in landed.values():
        _receipts_foot(receipts)
    came, went = _sums(rows)
    for what, one, other in _pairs(sheets, shelf, rows, came, went, stock):
        _same(what, one, other)
    return Footed(
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
    rows: Sequence[Movement],
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
    on_sheets = _sum(sheet.sum_of(column) for sheet in sheets for column in (RowKind.FOUND, RowKind.MATERIAL))
    in_ledger = _sum(went.by_kind[kind] - came.by_kind[kind] for kind in (RowKind.FOUND, RowKind.MATERIAL))
    yield "found and material costs on the cost sheets and in the ledger", on_sheets - own, in_ledger
    used = _sum(sheet.sum_of(RowKind.SHELF) for sheet in sheets)
    wasted = _sum(withdrawal.cost for withdrawal in shelf.withdrawals if not withdrawal.piece)
    gained = _sum(returned.gain for returned in shelf.returns)
    left = _sum(product.value_left for product in shelf.products.values())
    shelved = went.by_kind[RowKind.SHELF] - came.by_kind[RowKind.SHELF]
    yield (
        "what was bought for the shelf and what was used, wasted and left",
        shelved + shelf.opening + gained,
        used + wasted + left,
    )
    takings = _sum(sheet.takings for sheet in sheets)
    tax_back = _sum(back.amount - back.income for sheet in sheets for back in sheet.refunds)
    from_buyers = _sum(row.money_in for row in rows if row.piece and row.kind in (RowKind.SALE, RowKind.DELIVERY))
    yield "takings on the cost sheets and in the ledger", takings, from_buyers - went.by_kind[RowKind.REFUND] + tax_back


def prove_form(profile: Profile, stock: StockYear, flows: Flows, lines: Sequence[YearLine]) -> None:
    """Raise BooksDoNotFoot where a year's form does not say what its stock, its pieces and its flows say.

    Cost of goods sold is held three ways: by the form's own lines, by stock and by the pieces. Profit is held against
    the flows: income, less the cost of the pieces that left, less expenses.
    """
    title, amounts = stock.year.title, {line.key: line.amount for line in lines}
    by_form = amounts.get(profile.cost_of_goods_sold, ZERO)
    _same(f"cost of goods sold in {title} by the form and by stock", by_form, stock.cost_of_goods_sold)
    _same(f"cost of goods sold in {title} by stock and by the pieces", stock.cost_of_goods_sold, stock.by_pieces)
    sums = {term: _sum(flow.amount for flow in of_term) for term, of_term in flows.items()}
    workshop = sums.pop(Term.HOME_WORKSHOP, ZERO)
    income = _sum(sign * sums.get(term, ZERO) for term, sign in INCOME.items())
    expenses = _sum(sums.get(term, ZERO) for term in EXPENSES if term not in profile.outside_profit)
    profit = income - stock.by_pieces - expenses
    if any(part.term is Term.HOME_WORKSHOP for line in profile.lines if line.not_over for part in line.terms):
        workshop = max(ZERO, min(workshop, profit))  # it makes no loss, and no loss larger
    _same(f"profit in {title} by the form and by its flows", amounts.get(profile.profit, ZERO), profit - workshop)


@dataclass(frozen=True, slots=True)
class _Sums:
    """What moved in or out by the ledger, in all and grouped."""

    whole: Decimal
    by_kind: dict[RowKind, Decimal] = field(default_factory=lambda: defaultdict(lambda: ZERO))
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


def _sums(rows: Sequence[Movement]) -> tuple[_Sums, _Sums]:
    """What came in and what went out; were a row to hold both, its groups would not come to the whole."""
    came, went = _Sums(_sum(row.money_in for row in rows)), _Sums(_sum(row.money_out for row in rows))
    for row in rows:
        sums, moved = (went, row.money_out) if row.money_out else (came, row.money_in)
        sums.by_kind[row.kind] += moved
        sums.by_piece[row.piece] += moved
        sums.by_day[row.day] += moved
    return came, went
