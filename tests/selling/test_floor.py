"""The least price through an outlet: exact to the cent, found by substitution in the sum as one would write it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.fees import Fee
from flipbook.selling.floor import Stand, break_even, floor_price, least_price, left_of


def money(text: str) -> Decimal:
    return Decimal(text)


def stand(laid_out: str, hours: str = "0") -> Stand:
    return Stand(laid_out=money(laid_out), hours=Fraction(hours))


NINE_AND_FORTY = Fee(Fraction(9, 100), money("0.40"))


def test_the_floor_is_the_cent_at_which_the_rounded_fee_leaves_enough() -> None:
    # f - (0.09 f + 0.40) - 96.10 - 8.70 = 6.5 x 24.00 = 156.00 has f = 287.033…, yet 287.03 suffices:
    # 0.09 x 287.03 + 0.40 = 26.2327, a fee of 26.23, and 287.03 - 26.23 - 104.80 = 156.00.
    # At 287.02 the fee is 26.2318, 26.23 again, and 155.99 is left.
    at = stand("104.80", "6.5")
    assert floor_price(NINE_AND_FORTY, at, money("24.00")) == money("287.03")
    assert left_of(money("287.03"), NINE_AND_FORTY, at).left == money("156.00")
    assert left_of(money("287.02"), NINE_AND_FORTY, at).left == money("155.99")


@pytest.mark.parametrize(
    ("takes", "laid_out", "hours", "even", "floor", "why"),
    [
        (Fee(), "90.59", "2", "90.59", "138.59", "no fee: 90.59, and 2 x 24.00 more"),
        (Fee(), "90.59", "0", "90.59", "90.59", "no hours: floor and break-even are one"),
        (Fee(fixed=money("5.00")), "10.00", "1", "15.00", "39.00", "10.00 + 5.00, and 24.00 more"),
        (Fee(Fraction(1, 2)), "10.00", "0", "20.00", "20.00", "19.99 has a fee of 9.995, so 10.00, and leaves 9.99"),
        (Fee(Fraction(99, 100)), "1.00", "0", "99.51", "99.51", "99.50 has a fee of 98.505, so 98.51: a cent short"),
        (Fee(), "-5.00", "0", "0.00", "0.00", "a sale that came back left 5.00: anything will do"),
        (Fee(Fraction(1)), "1.00", "1", None, None, "the outlet takes all"),
        (Fee(Fraction(3, 2)), "1.00", "1", None, None, "the outlet takes more than all"),
        (Fee(Fraction(999, 1000)), "9999999.00", "0", None, None, "over the greatest sum that a log may hold"),
    ],
)
def test_worked_prices(takes: Fee, laid_out: str, hours: str, even: str | None, floor: str | None, why: str) -> None:
    at = stand(laid_out, hours)
    assert break_even(takes, at) == (money(even) if even else None), why
    assert floor_price(takes, at, money("24.00")) == (money(floor) if floor else None), why


fees = st.builds(
    Fee,
    st.fractions(min_value=0, max_value=Fraction(999, 1000), max_denominator=1_000_000),
    st.decimals(min_value=0, max_value=50, places=2),
)
stands = st.builds(
    Stand,
    laid_out=st.decimals(min_value=-500, max_value=5000, places=2),
    hours=st.fractions(min_value=0, max_value=200, max_denominator=60),
)


@given(fees, stands, st.decimals(min_value=0, max_value=100, places=2))
def test_the_floor_suffices_and_one_cent_less_falls_short(takes: Fee, at: Stand, worth: Decimal) -> None:
    found = floor_price(takes, at, worth)
    assert found is not None or takes.share > Fraction(9, 10)
    if found is None:
        return
    wanted = at.hours * Fraction(worth)

    def left_by_hand(cents: int) -> Fraction:
        # Half up to the cent, written out: floor(x + 1/2) of a sum that is not negative.
        fee = (Fraction(cents) * takes.share + Fraction(takes.fixed) * 100 + Fraction(1, 2)) // 1
        return (cents - fee) / Fraction(100) - Fraction(at.laid_out)

    cents = int(found * 100)
    assert left_by_hand(cents) >= wanted
    assert cents == 0 or left_by_hand(cents - 1) < wanted


@given(fees, stands, st.fractions(min_value=-50, max_value=50, max_denominator=100))
def test_a_dearer_piece_never_has_a_lower_floor(takes: Fee, at: Stand, wanted: Fraction) -> None:
    dearer = Stand(laid_out=at.laid_out + 1, hours=at.hours)
    least, least_of_dearer = least_price(wanted, takes, at), least_price(wanted, takes, dearer)
    if least is not None and least_of_dearer is not None:
        assert least <= least_of_dearer


def test_what_an_offer_leaves_counts_delivery_and_the_fee_on_both() -> None:
    # 300 + 25 is 325; 9% of it and 0.40 are 29.65; 325 - 29.65 - 104.80 = 190.55, over 6.5 h 29.3153… an hour.
    left = left_of(money("300"), NINE_AND_FORTY, stand("104.80", "6.5"), delivery=money("25.00"))
    assert (left.fee, left.left, left.per_hour) == (money("29.65"), money("190.55"), money("29.32"))


def test_without_hours_there_is_no_sum_an_hour() -> None:
    assert left_of(money("300"), Fee(), stand("10")).per_hour is None
