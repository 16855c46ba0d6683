"""What is told of the pieces in hand at a moment: work, drying, prices, offers, deposits; sums by hand beside them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from shop_writer import GOOD_SHOP, ShopWriter

from flipbook.compile import check_shop
from flipbook.looking.bench import Bench, ForSale, OnBench, days_since, look_over
from flipbook.shop.records.stage import Stage
from flipbook.trade.drying import Dryness

WORKED_SHOP = Path(__file__).parents[1] / "books" / "worked_shop" / "given"
STEPS = GOOD_SHOP + "price steps: {hold: 7 d, drop: 5%}\n"
SHELF = """\
- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 16.00, for: shelf, container: can}
- {on: 2026-01-02, from: Harbour Hardware, what: hard oil, size: 1 pint, cost: 32.00, for: shelf}
"""
PRODUCTS = """\
fig blue paint: {type: waterborne paint, recoat: 4 h, cure: 21 d}
hard oil: {type: oil finish, recoat: 24 h, cure: 30 d}
"""
NOON = datetime(2026, 2, 21, 12)


def look(shop: ShopWriter, now: datetime = NOON) -> Bench:
    return look_over(shop.books(), now)


def one_open(shop: ShopWriter, now: datetime = NOON) -> OnBench:
    (one,) = look(shop, now).open
    return one


def one_for_sale(shop: ShopWriter, now: datetime = NOON) -> ForSale:
    (one,) = look(shop, now).for_sale
    return one


@pytest.fixture
def stocked(shop: ShopWriter) -> ShopWriter:
    products = "products:\n" + "".join(f"  {line}\n" for line in PRODUCTS.splitlines())
    return shop.receipts(SHELF).write({"products.yaml": products})


def test_a_piece_on_the_bench(stocked: ShopWriter) -> None:
    # The stool cost 10.00; 2 of 16 fl oz of the paint are 16.00 / 8 = 2.00. From 5 January to 21 February: 26 + 21 days.
    stocked.piece('log:\n  - {on: "2026-02-21 10:00", did: first coat, used: [2 fl oz fig blue paint]}\n')
    one = one_open(stocked)
    assert (one.piece.folder, one.piece.title, one.state) == ("oak-stool", "Oak stool", "on the bench")
    assert (one.piece.found_on, one.piece.days, one.piece.cost) == (date(2026, 1, 5), 47, Decimal("12.00"))
    assert one.last is not None
    assert (one.last.did, one.stage, one.usually) == ("first coat", Stage.COLOUR, "coat or finish")
    assert one.drying is not None
    assert (one.drying.latest, one.dryness) == (datetime(2026, 2, 21, 14), Dryness.DRYING)
    assert one.piece.hard_on == date(2026, 3, 14)  # 7 days left of February, and 14: 21


@pytest.mark.parametrize(
    ("now", "dryness", "hard_on"),
    [
        (datetime(2026, 2, 21, 13, 59), Dryness.DRYING, date(2026, 3, 14)),
        (datetime(2026, 2, 21, 14), Dryness.DRY, date(2026, 3, 14)),
        (datetime(2026, 3, 13, 9), Dryness.DRY, date(2026, 3, 14)),
        (datetime(2026, 3, 14, 9), Dryness.DRY, None),  # it is hard, and no more is to be said
    ],
)
def test_drying_goes_by_the_moment_and_hardening_by_the_day(
    stocked: ShopWriter, now: datetime, dryness: Dryness, hard_on: date | None
) -> None:
    stocked.piece('log:\n  - {on: "2026-02-21 10:00", did: first coat, used: [2 fl oz fig blue paint]}\n')
    one = one_open(stocked, now)
    assert (one.dryness, one.piece.hard_on) == (dryness, hard_on)


def test_a_piece_that_waits_has_no_step_and_usually_begins_with_cleaning(shop: ShopWriter) -> None:
    one = one_open(shop.piece())
    assert (one.state, one.last, one.stage, one.drying, one.dryness) == ("waiting", None, None, None, Dryness.DRY)
    assert one.usually == "cleaning"


def test_the_first_planned_step_comes_next(shop: ShopWriter) -> None:
    shop.piece("log: [2026-02-20 sanded the top]\nplanned: [fit the new foot, wax]\n")
    planned = one_open(shop).piece.planned
    assert planned is not None
    assert planned.did == "fit the new foot"


def test_the_last_step_is_the_last_by_day_and_then_as_written(shop: ShopWriter) -> None:
    shop.piece(
        "log:\n  - 2026-02-20 sanded the top\n  - 2026-02-18 washed it\n  - 2026-02-20 primed it\n  - 2026-02-19 glued a leg\n"
    )
    one = one_open(shop)
    assert one.last is not None
    assert (one.last.did, one.usually) == ("primed it", "colour")


def test_a_customers_own_piece_has_no_day_on_which_it_was_found(shop: ShopWriter) -> None:
    shop.write({"pieces/chair/piece.yaml": "piece: Chair\ncustomer: yes\nlog: [2026-02-20 glued the back leg]\n"})
    one = one_open(shop)
    assert (one.piece.found_on, one.piece.days, one.piece.cost) == (None, None, Decimal(0))


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
    assert [one.piece.folder for one in look(stocked).open] == [
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


def test_a_price_and_when_it_may_come_down(shop: ShopWriter) -> None:
    # 14 February and 7 days is the 21st, today; 60 x 0.95 = 57. Seven days at this price, 47 since the find.
    shop.write({"shop.yaml": STEPS}).piece("asking: [{on: 2026-01-20, price: 75}, {on: 2026-02-14, price: 60}]\n")
    one = one_for_sale(shop)
    assert (one.asked.price, one.days_at_price, one.piece.days) == (Decimal("60.00"), 7, 47)
    assert one.cut is not None
    assert (one.cut.on, one.cut.price, one.is_written) == (date(2026, 2, 21), Decimal("57.00"), False)


def test_without_price_steps_no_cut_is_claimed(shop: ShopWriter) -> None:
    one = one_for_sale(shop.piece("asking: [{on: 2026-01-20, price: 75}]\n"))
    assert (one.cut, one.is_at_floor) == (None, False)


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
    one = one_for_sale(shop.piece(f"log: [2026-01-06 2 h sanded it]\nasking: [{{on: 2026-02-14, price: {price}}}]\n"))
    assert one.floor == Decimal("58.00")
    assert (one.cut.price if one.cut else None) == (Decimal(cut) if cut else None), why
    assert one.is_at_floor is is_at_floor, why


def test_a_price_written_with_a_day_to_come_is_the_next_one(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": STEPS}).piece("asking: [{on: 2026-02-14, price: 60}, {on: 2026-03-01, price: 48}]\n")
    one = one_for_sale(shop)
    assert one.asked.price == Decimal("60.00")
    assert one.cut is not None
    assert (one.cut.on, one.cut.price, one.is_written) == (date(2026, 3, 1), Decimal("48.00"), True)


@pytest.mark.parametrize(
    ("deposit", "is_held"),
    [
        ("deposits: [{on: 2026-02-10, amount: 20, from: R.}]", True),
        ("deposits: [{on: 2026-02-10, amount: 20, back: {on: 2026-02-12}}]", False),
        ("deposits: [{on: 2026-02-10, amount: 20, back: {on: 2026-02-12}}, {on: 2026-02-13, amount: 20, from: R.}]", True),
        # this one went into the sale of January, which came back
        (
            "deposits: [{on: 2026-01-20, amount: 20}]\n"
            "sold: {on: 2026-01-25, price: 60, returned: {on: 2026-01-30, refund: 60}}",
            False,
        ),
    ],
)  # fmt: skip
def test_a_deposit_that_stands_holds_the_piece_and_its_price(shop: ShopWriter, deposit: str, is_held: bool) -> None:
    shop.write({"shop.yaml": STEPS}).piece(f"asking: [{{on: 2026-01-14, price: 60}}]\n{deposit}\n")
    one = one_for_sale(shop)
    assert [held.from_ for held in one.piece.held] == (["R."] if is_held else [])
    assert (one.cut is None) is is_held


def test_offers_without_an_answer_are_told_and_a_taken_one_holds_the_price(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": STEPS})
    shop.piece(
        "asking: [{on: 2026-01-20, price: 75}]\n"
        "offers:\n"
        "  - {on: 2026-01-25, price: 40, answer: no}\n"
        "  - {on: 2026-01-26, price: 50, from: L.}\n"
        "  - {on: 2026-01-27, price: 55, answer: counter 70}\n"
    )
    one = one_for_sale(shop)
    assert [(offer.price, offer.from_) for offer in one.piece.offers] == [(Decimal("50.00"), "L.")]
    assert one.piece.promised is None
    assert one.cut is not None
    shop.piece("asking: [{on: 2026-01-20, price: 75}]\noffers: [{on: 2026-01-28, price: 70, from: D., answer: Yes}]\n")
    taken = one_for_sale(shop)
    assert taken.piece.promised is not None
    assert (taken.piece.promised.from_, taken.cut) == ("D.", None)


def test_a_promise_that_fell_through_is_over_when_a_price_is_asked_again(shop: ShopWriter) -> None:
    shop.piece(
        "asking: [{on: 2026-01-20, price: 75}, {on: 2026-02-10, price: 70}]\n"
        "offers: [{on: 2026-01-28, price: 70, answer: yes}]\n"
    )
    assert one_for_sale(shop).piece.promised is None


def test_an_offer_on_the_bench_is_told_as_well(shop: ShopWriter) -> None:
    one = one_open(shop.piece("offers: [{on: 2026-01-26, price: 50, from: L.}]\n"))
    assert [offer.from_ for offer in one.piece.offers] == ["L."]


def test_a_piece_that_came_back_holds_its_price_anew_and_its_old_offers_are_over(shop: ShopWriter) -> None:
    # Back on 18 February, so three days at this price; 18 + 7 is the 25th.
    shop.write({"shop.yaml": STEPS}).piece(
        "asking: [{on: 2026-01-10, price: 60}]\n"
        "offers: [{on: 2026-01-20, price: 50, from: L.}, {on: 2026-02-19, price: 52, from: M.}]\n"
        "sold: {on: 2026-02-01, price: 55, returned: {on: 2026-02-18, refund: 55}}\n"
    )
    one = one_for_sale(shop)
    assert one.days_at_price == 3
    assert one.cut is not None
    assert one.cut.on == date(2026, 2, 25)
    assert [offer.from_ for offer in one.piece.offers] == ["M."]


def test_what_sells_comes_in_the_order_in_which_it_wants_something(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": STEPS})
    shop.piece("asking: [{on: 2026-02-20, price: 60}]\n", folder="later")
    shop.piece("asking: [{on: 2026-02-01, price: 60}]\n", folder="due")
    shop.piece("asking: [{on: 2026-02-01, price: 60}]\ndeposits: [{on: 2026-02-10, amount: 5}]\n", folder="held")
    shop.piece("asking: [{on: 2026-02-20, price: 60}]\noffers: [{on: 2026-02-20, price: 50}]\n", folder="offered")
    assert [one.piece.folder for one in look(shop).for_sale] == ["offered", "due", "later", "held"]


# --- a clock that was set back, or a log dated ahead


@pytest.mark.parametrize(
    ("day", "days"), [("2026-02-20", 1), ("2026-02-21", 0), ("2026-02-22", None), ("2027-01-01", None), (None, None)]
)
def test_days_are_never_less_than_nothing(day: str | None, days: int | None) -> None:
    assert days_since(date.fromisoformat(day) if day else None, NOON.date()) == days


def test_what_is_dated_ahead_counts_no_days_and_dries_nothing(stocked: ShopWriter) -> None:
    stocked.piece('log:\n  - {on: "2026-02-21 10:00", did: first coat, used: [2 fl oz fig blue paint]}\n')
    stocked.piece("asking: [{on: 2026-02-14, price: 60}]\n", folder="for-sale")
    set_back = datetime(2026, 1, 3, 12)
    one, selling = one_open(stocked, set_back), one_for_sale(stocked, set_back)
    assert (one.piece.days, one.drying, one.dryness) == (None, None, Dryness.DRY)
    assert (selling.piece.days, selling.days_at_price) == (None, None)
    assert (selling.asked.price, selling.cut) == (Decimal("60.00"), None)


def test_the_worked_shop() -> None:
    """Its left stand came back on 20 March 2026 and is all that is in hand."""
    books = check_shop(WORKED_SHOP).books
    assert books is not None
    bench = look_over(books, datetime(2026, 3, 30, 9))
    assert bench.open == ()
    (stand,) = bench.for_sale
    # Found with its pair on 15 January: 16 + 28 + 30 = 74 days. Cost 25.01 + 6.00. Asked 120.00; back ten days ago.
    assert (stand.piece.folder, stand.piece.days, stand.piece.cost) == ("left-stand", 74, Decimal("31.01"))
    assert (stand.asked.price, stand.days_at_price, stand.cut) == (Decimal("120.00"), 10, None)
    # 31.01 and the 12.10 that the first sale's outlet kept: 43.11 before anything is earned.
    assert stand.floor == Decimal("43.11")
    # Of the pint of paint nothing is left: 4 fl oz are 1/4, 1/4 can, the rest 1/2; a third on average. Of the clear coat
    # 3/8 quart, and 1/4, 1/4 and 1/8 are 5/24 on average; of the wax 12 oz, and one use took 4. These are not short.
    assert [(short.product, str(short.left), str(short.need)) for short in bench.short] == [
        ("fig blue paint", "0 pint", "1/3 pint")
    ]
