"""Every pair of units that measure one thing against pint, a general-purpose library of units.

A reference for tests only: it is made to reckon in fractions, so that the two must agree exactly.
"""

from fractions import Fraction
from itertools import permutations

import pint
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import UNITS, Amount

REGISTRY = pint.UnitRegistry(non_int_type=Fraction)

# The names that the library gives to the US customary units and the metric ones.
NAMES = {
    "fl oz": "fluid_ounce", "cup": "cup", "pint": "pint", "quart": "quart", "gallon": "gallon",
    "ml": "milliliter", "l": "liter",
    "oz": "ounce", "lb": "pound", "g": "gram", "kg": "kilogram",
    "in": "inch", "ft": "foot", "yd": "yard", "mm": "millimeter", "cm": "centimeter", "m": "meter",
    "sq ft": "foot ** 2", "sq in": "inch ** 2", "sq m": "meter ** 2",
}  # fmt: skip
PAIRS = [
    (here, there)
    for here, there in permutations(NAMES, 2)
    if REGISTRY.Unit(NAMES[here]).is_compatible_with(NAMES[there])
]
numbers = st.fractions(0, 10_000, max_denominator=64)


def by_the_library(number: Fraction, here: str, there: str) -> Fraction:
    return REGISTRY.Quantity(number, NAMES[here]).to(NAMES[there]).magnitude


def test_every_unit_that_the_library_can_know_is_compared():
    # Sheets and `each` are counts of the trade's own, with nothing to convert.
    assert set(NAMES) == set(UNITS) - {"sheet", "each"}
    # 7 volumes, 4 weights, 6 lengths and 3 areas, in both directions: 7x6 + 4x3 + 6x5 + 3x2.
    assert len(PAIRS) == 90


def test_one_of_a_unit_is_as_much_of_another_as_the_library_says():
    for here, there in PAIRS:
        of_ours = Amount(Fraction(1), UNITS[here]).in_unit(UNITS[there])
        assert of_ours == by_the_library(Fraction(1), here, there), (here, there)


@given(numbers, st.sampled_from(PAIRS))
def test_any_number_of_a_unit_is_as_much_of_another_as_the_library_says(number, pair):
    here, there = pair
    assert Amount(number, UNITS[here]).in_unit(UNITS[there]) == by_the_library(number, here, there)


def test_two_units_are_of_one_dimension_just_where_the_library_can_convert_them():
    for here, there in permutations(NAMES, 2):
        assert (UNITS[here].dimension == UNITS[there].dimension) == ((here, there) in PAIRS), (here, there)
