"""What earns, as a table, a page and its charts; and what of each sale to put by for tax."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.landed import parts_of as parts_landed
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.rulebook import NotPublished
from flipbook.books.set_aside import self_employment_tax
from flipbook.books.terms import RowKind
from flipbook.measures.money import show_money, write_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.rounding import ZERO
from flipbook.measures.spreading import spread
from flipbook.rendering import parts_of
from flipbook.reports.charts import BarChart, lying_bars, standing_bars
from flipbook.reports.tables import NUMBER, Column, Table
from flipbook.selling.earning import BY, Earned, earned_by, tied_up
from flipbook.selling.past import Sold, past_sales
from flipbook.shop.checking import days_logged
from flipbook.shop.facts import PieceFile
from flipbook.trade.care import finish_of, put_on

HEADINGS = {
    "kind": "By kind",
    "outlet": "By outlet",
    "place found": "By place found",
    "finish": "By finish",
    "month": "By month",
    "year": "By year",
    "age": "Money tied up in unsold pieces, by age",
}
MOST_MONTHS = 24
DAYS_TO_SALE = (
    ("0–14", 14), ("15–30", 30), ("31–60", 60), ("61–90", 90), ("91–180", 180), ("181–365", 365),
)  # fmt: skip
LONGER = "over a year"
Chart = tuple[str, str, str, BarChart]
"""A heading, a note, `standing` or `lying`, and the chart."""


def past_of(books: Books) -> tuple[Sold, ...]:
    """The shop's past sales, the newest first, each with the finish that its last coat gave it."""
    products = books.facts.products

    def finish_on(filed: PieceFile) -> str:
        finish = finish_of(put_on(filed.piece.log, products))
        return finish.name if finish is not None else ""

    sellers = {part.piece: part.party for part in parts_landed(books.landed) if part.kind is RowKind.FOUND}
    return past_sales(books.sheets, finish_on, sellers)


def last_day(books: Books) -> date | None:
    """The last day of anything logged: the day that ages are reckoned to, since no clock is asked here."""
    return max(days_logged(books.facts), default=None)


def earnings(books: Books, past: Sequence[Sold]) -> Table:
    """What past sales came to, gathered in each way, and what is tied up in pieces still unsold."""
    rows = [_row(row) for by in BY for row in earned_by(past, by)]
    as_of = last_day(books)
    if as_of is not None:
        rows += [
            ("age", row.age, str(row.pieces), write_money(row.cost), "", "", "", "", "", "")
            for row in tied_up(books.sheets, as_of)
        ]
    until = f" Ages are those of {as_of.isoformat()}, the last day logged." if as_of else ""
    return Table(
        name="earnings",
        title="What earns",
        note="Pieces sold and not returned. Per hour is reckoned over the pieces whose hours are logged, days are the middle "
        f"of the pieces', of asking is what was got of the price first asked.{until}",
        columns=(
            Column("by", "By"), Column("name", "Name"), Column("pieces", "Pieces", NUMBER), Column("cost", "Cost", NUMBER),
            Column("takings", "Takings", NUMBER), Column("profit", "Profit", NUMBER), Column("hours", "Hours", NUMBER),
            Column("per_hour", "Per hour", NUMBER), Column("days", "Days", NUMBER),
            Column("of_asking", "Of asking", NUMBER),
        ),
        rows=tuple(rows),
    )  # fmt: skip


def _row(row: Earned) -> tuple[str, ...]:
    return (
        row.by, row.name, str(row.pieces), write_money(row.cost), write_money(row.takings), write_money(row.profit),
        write_decimal(row.hours), "" if row.per_hour is None else write_money(row.per_hour),
        "" if row.days is None else write_decimal(row.days), "" if row.of_asking is None else f"{row.of_asking:.4f}",
    )  # fmt: skip


def earnings_page(**shown: object) -> Iterator[str]:
    """The page, a part at a time, of what `earnings_shown` gave."""
    return parts_of("books/earnings.html", 500, **shown)


def earnings_shown(books: Books, past: Sequence[Sold], table: Table) -> dict[str, object]:
    """All that the page shows; `table` is the one of `earnings`."""
    return {
        "shop_name": books.facts.shop.shop,
        "table": table,
        "groups": [
            (heading, by, rows)
            for by, heading in HEADINGS.items()
            if (rows := [row for row in table.rows if row[0] == by])
        ],
        "charts": charts(past, books.facts.shop.currency),
        "put_by": [sales for year in reversed(books.years) if (sales := put_by(books, year, past)) is not None],
    }


def charts(past: Sequence[Sold], currency: str) -> list[Chart]:
    """Profit and hours by month, earned an hour by kind, and days to sale; none before the first sale."""
    if not past:
        return []
    months = _months(past)
    kinds = [row for row in earned_by(past, "kind") if row.per_hour is not None]
    kinds.sort(key=lambda row: (-(row.per_hour or ZERO), row.name))
    drawn: list[Chart] = [
        ("Profit by month", "Of the pieces sold in each month.", "standing",
         standing_bars([(name, profit, f"{name}: {show_money(profit, currency)}") for name, profit, _ in months])),
        ("Hours by month", "In the pieces sold in each month.", "standing",
         standing_bars([(name, hours, f"{name}: {write_decimal(hours, places=1)} h") for name, _, hours in months])),
    ]  # fmt: skip
    if kinds:
        rows = [(row.name, row.per_hour or ZERO, show_money(row.per_hour or ZERO, currency)) for row in kinds]
        drawn.append(("Earned an hour, by kind", "", "lying", lying_bars(rows)))
    days = Counter(_days_words(sold.days) for sold in past if sold.days is not None)
    if days:
        names = [*(words for words, _ in DAYS_TO_SALE), LONGER]
        bars = standing_bars([(name, days[name], f"{name} days: {days[name]}") for name in names])
        drawn.append(("Days to sale", "How many pieces sold so many days after they were found.", "standing", bars))
    return drawn


def _days_words(days: int) -> str:
    return next((words for words, most in DAYS_TO_SALE if days <= most), LONGER)


def _months(past: Sequence[Sold]) -> list[tuple[str, Decimal, Fraction]]:
    """Every month from the first sale to the last, the newest two years of them, with profit and hours."""
    rows = {row.name: row for row in earned_by(past, "month")}
    first, last = (bound(sold.on.year * 12 + sold.on.month - 1 for sold in past) for bound in (min, max))
    names = [f"{month // 12}-{month % 12 + 1:02}" for month in range(max(first, last - MOST_MONTHS + 1), last + 1)]
    return [
        (name, rows[name].profit if name in rows else ZERO, rows[name].hours if name in rows else Fraction(0))
        for name in names
    ]


def put_by(books: Books, year: YearBooks, past: Sequence[Sold]) -> Table | None:
    """What of each sale of a tax year to put by for self-employment tax; None where no such tax is estimated, or it is nothing.

    The year's estimate is spread over its sales by their prices; so the rows sum to it.
    """
    estimate = books.profile.estimate
    if estimate is None:
        return None
    try:
        tax = self_employment_tax(estimate.self_employment_tax, year.profit, year.year.name).tax
    except NotPublished:
        return None
    sales = [sold for sold in reversed(past) if sold.on in year.year and sold.price]
    if not tax or not sales:
        return None
    parts = spread(tax, [Fraction(sold.price) for sold in sales])
    rows = tuple(
        (sold.on.isoformat(), sold.sheet.folder, sold.title, write_money(sold.price), write_money(part))
        for sold, part in zip(sales, parts, strict=True)
    )
    return Table(
        name=f"put-by-{year.year.name}",
        title=f"To put by of the sales of {year.year.title}",
        note=f"Self-employment tax on the year's profit so far, {show_money(tax, books.facts.shop.currency)}, spread over its sales. "
        "Income tax and your state come besides; it is an estimate for you and your preparer, not tax advice.",
        columns=(
            Column("date", "Date"), Column("piece", "Piece"), Column("title", "Title"), Column("price", "Price", NUMBER),
            Column("put_by", "Put by", NUMBER),
        ),
        rows=rows,
    )  # fmt: skip
