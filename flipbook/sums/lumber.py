"""Nominal and dressed sizes of softwood lumber.

Source: American Softwood Lumber Standard, Voluntary Product Standard PS 20, table of nominal and minimum dressed
sizes of boards, dimension and timbers, seen in public copies of it. Dry: at most 19% moisture. Minimum sizes: a board
can be more. Lengths are true.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from flipbook.measures.amounts import INCH
from flipbook.measures.unreadable import Unreadable, shown

DRESSED_THICKNESS: Final[dict[str, Fraction]] = {
    "3/4": Fraction(5, 8),
    "1": Fraction(3, 4),
    "1 1/4": Fraction(1),
    "5/4": Fraction(1),
    "1 1/2": Fraction(5, 4),
    "2": Fraction(3, 2),
    "2 1/2": Fraction(2),
    "3": Fraction(5, 2),
    "3 1/2": Fraction(3),
    "4": Fraction(7, 2),
}
"""Inches dry, by the nominal thickness in inches."""

DRESSED_WIDTH: Final[dict[str, Fraction]] = {
    "2": Fraction(3, 2),
    "3": Fraction(5, 2),
    "4": Fraction(7, 2),
    "5": Fraction(9, 2),
    "6": Fraction(11, 2),
    "8": Fraction(29, 4),
    "10": Fraction(37, 4),
    "12": Fraction(45, 4),
    "14": Fraction(53, 4),
    "16": Fraction(61, 4),
}
"""Inches dry, by the nominal width in inches."""


@dataclass(frozen=True, kw_only=True, slots=True)
class DressedSize:
    """What a nominal size of softwood lumber measures when dry, at least, in exact millimetres."""

    nominal: str
    thickness: Fraction
    width: Fraction


def read_nominal(text: str) -> DressedSize:
    """The dressed size of softwood lumber named by its nominal size: `1x4` is 3/4 x 3 1/2 in (PS 20).

    Raises Unreadable for a size that the standard's table does not have.
    """
    body = " ".join(text.lower().replace("×", "x").replace("-", " ").split())
    halves = re.fullmatch(r"([0-9 /]+?) ?x ?([0-9]+)", body)
    if halves is None or halves[1] not in DRESSED_THICKNESS or halves[2] not in DRESSED_WIDTH:
        raise Unreadable(
            f"`{shown(text)}` is no nominal size", "write it as `1x4`, `5/4x6` or `2x4`, or the size as measured"
        )
    return DressedSize(
        nominal=f"{halves[1]}x{halves[2]}",
        thickness=DRESSED_THICKNESS[halves[1]] * INCH,
        width=DRESSED_WIDTH[halves[2]] * INCH,
    )
