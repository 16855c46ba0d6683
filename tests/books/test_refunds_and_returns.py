"""Refunds are taken off in the year they are paid; a piece that comes back comes back with its whole cost.

Source: IRS Publication 334, chapter 7 (returns and allowances on line 2); that a returned piece comes back at
its cost is common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from shop_writer import ShopWriter
from year_forms import piece, said, under


def test_a_price_cut_to_a_buyer_who_keeps_the_piece(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2024-05-01, from: Mill Road, cost: 70.00}\n"
        "sold: {on: 2024-11-20, price: 250.00, allowed: {on: 2025-01-15, refund: 30.00}}\n"
    )
    books = under(piece(shop, "table", text), "us").books()
    # 2024: 250.00 - 70.00 = 180.00. 2025: the 30.00 alone; the piece stays sold, nothing is in hand.
    assert said(books, 2024) == {
        "1": "250.00", "3": "250.00", "4": "70.00", "5": "180.00", "7": "180.00", "29": "180.00", "31": "180.00",
        "36": "70.00", "40": "70.00", "42": "70.00",
    }  # fmt: skip
    assert said(books, 2025) == {
        "2": "30.00",
        "3": "-30.00",
        "5": "-30.00",
        "7": "-30.00",
        "29": "-30.00",
        "31": "-30.00",
    }
    sheet = books.sheets[0]
    assert (f"{sheet.takings}", sheet.filed.piece.state) == ("220.00", "sold")


@pytest.mark.parametrize(
    ("refund", "line_2", "tax_back", "reckoned"),
    [
        # price 200.00 + delivery 30.00 + sales tax 13.80 = 243.80
        ("100.00", "94.34", "5.66", "100.00 x 13.80 / 243.80 = 5.6604"),
        ("243.80", "230.00", "13.80", "all of it back, all of the tax back"),
        ("0.09", "0.08", "0.01", "0.09 x 13.80 / 243.80 = 0.005094"),
        ("0.08", "0.08", "0.00", "0.08 x 13.80 / 243.80 = 0.004528"),
    ],
)
def test_a_refund_is_without_its_sales_tax_part(
    shop: ShopWriter, refund: str, line_2: str, tax_back: str, reckoned: str
) -> None:
    text = (
        "found: {on: 2025-05-01, from: Mill Road, cost: 0}\nsold:\n  on: 2025-06-01\n  price: 200.00\n  delivery: 30.00\n"
        f"  sales tax: 13.80\n  allowed: {{on: 2025-06-10, refund: {refund}}}\n"
    )
    books = under(piece(shop, "table", text), "us").books()
    assert said(books, 2025)["1"] == "230.00"
    assert said(books, 2025)["2"] == line_2, reckoned
    assert f"{books.sales_tax.given_back}" == tax_back, reckoned
    assert books.sales_tax.owed == Decimal("13.80") - Decimal(tax_back)
    assert [f"{row.money_out}" for row in books.ledger if row.kind == "refund"] == [refund], (
        "in the ledger whole, in one row"
    )


def test_half_a_cent_of_sales_tax_in_a_refund_goes_up(shop: ShopWriter) -> None:
    # 0.10 x 10.00 / 200.00 = 0.005, half up 0.01; 0.10 - 0.01 = 0.09.
    text = (
        "found: {on: 2025-05-01, from: Mill Road, cost: 0}\n"
        "sold: {on: 2025-06-01, price: 190.00, sales tax: 10.00, allowed: {on: 2025-06-10, refund: 0.10}}\n"
    )
    assert said(under(piece(shop, "table", text), "us").books(), 2025)["2"] == "0.09"


BACK_AND_AGAIN = """\
found: {{on: 2023-03-01, from: Mill Road, cost: 80.00}}
bought:
  - {{on: 2023-03-10, from: Harbour Hardware, what: hinges, cost: 12.00}}
  - {{on: {again_cost}, from: Harbour Hardware, what: knobs, cost: 15.00}}
sold:
  - {{on: 2023-11-10, price: 300.00, returned: {{on: {back}, refund: 300.00}}}}
  - {{on: {again}, price: 280.00}}
"""


def test_a_piece_that_came_back_and_sold_again_in_the_year_after(shop: ShopWriter) -> None:
    text = BACK_AND_AGAIN.format(back="2024-02-01", again_cost="2024-02-10", again="2024-12-05")
    books = under(piece(shop, "chest", text), "us").books()
    # 2023: cost 80.00 + 12.00 = 92.00; 300.00 - 92.00 = 208.00.
    assert said(books, 2023) == {
        "1": "300.00", "3": "300.00", "4": "92.00", "5": "208.00", "7": "208.00", "29": "208.00", "31": "208.00",
        "36": "80.00", "38": "12.00", "40": "92.00", "42": "92.00",
    }  # fmt: skip
    # 2024: 92.00 came back into stock and 92.00 + 15.00 = 107.00 left it: 15.00. 280.00 - 300.00 - 15.00 = -35.00.
    assert said(books, 2024) == {
        "1": "280.00", "2": "300.00", "3": "-20.00", "4": "15.00", "5": "-35.00", "7": "-35.00", "29": "-35.00",
        "31": "-35.00", "38": "15.00", "40": "15.00", "42": "15.00",
    }  # fmt: skip


def test_a_piece_sold_come_back_and_sold_again_in_three_years(shop: ShopWriter) -> None:
    text = BACK_AND_AGAIN.format(back="2024-02-01", again_cost="2024-02-10", again="2025-03-05")
    books = under(piece(shop, "chest", text), "us").books()
    # 2024: 0 + 15.00 - 107.00 in hand = -92.00, what was taken as a cost in 2023; -300.00 + 92.00 = -208.00.
    assert said(books, 2024) == {
        "2": "300.00", "3": "-300.00", "4": "-92.00", "5": "-208.00", "7": "-208.00", "29": "-208.00", "31": "-208.00",
        "38": "15.00", "40": "15.00", "41": "107.00", "42": "-92.00",
    }  # fmt: skip
    # 2025: 280.00 - 107.00 = 173.00. Over the years 208.00 - 208.00 + 173.00 = 280.00 - 107.00.
    assert said(books, 2025) == {
        "1": "280.00", "3": "280.00", "4": "107.00", "5": "173.00", "7": "173.00", "29": "173.00", "31": "173.00",
        "35": "107.00", "40": "107.00", "42": "107.00",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("back", "cost_of_goods", "in_hand"),
    [("2023-12-31", None, "92.00"), ("2024-01-01", "92.00", None)],
    ids=["came back on the last day", "came back on the first day after"],
)
def test_a_sale_that_was_returned_by_the_years_end_takes_no_cost(
    shop: ShopWriter, back: str, cost_of_goods: str | None, in_hand: str | None
) -> None:
    text = BACK_AND_AGAIN.format(back=back, again_cost="2024-02-10", again="2024-12-05")
    lines = said(under(piece(shop, "chest", text), "us").books(), 2023)
    assert (lines.get("42"), lines.get("41")) == (cost_of_goods, in_hand)
    assert lines["1"] == "300.00"


@pytest.mark.parametrize(
    ("fees", "line_10"),
    [("", "36.00"), (", fees: 0", None), (", fees: 20.00", "20.00")],
    ids=["stay", "came back", "as taken"],
)
def test_the_fees_of_a_returned_sale_stay_unless_they_came_back(
    shop: ShopWriter, fees: str, line_10: str | None
) -> None:
    # The hall takes 12% of 300.00 = 36.00.
    text = (
        "found: {on: 2025-03-01, from: Mill Road, cost: 80.00}\n"
        f"sold: {{on: 2025-05-01, price: 300.00, at: antiques hall{fees}, returned: {{on: 2025-05-09, refund: 300.00}}}}\n"
    )
    assert said(under(piece(shop, "chest", text), "us").books(), 2025).get("10") == line_10


def test_under_uk_rules_a_refund_comes_off_the_turnover(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2025-05-01, from: Mill Road, cost: 70.00}\n"
        "sold: {on: 2025-06-20, price: 250.00, allowed: {on: 2025-07-15, refund: 30.00}}\n"
    )
    # 250.00 - 30.00 = 220.00; less 70.00 = 150.00.
    assert said(under(piece(shop, "table", text), "uk").books(), 2025) == {
        "9": "220.00", "11": "70.00", "20": "70.00", "21": "150.00",
    }  # fmt: skip
