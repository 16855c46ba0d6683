"""From facts to books: every sum of the shop, or the problems that stand in their way."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from operator import attrgetter

from flipbook.books.costs import CostSheet, cost_sheets
from flipbook.books.country import held_against, rules_of, starts_of
from flipbook.books.driving import Driven, trips_driven
from flipbook.books.flow import Flow
from flipbook.books.flows import flows_of_years
from flipbook.books.footing import Footed, prove, prove_form
from flipbook.books.form import YearLine, filled
from flipbook.books.landed import Landed, landed_receipts, parts_of
from flipbook.books.ledger import Movement, ledger_rows
from flipbook.books.profile import HomeWorkshop, Profile
from flipbook.books.rulebook import NotPublished, rule
from flipbook.books.shelf import Shelf, stock_shelf
from flipbook.books.stock import StockYear, stock_years
from flipbook.books.terms import RowKind, Term
from flipbook.books.tools import ToolSale, WriteOff, write_offs
from flipbook.books.years import TaxYear, years_between
from flipbook.measures.amounts import UNITS
from flipbook.measures.rounding import ZERO, half_up
from flipbook.shop.checking import days_logged
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class YearBooks:
    """One tax year: its lines, its stock, its trips, its tools, and money spent with no scan to show."""

    year: TaxYear
    lines: tuple[YearLine, ...]
    profit: Decimal
    stock: StockYear
    trips: tuple[Driven, ...]
    tool_sales: tuple[ToolSale, ...]
    no_receipt: tuple[Movement, ...]
    money_in: Decimal
    money_out: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesTax:
    """Sales tax: what buyers paid, what went back to them, what was handed over; the rest is owed to the state."""

    collected: Decimal
    given_back: Decimal
    handed_over: Decimal

    @property
    def owed(self) -> Decimal:
        return self.collected - self.given_back - self.handed_over

    @property
    def is_any(self) -> bool:
        return bool(self.collected or self.handed_over)


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """All the sums of a shop."""

    facts: Facts
    profile: Profile
    landed: Landed
    sheets: tuple[CostSheet, ...]
    shelf: Shelf
    ledger: tuple[Movement, ...]
    trips: tuple[Driven, ...]
    write_offs: tuple[WriteOff, ...]
    years: tuple[YearBooks, ...]
    sales_tax: SalesTax
    proof: Footed


def reckon(facts: Facts) -> tuple[Books | None, list[Problem]]:
    """The books of a shop, and what is wrong in its sums; with an error there are no books.

    Raises BooksDoNotFoot, a fault of this program, when two sums of the same money differ.
    """
    rules, problems = rules_of(facts)
    if rules is None:
        return None, problems
    starts = starts_of(facts, rules)
    landed = landed_receipts(facts)
    parts = parts_of(landed)
    shelf = stock_shelf(facts, parts)
    trips, problems = trips_driven(facts, rules, starts)
    problems += [*shelf.problems, *held_against(facts, rules)]
    if any(not problem.warning for problem in problems):
        return None, problems
    sheets = cost_sheets(facts, parts, shelf.withdrawals, trips)
    rows = ledger_rows(facts, landed, sheets)
    offs, tool_sales = write_offs(facts.tools, rules.tools, starts)
    stock = stock_years(_years(facts, starts), sheets, shelf)
    proof = prove(landed, sheets, shelf, rows, stock)
    flows = flows_of_years(stock, facts, landed, sheets, shelf, trips, offs, tool_sales, rules.tools)
    year_books = []
    for in_year, of_year in zip(stock, flows, strict=True):
        try:
            workshop = _home_workshop(facts, rules.home_workshop, in_year.year)
        except NotPublished as fault:
            problems.append(facts.tax.problem("no-figure", fault.says, fault.write, "home_workshop"))
            return None, problems
        flows_in = {**of_year, Term.HOME_WORKSHOP: (workshop,)} if workshop else of_year
        lines = filled(rules, in_year.year, flows_in)
        prove_form(rules, in_year, flows_in, lines)
        year_books.append(_year(in_year, lines, rules, rows, trips, tool_sales))
    return Books(
        facts=facts,
        profile=rules,
        landed=landed,
        sheets=tuple(sheets),
        shelf=shelf,
        ledger=tuple(rows),
        trips=tuple(trips),
        write_offs=tuple(offs),
        years=tuple(year_books),
        sales_tax=_sales_tax(rows, sheets),
        proof=proof,
    ), problems


def _years(facts: Facts, starts: tuple[int, int]) -> Sequence[TaxYear]:
    """Every tax year from the first day that is logged to the last, those between too."""
    days = {*days_logged(facts), *(lot.on for _, content in facts.receipts for lot in content.opening)}
    return years_between(min(days), max(days), starts) if days else ()


def _year(
    stock: StockYear,
    lines: tuple[YearLine, ...],
    rules: Profile,
    rows: list[Movement],
    trips: list[Driven],
    tool_sales: list[ToolSale],
) -> YearBooks:
    year = stock.year
    in_year = rows[bisect_left(rows, year.start, key=_day) : bisect_right(rows, year.end, key=_day)]
    return YearBooks(
        year=year,
        lines=lines,
        profit=next(line.amount for line in lines if line.key == rules.profit),
        stock=stock,
        trips=tuple(trip for trip in trips if trip.day in year),
        tool_sales=tuple(sale for sale in tool_sales if sale.year == year.name),
        no_receipt=tuple(row for row in in_year if row.is_receipted and not row.scans),
        money_in=sum((row.money_in for row in in_year), ZERO),
        money_out=sum((row.money_out for row in in_year), ZERO),
    )


_day = attrgetter("day")


def _home_workshop(facts: Facts, by: HomeWorkshop | None, year: TaxYear) -> Flow | None:
    """The simplified method: square feet, at most so many, at so much each. Raises NotPublished."""
    area = facts.tax.home_workshop
    if area is None or by is None:
        return None
    feet = min(area.in_unit(UNITS["sq ft"]), Fraction(rule(by.area).on(year.end)))
    amount = half_up(feet * Fraction(rule(by.rate).on(year.end)))
    return Flow(Term.HOME_WORKSHOP, year.end, "", f"{area}, simplified method", amount, Place("shop.yaml"))


def _sales_tax(rows: list[Movement], sheets: list[CostSheet]) -> SalesTax:
    mine = [row for row in rows if row.kind is RowKind.SALES_TAX]
    return SalesTax(
        collected=sum((row.money_in for row in mine if row.piece), ZERO),
        given_back=sum((back.amount - back.income for sheet in sheets for back in sheet.refunds), ZERO),
        handed_over=sum((row.money_out - row.money_in for row in mine if not row.piece), ZERO),
    )
