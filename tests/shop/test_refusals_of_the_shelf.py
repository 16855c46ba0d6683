"""What cannot be taken off the shelf, or put up on it (FORMAT.md, "The shelf")."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, ShopWriter

PIECE, RECEIPTS = "pieces/oak-stool/piece.yaml", "receipts/2026.yaml"

# 16 fl oz of paint by the can, 8 oz of wax by the tin, 10 sheets of sandpaper, 6 each of rags.
SHELF = """\
receipts:
  - on: 2026-02-01
    from: Harbour Hardware
    for: shelf
    lines:
      - {what: Fig blue paint, size: 16 fl oz, cost: 24.50, container: can}
      - {what: paste wax, size: 8 oz, cost: 12.00, container: tin}
      - {what: sandpaper, size: 10 sheets, cost: 9.00}
      - {what: lint-free rag, count: 6, cost: 6.00}
    total: 51.50
"""
STEP = "log:\n  - on: 2026-02-10\n    did: worked\n    used: "

REFUSED = [
    # not on the shelf: the nearest is offered, with where it was bought
    ("[1 fl oz «fig bleu paint»]", "not-on-the-shelf", "write `Fig blue paint`, bought at receipts/2026.yaml:6:9"),
    ("[2 oz «past wax»]", "not-on-the-shelf", "write `paste wax`, bought at receipts/2026.yaml:7:9"),
    ("[2 oz «shellac flakes»]", "not-on-the-shelf", "log the purchase with `for: shelf`"),
    ("1 fl oz «grey paint»", "not-on-the-shelf", "write `Fig blue paint`"),
    ("[{what: «past wax», amount: 2 oz}]", "not-on-the-shelf", "write `paste wax`"),
    # a unit of another dimension
    ("[4 oz «fig blue paint»]", "unit-of-product", "`oz` is a weight, `fl oz` a volume"),
    ("[4 fl oz «paste wax»]", "unit-of-product", "oz"),
    ("[1 each «sandpaper»]", "unit-of-product", "sheet"),
    ("[4 in «lint-free rag»]", "unit-of-product", "each"),
    ("[2 sheets «fig blue paint»]", "unit-of-product", "fl oz"),
    # a container that it was not bought by
    ("[1/4 tube «fig blue paint»]", "no-such-container", "write `1/4 can`"),
    ("[half a can «paste wax»]", "no-such-container", "write `1/2 tin`"),
    ("[1 box «lint-free rag»]", "no-such-container", "`1 each`"),
    # more than is left
    ("[17 fl oz «fig blue paint»]", "over-what-is-left", "`rest`"),
    ("[1 1/4 cans «fig blue paint»]", "over-what-is-left", "`rest`"),
    ("[11 sheets «sandpaper»]", "over-what-is-left", "`rest`"),
    ("[16 fl oz fig blue paint, 0.001 ml «fig blue paint»]", "over-what-is-left", "`rest`"),
    ("[rest paste wax, rest «paste wax»]", "nothing-left", "take the use out"),
    ("[rest paste wax, 1/4 tin «paste wax»]", "over-what-is-left", "what was bought"),
]  # fmt: skip


@pytest.mark.parametrize(("marked", "name", "hint"), REFUSED)
def test_what_cannot_be_taken_off_the_shelf_is_told_at_the_use(
    shop: ShopWriter, marked: str, name: str, hint: str
) -> None:
    text, expected = unmarked(GOOD_PIECE + STEP + marked + "\n")
    problems = shop.receipts(SHELF).write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, name, hint)


def test_a_mix_tells_the_part_that_is_not_there(shop: ShopWriter) -> None:
    mixed = "log:\n  - on: 2026-02-10\n    did: washed over\n    mix: {water: 1, «fig bleu paint»: 1, makes: 4 fl oz}\n"
    text, expected = unmarked(GOOD_PIECE + mixed)
    problems = shop.receipts(SHELF).write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, "not-on-the-shelf", "write `Fig blue paint`")


def test_a_mix_of_more_than_is_left_tells_how_much_is_left(shop: ShopWriter) -> None:
    mixed = (
        "log:\n  - on: 2026-02-10\n    did: washed over\n    mix: {«fig blue paint»: 1, water: 2, makes: 51 fl oz}\n"
    )
    text, expected = unmarked(GOOD_PIECE + mixed)
    problems = shop.receipts(SHELF).write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, "over-what-is-left", "`rest`")
    assert "17 fl oz" in problems[0].says
    assert problems[0].label == "only 16 fl oz left"


@pytest.mark.parametrize(("day", "good"), [("2026-01-31", False), ("2026-02-01", True)])
def test_a_use_before_the_purchase_is_refused_and_one_on_its_day_is_in_order(
    shop: ShopWriter, day: str, good: bool
) -> None:
    step = f"log:\n  - on: {day}\n    did: waxed\n    used: [1 oz «paste wax»]\n"
    text, expected = unmarked(GOOD_PIECE + step)
    problems = shop.receipts(SHELF).write({PIECE: text}).problems()
    if good:
        assert problems == []
    else:
        expect_one(problems, PIECE, text, expected, "used-before-bought", "check the date")
        assert "2026-01-31" in problems[0].says
        assert "2026-02-01" in problems[0].says


def test_a_use_that_a_later_purchase_would_cover_says_to_look_at_the_dates(shop: ShopWriter) -> None:
    later = "  - {on: 2026-03-01, from: Harbour Hardware, what: paste wax, size: 8 oz, cost: 9, for: shelf}\n"
    text, expected = unmarked(GOOD_PIECE + STEP + "[9 oz «paste wax»]\n")
    problems = shop.receipts(SHELF + later).write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, "over-what-is-left", "more was bought later")


def test_the_use_that_goes_over_is_the_later_one_by_day_whatever_the_order_of_the_files(shop: ShopWriter) -> None:
    shop.receipts(SHELF).piece(STEP + "[8 oz paste wax]\n", folder="a-late-chest")
    shop.piece(STEP.replace("02-10", "02-09") + "[1 oz paste wax]\n", folder="z-early-chair")
    assert [(p.place.file, p.place.line, p.place.column) for p in shop.problems()] == [
        ("pieces/a-late-chest/piece.yaml", 6, 17)
    ]


COUNTS = [
    ("left: «16.5 fl oz»", "counted-too-much", "a purchase that was not logged"),
    ("left: «2 pints»", "counted-too-much", "a purchase that was not logged"),
    ("left: «3 oz»", "unit-of-product", "`oz` is a weight, `fl oz` a volume"),
    ("left: «3 each»", "unit-of-product", "fl oz"),
]


@pytest.mark.parametrize(("marked", "name", "hint"), COUNTS)
def test_a_count_of_what_cannot_be_there_is_refused(shop: ShopWriter, marked: str, name: str, hint: str) -> None:
    counted = "counts:\n  - {on: 2026-12-31, what: fig blue paint, " + marked + "}\n"
    text, expected = unmarked(SHELF + counted)
    problems = shop.piece().receipts(text).problems()
    expect_one(problems, RECEIPTS, text, expected, name, hint)


def test_a_count_before_the_first_purchase_can_find_nothing(shop: ShopWriter) -> None:
    counted = "counts:\n  - {on: 2026-01-31, what: fig blue paint, left: «1 fl oz»}\n"
    text, expected = unmarked(SHELF + counted)
    problems = shop.piece().receipts(text).problems()
    expect_one(problems, RECEIPTS, text, expected, "counted-too-much", "a purchase that was not logged")


def test_a_count_on_a_day_comes_after_that_days_uses(shop: ShopWriter) -> None:
    shop.piece(STEP + "[6 oz paste wax]\n")
    for left, good in (("2 oz", True), ("0 oz", True), ("2.1 oz", False)):
        shop.receipts(SHELF + f"counts:\n  - {{on: 2026-02-10, what: paste wax, left: {left}}}\n")
        assert (shop.problems() == []) is good, left


def test_one_product_is_not_bought_by_volume_and_by_weight(shop: ShopWriter) -> None:
    again = "  - {on: 2026-03-01, from: Harbour Hardware, what: paste wax, size: 8 «»fl oz, cost: 9, for: shelf}\n"
    text, expected = unmarked(SHELF + again)
    (problem,) = shop.piece().receipts(text).problems()
    assert (problem.name, problem.place.line) == ("unit-of-product", expected.line)
    assert "in oz" in problem.help


def test_a_use_of_a_product_whose_one_purchase_is_refused_is_not_told_as_well(shop: ShopWriter) -> None:
    text = SHELF.replace("8 oz", "8 ozz")
    shop.receipts(text).piece(STEP + "[1 oz paste wax]\n")
    assert [(p.place.file, p.name) for p in shop.problems()] == [(RECEIPTS, "amount")]


def test_the_spelling_of_a_product_is_free_in_case_and_spacing(shop: ShopWriter) -> None:
    shop.receipts(SHELF).piece(STEP + '["1 fl oz FIG  Blue paint", 1/8 Can fig blue paint]\n')
    assert shop.problems() == []
