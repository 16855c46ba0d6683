"""Until when a piece dries: exactly where the hour is logged, and no more exactly where it is not.

Days and hours are the log's own clock, with no time zone, so `datetime` is the reference for every sum of them.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import UNITS, Amount
from flipbook.measures.dates import When, read_when
from flipbook.measures.times import read_time_taken
from flipbook.shop.problems import Place
from flipbook.shop.records.piece import Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.uses import Mix, Use
from flipbook.trade.drying import Dryness, drying, hard_on, wait_after


def product(recoat: str = "", cure: str = "") -> Product:
    waits = {key: read_time_taken(text) for key, text in (("recoat", recoat), ("cure", cure)) if text}
    return Product.unwritten("products.yaml", **waits)


PRODUCTS = {
    "fig blue paint": product("4 h", "21 d"),
    "dewaxed shellac": product("1 h", "5 d"),
    "hard oil": product("24 h", "30 d"),
    "sandpaper": product(),
}
PLACE = Place("piece.yaml")


def step(on: str, *used: str, dries: str = "", mixed: str = "") -> Step:
    uses = tuple(Use(name, Amount(Fraction(1), UNITS["each"]), PLACE) for name in used)
    parts = ((mixed, Fraction(1), PLACE), ("water", Fraction(2), PLACE))
    return Step.unwritten(
        "piece.yaml",
        on=read_when(on),
        did="a coat",
        used=uses,
        mix=Mix(parts, Amount(Fraction(12), UNITS["fl oz"])) if mixed else None,
        dries=read_time_taken(dries) if dries else None,
    )


@pytest.mark.parametrize(
    ("done", "minutes", "whose"),
    [
        (step("2026-02-14", dries="4 h"), 240, ""),
        (step("2026-02-14", "fig blue paint"), 240, "fig blue paint"),
        (step("2026-02-14", "Fig  Blue Paint"), 240, "Fig  Blue Paint"),
        (step("2026-02-14", mixed="fig blue paint"), 240, "fig blue paint"),
        (step("2026-02-14", "dewaxed shellac", "hard oil", "fig blue paint"), 1440, "hard oil"),
        (step("2026-02-14", "hard oil", dries="30 min"), 30, ""),  # what the step says comes before the label
        (step("2026-02-14", "sandpaper"), None, ""),
        (step("2026-02-14", "a product of no file"), None, ""),
        (step("2026-02-14"), None, ""),
    ],
)
def test_how_long_a_step_dries(done: Step, minutes: int | None, whose: str) -> None:
    assert wait_after(done, PRODUCTS) == (None if minutes is None else (minutes, whose))


@pytest.mark.parametrize(
    ("on", "dries", "until"),
    [
        ("2026-02-21 10:00", "4 h", "2026-02-21 14:00"),
        ("2026-02-21 21:30", "4 h", "2026-02-22 01:30"),  # across midnight
        ("2026-02-28 23:59", "1 min", "2026-03-01 00:00"),  # and the end of a month that has 28 days
        ("2028-02-28 12:00", "24 h", "2028-02-29 12:00"),  # or 29
        ("2026-12-31 18:00", "12 h", "2027-01-01 06:00"),
        ("2026-02-21 10:00", "2 d", "2026-02-23 10:00"),
        ("2026-02-21 10:00", "1.5 h", "2026-02-21 11:30"),
        ("2026-02-21 10:00", "1/2 min", "2026-02-21 10:01"),  # a part of a minute counts whole
        ("2026-03-28 22:00", "6 h", "2026-03-29 04:00"),  # no time zone: the clock is the shop's own
    ],
)
def test_with_the_hour_logged_it_dries_until_an_hour(on: str, dries: str, until: str) -> None:
    found = drying([step(on, dries=dries)], {})
    assert found is not None
    assert found.is_exact
    assert found.latest == datetime.fromisoformat(until)


def test_at_its_hour_it_is_dry_and_a_minute_before_it_is_not() -> None:
    found = drying([step("2026-02-21 21:30", dries="4 h")], {})
    assert found is not None
    assert found.at(datetime(2026, 2, 21, 23, 59)) is Dryness.DRYING
    assert found.at(datetime(2026, 2, 22, 1, 29)) is Dryness.DRYING
    assert found.at(datetime(2026, 2, 22, 1, 30)) is Dryness.DRY


def test_without_the_hour_it_may_have_been_done_at_any_of_its_day() -> None:
    # Done at 00:00 it is dry at 4:00; done at 24:00, at 4:00 of the next day.
    found = drying([step("2026-02-21", dries="4 h")], {})
    assert found is not None
    assert (found.earliest, found.latest) == (datetime(2026, 2, 21, 4), datetime(2026, 2, 22, 4))
    assert not found.is_exact
    for moment, dryness in (
        (datetime(2026, 2, 21, 3, 59), Dryness.DRYING),
        (datetime(2026, 2, 21, 4), Dryness.PERHAPS),
        (datetime(2026, 2, 22, 3, 59), Dryness.PERHAPS),
        (datetime(2026, 2, 22, 4), Dryness.DRY),
    ):
        assert found.at(moment) is dryness


@pytest.mark.parametrize(
    ("log", "earliest", "latest"),
    [
        # the glue of yesterday evening outlasts what was done this morning
        ([("2026-02-20 18:30", "24 h"), ("2026-02-21 09:00", "")], "2026-02-21 18:30", "2026-02-21 18:30"),
        # two coats: the later one
        ([("2026-02-21 09:00", "4 h"), ("2026-02-21 13:30", "4 h")], "2026-02-21 17:30", "2026-02-21 17:30"),
        # a coat without an hour, above one with an hour of the same day, was done by then: 14:00 and 2 h is 16:00
        ([("2026-02-21", "2 h"), ("2026-02-21 14:00", "4 h")], "2026-02-21 18:00", "2026-02-21 18:00"),
        ([("2026-02-21", "6 h"), ("2026-02-21 14:00", "4 h")], "2026-02-21 18:00", "2026-02-21 20:00"),
        ([("2026-02-21", "6 h"), ("2026-02-21 14:00", "")], "2026-02-21 06:00", "2026-02-21 20:00"),
        # below it, nothing is known but the day
        ([("2026-02-21 14:00", "4 h"), ("2026-02-21", "2 h")], "2026-02-21 18:00", "2026-02-22 02:00"),
        # an hour of another day says nothing of this one
        ([("2026-02-20", "4 h"), ("2026-02-21 08:00", "")], "2026-02-20 04:00", "2026-02-21 04:00"),
    ],
)
def test_a_piece_is_dry_when_all_that_was_done_is(log: list[tuple[str, str]], earliest: str, latest: str) -> None:
    found = drying([step(on, dries=dries) for on, dries in log], {})
    assert found is not None
    assert (found.earliest, found.latest) == (datetime.fromisoformat(earliest), datetime.fromisoformat(latest))


def test_the_wait_that_is_told_is_that_of_the_last_to_be_dry() -> None:
    found = drying([step("2026-02-20 18:30", "hard oil"), step("2026-02-21 09:00", "fig blue paint")], PRODUCTS)
    assert found is not None
    assert (found.wait, found.product) == (1440, "hard oil")


def test_nothing_dries_where_nothing_says_how_long() -> None:
    assert drying([], PRODUCTS) is None
    assert drying([step("2026-02-21 10:00"), step("2026-02-21 11:00", "sandpaper")], PRODUCTS) is None


def test_a_wait_past_the_calendar_ends_with_it() -> None:
    found = drying([step("2100-12-31 23:59", dries="999999999 d")], {})
    assert found is not None
    assert found.at(datetime(2100, 12, 31, 23, 59)) is Dryness.DRYING


clocks = st.none() | st.times(max_value=time(23, 59)).map(lambda clock: clock.replace(second=0, microsecond=0))


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)), clocks, st.integers(1, 100_000), st.integers(0, 1439))
def test_whatever_hour_it_was_done_it_is_dry_between_the_two(
    day: date, clock: time | None, minutes: int, hour: int
) -> None:
    done = Step.unwritten("piece.yaml", on=When(day, clock), did="a coat", dries=Fraction(minutes))
    found = drying([done], {})
    assert found is not None
    at = clock or time(hour // 60, hour % 60)
    dry = datetime.combine(day, at) + timedelta(minutes=minutes)
    assert found.earliest <= dry <= found.latest
    assert found.latest - found.earliest == timedelta(0 if clock is not None else 1)
    assert found.is_exact == (clock is not None)


@pytest.mark.parametrize(
    ("log", "day"),
    [
        ([step("2026-02-21", "fig blue paint")], date(2026, 3, 14)),  # 7 days left of February, and 14
        ([step("2026-02-21 10:00", "fig blue paint"), step("2026-02-22", "fig blue paint")], date(2026, 3, 15)),
        ([step("2026-02-01", "hard oil"), step("2026-02-22", "dewaxed shellac")], date(2026, 3, 3)),  # 1 + 30 days
        ([step("2026-02-21", mixed="fig blue paint")], date(2026, 3, 14)),
        ([step("2026-02-21", "sandpaper")], None),
        ([], None),
    ],
)
def test_cure_runs_from_the_last_coat_that_needs_it(log: list[Step], day: date | None) -> None:
    assert hard_on(log, PRODUCTS) == day


def test_a_cure_of_part_of_a_day_ends_on_the_day_after_and_none_overflows() -> None:
    assert hard_on([step("2026-02-21", "quick")], {"quick": product(cure="36 h")}) == date(2026, 2, 23)
    assert hard_on([step("2100-12-31", "slow")], {"slow": product(cure="999999999 d")}) == date.max
