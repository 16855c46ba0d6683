"""Sales tax passes through: on no line of the form, and in the books until it is handed over.

Source: instructions for Schedule C, line 23 (tax imposed on the buyer is neither income nor expense), as quoted
in public copies.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import piece, said, under

SOLD = "found: {on: 2024-11-01, from: Mill Road, cost: 0}\nsold: {on: 2024-12-10, price: 100.00, sales tax: 6.25}\n"
HANDED_OVER = "- {on: 2025-01-20, from: the state, what: sales tax of December, cost: 6.25, for: sales-tax}\n"


@pytest.mark.parametrize("rules", ["us", "plain", "uk"])
def test_sales_tax_is_on_no_line(shop: ShopWriter, rules: str) -> None:
    piece(shop, "chair", SOLD)
    shop.receipts(HANDED_OVER)
    books = under(shop, rules).books()
    assert set(said(books, 2024).values()) == {"100.00"}, "price alone, however many lines it runs through"
    assert [said(books, year.year.name) for year in books.years[1:]] == ([] if rules == "uk" else [{}])


@pytest.mark.parametrize(("handed", "sums"), [("", ("6.25", "0.00", "6.25")), (HANDED_OVER, ("6.25", "6.25", "0.00"))])
def test_the_books_show_what_was_collected_handed_over_and_is_owed(
    shop: ShopWriter, handed: str, sums: tuple[str, str, str]
) -> None:
    piece(shop, "chair", SOLD)
    shop.receipts(handed or "[]\n")
    tax = under(shop, "us").books().sales_tax
    assert (f"{tax.collected}", f"{tax.handed_over}", f"{tax.owed}") == sums


def test_what_the_state_gave_back_is_owed_again(shop: ShopWriter) -> None:
    piece(shop, "chair", SOLD)
    back = "- {on: 2025-02-01, from: the state, what: paid too much, got back: 1.00, for: sales-tax}\n"
    shop.receipts(HANDED_OVER + back)
    books = under(shop, "us").books()
    assert f"{books.sales_tax.owed}" == "1.00"  # 6.25 - (6.25 - 1.00)
    assert said(books, 2025) == {}


def test_the_ledger_has_the_tax_apart_from_the_price(shop: ShopWriter) -> None:
    piece(shop, "chair", SOLD)
    shop.receipts(HANDED_OVER)
    rows = [(row.kind, f"{row.money_in}", f"{row.money_out}") for row in under(shop, "us").books().ledger]
    assert rows == [("sale", "100.00", "0.00"), ("sales-tax", "6.25", "0.00"), ("sales-tax", "0.00", "6.25")]
