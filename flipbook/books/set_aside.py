"""What to put by for tax: an estimate of self-employment tax, and the days on which estimated tax falls due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from flipbook.books.profile import SelfEmploymentRules
from flipbook.books.rulebook import NotPublished, document, rule
from flipbook.measures.rounding import ZERO, half_up


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfEmploymentTax:
    """An estimate by Schedule SE, each part to the cent: net earnings, their two parts, the tax and half of it."""

    net_earnings: Decimal
    social_security: Decimal
    medicare: Decimal

    @property
    def tax(self) -> Decimal:
        return self.social_security + self.medicare

    @property
    def half(self) -> Decimal:
        """What is deducted on Schedule 1, not on Schedule C."""
        return half_up(Fraction(self.tax) / 2)


def self_employment_tax(
    by: SelfEmploymentRules, profit: Decimal | Fraction, year: int, wages: Decimal = ZERO
) -> SelfEmploymentTax:
    """The tax on a year's net profit, with `wages` that already bore social security tax.

    Net earnings are tested exactly, before rounding: under 400 there is no tax, exactly 400 is taxed
    (26 USC 1402(b)(2)). The additional Medicare tax is left out. Raises NotPublished.
    """
    day = date(year, 12, 31)
    exact = Fraction(profit) * Fraction(rule(by.share_of_profit).on(day))
    if exact < Fraction(rule(by.floor).on(day)):
        return SelfEmploymentTax(net_earnings=max(ZERO, half_up(exact)), social_security=ZERO, medicare=ZERO)
    room = max(Fraction(0), Fraction(rule(by.wage_base).on(day)) - Fraction(wages))
    return SelfEmploymentTax(
        net_earnings=half_up(exact),
        social_security=half_up(min(exact, room) * Fraction(rule(by.social_security).on(day))),
        medicare=half_up(exact * Fraction(rule(by.medicare).on(day))),
    )


def estimated_tax_days(due: str, year: int) -> tuple[date, date, date, date]:
    """The four days on which estimated tax of a tax year falls due, by the rules in the file `due`. Raises NotPublished past the last known year."""
    said = document(due)
    if year > said["known through"].year + 1:
        raise NotPublished(due, said["what"], date(year, 1, 1))
    if year in said["postponed"]:
        first, second, third, fourth = said["postponed"][year]["days"]
        return first, second, third, fourth
    return (
        next_business_day(date(year, 4, 15)),
        next_business_day(date(year, 6, 15)),
        next_business_day(date(year, 9, 15)),
        next_business_day(date(year + 1, 1, 15)),
    )


def next_business_day(day: date) -> date:
    """`day`, or the first after it that is no Saturday, Sunday or legal holiday in the District of Columbia (26 USC 7503)."""
    while day.weekday() >= 5 or day in _holidays(day.year):
        day += timedelta(days=1)
    return day


def _holidays(year: int) -> set[date]:
    """The legal holidays that can touch a due day: King Day, Emancipation Day and Juneteenth, as observed."""
    king_day = date(year, 1, 15) + timedelta(days=-date(year, 1, 15).weekday() % 7)
    found = {king_day, _observed(date(year, 4, 16))}
    return found | {_observed(date(year, 6, 19))} if year >= 2021 else found


def _observed(holiday: date) -> date:
    """Friday for a Saturday, Monday for a Sunday."""
    return holiday + timedelta(days={5: -1, 6: 1}.get(holiday.weekday(), 0))
