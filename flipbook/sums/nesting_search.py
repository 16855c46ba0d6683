"""The fewest new sticks for a cut list: what no plan can go below, and the search for a plan.

A piece is given a weight that never makes two pieces heavier than their lengths laid end to end; then what the shelf
can't hold, over what a stick holds, rounded up, is a number of sticks that no plan goes below. The weights are the
length itself, those of the bound L2 (S. Martello and P. Toth, Knapsack Problems, Wiley 1990, chapter 8) and whole
parts of the stick (S. P. Fekete and J. Schepers, "New classes of fast lower bounds for bin packing problems",
Mathematical Programming 91, 2001); both are from memory, and the tests hold them against every plan there is. Where
no plan with so many sticks is found, every plan is tried, one stick at a time.

Nothing here knows of parts or of kerf: a job is whole numbers that add up. The search is limited in steps and not in
seconds, so that every machine gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from math import gcd

Fill = tuple[int, ...]
"""How many pieces of each length lie in one stick, in the order of the job's lengths."""

_MOST_SUMS = 5_000
_MOST_PARTS = 60
_FEW_WAYS = 2
_FEW_FILLS = 300


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
    """Why no plan does with fewer than `sticks` new sticks; `weights` are those of one piece of each length."""

    weights: tuple[int, ...]
    weighs: int  # the whole cut list
    stick_holds: int  # weight, at most
    shelf_holds: int  # weight, at most, all offcuts on the shelf together

    @property
    def sticks(self) -> int:
        return -(-max(0, self.weighs - self.shelf_holds) // max(1, self.stick_holds))


@dataclass(frozen=True, kw_only=True, slots=True)
class Cutting:
    """A fill for each offcut on the shelf, in the job's order, and for each new stick; at least `least` are wanted."""

    shelf: tuple[Fill, ...]
    sticks: tuple[Fill, ...]
    least: int
    proof: Proof | None  # None where every plan with fewer was tried and failed


class Steps:
    """The steps that a search may still take."""

    def __init__(self, allowed: int) -> None:
        self.left = allowed

    def take(self, steps: int) -> bool:
        """Count `steps`; False when none are left."""
        self.left -= steps
        return self.left > 0


def fewest(job: Job, effort: int) -> Cutting:
    """The plan with the fewest new sticks that `effort` steps find; it is the least when it has `least` of them."""
    proof = max(proofs(job), key=lambda each: each.sticks)
    least, shelf, steps = proof.sticks, len(job.shelf), Steps(effort)
    best = _best_fit(job)
    for sticks in range(least, len(best) - shelf):
        few = Steps(effort // 20)
        fills = laid_out(job, sticks, few, few_ways=True)
        steps.take(effort // 20 - few.left)
        if fills is not None:
            best = fills
            break
    while least < len(best) - shelf:
        fills = laid_out(job, least, steps)
        if fills is not None:
            best = fills
        elif steps.left > 0:
            least += 1
        else:
            break
    return Cutting(
        shelf=best[:shelf],
        sticks=tuple(filter(any, best[shelf:])),
        least=least,
        proof=proof if proof.sticks == least else None,
    )


def proofs(job: Job) -> Iterator[Proof]:
    """What each way to weigh the pieces proves; the length itself first."""
    most = max(job.stick, *job.shelf, 0)
    sums = _sums(job, most)
    yield _proof(job, job.lengths, lambda room: max(each for each in sums if each <= room) if sums else room)
    for least in (length for length in job.lengths if 2 * length <= most):
        yield _by_rule(job, partial(_long_or_left_out, most, least))
    for parts in range(1, min(_MOST_PARTS, most // job.lengths[-1]) + 1):
        yield _by_rule(job, partial(_whole_parts, most, parts))


def laid_out(job: Job, sticks: int, steps: Steps, *, few_ways: bool = False) -> tuple[Fill, ...] | None:
    """A plan with at most so many new sticks: a fill for each offcut and stick; None where there is none.

    It is settled that there is none when steps are left, unless only a few ways to fill each stick were tried.
    """
    shelf = len(job.shelf)
    rooms = (*job.shelf, *[job.stick] * sticks)
    nothing = (0,) * len(job.lengths)
    failed: set[tuple[int, Fill]] = set()

    def rest_of(at: int, counts: Fill, spare: int) -> tuple[Fill, ...] | None:
        if not any(counts):
            return (nothing,) * (len(rooms) - at)
        if at == len(rooms) or (at, counts) in failed:
            return None
        # A stick may waste its share of what can be wasted; of such fills those with long pieces come first.
        share = spare // (len(rooms) - at) if few_ways else 0
        fills = _fills(job, counts, rooms[at], spare, steps, holds_longest=at >= shelf, few=few_ways)
        fills.sort(key=lambda each: (max(each[0], share), [-number for number in each[1]]))
        for waste, fill in fills[:_FEW_WAYS] if few_ways else fills:
            if steps.left <= 0:
                return None
            found = rest_of(at + 1, _without(counts, fill), spare - waste)
            if found is not None:
                return (fill, *found)
        failed.add((at, counts))
        return None

    spare = sum(rooms) - job.in_all(job.counts)
    return rest_of(0, job.counts, spare) if spare >= 0 else None


def _fills(
    job: Job, counts: Fill, room: int, most_waste: int, steps: Steps, *, holds_longest: bool, few: bool
) -> list[tuple[int, Fill]]:
    """The fills worth trying for the next stick, with their waste; all of them, or a `few`.

    All sticks that are left are alike when `holds_longest`, so the longest piece may as well lie in this one. A fill
    that leaves room for a piece that is left is not tried, nor one that some single piece could stand in for (the
    dominance of Martello and Toth).
    """
    fill = [0] * len(counts)
    if holds_longest:
        first = next(at for at, number in enumerate(counts) if number)
        fill[first] = 1
        room -= job.lengths[first]
    unused = list(_without(counts, tuple(fill)))
    kinds = [at for at, number in enumerate(unused) if number and job.lengths[at] <= room]
    if not kinds:
        return [(room, tuple(fill))] if room <= most_waste else []
    longest = job.lengths[kinds[0]]
    in_all = [0] * (len(kinds) + 1)
    for place in range(len(kinds) - 1, -1, -1):
        in_all[place] = in_all[place + 1] + unused[kinds[place]] * job.lengths[kinds[place]]
    found: list[tuple[int, Fill]] = []

    def add(place: int, left: int, added: int) -> None:
        if not steps.take(4) or (few and len(found) == _FEW_FILLS):
            return
        fits_no_more = not any(unused[at] and job.lengths[at] <= left for at in reversed(kinds))
        is_longest_alone = added == 1 and room - left == longest
        if left <= most_waste and fits_no_more and (room - left > longest or is_longest_alone):
            found.append((left, tuple(fill)))
        for then in range(place, len(kinds)):
            if left - in_all[then] > most_waste:
                return
            at = kinds[then]
            if unused[at] and job.lengths[at] <= left:
                unused[at] -= 1
                fill[at] += 1
                add(then, left - job.lengths[at], added + 1)
                unused[at] += 1
                fill[at] -= 1

    add(0, room, 0)
    return found


def _best_fit(job: Job) -> tuple[Fill, ...]:
    """The longest piece first, each into the stick where it leaves the least room."""
    rooms = list(job.shelf)
    fills = [[0] * len(job.lengths) for _ in rooms]
    for at, (length, number) in enumerate(zip(job.lengths, job.counts, strict=True)):
        for _ in range(number):
            fits = [place for place, room in enumerate(rooms) if room >= length]
            if not fits:
                fits = [len(rooms)]
                rooms.append(job.stick)
                fills.append([0] * len(job.lengths))
            place = min(fits, key=rooms.__getitem__)
            rooms[place] -= length
            fills[place][at] += 1
    return tuple(map(tuple, fills))


def _long_or_left_out(most: int, least: int, length: int) -> int:
    """A piece beside which none of at least `least` fits counts as the whole room, one under `least` as nothing."""
    return most if length > most - least else length if length >= least else 0


def _whole_parts(most: int, parts: int, length: int) -> int:
    """How many of the `parts` + 1 equal parts of the room a length is more than."""
    return -(-length * (parts + 1) // most) - 1


def _by_rule(job: Job, rule: Callable[[int], int]) -> Proof:
    return _proof(job, tuple(map(rule, job.lengths)), rule)


def _proof(job: Job, weights: tuple[int, ...], holds: Callable[[int], int]) -> Proof:
    """The proof by weights, in the smallest numbers but for lengths; `holds` is the most weight that a room can hold."""
    shelf = sum(map(holds, job.shelf))
    most = gcd(*weights, holds(job.stick), shelf) if weights is not job.lengths else 1
    weighs = sum(weight * number for weight, number in zip(weights, job.counts, strict=True))
    return Proof(
        weights=tuple(weight // most for weight in weights),
        weighs=weighs // most,
        stick_holds=holds(job.stick) // most,
        shelf_holds=shelf // most,
    )


def _sums(job: Job, most: int) -> set[int]:
    """Every length that pieces can come to, laid end to end, up to `most`; none where these are too many."""
    sums = {0}
    for length, number in zip(job.lengths, job.counts, strict=True):
        for _ in range(number):
            sums |= {each + length for each in sums if each + length <= most}
            if len(sums) > _MOST_SUMS:
                return set()
    return sums


def _without(counts: Fill, fill: Fill) -> Fill:
    return tuple(number - taken for number, taken in zip(counts, fill, strict=True))
