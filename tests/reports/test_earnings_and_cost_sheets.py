"""The private pages of what earns and of each piece's cost, with every figure reckoned in a comment."""

from __future__ import annotations

import csv
import html
import io
import re
from pathlib import Path

import pytest
from shop_writer import ShopWriter

from flipbook.compile import compile_shop

SHOP = "shop: Quillback Lane Refinishing\ncurrency: USD\ntax: {rules: us}\ntime is worth: 24.00\noutlets: {porch sale: {}}\n"
# The receipt, spread by FORMAT.md, "Landed cost": lines 41.94, 24.50 and 3.49 are 69.93, less 5.00 and 4.10 tax more, 69.03; landed
# 41.40, 24.18 and 3.45. A quarter of the pint's 24.18 is 6.045, so 6.05, and 12 of 16 fl oz are left.
WORKSTAND = """\
piece: Bow-front oak workstand
kind: workstand
found: {on: 2026-02-14, from: Mill Road estate sale, cost: 40.00}
plan: {price: 400, hours: 3 h, materials: 50}
bought:
  - on: 2026-02-15
    from: Harbour Hardware
    lines:
      - {what: brass cup hook, count: 6, each: 6.99}
      - {what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
      - {what: glue syringe, cost: 3.49, for: supplies}
    discount: 5.00
    tax: 4.10
    total: 69.03
log:
  - 2026-02-15 40 min washed with dish soap
  - {on: 2026-02-16, did: sanded the top, grit: "80, 120", took: 1 h 50 min}
  - {on: 2026-02-17, did: first wash coat, mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}, took: 1 h}
trips: [{on: 2026-02-14, miles: 22, to: Mill Road, why: collect the workstand}]
asking: [{on: 2026-03-20, price: 425}, {on: 2026-03-31, price: 395}]
offers: [{on: 2026-03-24, price: 300, from: R., answer: no}]
sold: {on: 2026-04-11, price: 380.00, at: porch sale}
"""
NIGHTSTANDS = """\
- {on: 2026-01-05, from: Cobb's barn, what: a pair of nightstands, cost: 60, for: {left: 1, right: 1}, as: found}
"""


@pytest.fixture
def books(shop: ShopWriter) -> Path:
    shop.write(
        {
            "shop.yaml": SHOP,
            "pieces/workstand/piece.yaml": WORKSTAND,
            "pieces/left/piece.yaml": "piece: Nightstand\nkind: nightstand\nsold: {on: 2026-03-01, price: 3000}\n",
            "pieces/right/piece.yaml": "piece: Nightstand\nkind: nightstand\nsold: {on: 2026-03-02, price: 2000}\n",
            "receipts/2026.yaml": NIGHTSTANDS,
        }
    )
    outcome = compile_shop(shop.root, shop.root / "out")
    assert outcome.books is not None, outcome.problems
    return shop.root / "out" / "books"


def cells(page: str) -> list[list[str]]:
    """The rows of every table on a page, their cells as texts."""
    rows = re.findall(r"<tr>(.*?)</tr>", page, re.DOTALL)
    return [[html.unescape(cell) for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row, re.DOTALL)] for row in rows]


def sums(page: str) -> dict[str, str]:
    return dict(re.findall(r"<dt>([^<]*)</dt><dd[^>]*>([^<]*)</dd>", page))


def test_a_cost_sheet_shows_every_line_and_the_profit_as_on_paper(books: Path) -> None:
    page = (books / "pieces" / "workstand.html").read_text("utf-8")
    rows = cells(page)
    # Cost 40.00 + 41.40 + 6.05 = 87.45; 22 miles at 0.725 are 15.95; 380.00 - 87.45 - 15.95 = 276.60, over 3.5 h 79.03.
    assert ["2026-02-14", "Bow-front oak workstand", "found", "40.00", "pieces/workstand/piece.yaml:3"] in rows
    assert ["2026-02-15", "brass cup hook", "receipt", "41.40", "pieces/workstand/piece.yaml:9"] in rows
    assert ["2026-02-17", "fig blue paint", "shelf", "6.05", "pieces/workstand/piece.yaml:18"] in rows
    told = sums(page)
    assert (told["Takings"], told["less fees"], told["less cost"], told["less driving"]) == (
        "380.00",
        "0.00",
        "87.45",
        "15.95",
    )
    assert (told["Profit"], told["over 3.5 h, an hour"]) == ("276.60", "79.03")


def test_a_receipt_is_shown_as_it_was_spread(books: Path) -> None:
    rows = cells((books / "pieces" / "workstand.html").read_text("utf-8"))
    assert ["brass cup hook", "41.94", "41.40", "41.40"] in rows
    assert ["fig blue paint", "24.50", "24.18", ""] in rows
    assert ["glue syringe", "3.49", "3.45", ""] in rows
    assert ["Together", "69.93", "69.03", ""] in rows


def test_a_use_is_shown_with_its_lot_and_what_was_left(books: Path) -> None:
    rows = cells((books / "pieces" / "workstand.html").read_text("utf-8"))
    use = next(row for row in rows if row[1:2] == ["fig blue paint"] and len(row) == 7)
    assert use == [
        "2026-02-17", "fig blue paint", "1/4 pint", "6.05", "3/4 pint",
        "pieces/workstand/piece.yaml:10", "pieces/workstand/piece.yaml:18",
    ]  # fmt: skip


def test_hours_stand_by_the_stage_of_the_work(books: Path) -> None:
    rows = cells((books / "pieces" / "workstand.html").read_text("utf-8"))
    assert ["cleaning", "40 min", "0.6667"] in rows
    assert ["sanding", "1 h 50 min", "1.8333"] in rows
    assert ["colour", "1 h", "1"] in rows
    assert ["Together", "3 h 30 min", "3.5"] in rows


def test_what_was_reckoned_stands_beside_what_came(books: Path) -> None:
    rows = cells((books / "pieces" / "workstand.html").read_text("utf-8"))
    assert ["Price", "400.00", "380.00", "−20.00"] in rows
    assert ["Hours", "3", "3.5", "+0.50"] in rows
    # 41.40 + 6.05 = 47.45, 2.55 under the 50.00 reckoned with.
    assert ["Materials", "50.00", "47.45", "−2.55"] in rows


def test_prices_and_offers_stand_in_order_of_time(books: Path) -> None:
    page = (books / "pieces" / "workstand.html").read_text("utf-8")
    told = [row[:3] for row in cells(page) if len(row) == 4 and row[1] in ("asked", "offered", "sold")]
    assert told == [
        ["2026-03-20", "asked", "425.00"], ["2026-03-24", "offered", "300.00"], ["2026-03-31", "asked", "395.00"],
        ["2026-04-11", "sold", "380.00"],
    ]  # fmt: skip
    assert page.count('<circle class="mark"') == 1
    assert page.count('<circle class="mark taken"') == 1
    assert "offered $300.00, no" in page


def test_every_figure_of_the_csv_is_on_the_page_of_earnings(books: Path) -> None:
    page = cells((books / "earnings.html").read_text("utf-8"))
    table = list(csv.reader(io.StringIO((books / "earnings.csv").read_bytes().decode(), newline="")))
    assert len(table) > 10
    for row in table[1:]:
        assert row in page


def test_pieces_bought_together_came_from_the_receipts_seller(books: Path) -> None:
    table = csv.DictReader(io.StringIO((books / "earnings.csv").read_bytes().decode(), newline=""))
    found = {row["name"]: row["pieces"] for row in table if row["by"] == "place found"}
    assert found == {"Cobb's barn": "2", "Mill Road estate sale": "1"}


def test_what_to_put_by_of_each_sale_sums_to_the_estimate(books: Path) -> None:
    # Income 5,380.00; cost of goods sold 60.00 + 87.45; supplies 3.45 and driving 15.95: the profit is 5,213.15.
    # x 0.9235 = 4,814.344… net earnings (Schedule SE, line 4a); x 12.4% = 596.98 and x 2.9% = 139.62, in all 736.60.
    # Spread by price: x 3000/5380 = 410.743, x 2000/5380 = 273.829, x 380/5380 = 52.027; the cent left goes to .829.
    rows = cells((books / "earnings.html").read_text("utf-8"))
    assert [row[-1] for row in rows if len(row) == 5 and row[0].startswith("2026")] == ["410.74", "273.83", "52.03"]
    page = (books / "earnings.html").read_text("utf-8")
    assert "$736.60" in page
    assert "not tax advice" in page


def test_a_shop_that_sold_nothing_has_its_pages(shop: ShopWriter) -> None:
    shop.piece()
    assert compile_shop(shop.root, shop.root / "out").books is not None
    books = shop.root / "out" / "books"
    assert "<svg" not in (books / "earnings.html").read_text("utf-8")
    page = (books / "pieces" / "oak-stool.html").read_text("utf-8")
    assert sums(page)["So far"] == "-10.00"
    assert "cannot be known" in page


def test_hostile_words_are_words_on_the_private_pages(shop: ShopWriter) -> None:
    hostile = "<script>alert(1)</script> {{ shop }}"
    piece = (
        f"piece: '{hostile}'\nkind: '{hostile}'\nfound: {{on: 2026-01-01, from: '{hostile}', cost: 1}}\n"
        f"log: [{{on: 2026-01-02, did: '{hostile}', took: 1 h}}]\nasking: [{{on: 2026-01-03, price: 9}}]\n"
        f"offers: [{{on: 2026-01-03, price: 5, from: '{hostile}'}}]\nsold: {{on: 2026-01-04, price: 8, buyer: '{hostile}'}}\n"
    )
    shop.write({"pieces/odd/piece.yaml": piece})
    assert compile_shop(shop.root, shop.root / "out").books is not None
    for page in (
        (shop.root / "out" / "books" / name).read_text("utf-8") for name in ("pieces/odd.html", "earnings.html")
    ):
        assert "<script>alert" not in page
        assert "&lt;script&gt;alert(1)&lt;/script&gt; {{ shop }}" in page
