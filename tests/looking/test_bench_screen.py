"""The bench on a terminal: what a tired person reads, line by line."""

from __future__ import annotations

import unicodedata
from datetime import datetime
from fractions import Fraction

import pytest
from shop_writer import GOOD_SHOP, ShopWriter

from flipbook.looking.bench import DryingNow, look_over
from flipbook.looking.bench_screen import screen, summary, until
from flipbook.trade.drying import Dryness

NOON = datetime(2026, 2, 21, 12)  # a Saturday
SHELF = """\
- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 16.00, for: shelf}
"""


def shown(shop: ShopWriter, width: int = 80, now: datetime = NOON) -> list[str]:
    return [text for _, text in screen(look_over(shop.books(), now), width)]


def row(lines: list[str], starts: str) -> str:
    (found,) = [line for line in lines if line.startswith(starts)]
    return found


def cells(text: str) -> int:
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text
    )


@pytest.fixture
def full(shop: ShopWriter) -> ShopWriter:
    """A shop with something of each kind to tell."""
    shop.receipts(SHELF).write(
        {
            "shop.yaml": GOOD_SHOP + "price steps: {hold: 7 d, drop: 5%}\ntime is worth: 20\n",
            "products.yaml": "products:\n  fig blue paint: {type: waterborne paint, recoat: 4 h, cure: 21 d}\n",
        }
    )
    shop.piece('log: [{on: "2026-02-21 10:00", did: first wash coat, used: [12 fl oz fig blue paint]}]\n', folder="wet")
    shop.piece("log: [2026-02-20 sanded the top]\nplanned: [glue the loose slat]\n", folder="planned")
    shop.write(
        {
            "pieces/tansu/piece.yaml": "piece: 日本の箪笥、引き出し三段、金具つき、祖父の家から\nfound: {on: 2026-02-01, cost: 1240}\n"
        }
    )
    shop.piece(
        "asking: [{on: 2026-02-10, price: 60}]\noffers: [{on: 2026-02-20, price: 45, from: L.}]\n", folder="offered"
    )
    shop.piece(
        "asking: [{on: 2026-02-18, price: 60}]\ndeposits: [{on: 2026-02-19, amount: 20, from: R.}]\n", folder="held"
    )
    return shop.piece("log: [2026-02-01 2 h painted it]\nasking: [{on: 2026-02-18, price: 40}]\n", folder="low")


def test_one_screen(full: ShopWriter) -> None:
    # In the stool: 10.00 and 12 of 16 fl oz at 16.00, 12.00. Floors: 10.00, and 50.00 with two hours at 20.00.
    assert shown(full) == [
        "Sat 21 Feb 2026: 1 to go on with, 1 drying, 1 waiting, 3 for sale, 1 offer to",
        "answer, 1 price may come down, 1 short on the shelf.",
        "",
        "On the bench         Last done             Next                 Found      In it",
        "Oak stool            20 Feb: sanded the    glue the loose slat   47 d     $10.00",
        "                     top",
        "Oak stool            today: first wash     wait till 14:00:      47 d     $22.00",
        "                     coat                  usually coat or",
        "                                           finish",
        "日本の箪笥、引き出   nothing done yet      usually cleaning      20 d  $1,240.00",
        "し三段、金具つき、",
        "祖父の家から",
        "",
        "For sale     Asks   For  Found  Next price",
        "Oak stool  $60.00  11 d   47 d  $57.00 now, due since 17 Feb",
        "                                offer of $45.00 from L., yesterday: no answer",
        "                                yet",
        "Oak stool  $60.00   3 d   47 d  held: $20.00 from R., 19 Feb",
        "Oak stool  $40.00   3 d   47 d  under its floor, $50.00",
        "",
        "Short on the shelf  Left      Wanted",
        "fig blue paint      1/4 pint  about 3/4 pint a use",
        "",
        "Not fully hard yet: Oak stool until 14 Mar.",
    ]


@pytest.mark.parametrize("width", [40, 41, 59, 60, 71, 72, 79, 80, 81, 100, 120, 200])
def test_no_line_is_wider_than_the_terminal(full: ShopWriter, width: int) -> None:
    lines = shown(full, width)
    assert max(map(cells, lines)) <= width
    assert [line for line in lines if line.startswith("日本の")]


def test_two_pieces_of_like_names_can_be_told_apart(shop: ShopWriter) -> None:
    name = "Slant-front secretary desk with a green inside and a secret drawer, the one of the"
    for side in ("left", "right"):
        shop.write({f"pieces/{side}/piece.yaml": f"piece: {name} {side}\nfound: {{on: 2026-02-01, cost: 5}}\n"})
    said = "".join("".join(shown(shop, 80)).split())
    assert all(side in said for side in ("left", "right"))


def test_a_narrow_one_puts_the_words_of_a_piece_below_its_title(full: ShopWriter) -> None:
    lines = shown(full, 50)
    at = lines.index("On the bench                      Found      In it")
    assert lines[at + 1 : at + 7] == [
        "Oak stool                          47 d     $10.00",
        "  20 Feb: sanded the top",
        "  glue the loose slat",
        "Oak stool                          47 d     $22.00",
        "  today: first wash coat",
        "  wait till 14:00: usually coat",
    ]
    at = lines.index("For sale                         Asks   For  Found")
    assert lines[at + 1 : at + 4] == [
        "Oak stool                      $60.00  11 d   47 d",
        "  $57.00 now, due since 17",
        "Feb",
    ]


def test_an_empty_shop_is_told_how_to_begin(shop: ShopWriter) -> None:
    assert shown(shop) == ['No piece is in hand. `flipbook begin "TITLE"` starts one.']


def test_a_shop_with_nothing_in_hand_still_hears_what_is_short(shop: ShopWriter) -> None:
    shop.receipts(SHELF).piece(
        "log: [{on: 2026-01-20, did: a coat, used: [rest fig blue paint]}]\nsold: {on: 2026-02-01, price: 40}\n"
    )
    assert shown(shop) == [
        'No piece is in hand. `flipbook begin "TITLE"` starts one.',
        "",
        "Short on the shelf  Left  Wanted",
        "fig blue paint      none  about 1 pint a use",
    ]


@pytest.mark.parametrize(
    ("log", "told"),
    [
        ('{on: "2026-02-21 10:00", did: glued it, dries: 4 h}', "wait till 14:00: usually stripping or sanding"),
        (
            '{on: "2026-02-21 10:00", did: glued it, dries: 24 h}',
            "wait till tomorrow 10:00: usually stripping or sanding",
        ),
        ('{on: "2026-02-21 10:00", did: glued it, dries: 2 d}', "wait till Mon 10:00: usually stripping or sanding"),
        ('{on: "2026-02-21 10:00", did: glued it, dries: 9 d}', "wait till 2 Mar 10:00: usually stripping or sanding"),
        ('{on: "2026-02-21 10:00", did: both diagonals of the cane, dries: 4 h}', "wait till 14:00"),
        ('{on: "2026-02-21 08:00", did: glued it, dries: 4 h}', "usually stripping or sanding"),
        ("{on: 2026-02-21, did: glued it, dries: 24 h}", "wait till tomorrow: usually stripping or sanding"),
        ("{on: 2026-02-21, did: glued it, dries: 2 d}", "wait till Mon: usually stripping or sanding"),
        ("{on: 2026-02-21, did: glued it, dries: 36 h}", "wait till tomorrow or Mon: usually stripping or sanding"),
        ("{on: 2026-02-21, did: glued it, dries: 4 h}", "if dry (4 h): usually stripping or sanding"),
        ("{on: 2026-02-21, did: both diagonals of the cane, dries: 4 h}", "perhaps dry (4 h)"),
        ("{on: 2026-02-20, did: glued it, dries: 4 h}", "usually stripping or sanding"),
        ("{on: 2026-02-20, did: both diagonals of the cane}", ""),
    ],
)
def test_what_comes_next_says_until_when_to_wait(shop: ShopWriter, log: str, told: str) -> None:
    lines = shown(shop.piece(f"log:\n  - {log}\n"), 200)
    line = row(lines, "Oak stool")
    assert line.rpartition("47 d")[0].rstrip().endswith(told)
    if not told:
        assert "usually" not in line


@pytest.mark.parametrize(
    ("earliest", "latest", "said"),
    [
        (datetime(2027, 1, 9, 6, 30), datetime(2027, 1, 9, 6, 30), "2027-01-09 06:30"),
        (datetime(2027, 1, 9, 6, 30), datetime(2027, 1, 10, 6, 30), "2027-01-09 or 2027-01-10"),
        (datetime(2027, 1, 1), datetime(2027, 1, 2), "tomorrow"),
    ],
)
def test_an_hour_is_told_only_where_it_is_known(earliest: datetime, latest: datetime, said: str) -> None:
    drying = DryingNow(
        is_=Dryness.DRYING, earliest=earliest, latest=latest, minutes=Fraction(240), product="fig blue paint"
    )
    assert until(drying, datetime(2026, 12, 31, 22)) == said


def test_what_is_dated_ahead_is_said_once(shop: ShopWriter) -> None:
    shop.piece("log: [2026-03-05 sanded the top]\n").piece("asking: [{on: 2026-03-01, price: 60}]\n", folder="b")
    lines = shown(shop, 80, datetime(2026, 1, 3, 12))
    assert "ahead, 5 Mar:" in row([line for line in lines if "$10.00" in line], "Oak stool")
    assert row([line for line in lines if "$60.00" in line], "Oak stool").split()[-2:] == ["ahead", "ahead"]
    assert " ".join(lines[-2:]) == (
        "Ahead: dated after today, 2026-01-03. Check the date in the log, or this computer's clock."
    )


def test_without_price_steps_nothing_is_said_of_the_next_price(shop: ShopWriter) -> None:
    lines = shown(shop.piece("asking: [{on: 2026-02-10, price: 60}]\n"))
    assert row(lines, "Oak stool") == "Oak stool  $60.00  11 d   47 d"


def test_a_written_price_a_promise_and_a_plan_are_told(shop: ShopWriter) -> None:
    shop.piece("asking: [{on: 2026-02-10, price: 60}, {on: 2026-03-01, price: 50.50}]\nplanned: [wax the lid]\n")
    lines = shown(shop)
    assert row(lines, "Oak stool") == "Oak stool  $60.00  11 d   47 d  $50.50 from 1 Mar, as written"
    assert lines[lines.index(row(lines, "Oak stool")) + 1].strip() == "still to do: wax the lid"
    shop.piece("asking: [{on: 2026-02-10, price: 60}]\noffers: [{on: 2026-02-11, price: 55, from: D., answer: yes}]\n")
    assert row(shown(shop), "Oak stool").endswith("promised to D. at $55.00, not sold yet")


def test_many_coats_that_harden_are_not_all_named(shop: ShopWriter) -> None:
    shop.receipts(SHELF).write({"products.yaml": "products:\n  fig blue paint: {cure: 21 d}\n"})
    for number in range(8):
        shop.piece("log: [{on: 2026-02-20, did: a coat, used: [1 fl oz fig blue paint]}]\n", folder=f"stool-{number}")
    said = " ".join(shown(shop))
    assert said.count("Oak stool until 13 Mar") == 6
    assert said.endswith("and 2 more.")


def test_nothing_of_the_log_moves_the_cursor(shop: ShopWriter) -> None:
    sly = '"\\e[2J\\u202egnp\\x07 \\u2028 \\r x"'
    shop.write(
        {
            "pieces/sly/piece.yaml": f"piece: {sly}\nfound: {{on: 2026-01-05, cost: 1}}\nlog: [{{on: 2026-02-20, did: {sly}}}]\n"
            f"planned: [{sly}]\noffers: [{{on: 2026-02-20, price: 5, from: {sly}}}]\n"
        }
    )
    text = "".join(shown(shop))
    assert [ascii(sign) for sign in text if unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp")] == []


def test_a_step_of_a_million_words_is_shown_as_any_other(shop: ShopWriter) -> None:
    shop.piece(f"log: [2026-02-20 {'sanded on and ' * 70_000}on]\n")
    assert all(cells(line) <= 80 for line in shown(shop))


def test_the_summary_counts(full: ShopWriter) -> None:
    assert summary(look_over(full.books(), datetime(2026, 2, 21, 14))).startswith(
        "Sat 21 Feb 2026: 2 to go on with, 1 waiting,"
    )
