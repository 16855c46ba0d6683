"""Stock: what was in hand at a year's end, and the cost of what was sold in the year, both ways.

A piece's cost is taken in the year the piece is sold, never the year it was bought.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property
from itertools import chain

from flipbook.books.costs import Cost, CostSheet
from flipbook.books.flow import Flow
from flipbook.books.shelf import Shelf
from flipbook.books.terms import RowKind, Term
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class StockInHand:
    """A piece in stock at a year's end, at every cost of it by then."""

    sheet: CostSheet
    cost: Decimal


Entry = Flow
"""One sum that went into stock, came out of it or stood in it."""

_TERMS = {RowKind.FOUND: Term.FOUND, RowKind.MATERIAL: Term.MATERIALS}


@dataclass(frozen=True, kw_only=True)
class StockYear:
    """Stock through one tax year. What was found and the materials are less what was kept or given in it."""

    year: TaxYear
    opening_entries: tuple[Entry, ...]
    found_entries: tuple[Entry, ...]
    material_entries: tuple[Entry, ...]
    in_hand: tuple[StockInHand, ...]
    shelf: Decimal
    by_pieces: Decimal
    """The cost of goods sold by the pieces that left and came back, and the waste."""

    @cached_property
    def opening(self) -> Decimal:
        return _sum(self.opening_entries)

    @cached_property
    def found(self) -> Decimal:
        return _sum(self.found_entries)

    @cached_property
    def materials(self) -> Decimal:
        return _sum(self.material_entries)

    @cached_property
    def closing_entries(self) -> tuple[Entry, ...]:
        """The pieces in hand at the year's end and the shelf, each at what it had cost."""
        end = self.year.end
        pieces = [Entry(Term.CLOSING, end, p.sheet.folder, p.sheet.filed.piece.piece, p.cost) for p in self.in_hand]
        return (*pieces, Entry(Term.CLOSING, end, "", "on the shelf", self.shelf))

    @cached_property
    def closing(self) -> Decimal:
        return _sum(self.closing_entries)

    @cached_property
    def cost_of_goods_sold(self) -> Decimal:
        """By the form: opening + found + materials - closing."""
        return self.opening + self.found + self.materials - self.closing


def _sum(entries: Iterable[Entry]) -> Decimal:
    return sum((entry.amount for entry in entries), ZERO)


@dataclass(frozen=True, slots=True)
class _PieceYear:
    """What one piece did to the stock of one year."""

    found: tuple[Entry, ...] = ()
    materials: tuple[Entry, ...] = ()
    found_withdrawn: tuple[Entry, ...] = ()
    materials_withdrawn: tuple[Entry, ...] = ()
    in_hand: tuple[StockInHand, ...] = ()
    cost_of_leaving: Decimal = ZERO


_NOTHING = _PieceYear()

Spells = Sequence[tuple[date, date | None]]
"""When a piece was out of stock: the day it left, and the day it came back, if it did."""


def stock_years(years: Sequence[TaxYear], sheets: Sequence[CostSheet], shelf: Shelf) -> list[StockYear]:
    """Stock through each year in turn; the opening stock of the first is what was owned before the log began."""
    by_piece = [_piece_years(sheet, years) for sheet in sheets]
    stock = []
    products = shelf.products.values()
    carried = [("", product.name, lot.landed) for product in products for lot in product.lots if lot.is_opening]
    for number, year in enumerate(years):
        pieces = [piece[number] for piece in by_piece if piece[number] is not _NOTHING]
        in_year = StockYear(
            year=year,
            opening_entries=tuple(Entry(Term.OPENING, year.start, *one) for one in carried),
            found_entries=(
                *chain.from_iterable(piece.found for piece in pieces),
                *chain.from_iterable(piece.found_withdrawn for piece in pieces),
            ),
            material_entries=(
                *chain.from_iterable(piece.materials for piece in pieces),
                *_shelf_lots(year, shelf),
                *chain.from_iterable(piece.materials_withdrawn for piece in pieces),
            ),
            in_hand=tuple(chain.from_iterable(piece.in_hand for piece in pieces)),
            shelf=shelf.value_on(year.end),
            by_pieces=sum((piece.cost_of_leaving for piece in pieces), ZERO) + _waste(year, shelf),
        )
        carried = [(entry.piece, entry.what, entry.amount) for entry in in_year.closing_entries]
        stock.append(in_year)
    return stock


def _piece_years(sheet: CostSheet, years: Sequence[TaxYear]) -> tuple[_PieceYear, ...]:
    """What a piece did to the stock of each of the years."""
    spells, gone = _spells_out(sheet), _withdrawn_on(sheet)
    return tuple(_piece_year(sheet, year, spells, gone) for year in years)


def _piece_year(sheet: CostSheet, year: TaxYear, spells: Spells, gone: date | None) -> _PieceYear:
    came = sheet.first_day
    if came is None or came > year.end:
        return _NOTHING
    paid = sheet.costs_in(year.start, year.end)
    found, materials = (tuple(_laid_out(sheet, paid, column)) for column in _TERMS)
    in_hand = _is_in_hand(sheet, year.end, spells)
    if not (paid or spells or gone or in_hand):
        return _NOTHING
    return _PieceYear(
        found=found,
        materials=materials,
        found_withdrawn=tuple(_withdrawn(sheet, year, gone, Term.FOUND, (RowKind.FOUND,))) if gone else (),
        materials_withdrawn=tuple(_withdrawn(sheet, year, gone, Term.MATERIALS, (RowKind.MATERIAL, RowKind.SHELF)))
        if gone
        else (),
        in_hand=(StockInHand(sheet=sheet, cost=sheet.cost_by(year.end)),) if in_hand else (),
        cost_of_leaving=sum(_cost_of_leaving(sheet, year, paid, spells), ZERO),
    )


def is_in_hand(sheet: CostSheet, day: date) -> bool:
    """Whether a piece was in stock at the end of `day`."""
    return _is_in_hand(sheet, day, _spells_out(sheet))


def _is_in_hand(sheet: CostSheet, day: date, spells: Spells) -> bool:
    piece = sheet.filed.piece
    if sheet.first_day is None or sheet.first_day > day:
        return False
    if any(gone is not None and gone.on <= day for gone in (piece.kept, piece.given, piece.scrapped)):
        return False
    return not any(left <= day and (back is None or back > day) for left, back in spells)


def _spells_out(sheet: CostSheet) -> Spells:
    """When a piece left stock at its cost, and when it came back: its sales, and its scrapping.

    A customer's own piece that left in no other way leaves on the day of its first fee.
    """
    piece = sheet.filed.piece
    spells: list[tuple[date, date | None]] = [(s.on, s.returned.on if s.returned else None) for s in piece.sold]
    ended = piece.sold or piece.scrapped or piece.kept or piece.given
    if piece.customer and not ended:
        fees = [received.day for received in sheet.received if not received.is_deposit]
        spells += [(day, None) for day in fees[:1]]
    if piece.scrapped is not None:
        spells.append((piece.scrapped.on, None))
    return spells


def _withdrawn_on(sheet: CostSheet) -> date | None:
    """The day a piece was kept or given: it leaves stock at cost, and is no sale."""
    gone = sheet.filed.piece.kept or sheet.filed.piece.given
    return gone.on if gone else None


def _laid_out(sheet: CostSheet, paid: Iterable[Cost], column: RowKind) -> Iterator[Entry]:
    """What was paid for a piece in a year under a column of its cost sheet."""
    for cost in paid:
        if cost.column is column:
            yield Entry(_TERMS[column], cost.day, sheet.folder, cost.what, cost.amount, cost.place)


def _withdrawn(
    sheet: CostSheet, year: TaxYear, gone: date, term: Term, columns: tuple[RowKind, ...]
) -> Iterator[Entry]:
    """Costs that left with a piece kept or given in the year, and later ones paid on it in the year, taken off."""
    for cost in sheet.costs:
        if cost.column in columns and ((gone in year and cost.day <= gone) or (cost.day > gone and cost.day in year)):
            what = f"{cost.what}, with a piece withdrawn"
            yield Entry(term, max(cost.day, gone), sheet.folder, what, -cost.amount, cost.place)


def _shelf_lots(year: TaxYear, shelf: Shelf) -> Iterator[Entry]:
    """What was bought for the shelf in the year, less what went back to its seller."""
    for product in shelf.products.values():
        for lot in product.lots:
            if lot.day in year and not lot.is_opening:
                yield Entry(Term.MATERIALS, lot.day, "", product.name, lot.landed, lot.place)
    for returned in shelf.returns:
        if returned.day in year:
            what = f"{returned.product}, given back"
            yield Entry(Term.MATERIALS, returned.day, "", what, -returned.cost, returned.place)


def _waste(year: TaxYear, shelf: Shelf) -> Decimal:
    return sum(
        (withdrawal.cost for withdrawal in shelf.withdrawals if not withdrawal.piece and withdrawal.day in year), ZERO
    )


def _cost_of_leaving(sheet: CostSheet, year: TaxYear, paid: Iterable[Cost], spells: Spells) -> Iterator[Decimal]:
    """What a piece's sale, scrapping, return and later costs add to the year's cost of goods sold."""
    for left, came_back in spells:
        if left in year:
            yield sheet.cost_by(left)
        yield sum((cost.amount for cost in paid if _while_out(cost, left, came_back)), ZERO)
        if came_back is not None and came_back in year:
            yield -sheet.cost_by(came_back)


def _while_out(cost: Cost, left: date, came_back: date | None) -> bool:
    return cost.day > left and (came_back is None or cost.day <= came_back)
