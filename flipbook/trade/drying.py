"""Drying: until when a piece is to be left alone, and when its coats are fully hard.

How long comes from the maker of the log: a step's own `dries:`, else the `recoat:` that products.yaml has for what
the step used, the longest of them. Where neither is written nothing is claimed.

Times are the shop's own clock, as they are written (no time zone); elapsed time is counted, not the clock's change.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction
from math import ceil

from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Step
from flipbook.shop.records.setup import Product

MINUTES_OF_A_DAY = 1440


class Dryness(StrEnum):
    """How dry a piece is at a moment; `PERHAPS` where the log does not say at what hour the step was done."""

    DRYING = "drying"
    PERHAPS = "perhaps"
    DRY = "dry"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """Until when something dries: not before `earliest`, and by `latest` for sure.

    The two are one where the step's time of day is logged. Where it is not, the step was done at some hour of its
    day, and the two are up to 24 hours apart. `wait` is in minutes; `product` is whose `recoat` it is, and empty
    when the step says it itself.
    """

    wait: Fraction
    earliest: datetime
    latest: datetime
    product: str = ""

    @property
    def is_exact(self) -> bool:
        return self.earliest == self.latest

    def at(self, moment: datetime) -> Dryness:
        """How dry it is at `moment`."""
        if moment < self.earliest:
            return Dryness.DRYING
        return Dryness.PERHAPS if moment < self.latest else Dryness.DRY


def wait_after(step: Step, products: Mapping[str, Product]) -> tuple[Fraction, str] | None:
    """How many minutes a step dries, and the product whose `recoat` says so; None when nothing says it.

    `products` are by folded name, as `Facts.products` has them.
    """
    if step.dries is not None:
        return step.dries, ""
    waits = [(known.recoat, name) for name, known in _products_of(step, products) if known.recoat is not None]
    return max(waits, key=lambda pair: pair[0], default=None)


def drying(log: Sequence[Step], products: Mapping[str, Product]) -> Drying | None:
    """Until when a piece dries: until the last of its steps to be dry is; None when no step says how long.

    A time of day in the log is taken as when the step was done. A step without one was done in the course of its day,
    and before the time of day of a step below it on the same day.
    """
    spans: list[Drying] = []
    done_by: datetime | None = None
    for step in reversed(log):
        day, clock = step.on
        begin = end = datetime.combine(day, clock or time.min)
        if clock is not None:
            done_by = begin
        elif done_by is not None and done_by.date() == day:
            end = done_by
        else:
            end = _later(begin, MINUTES_OF_A_DAY)
        wait = wait_after(step, products)
        if wait is not None:
            minutes, product = wait
            spans.append(
                Drying(wait=minutes, earliest=_later(begin, minutes), latest=_later(end, minutes), product=product)
            )
    if not spans:
        return None
    last = max(spans, key=lambda span: span.latest)
    return replace(last, earliest=max(span.earliest for span in spans))


def hard_on(log: Iterable[Step], products: Mapping[str, Product]) -> date | None:
    """The day on which the last coat to harden is fully hard, by the `cure` of what was used; None when none is known.

    Days of cure run from the coat itself, so a later coat moves the day; a cure that is not of whole days ends on the
    day after.
    """
    days = [
        _later(datetime.combine(step.on.day, time.min), ceil(known.cure / MINUTES_OF_A_DAY) * MINUTES_OF_A_DAY).date()
        for step in log
        for _, known in _products_of(step, products)
        if known.cure is not None
    ]
    return max(days, default=None)


def _products_of(step: Step, products: Mapping[str, Product]) -> list[tuple[str, Product]]:
    """What a step used that products.yaml knows, in the order written."""
    found = ((use.what, products.get(folded(use.what))) for use in step.uses())
    return [(name, known) for name, known in found if known is not None]


def _later(moment: datetime, minutes: Fraction | int) -> datetime:
    """`moment` and so many minutes, a part of one counted whole; the calendar's end where that is past it."""
    left = datetime.max - moment
    whole = ceil(minutes)
    return datetime.max if whole > left // timedelta(minutes=1) else moment + timedelta(minutes=whole)
