"""Line 30 against the simplified method worksheet of the Schedule C instructions and IRS Publication 587.

Worksheet: line 1 the limit (line 29), line 2 square feet and not more than 300, line 3 five dollars, line 4 their
product, line 5 the smaller of 1 and 4, "if zero or less, enter -0-". Rev. Proc. 2013-13; 26 USC 280A(c)(5).
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

from flipbook.books.reckon import YearBooks


def year(shop: ShopWriter, area: str, price: str, rent: str = "0", day: str = "2025-06-01") -> YearBooks:
    """A year with one free find sold at `price` and `rent` paid."""
    shop.write({"shop.yaml": f"shop: S\ncurrency: USD\ntax: {{rules: us, home workshop: {area}}}\n"})
    sold = f"sold: {{on: {day}, price: {price}}}\n" if price != "0" else ""
    shop.write({"pieces/chair/piece.yaml": f"piece: chair\nfound: {{on: {day}, cost: 0}}\n{sold}"})
    shop.receipts(f"- {{on: {day}, from: A., what: a stall, cost: {rent}, for: rent}}\n")
    (only,) = shop.books().years
    return only


def line(books: YearBooks, label: str) -> str | None:
    return next((f"{line.amount}" for line in books.lines if line.line == label), None)


@pytest.mark.parametrize(
    ("area", "price", "rent", "line_30", "line_31", "worksheet"),
    [
        ("180 sq ft", "5000.00", "0", "900.00", "4100.00", "180 x 5 = 900"),
        ("300 sq ft", "5000.00", "0", "1500.00", "3500.00", "300 x 5 = 1,500"),
        ("301 sq ft", "5000.00", "0", "1500.00", "3500.00", "not more than 300"),
        ("2000 sq ft", "5000.00", "0", "1500.00", "3500.00", "not more than 300"),
        ("180 sq ft", "900.00", "0", "900.00", "0.00", "line 29 is line 4"),
        ("180 sq ft", "899.99", "0", "899.99", "0.00", "the smaller of 899.99 and 900"),
        ("180 sq ft", "1000.00", "400.00", "600.00", "0.00", "1,000.00 - 400.00 = 600.00 is the smaller"),
        ("180 sq ft", "400.00", "400.00", None, "0.00", "line 29 is nothing"),
        ("180 sq ft", "400.00", "400.01", None, "-0.01", "zero or less, enter 0: a loss is made no larger"),
        ("180 sq ft", "0", "25.00", None, "-25.00", "no income at all"),
        ("180.5 sq ft", "5000.00", "0", "902.50", "4097.50", "180.5 x 5"),
        ("20 sq m", "5000.00", "0", "1076.39", "3923.61", "20 / 0.09290304 = 215.2782 sq ft x 5 = 1,076.391"),
    ],
)
def test_line_30_is_the_smaller_of_the_area_and_the_limit(
    shop: ShopWriter, area: str, price: str, rent: str, line_30: str | None, line_31: str, worksheet: str
) -> None:
    books = year(shop, area, price, rent)
    assert line(books, "30") == line_30, worksheet
    assert line(books, "31") == line_31 == f"{books.profit}", worksheet


@pytest.mark.parametrize("day", ["2013-01-01", "2020-06-01", "2026-12-31"])
def test_five_dollars_a_foot_has_not_changed(shop: ShopWriter, day: str) -> None:
    """Rev. Proc. 2013-13, for years from 2013; that it still stands for 2026 is from memory."""
    assert line(year(shop, "100 sq ft", "5000.00", day=day), "30") == "500.00"


@pytest.mark.parametrize("day", ["2012-12-31", "2027-01-01"])
def test_a_year_that_the_method_is_not_known_for_is_refused_with_the_file_to_extend(shop: ShopWriter, day: str) -> None:
    shop.write({"shop.yaml": "shop: S\ncurrency: USD\ntax: {rules: us, home workshop: 180 sq ft}\n"})
    shop.receipts(f"- {{on: {day}, from: A., what: a stall, cost: 5.00, for: rent}}\n")
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("no-figure", "shop.yaml")
    assert "flipbook/books/rules/us_home_workshop_" in problem.help


def test_without_a_home_workshop_line_30_is_left_out(shop: ShopWriter) -> None:
    shop.write(
        {
            "shop.yaml": "shop: S\ncurrency: USD\ntax: {rules: us}\n",
            "pieces/a/piece.yaml": "piece: a\ncustomer: yes\nsold: {on: 2025-01-01, price: 90}\n",
        }
    )
    (books,) = shop.books().years
    assert line(books, "30") is None
    assert line(books, "31") == "90.00"
