"""Coats: areas worked by hand, paint for them, and what is refused."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import UNITS, Amount, read_coverage
from flipbook.measures.lengths import Size, read_size
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.coats import (
    Face,
    area_of,
    buying_line,
    label_spread,
    paint_needed,
    read_faces,
    to_buy,
    usual_spread,
)
from flipbook.trade.kinds import kind_of

FOOT = UNITS["sq ft"].size
INCH = UNITS["sq in"].size
WORKSTAND = read_size("34 x 19 x 30 1/2 in")


def square_inches(words: str, size: Size | None = WORKSTAND) -> Fraction:
    return area_of(read_faces(words, size)) / INCH


def refusal(words: str, size: Size | None = WORKSTAND) -> Unreadable:
    with pytest.raises(Unreadable) as fault:
        read_faces(words, size)
    return fault.value


@pytest.mark.parametrize(
    ("words", "inches"),
    # W 34, D 19, H 30 1/2 in: WD 646, DH 579.5, WH 1037 square inches.
    [
        ("", 646 + 2 * Fraction("579.5") + 1037),
        ("top", 646),
        ("sides", 2 * Fraction("579.5")),
        ("side", Fraction("579.5")),
        ("front", 1037),
        ("back", 1037),
        ("underside", 646),
        ("bottom", 646),
        ("no front", 646 + 1159),
        ("without the top", 1159 + 1037),
        ("no back", 646 + 1159 + 1037),
        ("all", 2 * 646 + 1159 + 2 * 1037),
        ("all, no underside", 646 + 1159 + 2 * 1037),
        ("top both faces", 2 * 646),
        ("front panelled", 1037 * Fraction(6, 5)),
        # A drawer's inside: wd + 2h(w + d) = 28 x 14 + 2 x 5 x 42 = 812.
        ("drawers 4 at 28 x 14 x 5 in", 4 * 812),
        ("doors 2 at 15 x 24 in", 2 * 360),
        ("doors 2 at 15 x 24 in both faces", 4 * 360),
        # A square leg: 4 x side x height; of 2 in and 12 in 96.
        ("legs 4 at 2 x 2 x 12 in", 4 * 96),
        ("side, top at 10 x 10 in", Fraction("579.5") + 100),
    ],
)
def test_areas_come_to_what_is_worked_by_hand(words: str, inches: Fraction) -> None:
    assert square_inches(words) == inches


@pytest.mark.parametrize(
    ("words", "inches"), [("round legs 4 at 2 x 12 in", 4 * pi * 2 * 12), ("round tops 1 at 22 in", pi * 22 * 22 / 4)]
)
def test_round_parts_are_reckoned_with_pi(words: str, inches: float) -> None:
    assert float(square_inches(words, None)) == pytest.approx(inches, rel=1e-12)


def test_a_metric_size_is_as_exact() -> None:
    faces = read_faces("front", read_size("50 x 40 x 80 cm"))
    assert area_of(faces) == 500 * 800
    assert area_of(read_faces("boards 2 at 30 x 20 cm", None)) == 2 * 300 * 200


@pytest.mark.parametrize(
    ("words", "says", "write"),
    [
        ("wings", "`wings` is no part known here", "write one of top"),
        ("frnt", "`frnt` is no part known here", "write `front`"),
        ("no frnt", "`frnt` is no part known here", "write `front`"),
        ("drawers", "`drawers` say no size", "drawers 4 at 28 x 14 x 5 in"),
        ("drawers 4 at 28 x 14 in", "has 2 lengths, and three lengths are wanted", "28 x 14 x 5 in"),
        ("doors 2 at 15 x 24", "`15` has no unit", "as `30 1/2 in`"),
        ("doors 0 at 15 x 24 in", "0 of a part", "from 1 to 100"),
        ("doors 2 at 0 x 24 in", "a length of nothing", "with a unit"),
        ("doors 2 at 500 m x 24 in", "over 100 m", "check the figure"),
        ("top, top", "`top` is named twice", "both faces"),
        ("sides 2", "is counted, and the piece has its own", "write `sides`"),
        ("drawers 4 at 28 x 14 x 5 in both faces", "no two faces", "drawers 4 at"),
        ("no top, no sides, no front", "nothing is left to coat", "fewer"),
        ("doors -2 at 15 x 24 in", "is no part to coat", "write it as"),
        (", ".join(["doors 1 at 1 x 1 in"] * 41), "over 40 parts", "in two"),
    ],
)
def test_parts_that_cannot_be_are_refused_in_a_sentence(words: str, says: str, write: str) -> None:
    fault = refusal(words)
    assert says in fault.says
    assert write in fault.write


def test_without_a_size_a_face_of_the_piece_is_refused() -> None:
    assert "the size of the piece is not said" in refusal("", None).says


def test_coverage_is_of_one_coat_and_waste_comes_on_top() -> None:
    # 2842 square inches are 19.7361 sq ft; two coats at 45 sq ft a pint are 0.87716 pints, and a tenth more 0.96488.
    faces = read_faces("", WORKSTAND)
    spread = label_spread(read_coverage("45 sq ft per pint"), "the label")
    needed = paint_needed(faces, coats=2, spread=spread, unit=UNITS["pint"])
    assert needed.most.number == Fraction(2842, 144) * 2 / 45 * Fraction(11, 10)
    assert needed.least == needed.most
    one = paint_needed(faces, coats=1, spread=spread, unit=UNITS["pint"])
    assert one.most.number * 2 == needed.most.number
    assert "2 coats / 45 sq ft a pint x 1.1 = 0.96 pint" in needed.working[0]


def test_what_a_gun_loses_divides_and_is_no_percentage_on_top() -> None:
    faces = [Face(name="front", area=100 * FOOT, reckoned="")]
    spread = label_spread(read_coverage("400 sq ft per gallon"), "the label")
    # 100 sq ft are a quarter gallon neat; where 65% is lost 35% arrives: 0.25 / 0.35, and not 0.25 x 1.65.
    needed = paint_needed(
        faces, coats=1, spread=spread, unit=UNITS["gallon"], waste=Fraction(0), loss=Fraction(65, 100)
    )
    assert needed.most.number == Fraction(1, 4) / Fraction(35, 100)


@pytest.mark.parametrize(
    ("gallon_covers", "yards"),
    # Cyclopedia of Architecture, Carpentry and Building (early 1900s), "Painting Estimations": a gallon of priming colour
    # covers 50 square yards, of white paint 44. A square yard is 9 square feet.
    [("450 sq ft per gallon", 50), ("396 sq ft per gallon", 44)],
)
def test_an_old_printed_table_comes_out(gallon_covers: str, yards: int) -> None:
    faces = [Face(name="wall", area=yards * 9 * FOOT, reckoned="")]
    spread = label_spread(read_coverage(gallon_covers), "the table")
    assert paint_needed(faces, coats=1, spread=spread, unit=UNITS["gallon"], waste=Fraction(0)).most.number == 1


def test_a_usual_range_stays_a_range_with_its_source() -> None:
    spread = usual_spread(kind_of("fig blue paint", "waterborne paint"))
    assert spread is not None
    # 350 to 400 sq ft to the gallon: common practice, no source; the old printed table's 396 lies within.
    assert (spread.least / FOOT * UNITS["gallon"].size, spread.most / FOOT * UNITS["gallon"].size) == (350, 400)
    needed = paint_needed(
        [Face(name="top", area=350 * FOOT, reckoned="")],
        coats=1,
        spread=spread,
        unit=UNITS["gallon"],
        waste=Fraction(0),
    )
    assert (needed.least.number, needed.most.number) == (Fraction(350, 400), 1)
    assert "usual for waterborne paint: common practice, no source" in needed.working[1]


@pytest.mark.parametrize(
    ("named", "says"),
    [
        ({"coats": 0}, "0 coats"),
        ({"coats": -1}, "-1 coats"),
        ({"coats": 21}, "21 coats"),
        ({"waste": Fraction(-1)}, "a waste is from 0% to 100%"),
        ({"waste": Fraction(2)}, "a waste is from 0% to 100%"),
        ({"loss": Fraction(1)}, "a spraying loss"),
        ({"unit": UNITS["oz"]}, "the coverage is by volume, and oz is a weight"),
    ],
)
def test_paint_that_cannot_be_reckoned_is_refused(named: dict[str, object], says: str) -> None:
    spread = label_spread(read_coverage("75 sq ft per pint"), "the label")
    given: dict[str, object] = {"coats": 1, "unit": UNITS["pint"], **named}
    with pytest.raises(Unreadable) as fault:
        paint_needed([Face(name="top", area=FOOT, reckoned="")], spread=spread, **given)
    assert says in fault.value.says


@pytest.mark.parametrize("coverage", ["75 sq ft per gallon", "75 sq ft per quart", "8 sq m per l"])
def test_coverages_of_paints_are_taken(coverage: str) -> None:
    assert label_spread(read_coverage(coverage), "the label").is_one


@pytest.mark.parametrize("coverage", ["4000 sq ft per pint", "1 sq ft per gallon", "75 sq in per gallon"])
def test_a_coverage_that_no_paint_has_is_a_slip_of_its_units(coverage: str) -> None:
    with pytest.raises(Unreadable, match="which no paint covers"):
        label_spread(read_coverage(coverage), "the label")


@pytest.mark.parametrize(
    ("left", "size", "number", "line"),
    [
        ("0 pint", "1 pint", 1, "short by 0.97 pint: buy 1 can of 1 pint."),
        ("4 fl oz", "8 fl oz", 2, "short by 0.72 pint: buy 2 cans of 8 fl oz."),
        ("15.44 fl oz", "1 pint", 0, "enough."),
        ("1 quart", "1 pint", 0, "enough."),
        ("0 pint", None, None, "short by 0.97 pint."),
    ],
)
def test_what_to_buy_is_rounded_up_to_what_is_sold(left: str, size: str | None, number: int | None, line: str) -> None:
    def amount(text: str) -> Amount:
        value, _, unit = text.partition(" ")
        return Amount(Fraction(value), UNITS[unit])

    # 0.965 pints are 15.44 fl oz to the last digit; 4 fl oz of them leave 11.44, which is two cans of 8.
    buy = to_buy(amount("0.965 pint"), amount(left), "can", amount(size) if size else None)
    assert buy.number == number
    assert buying_line("fig blue paint", buy).endswith(line)


lengths = st.fractions(min_value=1, max_value=2000, max_denominator=16)


@given(lengths, lengths, lengths)
def test_all_faces_are_the_box(width: Fraction, depth: Fraction, height: Fraction) -> None:
    size = Size(width, depth, height)
    assert area_of(read_faces("all", size)) == 2 * (width * depth + depth * height + width * height)
    assert area_of(read_faces("", size)) < area_of(read_faces("all", size))


@given(st.text(max_size=40))
def test_any_words_are_parts_or_refused(text: str) -> None:
    try:
        faces = read_faces(text, WORKSTAND)
    except Unreadable as fault:
        assert fault.says
        assert fault.write
    else:
        assert area_of(faces) > 0
