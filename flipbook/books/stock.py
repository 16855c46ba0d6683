"""Stock: what was in hand at a year's end, and the cost of what was sold in the year, both ways.

A piece's cost is taken in the year the piece is sold, never the year it was bought.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.costs import SHELF_USE, Cost, CostSheet
from flipbook.books.landed import FOUND
from flipbook.books.shelf import Shelf
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """A piece in stock at a year's end, at every cost of it by then."""

    sheet: CostSheet
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class StockYear:
    """Stock through one tax year. `found` and `materials` are less what was kept or given in it."""

    year: TaxYear
    opening: Decimal
    found: Decimal
    materials: Decimal
    in_hand: tuple[InHand, ...]
    shelf: Decimal
    by_pieces: Decimal
    """The cost of goods sold by the pieces that left and came back, and the waste."""

    @property
    def closing(self) -> Decimal:
        return sum((piece.cost for piece in self.in_hand), ZERO) + self.shelf

    @property
    def cost_of_goods_sold(self) -> Decimal:
        """By the form: opening + found + materials - closing."""
        return self.opening + self.found + self.materials - self.closing


def stock_years(years: Sequence[TaxYear], sheets: Sequence[CostSheet], shelf: Shelf) -> list[StockYear]:
    """Stock through each year in turn; the opening stock of the first is what was owned before the log began."""
    found = []
    opening = shelf.opening
    for year in years:
        in_hand = tuple(
            InHand(sheet=sheet, cost=sheet.cost_by(year.end)) for sheet in sheets if is_in_hand(sheet, year.end)
        )
        stock = StockYear(
            year=year,
            opening=opening,
            found=_laid_out(year, sheets, (FOUND,)),
            materials=_laid_out(year, sheets, ("material",))
            + _shelf_lots(year, shelf)
            - _withdrawn(year, sheets, (SHELF_USE,)),
            in_hand=in_hand,
            shelf=shelf.value_on(year.end),
            by_pieces=sum((change for sheet in sheets for change in _cost_of_leaving(sheet, year)), ZERO)
            + _waste(year, shelf),
        )
        opening = stock.closing
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
    return not any(sale.on <= day and (sale.returned is None or sale.returned.on > day) for sale in piece.sold)


def _withdrawn_on(sheet: CostSheet) -> date | None:
    """The day a piece was kept or given: it leaves stock at cost, and is no sale."""
    gone = sheet.filed.piece.kept or sheet.filed.piece.given
    return gone.on if gone else None


def _laid_out(year: TaxYear, sheets: Iterable[CostSheet], columns: tuple[str, ...]) -> Decimal:
    """What was paid in the year under `columns`, less that of pieces kept or given."""
    sheets = list(sheets)
    paid = sum(
        (cost.amount for sheet in sheets for cost in sheet.costs if cost.column in columns and cost.day in year), ZERO
    )
    return paid - _withdrawn(year, sheets, columns)


def _withdrawn(year: TaxYear, sheets: Iterable[CostSheet], columns: tuple[str, ...]) -> Decimal:
    """Costs under `columns` that left with pieces kept or given in the year, and later ones paid on such pieces in it."""
    total = ZERO
    for sheet in sheets:
        gone = _withdrawn_on(sheet)
        if gone is None:
            continue
        for cost in sheet.costs:
            if cost.column in columns and (
                (gone in year and cost.day <= gone) or (cost.day > gone and cost.day in year)
            ):
                total += cost.amount
    return total


def _shelf_lots(year: TaxYear, shelf: Shelf) -> Decimal:
    lots = (lot for product in shelf.products.values() for lot in product.lots)
    return sum((lot.landed for lot in lots if lot.day in year and not lot.is_opening), ZERO)


def _waste(year: TaxYear, shelf: Shelf) -> Decimal:
    return sum((taking.cost for taking in shelf.takings if not taking.piece and taking.day in year), ZERO)


def _cost_of_leaving(sheet: CostSheet, year: TaxYear) -> Iterator[Decimal]:
    """What a piece's sale, scrapping, return and later costs add to the year's cost of goods sold."""
    piece = sheet.filed.piece
    spells: list[tuple[date, date | None]] = [
        (sale.on, sale.returned.on if sale.returned else None) for sale in piece.sold
    ]
    if piece.scrapped is not None:
        spells.append((piece.scrapped.on, None))
    for left, came_back in spells:
        if left in year:
            yield sheet.cost_by(left)
        yield sum((cost.amount for cost in sheet.costs if cost.day in year and _while_out(cost, left, came_back)), ZERO)
        if came_back is not None and came_back in year:
            yield -sheet.cost_by(came_back)


def _while_out(cost: Cost, left: date, came_back: date | None) -> bool:
    return cost.day > left and (came_back is None or cost.day <= came_back)
