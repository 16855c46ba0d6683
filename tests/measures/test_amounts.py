"""Amounts of material as they are written: FORMAT.md, "How things are written", the row `amount` and `Sheets`."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import (
    UNITS,
    Amount,
    leading_amount,
    leading_number,
    read_amount,
    read_coverage,
    unit_named,
)
from flipbook.measures.unreadable import Unreadable

DIMENSIONS = {
    "volume": ("fl oz", "cup", "pint", "quart", "gallon", "ml", "l"),
    "weight": ("oz", "lb", "g", "kg"),
    "length": ("in", "ft", "yd", "mm", "cm", "m"),
    "area": ("sq ft", "sq in", "sq m"),
    "sheets": ("sheet",),
    "count": ("each",),
}
numbers = st.fractions(0, 10_000, max_denominator=1000)
two_of_one_dimension = st.sampled_from(list(DIMENSIONS.values())).flatmap(
    lambda names: st.tuples(st.sampled_from(names), st.sampled_from(names))
)


@pytest.mark.parametrize(
    ("written", "number", "unit"),
    [
        ("4 fl oz", "4", "fl oz"),
        ("4 fl  oz", "4", "fl oz"),
        ("1/4 pint", "1/4", "pint"),
        ("1 1/2 cups", "3/2", "cup"),
        ("1-1/2 cups", "3/2", "cup"),
        ("1.5l", "3/2", "l"),
        ("250 ml", "250", "ml"),
        ("2 quarts", "2", "quart"),
        ("1 gallon", "1", "gallon"),
        ("8 oz", "8", "oz"),
        ("1 lb", "1", "lb"),
        ("2.5 kg", "5/2", "kg"),
        ("30 g", "30", "g"),
        ("6 in", "6", "in"),
        ("12 ft", "12", "ft"),
        ("2 yards", "2", "yd"),
        ("19 mm", "19", "mm"),
        ("40 cm", "40", "cm"),
        ("3 m", "3", "m"),
        ("10 sq ft", "10", "sq ft"),
        ("144 sq in", "144", "sq in"),
        ("1 sq m", "1", "sq m"),
        ("1 sheet", "1", "sheet"),
        ("2 sheets", "2", "sheet"),
        ("1/2 sheet", "1/2", "sheet"),
        ("2 each", "2", "each"),
        (" 4 fl oz ", "4", "fl oz"),
    ],
)
def test_an_amount_is_an_exact_number_and_a_unit(written, number, unit):
    assert read_amount(written) == Amount(Fraction(number), UNITS[unit])


@pytest.mark.parametrize(("dimension", "names"), DIMENSIONS.items(), ids=DIMENSIONS.keys())
def test_every_unit_of_the_page_is_read_and_measures_what_it_should(dimension, names):
    for name in names:
        assert read_amount(f"3 {name}").unit.dimension == dimension


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("cups", "cup"), ("pints", "pint"), ("quarts", "quart"), ("gallons", "gallon"), ("litres", "l"), ("liters", "l"),
        ("fl ozs", "fl oz"), ("ozs", "oz"), ("lbs", "lb"), ("pounds", "lb"), ("grams", "g"), ("kgs", "kg"),
        ("inches", "in"), ("feet", "ft"), ("yards", "yd"), ("sq feet", "sq ft"), ("sq inches", "sq in"),
        ("sheets", "sheet"),
    ],
)  # fmt: skip
def test_plurals_are_read(written, name):
    assert unit_named(written) == UNITS[name]


@pytest.mark.parametrize("written", ["2", "1/2", "0.5"])
def test_a_number_without_a_unit_is_refused_with_a_unit_to_add(written):
    with pytest.raises(Unreadable) as refused:
        read_amount(written)
    assert refused.value.write == f"write it with one, as `{written} fl oz` or `{written} each`"


@pytest.mark.parametrize(("written", "unit"), [("3 cl", "cl"), ("1 quart can", "quart can"), ("2 tins", "tins")])
def test_an_unknown_unit_is_pointed_at_and_the_known_ones_are_named(written, unit):
    with pytest.raises(Unreadable) as refused:
        read_amount(written)
    start, end = refused.value.span
    assert written[start:end] == unit
    for name in UNITS:
        assert name in refused.value.write


@pytest.mark.parametrize(
    ("written", "unit", "right"),
    [("4 floz", "floz", "4 fl oz"), ("2 fl oz.", "fl oz.", "2 fl oz"), ("1/2 gallen", "gallen", "1/2 gallon")],
)
def test_a_unit_misspelt_is_pointed_at_and_the_nearest_is_offered(written, unit, right):
    with pytest.raises(Unreadable) as refused:
        read_amount(written)
    start, end = refused.value.span
    assert (written[start:end], refused.value.write) == (unit, f"write `{right}`")


@pytest.mark.parametrize(
    ("written", "unit"),
    [
        ("250 mL", "ml"),
        ("1 L", "l"),
        ("4 Fl Oz", "fl oz"),
        ("2 gal", "gallon"),
        ("12 ounces", "oz"),
        ("3 square feet", "sq ft"),
    ],
)
def test_capitals_and_the_words_written_out_are_read(written, unit):
    assert read_amount(written).unit == UNITS[unit]


@pytest.mark.parametrize("written", ["", "-4 fl oz", "−4 fl oz"])
def test_an_amount_less_than_nothing_or_left_empty_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_amount(written)
    assert refused.value.says == "an amount is not negative"


@pytest.mark.parametrize("written", ["fl oz", ".5 pint", "1,000 g", "1/2/3 cup", "1.5.2 cup", "rest", "٣ g", "1e3 g"])
def test_what_is_no_amount_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_amount(written)
    assert refused.value.write


def test_nothing_is_an_amount_only_where_something_may_be_used_up():
    assert read_amount("0 fl oz", zero=True).number == 0
    with pytest.raises(Unreadable) as refused:
        read_amount("0 fl oz")
    assert refused.value.write == "write a number greater than 0"


@pytest.mark.parametrize(
    ("has", "asked"),
    [("oz", "fl oz"), ("fl oz", "oz"), ("ft", "sq ft"), ("sheet", "each"), ("each", "sheet"), ("m", "sq m")],
)
def test_units_of_two_dimensions_are_never_turned_into_each_other(has, asked):
    with pytest.raises(ValueError, match="measure different things"):
        Amount(Fraction(1), UNITS[has]).in_unit(UNITS[asked])


@given(numbers, two_of_one_dimension)
def test_an_amount_turned_into_another_unit_and_back_is_what_it_was(number, names):
    here, there = (UNITS[name] for name in names)
    turned = Amount(Amount(number, here).in_unit(there), there)
    assert turned.in_unit(here) == number


@given(numbers, st.fractions(0, 100, max_denominator=100), two_of_one_dimension)
def test_an_amount_taken_times_over_is_as_much_in_every_unit(number, factor, names):
    here, there = (UNITS[name] for name in names)
    once = Amount(number, here)
    assert once.times(factor).in_unit(there) == once.in_unit(there) * factor


@given(st.integers(1, 10_000), st.sampled_from([1, 2, 3, 4, 8, 16, 10, 100, 1000]), st.sampled_from(sorted(UNITS)))
def test_an_amount_is_read_back_as_it_was_written(top, bottom, name):
    amount = Amount(Fraction(top, bottom), UNITS[name])
    assert read_amount(str(amount)) == amount


@pytest.mark.parametrize(
    ("text", "taken", "after"),
    [
        ("4 fl oz of stain", "4 fl oz", "of stain"),
        ("2 each lint-free rag", "2 each", "lint-free rag"),
        ("1 l", "1 l", ""),
    ],
)
def test_the_amount_at_the_start_of_a_text_is_told_from_its_words(text, taken, after):
    assert leading_amount(text) == (read_amount(taken), after)


@pytest.mark.parametrize("text", ["2 coats of shellac", "1/4 can clear coat", "1 in-line filter", "lint-free rag", ""])
def test_words_that_merely_start_with_a_number_are_no_amount(text):
    assert leading_amount(text) is None


def test_a_share_of_a_container_starts_with_its_number():
    assert leading_number("1/4 can clear coat") == (Fraction(1, 4), "can clear coat")
    assert leading_number("half a tube") is None


@pytest.mark.parametrize(
    ("written", "area", "product"),
    [
        ("75 sq ft per pint", "75 sq ft", "1 pint"),
        ("10 sq m per l", "10 sq m", "1 l"),
        ("250 sq ft per lb", "250 sq ft", "1 lb"),
        ("90 sq ft per 12 fl oz", "90 sq ft", "12 fl oz"),
    ],
)
def test_a_coverage_is_an_area_for_an_amount(written, area, product):
    assert read_coverage(written) == (read_amount(area), read_amount(product))


@pytest.mark.parametrize("written", ["75 sq ft", "75 ft per pint", "1 pint per 75 sq ft", "0 sq ft per pint", "75", ""])
def test_what_is_no_coverage_is_refused_with_the_form_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_coverage(written)
    assert refused.value.write == "write it as `75 sq ft per pint`"
