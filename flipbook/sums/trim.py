"""Mitred frames: the cut list of trim for drawer fronts and doors, and of frames of any number of sides.

A frame is measured outside, inside, along the middle of the trim, or by the panel that it laps with a rabbet: the
caller says which, and the cut list gives both the long points and the short points. A saw set off square by 180/n
degrees closes a frame of n sides (four at 45), and the trim's width adds its width x tan(180/n) at each end.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, cast

from flipbook.cli.ending import Misused, many
from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, bench_length, read_length, tell_inches
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import Answer, Data, length_data, telling
from flipbook.sums.fronts import Front, read_fronts
from flipbook.sums.lumber import read_nominal
from flipbook.sums.nesting import CutPart, Nesting, nest

if TYPE_CHECKING:
    from flipbook.sums.at_hand import AtHand

Measured = Literal["outside", "inside", "middle", "panel"]
"""Which size was measured: at the outer edge of the trim (its long points), at its inner edge (the sight size, the
short points), along its middle, or of the panel that its rabbet laps."""

_FULL_KERF = INCH / 8
_MOST_FRONTS = 100
_MOST_SIDES = 60
_PLACES = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class MitredPart:
    """A line of the cut list: both ends mitred by `mitre` degrees, the lengths in exact millimetres."""

    name: str
    count: int
    long_points: Fraction
    short_points: Fraction
    mitre: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class TrimCuts:
    """The cut list of mitred frames.

    `kerf_along` is what a mitred cut takes along the trim, to nest the parts with; `strip` is the trim that they
    take in one row, with a cut between any two.
    """

    parts: tuple[MitredPart, ...]
    mitre: Fraction  # degrees off square
    kerf_along: Fraction
    strip: Fraction
    working: tuple[str, ...]

    @property
    def to_nest(self) -> tuple[CutPart, ...]:
        """The parts at their long points, as nesting takes them."""
        return tuple(CutPart(name=part.name, length=part.long_points, count=part.count) for part in self.parts)


def mitred_frames(
    fronts: Sequence[Front],
    *,
    measured: Measured,
    trim_width: Fraction,
    kerf: Fraction,
    set_in: Fraction = Fraction(0),
    lap: Fraction = Fraction(0),
    tell: Tell = tell_inches,
) -> TrimCuts:
    """A frame of four mitred parts on each front: two long ones and two side ones, all ends at 45 degrees.

    `set_in` is how far inside the measured edge the frame lies; `lap` is how far its rabbet laps a measured panel.
    Six fronts want twelve long parts and twelve side parts (common practice, no source).

    Raises Unreadable for a size that can't be cut, trim that leaves no opening, and a lap as wide as the trim.
    """
    if not fronts:
        raise Unreadable("there are no fronts", "write the width and height of at least one")
    if any(front.count < 1 for front in fronts):
        raise Unreadable("a front is wanted less than once", "write how many fronts, 1 or more")
    if sum(front.count for front in fronts) > _MOST_FRONTS:
        raise Unreadable(f"those are over {_MOST_FRONTS} fronts", "write them in several lists")
    bench_length("the inset", set_in, zero=True)
    out = _outward(measured, trim_width, lap)
    parts = []
    for front in fronts:
        lengths = []
        for side, size in (("width", front.width), ("height", front.height)):
            bench_length(f"the {side} of `{front.name}`", size)
            if 2 * set_in >= size:
                raise Unreadable(f"the inset takes all of `{front.name}`", "write a smaller inset")
            lengths.append(size - 2 * set_in)
        for which, length in zip(("long", "side"), sorted(lengths, reverse=True), strict=True):
            long_points = length + 2 * out
            short_points = long_points - 2 * trim_width
            if short_points <= 0:
                raise Unreadable(
                    f"trim {tell(trim_width)} wide leaves no opening in `{front.name}`, {tell(long_points)} across",
                    "write narrower trim, or a frame on fewer fronts",
                )
            parts.append(
                MitredPart(
                    name=f"{front.name}, {which}",
                    count=2 * front.count,
                    long_points=long_points,
                    short_points=short_points,
                    mitre=Fraction(45),
                )
            )
    number = sum(front.count for front in fronts)
    sizes = "; ".join(f"{front.count} x {tell(front.width)} by {tell(front.height)}" for front in fronts)
    first = parts[0]
    inset = f", less 2 x {tell(set_in)} inset" if set_in else ""
    return _cut_list(
        parts,
        kerf=kerf,
        tell=tell,
        lines=(
            f"Measured {_WHERE[measured]}: {sizes}{inset}. {number} x 2 = {2 * number} long parts and {2 * number} side parts.",
            f"{_long_sum(first, measured, trim_width, lap, tell)}; short points {tell(first.long_points)} − 2 x {tell(trim_width)} = {tell(first.short_points)}.",
        ),
    )


def mitred_ring(
    *,
    sides: int,
    side: Fraction,
    measured: Measured,
    trim_width: Fraction,
    kerf: Fraction,
    count: int = 1,
    lap: Fraction = Fraction(0),
    tell: Tell = tell_inches,
) -> TrimCuts:
    """A regular frame of `sides` parts, each `side` long as measured; `count` such frames.

    The tangent is taken to twelve places, so that a length is right to less than a millionth of a millimetre.

    Raises Unreadable as `mitred_frames` does, and for fewer than 3 sides or more than 60.
    """
    if not 3 <= sides <= _MOST_SIDES:
        raise Unreadable(f"a frame of {sides} sides can't be made", f"write a number from 3 to {_MOST_SIDES}")
    if not 1 <= count <= _MOST_FRONTS:
        raise Unreadable(f"{count} frames can't be reckoned", f"write a number from 1 to {_MOST_FRONTS}")
    bench_length("a side", side)
    tangent = Fraction(str(round(math.tan(math.pi / sides), _PLACES)))
    out = _outward(measured, trim_width, lap)
    long_points = side + 2 * out * tangent
    short_points = long_points - 2 * trim_width * tangent
    if short_points <= 0:
        raise Unreadable(
            f"trim {tell(trim_width)} wide leaves no opening inside sides of {tell(long_points)}", "write narrower trim"
        )
    mitre = Fraction(180, sides)
    part = MitredPart(name="side", count=sides * count, long_points=long_points, short_points=short_points, mitre=mitre)
    return _cut_list(
        [part],
        kerf=kerf,
        tell=tell,
        lines=(
            f"{sides} sides: the saw is set 180 / {sides} = {_degrees(mitre)} degrees off square, tan {_degrees(mitre)} = {write_decimal(tangent, places=5)}.",
            f"Measured {_WHERE[measured]}, {tell(side)}: long points {tell(long_points)}, "
            f"short points {tell(long_points)} − 2 x {tell(trim_width)} x {write_decimal(tangent, places=5)} = {tell(short_points)}.",
        ),
    )


_WHERE: dict[Measured, str] = {
    "outside": "at the outer edge",
    "inside": "at the inner edge",
    "middle": "along the middle of the trim",
    "panel": "on the panel that it laps",
}


def _outward(measured: Measured, trim_width: Fraction, lap: Fraction) -> Fraction:
    """How far the outer edge lies outside the line that was measured."""
    bench_length("the trim's width", trim_width)
    bench_length("the lap", lap, zero=True)
    if measured not in _WHERE:
        raise Unreadable(f"`{shown(measured)}` is not where a frame is measured", f"write one of {', '.join(_WHERE)}")
    if lap and measured != "panel":
        raise Unreadable("a lap goes with the size of a panel", "say that the panel was measured, or leave the lap out")
    if lap >= trim_width:
        raise Unreadable("the lap is as wide as the trim", "write a smaller lap")
    return {"outside": Fraction(0), "inside": trim_width, "middle": trim_width / 2, "panel": trim_width - lap}[measured]


def _cut_list(parts: list[MitredPart], *, kerf: Fraction, tell: Tell, lines: tuple[str, ...]) -> TrimCuts:
    bench_length("the kerf", kerf, zero=True)
    mitre = parts[0].mitre
    along = _kerf_along(kerf, mitre)
    for part in parts:
        if along >= part.long_points:
            raise Unreadable(f"the kerf is as wide as `{part.name}` is long", "check the kerf and its unit")
    number = sum(part.count for part in parts)
    lengths = sum((part.count * part.long_points for part in parts), Fraction(0))
    strip = lengths + (number - 1) * along
    return TrimCuts(
        parts=tuple(parts),
        mitre=mitre,
        kerf_along=along,
        strip=strip,
        working=(
            *lines,
            f"In one row: long points {tell(lengths)} + {number - 1} cuts x {write_decimal(along / INCH, places=3)} in "
            f"({tell(kerf)} of kerf at {_degrees(mitre)} degrees) = {tell(strip)} of trim.",
        ),
    )


def _long_sum(part: MitredPart, measured: Measured, trim_width: Fraction, lap: Fraction, tell: Tell) -> str:
    start = f"`{part.name}`: long points"
    out = _outward(measured, trim_width, lap)
    if not out:
        return f"{start} {tell(part.long_points)}"
    added = f"({tell(trim_width)} − {tell(lap)})" if lap else tell(out)
    return f"{start} {tell(part.long_points - 2 * out)} + 2 x {added} = {tell(part.long_points)}"


def _kerf_along(kerf: Fraction, mitre: Fraction) -> Fraction:
    """What the blade takes along the trim: kerf / cos of the mitre, rounded up to the thousandth of a millimetre."""
    return Fraction(math.ceil(round(float(kerf) / math.cos(math.radians(float(mitre))) * 1000, 6)), 1000)


def _degrees(angle: Fraction) -> str:
    return write_decimal(angle, places=3)


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums trim`."""
    tell = telling(at_hand.words, *map(at_hand.text, ("--width", "--side", "--stick")))
    width = at_hand.said("--width", _read_width, None)
    if width is None:
        raise Unreadable('say how wide the trim is, as --width "1 in"', "or by its nominal size, --width 1x4")
    kerf = at_hand.length("--kerf", _FULL_KERF)
    measured = cast(Measured, at_hand.choice("--measured", ("outside", "inside", "middle", "panel")))
    lap, set_in = at_hand.length("--lap", Fraction(0)), at_hand.length("--set-in", Fraction(0))
    if at_hand.text("--sides") is not None:
        cuts = _ring(at_hand, measured, width, kerf, lap, tell)
    else:
        fronts = at_hand.of_words(lambda words: read_fronts(words, at_hand.size), "the fronts")
        cuts = mitred_frames(fronts, measured=measured, trim_width=width, kerf=kerf, set_in=set_in, lap=lap, tell=tell)
    plan = _in_sticks(at_hand, cuts, tell)
    parts = [_part_line(part, tell) for part in cuts.parts]
    is_usual = at_hand.text("--kerf") is None
    return Answer(
        lines=[
            *parts,
            f"In one row they take {tell(cuts.strip)} of trim.",
            *(_stick_lines(plan, tell) if plan else []),
        ],
        warnings=[f"The kerf is taken for {tell(kerf)}; say --kerf for your blade."] if is_usual else [],
        working=[*cuts.working, *(plan.working if plan else [])],
        data={
            "parts": [
                {
                    "name": part.name,
                    "count": part.count,
                    "long_points_mm": length_data(part.long_points),
                    "short_points_mm": length_data(part.short_points),
                    "mitre_degrees": write_decimal(part.mitre),
                }
                for part in cuts.parts
            ],
            "strip_mm": length_data(cuts.strip),
            "sticks": _sticks_data(plan) if plan else None,
        },
        planned=[{"did": f"cut the trim, mitred: {'; '.join(line.rstrip('.') for line in parts)}"}],
    )


def _ring(at_hand: AtHand, measured: Measured, width: Fraction, kerf: Fraction, lap: Fraction, tell: Tell) -> TrimCuts:
    if at_hand.words.strip():
        raise Unreadable("a frame of --sides has sides of one length, said with --side", "leave the fronts out")
    side = at_hand.length("--side", None)
    if side is None:
        raise Misused('say how long a side is, as --side "10 in"')
    sides = at_hand.number("--sides", 0)
    return mitred_ring(sides=sides, side=side, measured=measured, trim_width=width, kerf=kerf, lap=lap, tell=tell)


def _in_sticks(at_hand: AtHand, cuts: TrimCuts, tell: Tell) -> Nesting | None:
    stick, offcuts = at_hand.length("--stick", None), at_hand.lengths("--offcut")
    if stick is None:
        if offcuts:
            raise Misused('--offcut goes with the length that is bought, as --stick "8 ft"')
        return None
    return nest(cuts.to_nest, stick=stick, kerf=cuts.kerf_along, offcuts=offcuts, tell=tell)


def _read_width(text: str) -> Fraction:
    """The trim's width, or that of a nominal size: `1x4` is 3 1/2 in wide (PS 20)."""
    if re.fullmatch(r"[0-9/ ]+[x×][0-9]+", text.strip()):
        return read_nominal(text).width
    return read_length(text)


def _part_line(part: MitredPart, tell: Tell) -> str:
    return f"{part.count} x {part.name}: {tell(part.long_points)} long points, {tell(part.short_points)} short points, {write_decimal(part.mitre, places=2)} degrees."


def _stick_lines(plan: Nesting, tell: Tell) -> list[str]:
    from_shelf = len(plan.sticks) - plan.new_sticks
    head = f"Buy {many(plan.new_sticks, 'stick')}" + (f", and use {many(from_shelf, 'offcut')}" if from_shelf else "")
    proof = "; no plan has fewer." if plan.is_least else f"; at least {plan.least} are wanted, fewer may do."
    lines = [head + proof]
    for number, stick in enumerate(plan.sticks, 1):
        lengths = Counter(tell(cut.length) for cut in stick.cuts)
        parts = ", ".join(f"{count} at {length}" if count > 1 else length for length, count in lengths.items())
        kind = "offcut" if stick.from_shelf else "stick"
        left = f"; {tell(stick.offcut)} left" if stick.offcut else ""
        lines.append(f"{number}. {kind} {tell(stick.length)}: {parts}{left}.")
    return lines


def _sticks_data(plan: Nesting) -> Data:
    return {
        "new": plan.new_sticks,
        "least": plan.least,
        "cut": [
            {
                "length_mm": length_data(stick.length),
                "from_shelf": stick.from_shelf,
                "parts": [{"name": cut.name, "length_mm": length_data(cut.length)} for cut in stick.cuts],
                "offcut_mm": length_data(stick.offcut),
            }
            for stick in plan.sticks
        ],
    }
