"""Holes for pulls: from the left and from the top of every front."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.lengths import tell_millimetres
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.fronts import Front
from flipbook.sums.holes import PULL_SIZES, Pull, pull_holes, pull_of

INCH = Fraction("25.4")
KNOB = Pull(centres=Fraction(0))
THREE_INCH = Pull(centres=3 * INCH)


def front(width, height, name="drawer"):
    return Front(name=name, width=Fraction(width) * INCH, height=Fraction(height) * INCH)


def inches(layout):
    return [[(hole.left / INCH, hole.top / INCH) for hole in each.holes] for each in layout.fronts]


@pytest.mark.parametrize(
    ("pull", "more", "lefts", "top", "by_hand"),
    [
        (KNOB, {}, [17], "4.5", "the middle of 34 and of 9"),
        (THREE_INCH, {}, ["15.5", "18.5"], "4.5", "17 less and more 1 1/2"),
        (KNOB, {"each": 2}, ["8.5", "25.5"], "4.5", "a quarter of 34 from each end"),
        (KNOB, {"each": 2, "spread": "sixths"}, ["17/3", "85/3"], "4.5", "34 / 6 from each end"),
        (KNOB, {"each": 2, "spread": "thirds"}, ["34/3", "68/3"], "4.5", "34 / 3 from each end"),
        (THREE_INCH, {"each": 2}, [7, 10, 24, 27], "4.5", "8 1/2 and 25 1/2, each less and more 1 1/2"),
        (THREE_INCH, {"each": 2, "spread": 5 * INCH}, ["3.5", "6.5", "27.5", "30.5"], "4.5", "5 and 29"),
        (KNOB, {"from_top": 3 * INCH}, [17], "3", "as given"),
    ],
)
def test_holes_are_measured_from_the_left_and_from_the_top(pull, more, lefts, top, by_hand):
    (holes,) = inches(pull_holes([front(34, 9)], pull=pull, **more))
    assert holes == [(Fraction(left), Fraction(top)) for left in lefts], by_hand


def test_a_distance_from_the_ends_and_the_top_is_the_same_on_every_drawer():
    layout = pull_holes(
        [front(16, 5, "top"), front(34, 9, "lower")], pull=THREE_INCH, each=2, spread=4 * INCH, from_top=INCH * 5 / 2
    )
    assert [holes[0] for holes in inches(layout)] == [(Fraction("2.5"), Fraction("2.5"))] * 2
    assert [16 - inches(layout)[0][-1][0], 34 - inches(layout)[1][-1][0]] == [Fraction("2.5")] * 2


def test_pulls_line_up_down_the_case_when_the_widest_settles_it():
    layout = pull_holes([front(30, 5, "top"), front(34, 9, "lower")], pull=KNOB, each=2, one_axis=True)
    # 34 / 4 = 8 1/2 from the middle on both: 15 - 8 1/2 and 17 - 8 1/2.
    assert [holes[0][0] for holes in inches(layout)] == [Fraction("6.5"), Fraction("8.5")]


@pytest.mark.parametrize(
    ("label", "true", "off"),
    # Worked by hand from 1 in = 25.4 mm: label x 25.4, and the true size less that.
    [
        ("2.5", "64", "0.5 mm more than the 63.5 mm"),
        ("3.75", "96", "0.75 mm more than the 95.25 mm"),
        ("5.0625", "128", "0.59 mm less than the 128.59 mm"),
        ("6.3125", "160", "0.34 mm less than the 160.34 mm"),
        ("12.625", "320", "0.68 mm less than the 320.68 mm"),
    ],
)
def test_a_pull_sold_in_inches_is_drilled_at_its_true_millimetres(label, true, off):
    pull = pull_of(Fraction(label) * INCH)
    assert pull.centres == Fraction(true)
    assert f"{off} of its label (common practice, no source): measure one before drilling." in pull.note


@pytest.mark.parametrize("inches_sold", ["3", "4", "7"])
def test_a_pull_that_is_what_its_label_says_has_no_note(inches_sold):
    assert pull_of(Fraction(inches_sold) * INCH) == Pull(centres=Fraction(inches_sold) * INCH)


def test_centres_measured_on_an_old_pull_are_taken_as_they_are():
    assert pull_of(Fraction("3.75") * INCH, as_measured=True) == Pull(centres=Fraction("95.25"))


def test_no_label_of_the_table_is_off_by_a_millimetre():
    assert all(abs(size.centres - size.label) < 1 for size in PULL_SIZES)


def test_the_layout_is_told_hole_by_hole():
    layout = pull_holes([front(34, 9)], pull=pull_of(Fraction("3.75") * INCH), each=2, tell=tell_millimetres)
    assert layout.working[0] == (
        "Two pulls of 96 mm centres with their middles 1/4 of the width from each end, at the middle of the height."
    )
    assert "3 3/4 in has its holes 96 mm apart" in layout.working[1]
    # 34 in is 863.6 mm; a quarter 215.9, less 48 is 167.9.
    assert layout.working[2] == (
        "`drawer`, 863.6 mm by 228.6 mm: the first hole 215.9 mm − 48 mm = 167.9 mm from the left, "
        "then 263.9 mm, 599.7 mm, 695.7 mm; 114.3 mm from the top."
    )


@given(
    st.fractions(min_value=300, max_value=1200, max_denominator=32),
    st.fractions(min_value=90, max_value=400, max_denominator=32),
    st.sampled_from(PULL_SIZES[:5]),
    st.sampled_from([1, 2]),
)
def test_holes_mirror_about_the_middle_and_keep_their_centres(width, height, size, each):
    layout = pull_holes(
        [Front(name="drawer", width=width, height=height)], pull=Pull(centres=size.centres), each=each, wood_left=Fraction(0),
        spread=width / 4,
    )  # fmt: skip
    lefts = [hole.left for hole in layout.fronts[0].holes]
    assert len(lefts) == 2 * each
    assert [width - left for left in reversed(lefts)] == lefts
    assert lefts[1] - lefts[0] == size.centres
    edges = [min(hole.left, width - hole.left, hole.top, height - hole.top) for hole in layout.fronts[0].holes]
    assert layout.fronts[0].wood_left == min(edges) - layout.hole / 2


@pytest.mark.parametrize(
    ("fronts", "pull", "more", "says"),
    [
        ([], KNOB, {}, "there are no fronts"),
        ([front(0, 9)], KNOB, {}, "the width of `drawer` is nothing"),
        ([front(34, -1)], KNOB, {}, "the height of `drawer` is less than nothing"),
        ([front(34, 9)], KNOB, {"each": 3}, "3 pulls on a front"),
        ([front(34, 9)], KNOB, {"each": 2, "spread": "halves"}, "`halves` is no way to spread two pulls"),
        ([front(34, 9)], KNOB, {"each": 2, "spread": 17 * INCH}, "the two pulls of `drawer` would meet or cross"),
        ([front(34, 9)], KNOB, {"each": 2, "spread": Fraction(0)}, "the distance from the ends is nothing"),
        ([front(6, 9)], THREE_INCH, {"each": 2}, "two pulls of 3 in would touch on `drawer`, 6 in wide"),
        ([front(2, 9)], THREE_INCH, {}, "the pulls reach past the ends of `drawer`, 2 in wide"),
        ([front("3.5", 9)], THREE_INCH, {}, "a hole in `drawer` would leave 5/32 in to its edge"),
        ([front(34, 9)], KNOB, {"from_top": INCH / 2 - Fraction(1, 100)}, "a hole in `drawer` would leave 13/32 in (less than 0.001 in over) to its edge"),
        ([front(34, 9)], KNOB, {"from_top": 9 * INCH}, "a hole in `drawer` would leave no wood to its edge"),
        ([front(34, 9)], KNOB, {"hole": Fraction(0)}, "the hole is nothing"),
        ([front(34, 9, str(number)) for number in range(101)], KNOB, {}, "those are over 100 fronts"),
        (
            [front(16, 9)], Pull(centres=3 * INCH, overall=8 * INCH), {"each": 2},
            "two pulls of 8 in would touch on `drawer`, 16 in wide",
        ),
    ],
)  # fmt: skip
def test_pulls_that_do_not_fit_are_refused(fronts, pull, more, says):
    with pytest.raises(Unreadable) as refused:
        pull_holes(fronts, pull=pull, **({"wood_left": INCH * 7 / 16} | more))
    assert refused.value.says == says
    assert refused.value.write.startswith(("write", "check"))


def test_a_narrow_front_that_must_follow_the_widest_is_refused_by_name():
    with pytest.raises(Unreadable) as refused:
        pull_holes([front(34, 9, "lower"), front(14, 5, "top")], pull=KNOB, each=2, one_axis=True)
    assert refused.value.says == "the pulls reach past the ends of `top`, 14 in wide"


@pytest.mark.parametrize(
    ("centres", "more", "says"),
    [
        ("0", {}, "the distance of the holes is nothing"),
        ("-3", {}, "the distance of the holes is less than nothing"),
        ("3", {"overall": 2 * INCH}, "the pull is no longer than its centres"),
    ],
)
def test_a_pull_that_cannot_be_is_refused(centres, more, says):
    with pytest.raises(Unreadable) as refused:
        pull_of(Fraction(centres) * INCH, **more)
    assert refused.value.says == says
