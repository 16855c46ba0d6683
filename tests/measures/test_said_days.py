"""Days as they are said at the bench: each is counted back from a day that is handed in, by the calendar."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.dates import When, read_day_said, read_when
from flipbook.measures.unreadable import Unreadable

# 2026-03-01 is a Sunday, the day after the last of February in a year that is no leap year (ISO 8601).
TODAY = date(2026, 3, 1)


@pytest.mark.parametrize(
    ("text", "day", "clock"),
    [
        ("today", date(2026, 3, 1), None),
        ("Today", date(2026, 3, 1), None),
        ("yesterday", date(2026, 2, 28), None),
        (" yesterday ", date(2026, 2, 28), None),
        ("-2d", date(2026, 2, 27), None),
        ("-2 d", date(2026, 2, 27), None),
        ("-2 days", date(2026, 2, 27), None),
        ("\N{MINUS SIGN}2d", date(2026, 2, 27), None),
        ("2d ago", date(2026, 2, 27), None),
        ("2 days ago", date(2026, 2, 27), None),
        ("1 day ago", date(2026, 2, 28), None),
        ("-0d", date(2026, 3, 1), None),
        ("-60d", date(2025, 12, 31), None),
        ("15:30", date(2026, 3, 1), time(15, 30)),
        ("8:05", date(2026, 3, 1), time(8, 5)),
        ("yesterday 15:30", date(2026, 2, 28), time(15, 30)),
        ("today  0:00", date(2026, 3, 1), time(0, 0)),
        ("-2d 23:59", date(2026, 2, 27), time(23, 59)),
        ("2d ago 7:15", date(2026, 2, 27), time(7, 15)),
        ("2026-02-14", date(2026, 2, 14), None),
        ("2026-02-14 15:30", date(2026, 2, 14), time(15, 30)),
    ],
)
def test_a_day_is_counted_back_from_today(text: str, day: date, clock: time | None) -> None:
    assert read_day_said(text, TODAY) == When(day, clock)


@pytest.mark.parametrize(
    ("text", "says", "write"),
    [
        ("", "no day was said", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("tomorrow", "`tomorrow` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("2d", "`2d` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("+2d", "`+2d` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("-2w", "`-2w` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("-99999d", "`-99999d` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("-٢d", "`-٢d` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        ("today yesterday", "`today yesterday` is not a date", "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"),
        # 2026-03-01 is a Sunday: the last Sunday before it was 2026-02-22, the last Friday 2026-02-27.
        ("sunday", "`sunday` is not a date", "write `2026-02-22` for the last one"),
        ("fri", "`fri` is not a date", "write `2026-02-27` for the last one"),
        ("last Monday", "`last Monday` is not a date", "write `2026-02-23` for the last one"),
        ("14.2.2026", "`14.2.2026` is not a date", "write `2026-02-14`"),
        ("2026-02-30", "there is no such day as 2026-02-30", "check the month and the day"),
        ("25:00", "there is no such time as 25:00", "write it from 0:00 to 23:59"),
        ("yesterday 12:60", "there is no such time as 12:60", "write it from 0:00 to 23:59"),
    ],
)  # fmt: skip
def test_what_is_no_day_is_refused_with_what_to_write(text: str, says: str, write: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_day_said(text, TODAY)
    assert (refused.value.says, refused.value.write) == (says, write)


def test_the_day_before_the_first_that_may_be_written_is_refused() -> None:
    with pytest.raises(Unreadable, match="before the year 1900"):
        read_day_said("-2d", date(1900, 1, 2))
    assert read_day_said("-1d", date(1900, 1, 2)) == When(date(1900, 1, 1))


@given(today=st.dates(date(1930, 1, 1), date(2100, 12, 31)), back=st.integers(0, 9999))
def test_so_many_days_ago_is_that_many_days_before_today(today: date, back: int) -> None:
    assert (
        read_day_said(f"-{back}d", today).day
        == today - timedelta(days=back)
        == read_day_said(f"{back}d ago", today).day
    )


@given(today=st.dates(date(1900, 1, 2), date(2100, 12, 31)), day=st.dates(date(1900, 1, 1), date(2100, 12, 31)), clock=st.none() | st.times())  # fmt: skip
def test_a_whole_date_means_itself_on_any_day(today: date, day: date, clock: time | None) -> None:
    text = f"{day} {clock:%H:%M}" if clock else f"{day}"
    assert read_day_said(text, today) == read_when(text)


@given(st.text(max_size=30))
def test_any_other_text_is_read_or_refused(text: str) -> None:
    try:
        said = read_day_said(text, TODAY)
    except Unreadable as refused:
        assert refused.write
    else:
        assert 1900 <= said.day.year <= 2100
