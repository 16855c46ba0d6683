"""From facts to books: every sum of the shop, or the problems that stand in their way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet, cost_sheets
from flipbook.books.driving import Driven, no_rate, trips_driven
from flipbook.books.footing import Proof, prove
from flipbook.books.landed import landed_parts
from flipbook.books.ledger import Row, ledger_rows
from flipbook.books.plain import YearLine, plain_year
from flipbook.books.shelf import Shelf, stock_shelf
from flipbook.books.stock import StockYear, stock_years
from flipbook.books.years import CALENDAR, TaxYear, years_between
from flipbook.measures.rounding import ZERO
from flipbook.shop.checking import days_logged
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class YearBooks:
    """One tax year: its lines, its stock, its trips, and money spent with no scan to show."""

    year: TaxYear
    lines: tuple[YearLine, ...]
    stock: StockYear
    trips: tuple[Driven, ...]
    no_receipt: tuple[Row, ...]
    money_in: Decimal
    money_out: Decimal

    def amount(self, caption: str) -> Decimal:
        """The amount of the line with that caption; nothing when it was left out."""
        return next((line.amount for line in self.lines if line.caption == caption), ZERO)


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesTax:
    """Sales tax: what buyers paid, what went back to them, what was handed over; the rest is owed to the state."""

    collected: Decimal
    given_back: Decimal
    handed_over: Decimal

    @property
    def owed(self) -> Decimal:
        return self.collected - self.given_back - self.handed_over


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """All the sums of a shop."""

    facts: Facts
    sheets: tuple[CostSheet, ...]
    shelf: Shelf
    ledger: tuple[Row, ...]
    trips: tuple[Driven, ...]
    years: tuple[YearBooks, ...]
    sales_tax: SalesTax
    proof: Proof


def reckon(facts: Facts) -> tuple[Books | None, list[Problem]]:
    """The books of a shop, and what is wrong in its sums; with an error there are no books.

    Raises BooksDoNotFoot, a fault of this program, when two sums of the same money differ.
    """
    problems = list(_not_reckoned_yet(facts))
    parts = [part for slip in facts.slips() for part in landed_parts(slip)]
    shelf = stock_shelf(facts, parts)
    problems += shelf.problems
    if any(not problem.warning for problem in problems):
        return None, problems
    trips = trips_driven(facts, no_rate)
    sheets = cost_sheets(facts, parts, shelf.takings, trips)
    rows = ledger_rows(facts, parts, sheets)
    starts = facts.tax.year_starts or CALENDAR
    days = [*days_logged(facts), *_days_of_opening(facts)]
    years = years_between(min(days), max(days), starts) if days else []
    stock = stock_years(years, sheets, shelf)
    proof = prove(facts, parts, sheets, shelf, rows, stock)
    return Books(
        facts=facts,
        sheets=tuple(sheets),
        shelf=shelf,
        ledger=tuple(rows),
        trips=tuple(trips),
        years=tuple(
            _year(year, plain_year(year.year, facts, parts, sheets, year, starts), rows, trips) for year in stock
        ),
        sales_tax=_sales_tax(rows, sheets),
        proof=proof,
    ), problems


def _year(stock: StockYear, lines: tuple[YearLine, ...], rows: list[Row], trips: list[Driven]) -> YearBooks:
    year = stock.year
    in_year = [row for row in rows if row.day in year]
    return YearBooks(
        year=year,
        lines=lines,
        stock=stock,
        trips=tuple(trip for trip in trips if trip.day in year),
        no_receipt=tuple(row for row in in_year if row.is_receipted and not row.scans),
        money_in=sum((row.money_in for row in in_year), ZERO),
        money_out=sum((row.money_out for row in in_year), ZERO),
    )


def _sales_tax(rows: list[Row], sheets: list[CostSheet]) -> SalesTax:
    mine = [row for row in rows if row.kind == "sales-tax"]
    return SalesTax(
        collected=sum((row.money_in for row in mine if row.piece), ZERO),
        given_back=sum((back.amount - back.income for sheet in sheets for back in sheet.given_back), ZERO),
        handed_over=sum((row.money_out - row.money_in for row in mine if not row.piece), ZERO),
    )


def _days_of_opening(facts: Facts) -> Iterator[date]:
    for _, content in facts.receipts:
        yield from (lot.on for lot in content.opening)


def _not_reckoned_yet(facts: Facts) -> Iterator[Problem]:
    """What the files may say and these sums do not know: refused, since a wrong number is worse than none."""
    if facts.tax.rules != "plain":
        says = f"the sums of `rules: {facts.tax.rules}` are not there yet"
        yield facts.tax.problem(
            "not-reckoned-yet", says, "write `rules: plain` for income and expense by kind", "rules"
        )
    for slip in facts.slips():
        receipt = slip.receipt
        if receipt.got_back is not None and slip.purpose(receipt).is_shelf:
            yield receipt.problem(
                "not-reckoned-yet",
                "stock given back to a seller is not reckoned yet",
                "leave the receipt out for now, and say so in `private:`",
                "got_back",
            )
    for tool in facts.tools:
        if tool.sold is not None:
            yield tool.problem(
                "not-reckoned-yet", "the sale of a tool is not reckoned yet", "leave `sold` out for now", "sold"
            )
