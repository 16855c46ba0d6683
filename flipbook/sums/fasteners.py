"""Nails that hold and don't come through, and the holes for wood screws.

The rules of thumb are common practice, no source, and nothing here is a design value: what carries weight over
people, or is fixed to a building, is for the local code and a licensed person.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, bench_length, tell_inches
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.data.fasteners import NAIL_GAUGES, SCREW_DRILLS

Wood = Literal["hardwood", "softwood"]

CLEAR_OF_THE_FACE = INCH / 8
"""How far a point stays under the far face: common practice, no source."""
HALF_A_STEP = INCH / 8
"""Nails are sold by the quarter inch: one this much under three times the part is as near as can be had."""
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
    diameter: Fraction
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
        diameter=nail.diameter * INCH,
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
    """The holes for a wood screw, in exact millimetres; `source` is the table's."""

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
        source=drills.source,
        working=(
            f"Number {number}: 0.060 + {number} x 0.013 = {write_decimal(major / INCH, places=3)} in over the thread (ASME B18.6.1, from memory).",
            f"Through the part {tell(drills.shank * INCH)}, into the {wood} behind {tell(thread)} ({drills.source}).",
            "Try it in a scrap of the same wood first.",
        ),
    )
