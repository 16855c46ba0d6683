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

REFUSED = [
    ("money", "40.005", "to the cent"),
    ("money", "1,240.005", "to the cent"),
    ("money", "-40", "without a minus"),
    ("money", "−40", "without a minus"),
    ("money", "$-40", "without a minus"),
    ("money", "(40)", "without a minus"),
    ("money", "040", "write `40`"),
    ("money", "007.50", "write `7.50`"),
    ("money", "00", "write `0`"),
    ("money", "1_240", "write `1240`"),
    ("money", "1,24", "write `1.24`"),
    ("money", "12,40.00", "`1240.00`"),
    ("money", "1.240,00", "write `1240.00`"),
    ("money", "12,50", "write `12.50`"),
    ("money", "1,240,00", "`1240.00`"),
    ("money", "٤٠", "`40.00`"),
    ("money", "４０", "`40.00`"),
    ("money", "²", "`40.00`"),
    ("money", "«£»40", "in USD, without a sign"),
    ("money", "«€»40.00", "in USD, without a sign"),
    ("money", "40 EUR", "in USD"),
    ("money", "nan", "write digits"),
    ("money", ".NaN", "write digits"),
    ("money", "inf", "write digits"),
    ("money", "-.inf", "without a minus"),
    ("money", "Infinity", "write digits"),
    ("money", "4e3", "all its digits"),
    ("money", "1.2E+3", "all its digits"),
    ("money", "10000000.01", "no sum here may be greater"),
    ("money", "10,000,001", "no sum here may be greater"),
    ("money", "99999999999", "no sum here may be greater"),
    ("money", "0x28", "`40.50`"),
    ("money", "forty", "`40.50`"),
    ("money", "40.", "write `40`"),
    ("money", ".50", "write `0.50`"),
    ("money", '""', "`40.00`"),
    ("money", "~40", "`40.50`"),
    ("date", "14-02-2026", "write `2026-02-14`"),
    ("date", "02/14/2026", "write `2026-02-14`"),
    ("date", "14.02.2026", "write `2026-02-14`"),
    ("date", "2026/02/14", "write `2026-02-14`"),
    ("date", "2026-2-14", "write `2026-02-14`"),
    ("date", "14 Feb 2026", "write `2026-02-14`"),
    ("date", "February 14, 2026", "write `2026-02-14`"),
    ("date", "03/04/2026", "write `2026-03-04` or `2026-04-03`"),
    ("date", "20260214", "the year first, as `2026-02-14`"),
    ("date", "2026-02-14T15:30", "write `2026-02-14 15:30`"),
    ("date", "2026-02-14 «25:00»", "from 0:00 to 23:59"),
    ("date", "2026-02-14 «15:60»", "from 0:00 to 23:59"),
    ("date", "2026-«02-30»", "check the month and the day"),
    ("date", "2025-«02-29»", "check the month and the day"),
    ("date", "2026-«13-01»", "check the month and the day"),
    ("date", "«1899»-12-31", "from 1900 to 2100"),
    ("date", "«2101»-01-01", "from 1900 to 2100"),
    ("date", "٢٠٢٦-٠٢-١٤", "the year first, as `2026-02-14`"),
    ("date", "yesterday", "the year first, as `2026-02-14`"),
    ("time-taken", "40", "write `40 min` or `40 h`"),
    ("time-taken", "1.5", "write `1.5 min` or `1.5 h`"),
    ("time-taken", "-40 min", "`40 min`"),
    ("time-taken", "1:75", "`1:15`"),
    ("time-taken", "15 min 1 h", "`1 h 15 min`"),
    ("time-taken", "0 min", "leave it out"),
    ("time-taken", "an age", "`1 h 15 min`"),
    ("time-taken", "1/0 h", "`1/2`"),
    ("size", "34", "width, depth and height"),
    ("size", "34 x 19 in", "width, depth and height"),
    ("size", "34 x 19 x 30 x 2 in", "width, depth and height"),
    ("size", "34 x 19 x 30", "`34 x 19 x 30 1/2 in`"),
    ("size", "34 in x 19 in x tall", "`34 x 19 x 30 1/2 in`"),
    ("size", "34 x 0 x 30 in", "`34 x 19 x 30 1/2 in`"),
    ("size", "34 x -19 x 30 in", "`34 x 19 x 30 1/2 in`"),
    ("size", "34 W x 19 W x 30 H in", "`34 W x 19 D x 30 1/2 H in`"),
    ("size", "34 W x 19 x 30 H in", "`34 W x 19 D x 30 1/2 H in`"),
    ("size", "34 x 19 x 1/0 in", "`34 x 19 x 30 1/2 in`"),
    ("amount", "4", "`4 fl oz`"),
    ("amount", "4 «tins»", "fl oz, cup, pint"),
    ("amount", "4 «gills»", "fl oz, cup, pint"),
    ("amount", "-4 lb", "a number and a unit"),
    ("amount", "0 lb", "greater than 0"),
    ("amount", "lb", "a number and a unit"),
    ("amount", "four lb", "a number and a unit"),
    ("amount", "1/0 lb", "`1/2`"),
    ("amount", "1«e3 lb»", "fl oz, cup, pint"),
    ("percentage", "5", "write `5%`"),
    ("percentage", "0.05", "`5%`"),
    ("percentage", "-5%", "`12%`"),
    ("percentage", "five per cent", "`12%`"),
    ("fee", "12 per cent", "`12%`"),
    ("fee", "-0.40", "without a minus"),
    ("fee", "0.405", "to the cent"),
    ("fee", "12% + 0.305", "to the cent"),
    ("fee", "0.30 + 12%", "write `12% + 0.30`"),
    ("fee", "12% +", "`40.00`"),
    ("yes-or-no", "maybe", "yes or no"),
    ("yes-or-no", "1", "yes or no"),
    ("yes-or-no", "on", "yes or no"),
    ("count", "0", "a whole number"),
    ("count", "1.5", "parts of one go into `size`"),
    ("count", "-1", "a whole number"),
    ("count", "six", "a whole number"),
    ("distance", "22 miles", "the number alone"),
    ("distance", "-3", "the number alone"),
    ("distance", "far", "the number alone"),
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
    ("money", ("40", "40.5", "40.00", "$40.00", "1,240.00", "1240", "0", "0.05", "10,000,000.00", '"40"')),
    ("date", ("2026-02-14", "2026-02-14 15:30", "2026-02-14 9:05", "1900-01-01", "2100-12-31", "2024-02-29")),
    ("time-taken", ("40 min", "1 h 15 min", "1.5 h", "1:15", "2 d", "1 1/2 h", "45min")),
    ("size", ("34 x 19 x 30 1/2 in", "34 W x 19 D x 30 1/2 H in", "2 ft 6 in x 1' 7\" x 30-1/2\"", "86 x 48 x 77.5 cm",
              "860 x 480 x 775 mm", "30 1/2 H x 34 W x 19 D in")),
    ("amount", ("1 lb", "1/2 lb", "1 1/2 lbs", "8 oz", "500 g", "0.5 kg", "12 fl oz", "3 sheets", "1 sheet", "2 each",
                "10 sq ft", "5 yd")),
    ("percentage", ("5%", "2.9%", "5 %")),
    ("fee", ("12%", "0.40", "2.9% + 0.30", "12", "0", "9% + 0.40")),
    ("yes-or-no", ("yes", "no", "true", "false", "Yes", "NO")),
    ("distance", ("22", "8.5")),
    ("built", ("1935", "about 1935", "1930s", "unknown", "About 1935", "about 1930s")),
]  # fmt: skip


@pytest.mark.parametrize(("measure", "written"), [(measure, one) for measure, many in ACCEPTED for one in many])
def test_what_the_format_accepts_is_no_problem(shop: ShopWriter, measure: str, written: str) -> None:
    file, around = AROUND[measure]
    shop.piece().receipts(BOUGHT).write({file: around.replace("@", written)})
    assert not [problem for problem in shop.problems() if not problem.warning]


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
