"""The search for a plan with the fewest new sticks, until the proof says that fewer can't be had.

Quick plans first (first fit, fullest stick, and sticks filled by worth, the worth of a length being corrected by the
sticks it was wasteful in); then plans that follow the linear programme; then every plan there is, one stick at a time.
Nothing here knows of parts or of kerf: a job is whole numbers that add up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from flipbook.sums.nesting_weights import (
    SCALE,
    Fill,
    Job,
    Programme,
    Proof,
    Steps,
    heaviest,
    plain_weights,
    prove,
    whole_weights,
)

_READABLE = (*range(1, 25), 840)

_PASSES = 40
_FEW_PIECES = 24
_FEW_STEPS = 40_000
_MOST_IN_A_STICK = 150
# Which fill of the programme a dive takes, at which of its choices, where that is not the one used most.
_TURNS: tuple[dict[int, int], ...] = ({}, {0: 1}, {1: 1}, {0: 2}, {2: 1}, {0: 1, 1: 1}, {3: 1}, {0: 3}, {4: 1})


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A fill for each offcut on the shelf, in the job's order, and for each new stick."""

    shelf: tuple[Fill, ...]
    sticks: tuple[Fill, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """The best plan; no plan has fewer than `least` new sticks."""

    plan: Plan
    least: int
    proof: Proof | None  # None where every plan with fewer was tried and failed
    steps: int


def fewest(job: Job, effort: int) -> Found:
    """The plan with the fewest new sticks that `effort` steps find; the same on every machine.

    It is proved the least when it has `least` new sticks.
    """
    steps = Steps(effort)
    proof = _plain_proof(job, steps)
    best = min((_first_fit(job), _fullest_first(job, steps)), key=_sticks)
    if proof.sticks < _sticks(best):
        best = min((best, *_by_worth(job, job.lengths, steps, proof.sticks, 10)), key=_sticks)
    if proof.sticks < _sticks(best):
        programme = Programme(job)
        programme.solve(steps)
        prices = programme.prices[: len(job.lengths)]
        proof = max(proof, _priced_proof(job, prices, steps), key=lambda found: found.sticks)
        worth = [max(1, int(price * job.stick)) for price in prices]
        if proof.sticks < _sticks(best):
            best = min((best, *_by_worth(job, worth, steps, proof.sticks, _PASSES)), key=_sticks)
    for turn in _TURNS:
        if proof.sticks < _sticks(best) and steps.take():
            plan = _dive(job, proof.sticks, turn, steps)
            best = plan or best
    least = proof.sticks
    while least < _sticks(best):
        plan, settled = complete(job, least, steps)
        if plan is not None:
            best = plan
        elif settled:
            least += 1
        else:
            break
    return Found(plan=best, least=least, proof=proof if proof.sticks == least else None, steps=steps.taken)


def _plain_proof(job: Job, steps: Steps) -> Proof:
    """The best proof by weights that want no programme; they get a quarter of the steps at most."""
    best = prove(job, job.lengths, steps)
    for weights in plain_weights(job):
        if steps.taken > steps.allowed // 4:
            break
        best = max(best, prove(job, weights, steps), key=lambda found: found.sticks)
    return best


def _priced_proof(job: Job, prices: Sequence[float], steps: Steps) -> Proof:
    """The proof by prices, in numbers small enough to read where these prove as much."""
    best = prove(job, whole_weights(prices, SCALE), steps)
    for parts in _READABLE:
        if not steps.take():
            break
        proof = prove(job, whole_weights(prices, parts), steps)
        if proof.sticks >= best.sticks:
            return proof
    return best


def _sticks(plan: Plan) -> int:
    return len(plan.sticks)


def _without(counts: Sequence[int], fill: Fill) -> tuple[int, ...]:
    return tuple(number - taken for number, taken in zip(counts, fill, strict=True))


def _with(fill: Fill, other: Fill) -> Fill:
    return tuple(number + more for number, more in zip(fill, other, strict=True))


def _first_fit(job: Job) -> Plan:
    """The longest piece first, each into the stick where it leaves the least room."""
    rooms = list(job.shelf)
    fills = [[0] * len(job.lengths) for _ in rooms]
    for at, (length, number) in enumerate(zip(job.lengths, job.counts, strict=True)):
        for _ in range(number):
            place = min(
                (place for place, room in enumerate(rooms) if room >= length), key=rooms.__getitem__, default=-1
            )
            if place < 0:
                place = len(rooms)
                rooms.append(job.stick)
                fills.append([0] * len(job.lengths))
            rooms[place] -= length
            fills[place][at] += 1
    made = [tuple(fill) for fill in fills]
    return Plan(shelf=tuple(made[: len(job.shelf)]), sticks=tuple(made[len(job.shelf) :]))


def _fullest(job: Job, counts: Sequence[int], room: int, steps: Steps) -> Fill:
    return heaviest(replace(job, counts=tuple(counts)), job.lengths, room, steps, most_steps=1500)[1]


def _fullest_first(job: Job, steps: Steps) -> Plan:
    """Each stick holds the longest piece that is left, and as little waste as can be."""
    counts = job.counts
    shelf, sticks = [], []
    for room in job.shelf:
        shelf.append(_fullest(job, counts, room, steps))
        counts = _without(counts, shelf[-1])
    while any(counts):
        first = next(at for at, number in enumerate(counts) if number)
        alone = tuple(int(at == first) for at in range(len(counts)))
        counts = _without(counts, alone)
        rest = _fullest(job, counts, job.stick - job.lengths[first], steps)
        counts = _without(counts, rest)
        sticks.append(_with(alone, rest))
    return Plan(shelf=tuple(shelf), sticks=tuple(sticks))


def _by_worth(job: Job, worth: Sequence[int], steps: Steps, goal: int, passes: int) -> Iterator[Plan]:
    """Plans whose sticks each hold the most worth; a length that lay in wasteful sticks is worth more the next time."""
    values = [value * 1000 for value in worth]
    for _ in range(passes):
        counts = job.counts
        fills: list[Fill] = []
        rooms = iter(job.shelf)
        while any(counts) or len(fills) < len(job.shelf):
            room = next(rooms, job.stick)
            fill = heaviest(replace(job, counts=counts), values, room, steps, most_steps=1500)[1]
            fill = _with(fill, _fullest(job, _without(counts, fill), room - job.in_all(fill), steps))
            used = job.in_all(fill)
            for at, number in enumerate(fill):
                if number:
                    # A little more than the length, so that long pieces, hard to place late, go in early.
                    cost = int(job.lengths[at] ** 1.03 * 1000 * room / used)
                    share = number / (job.counts[at] + counts[at] - number)
                    values[at] = max(1, int((1 - share) * values[at] + share * cost))
            counts = _without(counts, fill)
            fills.append(fill)
        plan = Plan(shelf=tuple(fills[: len(job.shelf)]), sticks=tuple(fills[len(job.shelf) :]))
        yield plan
        if _sticks(plan) <= goal or not steps.take():
            return


def _dive(job: Job, goal: int, turn: dict[int, int], steps: Steps) -> Plan | None:
    """A plan of at most `goal` sticks that takes the programme's own fills, pricing what is left again and again."""
    counts = job.counts
    unused = list(range(len(job.shelf)))
    shelf: dict[int, Fill] = {}
    sticks: list[Fill] = []
    choices = 0

    def place(fill: Fill, room: int | None) -> None:
        nonlocal counts
        if room is None:
            sticks.append(fill)
        else:
            offcut = next(at for at in unused if job.shelf[at] == room)
            unused.remove(offcut)
            shelf[offcut] = fill
        counts = _without(counts, fill)

    while any(counts) and len(sticks) <= goal and steps.take():
        kept = [at for at, number in enumerate(counts) if number]
        left = Job(
            lengths=tuple(job.lengths[at] for at in kept),
            counts=tuple(counts[at] for at in kept),
            stick=job.stick,
            shelf=tuple(job.shelf[at] for at in unused),
        )

        def whole(fill: Fill, kept: Sequence[int] = kept) -> Fill:
            numbers = dict(zip(kept, fill, strict=True))
            return tuple(numbers.get(at, 0) for at in range(len(job.lengths)))

        if sum(left.counts) <= _FEW_PIECES:
            few = Steps(min(_FEW_STEPS, steps.allowed - steps.taken))
            rest, _ = complete(left, goal - len(sticks), few)
            steps.take(few.taken)
            if rest is None:
                return None
            for fill, room in zip(rest.shelf, left.shelf, strict=True):
                place(whole(fill), room)
            for fill in rest.sticks:
                place(whole(fill), None)
            break
        programme = Programme(left)
        programme.solve(steps)
        uses = programme.uses()
        often = [use for use in uses if use.often > 1 - 1e-6]
        if not often:
            often = [replace(uses[min(turn.get(choices, 0), len(uses) - 1)], often=1.0)]
            choices += 1
        for use in often:
            room = use.room if use.room is not None else job.stick
            for _ in range(int(use.often + 1e-6)):
                fill = tuple(map(min, whole(use.fill), counts))
                fill = _with(fill, _fullest(job, _without(counts, fill), room - job.in_all(fill), steps))
                if any(fill):
                    place(fill, use.room)
    if any(counts) or len(sticks) > goal:
        return None
    nothing = (0,) * len(job.lengths)
    return Plan(shelf=tuple(shelf.get(at, nothing) for at in range(len(job.shelf))), sticks=tuple(sticks))


def complete(job: Job, goal: int, steps: Steps) -> tuple[Plan | None, bool]:
    """A plan of at most `goal` new sticks, out of all there are; and whether the matter is settled.

    (None, True) says that there is no such plan, (None, False) that the steps ran out.
    """
    rooms = [*job.shelf, *[job.stick] * goal]
    spare = sum(rooms) - job.in_all(job.counts)
    if spare < 0:
        return None, True
    if job.stick // job.lengths[-1] > _MOST_IN_A_STICK:
        return None, False
    shelf = len(job.shelf)
    failed: set[tuple[int, tuple[int, ...]]] = set()
    chosen: list[Fill] = []
    left = [(job.counts, spare)]
    trying = [_fills(job, job.counts, rooms[0], spare, shelf == 0, steps)] if rooms else []
    while trying:
        counts, waste = left[-1]
        if not any(counts):
            nothing = (0,) * len(counts)
            chosen += [nothing] * (len(rooms) - len(chosen))
            return Plan(shelf=tuple(chosen[:shelf]), sticks=tuple(filter(any, chosen[shelf:]))), True
        if steps.taken >= steps.allowed:
            return None, False
        depth = len(chosen)
        if depth < len(rooms) and trying[-1]:
            wasted, fill = trying[-1].pop()
            rest = _without(counts, fill)
            if (depth + 1, rest) in failed:
                continue
            chosen.append(fill)
            left.append((rest, waste - wasted))
            goes_on = any(rest) and depth + 1 < len(rooms)
            room = rooms[depth + 1] if goes_on else 0
            trying.append(_fills(job, rest, room, waste - wasted, depth + 1 >= shelf, steps) if goes_on else [])
        else:
            failed.add((depth, counts))
            trying.pop()
            left.pop()
            if chosen:
                chosen.pop()
    return None, True


def _fills(
    job: Job, counts: tuple[int, ...], room: int, most_waste: int, holds_longest: bool, steps: Steps
) -> list[tuple[int, Fill]]:
    """The fills worth trying for the next stick, with their waste, the least waste last.

    All sticks that are left are alike when `holds_longest`, so the longest piece may as well lie in this one. A fill
    that leaves room for a piece that is left is not tried, nor one that some single piece could stand in for.
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
        if not steps.take(4):
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
    return sorted(found, key=lambda tried: (-tried[0], tried[1]))
