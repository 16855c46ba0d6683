"""Stock: what was in hand at a year's end, and the cost of what was sold in the year, both ways.

A piece's cost is taken in the year the piece is sold, never the year it was bought.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.costs import SHELF_USE, Cost, CostSheet
from flipbook.books.landed import FOUND, MATERIAL
from flipbook.books.shelf import Shelf
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO
from flipbook.shop.problems import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """A piece in stock at a year's end, at every cost of it by then."""

    sheet: CostSheet
    cost: Decimal


@dataclass(frozen=True, slots=True)
class Entry:
    """One sum that went into stock, came out of it or stood in it, and where it is written when it is a fact."""

    day: date
    piece: str
    what: str
    amount: Decimal
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StockYear:
    """Stock through one tax year. What was found and the materials are less what was kept or given in it."""

    year: TaxYear
    opening_entries: tuple[Entry, ...]
    found_entries: tuple[Entry, ...]
    material_entries: tuple[Entry, ...]
    in_hand: tuple[InHand, ...]
    shelf: Decimal
    by_pieces: Decimal
    """The cost of goods sold by the pieces that left and came back, and the waste."""

    @property
    def opening(self) -> Decimal:
        return _sum(self.opening_entries)

    @property
    def found(self) -> Decimal:
        return _sum(self.found_entries)

    @property
    def materials(self) -> Decimal:
        return _sum(self.material_entries)

    @property
    def closing_entries(self) -> tuple[Entry, ...]:
        """The pieces in hand at the year's end and the shelf, each at what it had cost."""
        pieces = [Entry(self.year.end, p.sheet.folder, p.sheet.filed.piece.piece, p.cost) for p in self.in_hand]
        return (*pieces, Entry(self.year.end, "", "on the shelf", self.shelf))

    @property
    def closing(self) -> Decimal:
        return _sum(self.closing_entries)

    @property
    def cost_of_goods_sold(self) -> Decimal:
        """By the form: opening + found + materials - closing."""
        return self.opening + self.found + self.materials - self.closing


def _sum(entries: Iterable[Entry]) -> Decimal:
    return sum((entry.amount for entry in entries), ZERO)


def stock_years(years: Sequence[TaxYear], sheets: Sequence[CostSheet], shelf: Shelf) -> list[StockYear]:
    """Stock through each year in turn; the opening stock of the first is what was owned before the log began."""
    found = []
    opening: tuple[Entry, ...] = tuple(
        Entry(lot.day, "", product.name, lot.landed, lot.place)
        for product in shelf.products.values()
        for lot in product.lots
        if lot.is_opening
    )
    for year in years:
        in_hand = tuple(
            InHand(sheet=sheet, cost=sheet.cost_by(year.end)) for sheet in sheets if is_in_hand(sheet, year.end)
        )
        stock = StockYear(
            year=year,
            opening_entries=opening,
            found_entries=(*_laid_out(year, sheets, FOUND), *_withdrawn(year, sheets, (FOUND,))),
            material_entries=(
                *_laid_out(year, sheets, MATERIAL),
                *_shelf_lots(year, shelf),
                *_withdrawn(year, sheets, (MATERIAL, SHELF_USE)),
            ),
            in_hand=in_hand,
            shelf=shelf.value_on(year.end),
            by_pieces=sum((change for sheet in sheets for change in _cost_of_leaving(sheet, year)), ZERO)
            + _waste(year, shelf),
        )
        opening = stock.closing_entries
        found.append(stock)
    return found


def is_in_hand(sheet: CostSheet, day: date) -> bool:
    """Whether a piece was in stock at the end of `day`."""
    piece = sheet.filed.piece
    came = [d for d in (sheet.found_on, *(cost.day for cost in sheet.costs)) if d is not None]
    if not came or min(came) > day:
        return False
    if any(gone is not None and gone.on <= day for gone in (piece.kept, piece.given, piece.scrapped)):
        return False
    return not any(left <= day and (back is None or back > day) for left, back in _spells_out(sheet))


def _spells_out(sheet: CostSheet) -> list[tuple[date, date | None]]:
    """When a piece left stock at its cost, and when it came back: its sales, and its scrapping.

    A customer's own piece that left in no other way leaves on the day of its first fee.
    """
    piece = sheet.filed.piece
    spells: list[tuple[date, date | None]] = [(s.on, s.returned.on if s.returned else None) for s in piece.sold]
    fees = [received.day for received in sheet.received if not received.is_deposit]
    ended = piece.sold or piece.scrapped or piece.kept or piece.given
    if piece.customer and fees and not ended:
        spells.append((fees[0], None))
    if piece.scrapped is not None:
        spells.append((piece.scrapped.on, None))
    return spells


def _withdrawn_on(sheet: CostSheet) -> date | None:
    """The day a piece was kept or given: it leaves stock at cost, and is no sale."""
    gone = sheet.filed.piece.kept or sheet.filed.piece.given
    return gone.on if gone else None


def _laid_out(year: TaxYear, sheets: Iterable[CostSheet], column: str) -> Iterator[Entry]:
    """What was paid in the year under a column of the cost sheets."""
    for sheet in sheets:
        for cost in sheet.costs:
            if cost.column == column and cost.day in year:
                yield Entry(cost.day, sheet.folder, cost.what, cost.amount, cost.place)


def _withdrawn(year: TaxYear, sheets: Iterable[CostSheet], columns: tuple[str, ...]) -> Iterator[Entry]:
    """Costs that left with pieces kept or given in the year, and later ones paid on such pieces in it, taken off."""
    for sheet in sheets:
        gone = _withdrawn_on(sheet)
        if gone is None:
            continue
        for cost in sheet.costs:
            if cost.column in columns and (
                (gone in year and cost.day <= gone) or (cost.day > gone and cost.day in year)
            ):
                yield Entry(
                    max(cost.day, gone), sheet.folder, f"{cost.what}, with a piece withdrawn", -cost.amount, cost.place
                )


def _shelf_lots(year: TaxYear, shelf: Shelf) -> Iterator[Entry]:
    """What was bought for the shelf in the year, less what went back to its seller."""
    for product in shelf.products.values():
        for lot in product.lots:
            if lot.day in year and not lot.is_opening:
                yield Entry(lot.day, "", product.name, lot.landed, lot.place)
    for returned in shelf.returned:
        if returned.day in year:
            yield Entry(returned.day, "", f"{returned.product}, given back", -returned.cost, returned.place)


def _waste(year: TaxYear, shelf: Shelf) -> Decimal:
    return sum((taking.cost for taking in shelf.takings if not taking.piece and taking.day in year), ZERO)


def _cost_of_leaving(sheet: CostSheet, year: TaxYear) -> Iterator[Decimal]:
    """What a piece's sale, scrapping, return and later costs add to the year's cost of goods sold."""
    for left, came_back in _spells_out(sheet):
        if left in year:
            yield sheet.cost_by(left)
        yield sum((cost.amount for cost in sheet.costs if cost.day in year and _while_out(cost, left, came_back)), ZERO)
        if came_back is not None and came_back in year:
            yield -sheet.cost_by(came_back)


def _while_out(cost: Cost, left: date, came_back: date | None) -> bool:
    return cost.day > left and (came_back is None or cost.day <= came_back)
