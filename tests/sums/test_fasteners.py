"""Nails that hold and don't come through; holes for wood screws."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.unreadable import Unreadable
from flipbook.sums.fasteners import NAIL_GAUGES, SCREW_DRILLS, nail_length, screw_holes

INCH = Fraction("25.4")


def nail(part, behind, gauge=18):
    return nail_length(part=Fraction(part) * INCH, behind=Fraction(behind) * INCH, gauge=gauge)


@pytest.mark.parametrize(
    ("part", "behind", "gauge", "length", "holds", "by_hand"),
    [
        ("1/2", "3/2", 18, "1.5", True, "3 x 1/2 = 1 1/2; 2 - 1/8 is more"),
        ("1/2", "3/4", 18, "1", False, "1 1/4 - 1/8 = 1 1/8 at most: 1 in is sold"),
        ("1/4", "3/4", 18, "0.75", True, "3 x 1/4 = 3/4; 1 - 1/8 = 7/8 is more"),
        ("3/4", "3", 18, "2", False, "3 x 3/4 = 2 1/4, and brads stop at 2"),
        ("3/4", "3", 16, "2.25", True, "a finish nail of 2 1/4"),
        ("3/4", "3/2", 15, "2", False, "2 1/4 - 1/8 = 2 1/8 at most"),
        ("1/8", "3/4", 23, "0.375", True, "3 x 1/8 = 3/8: a pin"),
        ("1/8", "3/4", 18, "0.625", True, "the shortest brad, 5/8, is under 7/8 - 1/8"),
    ],
)
def test_a_nail_is_three_times_the_part_and_stays_in_the_wood(part, behind, gauge, length, holds, by_hand):
    found = nail(part, behind, gauge)
    assert (found.length / INCH, found.holds) == (Fraction(length), holds), by_hand


def test_the_sum_is_told_as_on_paper():
    found = nail("1/2", "3/4")
    assert found.working == (
        "To hold: 3 x 1/2 in = 1 1/2 in.",
        "Not to come through: 1/2 in + 3/4 in − 1/8 in = 1 1/8 in at most.",
        "Sold nearest to that: 18 gauge brad, 1 in (common practice, no source).",
    )
    assert found.advice == "Shorter than three times the part: glue it as well."


@pytest.mark.parametrize(
    ("part", "behind", "word"),
    [("1/8", "3/4", "pins"), ("3/2", "1/2", "through the thinner"), ("1/2", "3/2", "")],
)
def test_advice_is_given_only_where_there_is_some(part, behind, word):
    advice = nail(part, behind).advice
    assert word in advice
    assert bool(word) == bool(advice)


thicknesses = st.fractions(min_value=Fraction(1, 16), max_value=4, max_denominator=32)


@given(thicknesses, thicknesses, st.sampled_from(sorted(NAIL_GAUGES)))
def test_no_nail_ever_comes_through_and_none_sold_is_nearer(part, behind, gauge):
    sold = [length for length in NAIL_GAUGES[gauge].lengths if length <= part + behind - Fraction(1, 8)]
    if not sold:
        with pytest.raises(Unreadable):
            nail(part, behind, gauge)
        return
    length = nail(part, behind, gauge).length / INCH
    assert length in sold
    assert abs(length - 3 * part) == min(abs(each - 3 * part) for each in sold)


@pytest.mark.parametrize(
    ("part", "behind", "gauge", "says", "write"),
    [
        ("0", "1", 18, "the part that is fixed is nothing", "write a length of more than 0"),
        ("1", "-1", 18, "what it is fixed to is less than nothing", "write a length of more than 0"),
        ("1", "1", 17, "there is no table for 17 gauge", "write one of 23, 18, 16, 15"),
        (
            "1/8", "1/4", 18,
            "the shortest 18 gauge brad sold is 5/8 in, and 3/8 in of wood takes 1/4 in at most",
            "glue and clamp it, or write 23 for pins",
        ),
        (
            "1/32", "1/32", 23,
            "the shortest 23 gauge pin sold is 3/8 in, and 1/16 in of wood takes 0 in at most",
            "glue and clamp it",
        ),
    ],
)  # fmt: skip
def test_a_nail_that_cannot_be_had_is_refused(part, behind, gauge, says, write):
    with pytest.raises(Unreadable) as refused:
        nail(part, behind, gauge)
    assert (refused.value.says, refused.value.write) == (says, write)


@pytest.mark.parametrize(
    ("number", "wood", "shank", "thread"),
    # Common practice, no source.
    [(8, "hardwood", "11/64", "7/64"), (8, "softwood", "11/64", "5/64"), (10, "hardwood", "3/16", "1/8"), (10, "softwood", "3/16", "3/32")],
)  # fmt: skip
def test_a_screw_has_a_hole_for_its_shank_and_one_for_its_thread(number, wood, shank, thread):
    holes = screw_holes(number, wood)
    assert (holes.shank_drill / INCH, holes.thread_drill / INCH) == (Fraction(shank), Fraction(thread))


@pytest.mark.parametrize(
    ("number", "major"),
    # From memory of ASME B18.6.1.
    [(4, "0.112"), (6, "0.138"), (8, "0.164"), (10, "0.190"), (12, "0.216"), (14, "0.242")],
)
def test_the_diameter_over_the_thread_is_the_standards(number, major):
    assert screw_holes(number, "hardwood").major == Fraction(major) * INCH


@pytest.mark.parametrize("number", sorted(SCREW_DRILLS))
def test_a_thread_bites_more_wood_in_soft_wood_and_the_shank_goes_through(number):
    hard, soft = screw_holes(number, "hardwood"), screw_holes(number, "softwood")
    assert soft.thread_drill < hard.thread_drill < hard.major
    # A drill of the shank's own size, to the nearest sixty-fourth or so.
    assert abs(hard.shank_drill - hard.major) <= INCH / 64


@pytest.mark.parametrize(
    ("number", "wood", "says"),
    [
        (5, "hardwood", "there is no row for a number 5 screw"),
        (8, "plywood", "`plywood` is neither hard nor soft wood"),
    ],
)
def test_a_screw_that_the_table_lacks_is_refused(number, wood, says):
    with pytest.raises(Unreadable) as refused:
        screw_holes(number, wood)
    assert refused.value.says == says
