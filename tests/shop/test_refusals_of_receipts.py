"""What is refused in a receipt, a count, opening stock and other income (FORMAT.md, "Receipts")."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import ShopWriter

RECEIPTS = "receipts/2026.yaml"
FLAT = "- {on: 2026-01-02, from: Harbour Hardware, what: wax, cost: 9.00, for: supplies}\n"
LINED = """\
- on: 2026-01-02
  from: Harbour Hardware
  for: supplies
  lines:
    - {what: brass cup hook, count: 6, each: 6.99}
    - {what: glue syringe, cost: 3.49}
  total: 45.43
"""

REFUSED = [
    # what every receipt must say
    ("- «»{from: Harbour Hardware, what: wax, cost: 9.00, for: supplies}\n", "missing-key", "`on: …`"),
    ("- «»{on: 2026-01-02, what: wax, cost: 9.00, for: supplies}\n", "missing-key", "`from: …`"),
    ("- «»{on: 2026-01-02, from: Harbour Hardware, for: supplies}\n", "nothing-bought", "`what: …` and `cost: …`"),
    ("- «»{on: 2026-01-02, from: Harbour Hardware, what: wax, for: supplies}\n", "no-cost", "`cost: …`"),
    ("- «»{on: 2026-01-02, from: Harbour Hardware, what: wax, cost: 9.00}\n", "for-whom", "`for: supplies`"),
    ("- {on: 2026-01-02, from: Harbour Hardware, what: wax, each: «9.00», for: supplies}\n", "no-count", "`count: …`"),
    # sums that do not agree, to the cent
    (FLAT.replace("}", ", total: «9.01»}"), "total-disagrees", "against the slip"),
    (FLAT.replace("}", ", tax: 0.54, total: «9.00»}"), "total-disagrees", "against the slip"),
    (FLAT.replace("9.00", "«9.00», count: 2, each: 4.49"), "cost-disagrees", "keep `cost`, or"),
    (FLAT.replace("}", ", discount: «9.01»}"), "discount-too-large", "check the discount"),
    (LINED.replace("45.43", "«45.42»"), "total-disagrees", "against the slip"),
    (LINED.replace("45.43", "«45.43»\n  tax: 2.73"), "total-disagrees", "against the slip"),
    (LINED.replace("  total: 45.43\n", "").replace("on:", "«on»:"), "no-total", "`total: 45.43`"),
    (LINED.replace("glue syringe, cost: 3.49", "glue syringe").replace("    - {what: g", "    - «»{what: g")
     .replace("45.43", "41.94"), "no-cost", "`cost: …`"),
    # flat keys beside lines
    (LINED + "  what: «pulls»\n", "flat-and-lines", "move `what` into a line"),
    (LINED + "  cost: «45.43»\n", "flat-and-lines", "move `cost` into a line"),
    (LINED + "  container: «can»\n", "flat-and-lines", "move `container` into a line"),
    (LINED + "  got back: «2.00»\n", "flat-and-lines", "move `got back` into a line"),
    # whom it was for
    (FLAT.replace("supplies", "«oak-stol»"), "no-such-piece", "write `oak-stool`"),
    (FLAT.replace("supplies", "«suplies»"), "no-such-piece", "write `supplies`"),
    (FLAT.replace("supplies", "«nowhere at all»"), "no-such-piece", "a folder of `pieces/`, `shelf` or a kind"),
    (FLAT.replace("supplies", "{oak-stool: 2, «oak-stol»: 1}"), "no-such-piece", "write `oak-stool`"),
    (FLAT.replace("supplies", "{oak-stool: 2, «shelf»: 1}"), "share-of-a-kind", "a line of its own"),
    (FLAT.replace("supplies", "{oak-stool: «0»}"), "share", "greater than 0"),
    (FLAT.replace("supplies", "{oak-stool: «half»}"), "share", "`1/2`"),
    (FLAT.replace("supplies", "«[oak-stool, pine-chest]»"), "wrong-kind", "`for: {folder-a: 2, folder-b: 1}`"),
    (FLAT.replace("supplies", "{oak-stool: 1, «oak-stool»: 1}"), "duplicate-key", "keep one"),
    (LINED.replace("3.49}", "3.49, for: «oak-stol»}"), "no-such-piece", "write `oak-stool`"),
    (LINED.replace("for: supplies", "for: «oak-stol»"), "no-such-piece", "write `oak-stool`"),
    (FLAT.replace("}", ", as: «lost»}"), "as", "write `found`"),
    (FLAT.replace("}", ", as: «found»}"), "found-for-whom", "`for: {folder-a: 1, folder-b: 1}`"),
    # money back from a seller
    (FLAT.replace("cost: 9.00", "cost: «9.00», got back: 2.00"), "cost-and-back", "take `cost` out"),
    (FLAT.replace("cost: 9.00", "got back: 2.00, tax: «0.12»"), "cost-and-back", "the whole sum"),
    # a word with a comma inside braces
    (FLAT.replace("what: wax", "what: wax, «clear»"), "unknown-key", "quotes"),
    # the keys that a file of receipts has
    ("«receipt»:\n  " + FLAT, "unknown-key", "write `receipts`"),
    ("receipts: «{on: 2026-01-02}»\n", "wrong-kind", "`- `"),
    # counts, opening stock, other income
    ("counts: [«»{on: 2026-12-31, what: fig blue paint}]\n", "missing-key", "`left: …`"),
    ("counts: [{on: 2026-12-31, what: fig blue paint, left: «3»}]\n", "amount", "write it with one"),
    ("counts: [{on: 2026-12-31, what: «fig bleu pant», left: 3 fl oz}]\n", "not-on-the-shelf", "`for: shelf`"),
    ("opening: [«»{on: 2026-01-01, what: tack cloth}]\n", "missing-key", "`cost: …`"),
    ("opening: [{on: «2026-01-06», what: tack cloth, cost: 3}]\n", "dates-run-backwards", "no later than that day"),
    ("income: [«»{on: 2026-02-01, what: evening class}]\n", "missing-key", "`amount: …`"),
    ("income: [{on: 2026-02-01, what: class, amount: 90, for: «supplies»}]\n", "income-for", "`for: other`"),
    ("income: [{on: 2026-02-01, what: class, amount: 90, for: «oak-stol»}]\n", "no-such-piece", "write `oak-stool`"),
]  # fmt: skip


@pytest.mark.parametrize(("marked", "name", "hint"), REFUSED)
def test_what_a_receipt_cannot_say_is_refused(shop: ShopWriter, marked: str, name: str, hint: str) -> None:
    text, expected = unmarked(marked)
    shop.piece().receipts(text)
    expect_one(shop.problems(), RECEIPTS, text, expected, name, hint)


@pytest.mark.parametrize("written", [FLAT, LINED, f"receipts:\n{FLAT}{LINED}"])
def test_the_receipts_that_the_rows_above_spoil_are_good_as_they_are(shop: ShopWriter, written: str) -> None:
    assert shop.piece().receipts(written).problems() == []


@pytest.mark.parametrize(
    ("total", "label"), [("45.42", "0.01 too little"), ("45.53", "0.10 too much"), ("54.43", "9.00 too much")]
)
def test_a_total_that_disagrees_says_by_how_much(shop: ShopWriter, total: str, label: str) -> None:
    (problem,) = shop.piece().receipts(LINED.replace("45.43", total)).problems()
    assert problem.label == label
    assert "45.43" in problem.says
    assert total in problem.says


def test_a_receipt_in_a_piece_is_for_that_piece_and_may_say_otherwise(shop: ShopWriter) -> None:
    text = "bought:\n  " + FLAT.replace(", for: supplies", "") + "  " + FLAT
    books = shop.piece(text).books()
    assert [(sheet.folder, str(sheet.cost)) for sheet in books.sheets] == [("oak-stool", "19.00")]


def test_money_back_on_a_line_is_told_once_to_be_written_flat(shop: ShopWriter) -> None:
    text = LINED.replace("what: glue syringe, cost: 3.49", "what: glue syringe, got back: 3.49").replace(
        "45.43", "41.94"
    )
    problems = shop.piece().receipts(text).problems()
    assert [(p.name, p.place.line, p.place.column) for p in problems] == [("back-on-a-line", 6, 38)]
    assert "write it flat" in problems[0].help


def test_a_misspelled_piece_on_the_receipt_is_told_once_for_all_its_lines(shop: ShopWriter) -> None:
    problems = shop.piece().receipts(LINED.replace("for: supplies", "for: oak-stol")).problems()
    assert [(p.name, p.place.line) for p in problems] == [("no-such-piece", 3)]
