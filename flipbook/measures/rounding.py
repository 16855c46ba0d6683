"""The one rounding function: half up, away from zero, on exact values."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

CENTS = 2
ZERO = Decimal("0.00")


def half_up(value: Fraction | Decimal | int, places: int = CENTS) -> Decimal:
    """`value` rounded to `places` decimals, a half going away from zero, exactly.

    >>> half_up(Fraction(6045, 1000)), half_up(Decimal("-6.045")), half_up(Fraction(1, 2), 0)
    (Decimal('6.05'), Decimal('-6.05'), Decimal('1'))
    """
    top, bottom = value.as_integer_ratio()
    top *= 10**places
    whole = (2 * abs(top) + bottom) // (2 * bottom)
    return from_steps(-whole if top < 0 else whole, places)


def from_steps(steps: int, places: int = CENTS) -> Decimal:
    """The decimal that is `steps` units of the last of `places` decimals: 1234 cents are 12.34."""
    return Decimal((int(steps < 0), tuple(map(int, str(abs(steps)))), -places))


def to_steps(value: Decimal, places: int = CENTS) -> int:
    """How many units of the last of `places` decimals `value` is; it must hold no finer digit."""
    steps = value.scaleb(places)
    whole = int(steps)
    if whole != steps:
        raise ValueError(f"{value} is finer than {places} decimals")
    return whole
