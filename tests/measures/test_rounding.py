"""The one rounding: FORMAT.md, "A sale", `rounded half up to the cent`."""

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.rounding import from_steps, half_up, to_steps

# A hundred thousand million dollars in cents, either way: past any total that sums of 10,000,000 can make in a shop.
steps = st.integers(-(10**13), 10**13)
places = st.integers(0, 6)
decimals = st.decimals(-(10**9), 10**9, places=8)
fractions = st.fractions(-(10**9), 10**9, max_denominator=10**6)


def rounded_by_decimal(value: Fraction, places: int) -> Decimal:
    """The general-purpose reference: the standard library's ROUND_HALF_UP, with 60 figures to spare.

    A fraction with a denominator of at most 10^6 is either a half of the last place exactly or some
    10^-13 away from one, so 60 figures settle which.
    """
    with localcontext(prec=60):
        exact = Decimal(value.numerator) / Decimal(value.denominator)
        return exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


@pytest.mark.parametrize(
    ("value", "places", "rounded"),
    [
        ("0.005", 2, "0.01"),
        ("0.015", 2, "0.02"),
        ("0.025", 2, "0.03"),
        ("6.045", 2, "6.05"),
        ("6.0449999999", 2, "6.04"),
        ("-0.005", 2, "-0.01"),
        ("-6.045", 2, "-6.05"),
        ("-0.004", 2, "0.00"),
        ("0.5", 0, "1"),
        ("2.5", 0, "3"),
        ("-2.5", 0, "-3"),
        ("99.995", 2, "100.00"),
        ("12.34", 2, "12.34"),
    ],
)
def test_a_half_goes_away_from_zero(value, places, rounded):
    assert str(half_up(Decimal(value), places)) == rounded
    assert str(half_up(Fraction(value), places)) == rounded


def test_a_third_and_two_thirds_of_a_cent_go_to_the_nearer():
    assert half_up(Fraction(1, 300)) == Decimal("0.00")
    assert half_up(Fraction(2, 300)) == Decimal("0.01")


@given(decimals, places)
def test_decimals_are_rounded_as_the_standard_library_does(value, places):
    assert half_up(value, places) == rounded_by_decimal(Fraction(value), places)


@given(fractions, places)
def test_fractions_are_rounded_as_the_standard_library_does(value, places):
    assert half_up(value, places) == rounded_by_decimal(value, places)


@given(steps)
def test_a_half_cent_always_makes_the_sum_greater_whichever_side_of_nothing_it_is(cents):
    half = Fraction(2 * cents + 1, 200)
    away = cents + 1 if cents >= 0 else cents
    assert half_up(half) == Decimal(away) / 100


@given(fractions, places)
def test_what_is_rounded_is_within_half_a_step_and_has_just_its_places(value, places):
    rounded = half_up(value, places)
    assert abs(Fraction(rounded) - value) <= Fraction(1, 2 * 10**places)
    assert rounded.as_tuple().exponent == -places


@given(fractions)
def test_a_sum_and_its_opposite_are_rounded_alike_and_nothing_has_no_minus(value):
    assert half_up(-value) == -half_up(value)
    assert not (half_up(value) == 0 and half_up(value).is_signed())


@pytest.mark.parametrize(
    ("cents", "dollars"), [(1234, "12.34"), (5, "0.05"), (0, "0.00"), (-1234, "-12.34"), (100, "1.00")]
)
def test_cents_are_made_into_dollars(cents, dollars):
    assert str(from_steps(cents)) == dollars
    assert to_steps(Decimal(dollars)) == cents


@given(steps, places)
def test_steps_and_decimals_are_made_into_each_other_without_loss(count, places):
    value = from_steps(count, places)
    assert Fraction(value) == Fraction(count, 10**places)
    assert to_steps(value, places) == count


@given(steps, places)
def test_a_digit_finer_than_the_places_is_refused(count, places):
    finer = from_steps(count * 10 + 1, places + 1)
    with pytest.raises(ValueError, match="finer than"):
        to_steps(finer, places)


@pytest.mark.parametrize("value", ["0.001", "12.345", "-0.005", "1.0000000000000000000000000000001"])
def test_no_digit_is_too_fine_to_be_noticed(value):
    with pytest.raises(ValueError, match="finer than 2 decimals"):
        to_steps(Decimal(value))
