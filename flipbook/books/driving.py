"""Driving: miles of pieces and of the shop, at the rate of each trip's own day."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place
from flipbook.shop.records.setup import Trip

Rate = Callable[[date], Decimal | None]
"""What a business mile is reckoned at on a day, in the shop's currency; None where nothing is."""


def no_rate(day: date) -> Decimal | None:
    """The rate under `plain`: none."""
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Driven:
    """A trip, or one piece's share of it; `piece` is empty for a trip of the shop's."""

    day: date
    piece: str
    to: str
    why: str
    miles: Fraction
    rate: Decimal | None
    amount: Decimal
    place: Place


def trips_driven(facts: Facts, rate_on: Rate) -> list[Driven]:
    """Every trip, a shared one split between its pieces, by day and then place."""
    driven = [
        one
        for filed in facts.pieces
        for trip in filed.piece.trips
        for one in _driven(trip, ((filed.folder, Fraction(1)),), rate_on)
    ]
    for shared in facts.trips:
        shares = shared.for_.shares if shared.for_ is not None else ()
        driven += _driven(shared, shares or (("", Fraction(1)),), rate_on)
    return sorted(driven, key=lambda d: (d.day, d.place))


def _driven(trip: Trip, shares: tuple[tuple[str, Fraction], ...], rate_on: Rate) -> Iterator[Driven]:
    rate = rate_on(trip.on)
    amount = half_up(trip.distance * Fraction(rate)) if rate is not None else ZERO
    whole = sum((share for _, share in shares), Fraction(0))
    for (piece, share), part in zip(shares, spread(amount, [share for _, share in shares]), strict=True):
        miles = trip.distance * share / whole
        yield Driven(
            day=trip.on, piece=piece, to=trip.to, why=trip.why, miles=miles, rate=rate, amount=part, place=trip.spot
        )
