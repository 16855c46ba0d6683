"""Flows: every sum that a tax year's lines are made of, each with the day and place it comes from."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from operator import attrgetter

from flipbook.books.costs import CostSheet
from flipbook.books.driving import Driven
from flipbook.books.flow import Flow
from flipbook.books.landed import Landed, LandedReceipt
from flipbook.books.profile import EVENLY
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockYear
from flipbook.books.terms import EXPENSE_OF, Term
from flipbook.books.tools import ToolSale, WriteOff
from flipbook.books.years import TaxYear
from flipbook.shop.facts import Facts

Flows = Mapping[Term, Sequence[Flow]]
"""The flows of a year by their term."""


def flows_of_years(
    stock: Sequence[StockYear],
    facts: Facts,
    landed: Landed,
    sheets: Iterable[CostSheet],
    shelf: Shelf,
    trips: Iterable[Driven],
    write_offs: Iterable[WriteOff],
    tool_sales: Iterable[ToolSale],
    how_tools: str,
) -> list[Flows]:
    """The flows of each year by term, each in the order of its day."""
    dated = [
        *(flow for sheet in sheets for flow in _from_buyers(sheet)),
        *_other_income(facts),
        *(flow for receipts in landed.values() for flow in _expenses(receipts)),
        *_returns_to_sellers(shelf),
        *_driving(trips),
    ]
    dated.sort(key=lambda flow: flow.day.toordinal())  # by day; those of one day stay in the order they have
    found: list[Flows] = []
    for in_year in stock:
        year = in_year.year
        flows = [
            *dated[bisect_left(dated, year.start, key=_day) : bisect_right(dated, year.end, key=_day)],
            *_tools(write_offs, year),
            *(_tools_sold(tool_sales, year) if how_tools == EVENLY else ()),
            *in_year.opening_entries,
            *in_year.found_entries,
            *in_year.material_entries,
            *in_year.closing_entries,
        ]
        by_term: dict[Term, list[Flow]] = defaultdict(list)
        for flow in flows:
            if flow.amount:
                by_term[flow.term].append(flow)
        for of_term in by_term.values():
            of_term.sort(key=_day)
        found.append(by_term)
    return found


_day = attrgetter("day")


def _from_buyers(sheet: CostSheet) -> tuple[Flow, ...]:
    title, folder = sheet.filed.piece.piece, sheet.folder
    flows = []
    for received in sheet.received:
        flows.append(Flow(Term.SALE, received.day, folder, title, received.for_piece, received.place))
        flows.append(Flow(Term.DELIVERY_CHARGED, received.day, folder, title, received.delivery, received.place))
    for back in sheet.refunds:
        flows.append(Flow(Term.REFUND, back.day, folder, title, back.income, back.place))
    for sold in sheet.sales:
        flows.append(Flow(Term.SALE_FEES, sold.sale.on, folder, f"fees for {title}", sold.fees, sold.sale.spot))
    return tuple(flow for flow in flows if flow.amount)


def _other_income(facts: Facts) -> Iterator[Flow]:
    for _, content in facts.receipts:
        for income in content.income:
            if not income.for_.shares:
                yield Flow(Term.OTHER_INCOME, income.on, "", income.what, income.amount, income.spot)


def _expenses(landed: Iterable[LandedReceipt]) -> tuple[Flow, ...]:
    """Kinds of expense; sales tax handed over is none."""
    return tuple(
        Flow(EXPENSE_OF[part.kind], part.day, "", part.what, part.landed, part.place)
        for receipt in landed
        for part in receipt.parts
        if part.kind in EXPENSE_OF
    )


def _returns_to_sellers(shelf: Shelf) -> Iterator[Flow]:
    """What a seller gave for stock over or under its cost is `other`."""
    for returned in shelf.returns:
        term, sign = (Term.OTHER_INCOME, 1) if returned.gain > 0 else (Term.OTHER, -1)
        yield Flow(
            term, returned.day, "", f"{returned.product} given back to the seller", sign * returned.gain, returned.place
        )


def _driving(trips: Iterable[Driven]) -> Iterator[Flow]:
    for trip in trips:
        yield Flow(
            Term.DRIVING,
            trip.day,
            trip.piece,
            f"{trip.to}: {trip.why}" if trip.why else trip.to,
            trip.amount,
            trip.place,
        )


def _tools(write_offs: Iterable[WriteOff], year: TaxYear) -> Iterator[Flow]:
    for off in write_offs:
        if off.year == year.name:
            term = Term.TOOLS_AT_ONCE if off.is_at_once else Term.WRITE_OFFS
            yield Flow(term, max(off.tool.on, year.start), "", off.tool.tool, off.amount, off.tool.spot)


def _tools_sold(tool_sales: Iterable[ToolSale], year: TaxYear) -> Iterator[Flow]:
    """Without a form for it, what remains of a sold tool is written off, less what it brought."""
    for sale in tool_sales:
        if sale.year == year.name and sale.tool.sold is not None:
            yield Flow(
                Term.TOOLS_AT_ONCE, sale.tool.sold.on, "", f"{sale.tool.tool} sold", -sale.gain, sale.tool.sold.spot
            )
