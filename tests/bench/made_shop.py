"""An invented shop of any size for measuring: 20 steps and 6 receipts to a piece, no pictures."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

FIRST_DAY = date(2025, 1, 6)
PRODUCTS = ("fig blue paint", "satin clear coat", "dewaxed shellac", "paste wax", "bonding primer")
KINDS = ("workstand", "chest of drawers", "side table", "blanket chest", "bookcase")


def make_shop(root: Path, pieces: int) -> None:
    """Write a shop of `pieces` pieces at `root`; the same number gives the same bytes."""
    (root / "receipts").mkdir(parents=True)
    (root / "shop.yaml").write_text(
        "shop: Quillback Lane Refinishing\nplace: Port Ellery\ncurrency: USD\n"
        "outlets:\n  porch sale: {}\n  web marketplace: {takes: 9% + 0.40}\n"
    )
    for number in range(pieces):
        folder = root / "pieces" / f"piece-{number:05}"
        folder.mkdir(parents=True)
        (folder / "piece.yaml").write_text(piece_text(number))
    # A quart of each product serves eight pieces.
    for lot in range(0, pieces, 8):
        (root / "receipts" / f"shelf-{lot:05}.yaml").write_text(shelf_text(lot))


def day_of(number: int) -> date:
    """The day a piece was found: twelve pieces to a week, over as many years as it takes."""
    return FIRST_DAY + timedelta(days=number * 7 // 12)


def shelf_text(number: int) -> str:
    """A receipt for the shelf, on the day that the first of its eight pieces was found."""
    lines = "\n".join(
        f"    - {{what: {product}, size: 1 quart, cost: {18 + place}.50, for: shelf, container: can}}"
        for place, product in enumerate(PRODUCTS)
    )
    return f"- on: {day_of(number)}\n  from: Harbour Hardware\n  lines:\n{lines}\n  tax: 6.15\n  total: 108.65\n"


def piece_text(number: int) -> str:
    """One piece.yaml, of the size and kind of a real log."""
    found = day_of(number)
    kind = KINDS[number % len(KINDS)]
    receipts = "\n".join(_receipt(found + timedelta(days=place)) for place in range(6))
    steps = "\n".join(_step(found + timedelta(days=1 + place), place, number) for place in range(20))
    sold = (
        f"sold:\n  on: {found + timedelta(days=60)}\n  price: 380.00\n  at: web marketplace\n  delivery: 25.00\n"
        f"  payments: [{{on: {found + timedelta(days=50)}, amount: 80.00}}, {{on: {found + timedelta(days=60)}, amount: 325.00}}]\n"
        if number % 3
        else ""
    )
    return f"""\
piece: Oak {kind} number {number}
kind: {kind}
size: 34 x 19 x 30 1/2 in
wood: oak, oak veneer on the drawers
built: about 1935
tell: |
  It stood in a porch for twenty years and the top had gone grey.

  The drawers still ran, and the dovetails were sound.
flaws:
  - Sand-through on the lower rail, painted over.
seen to: [lead paint, tip-over]
found:
  on: {found}
  from: Mill Road estate sale
  cost: 40.00
  tax: 2.40
bought:
{receipts}
log:
{steps}
trips:
  - {{on: {found}, miles: 22, to: Mill Road, why: collect the piece}}
asking:
  - {{on: {found + timedelta(days=30)}, price: 425}}
{sold}"""


def _receipt(day: date) -> str:
    return (
        f"  - on: {day}\n    from: Harbour Hardware\n    lines:\n"
        "      - {what: brass cup hook, count: 6, each: 6.99}\n      - {what: wood screws, cost: 3.49}\n"
        "    discount: 5.00\n    tax: 2.43\n    total: 42.86"
    )


def _step(day: date, place: int, number: int) -> str:
    if place % 4 == 0:
        return f"  - {day} 40 min washed with dish soap, rinsed and towelled dry"
    if place % 4 == 3:
        product = PRODUCTS[(number + place) % len(PRODUCTS)]
        return (
            f"  - on: {day}\n    did: brushed on a thin coat and laid it off with the grain\n"
            f"    used: [1/2 fl oz {product}]\n    took: 1 h 15 min\n    dries: 4 h"
        )
    return (
        f"  - on: {day}\n    did: sanded the top and sides, worked the corners by hand\n"
        "    grit: 80, 120, 180\n    took: 1 h 50 min"
    )
