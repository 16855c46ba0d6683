"""Days as they are written: FORMAT.md, "How things are written", the row `date` and `Time of day`."""

import calendar
import re
from datetime import date, time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from flipbook.measures.dates import When, read_month_day, read_when
from flipbook.measures.unreadable import Unreadable


@pytest.mark.parametrize(
    ("written", "when"),
    [
        ("2026-02-14", When(date(2026, 2, 14))),
        (" 2026-02-14 ", When(date(2026, 2, 14))),
        ("2026-02-14 15:30", When(date(2026, 2, 14), time(15, 30))),
        ("2026-02-14 1:15", When(date(2026, 2, 14), time(1, 15))),
        ("2026-02-14 0:00", When(date(2026, 2, 14), time(0, 0))),
        ("2026-02-14 23:59", When(date(2026, 2, 14), time(23, 59))),
        ("1900-01-01", When(date(1900, 1, 1))),
        ("2100-12-31", When(date(2100, 12, 31))),
    ],
)
def test_a_day_is_written_year_first_and_may_have_a_time(written, when):
    assert read_when(written) == when


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("14/02/2026", "write `2026-02-14`"),
        ("02/14/2026", "write `2026-02-14`"),
        ("14.02.2026", "write `2026-02-14`"),
        ("14-02-2026", "write `2026-02-14`"),
        ("14.2.26", "write `2026-02-14`"),
        ("2026/02/14", "write `2026-02-14`"),
        ("2026.02.14", "write `2026-02-14`"),
        ("2026-2-14", "write `2026-02-14`"),
        ("2026–02–14", "write `2026-02-14`"),
        ("14 Feb 2026", "write `2026-02-14`"),
        ("14th February 2026", "write `2026-02-14`"),
        ("Feb 14, 2026", "write `2026-02-14`"),
        ("03/03/2026", "write `2026-03-03`"),
        ("02/03/2026", "write `2026-02-03` or `2026-03-02`"),
        ("3.2.26", "write `2026-03-02` or `2026-02-03`"),
    ],
)
def test_a_day_in_another_form_is_refused_with_every_day_it_could_mean(written, hint):
    with pytest.raises(Unreadable) as refused:
        read_when(written)
    assert refused.value.write == hint


def test_two_figures_first_may_be_the_year_and_the_hint_leaves_that_open():
    with pytest.raises(Unreadable) as refused:
        read_when("26-02-14")
    assert "`2026-02-14`" in refused.value.write


@pytest.mark.parametrize(
    "written",
    ["", "today", "2026", "2026-02", "20260214", "2026-045", "2026-W07-6", "May 2026", "13/13/2026", "２０２６-02-14"],
)
def test_what_names_no_day_is_refused_with_the_form_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_when(written)
    assert refused.value.write == "write the year first, as `2026-02-14`"


@pytest.mark.parametrize("after", ["T15:30", " 3:30pm", " 15.30", " 1530", " 15:30:00", "Z", " noon", " 15:3"])
def test_a_time_of_day_in_another_form_is_refused(after):
    with pytest.raises(Unreadable):
        read_when("2026-02-14" + after)


@pytest.mark.parametrize("clock", ["24:00", "12:60", "99:99"])
def test_an_impossible_time_of_day_is_refused_and_pointed_at(clock):
    written = f"2026-02-14 {clock}"
    with pytest.raises(Unreadable) as refused:
        read_when(written)
    start, end = refused.value.span
    assert written[start:end] == clock
    assert refused.value.write == "write it from 0:00 to 23:59"


@pytest.mark.parametrize("written", ["1899-12-31", "2101-01-01", "0000-01-01", "9999-12-31"])
def test_a_year_before_1900_or_after_2100_is_refused_and_pointed_at(written):
    with pytest.raises(Unreadable) as refused:
        read_when(written)
    start, end = refused.value.span
    assert written[start:end] == written[:4]
    assert refused.value.write == "write a year from 1900 to 2100"


@pytest.mark.parametrize("year", [1904, 2000, 2024, 2028, 2096])
def test_29_february_is_a_day_of_a_leap_year(year):
    # The Gregorian rule (ISO 8601): every fourth year, of the hundreds only every fourth.
    assert read_when(f"{year}-02-29").day == date(year, 2, 29)


@pytest.mark.parametrize("year", [1900, 2023, 2025, 2026, 2100])
def test_29_february_is_no_day_of_another_year(year):
    with pytest.raises(Unreadable) as refused:
        read_when(f"{year}-02-29")
    assert refused.value.says == f"there is no such day as {year}-02-29"


def test_every_month_of_1900_to_2100_has_the_days_of_the_standard_librarys_calendar():
    for year in range(1900, 2101):
        for month in range(1, 13):
            last = calendar.monthrange(year, month)[1]
            assert read_when(f"{year}-{month:02}-{last}").day.day == last
            with pytest.raises(Unreadable):
                read_when(f"{year}-{month:02}-{last + 1}")


@given(st.integers(1900, 2100), st.integers(0, 99), st.integers(0, 99))
def test_a_day_is_read_exactly_where_the_calendar_has_it(year, month, day):
    there_is_one = 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]
    try:
        read = read_when(f"{year}-{month:02}-{day:02}").day
    except Unreadable:
        assert not there_is_one
    else:
        assert there_is_one
        assert (read.year, read.month, read.day) == (year, month, day)


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)), st.times())
def test_a_day_and_time_written_in_iso_form_are_read_back(day, clock):
    minute = clock.replace(second=0, microsecond=0)
    assert read_when(f"{day.isoformat()} {minute:%H:%M}") == When(day, minute)


@given(st.dates(), st.sampled_from(["%Y/%m/%d", "%d/%m/%Y", "%m.%d.%Y", "%d-%m-%y", "%d %B %Y"]))
@example(date(1850, 2, 14), "%d/%m/%Y")
@example(date(2101, 2, 14), "%Y/%m/%d")
def test_every_day_that_a_hint_offers_can_be_read(day, form):
    with pytest.raises(Unreadable) as refused:
        read_when(day.strftime(form))
    for offered in re.findall("`(.+?)`", refused.value.write):
        assert read_when(offered) == When(date.fromisoformat(offered))


def test_a_time_after_the_t_of_iso_8601_is_refused_with_the_same_time_after_a_space():
    with pytest.raises(Unreadable) as refused:
        read_when("2026-02-14T15:30")
    assert "`2026-02-14 15:30`" in refused.value.write


@pytest.mark.parametrize(("written", "month_and_day"), [("01-01", (1, 1)), ("04-06", (4, 6)), ("12-31", (12, 31))])
def test_a_shops_own_year_starts_on_a_month_and_day(written, month_and_day):
    assert read_month_day(written) == month_and_day


@pytest.mark.parametrize("written", ["02-29", "04-31", "13-01", "00-10", "4-6", "04/06", "6 April", "2026-04-06", ""])
def test_a_year_cannot_start_on_a_day_that_some_years_lack(written):
    with pytest.raises(Unreadable) as refused:
        read_month_day(written)
    assert refused.value.write == "write month and day, as `01-01` or `04-06`"
