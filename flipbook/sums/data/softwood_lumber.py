"""Nominal and dressed sizes of softwood lumber.

Source: American Softwood Lumber Standard, Voluntary Product Standard PS 20, table of nominal and minimum dressed
sizes of boards, dimension and timbers, seen in public copies of it. Dry: at most 19% moisture. Minimum sizes: a board
can be more. Lengths are true.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

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
