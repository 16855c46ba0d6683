"""A cut list nested into stock lengths, with the fewest new sticks, and the sum that shows there is no fewer.

Each cut between two parts takes a kerf. A last part whose end is the stick's own end wants no cut; what is left
beyond a last cut is an offcut, and where no more than a kerf is left the blade takes it all. So parts lie in a stick
when their lengths and a kerf for each come to no more than the stick and one kerf.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from flipbook.measures.lengths import Tell, bench_length, tell_inches
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.nesting_search import Cutting, Fill, Job, fewest

MOST_PARTS = 300
MOST_OFFCUTS = 50
EFFORT = 2_000_000
"""Steps of the search before it says what it has; some seconds."""

_MOST_TO_LIST = 6


@dataclass(frozen=True, kw_only=True, slots=True)
class CutPart:
    """A line of a cut list: so many parts of one length, in exact millimetres, at their longest."""

    name: str
    length: Fraction
    count: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """One part where it lies in a stick."""

    name: str
    length: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Stick:
    """A stick and what is cut from it, longest first. The parts, the sawdust and the offcut are its length."""

    length: Fraction
    from_shelf: bool
    cuts: tuple[Cut, ...]
    sawdust: Fraction
    offcut: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Nesting:
    """The plan. No plan has fewer than `least` new sticks; `least` may be under `new_sticks` where the search stopped."""

    sticks: tuple[Stick, ...]  # those from the shelf first
    new_sticks: int
    least: int
    working: tuple[str, ...]

    @property
    def is_least(self) -> bool:
        """Whether it is proved that there is no plan with fewer new sticks."""
        return self.new_sticks == self.least


def nest(
    parts: Sequence[CutPart],
    *,
    stick: Fraction,
    kerf: Fraction,
    offcuts: Sequence[Fraction] = (),
    effort: int = EFFORT,
    tell: Tell = tell_inches,
) -> Nesting:
    """The parts nested into new sticks of one length, the offcuts on the shelf used first.

    All lengths are exact millimetres. Mitred parts go in at their long points, with the kerf as the blade takes it
    along the stick. Offcuts cost nothing: the fewest new sticks are looked for, then parts go to the shelf's offcuts
    where these have room.

    Raises Unreadable for a length that can't be cut, a part longer than the stick, a kerf as wide as a part, and more
    parts than can be nested at once.
    """
    bench_length("the stick", stick)
    bench_length("the kerf", kerf, zero=True)
    for offcut in offcuts:
        bench_length("an offcut on the shelf", offcut)
    _refuse_parts(parts, stick, kerf, tell)
    if len(offcuts) > MOST_OFFCUTS:
        raise Unreadable(f"those are over {MOST_OFFCUTS} offcuts", "name the longest of them")

    lengths = sorted({part.length for part in parts}, reverse=True)
    shelf = sorted(offcuts)
    scale = lcm(*(length.denominator for length in (*lengths, *shelf, stick, kerf)))
    numbers = {length: sum(part.count for part in parts if part.length == length) for length in lengths}
    job = Job(
        lengths=tuple(int((length + kerf) * scale) for length in lengths),
        counts=tuple(numbers.values()),
        stick=int((stick + kerf) * scale),
        shelf=tuple(int((offcut + kerf) * scale) for offcut in shelf),
    )
    plan = fewest(job, effort)
    on_shelf, in_new = _shelf_first(job, plan)
    names = {
        length: deque(part.name for part in parts if part.length == length for _ in range(part.count))
        for length in lengths
    }
    laid = (
        *((offcut, True, fill) for offcut, fill in zip(shelf, on_shelf, strict=True)),
        *((stick, False, fill) for fill in sorted(in_new, reverse=True)),
    )
    sticks = [_cut_up(length, from_shelf, fill, names, kerf) for length, from_shelf, fill in laid if any(fill)]
    new_sticks = sum(not each.from_shelf for each in sticks)
    return Nesting(
        sticks=tuple(sticks),
        new_sticks=new_sticks,
        least=plan.least,
        working=(
            _room_line(job, lengths, stick, kerf, tell),
            _proof_line(plan, job, lengths, scale, tell),
            _found_line(sticks, new_sticks, plan.least, effort),
        ),
    )


def _refuse_parts(parts: Sequence[CutPart], stick: Fraction, kerf: Fraction, tell: Tell) -> None:
    if not parts:
        raise Unreadable("the cut list is empty", "write at least one part")
    for part in parts:
        bench_length(f"`{part.name}`", part.length)
        if part.count < 1:
            raise Unreadable(f"`{part.name}` is wanted {part.count} times", "write how many, 1 or more")
        if part.length > stick:
            raise Unreadable(
                f"`{part.name}` is {tell(part.length)} long, and the stick {tell(stick)}",
                "write a longer stick, or make the part of two",
            )
        if kerf >= part.length:
            raise Unreadable(
                f"the kerf, {tell(kerf)}, is as wide as `{part.name}` is long", "check the kerf and its unit"
            )
    if sum(part.count for part in parts) > MOST_PARTS:
        raise Unreadable(f"those are over {MOST_PARTS} parts", "nest them in several lists")


def _shelf_first(job: Job, plan: Cutting) -> tuple[list[Fill], list[Fill]]:
    """The plan with parts moved from new sticks, the emptiest first, to where the shelf's offcuts have room."""
    shelf = [list(fill) for fill in plan.shelf]
    new = sorted((list(fill) for fill in plan.sticks), key=lambda fill: job.in_all(tuple(fill)))
    for fill, room in zip(shelf, job.shelf, strict=True):
        left = room - job.in_all(tuple(fill))
        for source in new:
            for at, length in enumerate(job.lengths):
                number = min(source[at], left // length)
                source[at] -= number
                fill[at] += number
                left -= number * length
    return [tuple(fill) for fill in shelf], [tuple(fill) for fill in new if any(fill)]


def _cut_up(length: Fraction, from_shelf: bool, fill: Fill, names: dict[Fraction, deque[str]], kerf: Fraction) -> Stick:
    """A stick with its fill; the names of the parts that lie in it are taken off `names`."""
    cuts = tuple(
        Cut(name=names[each].popleft(), length=each)
        for each, number in zip(names, fill, strict=True)
        for _ in range(number)
    )
    between = (len(cuts) - 1) * kerf
    beyond = length - sum((cut.length for cut in cuts), Fraction(0)) - between
    last = min(kerf, beyond)
    return Stick(length=length, from_shelf=from_shelf, cuts=cuts, sawdust=between + last, offcut=beyond - last)


def _room_line(job: Job, lengths: Sequence[Fraction], stick: Fraction, kerf: Fraction, tell: Tell) -> str:
    parts = sum(job.counts)
    total = sum((length * number for length, number in zip(lengths, job.counts, strict=True)), Fraction(0))
    return (
        f"{_of(parts, 'part')}, {tell(total)} in all. The last part of a stick wants no kerf: with {tell(kerf)} of kerf "
        f"counted to each part, a {tell(stick)} stick has room for {tell(stick + kerf)}."
    )


def _proof_line(plan: Cutting, job: Job, lengths: Sequence[Fraction], scale: int, tell: Tell) -> str:
    proof, least = plan.proof, plan.least
    if least == 0:
        return "The offcuts on the shelf hold them all."
    if proof is None:
        return (
            f"Every plan with {_of(least - 1, 'new stick')} was tried, and none holds the list: no fewer than {least}."
        )
    by_length = proof.weights == job.lengths

    def told(weight: int) -> str:
        return tell(Fraction(weight, scale)) if by_length else str(weight)

    over = proof.weighs - proof.shelf_holds
    weighs, holds = told(proof.weighs), told(proof.stick_holds)
    less = f"({weighs} less the {told(proof.shelf_holds)} that the shelf can hold)" if proof.shelf_holds else weighs
    quotient = write_decimal(Fraction(over, proof.stick_holds), places=3)
    if Fraction(quotient) <= least - 1:
        quotient = f"just over {least - 1}"
    end = f"{less} / {holds} = {quotient}, so no fewer than {_of(least, 'new stick')}."
    if by_length:
        return f"With their kerfs the parts are {weighs}, and a stick holds at most {holds} of them: {end}"
    listed = [f"{tell(length)} as {weight}" for length, weight in zip(lengths, proof.weights, strict=True) if weight]
    counted = "Count each part by its weight" if len(listed) > _MOST_TO_LIST else f"Count {', '.join(listed)}"
    others = " and the others as 0" if 0 in proof.weights and len(listed) <= _MOST_TO_LIST else ""
    return f"{counted}{others}: a stick holds at most {holds}, the list is {weighs}. {end}"


def _found_line(sticks: Sequence[Stick], new_sticks: int, least: int, effort: int) -> str:
    from_shelf = len(sticks) - new_sticks
    shelf = f" and {_of(from_shelf, 'offcut')} from the shelf" if from_shelf else ""
    if new_sticks == least:
        return f"Found: {_of(new_sticks, 'new stick')}{shelf}; there is no plan with fewer."
    return (
        f"Found: {_of(new_sticks, 'new stick')}{shelf}. The search stopped at its limit of {effort:,} steps: "
        f"at least {least} are wanted, and whether {new_sticks - 1} would do is not settled."
    )


def _of(number: int, what: str) -> str:
    return f"{number or 'no'} {what}{'' if number == 1 else 's'}"
