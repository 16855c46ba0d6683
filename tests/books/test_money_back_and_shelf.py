"""Money back from sellers, counts, waste and average costing through the form of a year."""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import items, piece, said, under


@pytest.mark.parametrize(
    ("back_on", "first", "then"),
    [
        # hinges 20.00 less 5.00 back, with the piece sold for 100.00 in 2024
        ("2024-03-20", {"38": "15.00", "42": "15.00"}, {}),
        ("2025-01-20", {"38": "20.00", "42": "20.00"}, {"38": "-5.00", "42": "-5.00", "31": "5.00"}),
    ],
    ids=["in the same year", "in the year after"],
)
def test_money_back_lowers_the_cost_of_the_piece(
    shop: ShopWriter, back_on: str, first: dict[str, str], then: dict[str, str]
) -> None:
    text = (
        "found: {on: 2024-02-01, from: Mill Road, cost: 0}\nbought:\n"
        "  - {on: 2024-03-01, from: Harbour Hardware, what: hinges, cost: 20.00}\n"
        f"  - {{on: {back_on}, from: Harbour Hardware, what: hinges, got back: 5.00}}\n"
        "asking: [{on: 2024-03-20, price: 120}]\nsold: {on: 2024-06-01, price: 100.00}\noffers: [{on: 2025-02-01, price: 1}]\n"
    )
    books = under(piece(shop, "box", text), "us").books()
    shown = ("38", "42", "31")
    assert {k: v for k, v in said(books, 2024).items() if k in shown} == {
        **first,
        "31": f"{100 - float(first['42']):.2f}",
    }
    assert {k: v for k, v in said(books, 2025).items() if k in shown} == then
    assert [f"{row.money_in}" for row in books.ledger if row.kind == "material" and row.money_in] == ["5.00"]


@pytest.mark.parametrize(
    ("kind", "line"), [("supplies", "22"), ("rent", "20b"), ("advertising", "8"), ("phone", "25"), ("software", "48")]
)
def test_money_back_lowers_the_expense(shop: ShopWriter, kind: str, line: str) -> None:
    shop.receipts(
        f"- {{on: 2025-02-01, from: Harbour Hardware, what: a thing, cost: 30.00, for: {kind}}}\n"
        f"- {{on: 2025-02-09, from: Harbour Hardware, what: a thing, got back: 12.50, for: {kind}}}\n"
        f"- {{on: 2026-01-09, from: Harbour Hardware, what: a thing, got back: 4.00, for: {kind}}}\n"
    )
    books = under(shop, "us").books()
    # 30.00 - 12.50 = 17.50; what comes back a year later is taken off that year's.
    assert (said(books, 2025)[line], said(books, 2025)["31"]) == ("17.50", "-17.50")
    assert (said(books, 2026)[line], said(books, 2026)["31"]) == ("-4.00", "4.00")


@pytest.mark.parametrize(
    ("got", "line_6", "other", "profit"),
    [
        ("12.00", None, {}, None),
        ("15.00", "3.00", {}, "3.00"),
        ("10.00", None, {"other": "2.00"}, "-2.00"),
        ("0", None, {"other": "12.00"}, "-12.00"),
    ],
    ids=["at cost", "a gain", "a loss", "nothing for it"],
)
def test_what_goes_back_from_the_shelf_is_of_the_newest_lot_at_its_landed_cost(
    shop: ShopWriter, got: str, line_6: str | None, other: dict[str, str], profit: str | None
) -> None:
    """Lots of 10 fl oz at 2.00 and at 3.00 an ounce; 4 fl oz of the newest cost 12.00."""
    piece(
        shop,
        "chair",
        "found: {on: 2024-01-02, from: Mill Road, cost: 0}\nlog: [{on: 2024-04-01, did: waxed, used: [12 fl oz brown wax]}]\n",
    )
    shop.receipts(
        "- {on: 2024-01-10, from: Mill Paints, what: brown wax, size: 10 fl oz, cost: 20.00, for: shelf}\n"
        "- {on: 2024-02-10, from: Mill Paints, what: brown wax, size: 10 fl oz, cost: 28.00, tax: 2.00, for: shelf}\n"
        f"- {{on: 2024-03-01, from: Mill Paints, what: brown wax, size: 4 fl oz, got back: {got}, for: shelf}}\n"
    )
    books = under(shop, "us").books()
    lines = said(books, 2024)
    # 38: 20.00 + 30.00 - 12.00 = 38.00, all in hand: on the chair 10 x 2.00 + 2 x 3.00 = 26.00, on the shelf 4 x 3.00.
    assert (lines["38"], lines["41"], lines.get("42")) == ("38.00", "38.00", None)
    assert f"{books.sheets[0].cost}" == "26.00"
    assert f"{books.shelf.products['brown wax'].value_left}" == "12.00"
    assert (lines.get("6"), items(books, 2024), lines.get("31")) == (line_6, other, profit)


def test_what_a_count_does_not_find_is_waste_and_a_cost_of_the_year(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2025-01-05, from: Mill Road, cost: 40.00}\n"
        "log: [{on: 2025-12-31, did: coated, used: [3 fl oz clear coat]}]\nsold: {on: 2025-12-31, price: 100.00}\n"
    )
    piece(shop, "chair", text)
    shop.receipts(
        "receipts: [{on: 2025-02-01, from: Mill Paints, what: clear coat, size: 12 fl oz, cost: 24.00, for: shelf}]\n"
        "counts: [{on: 2025-12-31, what: clear coat, left: 4 fl oz}]\n"
    )
    # 2.00 an ounce. After the day's use 9 fl oz are reckoned and 4 found: 5 x 2.00 = 10.00 is waste.
    # Cost of goods 40.00 + 6.00 + 10.00 = 56.00; left 4 x 2.00 = 8.00; 40.00 + 24.00 - 8.00 = 56.00 too.
    lines = said(under(shop, "us").books(), 2025)
    assert lines == {
        "1": "100.00", "3": "100.00", "4": "56.00", "5": "44.00", "7": "44.00", "29": "44.00", "31": "44.00",
        "36": "40.00", "38": "24.00", "40": "64.00", "41": "8.00", "42": "56.00",
    }  # fmt: skip


LOTS_AND_USES = """\
    day         in             out         average: cost, and what is left    first in first out
    2024-01-05  10 oz 20.00                10 oz  20.00
    2024-02-01                 4 oz        8.00;   6 oz  12.00               4 x 2.00 = 8.00
    2024-03-01  6 oz 24.00                 12 oz  36.00
    2024-03-15                 5 oz        15.00;  7 oz  21.00               5 x 2.00 = 10.00
    2025-01-10  7 oz 35.01                 14 oz  56.01
    2025-02-01                 3 oz        56.01 x 3/14 = 12.002142..;       1 x 2.00 + 2 x 4.00 = 10.00
                                           23 + that = 35.00 to the cent: 12.00
    2025-03-01                 1/3 oz      44.007857.. / 33 = 1.333571..;    1/3 x 4.00 = 1.33
                                           36.335714.. is 36.34: 1.34
"""


@pytest.mark.parametrize(
    ("costing", "first_year", "second_year", "left_2024"),
    [("average", "23.00", "13.34", "21.00"), ("first in first out", "18.00", "11.33", "26.00")],
)
def test_uses_are_costed_as_a_hand_kept_table_has_them(
    shop: ShopWriter, costing: str, first_year: str, second_year: str, left_2024: str
) -> None:
    piece(
        shop,
        "chair",
        "found: {on: 2024-01-02, from: Mill Road, cost: 0}\nlog:\n  - {on: 2024-02-01, did: coat, used: [4 fl oz wax]}\n"
        "  - {on: 2024-03-15, did: coat, used: [5 fl oz wax]}\nsold: {on: 2024-04-01, price: 50.00}\n",
    )
    piece(
        shop,
        "table",
        "found: {on: 2025-01-02, from: Mill Road, cost: 0}\nlog:\n  - {on: 2025-02-01, did: coat, used: [3 fl oz wax]}\n"
        "  - {on: 2025-03-01, did: coat, used: [1/3 fl oz wax]}\n",
    )
    lots = (("2024-01-05", "10", "20.00"), ("2024-03-01", "6", "24.00"), ("2025-01-10", "7", "35.01"))
    shop.receipts(
        "".join(
            f"- {{on: {on}, from: Mill Paints, what: wax, size: {n} fl oz, cost: {c}, for: shelf}}\n"
            for on, n, c in lots
        )
    )
    books = under(shop, "us", more=f"costing: {costing}\n").books()
    assert [f"{sheet.cost}" for sheet in books.sheets] == [first_year, second_year], LOTS_AND_USES
    # 2024: 44.00 bought, of it the chair's sold and the rest on the shelf.
    assert (said(books, 2024)["42"], said(books, 2024)["41"]) == (first_year, left_2024), LOTS_AND_USES
    # 2025: nothing sold, so that all of what was opened with and bought is in hand: left + 35.01.
    assert said(books, 2025)["41"] == f"{float(left_2024) + 35.01:.2f}"
    assert "42" not in said(books, 2025)


@pytest.mark.parametrize("costing", ["average", "first in first out"])
def test_a_shelf_with_nothing_left_is_worth_nothing(shop: ShopWriter, costing: str) -> None:
    """FORMAT.md, "The shelf": what was taken and what is left sum to the landed cost; nothing left is nothing on line 41.

    Lots at 1.00 and 9.00 an ounce. Of 20 fl oz 18 are used: at the average of 5.00 they cost 90.00 and leave 10.00;
    first in first out they cost 10.00 + 8 x 9.00 = 82.00 and leave 18.00. Then the last 2 fl oz go back for 18.00.
    """
    used = "log: [{on: 2024-06-01, did: coated, used: [18 fl oz wax]}]\n"
    piece(shop, "chair", f"found: {{on: 2024-01-02, from: Mill Road, cost: 0}}\n{used}")
    shop.receipts(
        "- {on: 2024-05-01, from: Mill Paints, what: wax, size: 10 fl oz, cost: 10.00, for: shelf}\n"
        "- {on: 2024-05-02, from: Mill Paints, what: wax, size: 10 fl oz, cost: 90.00, for: shelf}\n"
        "- {on: 2024-07-01, from: Mill Paints, what: wax, size: 2 fl oz, got back: 18.00, for: shelf}\n"
    )
    books = under(shop, "us", more=f"costing: {costing}\n").books()
    on_the_chair = {"average": "90.00", "first in first out": "82.00"}[costing]
    assert books.shelf.products["wax"].left == 0
    assert f"{books.shelf.products['wax'].value_left}" == "0.00"
    assert (f"{books.sheets[0].cost}", said(books, 2024)["41"]) == (on_the_chair, on_the_chair)


def test_a_lot_in_another_unit_than_the_first_is_used_up_at_its_own_cost(shop: ShopWriter) -> None:
    """1 quart for 20.00, then 6 fl oz, 3/16 of a quart, for 3.00: 2 fl oz of those are 3.00 x 2 / 6 = 1.00."""
    shop.receipts(
        "- {on: 2025-02-01, from: Mill Paints, what: clear coat, size: 1 quart, cost: 20.00, for: shelf}\n"
        "- {on: 2025-02-02, from: Mill Paints, what: clear coat, size: 6 fl oz, cost: 3.00, for: shelf}\n"
    )
    log = (
        "log:\n  - {on: 2025-03-01, did: first coat, used: [1 quart clear coat]}\n"
        "  - {on: 2025-03-02, did: second coat, used: [2 fl oz clear coat]}\n"
        "  - {on: 2025-03-03, did: third coat, used: [1/2 cup clear coat]}\n"
    )
    shelf = under(piece(shop, "chair", log), "us").books().shelf
    product = shelf.products["clear coat"]
    # Half a cup is 4 fl oz, all that is left of the second lot: 3.00 - 1.00.
    assert [f"{withdrawal.cost}" for withdrawal in shelf.withdrawals] == ["20.00", "1.00", "2.00"]
    assert (product.left, f"{product.value_left}") == (0, "0.00")


def test_what_went_back_to_its_seller_was_neither_bought_nor_used(shop: ShopWriter) -> None:
    # 10 pints bought, 4 back, 1 used, 1 not found by a count: 10 - 4 = 6 bought, 6 - 1 - 1 = 4 left.
    shop.receipts(
        "receipts:\n  - {on: 2025-02-01, from: Mill Paints, what: oil, size: 10 pints, cost: 50.00, for: shelf}\n"
        "  - {on: 2025-02-09, from: Mill Paints, what: oil, size: 4 pints, got back: 20.00, for: shelf}\n"
        "counts: [{on: 2025-12-31, what: oil, left: 4 pints}]\n"
    )
    log = "log: [{on: 2025-03-01, did: oiled, used: [1 pint oil]}]\n"
    oil = under(piece(shop, "chair", log), "us").books().shelf.products["oil"]
    assert (oil.bought, oil.used, oil.wasted, oil.left) == (6, 1, 1, 4)
