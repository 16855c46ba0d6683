"""Percentages and fees: 12%, 0.40, 2.9% + 0.30."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from flipbook.measures.money import read_money
from flipbook.measures.numerals import write_decimal
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
        write = "write it as `12%` or `2.9%`"
        if bare and len(bare[0]) <= 9:
            shares = [bare[0]] if Fraction(bare[0]) >= 1 else [bare[0], write_decimal(Fraction(bare[0]) * 100)]
            write = "write " + " or ".join(f"`{share}%`" for share in shares)
        raise Unreadable(f"`{shown(text.strip())}` is not a percentage", write)
    return Fraction(found[1]) / 100


def read_fee(text: str, currency: str | None = "USD") -> Fee:
    """The fee that `12%`, `0.40` or `2.9% + 0.30` states, in `currency`.

    Raises Unreadable.
    """
    body = text.strip()
    share, plus, fixed = body.partition("+")
    if plus and fixed.strip().endswith("%"):
        raise Unreadable("the percentage comes first", f"write `{shown(fixed.strip())} + {shown(share.strip())}`")
    if plus:
        try:
            return Fee(read_percentage(share), read_money(fixed, currency))
        except Unreadable as fault:
            if fault.span is None:
                raise
            start = len(share) + 1 + len(fixed) - len(fixed.lstrip())
            raise Unreadable(fault.says, fault.write, (fault.span[0] + start, fault.span[1] + start)) from None
    if body.endswith("%"):
        return Fee(read_percentage(body))
    try:
        return Fee(fixed=read_money(body, currency))
    except Unreadable as fault:
        if re.fullmatch("[-−0-9.,$£€]+", body):
            raise
        says = f"`{shown(body)}` is not a fee"
        raise Unreadable(says, "write it as `12%`, `0.40` or `2.9% + 0.30`", fault.span) from None
