"""The least price: the cent at which a sale through an outlet leaves what is wanted, and not one cent less.

The fee of an outlet is a share of the price and a fixed sum, rounded half up to the cent (`Fee.on`). One cent more of price
raises it by one cent at most while the share is under the whole, so what a price leaves never falls as the price
rises, and the least price that suffices can be found by halving an interval that surely holds it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from flipbook.books.costs import CostSheet
from flipbook.measures.fees import Fee
from flipbook.measures.money import MOST
from flipbook.measures.rounding import ZERO, from_steps, half_up

_HALF_A_CENT = Fraction(1, 200)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a piece stands before it is sold: what is laid out and not yet back, and the hours in it."""

    laid_out: Decimal
    """Cost and driving, and the fees of sales that came back, less what those left; under nothing when they left more."""
    hours: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftBySale:
    """What a price leaves: `left` is the profit, `per_hour` is None when no hours are logged. Money to the cent."""

    price: Decimal
    delivery: Decimal
    fee: Decimal
    left: Decimal
    per_hour: Decimal | None


def stand_of(sheet: CostSheet) -> Stand:
    """Where a piece stands. Of a sold one: where it stood, as if its standing sale had not been."""
    past = [sold for sold in sheet.sales if sold.sale.returned is not None]
    got = sum((received.income for sold in past for received in sold.received), ZERO)
    gave = sum((back.income for sold in past for back in sold.refunds), ZERO)
    fees = sum((sold.fees for sold in past), ZERO)
    return Stand(laid_out=sheet.cost + sheet.driving + fees + gave - got, hours=sheet.hours)


def left_of(price: Decimal, fee: Fee, stand: Stand, delivery: Decimal = ZERO) -> LeftBySale:
    """What a sale at `price` leaves, when the buyer pays `delivery` besides; the fee is on both."""
    taken = fee.on(price + delivery)
    left = price + delivery - taken - stand.laid_out
    per_hour = half_up(Fraction(left) / stand.hours) if stand.hours else None
    return LeftBySale(price=price, delivery=delivery, fee=taken, left=left, per_hour=per_hour)


def least_price(wanted: Fraction, fee: Fee, stand: Stand) -> Decimal | None:
    """The least price, to the cent, that leaves at least `wanted`, with no delivery; None when no price does.

    No price does where the outlet takes all or more, or where it would be over the greatest sum a log may hold.
    """
    if left_of(ZERO, fee, stand).left >= wanted:
        return ZERO
    kept = 1 - fee.share
    if kept <= 0:
        return None
    exact = wanted + Fraction(fee.fixed) + Fraction(stand.laid_out)
    too_low = max(0, floor((exact - _HALF_A_CENT) / kept * 100) - 1)
    enough = ceil((exact + _HALF_A_CENT) / kept * 100)
    while enough - too_low > 1:
        middle = (too_low + enough) // 2
        if left_of(from_steps(middle), fee, stand).left >= wanted:
            enough = middle
        else:
            too_low = middle
    least = from_steps(enough)
    return least if least <= MOST else None


def break_even(fee: Fee, stand: Stand) -> Decimal | None:
    """The least price at which nothing is lost, the hours worth nothing; None when there is none."""
    return least_price(Fraction(0), fee, stand)


def floor_price(fee: Fee, stand: Stand, time_is_worth: Decimal) -> Decimal | None:
    """The least price at which each hour earns `time_is_worth`; None when there is none."""
    return least_price(stand.hours * Fraction(time_is_worth), fee, stand)
