"""Percentages and fees: 12%, 0.40, 2.9% + 0.30."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from flipbook.measures.money import read_money
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.unreadable import Unreadable, shown

_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,6})?) ?%")


@dataclass(frozen=True, slots=True)
class Fee:
    """What an outlet takes: a share of the sum, and a fixed sum of money."""

    share: Fraction = Fraction(0)
    fixed: Decimal = ZERO

    def on(self, sum_charged: Decimal) -> Decimal:
        """The fee on `sum_charged`, half up to the cent."""
        return half_up(Fraction(sum_charged) * self.share + Fraction(self.fixed))


def read_percentage(text: str) -> Fraction:
    """The share that `12%` states, as a fraction of one.

    Raises Unreadable; a bare number is refused, since 12 and 0.12 are too easily taken for each other.
    """
    found = _PERCENT.fullmatch(text.strip())
    if found is None:
        bare = re.fullmatch(r"[0-9]+(?:\.[0-9]+)?", text.strip())
        write = f"write `{text.strip()}%`" if bare else "write it as `12%` or `2.9%`"
        raise Unreadable(f"`{shown(text.strip())}` is not a percentage", write)
    return Fraction(found[1]) / 100


def read_fee(text: str, currency: str | None = "USD") -> Fee:
    """The fee that `12%`, `0.40` or `2.9% + 0.30` states, in `currency`.

    Raises Unreadable.
    """
    body = text.strip()
    share, plus, fixed = body.partition("+")
    if plus:
        return Fee(read_percentage(share), read_money(fixed, currency))
    if body.endswith("%"):
        return Fee(read_percentage(body))
    try:
        return Fee(fixed=read_money(body, currency))
    except Unreadable:
        raise Unreadable(f"`{shown(body)}` is not a fee", "write it as `12%`, `0.40` or `2.9% + 0.30`") from None
