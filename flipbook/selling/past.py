"""What was sold before: each standing sale with what it took and what it left, and the spread of such figures."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Generic, TypeVar

from flipbook.books.costs import CostSheet
from flipbook.books.terms import RowKind
from flipbook.measures.rounding import half_up
from flipbook.shop.facts import PieceFile
from flipbook.shop.nearest import folded

TOO_FEW = 3
"""Under so many, a middle and quarters say more of chance than of the trade: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold:
    """One piece that was sold and did not come back. A text that was not given is empty."""

    sheet: CostSheet
    on: date
    title: str
    kind: str
    outlet: str
    came_from: str
    finish: str
    price: Decimal
    first_asked: Decimal | None

    @property
    def days(self) -> int | None:
        """Days from the find to the sale."""
        return self.sheet.days

    @property
    def hours(self) -> Fraction | None:
        """Hours in it; None when none are logged."""
        return self.sheet.hours or None

    @property
    def found_cost(self) -> Decimal:
        return self.sheet.sum_of(RowKind.FOUND)

    @property
    def other_cost(self) -> Decimal:
        """What it cost besides the find."""
        return self.sheet.cost - self.found_cost

    def could_pay(self, time_is_worth: Decimal) -> Decimal:
        """The most that could have been paid for the find, each hour still earning what it is worth; to the cent, half up."""
        return half_up(
            Fraction(self.sheet.profit) + Fraction(self.found_cost) - self.sheet.hours * Fraction(time_is_worth)
        )


def past_sales(
    sheets: Iterable[CostSheet], finish_of: Callable[[PieceFile], str], sellers: Mapping[str, str] | None = None
) -> tuple[Sold, ...]:
    """Every standing sale, the newest first; a customer's own piece was never sold.

    `sellers` says, by folder, from whom a piece came that was bought on a receipt with others.
    """
    sales, seller_of = [], sellers or {}
    for sheet in sheets:
        piece = sheet.filed.piece
        sale = piece.standing_sale
        if sale is None or piece.customer:
            continue
        sales.append(
            Sold(
                sheet=sheet,
                on=sale.on,
                title=piece.piece,
                kind=folded(piece.kind),
                outlet=folded(sale.at or ""),
                came_from=" ".join((piece.found.from_ if piece.found else seller_of.get(sheet.folder, "")).split()),
                finish=finish_of(sheet.filed),
                price=sale.price,
                first_asked=min(piece.asking, key=lambda asked: asked.on).price if piece.asking else None,
            )
        )
    return tuple(sorted(sales, key=lambda sold: (sold.on, sold.sheet.folder), reverse=True))


def of_kind(past: Iterable[Sold], kind: str) -> tuple[Sold, ...]:
    """Those of one kind, case and spacing folded."""
    wanted = folded(kind)
    return tuple(sold for sold in past if sold.kind == wanted)


Figure = TypeVar("Figure", Fraction, Decimal)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureSpread(Generic[Figure]):
    """How some figures lie: their number, least, lower quarter, middle, upper quarter and most."""

    number: int
    least: Figure
    lower: Figure
    middle: Figure
    upper: Figure
    most: Figure

    @property
    def is_thin(self) -> bool:
        """Whether there are too few to tell."""
        return self.number < TOO_FEW


def spread_of(figures: Sequence[Fraction | Decimal | int]) -> FigureSpread[Fraction] | None:
    """The spread of some figures, exact; None of none.

    The quarters are those of `statistics.quantiles` with the method `inclusive`: the figures are all there are, and
    between two of them the line is straight (type 7 of Hyndman and Fan, The American Statistician 50, 1996).
    """
    exact = sorted(Fraction(figure) for figure in figures)
    if not exact:
        return None
    if len(exact) == 1:
        lower = middle = upper = exact[0]
    else:
        lower, middle, upper = statistics.quantiles(exact, n=4, method="inclusive")
    return FigureSpread(number=len(exact), least=exact[0], lower=lower, middle=middle, upper=upper, most=exact[-1])


def money_spread(figures: Sequence[Decimal]) -> FigureSpread[Decimal] | None:
    """The spread of some sums, half up to the cent; None of none."""
    spread = spread_of(figures)
    if spread is None:
        return None
    least, lower, middle, upper, most = map(
        half_up, (spread.least, spread.lower, spread.middle, spread.upper, spread.most)
    )
    return FigureSpread(number=spread.number, least=least, lower=lower, middle=middle, upper=upper, most=most)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfAKind:
    """What past pieces of one kind say of the next. `hours` and `days` lack the pieces that lack them."""

    pieces: int
    too_few: bool
    price: FigureSpread[Decimal]
    besides_the_find: FigureSpread[Decimal] | None
    found_for: FigureSpread[Decimal] | None
    hours: FigureSpread[Fraction] | None
    days: FigureSpread[Fraction] | None
    could_pay: FigureSpread[Decimal] | None
    """What could have been paid for the find; None where no hours are logged, or it is not said what an hour is worth."""


def kind_of_past(past: Sequence[Sold], time_is_worth: Decimal | None) -> OfAKind | None:
    """The spreads of what past pieces took and cost, None of none."""
    prices = money_spread([sold.price for sold in past])
    if prices is None:
        return None
    timed = [sold for sold in past if sold.hours]
    return OfAKind(
        pieces=prices.number,
        too_few=prices.is_thin,
        price=prices,
        besides_the_find=money_spread([sold.other_cost for sold in past]),
        found_for=money_spread([sold.found_cost for sold in past]),
        hours=spread_of([sold.hours for sold in timed if sold.hours]),
        days=spread_of([sold.days for sold in past if sold.days is not None]),
        could_pay=money_spread([sold.could_pay(time_is_worth) for sold in timed])
        if time_is_worth is not None
        else None,
    )
