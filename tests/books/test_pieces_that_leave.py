"""How the cost of a piece goes through the form: sold, kept, given, scrapped, and what is laid out later.

Sources: a piece taken home leaves line 36 at cost, IRS Publication 334, chapter 6; an own piece comes in at the
lesser of cost and worth, IRS Publication 551 and Treas. Reg. 1.165-9(b), from memory. Scrapped stock as a cost of
goods sold is common practice, no source.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import piece, said, under

STOCKED = """\
found: {on: 2024-05-01, from: Mill Road, cost: 40.00, tax: 2.40}
bought:
  - {on: 2024-06-01, from: Harbour Hardware, what: casters, cost: 10.00}
"""
LATER = "  - {on: 2025-04-01, from: Harbour Hardware, what: glass, cost: 5.00}\n"
IN_HAND_2024 = {"36": "42.40", "38": "10.00", "40": "52.40", "41": "52.40"}  # 40.00 + 2.40; 42.40 + 10.00


def test_a_cost_after_the_sale_is_of_the_year_in_which_it_is_paid_or_used(shop: ShopWriter) -> None:
    text = (
        "found: {on: 2024-05-01, from: Mill Road, cost: 50.00}\n"
        "bought: [{on: 2025-01-15, from: Harbour Hardware, what: casters, cost: 8.00}]\n"
        "log: [{on: 2025-01-20, did: touched up, used: [4 fl oz brown wax]}]\nsold: {on: 2024-12-20, price: 200.00}\n"
    )
    piece(shop, "chair", text)
    shop.receipts("- {on: 2024-06-01, from: Mill Paints, what: brown wax, size: 10 fl oz, cost: 10.00, for: shelf}\n")
    books = under(shop, "us").books()
    # 2024: 200.00 - 50.00 = 150.00; the wax, 10.00, is in hand.
    assert said(books, 2024) == {
        "1": "200.00", "3": "200.00", "4": "50.00", "5": "150.00", "7": "150.00", "29": "150.00", "31": "150.00",
        "36": "50.00", "38": "10.00", "40": "60.00", "41": "10.00", "42": "50.00",
    }  # fmt: skip
    # 2025: casters 8.00 and 4 of 10 fl oz of a 10.00 lot, 4.00, = 12.00; 10.00 - 4.00 = 6.00 is left.
    assert said(books, 2025) == {
        "4": "12.00", "5": "-12.00", "7": "-12.00", "29": "-12.00", "31": "-12.00",
        "35": "10.00", "38": "8.00", "40": "18.00", "41": "6.00", "42": "12.00",
    }  # fmt: skip


@pytest.mark.parametrize("ending", ["kept: {on: 2025-03-01}", "given: {on: 2025-03-01, to: a school}"])
def test_a_piece_kept_or_given_leaves_at_its_cost_and_is_no_sale(shop: ShopWriter, ending: str) -> None:
    books = under(piece(shop, "mirror", f"{STOCKED}{LATER}{ending}\n"), "us").books()
    assert said(books, 2024) == IN_HAND_2024
    # 36: -42.40. 38: the glass 5.00, less the casters 10.00 and the glass 5.00, = -10.00. 52.40 - 42.40 - 10.00 = 0.00.
    assert said(books, 2025) == {"35": "52.40", "36": "-42.40", "38": "-10.00"}


def test_a_later_cost_of_a_kept_piece_comes_out_of_its_own_year_again(shop: ShopWriter) -> None:
    books = under(piece(shop, "mirror", f"{STOCKED}{LATER}kept: {{on: 2024-12-31}}\n"), "us").books()
    # 2024: bought and withdrawn, 42.40 - 42.40 and 10.00 - 10.00. 2025: 5.00 - 5.00.
    assert said(books, 2024) == {}
    assert said(books, 2025) == {}
    assert f"{books.sheets[0].cost}" == "57.40"


def test_a_kept_piece_under_plain_and_uk_rules(shop: ShopWriter) -> None:
    piece(shop, "mirror", f"{STOCKED}{LATER}kept: {{on: 2025-05-01}}\n")
    plain = said(under(shop, "plain").books(), 2025)
    assert plain == {"opening stock": "52.40", "found": "-42.40", "material and shelf": "-10.00"}
    # The glass is paid on 1 April 2025, in the year of 6 April 2024; in hand then 57.40, withdrawn in May.
    assert said(under(shop, "uk").books(), 2024) == {}
    assert said(under(shop, "uk").books(), 2025) == {}


def test_a_scrapped_piece_is_a_cost_of_its_year_and_so_is_what_it_costs_later(shop: ShopWriter) -> None:
    books = under(piece(shop, "wardrobe", f"{STOCKED}{LATER}scrapped: {{on: 2024-12-31, why: worm}}\n"), "us").books()
    assert said(books, 2024) == {
        "4": "52.40", "5": "-52.40", "7": "-52.40", "29": "-52.40", "31": "-52.40",
        "36": "42.40", "38": "10.00", "40": "52.40", "42": "52.40",
    }  # fmt: skip
    assert said(books, 2025) == {
        "4": "5.00", "5": "-5.00", "7": "-5.00", "29": "-5.00", "31": "-5.00", "38": "5.00", "40": "5.00", "42": "5.00",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("cost", "worth", "basis"), [("120.00", "60.00", "60.00"), ("30.00", "90.00", "30.00"), ("45.00", "45.00", "45.00")]
)
def test_an_own_piece_comes_in_at_the_lesser_of_cost_and_worth(
    shop: ShopWriter, cost: str, worth: str, basis: str
) -> None:
    text = (
        f"found: {{on: 2025-02-01, own: {{cost: {cost}, worth: {worth}}}}}\nsold: {{on: 2025-03-01, price: 100.00}}\n"
    )
    books = under(piece(shop, "dresser", text), "us").books()
    lines = said(books, 2025)
    assert (lines["36"], lines["42"]) == (basis, basis)
    assert [row.kind for row in books.ledger] == ["sale"], "no money moved when it came"
    assert books.years[0].no_receipt == ()


@pytest.mark.parametrize(
    ("shares", "left", "right", "reckoned"),
    [
        ("left: 1, right: 1", "28.09", "28.09", "53.00 + 3.18 = 56.18, halved"),
        ("left: 2, right: 1", "37.45", "18.73", "37.4533 and 18.7266: the cent goes to the larger remainder"),
        ("left: 1, right: 3", "14.05", "42.13", "14.045 and 42.135: of two like remainders the earlier has the cent"),
    ],
)
def test_a_set_bought_as_one_lot_is_taken_piece_by_piece(
    shop: ShopWriter, shares: str, left: str, right: str, reckoned: str
) -> None:
    for folder, ending in (("left", "sold: {on: 2025-06-01, price: 100.00}\n"), ("right", "")):
        piece(shop, folder, f"kind: nightstand\n{ending}")
    shop.receipts(
        f"- {{on: 2025-02-01, from: Hill auction, what: nightstands, cost: 53.00, tax: 3.18, for: {{{shares}}}, as: found}}\n"
    )
    lines = said(under(shop, "us").books(), 2025)
    assert (lines["36"], lines["42"], lines["41"]) == ("56.18", left, right), reckoned


def test_work_on_a_customers_own_piece_is_a_sale_and_its_materials_a_cost(shop: ShopWriter) -> None:
    text = (
        "customer: yes\nbought: [{on: 2024-12-10, from: Mill Paints, what: varnish, cost: 22.00}]\n"
        "sold: {on: 2025-01-20, price: 180.00, buyer: B.}\n"
    )
    books = under(piece(shop, "heirloom", text), "us").books()
    # No found cost of ours; the varnish alone is in hand at the year's end. 180.00 - 22.00 = 158.00.
    assert said(books, 2024) == {"38": "22.00", "40": "22.00", "41": "22.00"}
    assert said(books, 2025) == {
        "1": "180.00", "3": "180.00", "4": "22.00", "5": "158.00", "7": "158.00", "29": "158.00", "31": "158.00",
        "35": "22.00", "40": "22.00", "42": "22.00",
    }  # fmt: skip


def test_income_logged_for_a_customers_piece_is_line_1_and_other_income_line_6(shop: ShopWriter) -> None:
    piece(shop, "heirloom", "customer: yes\n")
    shop.receipts(
        "income:\n  - {on: 2025-03-01, from: B., what: french polish, amount: 90.00, for: heirloom}\n"
        "  - {on: 2025-04-01, from: the guild, what: a class taught, amount: 75.00, for: other}\n"
    )
    # 90.00 is a taking of the piece; 75.00 is other income; 90.00 + 75.00 = 165.00.
    assert said(under(shop, "us").books(), 2025) == {
        "1": "90.00", "3": "90.00", "5": "90.00", "6": "75.00", "7": "165.00", "29": "165.00", "31": "165.00",
    }  # fmt: skip
    # Paid on 1 March and 1 April 2025: in the UK both fall in the year of 6 April 2024.
    assert said(under(shop, "uk").books(), 2024) == {"9": "90.00", "10": "75.00", "21": "165.00"}
    assert said(under(shop, "plain").books(), 2025) == {
        "sale": "90.00", "other income": "75.00", "total income": "165.00", "gross profit": "165.00", "profit": "165.00",
    }  # fmt: skip


def test_a_customer_s_piece_leaves_on_the_day_of_its_first_fee(shop: ShopWriter) -> None:
    """No sale says so: its materials are cost of goods from the first fee on, and in stock until then."""
    text = (
        "customer: yes\nbought:\n"
        "  - {on: 2024-12-01, from: Harbour Hardware, what: cane, cost: 20.00}\n"
        "  - {on: 2026-01-15, from: Harbour Hardware, what: pegs, cost: 6.00}\n"
    )
    shop.receipts(
        "income:\n  - {on: 2025-06-01, from: R., what: caning, amount: 150.00, for: chair}\n"
        "  - {on: 2026-02-01, from: R., what: pegging, amount: 40.00, for: chair}\n"
    )
    books = under(piece(shop, "chair", text), "us").books()
    # 2024: 20.00 bought and in hand. 2025: it opens at 20.00 and leaves with the fee. 2026: 6.00 laid out when it was gone.
    assert [(y.year.name, f"{y.stock.closing}") for y in books.years] == [
        (2024, "20.00"),
        (2025, "0.00"),
        (2026, "0.00"),
    ]
    assert [said(books, y).get("42", "0.00") for y in (2024, 2025, 2026)] == ["0.00", "20.00", "6.00"]
    assert [said(books, y).get("31", "0.00") for y in (2024, 2025, 2026)] == ["0.00", "130.00", "34.00"]
