"""The tax year under `rules: plain`: income and expense by kind, stock and cost of goods sold, no form lines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.landed import LandedPart
from flipbook.books.stock import StockYear
from flipbook.books.years import TaxYear, year_of
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts
from flipbook.shop.records.receipts import EXPENSE_KINDS
from flipbook.shop.records.setup import Tool

FORM = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class YearLine:
    """One line of a year's totals; `is_total` lines stay even when they are nothing."""

    form: str = FORM
    line: str = ""
    caption: str
    amount: Decimal
    is_total: bool = False

    @property
    def whole(self) -> Decimal:
        """The amount to the whole unit of money, half up."""
        return half_up(self.amount, 0)


def plain_year(
    year: TaxYear,
    facts: Facts,
    parts: Iterable[LandedPart],
    sheets: Iterable[CostSheet],
    stock: StockYear,
    starts: tuple[int, int],
) -> tuple[YearLine, ...]:
    """The lines of one year, in the order of the sum; lines with nothing are left out, totals are not."""
    sheets = list(sheets)
    received = [r for sheet in sheets for r in sheet.received if r.day in year]
    sales = sum((r.for_piece for r in received), ZERO)
    delivery = sum((r.delivery for r in received), ZERO)
    refunds = sum((g.income for sheet in sheets for g in sheet.given_back if g.day in year), ZERO)
    other = sum(
        (i.amount for _, content in facts.receipts for i in content.income if i.on in year and not i.for_.shares), ZERO
    )
    income = sales + delivery - refunds + other
    expenses = _expenses(year, facts, parts, sheets, starts)
    spent = sum(expenses.values(), ZERO)
    gross = income - stock.cost_of_goods_sold
    lines = [
        YearLine(caption="sale", amount=sales),
        YearLine(caption="delivery charged to buyers", amount=delivery),
        YearLine(caption="refund", amount=-refunds),
        YearLine(caption="other income", amount=other),
        YearLine(caption="total income", amount=income, is_total=True),
        YearLine(caption="opening stock", amount=stock.opening),
        YearLine(caption="found", amount=stock.found),
        YearLine(caption="material and shelf", amount=stock.materials),
        YearLine(caption="closing stock", amount=-stock.closing),
        YearLine(caption="cost of goods sold", amount=stock.cost_of_goods_sold, is_total=True),
        YearLine(caption="gross profit", amount=gross, is_total=True),
        *(YearLine(caption=kind, amount=amount) for kind, amount in expenses.items()),
        YearLine(caption="total expenses", amount=spent, is_total=True),
        YearLine(caption="profit", amount=gross - spent, is_total=True),
    ]
    return tuple(line for line in lines if line.amount or line.is_total)


def _expenses(
    year: TaxYear, facts: Facts, parts: Iterable[LandedPart], sheets: Iterable[CostSheet], starts: tuple[int, int]
) -> dict[str, Decimal]:
    """Expenses of the year by kind, in the order of the kinds; sales tax handed over is none."""
    by_kind: dict[str, Decimal] = defaultdict(lambda: ZERO)
    for part in parts:
        if part.kind in EXPENSE_KINDS and part.day in year:
            by_kind[part.kind] += part.landed
    by_kind["selling-fees"] += sum(
        (sold.fees for sheet in sheets for sold in sheet.sales if sold.sale.on in year), ZERO
    )
    by_kind["tool"] = sum(
        (amount for tool in facts.tools for name, amount in write_offs(tool, starts) if name == year.name), ZERO
    )
    return {kind: by_kind[kind] for kind in (*EXPENSE_KINDS, "tool") if kind != "sales-tax"}


def write_offs(tool: Tool, starts: tuple[int, int]) -> Iterator[tuple[int, Decimal]]:
    """What is written off of a tool in each tax year: all at once, or evenly over its years."""
    first = year_of(tool.on, starts).name
    years = int(tool.write_off.split()[0]) if tool.write_off.endswith("years") else 1
    for number, amount in enumerate(spread(tool.cost, [1] * years)):
        yield first + number, amount
