"""What stands on the form whatever the dealing: totals, whole dollars, years between, and what is never a cost."""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import items, piece, said, under, year_of_books

from flipbook.reports.tables import no_receipt, tax_year


def supplies(shop: ShopWriter, *paid: tuple[str, str]) -> ShopWriter:
    return shop.receipts(
        "".join(
            f"- {{on: {on}, from: Harbour Hardware, what: rags, cost: {cost}, for: supplies}}\n" for on, cost in paid
        )
    )


def test_lines_with_nothing_are_left_out_and_totals_are_not(shop: ShopWriter) -> None:
    lines = year_of_books(under(supplies(shop, ("2025-02-01", "50.00")), "us").books(), 2025).lines
    assert [(line.line, f"{line.amount}") for line in lines if line.line not in ("4", "41")] == [
        ("3", "0.00"), ("5", "0.00"), ("7", "0.00"), ("22", "50.00"), ("28", "50.00"), ("29", "-50.00"), ("31", "-50.00"),
        ("40", "0.00"), ("42", "0.00"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("paid", "amount", "whole"),
    [
        (("10.25", "10.25"), "20.50", 21),  # 10 + 10 were 20: add first, then round
        (("10.49",), "10.49", 10),
        (("10.50",), "10.50", 11),
        (("0.20", "0.20", "0.10"), "0.50", 1),
        (("0.49",), "0.49", 0),
    ],
)
def test_whole_dollars_are_rounded_half_up_after_adding(
    shop: ShopWriter, paid: tuple[str, ...], amount: str, whole: int
) -> None:
    """Instructions for Form 1040, "Rounding off to whole dollars", from memory."""
    books = under(supplies(shop, *(("2025-02-01", each) for each in paid)), "us").books()
    line = next(line for line in year_of_books(books, 2025).lines if line.line == "22")
    assert (f"{line.amount}", line.whole) == (amount, whole)


def test_whole_lines_need_not_add_up(shop: ShopWriter) -> None:
    shop.receipts(
        "- {on: 2025-02-01, from: A., what: rags, cost: 10.50, for: supplies}\n"
        "- {on: 2025-02-01, from: B., what: a room, cost: 10.50, for: rent}\n"
    )
    lines = {line.line: line.whole for line in year_of_books(under(shop, "us").books(), 2025).lines}
    assert (lines["20b"], lines["22"], lines["28"]) == (11, 11, 21)  # 10.50 + 10.50 = 21.00


def test_other_expenses_are_itemised_a_row_for_each_kind(shop: ShopWriter) -> None:
    paid = {"delivery": "1.00", "software": "2.00", "training": "4.00", "bank": "8.00", "other": "16.00"}
    shop.receipts(
        "".join(
            f"- {{on: 2025-02-01, from: A., what: a thing, cost: {cost}, for: {kind}}}\n" for kind, cost in paid.items()
        )
        + "- {on: 2025-03-01, from: A., what: a thing, cost: 0.50, for: bank}\n"
    )
    books = under(shop, "us").books()
    assert items(books, 2025) == {**paid, "bank": "8.50"}
    assert (said(books, 2025)["48"], said(books, 2025)["27b"]) == ("31.50", "31.50")


def test_a_year_without_facts_between_two_others_carries_the_stock_over(shop: ShopWriter) -> None:
    piece(
        shop, "chair", "found: {on: 2023-05-01, from: Mill Road, cost: 60.00}\nsold: {on: 2025-06-01, price: 200.00}\n"
    )
    books = under(shop, "us").books()
    assert [year.year.name for year in books.years] == [2023, 2024, 2025]
    assert said(books, 2024) == {"35": "60.00", "40": "60.00", "41": "60.00"}
    assert said(books, 2025)["42"] == "60.00"


@pytest.mark.parametrize("rules", ["us", "uk", "plain"])
def test_the_makers_own_hours_are_never_a_cost(shop: ShopWriter, rules: str) -> None:
    """IRS Schedule C, line 37: nothing paid to yourself."""
    text = "found: {on: 2025-05-01, from: Mill Road, cost: 60.00}\nsold: {on: 2025-06-01, price: 200.00}\n"
    idle = said(under(piece(shop, "chair", text), rules).books(), 2025)
    worked = f"{text}log: [{{on: 2025-05-02, did: stripped it, took: 40 h}}]\n"
    books = under(piece(shop, "chair", worked), rules, more="time is worth: 24.00\n").books()
    assert said(books, 2025) == idle
    assert (books.sheets[0].hours, f"{books.sheets[0].profit}", f"{books.sheets[0].per_hour}") == (40, "140.00", "3.50")


def test_money_spent_without_a_receipt_is_named_whatever_its_amount(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2025-01-05, from: Mill Road, cost: 40.00, tax: 2.40}\n"
        "bought:\n  - {on: 2025-01-06, from: Mill Paints, what: oil, cost: 0.01}\n"
        "  - {on: 2025-01-07, from: Mill Paints, what: wax, cost: 80.00, scan: wax.txt}\n"
        "sold: {on: 2025-03-01, price: 200.00, at: antiques hall, allowed: {on: 2025-03-09, refund: 10.00}}\n"
    )
    piece(shop, "chair", text).write({"pieces/chair/wax.txt": "wax 80.00"})
    piece(shop, "own", "found: {on: 2025-01-05, own: {cost: 20.00, worth: 30.00}}\n")
    shop.write({"tools.yaml": "tools: [{tool: sander, on: 2025-01-08, cost: 74.99, write off: at once}]\n"})
    shop.receipts(
        "receipts:\n  - {on: 2025-01-09, from: A., what: rags, cost: 75.00, for: supplies}\n"
        "opening:\n  - {on: 2025-01-05, what: brown wax, size: 1 pint, cost: 9.00}\n"
    )
    rows = no_receipt(year_of_books(under(shop, "us").books(), 2025).no_receipt, 2025, "2025").rows
    # Not the scanned wax, the hall's fee, the refund, the own piece or the opening stock.
    assert [(row[0], row[3], row[4]) for row in rows] == [
        ("2025-01-05", "chair", "42.40"), ("2025-01-06", "oil", "0.01"), ("2025-01-08", "sander", "74.99"),
        ("2025-01-09", "rags", "75.00"),
    ]  # fmt: skip


def test_the_table_of_the_year_holds_each_line_in_cents_and_whole(shop: ShopWriter) -> None:
    lines = year_of_books(under(supplies(shop, ("2025-02-01", "50.60")), "us").books(), 2025).lines
    rows = {row[1]: row for row in tax_year(lines, 2025, "2025").rows}
    assert rows["22"] == ("Schedule C", "22", "Supplies (not included in Part III)", "50.60", "51")
    assert rows["31"][3:] == ("-50.60", "-51")


def test_opening_stock_is_line_35_of_the_first_year_and_no_movement_of_money(shop: ShopWriter) -> None:
    piece(
        shop,
        "chair",
        "found: {on: 2025-02-01, from: Mill Road, cost: 5.00}\nlog: [{on: 2025-02-02, did: waxed, used: [rest brown wax]}]\n"
        "sold: {on: 2025-03-01, price: 50.00}\n",
    )
    shop.receipts("opening: [{on: 2024-12-31, what: brown wax, size: 1 pint, cost: 9.00}]\n")
    books = under(shop, "us").books()
    # Dated 31 December: the first year is 2024, with the wax in hand at its end.
    assert said(books, 2024) == {"35": "9.00", "40": "9.00", "41": "9.00"}
    assert said(books, 2025)["42"] == "14.00"
    assert [row.kind for row in books.ledger] == ["found", "sale"]


def test_the_lines_say_how_they_are_made_of_others(shop: ShopWriter) -> None:
    lines = {
        line.line: line.working
        for line in year_of_books(under(supplies(shop, ("2025-02-01", "5")), "us").books(), 2025).lines
    }
    assert (lines["3"], lines["5"], lines["7"], lines["29"], lines["31"]) == (
        "1 − 2",
        "3 − 4",
        "5 + 6",
        "7 − 28",
        "29 − 30",
    )
    assert (lines["40"], lines["42"]) == ("35 + 36 + 38", "40 − 41")
