"""The UK's year and boxes, and a plain year that starts on any day.

Source: HMRC form SA103S (2024), boxes and captions; the year of 6 April to 5 April as on its first page.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import errors, piece, said, under, year_of_books

SOLD = "found: {{on: 2024-04-06, from: Mill Road, cost: 60.00}}\nsold: {{on: {day}, price: 200.00}}\n"


@pytest.mark.parametrize(("day", "year"), [("2025-04-05", 2024), ("2025-04-06", 2025)])
def test_the_uk_year_ends_on_5_april(shop: ShopWriter, day: str, year: int) -> None:
    books = under(piece(shop, "chair", SOLD.format(day=day)), "uk").books()
    assert said(books, year) == {"9": "200.00", "11": "60.00", "20": "60.00", "21": "140.00"}
    assert [said(books, other.year.name) for other in books.years if other.year.name != year] == [{}] * (year - 2024)
    assert year_of_books(books, 2024).year.title == "2024/25"


def test_a_cost_in_hand_over_the_uk_years_end_waits_in_box_11(shop: ShopWriter) -> None:
    # Found in 2024/25 and in hand: 60.00 - 60.00. Sold in 2025/26: 60.00 opened with.
    books = under(piece(shop, "chair", SOLD.format(day="2026-04-05")), "uk").books()
    assert [year.year.name for year in books.years] == [2024, 2025]
    assert said(books, 2024) == {}
    assert said(books, 2025)["11"] == "60.00"


@pytest.mark.parametrize(
    ("starts", "day", "year", "title"),
    [
        ("07-01", "2025-06-30", 2024, "2024/25"),
        ("07-01", "2025-07-01", 2025, "2025/26"),
        ("01-01", "2025-12-31", 2025, "2025"),
        ("12-31", "2025-12-30", 2024, "2024/25"),
        ("12-31", "2025-12-31", 2025, "2025/26"),
        ("02-28", "2024-02-28", 2024, "2024/25"),
        ("03-01", "2024-02-29", 2023, "2023/24"),
    ],
)
def test_a_plain_year_is_named_after_the_calendar_year_it_starts_in(
    shop: ShopWriter, starts: str, day: str, year: int, title: str
) -> None:
    shop.receipts(f"- {{on: {day}, from: the mill, what: rent, cost: 50.00, for: rent}}\n")
    books = under(shop, "plain", tax=f", year starts: {starts}").books()
    assert [(y.year.name, y.year.title) for y in books.years] == [(year, title)]
    assert said(books, year) == {"rent": "50.00", "total expenses": "50.00", "profit": "-50.00"}


@pytest.mark.parametrize("rules", ["us", "uk"])
def test_a_fixed_year_takes_no_other_start(shop: ShopWriter, rules: str) -> None:
    assert errors(under(shop, rules, tax=", year starts: 07-01")) == {"year-is-fixed"}


def test_a_plain_year_of_everything(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2025-08-01, from: Mill Road, cost: 60.00}\nbought: [{on: 2025-08-05, from: Mill Paints, what: oil, cost: 9.00}]\n"
        "sold: {on: 2026-06-30, price: 200.00, delivery: 25.00, at: antiques hall}\n"
    )
    piece(shop, "chair", text)
    piece(shop, "table", "found: {on: 2026-06-01, from: Mill Road, cost: 31.00}\n")
    shop.receipts("- {on: 2026-01-02, from: Harbour Hardware, what: brushes, cost: 12.00, for: supplies}\n")
    # The hall takes 12% of 225.00 = 27.00. Cost of goods 91.00 + 9.00 - 31.00 = 69.00; 225.00 - 69.00 = 156.00;
    # 156.00 - 12.00 - 27.00 = 117.00.
    assert said(under(shop, "plain", tax=", year starts: 07-01").books(), 2025) == {
        "sale": "200.00", "delivery charged to buyers": "25.00", "total income": "225.00", "found": "91.00",
        "material and shelf": "9.00", "closing stock": "-31.00", "cost of goods sold": "69.00", "gross profit": "156.00",
        "supplies": "12.00", "selling-fees": "27.00", "total expenses": "39.00", "profit": "117.00",
    }  # fmt: skip
    # Under UK rules the same falls in two years; the fee is in box 19 of 2026/27 with the sale.
    books = under(shop, "uk").books()
    assert said(books, 2025) == {"19": "12.00", "20": "12.00", "22": "-12.00"}
    assert said(books, 2026) == {"9": "225.00", "11": "69.00", "19": "27.00", "20": "96.00", "21": "129.00"}
