"""An invented shop whose tax year 2025 is sealed, with a fact of every kind that a figure rests on."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from shop_writer import ShopWriter

from flipbook.books.seal import seal_of
from flipbook.shop.problems import Problem
from flipbook.shop.records.sealed import YearRecord
from flipbook.shop.sealing import write_record

SEALED_ON = date(2026, 2, 3)
FILES = {
    "shop.yaml": """\
shop: Quillback Lane Refinishing
currency: USD
tax: {rules: us}
costing: first in first out
outlets:
  porch sale: {}
  antiques hall: {takes: 12%}
""",
    "receipts/2024.yaml": """\
- {on: 2024-11-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 24.00, for: shelf, container: can}
- {on: 2024-11-09, from: Harbour Hardware, what: sandpaper, size: 10 sheets, cost: 10.00, for: shelf}
""",
    "receipts/2025.yaml": """\
receipts:
  - {on: 2025-01-18, from: Harbour Hardware, what: dust masks, cost: 23.31, for: supplies}
  - {on: 2025-02-08, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 32.00, for: shelf, container: can}
  - on: 2025-03-03
    from: Harbour Hardware
    lines:
      - {what: glides, count: 4, each: 1.25, for: {oak-stool: 1, pine-chest: 3}}
      - {what: rent of a stall, cost: 75.00, for: rent}
    total: 80.00
income:
  - {on: 2025-08-02, from: A class, what: a class in French polish, amount: 45.00, for: other}
""",
    "receipts/2026.yaml": "- {on: 2026-01-20, from: Harbour Hardware, what: brushes, cost: 9.00, for: supplies}\n",
    "tools.yaml": "tools: [{tool: sander, on: 2025-01-11, from: Harbour Hardware, cost: 129.00, write off: at once}]\n",
    "trips.yaml": "trips: [{on: 2025-03-03, miles: 14, to: supply house, why: paint}]\n",
    "pieces/oak-stool/piece.yaml": """\
piece: Oak stool
found: {on: 2024-12-01, from: Mill Road, cost: 10.00}
log:
  - {on: 2024-12-14, did: sanded, used: [2 sheets sandpaper]}
  - {on: 2025-01-25, did: first coat, used: [1/4 can fig blue paint]}
sold:
  on: 2025-04-11
  price: 380.00
  at: antiques hall
  buyer: R.
""",
    "pieces/pine-chest/piece.yaml": """\
piece: Pine chest
private: a note
found: {on: 2025-05-05, from: Mill Road, cost: 60.00}
log:
  - 2025-05-06 40 min washed
  - {on: 2025-05-10, did: painted, used: [1/2 can fig blue paint]}
trips:
  - {on: 2025-05-05, miles: 22, to: Mill Road, why: collect the stool}
""",
    "pieces/elm-bench/piece.yaml": """\
piece: Elm bench
found: {on: 2025-06-05, from: Mill Road, cost: 15.00}
scrapped: {on: 2025-09-01, why: worm}
""",
    "pieces/ash-rack/piece.yaml": """\
piece: Ash rack
found: {on: 2024-10-05, from: Mill Road, cost: 7.00}
sold:
  - {on: 2025-06-01, price: 55.00, at: porch sale, returned: {on: 2025-07-01, refund: 50.00}}
  - {on: 2026-01-09, price: 65.00, at: porch sale}
""",
}


def sealed(shop: ShopWriter, year: int = 2025) -> ShopWriter:
    """The invented shop with one of its years sealed."""
    shop.write(FILES)
    seal_again(shop, year)
    return shop


def seal_again(shop: ShopWriter, year: int = 2025, sealed_on: date = SEALED_ON) -> Path:
    """Seal a year of a shop as it stands."""
    books = shop.books()
    in_year = next(y for y in books.years if y.year.name == year)
    record = YearRecord(year=year, seal=seal_of(books, in_year, sealed_on))
    return write_record(shop.root, record)


def edited(shop: ShopWriter, file: str, old: str, new: str) -> list[Problem]:
    """What check says after one change to a file, in which `old` stands once."""
    path = shop.root / file
    text = path.read_text("utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
    path.write_text(text.replace(old, new), "utf-8", newline="\n")
    return shop.problems()
