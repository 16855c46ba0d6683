"""`flipbook jot --planned`: a step of the plan becomes a step of the log, and is off the plan, in one edit."""

from __future__ import annotations

from datetime import date

import pytest
from shop_writer import ShopWriter, run_flipbook

FILE = "pieces/oak-stool/piece.yaml"
PLAN = """\
log:
  - 2026-02-14 looked it over
planned:
  - washed with dish soap
  - did: sanded the seat
    grit: 80, 120
    took: 35 min
    used: [1 sheet sandpaper]
    like: elm-bench 2025-03-01
    private: The seat is soft.
  - did: first wash coat
    mix: {fig blue paint: 1, water: 2, makes: 3 fl oz}
    dries: 4 h
asking:
  - {on: 2026-12-01, price: 90}
"""


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A stool with three steps still to do, and what they take on the shelf."""
    shop.receipts(
        "- {on: 2026-01-03, from: Harbour Hardware, what: sandpaper, size: 10 sheets, cost: 8.00, for: shelf}\n"
        "- {on: 2026-01-03, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf}\n"
    )
    return shop.piece(PLAN)


def jot(shop: ShopWriter, *words: str, code: int = 0) -> str:
    ran = run_flipbook("jot", "oak-stool", "--on", "2026-02-15", *words, cwd=shop.root)
    assert ran.code == code, ran
    return ran.out + ran.err


def test_the_first_step_of_the_plan_is_done_today(bench: ShopWriter) -> None:
    before = date.today()
    bench.run("jot", "oak-stool", "--planned")
    piece = bench.only()
    assert [step.did for step in piece.log] == ["looked it over", "washed with dish soap"]
    assert piece.log[1].on.day in (before, date.today())
    assert [step.did for step in piece.planned] == ["sanded the seat", "first wash coat"]


def test_a_step_is_taken_by_its_number_with_all_that_was_planned(bench: ShopWriter) -> None:
    said = jot(bench, "--planned", "2")
    piece = bench.only()
    step = piece.log[1]
    assert (step.did, step.grit, step.took, step.private) == ("sanded the seat", ("80", "120"), 35, "The seat is soft.")
    assert [use.what for use in step.used] == ["sandpaper"]
    assert [step.did for step in piece.planned] == ["washed with dish soap", "first wash coat"]
    assert "35 min" in said
    assert "--took" in said


def test_what_is_said_takes_the_place_of_what_was_planned(bench: ShopWriter) -> None:
    jot(
        bench, "--planned=2", "--took", "50 min", "--used", "3 sheets sandpaper", "--grit", "100", "sanded", "it", "all"
    )
    step = bench.only().log[1]
    assert (step.did, step.grit, step.took) == ("sanded it all", ("100",), 50)
    # 3 of 10 sheets at 8.00
    assert str(bench.books().sheets[0].cost) == "12.40"


def test_a_mix_comes_off_the_plan_as_it_was_written(bench: ShopWriter) -> None:
    jot(bench, "--planned", "3")
    step = bench.only().log[1]
    assert step.mix is not None
    assert step.dries == 240
    assert [name for name, _, _ in step.mix.parts] == ["fig blue paint", "water"]


def test_the_whole_plan_is_done_one_after_the_other(bench: ShopWriter) -> None:
    for _ in range(3):
        jot(bench, "--planned")
    piece = bench.only()
    assert [step.did for step in piece.log[1:]] == ["washed with dish soap", "sanded the seat", "first wash coat"]
    assert piece.planned == ()
    assert piece.asking
    assert "planned" in jot(bench, "--planned", code=2)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--planned", "4"], "3 planned steps and no step 4"),
        (["--planned=0"], "--planned takes the number"),
        (["--planned=two"], "--planned takes the number"),
    ],
)
def test_a_step_that_is_not_on_the_plan_is_misuse(bench: ShopWriter, words: list[str], says: str) -> None:
    before = (bench.root / FILE).read_bytes()
    assert says in jot(bench, *words, code=2)
    assert (bench.root / FILE).read_bytes() == before


def test_a_plan_that_takes_more_than_there_is_stays_a_plan(bench: ShopWriter) -> None:
    before = (bench.root / FILE).read_bytes()
    assert "[over-what-is-left]" in jot(bench, "--planned", "2", "--used", "11 sheets sandpaper", code=1)
    assert (bench.root / FILE).read_bytes() == before


def test_words_that_follow_are_words(bench: ShopWriter) -> None:
    jot(bench, "--planned", "washed", "it", "twice")
    piece = bench.only()
    assert piece.log[1].did == "washed it twice"
    assert len(piece.planned) == 2
