"""`flipbook sums`: what each sum answers, held against sums worked by hand, and the same for a program."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from shop_writer import Ran, ShopWriter, run_flipbook

from flipbook.sums.words import SUMS

Flipbook = Callable[..., Ran]

RECEIPTS = """\
- {on: 2026-01-03, from: Harbour Hardware, what: fog grey paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
- {on: 2026-01-03, from: Harbour Hardware, what: satin clear coat, size: 1 quart, cost: 31.00, for: shelf, container: can}
- {on: 2026-01-03, from: Harbour Hardware, what: tung oil, size: 1 pint, cost: 20.00, for: shelf, container: can}
"""
PRODUCTS = """\
products:
  fog grey paint: {type: waterborne paint, covers: 75 sq ft per pint, recoat: 4 h, cure: 21 d}
  satin clear coat: {type: waterborne clear coat, recoat: 2 h}
"""
PIECE = """\
kind: washstand
size: 34 x 19 x 30 1/2 in
wood: red oak, oak veneer on the drawers
built: 2015
log:
  - {on: 2026-01-06, did: sanded it, grit: "80, 120, 180"}
  - {on: 2026-01-07, did: first wash, mix: {fog grey paint: 1, water: 2, makes: 12 fl oz}}
  - {on: 2026-01-08, did: second wash, mix: {fog grey paint: 1, water: 3, makes: 8 fl oz}}
"""


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A shop with a washstand on the bench, and 10 fl oz of paint left: a pint less 4 and less 2."""
    return shop.write({"products.yaml": PRODUCTS}).receipts(RECEIPTS).piece(PIECE)


def ask(bench: ShopWriter, *words: str) -> Ran:
    """Ask a sum, which must be answered on lines of at most 80 columns."""
    ran = run_flipbook("sums", *words, cwd=bench.root)
    assert (ran.code, ran.err) == (0, ""), ran
    assert "--json" in words or max(map(len, ran.out.splitlines())) <= 80
    return ran


def data(bench: ShopWriter, *words: str) -> dict[str, Any]:
    answer = json.loads(ask(bench, *words, "--json").out)
    assert isinstance(answer, dict)
    assert answer["sum"] == words[0]
    return answer


def test_a_mix_by_its_parts_is_told_with_its_working_and_the_shelf(bench: ShopWriter) -> None:
    assert ask(bench, "mix", "fog", "grey", "paint", "1,", "water", "2", "--makes", "12 fl oz").out == (
        "12 fl oz: fog grey paint 4 fl oz (118 ml), water 8 fl oz (237 ml).\n"
        "Looks: a lighter wash, the grain is plain (common practice, no source).\n"
        "On the shelf: 10 fl oz of fog grey paint, enough.\n"
        "  1 + 2 = 3 parts; one part is 12 fl oz / 3 = 4 fl oz.\n"
        "  fog grey paint: 1 of 3 parts, one third of the mix.\n"
    )


def test_a_past_mix_is_the_last_or_the_one_that_the_words_name(bench: ShopWriter) -> None:
    last = data(bench, "mix", "--like", "oak-stool")
    assert last["makes"] == "8 fl oz"
    assert [part["parts"] for part in last["parts"]] == ["1", "3"]
    first = data(bench, "mix", "--like", "stool", "first", "wash", "--makes", "30 fl oz")
    assert [part["amount"] for part in first["parts"]] == ["10 fl oz", "20 fl oz"]
    assert str(first["like"]).startswith("oak-stool on 2026-01-07")
    assert data(bench, "mix", "--piece", "stool")["makes"] == "8 fl oz"


@pytest.mark.parametrize(
    ("words", "amounts"),
    [
        (["fog grey paint 1, water 2", "--have", "5 fl oz fog grey paint"], ["5 fl oz", "10 fl oz"]),
        (["fog grey paint 4 fl oz, water 1 cup"], ["4 fl oz", "8 fl oz"]),
        (["1:2 fog grey paint to water", "--makes", "300 ml"], ["100 ml", "200 ml"]),
        (["resin 100, hardener 30", "--makes", "260 g", "--by-weight"], ["200 g", "60 g"]),
        # 20 sq ft in 2 coats at 75 sq ft a pint, a tenth more: 9.3867 fl oz, so 9 1/2; a third of it 3.1667.
        (["fog grey paint 1, water 2", "--area", "20 sq ft", "--coats", "2"], ["3.1667 fl oz", "6 1/3 fl oz"]),
        # 2 sq m at 10 sq m a litre, a tenth more: 220 ml.
        (["fog grey paint 1, water 1", "--area", "2 sq m", "--covers", "10 sq m per l"], ["110 ml", "110 ml"]),
        (["fog grey paint 1, water 1", "--area", "20 sq ft", "--covers", "40 sq ft per cup", "--waste", "0%"], ["2 fl oz", "2 fl oz"]),
    ],
)  # fmt: skip
def test_a_mix_is_asked_for_in_several_ways(bench: ShopWriter, words: list[str], amounts: list[str]) -> None:
    answer = data(bench, "mix", *words)
    assert [part["amount"] for part in answer["parts"]] == amounts


def test_what_is_short_is_told_in_containers(bench: ShopWriter) -> None:
    # Of 10 fl oz left 30 are short by 20: two cans of a pint, 16 fl oz each.
    out = ask(bench, "mix", "fog grey paint 3, water 1", "--makes", "40 fl oz").out
    assert "On the shelf: 10 fl oz of fog grey paint, short by 20 fl oz: buy 2 cans of 1\n  pint." in out


def test_a_name_that_is_not_on_the_shelf_gets_the_nearest(bench: ShopWriter) -> None:
    out = ask(bench, "mix", "fog gray paint 1, water 1", "--makes", "1 cup").out
    assert "`fog gray paint` was never bought for the shelf; the nearest there is `fog grey paint`." in " ".join(
        out.split()
    )


def test_a_mix_outside_any_shop_needs_none(flipbook: Flipbook, bench: ShopWriter) -> None:
    ran = flipbook("sums", "mix", "paint 1, water 2", "--makes", "12 fl oz", cwd=bench.root.parent)
    assert (ran.code, ran.err) == (0, "")
    assert "shelf" not in ran.out


def test_coats_of_a_piece_are_told_with_what_to_buy(bench: ShopWriter) -> None:
    # 2842 square inches are 19.736 sq ft; x 2 / 75 x 16 x 1.1 = 9.2629 fl oz, of which the shelf has 10.
    assert ask(bench, "coats", "--piece", "stool", "--product", "fog grey paint", "--coats", "2").out == (
        "19.7 sq ft to coat (1.83 sq m).\n"
        "2 coats of fog grey paint: 9.26 fl oz (274 ml).\n"
        "On the shelf: 10 fl oz of fog grey paint, enough.\n"
        "  top: 34 in x 19 in = 4.5 sq ft\n"
        "  sides: 2 x 19 in x 30 1/2 in = 8 sq ft\n"
        "  front: 34 in x 30 1/2 in = 7.2 sq ft\n"
        "  19.7 sq ft x 2 coats / 4.69 sq ft a fl oz x 1.1 = 9.26 fl oz.\n"
        "  Coverage is of one coat (products.yaml: 75 sq ft per pint).\n"
    )


def test_without_a_label_the_usual_range_is_told_with_its_source(bench: ShopWriter) -> None:
    answer = data(bench, "coats", "top", "--piece", "stool", "--product", "satin clear coat", "--waste", "0%")
    # 646 / 144 = 4.4861 sq ft; 350 to 500 sq ft a gallon of 128 fl oz: 1.1484 to 1.6406.
    assert (answer["least"], answer["most"]) == ("1.1484 fl oz", "1.6406 fl oz")
    assert answer["coverage"] == "usual for waterborne clear coat: common practice, no source"


def test_a_gun_divides(bench: ShopWriter) -> None:
    answer = data(bench, "coats", "boards 1 at 12 x 12 in", "--product", "fog grey paint", "--spray-loss", "60%")
    # 1 sq ft / 75 x 16 = 0.21333; 0.4 of it arrives: 0.53333, and no waste on top.
    assert answer["most"] == "0.5333 fl oz"


def test_a_stool_is_no_case_and_says_so(bench: ShopWriter) -> None:
    bench.write({"pieces/elm-chair/piece.yaml": "piece: Elm chair\nkind: chair\nsize: 18 x 18 x 36 in\nfound: {on: 2026-01-05, cost: 5}\n"})  # fmt: skip
    out = ask(bench, "coats", "--piece", "elm").out
    assert "! Reckoned as a closed case, which `chair` may not be" in out


def test_an_oil_brings_the_caution_about_its_rags(bench: ShopWriter) -> None:
    out = ask(bench, "coats", "top", "--piece", "stool", "--product", "tung oil").out
    assert "! Caution, oily rags:" in out


def test_a_ladder_of_grits(bench: ShopWriter) -> None:
    assert ask(bench, "grits", "80", "to", "220").out == (
        "P80, P120, P180, P220.\n"
        "  Mean grain (FEPA, ISO 6344): P80 201 um, P120 125 um, P180 82 um, P220 68\n"
        "    um.\n"
        "  Step by step: P80 to P120 1.61, P120 to P180 1.52, P180 to P220 1.21. Up to\n"
        "    1.7 is good, past 2 scratches stay (common practice).\n"
    )


def test_a_pieces_own_grits_are_weighed_for_its_veneer(bench: ShopWriter) -> None:
    answer = data(bench, "grits", "--piece", "stool")
    assert [grit["grit"] for grit in answer["grits"]] == ["P80", "P120", "P180"]
    assert answer["veneer"] is True
    assert "P80 is too coarse for veneer" in answer["warnings"][0]


def test_an_age_not_known_brings_the_caution_about_lead_to_any_sanding(bench: ShopWriter) -> None:
    bench.write({"pieces/elm-chair/piece.yaml": "piece: Elm chair\nfound: {on: 2026-01-05, cost: 5}\n"})
    assert "! Caution, lead paint:" in ask(bench, "grits", "80 to 220", "--piece", "elm").out
    assert "lead paint" not in ask(bench, "grits", "80 to 220", "--piece", "stool").out


def test_a_timetable_of_coats(bench: ShopWriter) -> None:
    out = ask(bench, "drying", "2", "coats", "fog", "grey", "paint", "--begin", "2026-03-02 9:00").out
    assert out.splitlines()[:7] == [
        "Mon  2 Mar  09:00  begin  first coat of fog grey paint",
        "            13:00  dry    fog grey paint: dry enough for the next step",
        "            13:00  begin  second coat of fog grey paint",
        "            17:00  dry    fog grey paint: dry enough for the next step",
        "Tue  3 Mar  13:00  sand   fog grey paint: may be sanded",
        "Mon  9 Mar  13:00  use    fog grey paint: may be handled, and lightly used",
        "Mon 23 Mar         hard   fog grey paint: fully hard",
    ]
    assert "The label in products.yaml, fog grey paint: 21 d." in out


def test_a_clock_that_changes_takes_no_hour_from_a_coat(flipbook_process: Flipbook, bench: ShopWriter) -> None:
    # In the US the clock goes an hour ahead in the night to 8 March 2026: from noon to noon 23 hours pass.
    ran = flipbook_process(
        "sums", "drying", "2 coats oil varnish", "--begin", "2026-03-07 12:00", "--hours", "0-24", "--json",
        cwd=bench.root, env={"TZ": "America/New_York"},
    )  # fmt: skip
    entries = json.loads(ran.out)["entries"]
    assert [entry["at"] for entry in entries if entry["what"] == "work"] == ["2026-03-07T12:00", "2026-03-08T13:00"]


def test_what_is_planned_is_the_timetable_when_no_step_is_said(bench: ShopWriter) -> None:
    bench.piece(
        PIECE + "planned:\n  - {did: a third wash, mix: {fog grey paint: 1, water: 4, makes: 5 fl oz}}\n  - wax it\n"
    )
    answer = data(bench, "drying", "--piece", "stool", "--begin", "2026-03-02 9:00")
    works = [(entry["at"], entry["says"]) for entry in answer["entries"] if entry["what"] == "work"]
    assert works == [("2026-03-02T09:00", "a third wash"), ("2026-03-02T13:00", "wax it")]


@pytest.mark.parametrize(("temperature", "humidity", "note"), [("45 F", "50%", "Under 50 F"), ("8 C", "50%", "Under 50 F"), ("70 F", "90%", "Over 85%")])  # fmt: skip
def test_cold_and_damp_are_noted(bench: ShopWriter, temperature: str, humidity: str, note: str) -> None:
    words = ("drying", "fog grey paint", "--begin", "2026-03-02 9:00")
    plain, noted = data(bench, *words), data(bench, *words, "--temperature", temperature, "--humidity", humidity)
    assert plain["entries"] == noted["entries"]
    assert any(line.startswith(note) for line in noted["notes"])


def test_trim_for_four_fronts_in_sticks(bench: ShopWriter) -> None:
    answer = data(
        bench, "trim", "4", "at", "12", "x", "6", "in", "--width", "1 in", "--kerf", "1/8 in", "--stick", "8 ft"
    )
    parts = [(p["count"], p["long_points_mm"], p["short_points_mm"]) for p in answer["parts"]]
    # 12 in are 304.8 mm, and 2 in less 254; 6 in are 152.4, and 4 in 101.6.
    assert parts == [(8, "304.8", "254"), (8, "152.4", "101.6")]
    sticks = answer["sticks"]
    assert isinstance(sticks, dict)
    # 144 in of parts and their kerfs want two sticks of 96.
    assert (sticks["new"], sticks["least"]) == (2, 2)


def test_a_nominal_size_is_taken_as_dressed(bench: ShopWriter) -> None:
    # PS 20: a 1x2 is 1 1/2 in wide. A hexagon: 10 in less 2 x 1 1/2 x tan 30 is 8.26795 in, 210.006 mm.
    answer = data(bench, "trim", "--sides", "6", "--side", "10 in", "--width", "1x2")
    (part,) = answer["parts"]
    assert float(part["short_points_mm"]) == pytest.approx((10 - 2 * 1.5 * 3**-0.5) * 25.4, abs=1e-4)


def test_pieces_out_of_a_roll(bench: ShopWriter) -> None:
    # Three abreast in 54 in, two rows of 20 in: 40 in, and by the yard 72.
    answer = data(bench, "panels", "6 at 18 x 20 in", "--roll", "54 in", "--sold-by", "1 yd")
    assert (answer["length_mm"], answer["to_buy_mm"]) == ("1016", "1828.8")
    assert len(answer["pieces"]) == 6


def test_the_back_of_a_piece_out_of_a_sheet(bench: ShopWriter) -> None:
    answer = data(bench, "panels", "back", "--piece", "stool", "--sheet", "48 x 96 in")
    assert answer["sheets"] == 1
    assert answer["pieces"][0]["width_in"] == "34"


def test_holes_of_pulls_are_laid_out_from_true_centres(bench: ShopWriter) -> None:
    answer = data(bench, "holes", "3 at 30 x 8 in", "--pull", "3-3/4 in", "--each", "2")
    (front,) = answer["fronts"]
    # 30 in are 762 mm; the pulls' middles at 190.5 and 571.5, and 96 mm from hole to hole.
    assert [hole["left_mm"] for hole in front["holes"]] == ["142.5", "238.5", "523.5", "619.5"]
    assert {hole["top_mm"] for hole in front["holes"]} == {"101.6"}


def test_a_board_that_moves(bench: ShopWriter) -> None:
    # 18 in x 0.00369 x 5 = 0.3321 in, 8.4353 mm.
    answer = data(bench, "movement", "red", "oak", "--width", "18 in", "--from", "6%", "--to", "11%")
    assert answer["change_mm"] == "8.4353"
    # The piece is of red oak, 19 in deep: 19 x 0.00369 x 5 = 0.350550 in.
    own = data(bench, "movement", "--piece", "stool", "--from", "11%", "--to", "6%")
    assert (own["species"], own["change_mm"]) == ("red oak", "-8.904")


def test_a_moisture_is_told_from_the_air(bench: ShopWriter) -> None:
    # Wood Handbook, Table 4-2, at 70 F: 30% is 6.2, 65% is 12.0.
    answer = data(bench, "movement", "red oak", "--width", "10 in", "--from", "70 F 30%", "--to", "70 F 65%")
    assert answer["change_mm"] == "5.4361"  # 10 x 0.00369 x 5.8 = 0.21402 in


def test_nails_and_screws(bench: ShopWriter) -> None:
    nail = data(bench, "fasteners", "--part", "3/8 in", "--behind", "3/4 in")
    assert (nail["name"], nail["length_mm"]) == ("18 gauge brad", "25.4")
    screw = data(bench, "fasteners", "--screw", "8", "--wood", "softwood")
    assert screw["thread_mm"] == "1.9844"  # 5/64 in


def test_metric_is_answered_in_metric(bench: ShopWriter) -> None:
    out = ask(bench, "holes", "60 x 20 cm", "--pull", "96 mm").out
    assert "600 mm by 200 mm: the first hole 300 mm − 48 mm = 252 mm from the left" in " ".join(out.split())


def test_cautions_of_a_piece_and_all_of_them(bench: ShopWriter) -> None:
    bench.piece("log:\n  - 2026-01-06 sanded it\nseen to: [lead paint]\n")
    own = data(bench, "cautions", "--piece", "stool")
    assert [(one["name"], one["seen_to"]) for one in own["cautions"]] == [("lead paint", True)]
    every = data(bench, "cautions")
    assert len(every["cautions"]) == 10
    assert "Source: 16 CFR 1303.1" in ask(bench, "cautions", "--piece", "stool").out


def test_the_command_alone_lists_the_sums_a_line_each(bench: ShopWriter) -> None:
    listed = [line.split()[0] for line in ask(bench).out.partition("\n\n")[0].splitlines()]
    assert listed == list(SUMS)


@pytest.mark.parametrize("sum_of", ["mix", "coats", "grits", "drying", "trim", "panels", "holes", "movement", "fasteners", "cautions"])  # fmt: skip
def test_each_sum_has_a_page_of_its_own_that_fits_the_terminal(flipbook: Flipbook, sum_of: str) -> None:
    ran = flipbook("sums", sum_of, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"flipbook sums {sum_of} ")
    assert max(map(len, ran.out.splitlines())) <= 80
    assert sum_of in flipbook("sums", "--help").out
