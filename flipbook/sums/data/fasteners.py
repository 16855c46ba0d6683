"""Brads, pins, finish nails and wood screws: their diameters, the lengths sold, the drills for their holes.

Diameters of brads and nails: the US steel wire gauge, in a comparative table of wire gauges (18 is 0.0475 in; the
American wire gauge's 0.0403 in is another series); the 23 gauge pin's, a fastener guide. Lengths sold and the 3 x rule:
common practice, no source. Drills for screws: a boatbuilding chart of long standing for numbers 6 to 12, where the row
does not say otherwise. Major diameters: 0.060 in + 0.013 in x number, ASME B18.6.1, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final


@dataclass(frozen=True, slots=True)
class NailGauge:
    """A gauge of brads or nails: its name, its diameter and the lengths sold, in inches."""

    name: str
    diameter: Fraction
    lengths: tuple[Fraction, ...]


def _by_eighths(first: str, last: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(eighths, 8) for eighths in range(int(Fraction(first) * 8), int(Fraction(last) * 8) + 1))


def _by_quarters(first: str, last: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(quarters, 4) for quarters in range(int(Fraction(first) * 4), int(Fraction(last) * 4) + 1))


NAIL_GAUGES: Final[dict[int, NailGauge]] = {
    23: NailGauge("23 gauge pin", Fraction("0.025"), _by_eighths("3/8", "11/8")),
    18: NailGauge("18 gauge brad", Fraction("0.0475"), (Fraction(5, 8), *_by_quarters("3/4", "2"))),
    16: NailGauge("16 gauge finish nail", Fraction("0.0625"), _by_quarters("1", "5/2")),
    15: NailGauge("15 gauge finish nail", Fraction("0.0720"), _by_quarters("5/4", "5/2")),
}


@dataclass(frozen=True, slots=True)
class ScrewDrills:
    """The drills for a wood screw, in inches: for its shank, and for its thread in hard wood and in soft."""

    shank: Fraction
    in_hardwood: Fraction
    in_softwood: Fraction
    source: str


_CHART = "a boatbuilding chart"
_HARD_BY_PRACTICE = "a boatbuilding chart; the hardwood drill is common practice, no source"
_MEMORY = "from memory of such charts"

SCREW_DRILLS: Final[dict[int, ScrewDrills]] = {
    4: ScrewDrills(Fraction(7, 64), Fraction(1, 16), Fraction(3, 64), _MEMORY),
    6: ScrewDrills(Fraction(9, 64), Fraction(3, 32), Fraction(1, 16), _HARD_BY_PRACTICE),
    8: ScrewDrills(Fraction(11, 64), Fraction(7, 64), Fraction(5, 64), _CHART),
    10: ScrewDrills(Fraction(3, 16), Fraction(1, 8), Fraction(3, 32), _CHART),
    12: ScrewDrills(Fraction(7, 32), Fraction(9, 64), Fraction(7, 64), _HARD_BY_PRACTICE),
    14: ScrewDrills(Fraction(1, 4), Fraction(11, 64), Fraction(9, 64), _MEMORY),
}
