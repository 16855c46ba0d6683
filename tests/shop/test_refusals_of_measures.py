"""What FORMAT.md, "How things are written", refuses, written where it would stand in a shop's files."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, GOOD_SHOP, ShopWriter

PIECE, RECEIPTS = "pieces/oak-stool/piece.yaml", "receipts/2026.yaml"
BOUGHT = "- {on: 2026-01-02, from: Harbour Hardware, what: wax, cost: 9, for: shelf, size: 1 lb, container: tin}\n"

# Where each measure is written: the file, and the text with `@` in the place of the measure.
AROUND = {
    "money": (PIECE, GOOD_PIECE + "asking:\n  - on: 2026-03-01\n    price: @\n"),
    "date": (PIECE, GOOD_PIECE + "log:\n  - on: @\n    did: washed\n"),
    "time-taken": (PIECE, GOOD_PIECE + "log:\n  - on: 2026-02-01\n    did: washed\n    took: @\n"),
    "size": (PIECE, GOOD_PIECE + "size: @\n"),
    "amount": (RECEIPTS, BOUGHT.replace("1 lb", "@")),
    "percentage": ("shop.yaml", GOOD_SHOP + "price steps:\n  hold: 7 d\n  drop: @\n"),
    "fee": ("shop.yaml", GOOD_SHOP + "  web marketplace:\n    takes: @\n"),
    "yes-or-no": (PIECE, GOOD_PIECE + "log:\n  - on: 2026-02-01\n    did: washed\n    hide: @\n"),
    "count": (RECEIPTS, BOUGHT.replace("size: 1 lb", "count: @")),
    "distance": (PIECE, GOOD_PIECE + "trips:\n  - on: 2026-02-01\n    to: Mill Road\n    miles: @\n"),
    "built": (PIECE, GOOD_PIECE + "built: @\n"),
    "grit": (PIECE, GOOD_PIECE + "log:\n  - on: 2026-02-01\n    did: sanded\n    grit: @\n"),
}

# What each measure refuses in all is in the tests of `measures/`; here is that it is marked in its place, whole or in part.
REFUSED = [
    ("money", "40.005", "to the cent"),
    ("money", "-40", "without a minus"),
    ("money", "1.240,00", "write `1240.00`"),
    ("money", "«£»40", "in USD, without a sign"),
    ("money", ".NaN", "write digits"),
    ("money", "-.inf", "without a minus"),
    ("money", "0x28", "`40.50`"),
    ("money", '""', "`40.00`"),
    ("money", "~40", "`40.50`"),
    ("date", "14-02-2026", "write `2026-02-14`"),
    ("date", "2026-02-14 «25:00»", "from 0:00 to 23:59"),
    ("date", "2026-«02-30»", "check the month and the day"),
    ("date", "«1899»-12-31", "from 1900 to 2100"),
    ("date", "٢٠٢٦-٠٢-١٤", "the year first, as `2026-02-14`"),
    ("time-taken", "40", "write `40 min` or `40 h`"),
    ("time-taken", "15 min 1 h", "`1 h 15 min`"),
    ("size", "34 x 19 in", "width, depth and height"),
    ("size", "34 W x 19 W x 30 H in", "`34 W x 19 D x 30 1/2 H in`"),
    ("amount", "4", "`4 fl oz`"),
    ("amount", "4 «tins»", "fl oz, cup, pint"),
    ("amount", "0 lb", "greater than 0"),
    ("amount", "1«e3 lb»", "fl oz, cup, pint"),
    ("percentage", "5", "write `5%`"),
    ("fee", "0.30 + 12%", "write `12% + 0.30`"),
    ("fee", "12% + 0.305", "to the cent"),
    ("yes-or-no", "1", "yes or no"),
    ("yes-or-no", "on", "yes or no"),
    ("count", "0", "a whole number"),
    ("count", "1.5", "parts of one go into `size`"),
    ("distance", "22 miles", "the number alone"),
    ("distance", "-3", "the number alone"),
    ("built", "long ago", "`about 1935`"),
    ("built", "35", "`about 1935`"),
    ("built", "1935s", "`1930s`"),
    ("grit", "fine", "`80, 120, 180`"),
    ("grit", "80 / 120", "`80, 120, 180`"),
]  # fmt: skip


@pytest.mark.parametrize(("measure", "written", "hint"), REFUSED)
def test_what_cannot_be_read_exactly_is_refused_with_a_hint(
    shop: ShopWriter, measure: str, written: str, hint: str
) -> None:
    file, around = AROUND[measure]
    text, expected = unmarked(around.replace("@", written if "«" in written else f"«{written}»"))
    shop.piece().receipts(BOUGHT).write({file: text})
    expect_one(shop.problems(), file, text, expected, measure, hint)


ACCEPTED = [
    ("money", ("40", "$40.00", "1,240.00", '"40"')),
    ("date", ("2026-02-14", "2026-02-14 15:30")),
    ("time-taken", ("40 min", "1:15", "1 1/2 h")),
    ("size", ("34 x 19 x 30 1/2 in", '2 ft 6 in x 1\' 7" x 30-1/2"')),
    ("amount", ("1/2 lb", "12 fl oz", "1 sheet", "2 each")),
    ("percentage", ("2.9%",)),
    ("fee", ("12%", "0.40", "2.9% + 0.30")),
    ("yes-or-no", ("yes", "false", "NO")),
    ("distance", ("22", "8.5")),
    ("built", ("1935", "About 1935", "1930s", "unknown")),
]


@pytest.mark.parametrize(("measure", "many"), ACCEPTED)
def test_what_the_format_accepts_is_no_problem(shop: ShopWriter, measure: str, many: tuple[str, ...]) -> None:
    file, around = AROUND[measure]
    for written in many:
        shop.piece().receipts(BOUGHT).write({file: around.replace("@", written)})
        assert not [problem for problem in shop.problems() if not problem.warning], written


@pytest.mark.parametrize(
    ("currency", "written", "good"),
    [
        ("GBP", "£40.00", True),
        ("EUR", "€40.00", True),
        ("GBP", "$40.00", False),
        ("SEK", "$40.00", False),
        ("CAD", "$40.00", True),
    ],
)
def test_a_sign_is_the_sign_of_the_shops_own_currency(
    shop: ShopWriter, currency: str, written: str, good: bool
) -> None:
    _, around = AROUND["money"]
    shop.write({"shop.yaml": f"shop: Quillback Lane\ncurrency: {currency}\n", PIECE: around.replace("@", written)})
    assert [problem.name for problem in shop.problems()] == ([] if good else ["money"])
