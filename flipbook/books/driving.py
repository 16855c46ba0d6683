"""Driving: miles of pieces and of the shop, at the rate of each trip's own day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.profile import Profile
from flipbook.books.rulebook import NotPublished, rule
from flipbook.books.years import year_of
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place, Problem
from flipbook.shop.records.setup import KM_PER_MILE, SharedTrip, Trip

Shares = Sequence[tuple[str, Fraction]]
_WHOLE = Fraction(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Driven:
    """A trip, or one piece's share of it, at one rate; `piece` is empty for a trip of the shop's.

    A trip that crosses the threshold between two rates is two of these.
    """

    day: date
    piece: str
    to: str
    why: str
    miles: Fraction
    rate: Decimal | None
    amount: Decimal
    place: Place


def trips_driven(facts: Facts, profile: Profile, starts: tuple[int, int]) -> tuple[list[Driven], list[Problem]]:
    """Every trip by day and then place, a shared one split between its pieces, and the days that no rate covers."""
    logs: list[tuple[str, Sequence[Trip]]] = [(filed.folder, filed.piece.trips) for filed in facts.pieces]
    logs.append(("", facts.trips))
    return _trips_of([trip for folder, trips in logs for trip in _shared(folder, trips)], profile, starts)


Shared = tuple[Trip, Shares]
"""A trip, and the pieces that it was for; that of the shop is for the piece of no name."""


def _shared(folder: str, trips: Iterable[Trip]) -> Iterator[Shared]:
    for trip in trips:
        own = trip.for_.shares if isinstance(trip, SharedTrip) and trip.for_ else ()
        yield trip, own or ((folder, _WHOLE),)


def _trips_of(trips: list[Shared], profile: Profile, starts: tuple[int, int]) -> tuple[list[Driven], list[Problem]]:
    rates = _Rates(profile, starts)
    driven: list[Driven] = []
    problems = []
    for trip, shares in sorted(trips, key=lambda pair: (pair[0].on, pair[0].spot)):
        try:
            driven += _driven(trip, shares, rates)
        except NotPublished as fault:
            problems.append(trip.problem("no-figure", fault.says, fault.write, "on"))
    return driven, problems


class _Rates:
    """The rate of each mile or kilometre; past a threshold it counts those of each tax year, in order."""

    def __init__(self, profile: Profile, starts: tuple[int, int]) -> None:
        self.rules = [rule(name) for name in profile.miles]
        self.a_mile = KM_PER_MILE if profile.distance == "km" else Fraction(1)
        self.starts = starts
        self.driven: dict[int, Fraction] = defaultdict(Fraction)

    def of(self, day: date, miles: Fraction) -> list[tuple[Fraction, Decimal | None]]:
        """The miles of a trip in the unit that its rates go by, split by rate. Raises NotPublished."""
        distance = miles * self.a_mile
        if not self.rules:
            return [(distance, None)]
        first = self.rules[0].on(day)
        if len(self.rules) == 1:
            return [(distance, first)]
        year = year_of(day, self.starts).name
        room = max(Fraction(0), Fraction(self.rules[2].on(day)) - self.driven[year])
        self.driven[year] += distance
        parts = [(min(distance, room), first), (max(Fraction(0), distance - room), self.rules[1].on(day))]
        return [(part, rate) for part, rate in parts if part]


def _driven(trip: Trip, shares: Shares, rates: _Rates) -> Iterator[Driven]:
    parts = rates.of(trip.on, trip.distance)
    exact = [part * Fraction(rate or 0) for part, rate in parts]
    amounts = spread(half_up(sum(exact, Fraction(0))), exact) if any(exact) else [ZERO] * len(parts)
    whole = sum((share for _, share in shares), Fraction(0))
    for (part, rate), amount in zip(parts, amounts, strict=True):
        for (piece, share), each in zip(shares, spread(amount, [share for _, share in shares]), strict=True):
            miles = part / rates.a_mile * share / whole
            yield Driven(
                day=trip.on, piece=piece, to=trip.to, why=trip.why, miles=miles, rate=rate, amount=each, place=trip.spot
            )
