"""Numbers as they are written at a bench: FORMAT.md, "How things are written", `1/2`, `1 1/2` and `0.5` are numbers."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.numerals import read_number, write_decimal, write_number
from flipbook.measures.unreadable import Unreadable


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("3", Fraction(3)),
        ("0.5", Fraction(1, 2)),
        ("30.25", Fraction(121, 4)),
        ("1/2", Fraction(1, 2)),
        ("3/2", Fraction(3, 2)),
        ("1 1/2", Fraction(3, 2)),
        ("1  1/2", Fraction(3, 2)),
        ("30-1/2", Fraction(61, 2)),
        (" 3 ", Fraction(3)),
        ("0.1", Fraction(1, 10)),
        ("999999999", Fraction(999999999)),
    ],
)
def test_a_number_is_read_exactly(written, value):
    assert read_number(written) == value


@pytest.mark.parametrize(
    "written",
    [
        "", "-1", "+1", ".5", "5.", "1,000", "1_000", "1e3", "nan", "inf", "0x10", "٣", "３", "½", "1½",
        "1/2/3", "1.5/2", "1 1", "1 1 1/2", "1/-2", "1.2.3", "1000000000",
    ],
)  # fmt: skip
def test_what_is_no_number_is_refused_with_the_forms_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_number(written)
    assert refused.value.write == "write it as `3`, `0.5`, `1/2` or `1 1/2`"


@pytest.mark.parametrize("written", ["1/0", "2 1/0", "0/0"])
def test_a_fraction_over_nothing_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_number(written)
    assert refused.value.says == "a fraction over 0 has no value"


@pytest.mark.parametrize("written", ["0", "0.0", "0/2"])
def test_nothing_is_read_only_where_it_is_allowed(written):
    assert read_number(written, zero=True) == 0
    with pytest.raises(Unreadable) as refused:
        read_number(written)
    assert refused.value.write == "write a number greater than 0"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (Fraction(0), "0"),
        (Fraction(100), "100"),
        (Fraction(1, 4), "1/4"),
        (Fraction(61, 2), "30 1/2"),
        (Fraction(4, 3), "1 1/3"),
        (Fraction(8, 16), "1/2"),
        (Fraction(1, 64), "1/64"),
        (Fraction(6, 5), "1.2"),
        (Fraction(1, 7), "0.1429"),
        (Fraction(-1, 2), "-0.5"),
    ],
)
def test_a_number_is_written_as_a_workshop_fraction_or_in_decimals(value, written):
    assert write_number(value) == written


@pytest.mark.parametrize(
    ("value", "places", "written"),
    [
        (Fraction(1, 8), 2, "0.13"),
        (Fraction(1, 8), 4, "0.125"),
        (Fraction(-1, 8), 2, "-0.13"),
        (Fraction(5, 2), 0, "3"),
        (Fraction(100), 2, "100"),
        (Fraction(100), 0, "100"),
        (Fraction(2, 3), 4, "0.6667"),
    ],
)
def test_decimals_are_rounded_half_up_and_lose_their_idle_zeros(value, places, written):
    assert write_decimal(value, places=places) == written


@pytest.mark.parametrize(("written", "value"), [("30 5/4", "125/4"), ("1-3/2", "5/2"), ("2 8/8", "3")])
def test_a_fraction_of_one_or_more_beside_a_whole_number_is_refused(written, value):
    with pytest.raises(Unreadable) as refused:
        read_number(written)
    assert refused.value.write == f"write `{value}`"


@given(st.integers(0, 10**6), st.integers(0, 999_998), st.integers(1, 999_999))
def test_a_whole_number_and_a_fraction_are_added(whole, top, more):
    bottom = min(top + more, 999_999)
    value = whole + Fraction(top, bottom)
    assert read_number(f"{whole} {top}/{bottom}", zero=True) == value
    assert read_number(f"{whole}-{top}/{bottom}", zero=True) == value


@given(st.integers(1, 10**6), st.sampled_from([1, 2, 3, 4, 8, 16, 32, 64, 10, 100, 1000, 10_000]))
def test_a_number_of_the_bench_is_read_back_as_it_was_written(top, bottom):
    value = Fraction(top, bottom)
    assert read_number(write_number(value)) == value


@given(st.decimals(0, 10**8, places=9))
def test_decimals_are_never_read_through_a_binary_float(value):
    assert read_number(f"{value:f}", zero=True) == Fraction(value)
