"""Dressed sizes of softwood lumber: American Softwood Lumber Standard, Voluntary Product Standard PS 20, the table of
nominal and minimum dressed sizes, dry; typed in here from a public copy of it, apart from the program's own table."""

from fractions import Fraction

import pytest

from flipbook.sums.lumber import read_nominal

INCH = Fraction("25.4")


@pytest.mark.parametrize(
    ("nominal", "thickness", "width"),
    [
        ("1x2", "0.75", "1.5"),
        ("1x3", "0.75", "2.5"),
        ("1x4", "0.75", "3.5"),
        ("1x5", "0.75", "4.5"),
        ("1x6", "0.75", "5.5"),
        ("1x8", "0.75", "7.25"),
        ("1x10", "0.75", "9.25"),
        ("1x12", "0.75", "11.25"),
        ("5/4x6", "1", "5.5"),
        ("1-1/2x4", "1.25", "3.5"),
        ("2x2", "1.5", "1.5"),
        ("2x4", "1.5", "3.5"),
        ("2x6", "1.5", "5.5"),
        ("2x8", "1.5", "7.25"),
        ("2x10", "1.5", "9.25"),
        ("2x12", "1.5", "11.25"),
        ("4x4", "3.5", "3.5"),
    ],
)
def test_a_nominal_size_dresses_to_what_the_standard_says(nominal, thickness, width):
    size = read_nominal(nominal)
    assert (size.thickness, size.width) == (Fraction(thickness) * INCH, Fraction(width) * INCH)
