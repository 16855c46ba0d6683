"""The days on which estimated tax falls due: 26 USC 6654(c), moved by 26 USC 7503.

The months and days are 6654(c)'s, from memory, as IRS Form 1040-ES has them. Each year's four were worked out by the two
sections with the legal holidays of the District of Columbia: 5 USC 6103 (King Day, Juneteenth from 2021 on) and its
Emancipation Day, 16 April (D.C. Code 28-2701); both from memory. What moved a day stands beside it.
"""

from __future__ import annotations

from datetime import date

import pytest

from flipbook.books.rulebook import NotPublished
from flipbook.books.set_aside import estimated_tax_days, next_business_day

DAYS = [
    (2020, "2020-07-15 2020-07-15 2020-09-15 2021-01-15", "Notice 2020-23, from memory: the first two postponed"),
    (2021, "2021-04-15 2021-06-15 2021-09-15 2022-01-18", "15 January a Saturday, the 17th King Day"),
    (
        2022,
        "2022-04-18 2022-06-15 2022-09-15 2023-01-17",
        "Emancipation Day seen on Friday 15 April; King Day the 16th",
    ),
    (
        2023,
        "2023-04-18 2023-06-15 2023-09-15 2024-01-16",
        "Emancipation Day seen on Monday 17 April; King Day the 15th",
    ),
    (2024, "2024-04-15 2024-06-17 2024-09-16 2025-01-15", "15 June a Saturday, 15 September a Sunday"),
    (2025, "2025-04-15 2025-06-16 2025-09-15 2026-01-15", "15 June a Sunday"),
    (2026, "2026-04-15 2026-06-15 2026-09-15 2027-01-15", "none falls on a week's end or a holiday"),
    (2027, "2027-04-15 2027-06-15 2027-09-15 2028-01-18", "15 January a Saturday, the 17th King Day"),
]


@pytest.mark.parametrize(("year", "days", "why"), DAYS)
def test_the_four_days_of_a_tax_year(year: int, days: str, why: str) -> None:
    assert [day.isoformat() for day in estimated_tax_days("us_estimated_tax", year)] == days.split(), why


@pytest.mark.parametrize(
    ("day", "moved", "why"),
    [
        ("2021-06-19", "2021-06-21", "Juneteenth a Saturday, seen on Friday; the Saturday itself moves to Monday"),
        ("2021-06-18", "2021-06-21", "Juneteenth seen on a Friday, from 2021 on"),
        ("2020-06-19", "2020-06-19", "no holiday of the District yet, 26 USC 7503 and 5 USC 6103 from memory"),
        ("2028-01-17", "2028-01-18", "King Day, the third Monday of January"),
        ("2027-04-16", "2027-04-19", "Emancipation Day on a Friday, and a week's end after it"),
        ("2024-06-15", "2024-06-17", "a Saturday"),
    ],
)
def test_a_day_moves_past_saturdays_sundays_and_holidays(day: str, moved: str, why: str) -> None:
    assert next_business_day(date.fromisoformat(day)).isoformat() == moved, why


def test_days_are_not_given_for_a_year_past_what_is_known() -> None:
    with pytest.raises(NotPublished) as told:
        estimated_tax_days("us_estimated_tax", 2028)
    assert "us_estimated_tax.yaml" in told.value.write
