"""Price steps: how an asking price comes down, by `price steps: {hold: 7 d, drop: 5%}` of shop.yaml.

A price stands for `hold` and may then come down by `drop`. A lowered price is rounded half up to whole units of the
currency when the price before it is whole, else to the cent. It never goes under the floor, which is rounded up
in the same manner, nor to nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction
from math import ceil

from flipbook.measures.rounding import CENTS, ZERO, half_up
from flipbook.shop.records.sale import Asking
from flipbook.shop.records.setup import PriceSteps

MINUTES_OF_A_DAY = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceCut:
    """The first day on which a price may come down, and to what: `price` in the shop's currency, to the cent."""

    on: date
    price: Decimal


def standing(asking: Sequence[Asking], today: date) -> Asking | None:
    """The price that is asked on `today`: the last one dated by then, in the order written; None when none is."""
    return next((asked for asked in reversed(asking) if asked.on <= today), None)


def next_cut(
    asking: Sequence[Asking],
    steps: PriceSteps | None,
    today: date,
    *,
    floor: Decimal | None = None,
    since: date | None = None,
) -> PriceCut | None:
    """When the price asked on `today` may come down, and to what; the day may be past, for a cut that is due.

    The hold counts from the day that the price was first asked, or from `since` (the day a sold piece came back) when
    that is later. One step alone: the price after it has to be asked before its own hold begins. None when no
    price is asked, the shop has no steps, or the price cannot come down.
    """
    asked = standing(asking, today)
    if asked is None or steps is None:
        return None
    cuts = plan(asked.price, max(asked.on, since or asked.on), steps, floor, 1)
    return cuts[0] if cuts else None


def plan(price: Decimal, start: date, steps: PriceSteps, floor: Decimal | None, most: int) -> tuple[PriceCut, ...]:
    """The next cuts of a `price` first asked on `start`, `most` at most, each taken on its first day.

    A hold that is not of whole days ends on the day after, since an asking price has no time of day. The series
    ends early at the floor, where a step would round to the same price, or past the calendar's last day.
    """
    cuts: list[PriceCut] = []
    if steps.hold is None or steps.drop is None:
        return ()
    hold = ceil(steps.hold / MINUTES_OF_A_DAY)
    while len(cuts) < most:
        lower = _lowered(price, steps.drop, floor)
        if lower is None or hold > (date.max - start).days:
            break
        start += timedelta(days=hold)
        price = lower
        cuts.append(PriceCut(on=start, price=price))
    return tuple(cuts)


def _lowered(price: Decimal, drop: Fraction, floor: Decimal | None) -> Decimal | None:
    """The price one step down, or None when it cannot come down."""
    places = 0 if price == price.to_integral_value() else CENTS
    lower = half_up(Fraction(price) * (1 - drop), places)
    if floor is not None:
        lower = max(lower, floor.quantize(lower, rounding=ROUND_CEILING))
    return lower.quantize(ZERO) if ZERO < lower < price else None
