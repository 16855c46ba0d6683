"""What is refused in piece.yaml (FORMAT.md, "piece.yaml"), but for dates and sums, which have a file of their own."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, ShopWriter

PIECE = "pieces/oak-stool/piece.yaml"
STEP = "log:\n  - on: 2026-02-01\n    did: washed\n"
SOLD = "sold:\n  on: 2026-04-11\n  price: 380.00\n"
TRIP = "trips:\n  - {on: 2026-02-14, miles: 22, to: Mill Road}\n"

REFUSED = [
    # the piece and how it came
    ("«kind»: stool\nfound: {on: 2026-01-05, cost: 1}\n", "missing-key", "`piece: …`"),
    ('piece: «""»\nfound: {on: 2026-01-05, cost: 1}\n', "empty", "a few words"),
    ("piece: Oak stool\nfound: «»{on: 2026-01-05}\n", "no-cost", "`cost: 0` for a free find"),
    ("piece: Oak stool\nfound: «»{cost: 1}\n", "missing-key", "`on: …`"),
    ("piece: Oak stool\nfound: {on: 2026-01-05, cost: «9», own: {cost: 9, worth: 5}}\n", "own-and-cost", "take `cost`"),
    ("piece: Oak stool\nfound: {on: 2026-01-05, tax: «9», own: {cost: 9, worth: 5}}\n", "own-and-cost", "take `tax`"),
    ("piece: Oak stool\nfound: {on: 2026-01-05, own: «»{cost: 9}}\n", "missing-key", "`worth: …`"),
    (GOOD_PIECE + "customer: «yes»\n", "found-and-customer", "keep `customer: yes`, or `found:`"),
    (GOOD_PIECE + "flaws: [A ring., «~»]\n", "empty", "a few words"),
    # steps
    (GOOD_PIECE + "log:\n  - «washed» with dish soap\n", "step", "`2026-02-15 40 min washed with dish soap`"),
    (GOOD_PIECE + "log:\n  - «02-15» washed\n", "step", "`2026-02-15 40 min washed with dish soap`"),
    (GOOD_PIECE + "log:\n  - «2026-02-15»\n", "step", "washed with dish soap"),
    (GOOD_PIECE + "log:\n  - «2026-02-15 40 min»\n", "step", "washed with dish soap"),
    (GOOD_PIECE + "log:\n  - 2026-«02-30» washed\n", "date", "check the month and the day"),
    (GOOD_PIECE + "log:\n  - 2026-02-15 «25:00» washed\n", "date", "from 0:00 to 23:59"),
    (GOOD_PIECE + "log:\n  - 2026-02-15 «0 min» washed\n", "time-taken", "leave it out"),
    (GOOD_PIECE + "log:\n  - 2026-02-15 «15 min 1 h» washed\n", "time-taken", "`1 h 15 min`"),
    (GOOD_PIECE + "log:\n  - «2026-02-155» washed\n", "step", "`2026-02-15 40 min washed with dish soap`"),
    (GOOD_PIECE + "log:\n  - «2026-02-15washed» twice\n", "step", "`2026-02-15 40 min washed with dish soap`"),
    (GOOD_PIECE + "log:\n  - «2026-02-15T10:00» washed\n", "step", "`2026-02-15 40 min washed with dish soap`"),
    (GOOD_PIECE + "log:\n  - «»2026-02-15 washed: twice\n", "step-with-colon", "in quotes"),
    (GOOD_PIECE + "log:\n  - «»2026-02-15 40 min note to self: rinse more\n", "step-with-colon", "in quotes"),
    (GOOD_PIECE + "log: [2026-02-15 washed, «dried» overnight]\n", "step", "quotes"),
    (GOOD_PIECE + "log:\n  - «»{on: 2026-02-15, took: 5 min}\n", "missing-key", "`did: …`"),
    (GOOD_PIECE + "log:\n  - «»{did: washed}\n", "missing-key", "`on: …`"),
    (GOOD_PIECE + "log:\n  - {on: 2026-02-15, did: washed, «rinsed»}\n", "unknown-key", "quotes"),
    (GOOD_PIECE + STEP + "    took: «[1, 2]»\n", "wrong-kind", "`1 h 15 min`"),
    (GOOD_PIECE + STEP + "    dries: «overnight»\n", "time-taken", "`1 h 15 min`"),
    # what a step used
    (GOOD_PIECE + STEP + "    used: [«paste wax»]\n", "use", "`4 fl oz black milk paint`"),
    (GOOD_PIECE + STEP + "    used: [«4 fl oz»]\n", "use", "`4 fl oz black milk paint`"),
    (GOOD_PIECE + STEP + "    used: [«1/4»]\n", "use", "`1/4 can satin clear coat`"),
    (GOOD_PIECE + STEP + "    used: [1 oz wax, «clear»]\n", "use", "a comma inside [ ] starts a new entry"),
    (GOOD_PIECE + STEP + "    used: [«0 oz wax»]\n", "use", "greater than 0"),
    (GOOD_PIECE + STEP + "    used: [«-1 oz wax»]\n", "use", "`4 fl oz black milk paint`"),
    (GOOD_PIECE + STEP + "    used: [«[1 oz wax]»]\n", "wrong-kind", "`4 fl oz black milk paint`"),
    (GOOD_PIECE + STEP + "    used: {what: wax, amount: «some»}\n", "amount", "`4 fl oz black milk paint`"),
    (GOOD_PIECE + STEP + "    used: {what: wax, amount: 1 «oz more»}\n", "amount", "fl oz, cup, pint"),
    (GOOD_PIECE + STEP + "    used: «»{what: wax}\n", "missing-key", "`amount: …`"),
    (GOOD_PIECE + STEP + "    mix: «»{fig blue paint: 1, water: 2}\n", "mix", "makes: 8 fl oz"),
    (GOOD_PIECE + STEP + "    mix: «»{makes: 12 fl oz}\n", "mix", "makes: 8 fl oz"),
    (GOOD_PIECE + STEP + "    mix: «1 part paint»\n", "wrong-kind", "makes: 8 fl oz"),
    (GOOD_PIECE + STEP + "    mix: {fig blue paint: «0», water: 2, makes: 12 fl oz}\n", "mix", "greater than 0"),
    (GOOD_PIECE + STEP + "    mix: {fig blue paint: «one», water: 2, makes: 12 fl oz}\n", "mix", "`1 1/2`"),
    (GOOD_PIECE + STEP + "    mix: {fig blue paint: 1, water: 2, makes: «12»}\n", "mix", "write it with one"),
    (GOOD_PIECE + STEP + "    mix: {water: 1, «Water»: 2, makes: 12 fl oz}\n", "duplicate-key", "keep one"),
    # trips, offers, photos
    (GOOD_PIECE + TRIP.replace("miles: 22, ", "").replace("{", "«»{"), "distance", "`miles: 22` or `km: 35`"),
    (GOOD_PIECE + TRIP.replace("22", "22, km: «35»"), "distance", "`miles: 22` or `km: 35`"),
    (GOOD_PIECE + TRIP.replace("to: Mill Road", "why: collect").replace("{", "«»{"), "missing-key", "`to: …`"),
    (GOOD_PIECE + "offers:\n  - {on: 2026-03-24, price: 300, answer: «maybe»}\n", "answer", "`counter 350`"),
    (GOOD_PIECE + "offers:\n  - {on: 2026-03-24, price: 300, answer: «counter»}\n", "answer", "`counter 350`"),
    (GOOD_PIECE + "offers:\n  - {on: 2026-03-24, price: 300, answer: «counter 350.005»}\n", "answer", "to the cent"),
    (GOOD_PIECE + "photos: [«photos/after.jpg»]\n", "wrong-kind", "`file`"),
    # how it left
    (GOOD_PIECE + "sold: «»{on: 2026-04-11}\n", "missing-key", "`price: …`"),
    (GOOD_PIECE + "sold: «»{price: 380}\n", "missing-key", "`on: …`"),
    (GOOD_PIECE + SOLD + "  at: «portch sale»\n", "no-such-outlet", "write `porch sale`"),
    (GOOD_PIECE + SOLD + "  at: «the moon»\n", "no-such-outlet", "`antiques hall`"),
    (GOOD_PIECE + SOLD + "  fees: «12%»\n", "money", "`40.50`"),
    (GOOD_PIECE + SOLD + "  payments: «{on: 2026-04-11, amount: 380}»\n", "wrong-kind", "`- `"),
    (GOOD_PIECE + SOLD + "  returned: «»{refund: 380}\n", "missing-key", "`on: …`"),
    (GOOD_PIECE + SOLD + "kept: «»{on: 2026-04-12}\n", "ended-twice", "keep one of sold, kept, given and scrapped"),
    (GOOD_PIECE + "kept: {on: 2026-04-12}\ngiven: «»{on: 2026-04-13}\n", "ended-twice", "keep one of"),
    (GOOD_PIECE + "given: {on: 2026-04-12}\nscrapped: «»{on: 2026-04-13}\n", "ended-twice", "keep one of"),
    (GOOD_PIECE + "sold:\n  - {on: 2026-04-01, price: 9}\n  - «»{on: 2026-04-02, price: 9}\n", "sold-twice",
     "`returned: {on: …, refund: …}`"),
]  # fmt: skip


@pytest.mark.parametrize(("marked", "name", "hint"), REFUSED)
def test_what_a_piece_cannot_say_is_refused(shop: ShopWriter, marked: str, name: str, hint: str) -> None:
    text, expected = unmarked(marked)
    shop.write({PIECE: text})
    expect_one(shop.problems(), PIECE, text, expected, name, hint)


def test_a_piece_that_does_not_say_how_it_came_is_pointed_out_and_reckoned_all_the_same(shop: ShopWriter) -> None:
    shop.write({PIECE: "piece: Oak stool\nkind: stool\n"})
    (problem,) = shop.problems()
    assert (problem.name, problem.warning) == ("how-it-came", True)
    assert "`found:`" in problem.help
    assert shop.check().books is not None


@pytest.mark.parametrize(
    "came",
    [
        "customer: yes\n",
        "bought:\n  - {on: 2026-01-02, from: M., what: the stool, cost: 9, as: found}\n",
        "found: {on: 2026-01-05, own: {cost: 9, worth: 5}}\n",
        "found: {on: 2026-01-05, cost: 0}\n",
    ],
)
def test_each_way_that_a_piece_may_come_is_no_problem(shop: ShopWriter, came: str) -> None:
    assert shop.write({PIECE: "piece: Oak stool\n" + came}).problems() == []


def test_outlets_are_explained_when_the_shop_names_none(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": "shop: Quillback Lane\ncurrency: USD\n"}).piece(SOLD + "  at: porch sale\n")
    (problem,) = shop.problems()
    assert (problem.name, problem.place.line, problem.place.column) == ("no-such-outlet", 6, 7)
    assert "`outlets:` in shop.yaml" in problem.help


def test_every_problem_of_one_step_is_told(shop: ShopWriter) -> None:
    shop.piece("log:\n  - on: 2026-02-31\n    took: 5\n    grit: fine\n    hide: maybe\n    usd: 1\n")
    assert [(p.place.line, p.place.column, p.name) for p in shop.problems()] == [
        (4, 5, "missing-key"),
        (4, 14, "date"),
        (5, 11, "time-taken"),
        (6, 11, "grit"),
        (7, 11, "yes-or-no"),
        (8, 5, "unknown-key"),
    ]
