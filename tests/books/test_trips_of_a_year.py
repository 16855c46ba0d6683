"""Driving: each trip at the rate of its own day, to the cent; the miles and then the sum shared.

Sources: IRS Notice 2022-03 (58.5 cents), Announcement 2022-13 (62.5 from 1 July), Notices 2023-03 (65.5), 2024-08
(67), 2025-5 (70); GOV.UK, simplified expenses, vehicles (45p to 10,000 miles, then 25p).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from shop_writer import ShopWriter
from year_forms import errors, piece, said, under, year_of_books


def trips(shop: ShopWriter, *written: str, rules: str = "us") -> ShopWriter:
    shop.write({"trips.yaml": "trips:\n" + "".join(f"  - {{to: supply house, {one}}}\n" for one in written)})
    return under(shop, rules)


def amounts(shop: ShopWriter, year: int) -> list[str]:
    return [f"{trip.amount}" for trip in year_of_books(shop.books(), year).trips]


@pytest.mark.parametrize(
    ("written", "wanted", "reckoned"),
    [
        ("on: 2022-06-30, miles: 100", "58.50", "the last day of Notice 2022-03"),
        ("on: 2022-07-01, miles: 100", "62.50", "the first day of Announcement 2022-13"),
        ("on: 2023-04-01, miles: 1250", "818.75", "1,250 x 0.655, the example of the Schedule C instructions for 2023"),
        ("on: 2023-05-01, miles: 1.5", "0.98", "1.5 x 0.655 = 0.9825"),
        ("on: 2025-05-01, miles: 0.15", "0.11", "0.15 x 0.70 = 0.105, half up"),
        ("on: 2025-05-01, km: 35", "15.22", "35 / 1.609344 = 21.74799 miles x 0.70 = 15.2236"),
        ("on: 2025-05-01, km: 16.1", "7.00", "16.1 / 1.609344 = 10.00408 miles x 0.70 = 7.00285"),
    ],
)
def test_a_trip_is_reckoned_at_the_rate_of_its_own_day(
    shop: ShopWriter, written: str, wanted: str, reckoned: str
) -> None:
    shop = trips(shop, written)
    year = int(written[4:8])
    assert amounts(shop, year) == [wanted], reckoned
    assert said(shop.books(), year)["9"] == wanted


def test_line_9_is_the_sum_of_trips_each_to_the_cent_and_of_tolls(shop: ShopWriter) -> None:
    piece(shop, "chair", "customer: yes\ntrips: [{on: 2023-05-02, miles: 1.5, to: a buyer}]\n")
    shop.receipts("- {on: 2023-05-03, from: the bridge, what: toll, cost: 4.50, for: vehicle}\n")
    shop = trips(shop, "on: 2023-05-01, miles: 1.5", "on: 2023-05-04, miles: 1.5")
    # 1.5 x 0.655 = 0.9825: three times 0.98 = 2.94 (4.5 miles at once were 2.95), and 4.50 of toll.
    assert said(shop.books(), 2023) == {"9": "7.44", "28": "7.44", "29": "-7.44", "31": "-7.44"}


def test_trips_on_both_sides_of_a_change_in_the_middle_of_a_year(shop: ShopWriter) -> None:
    shop = trips(shop, "on: 2022-06-30, miles: 100", "on: 2022-07-01, miles: 100")
    assert said(shop.books(), 2022)["9"] == "121.00"  # 58.50 + 62.50


@pytest.mark.parametrize(
    ("shares", "wanted", "driven"),
    [
        # 10 miles at 0.70 = 7.00; of three like remainders the first has the cent
        ("{a: 1, b: 1, c: 1}", ["2.34", "2.33", "2.33"], ["10/3", "10/3", "10/3"]),
        ("{a: 2, b: 1, c: 0.5}", ["4.00", "2.00", "1.00"], ["40/7", "20/7", "10/7"]),
        ("b", ["7.00"], ["10"]),
    ],
)
def test_a_shared_trip_is_split_to_the_cent_and_its_miles_exactly(
    shop: ShopWriter, shares: str, wanted: list[str], driven: list[str]
) -> None:
    for folder in "abc":
        piece(shop, folder, "customer: yes\n")
    shop = trips(shop, f"on: 2025-05-01, miles: 10, for: {shares}")
    assert amounts(shop, 2025) == wanted
    assert [trip.miles for trip in year_of_books(shop.books(), 2025).trips] == [Fraction(each) for each in driven]
    assert said(shop.books(), 2025)["9"] == "7.00"
    assert [f"{sheet.driving}" for sheet in shop.books().sheets if sheet.driving] == wanted


@pytest.mark.parametrize(
    ("rules", "day", "file"),
    [
        ("us", "2027-01-01", "flipbook/books/rules/us_mileage.yaml"),
        ("us", "2010-12-31", "flipbook/books/rules/us_mileage.yaml"),
        ("uk", "2026-04-06", "flipbook/books/rules/uk_mileage.yaml"),
    ],
)
def test_a_trip_on_a_day_without_a_rate_is_refused_with_the_file_to_extend(
    shop: ShopWriter, rules: str, day: str, file: str
) -> None:
    shop = trips(shop, f"on: {day}, miles: 10, why: collect the chair", rules=rules)
    (problem,) = shop.problems()
    assert problem.name == "no-figure"
    assert day in problem.says
    assert file in problem.help
    assert (problem.place.file, problem.place.line) == ("trips.yaml", 2)


def test_the_last_day_that_a_rate_is_known_for(shop: ShopWriter) -> None:
    assert amounts(trips(shop, "on: 2026-12-31, miles: 10"), 2026) == ["7.25"]  # IRS Notice 2026-10
    assert errors(trips(shop, "on: 2026-04-05, miles: 10", rules="uk")) == set()


def test_under_plain_rules_miles_are_logged_and_come_to_nothing(shop: ShopWriter) -> None:
    shop = trips(shop, "on: 2030-05-01, miles: 10", rules="plain")
    assert amounts(shop, 2030) == ["0.00"]
    assert said(shop.books(), 2030) == {}


def test_the_worked_example_of_the_uk_for_a_years_miles(shop: ShopWriter) -> None:
    """GOV.UK: 11,000 miles are 10,000 x 45p = 4,500 and 1,000 x 25p = 250, in all 4,750."""
    shop = trips(shop, "on: 2024-04-06, miles: 11000", rules="uk")
    assert said(shop.books(), 2024) == {"12": "4750.00", "20": "4750.00", "22": "-4750.00"}


def test_the_uk_threshold_crossed_within_a_trip_and_begun_again_in_the_new_year(shop: ShopWriter) -> None:
    for folder in "ab":
        piece(shop, folder, "customer: yes\n")
    shop = trips(
        shop,
        "on: 2025-04-06, miles: 10",  # 4.50, in the next year; written first, driven last
        "on: 2024-05-01, miles: 9990",  # 4,495.50
        "on: 2024-06-01, miles: 30, for: {a: 1, b: 1}",  # 10 at 45p = 4.50, 20 at 25p = 5.00, halved
        "on: 2025-04-05, miles: 10",  # 2.50
        rules="uk",
    )
    assert amounts(shop, 2024) == ["4495.50", "2.25", "2.25", "2.50", "2.50", "2.50"]
    assert said(shop.books(), 2024)["12"] == "4507.50"
    assert amounts(shop, 2025) == ["4.50"]


def test_a_trip_over_the_uk_threshold_is_rounded_once(shop: ShopWriter) -> None:
    shop = trips(shop, "on: 2024-05-01, miles: 9999.9", "on: 2024-06-01, miles: 0.2", rules="uk")
    # 9,999.9 x 0.45 = 4,499.955, half up 4,499.96. Then 0.1 x 0.45 + 0.1 x 0.25 = 0.045 + 0.025 = 0.07.
    assert said(shop.books(), 2024)["12"] == "4500.03"
