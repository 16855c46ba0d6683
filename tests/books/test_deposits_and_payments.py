"""Money from buyers is income on the day it is paid; the piece's cost waits for the day of the sale.

Sources: for payment on its day, Treas. Reg. 1.451-2 (constructive receipt), from memory; for the cost,
Treas. Reg. 1.471-1(b)(4), from memory, as FORMAT.md, "Asking, offers and deposits", has it.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import errors, piece, said, under

FOUND = "found: {on: 2024-11-05, from: Mill Road, cost: 60.00}\n"


@pytest.fixture
def held(shop: ShopWriter) -> ShopWriter:
    """A deposit in December, the rest and the pick-up in January."""
    return piece(
        shop,
        "workstand",
        FOUND + "deposits: [{on: 2024-12-20, amount: 80.00, from: R.}]\n"
        "sold: {on: 2025-01-10, price: 300.00, payments: [{on: 2025-01-10, amount: 220.00}]}\n",
    )


def test_a_deposit_in_december_is_income_now_and_the_cost_is_next_years(held: ShopWriter) -> None:
    books = under(held, "us").books()
    # 2024: line 1 is the deposit. The piece is in hand: 60.00 bought less 60.00 left is no cost.
    assert said(books, 2024) == {
        "1": "80.00", "3": "80.00", "5": "80.00", "7": "80.00", "29": "80.00", "31": "80.00",
        "36": "60.00", "40": "60.00", "41": "60.00",
    }  # fmt: skip
    # 2025: 300.00 - 80.00 = 220.00, less the 60.00 that was in hand = 160.00.
    assert said(books, 2025) == {
        "1": "220.00", "3": "220.00", "4": "60.00", "5": "160.00", "7": "160.00", "29": "160.00", "31": "160.00",
        "35": "60.00", "40": "60.00", "42": "60.00",
    }  # fmt: skip


def test_the_same_deposit_under_plain_rules(held: ShopWriter) -> None:
    books = under(held, "plain").books()
    assert said(books, 2024) == {
        "sale": "80.00", "total income": "80.00", "found": "60.00", "closing stock": "-60.00",
        "gross profit": "80.00", "profit": "80.00",
    }  # fmt: skip
    assert said(books, 2025) == {
        "sale": "220.00", "total income": "220.00", "opening stock": "60.00", "cost of goods sold": "60.00",
        "gross profit": "160.00", "profit": "160.00",
    }  # fmt: skip


def test_the_same_deposit_under_uk_rules_is_all_in_one_year(held: ShopWriter) -> None:
    # 5 November 2024 to 10 January 2025 lie in the year of 6 April 2024: 300.00 - 60.00 = 240.00.
    books = under(held, "uk").books()
    assert [year.year.name for year in books.years] == [2024]
    assert said(books, 2024) == {"9": "300.00", "11": "60.00", "20": "60.00", "21": "240.00"}


def test_a_deposit_given_back_is_income_and_then_a_refund(shop: ShopWriter) -> None:
    piece(shop, "workstand", FOUND + "deposits: [{on: 2024-12-20, amount: 50.00, back: {on: 2025-01-08}}]\n")
    books = under(shop, "us").books()
    in_hand = {"40": "60.00", "41": "60.00"}
    assert said(books, 2024) == {
        "1": "50.00", "3": "50.00", "5": "50.00", "7": "50.00", "29": "50.00", "31": "50.00", "36": "60.00", **in_hand,
    }  # fmt: skip
    assert said(books, 2025) == {
        "2": "50.00", "3": "-50.00", "5": "-50.00", "7": "-50.00", "29": "-50.00", "31": "-50.00", "35": "60.00", **in_hand,
    }  # fmt: skip
    assert f"{books.sheets[0].takings}" == "0.00"


def test_a_deposit_that_no_sale_has_taken_up_is_income(shop: ShopWriter) -> None:
    books = under(piece(shop, "workstand", FOUND + "deposits: [{on: 2024-12-20, amount: 50.00}]\n"), "us").books()
    assert said(books, 2024)["1"] == "50.00"


@pytest.mark.parametrize(
    ("charged", "deposit", "rest", "first", "then", "reckoned"),
    [
        # price, delivery, sales tax; deposit in 2024; the rest in 2025; line 1 of 2024 and of 2025
        (("100.00", "0", "6.00"), "90.00", "16.00", "90.00", "10.00", "the tax is 6.00 of the last 16.00"),
        (
            ("100.00", "20.00", "6.00"),
            "120.00",
            "6.00",
            "120.00",
            "0",
            "all of the last is tax; delivery is income too",
        ),
        (("100.00", "0", "6.00"), "103.00", "3.00", "100.00", "0", "3.00 of the tax is in the last, 3.00 before it"),
        (("100.00", "20.00", "6.00"), "110.00", "16.00", "110.00", "10.00", "16.00 - 6.00 tax = 10.00"),
    ],
)
def test_sales_tax_is_taken_out_of_the_last_payment_first(
    shop: ShopWriter, charged: tuple[str, str, str], deposit: str, rest: str, first: str, then: str, reckoned: str
) -> None:
    price, delivery, tax = charged
    text = (
        f"deposits: [{{on: 2024-12-20, amount: {deposit}}}]\nsold:\n  on: 2025-01-10\n  price: {price}\n"
        f"  delivery: {delivery}\n  sales tax: {tax}\n  payments: [{{on: 2025-01-10, amount: {rest}}}]\n"
    )
    books = under(piece(shop, "workstand", FOUND + text), "us").books()
    assert said(books, 2024).get("1", "0") == first, reckoned
    assert said(books, 2025).get("1", "0") == then, reckoned
    assert f"{books.sales_tax.collected}" == "6.00"


def test_payments_over_three_years_with_the_cost_and_the_fee_in_the_year_of_the_sale(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2023-05-01, from: Mill Road, cost: 90.00}\nsold:\n  on: 2024-06-01\n  price: 500.00\n  at: antiques hall\n"
        "  payments: [{on: 2023-12-30, amount: 100.00}, {on: 2024-06-01, amount: 150.00}, {on: 2025-01-02, amount: 250.00}]\n"
    )
    books = under(piece(shop, "workstand", text), "us").books()
    assert said(books, 2023) == {
        "1": "100.00", "3": "100.00", "5": "100.00", "7": "100.00", "29": "100.00", "31": "100.00",
        "36": "90.00", "40": "90.00", "41": "90.00",
    }  # fmt: skip
    # The hall takes 12% of 500.00 = 60.00 on the day of the sale: 150.00 - 90.00 - 60.00 = 0.00.
    assert said(books, 2024) == {
        "1": "150.00", "3": "150.00", "4": "90.00", "5": "60.00", "7": "60.00", "10": "60.00", "28": "60.00",
        "35": "90.00", "40": "90.00", "42": "90.00",
    }  # fmt: skip
    assert said(books, 2025) == dict.fromkeys(("1", "3", "5", "7", "29", "31"), "250.00")


@pytest.mark.parametrize(
    ("payment", "wanted"), [("220.00", set()), ("219.99", {"payments-disagree"}), ("220.01", {"payments-disagree"})]
)
def test_deposits_and_payments_together_come_to_what_was_charged(
    shop: ShopWriter, payment: str, wanted: set[str]
) -> None:
    text = (
        "deposits: [{on: 2024-12-20, amount: 80.00}]\n"
        f"sold: {{on: 2025-01-10, price: 300.00, payments: [{{on: 2025-01-10, amount: {payment}}}]}}\n"
    )
    assert errors(under(piece(shop, "workstand", FOUND + text), "us")) == wanted
