"""`flipbook price` as a process: offers at the door, floors through outlets, and what a find may cost."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from shop_writer import Ran, ShopWriter

Flipbook = Callable[..., Ran]

SHOP = """\
shop: Quillback Lane Refinishing
currency: USD
tax: {rules: us}
time is worth: 24.00
price steps: {hold: 7 d, drop: 5%}
outlets:
  porch sale: {}
  web marketplace: {takes: 9% + 0.40}
  grand hall: {takes: 100%}
"""
# Cost 96.10 and 12 miles at 0.725 (IRS Notice 2026-10 by books/rules/us_mileage.yaml: the business rate of 2026), 8.70.
PIECE = """\
piece: Bow-front oak workstand
kind: workstand
found: {on: 2026-02-14, from: Mill Road estate sale, cost: 96.10}
log: [2026-02-15 6 h 30 min sanded and waxed]
trips: [{on: 2026-02-14, miles: 12, to: Mill Road, why: collect the workstand}]
"""
NO_HOURS = "piece: Oval mirror\nkind: mirror\nfound: {on: 2026-02-14, cost: 10}\n"


@pytest.fixture
def priced(shop: ShopWriter) -> ShopWriter:
    today = date.today()
    asking = f"asking: [{{on: {today}, price: 400}}]\n"
    return shop.write(
        {
            "shop.yaml": SHOP,
            "pieces/workstand/piece.yaml": PIECE + asking,
            "pieces/mirror/piece.yaml": NO_HOURS,
        }
    )


# The sums: 300.00 - (27.00 + 0.40) - 96.10 - 8.70 = 167.80, over 6.5 h 25.8153…; hours x 24.00 are 156.00.
OFFERS = [
    (["workstand", "300", "--at", "web marketplace"],
     ["leaves $167.80 after a fee of $27.40", "$25.82 an hour", "at or over the floor of $287.03"]),
    (["workstand", "287.03", "--at", "web marketplace"], ["leaves $156.00", "$24.00 an hour", "at or over the floor"]),
    (["workstand", "287.02", "--at", "web marketplace"], ["leaves $155.99", "$0.01 short of the hours' worth"]),
    # No fee on the porch: 150.00 - 104.80 = 45.20, over 6.5 h 6.9538…; 156.00 - 45.20 = 110.80 short.
    (["workstand", "150"], ["at porch sale leaves $45.20", "$6.95 an hour", "$110.80 short", "under the floor of $260.80"]),
    (["workstand", "104.80"], ["leaves $0.00", "$156.00 short"]),
    (["workstand", "100"], ["loses $4.80", "under the break-even of $104.80"]),
    (["workstand", "0"], ["loses $104.80", "under the break-even"]),
    (["workstand", "900"], ["leaves $795.20", "at or over the floor"]),
    # (300 + 25) x 9% + 0.40 = 29.65; 325 - 29.65 - 104.80 = 190.55.
    (["workstand", "300", "--at", "web marketplace", "--delivery", "25"], ["and $25.00 for delivery", "leaves $190.55"]),
    (["workstand", "300", "--at", "grand hall"], ["loses $104.80", "no price there would break even"]),
    (["mirror", "50"], ["leaves $40.00", "no hours are logged, so what an hour earns cannot be known"]),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), OFFERS, ids=[" ".join(words) for words, _ in OFFERS])
def test_an_offer_is_answered_in_one_sentence(
    priced: ShopWriter, flipbook: Flipbook, words: list[str], said: list[str]
) -> None:
    ran = flipbook("price", *words, "--shop", priced.root)
    assert ran.code == 0, ran.err
    assert ran.out.count("\n") == 1
    for part in said:
        assert part in ran.out


def test_the_whole_answer_fits_a_terminal_and_shows_floors(priced: ShopWriter, flipbook: Flipbook) -> None:
    ran = flipbook("price", "workstand", "--shop", priced.root)
    assert ran.code == 0, ran.err
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    lines = {line.split("  ")[1].strip(): line for line in ran.out.splitlines() if line.startswith("  ")}
    assert lines["porch sale"].split() == ["porch", "sale", "$104.80", "$260.80"]
    # Break-even on the web: p - (0.09 p + 0.40) = 104.80 has p = 115.604…; at 115.60 the fee is 10.804, so 10.80, and
    # 104.80 is left; at 115.59 it is 10.8031, so 10.80 again, and 104.79.
    assert lines["web marketplace"].split()[2:4] == ["$115.60", "$287.03"]
    assert lines["grand hall"].split()[2:4] == ["none", "none"]
    # 400 x 0.95 = 380, x 0.95 = 361, 342.95 -> 343, 325.85 -> 326, 309.7 -> 310, 294.5 -> 295: a step a week.
    today = date.today()
    for weeks, price in enumerate(("400.00", "380.00", "361.00", "343.00", "326.00", "310.00", "295.00")):
        row = next(line for line in ran.out.splitlines() if str(today + timedelta(weeks=weeks)) in line)
        assert f"${price}" in row
    assert "now" in next(line for line in ran.out.splitlines() if f"  {today}" in line)


def test_a_price_to_try_never_comes_down_under_the_floor(priced: ShopWriter, flipbook: Flipbook) -> None:
    ran = flipbook("price", "workstand", "--asking", "280", "--shop", priced.root, "--json")
    answer = json.loads(ran.out)
    # 280 x 0.95 = 266; 252.70 is under the least floor of 260.80, which is 261 in whole units.
    assert [step["price"] for step in answer["prices"]] == ["280.00", "266.00", "261.00"]
    assert [step["given_up"] for step in answer["prices"]] == ["0.00", "14.00", "19.00"]


def _sold(price: int, found: int, hours: int, days: int) -> str:
    start = date(2026, 1, 1)
    return (
        f"piece: Pine chest\nkind: chest\nfound: {{on: {start}, cost: {found}}}\n"
        + (f"log: [{start} {hours} h waxed]\n" if hours else "")
        + f"sold: {{on: {start + timedelta(days=days)}, price: {price}, at: porch sale}}\n"
    )


def test_what_a_find_may_cost(priced: ShopWriter, flipbook: Flipbook) -> None:
    # Could have cost: 200 - 2 x 24 = 152; 300 - 4 x 24 = 204; 250 - 5 x 24 = 130. The middle is 152.
    for number, (price, found, hours, days) in enumerate([(200, 40, 2, 40), (300, 60, 4, 90), (250, 20, 5, 10)]):
        priced.write({f"pieces/chest-{number}/piece.yaml": _sold(price, found, hours, days)})
    ran = flipbook("price", "--found", "160", "--kind", "Chest", "--shop", priced.root)
    assert ran.code == 0, ran.err
    assert ran.out.startswith("Pay $152.00 at most.")
    assert "$130.00 to $204.00" in ran.out
    assert "Found for $160.00, 1 of 3 would have earned that or more." in ran.out
    answer = json.loads(flipbook("price", "--kind", "chest", "--shop", priced.root, "--json").out)
    assert answer["past"]["could_pay"]["middle"] == "152.00"
    assert (answer["past"]["price"]["least"], answer["past"]["price"]["most"]) == ("200.00", "300.00")


def test_too_few_and_none_are_said(priced: ShopWriter, flipbook: Flipbook) -> None:
    ran = flipbook("price", "--found", "60", "--kind", "mirror", "--shop", priced.root)
    assert (ran.code, ran.out) == (0, "No mirror has been sold yet, so the log cannot tell what one may cost.\n")
    priced.write({"pieces/chest-0/piece.yaml": _sold(200, 40, 2, 40)})
    assert "too few to tell" in flipbook("price", "--kind", "chest", "--shop", priced.root).out
    priced.write({"pieces/chest-0/piece.yaml": _sold(200, 40, 0, 40)})
    said = flipbook("price", "--kind", "chest", "--shop", priced.root).out
    assert "cannot be known" in said


MISUSED = [
    (["workstand", "--at", "porch sael"], "write `porch sale`"),
    (["--found", "60"], "--kind chest"),
    (["--kind", "chset"], "no piece is of the kind"),
    (["workstand", "-5"], ""),
    (["workstand", "3O0"], "`3O0`"),
    (["workstand", "300", "--delivery", "25.001"], "two decimals"),
    (["workstand", "--delivery", "25"], "goes with an offer"),
    (["wardrobe"], "no piece is named like"),
]


@pytest.mark.parametrize(("words", "said"), MISUSED, ids=[" ".join(words) for words, _ in MISUSED])
def test_misuse_is_a_sentence(priced: ShopWriter, flipbook: Flipbook, words: list[str], said: str) -> None:
    ran = flipbook("price", *words, "--shop", priced.root)
    assert ran.code == 2
    assert said in ran.err
    assert "Traceback" not in ran.err


def test_a_sold_piece_is_told_as_sold(priced: ShopWriter, flipbook: Flipbook) -> None:
    priced.write({"pieces/chest-0/piece.yaml": _sold(200, 40, 2, 40)})
    ran = flipbook("price", "chest-0", "150", "--shop", priced.root)
    assert ran.out.startswith("It was sold on 2026-02-10 for $200.00; this is as if it had not been.\n")
    # 150 - 40 = 110, over 2 h 55.00.
    assert "leaves $110.00, $55.00 an hour" in ran.out
