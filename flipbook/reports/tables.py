"""The tables of the books: one definition for the CSV and for the page of the same name."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from flipbook.books.costs import CostSheet
from flipbook.books.driving import Driven
from flipbook.books.form import YearLine
from flipbook.books.ledger import Movement
from flipbook.books.reckon import Books
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockInHand
from flipbook.books.terms import RowKind
from flipbook.books.tools import WriteOff
from flipbook.books.years import TaxYear
from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.rounding import ZERO
from flipbook.shop.records.setup import KM_PER_MILE

TEXT, NUMBER = "text", "number"

Cells = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name in the CSV, its heading on the page, and whether it holds figures."""

    name: str
    heading: str
    holds: str = TEXT


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table, its cells already written as text; `name` is the file's without its ending."""

    name: str
    title: str
    note: str = ""
    columns: tuple[Column, ...]
    rows: tuple[Cells, ...]

    @property
    def names_its_rows(self) -> bool:
        """Whether the first cell of a row is its heading."""
        return self.columns[0].name in ("piece", "product")

    def blocks(self) -> list[tuple[Cells, ...]]:
        """The rows month by month where they go by days, else all together, so that a long page comes in parts."""
        if self.columns[0].name != "date":
            return [self.rows]
        return [tuple(rows) for _, rows in groupby(self.rows, key=lambda row: row[0][:7])]

    def totals(self) -> dict[str, str]:
        """The sums below the table, for the columns that may be added up; nothing for a table without rows."""
        summed = _SUMMED.get(self.name.rstrip("0123456789").rstrip("-"), ())
        return {
            column.name: write_money(sum((Decimal(row[place]) for row in self.rows), ZERO))
            for place, column in enumerate(self.columns)
            if self.rows and column.name in summed
        }

    def as_csv(self) -> bytes:
        """RFC 4180: UTF-8, a header row, commas, CRLF; no text cell is a formula to a spreadsheet."""
        stream = io.StringIO(newline="")
        writer = csv.writer(stream, lineterminator="\r\n")
        writer.writerow([column.name for column in self.columns])
        texts = [place for place, column in enumerate(self.columns) if column.holds == TEXT]
        if any(_has_formula([row[place] for row in self.rows]) for place in texts):
            for row in self.rows:
                writer.writerow([_inert(cell) if place in texts else cell for place, cell in enumerate(row)])
        else:
            writer.writerows(self.rows)
        return stream.getvalue().encode()


_SUMMED = {
    "ledger": ("in", "out"),
    "pieces": ("found", "receipts", "shelf", "cost", "takings", "fees", "driving", "profit"),
    "shelf": ("value_left",),
    "tools": ("amount",),
    "trips": ("amount",),
    "unsold": ("cost",),
    "no-receipt": ("amount",),
}
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def _has_formula(column: Sequence[str]) -> bool:
    """Whether a text of a column may start as a formula does."""
    text = "\0" + "\0".join(column)
    return any(f"\0{sign}" in text for sign in _FORMULA)


def _inert(cell: str) -> str:
    """A text that starts as a formula does, with an apostrophe before it."""
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def tables_of(books: Books) -> list[Table]:
    """Every table that compile writes, those of the whole shop first."""
    tables = [ledger(books.ledger), pieces(books.sheets), shelf(books.shelf)]
    if books.write_offs:
        tables.append(tools(books.write_offs))
    for year in books.years:
        name = year.year.name
        tables += [
            tax_year(year.lines, name, year.year.title),
            trips(year.trips, name, year.year.title, books.profile.distance),
            unsold(year.year, year.stock.in_hand, year.stock.shelf),
            no_receipt(year.no_receipt, name, year.year.title),
        ]
    return tables


def ledger(rows: Iterable[Movement]) -> Table:
    """Every movement of money, oldest first, with what was in hand after it."""
    return Table(
        name="ledger",
        title="Ledger",
        note="Every movement of money, oldest first. Sums that moved no money, as opening stock or driving, are not here.",
        columns=(
            Column("date", "Date"), Column("piece", "Piece"), Column("party", "Party"), Column("what", "What"),
            Column("kind", "Kind"), Column("in", "In", NUMBER), Column("out", "Out", NUMBER),
            Column("balance", "Balance", NUMBER), Column("scan", "Scan"), Column("source", "Source"),
        ),
        rows=tuple(_ledger_cells(rows)),
    )  # fmt: skip


def _ledger_cells(rows: Iterable[Movement]) -> Iterator[Cells]:
    balance, nothing = ZERO, write_money(ZERO)
    for row in rows:
        balance += row.money_in - row.money_out
        yield (
            row.day.isoformat(), row.piece, row.party, row.what, row.kind,
            write_money(row.money_in) if row.money_in else nothing,
            write_money(row.money_out) if row.money_out else nothing,
            write_money(balance), "; ".join(row.scans), str(row.place),
        )  # fmt: skip


def pieces(sheets: Iterable[CostSheet]) -> Table:
    """Each piece: what it cost, took in and left."""
    return Table(
        name="pieces",
        title="Jobs",
        note="Cost is found, receipts and shelf, never the maker's own hours. Profit is takings less fees, cost and driving.",
        columns=(
            Column("piece", "Piece"), Column("title", "Title"), Column("state", "State"), Column("found_on", "Found"),
            Column("sold_on", "Sold"), Column("days", "Days", NUMBER), Column("hours", "Hours", NUMBER),
            Column("found", "Found for", NUMBER), Column("receipts", "Receipts", NUMBER), Column("shelf", "Shelf", NUMBER),
            Column("cost", "Cost", NUMBER), Column("takings", "Takings", NUMBER), Column("fees", "Fees", NUMBER),
            Column("miles", "Miles", NUMBER), Column("driving", "Driving", NUMBER), Column("profit", "Profit", NUMBER),
            Column("per_hour", "Per hour", NUMBER), Column("margin", "Margin", NUMBER),
        ),
        rows=tuple(map(_piece_cells, sheets)),
    )  # fmt: skip


def _piece_cells(sheet: CostSheet) -> Cells:
    return (
        sheet.folder, sheet.filed.piece.piece, sheet.filed.piece.state, _day(sheet.found_on), _day(sheet.sold_on),
        "" if sheet.days is None else str(sheet.days), _quantity(sheet.hours),
        write_money(sheet.sum_of(RowKind.FOUND)), write_money(sheet.sum_of(RowKind.MATERIAL)), write_money(sheet.sum_of(RowKind.SHELF)),
        write_money(sheet.cost), write_money(sheet.takings), write_money(sheet.fees), _quantity(sheet.miles),
        write_money(sheet.driving), write_money(sheet.profit),
        _or_empty(sheet.per_hour), "" if sheet.margin is None else f"{sheet.margin:.4f}",
    )  # fmt: skip


def shelf(shelf: Shelf) -> Table:
    """Each product: bought, used, wasted and left, in the unit of its first lot."""
    cells = [
        (
            product.name, product.unit.name, _quantity(product.bought), _quantity(product.used),
            _quantity(product.wasted), _quantity(product.left), write_money(product.value_left),
        )
        for product in shelf.products.values()
    ]  # fmt: skip
    return Table(
        name="shelf",
        title="Shelf",
        note="What is left is valued at what it cost.",
        columns=(
            Column("product", "Product"), Column("unit", "Unit"), Column("bought", "Bought", NUMBER),
            Column("used", "Used", NUMBER), Column("wasted", "Wasted", NUMBER), Column("left", "Left", NUMBER),
            Column("value_left", "Value left", NUMBER),
        ),
        rows=tuple(cells),
    )  # fmt: skip


def tools(write_offs: Iterable[WriteOff]) -> Table:
    """Each tool's write-off in each tax year, and what of its cost remains after it."""
    cells = [
        (
            off.tool.tool, off.tool.on.isoformat(), write_money(off.tool.cost), off.tool.write_off,
            str(off.year), write_money(off.amount), write_money(off.left),
        )
        for off in write_offs
    ]  # fmt: skip
    return Table(
        name="tools",
        title="Tools",
        note="What is written off of each tool in each tax year, and what of its cost remains.",
        columns=(
            Column("tool", "Tool"), Column("bought_on", "Bought"), Column("cost", "Cost", NUMBER),
            Column("write_off", "Written off"), Column("year", "Year"), Column("amount", "Amount", NUMBER),
            Column("left", "Left", NUMBER),
        ),
        rows=tuple(cells),
    )  # fmt: skip


TAX_NOTE = "A record for the person who files and whoever prepares the return; it is not tax advice."


def tax_year(lines: Iterable[YearLine], name: int, title: str) -> Table:
    """The year's totals."""
    cells = tuple((line.form, line.line, line.caption, write_money(line.amount), str(line.whole)) for line in lines)
    return Table(
        name=f"tax-{name}",
        title=f"Tax year {title}",
        note=TAX_NOTE,
        columns=(
            Column("form", "Form"), Column("line", "Line"), Column("caption", "Caption"),
            Column("amount", "Amount", NUMBER), Column("whole", "Whole", NUMBER),
        ),
        rows=cells,
    )  # fmt: skip


def trips(driven: Iterable[Driven], name: int, title: str, unit: str) -> Table:
    """The year's drives, in the unit of distance that the rates go by."""
    of_a_mile = KM_PER_MILE if unit == "km" else 1
    cells = tuple(
        (
            trip.day.isoformat(), trip.piece, trip.to, trip.why, _quantity(trip.miles * of_a_mile),
            "" if trip.rate is None else f"{trip.rate:f}", write_money(trip.amount),
        )
        for trip in driven
    )  # fmt: skip
    return Table(
        name=f"trips-{name}",
        title=f"Trips {title}",
        columns=(
            Column("date", "Date"), Column("piece", "Piece"), Column("to", "To"), Column("why", "Why"),
            Column(unit, unit.capitalize(), NUMBER), Column("rate", "Rate", NUMBER), Column("amount", "Amount", NUMBER),
        ),
        rows=cells,
    )  # fmt: skip


def unsold(year: TaxYear, in_hand: Iterable[StockInHand], shelf: Decimal) -> Table:
    """Stock in hand at the year's end, and the shelf."""
    cells = [
        (piece.sheet.folder, piece.sheet.filed.piece.piece, _day(piece.sheet.found_on), write_money(piece.cost))
        for piece in in_hand
    ]
    cells.append(("shelf", "On the shelf", "", write_money(shelf)))
    return Table(
        name=f"unsold-{year.name}",
        title=f"Unsold at the end of {year.title}",
        note=f"Pieces in hand on {year.end.isoformat()} at what they had cost by then; the last row is the shelf.",
        columns=(
            Column("piece", "Piece"),
            Column("title", "Title"),
            Column("found_on", "Found"),
            Column("cost", "Cost", NUMBER),
        ),
        rows=tuple(cells),
    )


def no_receipt(rows: Iterable[Movement], name: int, title: str) -> Table:
    """Money spent in the year with no scan to show for it."""
    cells = tuple(
        (row.day.isoformat(), row.piece, row.party, row.what, write_money(row.money_out), str(row.place))
        for row in rows
    )
    return Table(
        name=f"no-receipt-{name}",
        title=f"No receipt {title}",
        note="Money spent with no scan: look for the slip, or note how it was paid.",
        columns=(
            Column("date", "Date"), Column("piece", "Piece"), Column("party", "Party"), Column("what", "What"),
            Column("amount", "Amount", NUMBER), Column("source", "Source"),
        ),
        rows=cells,
    )  # fmt: skip


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""


def _or_empty(amount: Decimal | None) -> str:
    return "" if amount is None else write_money(amount)


def _quantity(value: Fraction) -> str:
    """A quantity to four places, without idle zeros."""
    return write_decimal(value)
