"""Numbers as they are written at a bench: 3, 0.5, 1/2, 1 1/2, 30-1/2."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from flipbook.measures.rounding import half_up
from flipbook.measures.unreadable import Unreadable, shown

# Nine digits are past any amount in a workshop and keep every sum small.
NUMBER = r"(?:[0-9]{1,9}(?: +|-)[0-9]{1,6}/[0-9]{1,6}|[0-9]{1,9}/[0-9]{1,6}|[0-9]{1,9}(?:\.[0-9]{1,9})?)(?![0-9/.,])"
_NUMBER = re.compile(NUMBER)
_MIXED = re.compile(r"(?:([0-9]+)(?: +|-))?([0-9]+)/([0-9]+)")


@lru_cache(maxsize=4096)
def read_number(text: str, *, zero: bool = False) -> Fraction:
    """The exact value of `text`; nothing, or less, is refused unless `zero` allows nothing.

    Raises Unreadable.
    """
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        raise Unreadable(f"`{shown(text)}` is not a number", "write it as `3`, `0.5`, `1/2` or `1 1/2`")
    value = number_value(text)
    if value == 0 and not zero:
        raise Unreadable("nothing is no amount", "write a number greater than 0")
    return value


def number_value(text: str) -> Fraction:
    """The value of a text that NUMBER has matched.

    Raises Unreadable for a fraction over 0, and for one of one or more beside a whole number.
    """
    mixed = _MIXED.fullmatch(text)
    if mixed is None:
        return Fraction(text)
    whole, top, bottom = mixed.groups()
    if int(bottom) == 0:
        raise Unreadable("a fraction over 0 has no value", "write it as `1/2` or `0.5`")
    fraction = Fraction(int(top), int(bottom))
    if whole and fraction >= 1:
        raise Unreadable("the fraction beside the whole number is one or more", f"write `{int(whole) + fraction}`")
    return int(whole or 0) + fraction


def write_number(value: Fraction, *, places: int = 4) -> str:
    """`value` for a reader: a workshop fraction where it is one, else decimals without idle zeros.

    >>> write_number(Fraction(61, 2)), write_number(Fraction(1, 4)), write_number(Fraction(12, 10))
    ('30 1/2', '1/4', '1.2')
    """
    if value >= 0 and value.denominator in (2, 3, 4, 8, 16, 32, 64):
        whole, rest = divmod(value.numerator, value.denominator)
        fraction = f"{rest}/{value.denominator}"
        return f"{whole} {fraction}" if whole else fraction
    return write_decimal(value, places=places)


def write_decimal(value: Fraction, *, places: int = 4) -> str:
    """`value` in decimals, half up at `places`, without idle zeros."""
    text = f"{half_up(value, places):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
