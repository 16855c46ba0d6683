"""`flipbook sums`: what each sum answers, held against sums worked by hand; what is refused; what is jotted down."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import GOOD_PIECE, REPOSITORY, Ran, ShopWriter, run_flipbook

from flipbook.shop.records.piece import Piece
from flipbook.sums.words import SUMS

Flipbook = Callable[..., Ran]
FILE = "pieces/oak-stool/piece.yaml"
RECEIPTS = """\
- {on: 2026-01-03, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
- {on: 2026-01-03, from: Harbour Hardware, what: satin clear coat, size: 1 quart, cost: 31.00, for: shelf, container: can}
- {on: 2026-01-03, from: Harbour Hardware, what: tung oil, size: 1 pint, cost: 20.00, for: shelf, container: can}
"""
PRODUCTS = """\
products:
  fig blue paint: {type: waterborne paint, covers: 75 sq ft per pint, recoat: 4 h, cure: 21 d}
  satin clear coat: {type: waterborne clear coat, recoat: 2 h}
"""
WASHED = """\
kind: low chest
size: 34 x 19 x 30 1/2 in
wood: red oak, oak veneer on the drawers
built: 2015
log:
  - {on: 2026-01-06, did: sanded it, grit: "80, 120, 180"}
  - {on: 2026-01-07, did: first wash, mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}}
  - {on: 2026-01-08, did: second wash, mix: {fig blue paint: 1, water: 3, makes: 8 fl oz}}
"""
ELM = "piece: Elm chair\nkind: chair\nsize: 18 x 18 x 36 in\nfound: {on: 2026-01-05, cost: 5}\n"


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A shop with a washed stool on the bench, and 10 fl oz of paint left: a pint less 4 and less 2."""
    return shop.write({"products.yaml": PRODUCTS}).receipts(RECEIPTS).piece(WASHED)


@pytest.fixture
def bare(shop: ShopWriter) -> ShopWriter:
    """A shop with a stool that has a size, no wood, no log and no plan; and all that was bought is left."""
    return shop.write({"products.yaml": PRODUCTS}).receipts(RECEIPTS).piece("size: 12 x 12 x 18 in\nbuilt: 2015\n")


def ask(bench: ShopWriter, *words: str) -> str:
    """Ask a sum, which must be answered on lines of at most 80 columns."""
    ran = run_flipbook("sums", *words, cwd=bench.root)
    assert (ran.code, ran.err) == (0, ""), ran
    assert "--json" in words or max(map(len, ran.out.splitlines())) <= 80
    return ran.out


def data(bench: ShopWriter, *words: str) -> dict[str, Any]:
    answer = json.loads(ask(bench, *words, "--json"))
    assert isinstance(answer, dict)
    assert answer["sum"] == words[0]
    return answer


def test_the_command_alone_lists_the_sums_a_line_each(bench: ShopWriter) -> None:
    listed = [line.split()[0] for line in ask(bench).partition("\n\n")[0].splitlines()]
    assert listed == list(SUMS)


@pytest.mark.parametrize("sum_of", SUMS)
def test_each_sum_has_a_page_of_its_own_that_fits_the_terminal(bench: ShopWriter, sum_of: str) -> None:
    assert ask(bench, sum_of, "--help").startswith(f"flipbook sums {sum_of} ")
    assert sum_of in ask(bench, "--help")


# What each sum answers, in full where the words matter.
TOLD: list[tuple[tuple[str, ...], str]] = [
    (
        ("mix", "fig", "blue", "paint", "1,", "water", "2", "--makes", "12 fl oz"),
        "12 fl oz: fig blue paint 4 fl oz (118 ml), water 8 fl oz (237 ml).\n"
        "Looks: a lighter wash, the grain is plain (common practice, no source).\n"
        "On the shelf: 10 fl oz of fig blue paint, enough.\n"
        "  1 + 2 = 3 parts; one part is 12 fl oz / 3 = 4 fl oz.\n"
        "  fig blue paint: 1 of 3 parts, one third of the mix.\n",
    ),
    (
        # 2842 square inches are 19.736 sq ft; x 2 / 75 x 16 x 1.1 = 9.2629 fl oz, of which the shelf has 10.
        ("coats", "--piece", "stool", "--product", "fig blue paint", "--coats", "2"),
        "19.7 sq ft to coat (1.83 sq m).\n"
        "2 coats of fig blue paint: 9.26 fl oz (274 ml).\n"
        "On the shelf: 10 fl oz of fig blue paint, enough.\n"
        "  top: 34 in x 19 in = 4.5 sq ft\n"
        "  sides: 2 x 19 in x 30 1/2 in = 8 sq ft\n"
        "  front: 34 in x 30 1/2 in = 7.2 sq ft\n"
        "  19.7 sq ft x 2 coats / 4.69 sq ft a fl oz x 1.1 = 9.26 fl oz.\n"
        "  Coverage is of one coat (products.yaml: 75 sq ft per pint).\n",
    ),
    (
        ("grits", "80", "to", "220"),
        "P80, P120, P180, P220.\n"
        "  Mean grain (FEPA, ISO 6344): P80 201 um, P120 125 um, P180 82 um, P220 68\n"
        "    um.\n"
        "  Step by step: P80 to P120 1.61, P120 to P180 1.52, P180 to P220 1.21. Up to\n"
        "    1.7 is good, past 2 scratches stay (common practice).\n",
    ),
    (
        ("drying", "2", "coats", "fig", "blue", "paint", "--begin", "2026-03-02 9:00"),
        "Mon  2 Mar  09:00  begin  first coat of fig blue paint\n"
        "            13:00  dry    fig blue paint: dry enough for the next step\n"
        "            13:00  begin  second coat of fig blue paint\n"
        "            17:00  dry    fig blue paint: dry enough for the next step\n"
        "Tue  3 Mar  13:00  sand   fig blue paint: may be sanded\n"
        "Mon  9 Mar  13:00  use    fig blue paint: may be handled, and lightly used\n"
        "Mon 23 Mar         hard   fig blue paint: fully hard\n",
    ),
]


@pytest.mark.parametrize(("words", "told"), TOLD, ids=lambda value: value[0] if isinstance(value, tuple) else "")
def test_an_answer_is_told_with_its_working(bench: ShopWriter, words: tuple[str, ...], told: str) -> None:
    assert ask(bench, *words).startswith(told)


# A line that an answer holds, its breaks aside.
HOLDS = [
    # Of 10 fl oz left 30 are short by 20: two cans of a pint, 16 fl oz each.
    (("mix", "fig blue paint 3, water 1", "--makes", "40 fl oz"), "short by 20 fl oz: buy 2 cans of 1 pint."),
    (("mix", "fig bleu paint 1, water 1", "--makes", "1 cup"), "never bought for the shelf; the nearest there is `fig blue paint`."),
    (("coats", "--piece", "elm"), "! Reckoned as a closed case, which `chair` may not be"),
    (("coats", "top", "--piece", "stool", "--product", "tung oil"), "! Caution, oily rags:"),
    (("grits", "80 to 220", "--piece", "elm"), "! Caution, lead paint:"),
    (("grits", "--piece", "stool"), "P80 is too coarse for veneer"),
    (("drying", "fig blue paint"), "The label in products.yaml, fig blue paint: 21 d."),
    (("holes", "60 x 20 cm", "--pull", "96 mm"), "600 mm by 200 mm: the first hole 300 mm − 48 mm = 252 mm from the left"),
    (("trim", "12 x 6 in", "--width", "1 in", "--stick", "8 ft"), "Buy 1 stick; no plan has fewer."),
]  # fmt: skip


@pytest.mark.parametrize(("words", "line"), HOLDS)
def test_an_answer_holds_what_matters_for_its_piece(bench: ShopWriter, words: tuple[str, ...], line: str) -> None:
    bench.write({"pieces/elm-chair/piece.yaml": ELM})
    assert line in " ".join(ask(bench, *words).split())


def test_an_age_that_is_known_brings_no_caution_about_lead(bench: ShopWriter) -> None:
    assert "lead paint" not in ask(bench, "grits", "80 to 220", "--piece", "stool")


@pytest.mark.parametrize(
    ("words", "amounts"),
    [
        (["--like", "oak-stool"], ["2 fl oz", "6 fl oz"]),
        (["--piece", "stool"], ["2 fl oz", "6 fl oz"]),
        (["--like", "stool", "first", "wash", "--makes", "30 fl oz"], ["10 fl oz", "20 fl oz"]),
        (["fig blue paint 1, water 2", "--have", "5 fl oz fig blue paint"], ["5 fl oz", "10 fl oz"]),
        (["fig blue paint 4 fl oz, water 1 cup"], ["4 fl oz", "8 fl oz"]),
        (["1:2 fig blue paint to water", "--makes", "300 ml"], ["100 ml", "200 ml"]),
        (["resin 100, hardener 30", "--makes", "260 g", "--by-weight"], ["200 g", "60 g"]),
        # 20 sq ft in 2 coats at 75 sq ft a pint, a tenth more: 9.3867 fl oz, so 9 1/2; a third of it 3.1667.
        (["fig blue paint 1, water 2", "--area", "20 sq ft", "--coats", "2"], ["3.1667 fl oz", "6 1/3 fl oz"]),
        # 2 sq m at 10 sq m a litre, a tenth more: 220 ml.
        (["fig blue paint 1, water 1", "--area", "2 sq m", "--covers", "10 sq m per l"], ["110 ml", "110 ml"]),
        (["fig blue paint 1, water 1", "--area", "20 sq ft", "--covers", "40 sq ft per cup", "--waste", "0%"], ["2 fl oz", "2 fl oz"]),
    ],
)  # fmt: skip
def test_a_mix_is_asked_for_in_several_ways(bench: ShopWriter, words: list[str], amounts: list[str]) -> None:
    assert [part["amount"] for part in data(bench, "mix", *words)["parts"]] == amounts


# What the answer for a program holds, by its keys.
DATA: list[tuple[tuple[str, ...], dict[str, object]]] = [
    # 646 / 144 = 4.4861 sq ft; 350 to 500 sq ft a gallon of 128 fl oz: 1.1484 to 1.6406.
    (
        ("coats", "top", "--piece", "stool", "--product", "satin clear coat", "--waste", "0%"),
        {"least": "1.1484 fl oz", "most": "1.6406 fl oz", "coverage": "usual for waterborne clear coat: common practice, no source"},
    ),
    # 1 sq ft / 75 x 16 = 0.21333; 0.4 of it arrives: 0.53333, and no waste on top.
    (("coats", "boards 1 at 12 x 12 in", "--product", "fig blue paint", "--spray-loss", "60%"), {"most": "0.5333 fl oz"}),
    # Three abreast in 54 in, two rows of 20 in: 40 in, and by the yard 72.
    (("panels", "6 at 18 x 20 in", "--roll", "54 in", "--sold-by", "1 yd"), {"length_mm": "1016", "to_buy_mm": "1828.8"}),
    (("panels", "back", "--piece", "stool", "--sheet", "48 x 96 in"), {"sheets": 1}),
    # 18 in x 0.00369 x 5 = 0.3321 in, 8.4353 mm.
    (("movement", "red", "oak", "--width", "18 in", "--from", "6%", "--to", "11%"), {"change_mm": "8.4353"}),
    # The piece is of red oak, 19 in deep: 19 x 0.00369 x 5 = 0.350550 in.
    (("movement", "--piece", "stool", "--from", "11%", "--to", "6%"), {"species": "red oak", "change_mm": "-8.904"}),
    # Wood Handbook, Table 4-2, at 70 F: 30% is 6.2, 65% is 12.0; 10 x 0.00369 x 5.8 = 0.21402 in.
    (("movement", "red oak", "--width", "10 in", "--from", "70 F 30%", "--to", "70 F 65%"), {"change_mm": "5.4361"}),
    (("fasteners", "--part", "3/8 in", "--behind", "3/4 in"), {"name": "18 gauge brad", "length_mm": "25.4"}),
    # 5/64 in.
    (("fasteners", "--screw", "#8", "--wood", "softwood"), {"thread_mm": "1.9844", "source": "common practice, no source"}),
]  # fmt: skip


@pytest.mark.parametrize(("words", "holds"), DATA)
def test_a_program_is_told_the_same(bench: ShopWriter, words: tuple[str, ...], holds: dict[str, object]) -> None:
    answer = data(bench, *words)
    assert {key: answer[key] for key in holds} == holds


def test_trim_for_four_fronts_in_sticks(bench: ShopWriter) -> None:
    answer = data(bench, "trim", "4 at 12 x 6 in", "--width", "1 in", "--kerf", "1/8 in", "--stick", "8 ft")
    # 12 in are 304.8 mm, and 2 in less 254; 6 in are 152.4, and 4 in 101.6.
    parts = [(p["count"], p["long_points_mm"], p["short_points_mm"]) for p in answer["parts"]]
    assert parts == [(8, "304.8", "254"), (8, "152.4", "101.6")]
    # 144 in of parts and their kerfs want two sticks of 96.
    assert (answer["sticks"]["new"], answer["sticks"]["least"]) == (2, 2)
    shelf = data(
        bench, "trim", "12 x 6 in", "--width", "1 in", "--stick", "8 ft", "--offcut", "2 ft", "--offcut", "2 ft"
    )
    # Two of 12 in and a cut are over 2 ft, so each offcut gives one of 12 and one of 6.
    assert [(cut["from_shelf"], len(cut["parts"])) for cut in shelf["sticks"]["cut"]] == [(True, 2)] * 2


def test_a_nominal_size_is_taken_as_dressed(bench: ShopWriter) -> None:
    # PS 20: a 1x2 is 1 1/2 in wide. A hexagon: 10 in less 2 x 1 1/2 x tan 30 is 8.26795 in, 210.006 mm.
    (part,) = data(bench, "trim", "--sides", "6", "--side", "10 in", "--width", "1x2")["parts"]
    assert float(part["short_points_mm"]) == pytest.approx((10 - 2 * 1.5 * 3**-0.5) * 25.4, abs=1e-4)


def test_holes_of_pulls_are_laid_out_from_true_centres(bench: ShopWriter) -> None:
    (front,) = data(bench, "holes", "3 at 30 x 8 in", "--pull", "3-3/4 in", "--each", "2")["fronts"]
    # 30 in are 762 mm; the pulls' middles at 190.5 and 571.5, and 96 mm from hole to hole.
    assert [hole["left_mm"] for hole in front["holes"]] == ["142.5", "238.5", "523.5", "619.5"]
    assert {hole["top_mm"] for hole in front["holes"]} == {"101.6"}


def test_a_clock_that_changes_takes_no_hour_from_a_coat(bench: ShopWriter, flipbook_process: Flipbook) -> None:
    # In the US the clock goes an hour ahead in the night to 8 March 2026: from noon to noon 23 hours pass.
    ran = flipbook_process(
        "sums", "drying", "2 coats oil varnish", "--begin", "2026-03-07 12:00", "--hours", "0-24", "--json",
        cwd=bench.root, env={"TZ": "America/New_York"},
    )  # fmt: skip
    entries = json.loads(ran.out)["entries"]
    assert [entry["at"] for entry in entries if entry["what"] == "work"] == ["2026-03-07T12:00", "2026-03-08T13:00"]


def test_what_is_planned_is_the_timetable_when_no_step_is_said(bench: ShopWriter) -> None:
    bench.piece(
        WASHED + "planned:\n  - {did: a third wash, mix: {fig blue paint: 1, water: 4, makes: 5 fl oz}}\n  - wax it\n"
    )
    answer = data(bench, "drying", "--piece", "stool", "--begin", "2026-03-02 9:00")
    works = [(entry["at"], entry["says"]) for entry in answer["entries"] if entry["what"] == "work"]
    assert works == [("2026-03-02T09:00", "a third wash"), ("2026-03-02T13:00", "wax it")]


@pytest.mark.parametrize(("temperature", "humidity", "note"), [("45 F", "50%", "Under 50 F"), ("8 C", "50%", "Under 50 F"), ("70 F", "90%", "Over 85%")])  # fmt: skip
def test_cold_and_damp_are_noted(bench: ShopWriter, temperature: str, humidity: str, note: str) -> None:
    words = ("drying", "fig blue paint", "--begin", "2026-03-02 9:00")
    plain, noted = data(bench, *words), data(bench, *words, "--temperature", temperature, "--humidity", humidity)
    assert plain["entries"] == noted["entries"]
    assert any(line.startswith(note) for line in noted["notes"])


def test_cautions_of_a_piece_and_all_of_them(bench: ShopWriter) -> None:
    bench.piece("log:\n  - 2026-01-06 sanded it\nseen to: [lead paint]\n")
    own = data(bench, "cautions", "--piece", "stool")
    assert [(one["name"], one["seen_to"]) for one in own["cautions"]] == [("lead paint", True)]
    assert "Source: 16 CFR 1303.1" in ask(bench, "cautions", "--piece", "stool")
    assert len(data(bench, "cautions")["cautions"]) == 10


def test_a_mix_outside_any_shop_needs_none(bench: ShopWriter) -> None:
    ran = run_flipbook("sums", "mix", "paint 1, water 2", "--makes", "12 fl oz", cwd=bench.root.parent)
    assert (ran.code, ran.err) == (0, "")
    assert "shelf" not in ran.out


def test_a_shop_with_a_problem_elsewhere_is_told_without_its_shelf(bench: ShopWriter) -> None:
    bench.write({"pieces/pine-chest/piece.yaml": "piece: Pine chest\nsize: big\n"})
    out = ask(bench, "mix", "fig blue paint 1, water 2", "--makes", "12 fl oz")
    assert out.startswith("12 fl oz: fig blue paint 4 fl oz")
    assert "The shelf is not told: the shop has problems" in out


def test_a_piece_whose_file_cannot_be_read_shows_its_problem(bench: ShopWriter) -> None:
    bench.piece("size: big\n")
    ran = run_flipbook("sums", "coats", "--piece", "oak-stool", cwd=bench.root)
    assert (ran.code, ran.out) == (1, "")
    assert "pieces/oak-stool/piece.yaml:3:7" in ran.err


# What is asked wrongly. What a sum itself refuses is told by its own tests; here are the words and options it is asked in.
REFUSED = [
    (("mx",), "did you mean `mix`?"),
    (("mix", "--maks", "1 cup"), "did you mean `--makes`?"),
    (("mix",), "no part of a mix was said"),
    (("mix", "1:2", "--makes", "12 fl oz"), "the mix: `1:2` does not say which is the water"),
    (("mix", "paint 1, water 2"), "say how much it makes"),
    (("mix", "paint 1, water 2", "--makes", "12 oz"), "--makes: 12 oz is a weight"),
    (("mix", "paint 1, water 2", "--makes=-3 fl oz"), "not negative"),
    (("mix", "paint 1, water 2", "--makes", "12 fl oz", "--have", "1 fl oz paint"), "one of --makes, --have, --area"),
    (("mix", "paint 1, water 2", "--have", "5 fl oz"), "does not say of what"),
    (("mix", "paint 1, water 2", "--have", "5 oz paint"), "5 oz is a weight"),
    (("mix", "paint 1, water 2", "--have", "5 fl oz oil"), "is no part of this mix"),
    (("mix", "stuff 1, water 2", "--area", "20 sq ft"), "nothing says how far it goes"),
    (("mix", "paint 1, water 2", "--area", "20 ft"), "is no area"),
    (("mix", "paint 1, water 2", "--area", "9999999 sq ft"), "more than any piece has"),
    (("mix", "paint 4 oz, water 8 fl oz"), "a weight and a volume"),
    (("mix", "--like", "stool"), "has no mix in its log"),
    (("mix", "--like", "dresser"), "no piece is named like"),
    (("mix", "--piece", "stool"), "has no mix in its log"),
    (("mix", "paint 1, water 2", "--makes", "1 cup", "--on", "someday", "--jot", "--piece", "stool"), "--on"),
    (("coats",), "the size of the piece is not said"),
    (("coats", "--size", "34 x 19"), "--size: a size is three numbers"),
    (("coats", "wings", "--piece", "stool"), "is no part known here"),
    (("coats", "--piece", "stool", "--coats", "2"), "coats of what?"),
    (("coats", "--piece", "stool", "--product", "mystery"), "nothing says how far"),
    (("coats", "--piece", "stool", "--product", "paint", "--coats", "0"), "no number of coats"),
    (("coats", "--piece", "stool", "--product", "paint", "--waste", "10"), "--waste"),
    (("coats", "--piece", "stool", "--product", "paint", "--spray-loss", "100%"), "a spraying loss"),
    (("coats", "--piece", "stool", "--product", "paint", "--covers", "75 ft per pint"), "is not a coverage"),
    (("coats", "--piece", "stool", "--product", "fig blue paint", "--covers", "75 sq ft per lb"), "by weight"),
    (("coats", "--piece", "stool", "--product", "paint", "--sold-in", "1 lb"), "is a weight"),
    (("coats", "--piece", "stool", "--jot"), "an area is no step"),
    (("grits",), "say the grits"),
    (("grits", "320"), "the grits: `320` does not say which series"),
    (("grits", "220 to 80"), "write the coarser one first"),
    (("grits", "80 to 120, 220"), "a list has no `to` in it"),
    (("grits", "--for", "polish"), "--for: `polish` is no purpose known here"),
    (("grits", "80", "--series", "JIS"), "is no series"),
    (("grits", "--piece", "stool"), "has no grits in its log"),
    (("drying",), "dry what?"),
    (("drying", "patience"), "is in no products.yaml"),
    (("drying", "--piece", "stool"), "nothing planned and no coat in its log"),
    (("drying", "shellac", "--hours", "20-8"), "close before they open"),
    (("drying", "shellac", "--begin", "someday"), "--begin"),
    (("drying", "shellac", "--temperature", "warm"), "is no temperature"),
    (("drying", "shellac", "--temperature", "9000 F"), "no shop has that temperature"),
    (("drying", "shellac", "--humidity", "50"), "--humidity"),
    (("drying", "shellac", "--calendar", "plan.txt"), "writes a .ics file"),
    (("drying", "shellac", "--calendar", "no/such/plan.ics"), "cannot be written"),
    (("trim", "12 x 6 in"), "say how wide the trim is"),
    (("trim", "--width", "1 in"), "no front was said"),
    (("trim", "12 in", "--width", "1 in"), "the fronts: "),
    (("trim", "12 x 6 in", "--width", "1"), "--width: `1` has no unit"),
    (("trim", "12 x 6 in", "--width", "1x99"), "is no nominal size"),
    (("trim", "12 x 6 in", "--width", "1 in", "--measured", "about"), "is not known; write outside, inside, middle or panel"),
    (("trim", "12 x 6 in", "--width", "1 in", "--offcut", "3 ft"), "goes with the length that is bought"),
    (("trim", "12 x 6 in", "--sides", "6", "--side", "1 ft", "--width", "1 in"), "leave the fronts out"),
    (("trim", "--sides", "6", "--width", "1 in"), "say how long a side is"),
    (("trim", "front", "--width", "1 in"), "the size of the piece is not said"),
    (("panels", "18 x 20 in"), "cut from what?"),
    (("panels", "18 x 20 in", "--roll", "54 in", "--sheet", "1 x 1 ft"), "cut from what?"),
    (("panels", "18 x 20 in, 3 x 4 in", "--roll", "54 in"), "one size of piece"),
    (("panels", "18 x 20 in", "--sheet", "24 x 48 in", "--sold-by", "1 yd"), "goes with a roll"),
    (("panels", "18 x 20 in", "--roll", "54 in", "--svg", "layout"), "writes a .svg file"),
    (("holes", "30 x 8 in"), "say the pull by its centres"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--knob"), "say the pull by its centres"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--each", "two"), "--each: `two` is no whole number"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--spread", "fifths"), "--spread"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--template", "t.svg", "--paper", "napkin"), "no paper known here"),
    (("holes", "40 x 8 in", "--pull", "320 mm", "--template", "t.svg"), "are wider than letter paper"),
    (("movement", "--from", "6%", "--to", "8%"), "how wide is the board"),
    (("movement", "red oak", "--width", "18 in", "--to", "8%"), "--from is not said"),
    (("movement", "--piece", "stool", "--from", "6%", "--to", "8%"), "which wood?"),
    (("movement", "red oak", "--width", "18 in", "--from", "400 F 40%", "--to", "8%"), "no air to keep furniture in"),
    (("fasteners", "--part", "3/4 in"), "say both thicknesses"),
    (("fasteners", "--part", "3/4 in", "--behind", "1/8"), "--behind: `1/8` has no unit"),
    (("fasteners", "--screw", "x"), "no whole number"),
    (("fasteners", "--screw", "8", "--part", "1 in"), "one of the two"),
    (("fasteners", "--screw", "8", "--wood", "pine"), "is not known; write hardwood or softwood"),
    (("grits", "80 to 220", "--jot"), "say which with `--piece PIECE`"),
    (("grits", "80 to 220", "--piece", "stool", "--jot", "--json"), "say one of the two"),
    (("cautions", "--piece", "stool", "--jot"), "is for you to write"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "says"), REFUSED, ids=lambda value: "-".join(value)[:60] if isinstance(value, tuple) else "")  # fmt: skip
def test_misuse_is_a_sentence(bare: ShopWriter, words: tuple[str, ...], says: str) -> None:
    before = {path: path.read_bytes() for path in bare.root.rglob("*") if path.is_file()}
    ran = run_flipbook("sums", *words, cwd=bare.root)
    assert (ran.code, ran.out) == (2, ""), ran
    assert says in ran.err
    assert ran.err.startswith("flipbook: ")
    assert {path: path.read_bytes() for path in bare.root.rglob("*") if path.is_file()} == before


def test_another_file_of_that_name_is_left_alone(bare: ShopWriter) -> None:
    other = bare.root / "notes.svg"
    other.write_text("my notes")
    ran = run_flipbook("sums", "panels", "6 x 8 in", "--sheet", "24 x 48 in", "--svg", str(other), cwd=bare.root)
    assert ran.code == 2
    assert "is there already, and is another kind of file" in ran.err
    assert other.read_text() == "my notes"


def test_the_piece_is_named_as_everywhere(bare: ShopWriter) -> None:
    bare.write({"pieces/oak-chest/piece.yaml": GOOD_PIECE.replace("stool", "chest")})
    ran = run_flipbook("sums", "coats", "--piece", "oak", cwd=bare.root)
    assert ran.code == 2
    assert "`oak` fits 2 pieces" in ran.err


word = st.text(max_size=24) | st.sampled_from(
    ["80 to 220", "paint 1, water 2", "top, sides", "2 coats shellac", "12 x 6 in", "4 at 30 x 8 in", "red oak", "12 fl oz",
     "10%", "3-3/4 in", "70 F 40%", "P320", "8:00-18:00", "tomorrow", "1x4", "0", "999999999 in", "-1"]
)  # fmt: skip
OPTIONS = sorted(
    {
        option.name
        for one in SUMS.values()
        for option in one.options
        if option.value and option.value not in ("FILE", "DIR")
    }
)


@given(
    st.sampled_from(sorted(SUMS)),
    st.lists(word, max_size=3),
    st.lists(st.tuples(st.sampled_from(OPTIONS), word), max_size=4),
)
@settings(max_examples=examples(400))
def test_any_words_are_answered_or_refused(
    bare: ShopWriter, sum_of: str, words: list[str], options: list[tuple[str, str]]
) -> None:
    ran = run_flipbook("sums", sum_of, *words, *(f"{option}={value}" for option, value in options), cwd=bare.root)
    assert ran.code in (0, 2)
    assert bool(ran.out) == (ran.code == 0)


# What is jotted down.
def jot(bare: ShopWriter, *words: str) -> Piece:
    """Jot a sum down, which must be done with every other byte as it was; the piece as the program's reader has it."""
    before = (bare.root / FILE).read_text("utf-8")
    out = ask(bare, *words, "--piece", "oak-stool", "--jot")
    after = (bare.root / FILE).read_text("utf-8")
    kept = iter(after.splitlines())
    assert all(line in kept for line in before.splitlines())
    number = re.search(rf"^Written at {re.escape(FILE)}:([0-9]+)$", out, re.MULTILINE)
    assert number is not None
    assert after.splitlines()[int(number[1]) - 1].strip().startswith("- ")
    return bare.books().facts.pieces[0].piece


def test_a_mix_is_a_step_of_today_and_takes_its_paint_off_the_shelf(bare: ShopWriter) -> None:
    day = date.today()
    (step,) = jot(bare, "mix", "fig blue paint 1, water 2", "--makes", "12 fl oz", "--did", "first wash coat").log
    assert step.on.day in (day, date.today())
    assert step.did == "first wash coat"
    assert step.mix is not None
    assert [(name, parts) for name, parts, _ in step.mix.parts] == [("fig blue paint", 1), ("water", 2)]
    assert bare.books().shelf.products["fig blue paint"].left == Fraction(12, 16)  # of a pint, less 4 fl oz


def test_a_mix_made_by_amounts_is_written_in_parts(bare: ShopWriter) -> None:
    (step,) = jot(bare, "mix", "fig blue paint 4 fl oz, water 8 fl oz", "--on", "2026-01-07 9:30").log
    assert step.did == "mixed fig blue paint 1 to water 2"
    assert (str(step.on.day), str(step.on.clock)) == ("2026-01-07", "09:30:00")
    assert bare.books().shelf.products["fig blue paint"].left == Fraction(12, 16)


def test_a_mix_that_the_shelf_cannot_give_is_not_written(bare: ShopWriter) -> None:
    before = (bare.root / FILE).read_bytes()
    words = ("mix", "fig blue paint 1, water 1", "--makes", "1 gallon", "--piece", "stool", "--jot")
    ran = run_flipbook("sums", *words, cwd=bare.root)
    assert ran.code == 1
    assert "over-what-is-left" in ran.err
    assert (bare.root / FILE).read_bytes() == before


def test_coats_are_planned_one_by_one_with_what_they_take(bare: ShopWriter) -> None:
    piece = jot(bare, "coats", "--product", "fig blue paint", "--coats", "2")
    assert [step.did for step in piece.planned] == ["first coat of fig blue paint", "second coat of fig blue paint"]
    # 12 x 12 + 2 x 12 x 18 + 12 x 18 = 792 sq in, 5.5 sq ft; / 75 x 16 x 1.1 = 1.2907 fl oz a coat, rounded up.
    assert [str(use.taken) for step in piece.planned for use in step.used] == ["1.3 fl oz", "1.3 fl oz"]
    assert {step.dries for step in piece.planned} == {240}
    assert piece.log == ()


@pytest.mark.parametrize(
    ("words", "did", "grits"),
    [
        (("grits", "80 to 180"), "sand", ("P80", "P120", "P180")),
        (("grits", "--for", "stain"), "sand for stain", ("P100", "P120", "P150", "P180")),
        (("grits", "--for", "scuff"), "scuff the old finish", ("P180", "P220")),
        (("grits", "CAMI 180, CAMI 320", "--did", "sand the seat"), "sand the seat", ("180", "320")),
        (("drying", "2 coats satin clear coat"), "first coat of satin clear coat", ()),
        (("trim", "2 at 10 x 6 in", "--width", "1 in"), "cut the trim, mitred: 4 x front 1, long: 10 in long points", ()),
        (("panels", "2 at 6 x 8 in", "--roll", "54 in", "--sold-by", "1 yd"), "cut 2 pieces of 6 in by 8 in from 36 in of a roll 54 in wide", ()),
        (("panels", "top", "--sheet", "24 x 48 in"), "cut 1 piece of 12 in by 12 in from 1 sheet of 24 in by 48 in", ()),
        (("holes", "10 x 6 in", "--pull", "96 mm"), "drill for pulls: `front 1`, 10 in by 6 in", ()),
        (("movement", "red oak", "--from", "6%", "--to", "11%"), "leave 7/32 in", ()),
        (("fasteners", "--part", "3/8 in", "--behind", "3/4 in"), "nail with 18 gauge brads, 1 in", ()),
        (("fasteners", "--screw", "8"), "drill for number 8 screws: 11/64 in through the part, 7/64 in into the hardwood", ()),
    ],
)  # fmt: skip
def test_what_is_still_to_do_is_planned(
    bare: ShopWriter, words: tuple[str, ...], did: str, grits: tuple[str, ...]
) -> None:
    piece = jot(bare, *words)
    assert piece.log == ()
    assert piece.planned[0].did.startswith(did)
    assert piece.planned[0].grit == grits


def test_a_drawing_is_written_a_file_for_each_page_and_may_be_made_again(bare: ShopWriter) -> None:
    words = ("holes", "3 at 30 x 8 in, 14 x 6 in", "--pull", "96 mm", "--template", "t.svg")
    assert "Written: t-1.svg, a drilling template" in ask(bare, *words)
    assert [path.name for path in sorted(bare.root.glob("*.svg"))] == ["t-1.svg", "t-2.svg"]
    assert data(bare, *words)["files"] == ["t-1.svg", "t-2.svg"]


def test_drying_times_are_planned_with_their_coats_and_give_the_same_timetable_again(bare: ShopWriter) -> None:
    piece = jot(bare, "drying", "fig blue paint", "--begin", "2026-03-02 9:00")
    assert [(step.did, step.dries) for step in piece.planned] == [("coat of fig blue paint", 240)]
    again = data(bare, "drying", "--piece", "stool", "--begin", "2026-03-02 9:00")
    assert [entry["at"] for entry in again["entries"] if entry["what"] == "recoat"] == ["2026-03-02T13:00"]


def test_nothing_is_planned_for_a_piece_that_has_left(bare: ShopWriter) -> None:
    bare.piece("size: 12 x 12 x 18 in\nsold: {on: 2026-02-01, price: 90}\n")
    before = (bare.root / FILE).read_bytes()
    ran = run_flipbook("sums", "grits", "80 to 180", "--piece", "oak-stool", "--jot", cwd=bare.root)
    assert (ran.code, ran.out) == (2, "")
    assert "is sold, so nothing is left to plan" in ran.err
    assert (bare.root / FILE).read_bytes() == before


# The demo's pieces.
@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> ShopWriter:
    """A copy of the demo shop."""
    root = tmp_path_factory.mktemp("demo") / "shop"
    writer = ShopWriter(root)
    shutil.copytree(REPOSITORY / "demo_shop", root, ignore=shutil.ignore_patterns("out", "drawing"), dirs_exist_ok=True)
    return writer


DEMO_PIECES = sorted(path.name for path in (REPOSITORY / "demo_shop" / "pieces").iterdir() if path.is_dir())
ASKED: dict[str, tuple[str, ...]] = {
    "mix": ("satin clear coat 10, water 1", "--makes", "1 fl oz"),
    "coats": ("--product", "satin clear coat", "--coats", "3"),
    "grits": ("80 to 220",),
    "drying": ("2 coats satin clear coat",),
    "trim": ("front", "--width", "3/4 in"),
    "panels": ("side", "--roll", "54 in"),
    "holes": ("front", "--pull", "96 mm"),
    "movement": ("red oak", "--from", "6%", "--to", "11%"),
    "fasteners": ("--screw", "8"),
    "cautions": (),
}


@pytest.mark.parametrize(("nth", "sum_of"), list(enumerate(SUMS)))
def test_every_sum_answers_for_pieces_of_the_demo(demo: ShopWriter, nth: int, sum_of: str) -> None:
    for piece in DEMO_PIECES[nth % 3 :: 3]:
        assert ask(demo, sum_of, *ASKED[sum_of], "--piece", piece)


def test_every_sum_is_jotted_into_the_demo_and_the_shop_stays_good(demo: ShopWriter) -> None:
    for sum_of in SUMS.keys() - {"cautions"}:
        for piece in ("spindle-chair", "secretary-desk"):
            ask(demo, sum_of, *ASKED[sum_of], "--piece", piece, "--jot")
    assert not [problem for problem in demo.problems() if not problem.warning]
