"""Flows: every sum that a tax year's lines are made of, each with the day and place it comes from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.driving import Driven
from flipbook.books.landed import LandedPart
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockYear
from flipbook.books.tools import ToolSale, WriteOff
from flipbook.books.years import TaxYear
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place
from flipbook.shop.records.receipts import EXPENSE_KINDS


@dataclass(frozen=True, slots=True)
class Flow:
    """One sum under one term: `sale`, `refund`, a kind of expense, `found`, `closing`, ..."""

    term: str
    day: date
    piece: str
    what: str
    amount: Decimal
    place: Place | None = None


Flows = Mapping[str, list[Flow]]


def flows_of(
    year: TaxYear,
    facts: Facts,
    parts: Iterable[LandedPart],
    sheets: Iterable[CostSheet],
    shelf: Shelf,
    stock: StockYear,
    trips: Iterable[Driven],
    write_offs: Iterable[WriteOff],
    tool_sales: Iterable[ToolSale],
    how_tools: str,
) -> Flows:
    """The flows of a year by term, each in the order of its day."""
    by_term: dict[str, list[Flow]] = defaultdict(list)
    everything = (
        *_from_buyers(sheets),
        *_other_income(facts),
        *_expenses(parts, sheets, shelf),
        *_driving(trips),
        *_tools(write_offs, year),
        *(_tools_sold(tool_sales, year) if how_tools == "evenly" else ()),
    )
    for flow in everything:
        if flow.day in year and flow.amount:
            by_term[flow.term].append(flow)
    for flow in _stock(stock):
        if flow.amount:
            by_term[flow.term].append(flow)
    for flows in by_term.values():
        flows.sort(key=lambda flow: flow.day)
    return by_term


def _from_buyers(sheets: Iterable[CostSheet]) -> Iterator[Flow]:
    for sheet in sheets:
        title = sheet.filed.piece.piece
        for received in sheet.received:
            yield Flow("sale", received.day, sheet.folder, title, received.for_piece, received.place)
            yield Flow("delivery-charged", received.day, sheet.folder, title, received.delivery, received.place)
        for back in sheet.given_back:
            yield Flow("refund", back.day, sheet.folder, title, back.income, back.place)
        for sold in sheet.sales:
            yield Flow("sale-fees", sold.sale.on, sheet.folder, f"fees for {title}", sold.fees, sold.sale.spot)


def _other_income(facts: Facts) -> Iterator[Flow]:
    for _, content in facts.receipts:
        for income in content.income:
            if not income.for_.shares:
                yield Flow("other-income", income.on, "", income.what, income.amount, income.spot)


def _expenses(parts: Iterable[LandedPart], sheets: Iterable[CostSheet], shelf: Shelf) -> Iterator[Flow]:
    """Kinds of expense; sales tax handed over is none. What a seller gave for stock over or under its cost is `other`."""
    for part in parts:
        if part.kind in EXPENSE_KINDS and part.kind != "sales-tax":
            yield Flow(part.kind, part.day, "", part.what, part.landed, part.place)
    for returned in shelf.returned:
        term, sign = ("other-income", 1) if returned.gain > 0 else ("other", -1)
        yield Flow(
            term, returned.day, "", f"{returned.product} given back to the seller", sign * returned.gain, returned.place
        )


def _driving(trips: Iterable[Driven]) -> Iterator[Flow]:
    for trip in trips:
        yield Flow(
            "driving", trip.day, trip.piece, f"{trip.to}: {trip.why}" if trip.why else trip.to, trip.amount, trip.place
        )


def _tools(write_offs: Iterable[WriteOff], year: TaxYear) -> Iterator[Flow]:
    for off in write_offs:
        if off.year == year.name:
            term = "tools-at-once" if off.is_at_once else "write-offs"
            yield Flow(term, max(off.tool.on, year.start), "", off.tool.tool, off.amount, off.tool.spot)


def _tools_sold(tool_sales: Iterable[ToolSale], year: TaxYear) -> Iterator[Flow]:
    """Without a form for it, what remains of a sold tool is written off, less what it brought."""
    for sale in tool_sales:
        if sale.year == year.name and sale.tool.sold is not None:
            yield Flow(
                "tools-at-once", sale.tool.sold.on, "", f"{sale.tool.tool} sold", -sale.gain, sale.tool.sold.spot
            )


def _stock(stock: StockYear) -> Iterator[Flow]:
    year = stock.year
    for entry in stock.opening_entries:
        yield Flow("opening", year.start, entry.piece, entry.what, entry.amount)
    for term, entries in (("found", stock.found_entries), ("materials", stock.material_entries)):
        for laid_out in entries:
            yield Flow(term, laid_out.day, laid_out.piece, laid_out.what, laid_out.amount, laid_out.place)
    for entry in stock.closing_entries:
        yield Flow("closing", year.end, entry.piece, entry.what, entry.amount)
