"""Tools that last: what is written off of each in each tax year, what remains, and what a sale of one comes to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.profile import EVENLY, ToolLimits
from flipbook.books.rulebook import NotPublished, document, figures, rule
from flipbook.books.years import TaxYear, year_of
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.spreading import spread
from flipbook.shop.problems import Problem
from flipbook.shop.records.setup import AT_ONCE, SECTION_179, Tool

# Section 168(d)(3): mid-quarter when over 40% of the year's cost falls in its last three months.
MID_QUARTER_OVER = Fraction(40, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOff:
    """What is written off of one tool in one tax year, and what of its cost remains after it."""

    tool: Tool
    year: int
    amount: Decimal
    left: Decimal
    is_at_once: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolSale:
    """A tool sold: its price against what of its cost had not been written off."""

    tool: Tool
    year: int
    price: Decimal
    not_written_off: Decimal

    @property
    def gain(self) -> Decimal:
        """Less than nothing is a loss."""
        return self.price - self.not_written_off


def write_offs(tools: Sequence[Tool], how: str, starts: tuple[int, int]) -> tuple[list[WriteOff], list[ToolSale]]:
    """Every tool's write-offs by year, and the sales of tools.

    `how` is the profile's: `evenly`, `at once`, or the name of a rules file with tables.
    """
    offs: list[WriteOff] = []
    sales: list[ToolSale] = []
    for tool in tools:
        first = year_of(tool.on, starts)
        amounts = _amounts(tool, tools, how, first, starts)
        left = tool.cost
        sold_in = year_of(tool.sold.on, starts).name if tool.sold else None
        for number, amount in enumerate(amounts):
            year = first.name + number
            if sold_in is not None and year > sold_in:
                break
            if sold_in == year and tool.sold and how not in (EVENLY, AT_ONCE) and tool.write_off.endswith("years"):
                off = _in_the_year_of_sale(tool, tools, amount, how, first, starts)
            else:
                off = amount
            left -= off
            offs.append(WriteOff(tool=tool, year=year, amount=off, left=left, is_at_once=tool.write_off == AT_ONCE))
        if tool.sold is not None and sold_in is not None:
            sales.append(ToolSale(tool=tool, year=sold_in, price=tool.sold.price, not_written_off=left))
    return offs, sales


def _amounts(tool: Tool, tools: Sequence[Tool], how: str, first: TaxYear, starts: tuple[int, int]) -> Sequence[Decimal]:
    if how == AT_ONCE or tool.write_off in (AT_ONCE, SECTION_179):
        return (tool.cost,)
    if how == EVENLY:
        return spread(tool.cost, [1] * int(tool.write_off.split()[0]))
    return list(_by_table(tool, _percents(tool, tools, how, first, starts)))


def _percents(tool: Tool, tools: Sequence[Tool], how: str, first: TaxYear, starts: tuple[int, int]) -> list[Fraction]:
    tables = document(how)
    quarter = _mid_quarter(tool, tools, first, starts)
    column = tables["mid-quarter"][tool.write_off][quarter] if quarter else tables["half-year"][tool.write_off]
    return [Fraction(percent) for percent in column]


def _by_table(tool: Tool, percents: Sequence[Fraction]) -> Iterator[Decimal]:
    """Each year's percent of the cost, to the cent by the running total, so that the years sum to the cost."""
    gone, told = Fraction(0), ZERO
    for percent in percents:
        gone += percent
        total = half_up(Fraction(tool.cost) * gone / 100)
        yield total - told
        told = total


def _mid_quarter(tool: Tool, tools: Sequence[Tool], first: TaxYear, starts: tuple[int, int]) -> int:
    """The quarter of the year that the tool was taken into use in, when its year goes by quarters; else 0."""
    same_year = [
        t for t in tools if t.write_off.endswith("years") and t.on in first and not (t.sold and t.sold.on in first)
    ]
    last = sum((t.cost for t in same_year if quarter_of(t.on, starts) == 4), ZERO)
    return (
        quarter_of(tool.on, starts)
        if Fraction(last) > MID_QUARTER_OVER * Fraction(sum((t.cost for t in same_year), ZERO))
        else 0
    )


def quarter_of(day: date, starts: tuple[int, int]) -> int:
    """The quarter, 1 to 4, of its tax year that a day falls in."""
    months = (day.month - starts[0] - (day.day < starts[1])) % 12
    return months // 3 + 1


def _in_the_year_of_sale(
    tool: Tool, tools: Sequence[Tool], amount: Decimal, how: str, first: TaxYear, starts: tuple[int, int]
) -> Decimal:
    """The part of a year's write-off that is left when the tool is sold in it: half, or by the quarter of the sale."""
    assert tool.sold is not None
    if tool.sold.on in first:
        return ZERO  # taken into use and sold in one year: nothing is written off
    if _mid_quarter(tool, tools, first, starts):
        share = Fraction(2 * quarter_of(tool.sold.on, starts) - 1, 8)
    else:
        share = Fraction(1, 2)
    return half_up(Fraction(amount) * share)


def bonus_share(bonus: str, acquired: date, taken_into_use: date) -> Decimal:
    """The share of a tool's cost that bonus write-off takes in its first year, by both days (26 USC 168(k)).

    `bonus` is the file of rules. Acquired on or before 19 January 2025 it goes by the day taken into use; acquired later it is whole.
    Raises NotPublished.
    """
    said = document(bonus)
    late = figures(said["acquired later"])
    table = late if acquired >= late[0].since else figures(said["acquired through 2025-01-19"])
    if taken_into_use <= said["known through"]:
        for figure in reversed(table):
            if figure.since <= taken_into_use:
                return figure.value
    raise NotPublished(bonus, said["what"], taken_into_use)


def limits(tools: Iterable[Tool], of: ToolLimits, starts: tuple[int, int]) -> Iterator[Problem]:
    """What the limits for writing off at once and by section 179 refuse."""
    by_year: dict[int, list[Tool]] = {}
    for tool in tools:
        try:
            if tool.write_off == AT_ONCE and tool.cost > rule(of.at_once).on(tool.on):
                most = rule(of.at_once).on(tool.on)
                says = f"a tool of over {most:,.2f}, its delivery included, is not written off at once, and no part of it is"
                yield tool.problem(
                    "over-the-limit", says, "write `write off: 7 years`, `5 years` or `section 179`", "cost"
                )
            if tool.write_off == SECTION_179:
                by_year.setdefault(year_of(tool.on, starts).name, []).append(tool)
                most = rule(of.section_179).on(tool.on)
                if sum((t.cost for t in by_year[year_of(tool.on, starts).name]), ZERO) > most:
                    says = f"more than {most:,.0f} is written off by section 179 in {year_of(tool.on, starts).name}"
                    yield tool.problem(
                        "over-the-limit", says, "write `write off: 7 years` or `5 years` for some", "write_off"
                    )
        except NotPublished as fault:
            yield tool.problem("no-figure", fault.says, fault.write, "on")
