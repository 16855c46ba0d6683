"""What a business mile may be reckoned at, against the notices of the Internal Revenue Service.

`restated`: read in public pages that name the notice. `seen`: read in an official document. `from memory`: not read.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest

from flipbook.books.rulebook import NotPublished, rule

NOTICES = [
    # first day, last day, cents a mile, source
    ("2011-01-01", "2011-06-30", "51.0", "Notice 2010-88, restated"),
    ("2011-07-01", "2011-12-31", "55.5", "Announcement 2011-40, restated"),
    ("2012-01-01", "2012-12-31", "55.5", "Notice 2012-1, restated; IRS Publication 463 (2012), seen"),
    ("2013-01-01", "2013-12-31", "56.5", "Notice 2012-72, restated"),
    ("2014-01-01", "2014-12-31", "56.0", "Notice 2013-80, restated"),
    ("2015-01-01", "2015-12-31", "57.5", "Notice 2014-79, restated"),
    ("2016-01-01", "2016-12-31", "54.0", "Notice 2016-1, restated"),
    ("2017-01-01", "2017-12-31", "53.5", "Notice 2016-79, restated"),
    ("2018-01-01", "2018-12-31", "54.5", "Notice 2018-03, restated"),
    ("2019-01-01", "2019-12-31", "58.0", "Notice 2019-02, the rate from memory"),
    ("2020-01-01", "2020-12-31", "57.5", "Notice 2020-05, the rate from memory"),
    ("2021-01-01", "2021-12-31", "56.0", "Notice 2021-02, restated"),
    ("2022-01-01", "2022-06-30", "58.5", "Notice 2022-03, seen"),
    ("2022-07-01", "2022-12-31", "62.5", "Announcement 2022-13, restated"),
    ("2023-01-01", "2023-12-31", "65.5", "IRS page on changes to Schedule C for 2023, seen (Notice 2023-03)"),
    ("2024-01-01", "2024-12-31", "67.0", "Notice 2024-08, restated"),
    ("2025-01-01", "2025-12-31", "70.0", "Notice 2025-5, restated"),
    ("2026-01-01", "2026-12-31", "72.5", "Notice 2026-10, restated"),
]


@pytest.mark.parametrize(("first", "last", "cents", "source"), NOTICES)
def test_the_rate_holds_from_the_first_day_of_its_notice_to_the_last(
    first: str, last: str, cents: str, source: str
) -> None:
    for day in (date.fromisoformat(first), date.fromisoformat(last)):
        assert rule("us_mileage").on(day) * 100 == Decimal(cents), source


def test_the_table_above_leaves_no_day_out() -> None:
    for (_, last, _, _), (first, _, _, _) in pairwise(NOTICES):
        assert date.fromisoformat(last) + timedelta(days=1) == date.fromisoformat(first)


@pytest.mark.parametrize("day", ["2010-12-31", "2027-01-01", "2100-01-01"])
def test_no_rate_is_carried_past_what_was_published(day: str) -> None:
    with pytest.raises(NotPublished) as told:
        rule("us_mileage").on(date.fromisoformat(day))
    assert day in told.value.says
    assert "flipbook/books/rules/us_mileage.yaml" in told.value.write


@pytest.mark.parametrize(
    ("day", "named"), [("2022-06-30", "2022-03"), ("2022-07-01", "2022-13"), ("2026-02-14", "2026-10")]
)
def test_each_rate_names_its_notice(day: str, named: str) -> None:
    assert named in rule("us_mileage").figure_on(date.fromisoformat(day)).source
