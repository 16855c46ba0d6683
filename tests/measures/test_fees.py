"""Percentages and fees as they are written: FORMAT.md, "How things are written", the rows `percentage` and `fee`."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.fees import Fee, read_fee, read_percentage
from flipbook.measures.unreadable import Unreadable

sums = st.integers(0, 10_000_000_00).map(lambda cents: Decimal(cents) / 100)


@pytest.mark.parametrize(
    ("written", "share"),
    [
        ("12%", "12/100"),
        ("12 %", "12/100"),
        ("2.9%", "29/1000"),
        ("0%", "0"),
        ("100%", "1"),
        ("0.5%", "5/1000"),
        (" 5% ", "5/100"),
    ],
)
def test_a_percentage_is_an_exact_share_of_one(written, share):
    assert read_percentage(written) == Fraction(share)


@pytest.mark.parametrize("written", ["12", "2.9"])
def test_a_bare_number_is_no_percentage_and_the_hint_adds_the_sign(written):
    with pytest.raises(Unreadable) as refused:
        read_percentage(written)
    assert refused.value.write == f"write `{written}%`"


@pytest.mark.parametrize("written", ["", "%", "-5%", "12%%", "12,5%", "1/2%", "12 percent", "% 12", "１２%", "1e1%"])
def test_what_is_no_percentage_is_refused_with_the_form_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_percentage(written)
    assert refused.value.write == "write it as `12%` or `2.9%`"


@given(st.integers(0, 999), st.integers(0, 999_999))
def test_a_percentage_is_never_read_through_a_binary_float(whole, millionths):
    assert read_percentage(f"{whole}.{millionths:06}%") == Fraction(whole * 10**6 + millionths, 10**8)


@pytest.mark.parametrize(
    ("written", "share", "fixed"),
    [
        ("12%", "0.12", "0.00"),
        ("0.40", "0", "0.40"),
        ("$0.40", "0", "0.40"),
        ("0", "0", "0.00"),
        ("2.9% + 0.30", "0.029", "0.30"),
        ("2.9%+0.30", "0.029", "0.30"),
        ("2.9% + $0.30", "0.029", "0.30"),
        (" 9% + 0.40 ", "0.09", "0.40"),
    ],
)
def test_a_fee_is_a_share_of_the_sum_or_a_fixed_sum_or_both(written, share, fixed):
    assert read_fee(written) == Fee(Fraction(share), Decimal(fixed))


@pytest.mark.parametrize(
    "written",
    ["", "about 12", "-12%", "-0.40", "2.9% +", "+ 0.30", "2.9 + 0.30", "12% + 3%", "2.9% + 0.305", "2.9% + 0.30 + 1"],
)
def test_what_is_no_fee_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_fee(written)
    assert refused.value.write


def test_a_fee_with_its_parts_the_other_way_round_is_refused_with_the_right_form():
    with pytest.raises(Unreadable) as refused:
        read_fee("0.30 + 2.9%")
    assert "`2.9% + 0.30`" in refused.value.write


def test_the_sign_of_another_currency_in_a_fee_is_pointed_at():
    written = "2.9% + £0.30"
    with pytest.raises(Unreadable) as refused:
        read_fee(written, "USD")
    start, end = refused.value.span
    assert written[start:end] == "£"


@pytest.mark.parametrize(
    ("written", "charged", "taken"),
    [
        ("12%", "405.00", "48.60"),  # 405 x 0.12
        ("9% + 0.40", "380.00", "34.60"),  # 34.20 + 0.40
        ("2.9% + 0.30", "405.00", "12.05"),  # 11.745 + 0.30 is 12.045, and the half goes up
        ("2.9% + 0.30", "0.00", "0.30"),
        ("12%", "0.04", "0.00"),  # 0.0048
        ("50%", "0.01", "0.01"),  # 0.005, and the half goes up
        ("0.40", "405.00", "0.40"),
    ],
)
def test_a_fee_is_worked_out_and_rounded_half_up_to_the_cent(written, charged, taken):
    assert read_fee(written).on(Decimal(charged)) == Decimal(taken)


@given(sums, st.integers(0, 100_00), st.integers(0, 100_00))
def test_a_fee_agrees_with_decimal_arithmetic(charged, hundredths, cents):
    # The general-purpose reference: Decimal, wide enough here that nothing but the last step rounds.
    share, fixed = Decimal(hundredths) / 10_000, Decimal(cents) / 100
    fee = read_fee(f"{hundredths // 100}.{hundredths % 100:02}% + {fixed:.2f}")
    assert fee.on(charged) == (charged * share + fixed).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
