"""Weights that prove how many sticks a cut list wants.

Give every length a weight, find the most weight that a stick can hold and that each offcut on the shelf can hold:
what the shelf can't hold, over what a stick holds, rounded up, is a number of sticks that no plan goes below,
whatever the weights were. Good weights are the prices of a linear programme over fills (P. C. Gilmore and
R. E. Gomory, "A linear programming approach to the cutting-stock problem", Operations Research 9, 1961). The
programme is solved in floating point, but no proof leans on that: weights are whole numbers, and what they prove
is reckoned from them exactly.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from math import gcd

Fill = tuple[int, ...]
"""How many pieces of each length lie in one stick, in the order of the job's lengths."""

SCALE = 10**7
"""Prices become whole numbers as this many to the stick."""
_TINY = 1e-9
_NEW, _SPARE = -1, -2
_NO_FILL: Fill = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Job:
    """A cut list in whole numbers. Every length and every room has one kerf added to it, so that lengths just add up."""

    lengths: tuple[int, ...]  # each once, longest first; none over the stick
    counts: tuple[int, ...]  # how many of each
    stick: int  # the room of a new stick
    shelf: tuple[int, ...] = ()  # the rooms of the offcuts on the shelf, shortest first

    def in_all(self, fill: Fill) -> int:
        """The room that a fill takes."""
        return sum(length * number for length, number in zip(self.lengths, fill, strict=True))


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """Why no plan does with fewer than `sticks` new sticks."""

    sticks: int
    weights: tuple[int, ...]  # of one piece of each length
    stick_holds: int  # weight, at most
    shelf_holds: int  # weight, at most, all offcuts on the shelf together
    weighs: int  # the whole cut list


class Steps:
    """The work that is still allowed, in steps and not in seconds, so that every machine gives the same answer."""

    def __init__(self, allowed: int) -> None:
        self.allowed = allowed
        self.taken = 0

    def take(self, steps: int = 1) -> bool:
        """Count `steps`; False when that was the last of them."""
        self.taken += steps
        return self.taken < self.allowed


def heaviest(job: Job, weights: Sequence[int], room: int, steps: Steps, *, most_steps: int = 4000) -> tuple[int, Fill]:
    """The most weight that fits into `room`, and a fill of it.

    After `most_steps` the weight is one that is surely not exceeded, and the fill the best one met so far.
    """
    order = sorted(
        (at for at, weight in enumerate(weights) if weight > 0 and job.counts[at] and job.lengths[at] <= room),
        key=lambda at: (-weights[at] / job.lengths[at], -job.lengths[at]),
    )
    if not order:
        return 0, (0,) * len(weights)
    lengths = [job.lengths[at] for at in order]
    worth = [weights[at] for at in order]
    counts = [job.counts[at] for at in order]
    end = len(order)
    shortest = lengths[:]
    for at in range(end - 2, -1, -1):
        shortest[at] = min(lengths[at], shortest[at + 1])

    # Depth first, the most of each length first. A branch is left when even its best use of the room is no better.
    ceiling = worth[0] * room // lengths[0]
    best, best_taken = -1, [0] * end
    taken = [0] * end
    at, left, value = 0, room, 0
    for step in count(1):
        while at < end and left >= shortest[at] and value * lengths[at] + left * worth[at] >= (best + 1) * lengths[at]:
            number = min(counts[at], left // lengths[at])
            taken[at] = number
            left -= number * lengths[at]
            value += number * worth[at]
            at += 1
        if value > best:
            best, best_taken = value, taken[:]
        if best >= ceiling or step == most_steps:
            break
        at -= 1
        while at >= 0 and not taken[at]:
            at -= 1
        if at < 0:
            ceiling = best
            break
        taken[at] -= 1
        left += lengths[at]
        value -= worth[at]
        at += 1
        taken[at:] = [0] * (end - at)
    steps.take(step + 3 * len(weights))
    fill = [0] * len(weights)
    for at, number in zip(order, best_taken, strict=True):
        fill[at] = number
    return ceiling, tuple(fill)


def prove(job: Job, weights: Sequence[int], steps: Steps) -> Proof:
    """What `weights` prove, in the smallest numbers; sound for any whole weights that are not negative."""
    if weights is not job.lengths:
        weights = [weight // (gcd(*weights) or 1) for weight in weights]
    stick_holds = heaviest(job, weights, job.stick, steps)[0]
    rooms = set(job.shelf)
    holds = {room: heaviest(job, weights, room, steps, most_steps=4000 // len(rooms))[0] for room in rooms}
    shelf_holds = sum(holds[room] for room in job.shelf)
    weighs = sum(weight * number for weight, number in zip(weights, job.counts, strict=True))
    over = max(0, weighs - shelf_holds)
    return Proof(
        sticks=-(-over // stick_holds) if stick_holds else 0,
        weights=tuple(weights),
        stick_holds=stick_holds,
        shelf_holds=shelf_holds,
        weighs=weighs,
    )


def plain_weights(job: Job) -> Iterator[tuple[int, ...]]:
    """Weights that want no programme: steps of the length.

    The steps are those of S. Martello and P. Toth (a piece over half a stick lies alone in it, short ones are left
    out) and of S. P. Fekete and J. Schepers (a length over k/(n+1) of the stick weighs k, n to the stick).
    """
    short = sorted({length for length in job.lengths if 2 * length <= job.stick})
    for least in short[:: max(1, len(short) // 20)]:
        yield tuple(
            2 if length > job.stick - least else 1 if length >= least and 2 * length > job.stick else 0
            for length in job.lengths
        )
        yield tuple(
            job.stick if length > job.stick - least else length if length >= least else 0 for length in job.lengths
        )
    for parts in range(1, 12):
        yield tuple(length * (parts + 1) // job.stick for length in job.lengths)


def whole_weights(prices: Sequence[float], parts: int) -> tuple[int, ...]:
    """The prices of lengths as whole weights, so many `parts` to a stick."""
    return tuple(max(0, int(price * parts + 1e-6)) for price in prices)


@dataclass(frozen=True, kw_only=True, slots=True)
class Use:
    """How often the programme would use a fill; `room` is None for a new stick."""

    often: float
    fill: Fill
    room: int | None


class Programme:
    """The fewest sticks when sticks could be parted: what each length then costs, and which fills are used.

    The revised simplex method, with each fill made when its price asks for it. Rows are the lengths of the job and
    then the rooms on the shelf.
    """

    def __init__(self, job: Job) -> None:
        self.job = job
        self.rooms = sorted(set(job.shelf))
        self.lengths = len(job.lengths)
        self.rows = self.lengths + len(self.rooms)
        self.inverse = [[0.0] * self.rows for _ in range(self.rows)]
        self.values: list[float] = []
        # Each row's fill, and the room it lies in by its place in `rooms`, or one of _NEW and _SPARE.
        self.basis: list[tuple[int, Fill]] = []
        for at, (length, number) in enumerate(zip(job.lengths, job.counts, strict=True)):
            many = min(number, job.stick // length)
            self.basis.append((_NEW, tuple(many if other == at else 0 for other in range(self.lengths))))
            self.inverse[at][at] = 1 / many
            self.values.append(number / many)
        for at, room in enumerate(self.rooms, self.lengths):
            self.basis.append((_SPARE, _NO_FILL))
            self.inverse[at][at] = 1.0
            self.values.append(float(job.shelf.count(room)))
        self.prices: list[float] = []

    def solve(self, steps: Steps) -> None:
        """Pivot until no fill, and no piece too many, would save anything, or the steps are gone."""
        while True:
            self.prices = self._prices()
            entering = self._too_dear() or self._better_fill(steps, 300) or self._better_fill(steps, 4000)
            if entering is None or not self._pivot(*entering) or not steps.take(1 + self.rows * self.rows // 10):
                return

    def uses(self) -> list[Use]:
        """The fills used, those used most often first."""
        found = [
            Use(often=value, fill=fill, room=None if kind == _NEW else self.rooms[kind])
            for value, (kind, fill) in zip(self.values, self.basis, strict=True)
            if fill and value > _TINY
        ]
        return sorted(found, key=lambda use: -use.often)

    def _prices(self) -> list[float]:
        prices = [0.0] * self.rows
        for (kind, _), row in zip(self.basis, self.inverse, strict=True):
            if kind == _NEW:
                prices = [price + part for price, part in zip(prices, row, strict=True)]
        return prices

    def _too_dear(self) -> tuple[int, Fill, list[float]] | None:
        """A length whose price is negative is cut once too often; a room on the shelf that costs is left empty."""
        pieces, rooms = self.prices[: self.lengths], self.prices[self.lengths :]
        if min(pieces) < -_TINY:
            at = pieces.index(min(pieces))
            return _SPARE, _NO_FILL, [-row[at] for row in self.inverse]
        if rooms and max(rooms) > _TINY:
            at = self.lengths + rooms.index(max(rooms))
            return _SPARE, _NO_FILL, [row[at] for row in self.inverse]
        return None

    def _better_fill(self, steps: Steps, most_steps: int) -> tuple[int, Fill, list[float]] | None:
        weights = [max(0, int(price * SCALE)) for price in self.prices[: self.lengths]]
        most, best = 1e-6, None
        for kind, room in ((_NEW, self.job.stick), *enumerate(self.rooms)):
            fill = heaviest(self.job, weights, room, steps, most_steps=most_steps)[1]
            worth = sum(weight * number for weight, number in zip(weights, fill, strict=True)) / SCALE
            gain = worth - (1.0 if kind == _NEW else -self.prices[self.lengths + kind])
            if gain > most:
                most, best = gain, (kind, fill)
        if best is None:
            return None
        kind, fill = best
        entries = [(at, number) for at, number in enumerate(fill) if number]
        if kind != _NEW:
            entries.append((self.lengths + kind, 1))
        return kind, fill, [sum(row[at] * number for at, number in entries) for row in self.inverse]

    def _pivot(self, kind: int, fill: Fill, column: list[float]) -> bool:
        leaving, step = -1, 0.0
        for at, entry in enumerate(column):
            if entry > _TINY:
                ratio = self.values[at] / entry
                if leaving < 0 or ratio < step - 1e-12 or (ratio < step + 1e-12 and entry > column[leaving]):
                    leaving, step = at, ratio
        if leaving < 0:
            return False
        pivot = column[leaving]
        pivot_row = [part / pivot for part in self.inverse[leaving]]
        for at, entry in enumerate(column):
            if at == leaving:
                self.inverse[at], self.values[at], self.basis[at] = pivot_row, step, (kind, fill)
            elif entry:
                self.inverse[at] = [part - entry * of for part, of in zip(self.inverse[at], pivot_row, strict=True)]
                self.values[at] -= entry * step
        return True
