"""What earns: past sales gathered by kind, outlet, place found, finish, month and year, and money still tied up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.costs import CostSheet
from flipbook.measures.rounding import ZERO, half_up
from flipbook.selling.past import Sold, spread_of

NOT_SAID = "not said"
BY: Mapping[str, Callable[[Sold], str]] = {
    "kind": lambda sold: sold.kind,
    "outlet": lambda sold: sold.outlet,
    "place found": lambda sold: sold.came_from,
    "finish": lambda sold: sold.finish,
    "month": lambda sold: f"{sold.on:%Y-%m}",
    "year": lambda sold: f"{sold.on:%Y}",
}
"""What sales are gathered by, and what each sale has of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Earned:
    """What a group of sold pieces came to. Money to the cent, hours exact."""

    by: str
    name: str
    pieces: int
    cost: Decimal
    takings: Decimal
    profit: Decimal
    hours: Fraction
    per_hour: Decimal | None
    """Profit an hour over the pieces whose hours are logged, half up to the cent; None when no piece's are."""
    untimed: int
    """Pieces whose hours are not logged."""
    days: Fraction | None
    """Days from find to sale, the middle one; None when no piece has them."""
    of_asking: Decimal | None
    """Prices got over prices first asked, to four places half up, over the pieces that were asked for."""


def earned_by(past: Sequence[Sold], by: str) -> tuple[Earned, ...]:
    """A row for each group; months and years in their order, others by profit, the most first."""
    groups: dict[str, list[Sold]] = defaultdict(list)
    for sold in past:
        groups[BY[by](sold) or NOT_SAID].append(sold)
    rows = [earned(group, by, name) for name, group in groups.items()]
    if by in ("month", "year"):
        return tuple(sorted(rows, key=lambda row: row.name))
    return tuple(sorted(rows, key=lambda row: (-row.profit, row.name)))


def earned(group: Sequence[Sold], by: str, name: str) -> Earned:
    """What some sold pieces came to, all together."""
    timed = [sold for sold in group if sold.hours]
    hours = sum((sold.sheet.hours for sold in timed), Fraction(0))
    profit_of_timed = sum((sold.sheet.profit for sold in timed), ZERO)
    days = spread_of([sold.days for sold in group if sold.days is not None])
    asked = [(sold.price, sold.first_asked) for sold in group if sold.first_asked]
    first_asked = sum((Fraction(first) for _, first in asked if first), Fraction(0))
    return Earned(
        by=by,
        name=name,
        pieces=len(group),
        cost=sum((sold.sheet.cost for sold in group), ZERO),
        takings=sum((sold.sheet.takings for sold in group), ZERO),
        profit=sum((sold.sheet.profit for sold in group), ZERO),
        hours=hours,
        per_hour=half_up(Fraction(profit_of_timed) / hours) if hours else None,
        untimed=len(group) - len(timed),
        days=days.middle if days else None,
        of_asking=half_up(sum((Fraction(price) for price, _ in asked), Fraction(0)) / first_asked, 4)
        if asked
        else None,
    )


AGES: tuple[tuple[str, int, int | None], ...] = (
    ("up to 30 days", 0, 30),
    ("31 to 90 days", 31, 90),
    ("91 to 180 days", 91, 180),
    ("181 to 365 days", 181, 365),
    ("over a year", 366, None),
)
"""How long unsold pieces have been in the shop: the words, and the first and last day of each age."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TiedUp:
    """Money in unsold pieces of one age."""

    age: str
    pieces: int
    cost: Decimal


def tied_up(sheets: Iterable[CostSheet], as_of: date) -> tuple[TiedUp, ...]:
    """The pieces in hand by age on `as_of`, every age with a row; a customer's own piece is not the shop's money."""
    number = dict.fromkeys((words for words, _, _ in AGES), 0)
    cost = dict.fromkeys(number, ZERO)
    for sheet in sheets:
        piece = sheet.filed.piece
        if piece.customer or piece.state.is_ending:
            continue
        came = sheet.found_on or min((laid_out.day for laid_out in sheet.costs), default=as_of)
        days = max(0, (as_of - came).days)
        words = next(words for words, _, last in AGES if last is None or days <= last)
        number[words] += 1
        cost[words] += sheet.cost
    return tuple(TiedUp(age=words, pieces=number[words], cost=cost[words]) for words in number)
