"""Every unit against NIST Handbook 44 Appendix C (General Tables of Units of Measurement).

Section 1 has the metric units, section 2 the relations of the US customary ones among themselves, section 4
the tables to many places with the exact values marked, section 5 the equivalents. Inch, pound and gallon
are the definitions; a value marked `worked` is a product of those and the relations of section 2, as it
says beside it, reckoned apart from the program.
"""

from fractions import Fraction

import pytest

from flipbook.measures.amounts import UNITS, Amount
from flipbook.measures.lengths import read_length

SECTION_1 = "NIST Handbook 44 Appendix C section 1"
SECTION_2 = "NIST Handbook 44 Appendix C section 2"
SECTIONS_4_AND_5 = "NIST Handbook 44 Appendix C sections 4 and 5"
SECTION_5 = "NIST Handbook 44 Appendix C section 5"
WORKED = "worked from NIST Handbook 44 Appendix C: "


def one(unit: str, *, of: str) -> Fraction:
    return Amount(Fraction(1), UNITS[unit]).in_unit(UNITS[of])


@pytest.mark.parametrize(
    ("unit", "of", "is_exactly", "source"),
    [
        ("in", "mm", "25.4", f"{SECTIONS_4_AND_5}, the inch is 2.54 cm exactly"),
        ("ft", "m", "0.3048", f"{WORKED}12 x 25.4 mm"),
        ("yd", "m", "0.9144", f"{WORKED}36 x 25.4 mm"),
        ("lb", "g", "453.59237", f"{SECTIONS_4_AND_5}, the avoirdupois pound exactly"),
        ("oz", "g", "28.349523125", f"{WORKED}453.592 37 g / 16"),
        ("gallon", "ml", "3785.411784", f"{WORKED}231 x 16.387 064 ml, the cubic inch being 2.54 cm cubed"),
        ("quart", "ml", "946.352946", f"{WORKED}3 785.411 784 ml / 4"),
        ("pint", "ml", "473.176473", f"{WORKED}3 785.411 784 ml / 8; the liquid pint, not the dry one"),
        ("cup", "ml", "236.5882365", f"{WORKED}3 785.411 784 ml / 16"),
        ("fl oz", "ml", "29.5735295625", f"{WORKED}3 785.411 784 ml / 128"),
        ("sq in", "sq m", "0.00064516", f"{WORKED}2.54 cm squared is 6.451 6 sq cm"),
        ("sq ft", "sq m", "0.09290304", f"{WORKED}0.304 8 m squared"),
        ("l", "ml", "1000", SECTION_1),
        ("kg", "g", "1000", SECTION_1),
        ("m", "mm", "1000", SECTION_1),
        ("cm", "mm", "10", SECTION_1),
    ],
)
def test_a_unit_has_its_published_metric_size(unit, of, is_exactly, source):
    assert one(unit, of=of) == Fraction(is_exactly), source


@pytest.mark.parametrize(
    ("unit", "count", "of", "source"),
    [
        ("ft", 12, "in", SECTION_2),
        ("yd", 3, "ft", SECTION_2),
        ("sq ft", 144, "sq in", SECTION_2),
        ("lb", 16, "oz", SECTION_2),
        ("gallon", 4, "quart", SECTION_2),
        ("quart", 2, "pint", SECTION_2),
        ("pint", 2, "cup", f"{SECTION_5}, a measuring cup is 1/2 liquid pint exactly"),
        ("cup", 8, "fl oz", f"{SECTION_5}, a measuring cup is 8 fluid ounces exactly"),
        ("pint", 16, "fl oz", f"{WORKED}2 cups of 8 fluid ounces"),
        ("gallon", 128, "fl oz", f"{WORKED}4 quarts of 2 pints of 16 fluid ounces"),
    ],
)
def test_a_customary_unit_holds_its_published_count_of_the_next(unit, count, of, source):
    assert one(unit, of=of) == count, source
    assert one(of, of=unit) == Fraction(1, count), source


def test_a_gallon_is_231_cubic_inches():
    cubic_inch_in_ml = (read_length("1 in") / 10) ** 3  # a millilitre is a cubic centimetre
    assert one("gallon", of="ml") == 231 * cubic_inch_in_ml, f"{SECTION_5}, the US gallon exactly"


@pytest.mark.parametrize(
    ("written", "millimetres", "source"),
    [
        ("1 in", "25.4", SECTIONS_4_AND_5),
        ("1 ft", "304.8", f"{WORKED}12 x 25.4 mm"),
        ("1 yd", "914.4", f"{WORKED}36 x 25.4 mm"),
        ("3 3/4 in", "95.25", f"{WORKED}3.75 x 25.4 mm"),
    ],
)
def test_a_length_has_its_published_metric_size(written, millimetres, source):
    assert read_length(written) == Fraction(millimetres), source


def test_the_pint_is_not_the_dry_one_nor_the_ounce_the_imperial_one():
    dry_pint_in_ml = Fraction("33.6003125") * Fraction("16.387064")  # 33.600 312 5 cubic inches: Appendix C
    imperial_fluid_ounce_in_ml = Fraction("28.4130625")  # 4 546.09 ml / 160: NIST SP 811 Appendix B.8
    assert one("pint", of="ml") < dry_pint_in_ml
    assert one("fl oz", of="ml") > imperial_fluid_ounce_in_ml
