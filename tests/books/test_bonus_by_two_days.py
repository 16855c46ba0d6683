"""Bonus write-off goes by two days, acquired and taken into use (26 USC 168(k))."""

from __future__ import annotations

from datetime import date

import pytest

from flipbook.books.rulebook import NotPublished
from flipbook.books.tools import bonus_share

BY_TWO_DAYS = [
    ("2022-06-01", "2022-12-31", "1", "26 USC 168(k)(6), from memory: the last whole year"),
    ("2022-12-01", "2023-01-01", "0.8", "26 USC 168(k)(6), from memory"),
    ("2024-03-01", "2024-03-01", "0.6", "26 USC 168(k)(6), from memory"),
    ("2025-01-19", "2025-06-01", "0.4", "26 USC 168(k)(6), from memory: acquired on the last day of the old rule"),
    ("2025-01-20", "2025-06-01", "1", "P.L. 119-21 section 70301: acquired after 19 January 2025"),
    ("2025-01-19", "2026-02-01", "0.2", "26 USC 168(k)(6), from memory: taken into use a year later"),
    ("2025-01-20", "2026-02-01", "1", "P.L. 119-21 section 70301"),
]


@pytest.mark.parametrize(("acquired", "used", "share", "source"), BY_TWO_DAYS)
def test_the_share_goes_by_both_days(acquired: str, used: str, share: str, source: str) -> None:
    assert str(bonus_share("us_bonus", date.fromisoformat(acquired), date.fromisoformat(used))) == share, source


@pytest.mark.parametrize("used", ["2027-01-01", "2017-01-01"])
def test_a_day_that_no_figure_covers_is_refused(used: str) -> None:
    with pytest.raises(NotPublished, match="first year"):
        bonus_share("us_bonus", date(2017, 1, 1), date.fromisoformat(used))
