"""Pulls and knobs as they are sold: hole centres, hole sizes and where pulls usually go.

Centre to centre is between the middles of the holes, not over all. Multiples of 32 mm and whole inches are how pulls
are made, and the inch labels are how they are sold: common practice, no source. How far a label is off is reckoned.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from flipbook.measures.amounts import INCH


@dataclass(frozen=True, slots=True)
class PullSize:
    """The true centres in exact millimetres, and the inches on the label, in exact millimetres."""

    centres: Fraction
    label: Fraction


PULL_SIZES: Final = tuple(
    PullSize(Fraction(centres), Fraction(inches) * INCH)
    for centres, inches in (
        ("64", "2.5"),
        ("76.2", "3"),
        ("96", "3.75"),
        ("101.6", "4"),
        ("128", "5.0625"),
        ("160", "6.3125"),
        ("192", "7.5625"),
        ("224", "8.8125"),
        ("256", "10.0625"),
        ("288", "11.3125"),
        ("320", "12.625"),
    )
)

HOLE: Final = Fraction(3, 16) * INCH
"""For a #8-32 machine screw, 0.164 in over its thread: common practice, no source. The thread's size is ASME B1.1's."""

WOOD_LEFT: Final = Fraction(3, 8) * INCH
"""The least wood between a hole's edge and the front's edge: common practice, no source."""

SPREADS: Final[dict[str, Fraction]] = {
    "quarters": Fraction(1, 4),
    "sixths": Fraction(1, 6),
    "thirds": Fraction(1, 3),
}
"""How far in from each end two pulls sit, as a share of the width: common practice, no source."""
