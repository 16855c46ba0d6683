"""The one rounding function: half up, away from zero, on exact values."""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction

CENTS = 2
ZERO = Decimal("0.00")
_WIDE = Context(prec=10_000)


def half_up(value: Fraction | Decimal | int, places: int = CENTS) -> Decimal:
    """`value` rounded to `places` decimals, a half going away from zero, exactly.

    >>> half_up(Fraction(6045, 1000)), half_up(Decimal("-6.045")), half_up(Fraction(1, 2), 0)
    (Decimal('6.05'), Decimal('-6.05'), Decimal('1'))
    """
    top, bottom = value.as_integer_ratio()
    return from_steps(half_up_ratio(top * 10**places, bottom), places)


def half_up_ratio(top: int, bottom: int) -> int:
    """The whole number nearest to `top` / `bottom`, a half going away from zero; `bottom` is over 0."""
    whole = (2 * abs(top) + bottom) // (2 * bottom)
    return -whole if top < 0 else whole


def from_steps(steps: int, places: int = CENTS) -> Decimal:
    """The decimal that is `steps` units of the last of `places` decimals: 1234 cents are 12.34."""
    return Decimal(steps).scaleb(-places, _WIDE)


def to_steps(value: Decimal, places: int = CENTS) -> int:
    """How many units of the last of `places` decimals `value` is; it must hold no finer digit."""
    top, bottom = value.as_integer_ratio()
    whole, rest = divmod(top * int(10**places), bottom)
    if rest:
        raise ValueError(f"{value} is finer than {places} decimals")
    return whole
