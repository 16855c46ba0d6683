"""What is short on the shelf: less than the plans need, or than the last uses took. Sums by hand beside them."""

from __future__ import annotations

from datetime import datetime

import pytest
from shop_writer import GOOD_SHOP, ShopWriter

from flipbook.looking.bench import look_over

NOW = datetime(2026, 3, 1, 9)
CAN = "- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 16.00, for: shelf, container: can}\n"


def short(shop: ShopWriter, now: datetime = NOW) -> list[tuple[str, str | None, str | None, tuple[str, ...]]]:
    """Every product that is short: its name, what is left, what is wanted, and whose plans want it."""
    return [
        (one.product, _text(one.left), _text(one.need), one.planned_for) for one in look_over(shop.books(), now).short
    ]


def _text(amount: object) -> str | None:
    return None if amount is None else str(amount)


def log(*uses: str, first: int = 10) -> str:
    steps = "".join(f"  - {{on: 2026-01-{first + n}, did: a coat, used: [{use}]}}\n" for n, use in enumerate(uses))
    return f"log:\n{steps}"


@pytest.mark.parametrize(
    ("uses", "left", "usual", "why"),
    [
        (["4 fl oz fig blue paint"], None, None, "12 of 16 fl oz are left, and 4 are taken at once"),
        (["12 fl oz fig blue paint"], "1/4 pint", "3/4 pint", "one use is all there is to go by"),
        (["6 fl oz fig blue paint", "6 fl oz fig blue paint"], "1/4 pint", "3/8 pint", "4 fl oz left, 6 a use"),
        (["8 fl oz fig blue paint", "4 fl oz fig blue paint"], "1/4 pint", "3/8 pint", "4 fl oz left, 6 on average"),
        (["4 fl oz fig blue paint"] * 3, None, None, "4 fl oz left, 4 a use: enough for one more"),
        (["8 fl oz fig blue paint", *["2 fl oz fig blue paint"] * 3], None, None, "2 left, and the last three took 2"),
        (["2 fl oz fig blue paint"] * 3 + ["8 fl oz fig blue paint"], "1/8 pint", "1/4 pint", "2 left, (2 + 2 + 8) / 3 = 4"),
        (["half a can fig blue paint", "rest fig blue paint"], "0 pint", "1/2 pint", "none left, and 8 fl oz a use"),
    ],
)  # fmt: skip
def test_less_than_the_last_three_uses_took_on_average(
    shop: ShopWriter, uses: list[str], left: str | None, usual: str | None, why: str
) -> None:
    shop.receipts(CAN).piece(log(*uses))
    expected = [] if left is None else [("fig blue paint", left, usual, ())]
    assert short(shop) == expected, why


@pytest.mark.parametrize(
    ("now", "is_short"),
    [
        (datetime(2026, 7, 9), True),  # 21 + 28 + 31 + 30 + 31 + 30 + 9 = 180 days since 10 January
        (datetime(2026, 7, 10), False),
        (datetime(2025, 6, 1), True),  # a clock set back takes nothing off the list
    ],
)
def test_a_product_that_nobody_has_used_for_180_days_was_given_up(
    shop: ShopWriter, now: datetime, is_short: bool
) -> None:
    shop.receipts(CAN).piece(log("rest fig blue paint"))
    assert bool(short(shop, now)) is is_short


def test_what_was_never_used_or_only_written_off_is_not_short(shop: ShopWriter) -> None:
    shop.receipts(
        "receipts:\n" + "".join(f"  {line}\n" for line in CAN.splitlines())
        + "counts: [{on: 2026-01-20, what: fig blue paint, left: 0 pint}]\n"
    ).piece()  # fmt: skip
    assert short(shop) == []


@pytest.mark.parametrize(
    ("planned", "need", "why"),
    [
        ("used: [16 fl oz fig blue paint]", None, "just enough"),
        ("used: [17 fl oz fig blue paint]", "1 1/16 pints", "one fluid ounce too little"),
        ("used: [1 quart fig blue paint]", "2 pints", "in the unit of the product"),
        ("used: [2 cans fig blue paint]", "2 pints", "a can is a pint"),
        ("mix: {fig blue paint: 1, water: 1, makes: 1 quart}", None, "half of a quart is the pint"),
        ("mix: {fig blue paint: 3, water: 1, makes: 1 quart}", "1 1/2 pints", "three quarters of a quart"),
        ("used: [rest fig blue paint]", None, "of what is left, enough is there"),
        ("used: [3 lb fig blue paint]", None, "a weight tells nothing of a volume"),
        ("used: [9 tubs fig blue paint]", None, "it never came in tubs"),
    ],
)
def test_less_than_the_plans_need(shop: ShopWriter, planned: str, need: str | None, why: str) -> None:
    shop.receipts(CAN).piece(f"planned: [{{did: a coat, {planned}}}]\n")
    expected = [] if need is None else [("fig blue paint", "1 pint", need, ("oak-stool",))]
    assert short(shop) == expected, why


def test_the_plans_of_all_pieces_in_hand_count_together(shop: ShopWriter) -> None:
    # 8 + 6 + 4 fl oz are 18 of the 16 there are; the sold piece wants none any more.
    plan = "planned: [{did: a coat, used: [%s fl oz fig blue paint]}]\n"
    shop.receipts(CAN)
    shop.piece(plan % 8, folder="a").piece(plan % 6, folder="b")
    shop.piece(plan % 4 + "asking: [{on: 2026-01-20, price: 40}]\n", folder="c")
    assert short(shop) == [("fig blue paint", "1 pint", "1 1/8 pints", ("a", "b", "c"))]
    shop.piece(plan % 4 + "sold: {on: 2026-01-20, price: 40}\n", folder="c")
    assert short(shop) == []


def test_what_a_plan_names_and_nobody_bought_is_short(shop: ShopWriter) -> None:
    shop.receipts(CAN).piece("planned: [{did: a coat, used: [4 fl oz Ink  Blue paint, 2 fl oz ink blue paint]}]\n")
    assert short(shop) == [("Ink Blue paint", None, None, ("oak-stool",))]


def test_a_share_of_a_can_is_of_the_can_that_is_open(shop: ShopWriter) -> None:
    # First in first out takes the pint; with the pint empty, or by the average, a can is the quart bought last.
    quart = "- {on: 2026-01-03, from: Harbour Hardware, what: fig blue paint, size: 1 quart, cost: 20, for: shelf, container: can}\n"
    plan = "planned: [{did: a coat, used: [4 cans fig blue paint]}]\n"
    shop.receipts(CAN + quart).piece(plan)
    assert short(shop) == [("fig blue paint", "3 pints", "4 pints", ("oak-stool",))]
    shop.piece(log("1 pint fig blue paint") + plan)
    assert short(shop) == [("fig blue paint", "2 pints", "8 pints", ("oak-stool",))]
    shop.write({"shop.yaml": GOOD_SHOP + "costing: average\n"}).piece(plan)
    assert short(shop) == [("fig blue paint", "3 pints", "8 pints", ("oak-stool",))]


def test_sheets_come_in_sheets(shop: ShopWriter) -> None:
    pack = "- {on: 2026-01-02, from: Harbour Hardware, what: sandpaper, size: 5 sheets, cost: 5, for: shelf}\n"
    shop.receipts(pack).piece("planned: [{did: sand it, used: [6 sheets sandpaper]}]\n")
    assert short(shop) == [("sandpaper", "5 sheets", "6 sheets", ("oak-stool",))]


def test_a_plan_comes_before_habit_and_a_product_is_told_once(shop: ShopWriter) -> None:
    oil = "- {on: 2026-01-02, from: Harbour Hardware, what: hard oil, size: 1 pint, cost: 16.00, for: shelf}\n"
    plan = "planned: [{did: a coat, used: [12 fl oz hard oil]}]\n"
    shop.receipts(CAN + oil).piece(log("12 fl oz fig blue paint", "10 fl oz hard oil") + plan)
    assert short(shop) == [
        ("hard oil", "3/8 pint", "3/4 pint", ("oak-stool",)),
        ("fig blue paint", "1/4 pint", "3/4 pint", ()),
    ]
