"""What is told of the pieces in hand at a moment: work, drying, prices, offers, deposits; sums by hand beside them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from shop_writer import GOOD_SHOP, ShopWriter

from flipbook.compile import check_shop
from flipbook.looking.bench import Bench, days_since, look_over
from flipbook.measures.plain_data import as_data

WORKED_SHOP = Path(__file__).parents[1] / "books" / "worked_shop" / "given"
STEPS = GOOD_SHOP + "price steps: {hold: 7 d, drop: 5%}\n"
SHELF = """\
- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 16.00, for: shelf, container: can}
- {on: 2026-01-02, from: Harbour Hardware, what: hard oil, size: 1 pint, cost: 32.00, for: shelf}
"""
PRODUCTS = """\
products:
  fig blue paint: {type: waterborne paint, recoat: 4 h, cure: 21 d}
  hard oil: {type: oil finish, recoat: 24 h, cure: 30 d}
"""
NOON = datetime(2026, 2, 21, 12)


def look(shop: ShopWriter, now: datetime = NOON) -> Bench:
    return look_over(shop.books(), now)


@pytest.fixture
def stocked(shop: ShopWriter) -> ShopWriter:
    return shop.receipts(SHELF).write({"products.yaml": PRODUCTS, "shop.yaml": STEPS})


FIRST_COAT = 'log:\n  - {on: "2026-02-21 10:00", did: first coat, used: [2 fl oz fig blue paint]}\n'
HARD_ON = "2026-03-14"  # 7 days left of February, and 14: 21

# A name, the piece's own keys, the moment, and what is told of it as a program hears it.
WORK: list[tuple[str, str, datetime, dict[str, Any]]] = [
    # The stool cost 10.00; 2 of 16 fl oz of the paint are 16.00 / 8 = 2.00. From 5 January to 21 February: 26 + 21 days.
    ("a coat that dries", FIRST_COAT, NOON, {
        "piece": "oak-stool", "title": "Oak stool", "state": "on the bench", "found_on": "2026-01-05", "days": 47,
        "cost": "12.00", "last": {"on": "2026-02-21", "at": "10:00", "did": "first coat", "stage": "colour"},
        "usually": "coat or finish", "hard_on": HARD_ON,
        "drying": {"is": "drying", "earliest": "2026-02-21T14:00", "latest": "2026-02-21T14:00", "minutes": "240",
                   "product": "fig blue paint"},
    }),
    ("drying to the minute", FIRST_COAT, datetime(2026, 2, 21, 13, 59), {"is": "drying", "hard_on": HARD_ON}),
    ("and dry", FIRST_COAT, datetime(2026, 2, 21, 14), {"is": "dry", "hard_on": HARD_ON}),
    ("hard tomorrow", FIRST_COAT, datetime(2026, 3, 13, 9), {"is": "dry", "hard_on": HARD_ON}),
    ("hard, and no more is to be said", FIRST_COAT, datetime(2026, 3, 14, 9), {"is": "dry", "hard_on": None}),
    ("a clock set back", FIRST_COAT, datetime(2026, 1, 3, 12), {"days": None, "drying": None}),
    ("waiting", "", NOON, {"state": "waiting", "last": None, "drying": None, "usually": "cleaning", "planned": None}),
    ("the first planned step is next", "log: [2026-02-20 sanded the top]\nplanned: [fit the new foot, wax]\n", NOON,
     {"planned": "fit the new foot"}),
    ("the last step by day and then as written",
     "log: [2026-02-20 sanded the top, 2026-02-18 washed it, 2026-02-20 primed it, 2026-02-19 glued a leg]\n", NOON,
     {"last": {"on": "2026-02-20", "at": None, "did": "primed it", "stage": "priming"}, "usually": "colour"}),
    ("an offer on the bench", "offers: [{on: 2026-01-26, price: 50, from: L.}]\n", NOON,
     {"offers": [{"on": "2026-01-26", "price": "50.00", "from": "L."}]}),
]  # fmt: skip


@pytest.mark.parametrize(("more", "now", "told"), [case[1:] for case in WORK], ids=[case[0] for case in WORK])
def test_what_is_told_of_a_piece_at_work(stocked: ShopWriter, more: str, now: datetime, told: dict[str, Any]) -> None:
    (one,) = as_data(look(stocked.piece(more), now).open)
    one["is"] = one["drying"]["is"] if one["drying"] else None
    assert {key: one[key] for key in told} == told


def test_a_customers_own_piece_has_no_day_on_which_it_was_found(shop: ShopWriter) -> None:
    shop.write({"pieces/chair/piece.yaml": "piece: Chair\ncustomer: yes\nlog: [2026-02-20 glued the back leg]\n"})
    (one,) = look(shop).open
    assert (one.found_on, one.days, one.cost) == (None, None, Decimal(0))


def test_what_can_be_gone_on_with_comes_first_and_what_waits_last(stocked: ShopWriter) -> None:
    def piece(folder: str, more: str, found: str = "2026-01-05") -> None:
        stocked.write({f"pieces/{folder}/piece.yaml": f"piece: {folder}\nfound: {{on: {found}, cost: 1}}\n{more}"})

    piece("waits-since-january", "")
    piece("waits-since-february", "", found="2026-02-01")
    piece("drying-till-six", 'log: [{on: "2026-02-21 06:00", did: glued it, dries: 12 h}]\n')
    piece("drying-till-one", 'log: [{on: "2026-02-21 12:00", did: glued it, dries: 1 h}]\n')
    piece("perhaps-dry", "log: [{on: 2026-02-21, did: glued it, dries: 1 h}]\n")
    piece("dry-long-ago", "log: [2026-01-20 washed it]\n")
    piece("dry-yesterday", "log: [2026-02-20 washed it]\n")
    piece("planned", "log: [2026-01-10 washed it]\nplanned: [sand it]\n")
    piece("dated-ahead", "log: [2026-03-10 washed it]\n")
    assert [one.piece for one in look(stocked).open] == [
        "planned", "dry-yesterday", "dry-long-ago", "dated-ahead", "perhaps-dry", "drying-till-one",
        "drying-till-six", "waits-since-january", "waits-since-february",
    ]  # fmt: skip


def test_pieces_that_have_left_are_not_looked_at(shop: ShopWriter) -> None:
    for folder, ending in (
        ("sold", "sold: {on: 2026-02-01, price: 30}"),
        ("kept", "kept: {on: 2026-02-01}"),
        ("given", "given: {on: 2026-02-01}"),
        ("scrapped", "scrapped: {on: 2026-02-01}"),
    ):
        shop.piece(f"asking: [{{on: 2026-01-20, price: 40}}]\nlog: [2026-01-19 washed it]\n{ending}\n", folder=folder)
    bench = look(shop)
    assert (bench.open, bench.for_sale, bench.in_hand) == ((), (), ())


def next_price(on: str, price: str, *, written: bool = False) -> dict[str, Any]:
    return {"on": on, "price": price, "written": written}


ASKED = "asking: [{on: 2026-01-20, price: 75}]\n"
ASKED_60 = "asking: [{on: 2026-01-14, price: 60}]\n"
DUE = next_price("2026-01-21", "57.00")
# The same of pieces for sale. A price of the 14th may come down after seven days, on the 21st, today; 60 x 0.95 = 57.
SELLING: list[tuple[str, str, dict[str, Any]]] = [
    ("when it may come down", "asking: [{on: 2026-01-20, price: 75}, {on: 2026-02-14, price: 60}]\n",
     {"price": "60.00", "days_at_price": 7, "days": 47, "next_price": next_price("2026-02-21", "57.00")}),
    ("a price written with a day to come is the next one",
     "asking: [{on: 2026-02-14, price: 60}, {on: 2026-03-01, price: 48}]\n",
     {"price": "60.00", "next_price": next_price("2026-03-01", "48.00", written=True)}),
    ("a deposit holds the piece and its price", ASKED_60 + "deposits: [{on: 2026-02-10, amount: 20, from: R.}]\n",
     {"held": [{"on": "2026-02-10", "amount": "20.00", "from": "R."}], "next_price": None}),
    ("one given back does not", ASKED_60 + "deposits: [{on: 2026-02-10, amount: 20, back: {on: 2026-02-12}}]\n",
     {"held": [], "next_price": DUE}),
    ("one given back and one that stands",
     ASKED_60 + "deposits: [{on: 2026-02-10, amount: 20, back: {on: 2026-02-12}}, {on: 2026-02-13, amount: 20}]\n",
     {"held": [{"on": "2026-02-13", "amount": "20.00", "from": None}], "next_price": None}),
    ("one that went into a sale which came back",
     ASKED_60 + "deposits: [{on: 2026-01-20, amount: 20}]\n"
     "sold: {on: 2026-01-25, price: 60, returned: {on: 2026-01-30, refund: 60}}\n",
     {"held": [], "next_price": next_price("2026-02-06", "57.00")}),
    ("offers without an answer",
     ASKED + "offers:\n  - {on: 2026-01-25, price: 40, answer: no}\n  - {on: 2026-01-26, price: 50, from: L.}\n"
     "  - {on: 2026-01-27, price: 55, answer: counter 70}\n",
     {"offers": [{"on": "2026-01-26", "price": "50.00", "from": "L."}], "promised": None,
      "next_price": next_price("2026-01-27", "71.00")}),
    ("a taken one holds the price", ASKED + "offers: [{on: 2026-01-28, price: 70, from: D., answer: Yes}]\n",
     {"promised": {"on": "2026-01-28", "price": "70.00", "from": "D."}, "next_price": None}),
    ("a promise is over when a price is asked again",
     "asking: [{on: 2026-01-20, price: 75}, {on: 2026-02-10, price: 70}]\n"
     "offers: [{on: 2026-01-28, price: 70, answer: yes}]\n",
     {"promised": None}),
    # Back on 18 February, so three days at this price; 18 + 7 is the 25th.
    ("what came back holds its price anew, and its old offers are over",
     "asking: [{on: 2026-01-10, price: 60}]\n"
     "offers: [{on: 2026-01-20, price: 50, from: L.}, {on: 2026-02-19, price: 52, from: M.}]\n"
     "sold: {on: 2026-02-01, price: 55, returned: {on: 2026-02-18, refund: 55}}\n",
     {"days_at_price": 3, "next_price": next_price("2026-02-25", "57.00"),
      "offers": [{"on": "2026-02-19", "price": "52.00", "from": "M."}]}),
]  # fmt: skip


@pytest.mark.parametrize(("more", "told"), [case[1:] for case in SELLING], ids=[case[0] for case in SELLING])
def test_what_is_told_of_a_piece_for_sale(stocked: ShopWriter, more: str, told: dict[str, Any]) -> None:
    (one,) = as_data(look(stocked.piece(more)).for_sale)
    assert {key: one[key] for key in told} == told


def test_without_price_steps_no_cut_is_claimed(shop: ShopWriter) -> None:
    (one,) = look(shop.piece(ASKED)).for_sale
    assert (one.next_price, one.at_floor) == (None, False)


def test_a_price_asked_ahead_of_the_clock_counts_no_days(stocked: ShopWriter) -> None:
    (one,) = look(stocked.piece("asking: [{on: 2026-02-14, price: 60}]\n"), datetime(2026, 1, 3, 12)).for_sale
    assert (one.days, one.days_at_price, one.price, one.next_price) == (None, None, Decimal("60.00"), None)


@pytest.mark.parametrize(
    ("price", "cut", "is_at_floor", "why"),
    [
        ("75", "71.00", False, "71.25, half up to 71"),
        ("60", "58.00", False, "57 would be under the floor"),
        ("58", None, True, "it is at the floor"),
        ("50", None, True, "it is under the floor already"),
    ],
)
def test_the_floor_stops_a_price(shop: ShopWriter, price: str, cut: str | None, is_at_floor: bool, why: str) -> None:
    # 10.00 for the stool and 2 h at 24.00: a floor of 58.00 at the porch sale, which takes nothing; the hall takes more.
    shop.write({"shop.yaml": STEPS + "time is worth: 24\n"})
    (one,) = look(
        shop.piece(f"log: [2026-01-06 2 h sanded it]\nasking: [{{on: 2026-02-14, price: {price}}}]\n")
    ).for_sale
    assert one.floor == Decimal("58.00")
    assert (one.next_price.price if one.next_price else None) == (Decimal(cut) if cut else None), why
    assert one.at_floor is is_at_floor, why


def test_what_sells_comes_in_the_order_in_which_it_wants_something(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": STEPS})
    shop.piece("asking: [{on: 2026-02-20, price: 60}]\n", folder="later")
    shop.piece("asking: [{on: 2026-02-01, price: 60}]\n", folder="due")
    shop.piece("asking: [{on: 2026-02-01, price: 60}]\ndeposits: [{on: 2026-02-10, amount: 5}]\n", folder="held")
    shop.piece("asking: [{on: 2026-02-20, price: 60}]\noffers: [{on: 2026-02-20, price: 50}]\n", folder="offered")
    assert [one.piece for one in look(shop).for_sale] == ["offered", "due", "later", "held"]


# --- a clock that was set back, or a log dated ahead


@pytest.mark.parametrize(
    ("day", "days"), [("2026-02-20", 1), ("2026-02-21", 0), ("2026-02-22", None), ("2027-01-01", None), (None, None)]
)
def test_days_are_never_less_than_nothing(day: str | None, days: int | None) -> None:
    assert days_since(date.fromisoformat(day) if day else None, NOON.date()) == days


def test_the_worked_shop() -> None:
    """Its left stand came back on 20 March 2026 and is all that is in hand."""
    books = check_shop(WORKED_SHOP).books
    assert books is not None
    bench = look_over(books, datetime(2026, 3, 30, 9))
    assert bench.open == ()
    (stand,) = bench.for_sale
    # Found with its pair on 15 January: 16 + 28 + 30 = 74 days. Cost 25.01 + 6.00. Asked 120.00; back ten days ago.
    assert (stand.piece, stand.days, stand.cost) == ("left-stand", 74, Decimal("31.01"))
    assert (stand.price, stand.days_at_price, stand.next_price) == (Decimal("120.00"), 10, None)
    # 31.01 and the 12.10 that the first sale's outlet kept: 43.11 before anything is earned.
    assert stand.floor == Decimal("43.11")
    # Of the pint of paint nothing is left: 4 fl oz are 1/4, 1/4 can, the rest 1/2; a third on average. Of the clear coat
    # 3/8 quart, and 1/4, 1/4 and 1/8 are 5/24 on average; of the wax 12 oz, and one use took 4. These are not short.
    assert [(short.product, str(short.left), str(short.need)) for short in bench.short] == [
        ("fig blue paint", "0 pint", "1/3 pint")
    ]
