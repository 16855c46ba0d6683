"""The one spreading of a sum over shares: FORMAT.md, "Landed cost"."""

from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from flipbook.measures.spreading import spread

CENT = Fraction(1, 100)
totals = st.integers(0, 10_000_000_00).map(lambda cents: Decimal(cents) / 100)
prices = st.lists(st.integers(0, 1_000_00).map(lambda cents: Decimal(cents) / 100), min_size=1, max_size=12)
fractions = st.lists(st.fractions(0, 1000, max_denominator=60), min_size=1, max_size=12)
# A few small weights tie often, so that the order of a tie is tried too.
ties = st.lists(st.integers(0, 3), min_size=1, max_size=12)
weights = prices | fractions | ties


def spread_slowly(total, weights):
    """An independent reckoning, in the words of the page: shares as exact dollars, and a cent at a time.

    Round each down; while a cent is left over, look through all of them for the largest remainder not yet
    served, the earlier of two alike. All weights nothing: in equal shares.
    """
    exact_weights = [Fraction(weight) for weight in weights]
    if not any(exact_weights):
        exact_weights = [Fraction(1)] * len(exact_weights)
    exact = [Fraction(total) * weight / sum(exact_weights) for weight in exact_weights]
    shares = [floor(share / CENT) * CENT for share in exact]
    remainders = {place: share - down for place, (share, down) in enumerate(zip(exact, shares, strict=True))}
    while sum(shares) < Fraction(total):
        largest = None
        for place in sorted(remainders):
            if largest is None or remainders[place] > remainders[largest]:
                largest = place
        shares[largest] += CENT
        del remainders[largest]
    return shares


def test_the_receipt_of_the_page_lands_as_it_says():
    # Pulls 6 x 6.99 = 41.94, paint 24.50, syringe 3.49: together 69.93.
    # Less the discount of 5.00, with the tax of 4.10: 69.93 - 5.00 + 4.10 = 69.03.
    #   41.94 x 69.03 / 69.93 = 2895.1182 / 69.93 = 41.40023...   down to 41.40, remainder .023 cents
    #   24.50 x 69.03 / 69.93 = 1691.2350 / 69.93 = 24.18468...   down to 24.18, remainder .468 cents
    #    3.49 x 69.03 / 69.93 =  240.9147 / 69.93 =  3.44508...   down to  3.44, remainder .508 cents
    # Together 69.02; the cent left over goes to the largest remainder, the syringe: 3.45.
    landed = spread(Decimal("69.03"), [Decimal("41.94"), Decimal("24.50"), Decimal("3.49")])
    assert landed == (Decimal("41.40"), Decimal("24.18"), Decimal("3.45"))


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        ("10.00", [1, 1, 1], ["3.34", "3.33", "3.33"]),  # a tie of three: the earliest
        ("0.05", [1, 1], ["0.03", "0.02"]),  # 2.5 cents each
        ("0.02", [1, 1, 1], ["0.01", "0.01", "0.00"]),
        ("1.00", [2, 1], ["0.67", "0.33"]),  # 66.67 and 33.33: .67 is the larger remainder
        ("1.00", [1, 2], ["0.33", "0.67"]),
        ("0.10", [0, 1, 0], ["0.00", "0.10", "0.00"]),  # nothing for what weighs nothing
        ("0.07", [0, 0, 0], ["0.03", "0.02", "0.02"]),  # no weight at all: in equal shares
        ("0.00", [3, 4], ["0.00", "0.00"]),
        ("7.77", [5], ["7.77"]),
    ],
)
def test_the_cents_left_over_go_to_the_largest_remainders_and_a_tie_to_the_earlier(total, weights, shares):
    assert spread(Decimal(total), weights) == tuple(map(Decimal, shares))


@given(totals, weights)
@example(Decimal("69.03"), [Decimal("41.94"), Decimal("24.50"), Decimal("3.49")])
@example(Decimal("0.01"), [Fraction(1, 3), Fraction(1, 3), Fraction(1, 3)])
def test_a_sum_is_spread_as_the_slow_reckoning_spreads_it(total, weights):
    assert [Fraction(share) for share in spread(total, weights)] == spread_slowly(total, weights)


@given(totals, weights)
def test_the_shares_are_whole_cents_of_nothing_or_more_and_sum_to_the_total(total, weights):
    shares = spread(total, weights)
    assert len(shares) == len(weights)
    assert sum(shares) == total
    assert all(share >= 0 and (Fraction(share) / CENT).denominator == 1 for share in shares)


@given(totals, weights)
def test_each_share_is_less_than_a_cent_from_the_exact_one(total, weights):
    whole = sum(map(Fraction, weights))
    for share, weight in zip(spread(total, weights), weights, strict=True):
        exact = Fraction(total) * Fraction(weight) / whole if whole else Fraction(total) / len(weights)
        assert abs(Fraction(share) - exact) < CENT


@given(totals, weights)
def test_no_share_got_a_cent_before_one_with_a_larger_remainder_or_an_earlier_like_it(total, weights):
    whole = sum(map(Fraction, weights)) or len(weights)
    exact = [Fraction(total) * Fraction(weight) / whole for weight in weights]
    if not any(weights):
        exact = [Fraction(total) / len(weights)] * len(weights)
    remainders = [share / CENT % 1 for share in exact]
    shares = spread(total, weights)
    served = [Fraction(share) > floor(here / CENT) * CENT for share, here in zip(shares, exact, strict=True)]
    for place, got_one in enumerate(served):
        for other, other_got_one in enumerate(served):
            if got_one and not other_got_one:
                assert (-remainders[place], place) < (-remainders[other], other)


@given(totals, weights, st.integers(1, 1000))
def test_only_the_proportion_of_the_weights_counts(total, weights, factor):
    scaled = [Fraction(weight) * factor for weight in weights]
    assert spread(total, scaled) == spread(total, weights)


@pytest.mark.parametrize(
    ("total", "weights"),
    [("1.00", []), ("-0.01", [1]), ("-0.01", [1, 2]), ("1.00", [-1]), ("1.00", [2, -1]), ("0.00", [-1, 1])],
)
def test_less_than_nothing_is_neither_spread_nor_weighed(total, weights):
    with pytest.raises(ValueError, match="not negative"):
        spread(Decimal(total), weights)


@pytest.mark.parametrize("weights", [[1], [1, 1]])
def test_a_sum_finer_than_the_cent_is_not_spread(weights):
    with pytest.raises(ValueError, match="finer than"):
        spread(Decimal("0.005"), weights)
