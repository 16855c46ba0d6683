"""Nails that hold and don't come through, and the holes for wood screws.

The rules of thumb are common practice, no source, and nothing here is a design value: what carries weight over
people, or is fixed to a building, is for the local code and a licensed person.

Lengths sold, the 3 x rule and the drills for screws: common practice, no source. Major diameters of wood screws: 0.060 in +
0.013 in x number, from memory of ASME B18.6.1.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal, cast

from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, bench_length, tell_inches
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import Answer, length_data, telling

if TYPE_CHECKING:
    from flipbook.sums.at_hand import AtHand

Wood = Literal["hardwood", "softwood"]


@dataclass(frozen=True, slots=True)
class NailGauge:
    """A gauge of brads or nails: its name and the lengths sold, in inches."""

    name: str
    lengths: tuple[Fraction, ...]


def _by(step: Fraction, first: str, last: str) -> tuple[Fraction, ...]:
    return tuple(step * number for number in range(int(Fraction(first) / step), int(Fraction(last) / step) + 1))


_EIGHTH, _QUARTER = Fraction(1, 8), Fraction(1, 4)
NAIL_GAUGES: Final[dict[int, NailGauge]] = {
    23: NailGauge("23 gauge pin", _by(_EIGHTH, "3/8", "11/8")),
    18: NailGauge("18 gauge brad", (Fraction(5, 8), *_by(_QUARTER, "3/4", "2"))),
    16: NailGauge("16 gauge finish nail", _by(_QUARTER, "1", "5/2")),
    15: NailGauge("15 gauge finish nail", _by(_QUARTER, "5/4", "5/2")),
}


@dataclass(frozen=True, slots=True)
class ScrewDrills:
    """The drills for a wood screw, in inches: for its shank, and for its thread in hard wood and in soft."""

    shank: Fraction
    in_hardwood: Fraction
    in_softwood: Fraction


SCREW_DRILLS: Final[dict[int, ScrewDrills]] = {
    4: ScrewDrills(Fraction(7, 64), Fraction(1, 16), Fraction(3, 64)),
    6: ScrewDrills(Fraction(9, 64), Fraction(3, 32), Fraction(1, 16)),
    8: ScrewDrills(Fraction(11, 64), Fraction(7, 64), Fraction(5, 64)),
    10: ScrewDrills(Fraction(3, 16), Fraction(1, 8), Fraction(3, 32)),
    12: ScrewDrills(Fraction(7, 32), Fraction(9, 64), Fraction(7, 64)),
    14: ScrewDrills(Fraction(1, 4), Fraction(11, 64), Fraction(9, 64)),
}

CLEAR_OF_THE_FACE = INCH / 8
"""How far a point stays under the far face: common practice, no source."""
HALF_A_STEP = INCH / 8
"""Nails are sold by the quarter inch: one this much under three times the part is as near as can be had."""
_PRACTICE = "common practice, no source"
THIN = INCH * 3 / 16
"""Trim thinner than this is glued, and pinned only to hold it while the glue dries: common practice, no source."""


@dataclass(frozen=True, kw_only=True, slots=True)
class NailLength:
    """The nail to use, in exact millimetres.

    `wanted` is three times the part that is fixed, `most` what stays clear of the far face; `holds` says whether the
    length is about what was wanted. `advice` is empty when there is nothing to add.
    """

    gauge: int
    name: str
    length: Fraction
    wanted: Fraction
    most: Fraction
    holds: bool
    advice: str
    working: tuple[str, ...]


def nail_length(*, part: Fraction, behind: Fraction, gauge: int = 18, tell: Tell = tell_inches) -> NailLength:
    """The nail sold nearest to three times `part` that does not come through.

    `part` is the thickness of what is fixed, `behind` that of what it is fixed to, both in exact millimetres. Nails
    go through the thinner into the thicker, two thirds of them in the thicker (common practice, no source).

    Raises Unreadable for a thickness or gauge that can't be, and when the shortest nail sold would come through.
    """
    bench_length("the part that is fixed", part)
    bench_length("what it is fixed to", behind)
    if gauge not in NAIL_GAUGES:
        known = ", ".join(str(each) for each in NAIL_GAUGES)
        raise Unreadable(f"there is no table for {gauge} gauge", f"write one of {known}")
    nail = NAIL_GAUGES[gauge]
    wanted, most = 3 * part, part + behind - CLEAR_OF_THE_FACE
    lengths = [length * INCH for length in nail.lengths]
    short_enough = [length for length in lengths if length <= most]
    if not short_enough:
        raise Unreadable(
            f"the shortest {nail.name} sold is {tell(lengths[0])}, and {tell(part + behind)} of wood takes {tell(max(most, Fraction(0)))} at most",
            "glue and clamp it" if gauge == 23 else "glue and clamp it, or write 23 for pins",
        )
    length = min(short_enough, key=lambda each: (abs(each - wanted), -each))
    holds = length >= wanted - HALF_A_STEP
    advice = []
    if not holds:
        advice.append("Shorter than three times the part: glue it as well.")
    if part < THIN:
        advice.append("So thin a part is held by glue; the nails only keep it in place, so use pins.")
    if part > behind:
        advice.append("It is the thicker of the two: nail through the thinner into it, if that can be.")
    return NailLength(
        gauge=gauge,
        name=nail.name,
        length=length,
        wanted=wanted,
        most=most,
        holds=holds,
        advice=" ".join(advice),
        working=(
            f"To hold: 3 x {tell(part)} = {tell(wanted)}.",
            f"Not to come through: {tell(part)} + {tell(behind)} − {tell(CLEAR_OF_THE_FACE)} = {tell(most)} at most.",
            f"Sold nearest to that: {nail.name}, {tell(length)} (common practice, no source).",
        ),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class ScrewHoles:
    """The holes for a wood screw, in exact millimetres; `source` is that of the drills."""

    number: int
    wood: Wood
    major: Fraction
    shank_drill: Fraction
    thread_drill: Fraction
    source: str
    working: tuple[str, ...]


def screw_holes(number: int, wood: Wood, *, tell: Tell = tell_inches) -> ScrewHoles:
    """The drills for a wood screw of that number: for its shank in the part, for its thread in what is behind.

    Raises Unreadable for a number that the table does not have.
    """
    drills = SCREW_DRILLS.get(number)
    if drills is None:
        known = ", ".join(str(each) for each in SCREW_DRILLS)
        raise Unreadable(f"there is no row for a number {number} screw", f"write one of {known}")
    if wood not in ("hardwood", "softwood"):
        raise Unreadable(f"`{shown(wood)}` is neither hard nor soft wood", "write `hardwood` or `softwood`")
    major = Fraction(60 + 13 * number, 1000) * INCH
    thread = (drills.in_hardwood if wood == "hardwood" else drills.in_softwood) * INCH
    return ScrewHoles(
        number=number,
        wood=wood,
        major=major,
        shank_drill=drills.shank * INCH,
        thread_drill=thread,
        source=_PRACTICE,
        working=(
            f"Number {number}: 0.060 + {number} x 0.013 = {write_decimal(major / INCH, places=3)} in over the thread (ASME B18.6.1, from memory).",
            f"Through the part {tell(drills.shank * INCH)}, into the {wood} behind {tell(thread)} ({_PRACTICE}).",
            "Try it in a scrap of the same wood first.",
        ),
    )


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums fasteners`."""
    if at_hand.text("--screw") is not None:
        return _screw(at_hand)
    part, behind = at_hand.length("--part", None), at_hand.length("--behind", None)
    if part is None or behind is None:
        raise Unreadable(
            'say both thicknesses, as --part "3/4 in" --behind "3/4 in"', "or --screw 8 for the holes of a screw"
        )
    tell = telling(at_hand.text("--part"), at_hand.text("--behind"))
    nail = nail_length(part=part, behind=behind, gauge=at_hand.number("--gauge", 18), tell=tell)
    return Answer(
        lines=[f"{nail.name}, {tell(nail.length)}."],
        warnings=[nail.advice] if nail.advice else [],
        working=nail.working,
        data={
            "gauge": nail.gauge,
            "name": nail.name,
            "length_mm": length_data(nail.length),
            "wanted_mm": length_data(nail.wanted),
            "most_mm": length_data(max(nail.most, Fraction(0))),
            "holds": nail.holds,
        },
        planned=[{"did": f"nail with {nail.name}s, {tell(nail.length)}" + ("" if nail.holds else ", and glue")}],
    )


def _screw(at_hand: AtHand) -> Answer:
    if any(at_hand.text(option) is not None for option in ("--part", "--behind", "--gauge")):
        raise Unreadable(
            "--screw is about a screw's holes, and --part, --behind and --gauge about a nail", "say one of the two"
        )
    wood = cast(Wood, at_hand.choice("--wood", ("hardwood", "softwood")))
    screw = screw_holes(at_hand.number("--screw", 0), wood)
    drills = f"{tell_inches(screw.shank_drill)} through the part, {tell_inches(screw.thread_drill)} into the {wood}"
    return Answer(
        lines=[f"Number {screw.number} screw: {drills}."],
        working=screw.working,
        data={
            "screw": screw.number,
            "wood": wood,
            "shank_mm": length_data(screw.shank_drill),
            "thread_mm": length_data(screw.thread_drill),
            "source": screw.source,
        },
        planned=[{"did": f"drill for number {screw.number} screws: {drills}"}],
    )
