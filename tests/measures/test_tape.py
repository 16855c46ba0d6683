"""Lengths as a tape shows them, with what the mark is off told; decimals and millimetres."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.lengths import (
    TAPE_PARTS,
    bench_length,
    on_tape,
    read_length,
    tell_decimal_inches,
    tell_inches,
    tell_millimetres,
)
from flipbook.measures.unreadable import Unreadable

INCH = Fraction("25.4")


@pytest.mark.parametrize(
    ("inches", "parts", "told"),
    [
        ("30.5", 16, "30 1/2 in"),
        ("0.75", 16, "3/4 in"),
        ("12", 16, "12 in"),
        ("0", 16, "0 in"),
        ("0.5", 2, "1/2 in"),
        ("10.34375", 16, "10 3/8 in (0.031 in over)"),  # 10 11/32, half way, goes up
        ("10.34375", 32, "10 11/32 in"),
        ("10.34375", 64, "10 11/32 in"),
        ("9.2", 16, "9 3/16 in (0.013 in under)"),  # 9.2 - 9.1875 = 0.0125, half up
        ("0.01", 16, "0 in (0.01 in under)"),
        ("31.999", 16, "32 in (0.001 in over)"),
        ("5.0001", 16, "5 in (less than 0.001 in under)"),
        ("-1.25", 16, "−1 1/4 in"),
    ],
)
def test_a_length_is_told_by_the_nearest_mark_and_what_it_is_off(inches, parts, told):
    assert str(on_tape(Fraction(inches) * INCH, parts=parts)) == told


def test_a_pull_of_96_mm_is_not_three_and_three_quarters():
    # 3 3/4 in is 95.25 mm by the definition of the inch: the mark is 0.75 mm short.
    mark = on_tape(Fraction(96))
    assert (mark.mark, mark.error) == ("3 3/4 in", Fraction("-0.75"))


@given(st.fractions(min_value=0, max_value=5000, max_denominator=1000), st.sampled_from(TAPE_PARTS))
def test_no_mark_is_off_by_more_than_half_a_part_and_its_error_is_the_rest(length, parts):
    mark = on_tape(length, parts=parts)
    assert abs(mark.error) <= INCH / parts / 2
    if mark.mark != "0 in":
        assert read_length(mark.mark) == length + mark.error


@pytest.mark.parametrize(
    ("millimetres", "told"),
    [
        ("2.38125", "3/32 in"),  # a thin kerf: exact at 1/32
        ("0.396875", "1/64 in"),  # exact at 1/64
        ("100", "3 15/16 in"),  # 3.937 in: 3 15/16 is 3.9375, 0.0005 over
        ("775", "30 1/2 in (0.012 in under)"),  # 775 / 25.4 = 30.5118
    ],
)
def test_a_sentence_has_the_exact_fraction_where_a_tape_has_it(millimetres, told):
    assert tell_inches(Fraction(millimetres)).startswith(told)


@pytest.mark.parametrize(
    ("millimetres", "in_millimetres", "in_inches"),
    [("775", "775 mm", "30.512 in"), ("774.66", "774.7 mm", "30.498 in")],
)
def test_decimals_are_rounded_half_up_and_have_no_idle_zeros(millimetres, in_millimetres, in_inches):
    assert tell_millimetres(Fraction(millimetres)) == in_millimetres
    assert tell_decimal_inches(Fraction(millimetres)) == in_inches


@pytest.mark.parametrize("parts", [0, 3, 10, 128])
def test_a_tape_parts_the_inch_by_halves_only(parts):
    with pytest.raises(Unreadable) as refused:
        on_tape(INCH, parts=parts)
    assert refused.value.write == "write 16, 32 or 64"


@pytest.mark.parametrize(
    ("length", "zero", "says"),
    [
        ("0", False, "the kerf is nothing"),
        ("-1", False, "the kerf is less than nothing"),
        ("-1", True, "the kerf is less than nothing"),
        ("100000.1", True, "the kerf is over 100 m"),
    ],
)
def test_a_length_that_cannot_be_cut_is_refused_by_name(length, zero, says):
    with pytest.raises(Unreadable) as refused:
        bench_length("the kerf", Fraction(length), zero=zero)
    assert refused.value.says == says


@pytest.mark.parametrize(("length", "zero"), [("0", True), ("0.001", False), ("100000", False)])
def test_a_length_that_can_be_cut_is_handed_back(length, zero):
    assert bench_length("the kerf", Fraction(length), zero=zero) == Fraction(length)
