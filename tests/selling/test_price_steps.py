"""Price steps: a price holds, then drops, never under its floor. Sums by hand stand beside them."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from math import floor as whole_part

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.selling.steps import PriceCut, next_cut, plan, standing
from flipbook.shop.records.sale import Asking
from flipbook.shop.records.setup import PriceSteps

DAY = 1440


def steps(hold: Fraction | int | None, drop: str | None) -> PriceSteps:
    share = Fraction(drop.removesuffix("%")) / 100 if drop is not None else None
    return PriceSteps.unwritten("shop.yaml", hold=None if hold is None else Fraction(hold), drop=share)


def asking(*asked: tuple[str, str]) -> tuple[Asking, ...]:
    return tuple(
        Asking.unwritten("piece.yaml", on=date.fromisoformat(day), price=Decimal(price)) for day, price in asked
    )


WEEKLY = steps(7 * DAY, "5%")


def test_a_price_comes_down_step_by_step() -> None:
    # 425 x 0.95 = 403.75, half up 404; 404 x 0.95 = 383.80, 384; 384 x 0.95 = 364.80, 365.
    # 20 March and 7 days is the 27th; then 3 April, 10 April: March has 31 days.
    assert plan(Decimal("425.00"), date(2026, 3, 20), WEEKLY, None, 3) == (
        PriceCut(on=date(2026, 3, 27), price=Decimal("404.00")),
        PriceCut(on=date(2026, 4, 3), price=Decimal("384.00")),
        PriceCut(on=date(2026, 4, 10), price=Decimal("365.00")),
    )


@pytest.mark.parametrize(
    ("price", "drop", "lower", "why"),
    [
        ("425.00", "5%", "404.00", "403.75 in whole units"),
        ("425.50", "5%", "404.23", "404.225, half up to the cent"),
        ("90.00", "5%", "86.00", "85.50 is a half, and goes up"),
        ("110.00", "5%", "105.00", "104.50 as well: not to the even 104"),
        ("300.00", "12.5%", "263.00", "262.50"),
        ("299.99", "10%", "269.99", "269.991"),
        ("10000000.00", "5%", "9500000.00", "the greatest sum that a log may hold"),
    ],
)
def test_a_whole_price_stays_whole_and_another_is_to_the_cent(price: str, drop: str, lower: str, why: str) -> None:
    (cut,) = plan(Decimal(price), date(2026, 3, 20), steps(DAY, drop), None, 1)
    assert cut.price == Decimal(lower), why
    assert cut.price.as_tuple().exponent == -2


@pytest.mark.parametrize(
    ("price", "floor", "prices", "why"),
    [
        ("425.00", "390.00", ["404.00", "390.00"], "384 would be under it"),
        ("425.00", "389.01", ["404.00", "390.00"], "rounded up to whole units, since 389 would be under it"),
        ("425.50", "400.01", ["404.23", "400.01"], "to the cent, as the price is"),
        ("425.00", "404.00", ["404.00"], "at the floor it stops"),
        ("425.00", "425.00", [], "at the floor already"),
        ("425.00", "424.50", [], "the floor rounds up to the price"),
        ("425.00", "480.00", [], "under it already: no step raises a price"),
        ("425.00", "0.00", ["404.00", "384.00", "365.00", "347.00"], "a floor of nothing holds nothing up"),
        ("425.00", "-60.00", ["404.00", "384.00", "365.00", "347.00"], "it earned already, when it was sold before"),
    ],
)
def test_no_price_goes_under_the_floor(price: str, floor: str, prices: list[str], why: str) -> None:
    cuts = plan(Decimal(price), date(2026, 3, 20), WEEKLY, Decimal(floor), 4)
    assert [cut.price for cut in cuts] == [Decimal(lower) for lower in prices], why


@pytest.mark.parametrize(
    ("price", "rule", "why"),
    [
        ("10.00", steps(7 * DAY, "5%"), "9.50 rounds to 10 again"),
        ("0.00", steps(7 * DAY, "5%"), "a free piece"),
        ("425.00", steps(7 * DAY, "0%"), "a drop of nothing"),
        ("1.00", steps(7 * DAY, "99%"), "0.01 would round to nothing, and nothing is no price"),
        ("425.00", steps(None, "5%"), "no hold is written"),
        ("425.00", steps(7 * DAY, None), "no drop is written"),
        ("425.00", steps(999_999_999 * DAY, "5%"), "past the calendar"),
    ],
)
def test_a_price_that_cannot_come_down_has_no_step(price: str, rule: PriceSteps, why: str) -> None:
    assert plan(Decimal(price), date(2026, 3, 20), rule, None, 3) == (), why
    assert next_cut(asking(("2026-03-20", price)), rule, date(2026, 3, 28)) is None, why


@pytest.mark.parametrize(
    ("hold", "on"),
    [(DAY, "2026-03-21"), (36 * 60, "2026-03-22"), (30, "2026-03-21"), (Fraction(1), "2026-03-21"), (14 * DAY, "2026-04-03")],
)  # fmt: skip
def test_a_hold_of_part_of_a_day_ends_on_the_day_after(hold: Fraction | int, on: str) -> None:
    (cut,) = plan(Decimal("425.00"), date(2026, 3, 20), steps(hold, "5%"), None, 1)
    assert cut.on == date.fromisoformat(on)


cents = st.integers(1, 10**9).map(lambda number: Decimal(number).scaleb(-2))
wholes = st.integers(1, 10**7).map(lambda number: Decimal(number).quantize(Decimal("0.01")))
drops = st.integers(1, 9_999).map(lambda number: f"{number // 100}.{number % 100:02}%")
days = st.dates(date(1900, 1, 1), date(2100, 12, 31))


@given(st.one_of(cents, wholes), drops, st.integers(1, 60), days)
def test_a_series_agrees_with_an_independent_reckoning_in_fractions(
    price: Decimal, drop: str, hold: int, start: date
) -> None:
    share = Fraction(drop.removesuffix("%")) / 100
    exact, expected = Fraction(price), []
    for number in range(1, 6):
        unit = 1 if exact.denominator == 1 else 100
        lower = Fraction(whole_part(exact * (1 - share) * unit + Fraction(1, 2)), unit)
        if not 0 < lower < exact:
            break
        exact = lower
        expected.append((start + timedelta(days=number * hold), exact))
    cuts = plan(price, start, steps(hold * DAY, drop), None, 5)
    assert [(cut.on, Fraction(cut.price)) for cut in cuts] == expected


@given(st.one_of(cents, wholes), drops, cents, days)
def test_a_series_falls_and_ends_at_the_floor_or_above(price: Decimal, drop: str, floor: Decimal, start: date) -> None:
    cuts = plan(price, start, steps(7 * DAY, drop), floor, 12)
    prices = [price, *(cut.price for cut in cuts)]
    assert all(later < earlier for earlier, later in pairwise(prices))
    assert all(cut.price >= floor for cut in cuts)


@given(st.one_of(cents, wholes), drops, days)
def test_asking_each_cut_on_its_day_is_the_same_as_the_series(price: Decimal, drop: str, start: date) -> None:
    rule = steps(7 * DAY, drop)
    asked, found = [Asking.unwritten("piece.yaml", on=start, price=price)], []
    while len(found) < 4 and (cut := next_cut(asked, rule, asked[-1].on)) is not None:
        found.append(cut)
        asked.append(Asking.unwritten("piece.yaml", on=cut.on, price=cut.price))
    assert tuple(found) == plan(price, start, rule, None, 4)


TWO = asking(("2026-03-20", "425"), ("2026-04-02", "395"))


@pytest.mark.parametrize(
    ("today", "price"), [("2026-03-19", None), ("2026-03-20", "425"), ("2026-04-01", "425"), ("2026-04-02", "395"), ("2027-01-01", "395")]
)  # fmt: skip
def test_the_price_that_stands_is_the_last_asked_by_then(today: str, price: str | None) -> None:
    found = standing(TWO, date.fromisoformat(today))
    assert (found.price if found else None) == (Decimal(price) if price else None)


@pytest.mark.parametrize(
    ("today", "on", "price"),
    [
        ("2026-03-21", "2026-03-27", "404"),  # 403.75
        ("2026-04-01", "2026-03-27", "404"),  # due since; nobody has asked it yet, so it is the next one still
        ("2026-04-02", "2026-04-09", "375"),  # 375.25
    ],
)
def test_the_next_cut_goes_by_the_price_that_stands(today: str, on: str, price: str) -> None:
    cut = next_cut(TWO, WEEKLY, date.fromisoformat(today))
    assert cut == PriceCut(on=date.fromisoformat(on), price=Decimal(price))


def test_nothing_comes_down_before_a_price_is_asked_or_without_steps() -> None:
    assert next_cut(TWO, WEEKLY, date(2026, 3, 19)) is None
    assert next_cut(TWO, None, date(2026, 4, 2)) is None
    assert next_cut((), WEEKLY, date(2026, 4, 2)) is None


def test_a_piece_that_came_back_holds_its_price_anew() -> None:
    # Back on 20 April: 20 + 7 is the 27th. Back before the price was asked, the asking counts.
    today = date(2026, 4, 21)
    assert next_cut(TWO, WEEKLY, today, since=date(2026, 4, 20)) == PriceCut(on=date(2026, 4, 27), price=Decimal("375"))
    assert next_cut(TWO, WEEKLY, today, since=date(2026, 3, 1)) == PriceCut(on=date(2026, 4, 9), price=Decimal("375"))
