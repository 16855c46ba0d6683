"""What past sales say and what earns, on a shop whose sums are reckoned in the comments; quarters against published values."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.books.reckon import Books
from flipbook.selling.earning import BY, NOT_SAID, earned_by, tied_up
from flipbook.selling.past import Sold, kind_of_past, of_kind, past_sales, spread_of

# Four chests, no shelf and no drives, so profit = price - fees - found.
#   a: found 40, price 200 on the porch, 2 h: 160 left, 80 an hour, 40 days; asked 250 first
#   b: found 60, price 300 at the hall (12% = 36), 4 h: 204 left, 51 an hour, 90 days; asked 300
#   c: found 20, price 100 on the porch, no hours: 80 left, 10 days; never asked
#   d: found 50, price 400 at the hall (48), 5 h: 302 left, 60.40 an hour, 60 days; asked 500, then 420
# A chair that came back is no sale; a stool is still in hand.
PIECES = {
    "a": "piece: Pine chest\nkind: Chest\nfound: {on: 2026-01-01, from: Mill Road, cost: 40}\n"
    "log: [2026-01-02 2 h waxed]\nasking: [{on: 2026-01-05, price: 250}]\nsold: {on: 2026-02-10, price: 200, at: porch sale}\n",
    "b": "piece: Oak chest\nkind: chest\nfound: {on: 2026-01-01, from: Mill Road, cost: 60}\n"
    "log: [2026-01-02 4 h sanded]\nasking: [{on: 2026-01-09, price: 300}]\nsold: {on: 2026-04-01, price: 300, at: antiques hall}\n",
    "c": "piece: Small chest\nkind: chest\nfound: {on: 2026-03-01, cost: 20}\nsold: {on: 2026-03-11, price: 100, at: porch sale}\n",
    "d": "piece: Tall chest\nkind: chest\nfound: {on: 2026-02-01, from: The kerb, cost: 50}\nlog: [2026-02-03 5 h painted]\n"
    "asking: [{on: 2026-02-10, price: 500}, {on: 2026-03-01, price: 420}]\nsold: {on: 2026-04-02, price: 400, at: antiques hall}\n",
    "e": "piece: Chair\nkind: chair\nfound: {on: 2026-01-01, cost: 10}\n"
    "sold: {on: 2026-01-20, price: 50, at: porch sale, returned: {on: 2026-01-25, refund: 50}}\n",
    "f": "piece: Stool\nkind: stool\nfound: {on: 2025-01-01, cost: 7}\n",
    "g": "piece: Somebody's desk\nkind: chest\ncustomer: yes\nlog: [2026-01-02 1 h mended]\nsold: {on: 2026-01-05, price: 90}\n",
}  # fmt: skip


@pytest.fixture
def books(shop: ShopWriter) -> Books:
    for folder, text in PIECES.items():
        shop.write({f"pieces/{folder}/piece.yaml": text})
    found = shop.check().books
    assert found is not None, shop.check().problems
    return found


@pytest.fixture
def past(books: Books) -> tuple[Sold, ...]:
    return past_sales(books.sheets, lambda filed: "wax" if filed.folder == "a" else "")


def test_past_sales_are_the_standing_ones_newest_first(past: tuple[Sold, ...]) -> None:
    assert [sold.sheet.folder for sold in past] == ["d", "b", "c", "a"]
    assert [sold.first_asked for sold in past] == [Decimal(500), Decimal(300), None, Decimal(250)]
    assert [sold.kind for sold in of_kind(past, " CHEST ")] == ["chest"] * 4
    assert of_kind(past, "chair") == ()


def test_what_past_pieces_say_of_the_next(past: tuple[Sold, ...]) -> None:
    said = kind_of_past(past, Decimal("24.00"))
    assert said is not None
    assert said.pieces == 4
    # 100, 200, 300, 400: the quarters stand at 1 + 0.25 x 3 = 1.75, 2.5 and 3.25: 175, 250, 325.
    assert (said.price.lower, said.price.middle, said.price.upper) == (175, 250, 325)
    assert said.hours is not None
    assert (said.hours.number, said.hours.middle) == (3, 4)
    assert said.days is not None
    assert (said.days.least, said.days.most) == (10, 90)
    # a: 160 + 40 - 48 = 152; b: 204 + 60 - 96 = 168; d: 302 + 50 - 120 = 232; c has no hours and is left out.
    assert said.could_pay is not None
    assert (said.could_pay.least, said.could_pay.middle, said.could_pay.most) == (152, 168, 232)


def test_without_the_worth_of_an_hour_nothing_is_said_of_what_could_be_paid(past: tuple[Sold, ...]) -> None:
    said = kind_of_past(past, None)
    assert said is not None
    assert said.could_pay is None
    assert kind_of_past((), Decimal(24)) is None


def test_what_each_outlet_earned(past: tuple[Sold, ...]) -> None:
    hall, porch = earned_by(past, "outlet")
    assert (hall.name, hall.pieces, hall.cost, hall.takings) == ("antiques hall", 2, Decimal(110), Decimal(700))
    # 204 + 302 = 506 over 9 h is 56.2222…; 300 + 400 over 300 + 500 is 0.875; 60 and 90 days.
    assert (hall.profit, hall.per_hour, hall.of_asking, hall.days) == (
        Decimal(506), Decimal("56.22"), Decimal("0.8750"), 75,
    )  # fmt: skip
    # 160 + 80 = 240, but an hour is reckoned on the 2 h of the one that has hours: 160 / 2.
    assert (porch.profit, porch.hours, porch.per_hour, porch.untimed) == (Decimal(240), 2, Decimal("80.00"), 1)
    assert porch.of_asking == Decimal("0.8000")


def test_a_group_that_nothing_was_said_of_has_a_name(past: tuple[Sold, ...]) -> None:
    assert {row.name for row in earned_by(past, "place found")} == {"Mill Road", "The kerb", NOT_SAID}
    assert {row.name for row in earned_by(past, "finish")} == {"wax", NOT_SAID}
    assert [row.name for row in earned_by(past, "month")] == ["2026-02", "2026-03", "2026-04"]


@pytest.mark.parametrize("by", BY)
def test_every_gathering_sums_to_the_same(past: tuple[Sold, ...], by: str) -> None:
    rows = earned_by(past, by)
    assert sum(row.pieces for row in rows) == 4
    assert sum(row.profit for row in rows) == Decimal(746)
    assert sum(row.cost for row in rows) == Decimal(170)


def test_a_group_without_hours_earns_no_sum_an_hour(past: tuple[Sold, ...]) -> None:
    march = next(row for row in earned_by(past, "month") if row.name == "2026-03")
    assert (march.per_hour, march.untimed, march.of_asking) == (None, 1, None)


def test_money_tied_up_by_age(books: Books) -> None:
    # The stool has been in hand since 2025-01-01; the chair came back, found 2026-01-01: 31 days on 2026-02-01.
    rows = {row.age: (row.pieces, row.cost) for row in tied_up(books.sheets, date(2026, 2, 1))}
    assert rows == {
        "up to 30 days": (0, Decimal(0)), "31 to 90 days": (1, Decimal(10)), "91 to 180 days": (0, Decimal(0)),
        "181 to 365 days": (0, Decimal(0)), "over a year": (1, Decimal(7)),
    }  # fmt: skip
    assert sum(row.pieces for row in tied_up(books.sheets, date(2024, 1, 1))) == 2


# Type 7 quartiles. Hyndman and Fan, "Sample Quantiles in Statistical Packages", The American Statistician 50 (1996),
# define it by p(k) = (k - 1) / (n - 1); the values below are worked from that by hand.
@pytest.mark.parametrize(
    ("figures", "quarters"),
    [
        ([7], (7, 7, 7)),
        ([1, 2], (Fraction(5, 4), Fraction(3, 2), Fraction(7, 4))),
        ([3, 1, 2], (Fraction(3, 2), 2, Fraction(5, 2))),
        ([6, 7, 15, 36, 39, 40, 41, 42, 43, 47, 49], (Fraction(51, 2), 40, Fraction(85, 2))),
        ([7, 15, 36, 39, 40, 41], (Fraction(81, 4), Fraction(75, 2), Fraction(159, 4))),
    ],
)
def test_quarters(figures: list[int], quarters: tuple[Fraction, ...]) -> None:
    spread = spread_of(figures)
    assert spread is not None
    assert (spread.lower, spread.middle, spread.upper) == quarters
    assert spread.is_thin == (len(figures) < 3)


@given(st.lists(st.decimals(0, 10_000, places=2), min_size=2, max_size=30))
def test_quarters_stand_where_their_definition_says(figures: list[Decimal]) -> None:
    spread = spread_of(figures)
    assert spread is not None
    ordered = sorted(map(Fraction, figures))
    for share, found in (
        (Fraction(1, 4), spread.lower),
        (Fraction(1, 2), spread.middle),
        (Fraction(3, 4), spread.upper),
    ):
        place = share * (len(ordered) - 1)
        below = int(place)
        above = min(below + 1, len(ordered) - 1)
        assert found == ordered[below] + (place - below) * (ordered[above] - ordered[below])


def test_of_nothing_there_is_no_spread() -> None:
    assert spread_of([]) is None
