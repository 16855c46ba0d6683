"""Mitred frames: which edge was measured, long points and short points, how many parts, how much trim."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.unreadable import Unreadable
from flipbook.sums.fronts import Front
from flipbook.sums.lumber import read_nominal
from flipbook.sums.nesting import nest
from flipbook.sums.trim import mitred_frames, mitred_ring

INCH = Fraction("25.4")


def front(width, height, count=1, name="drawer"):
    return Front(name=name, width=Fraction(width) * INCH, height=Fraction(height) * INCH, count=count)


def frames(*fronts, measured="outside", trim="3/2", kerf="1/8", **more):
    return mitred_frames(
        fronts, measured=measured, trim_width=Fraction(trim) * INCH, kerf=Fraction(kerf) * INCH, **more
    )


def points(cuts):
    return [(part.long_points / INCH, part.short_points / INCH) for part in cuts.parts]


def test_six_fronts_want_twelve_long_parts_and_twelve_side_parts():
    cuts = frames(front(34, 9, 6))
    assert [(part.name, part.count, part.mitre) for part in cuts.parts] == [
        ("drawer, long", 12, 45),
        ("drawer, side", 12, 45),
    ]
    assert points(cuts) == [(34, 31), (9, 6)]
    assert cuts.working == (
        "Measured at the outer edge: 6 x 34 in by 9 in. 6 x 2 = 12 long parts and 12 side parts.",
        "`drawer, long`: long points 34 in; short points 34 in − 2 x 1 1/2 in = 31 in.",
        "In one row: long points 516 in + 23 cuts x 0.177 in (1/8 in of kerf at 45 degrees) = 520 1/16 in (0.004 in under) of trim.",
    )


@pytest.mark.parametrize(
    ("measured", "more", "long_points", "short_points", "by_hand"),
    [
        ("outside", {}, [20, 10], [17, 7], "long points as measured; less 2 x 1 1/2"),
        ("inside", {}, [23, 13], [20, 10], "long points = short points + 2 x 1 1/2"),
        ("middle", {}, ["21.5", "11.5"], ["18.5", "8.5"], "half the trim's width to each side"),
        ("panel", {"lap": INCH / 4}, ["22.5", "12.5"], ["19.5", "9.5"], "20 + 2 x (1 1/2 - 1/4)"),
        ("outside", {"set_in": INCH / 8}, ["19.75", "9.75"], ["16.75", "6.75"], "an eighth in from each edge"),
    ],
)
def test_the_caller_says_which_edge_was_measured(measured, more, long_points, short_points, by_hand):
    cuts = frames(front(20, 10), measured=measured, **more)
    assert points(cuts) == [(Fraction(a), Fraction(b)) for a, b in zip(long_points, short_points, strict=True)], by_hand


def test_a_front_taller_than_wide_has_its_long_parts_upright():
    assert points(frames(front(14, 22))) == [(22, 19), (14, 11)]


def test_fronts_of_several_sizes_keep_their_names():
    cuts = frames(front(34, 5, 1, "top"), front(34, 9, 3, "lower"))
    assert [(part.name, part.count) for part in cuts.parts] == [
        ("top, long", 2),
        ("top, side", 2),
        ("lower, long", 6),
        ("lower, side", 6),
    ]


@pytest.mark.parametrize(
    ("sides", "tangent", "by_hand"),
    [
        (3, math.sqrt(3), "tan 60 = the root of 3"),
        (4, 1, "tan 45 = 1"),
        (6, 1 / math.sqrt(3), "tan 30 = 1 over the root of 3"),
        (8, math.sqrt(2) - 1, "tan 22.5 = the root of 2 less 1"),
        (12, 2 - math.sqrt(3), "tan 15 = 2 less the root of 3"),
    ],
)
def test_a_ring_of_n_sides_is_mitred_by_180_over_n(sides, tangent, by_hand):
    cuts = mitred_ring(sides=sides, side=Fraction(300), measured="inside", trim_width=Fraction(40), kerf=Fraction(3))
    (part,) = cuts.parts
    assert (part.count, part.mitre, part.short_points) == (sides, Fraction(180, sides), 300)
    assert float(part.long_points) == pytest.approx(300 + 2 * 40 * tangent, abs=1e-6), by_hand


def test_a_ring_of_four_is_a_square_frame():
    ring = mitred_ring(sides=4, side=20 * INCH, measured="outside", trim_width=2 * INCH, kerf=INCH / 8)
    square = frames(front(20, 20), trim="2")
    assert ring.parts[0].short_points == square.parts[0].short_points == 16 * INCH
    assert ring.strip == square.strip


def test_a_hexagon_is_told_as_on_paper():
    ring = mitred_ring(sides=6, side=12 * INCH, measured="inside", trim_width=2 * INCH, kerf=INCH / 8)
    assert ring.working[0] == "6 sides: the saw is set 180 / 6 = 30 degrees off square, tan 30 = 0.57735."
    assert ring.working[1].startswith("Measured at the inner edge, 12 in: long points 14 5/16 in (0.003 in over), ")
    # By hand: 12 + 2 x 2 x 0.57735 = 14.3094.
    assert float(ring.parts[0].long_points / INCH) == pytest.approx(14.3094, abs=5e-5)


@given(
    st.integers(3, 60),
    st.fractions(1, 2000, max_denominator=64),
    st.fractions(Fraction(1, 8), 200, max_denominator=64),
)
def test_from_inside_to_outside_and_back_is_the_same_ring(sides, side, trim):
    inside = mitred_ring(sides=sides, side=side, measured="inside", trim_width=trim, kerf=Fraction(0))
    long_points = inside.parts[0].long_points
    outside = mitred_ring(sides=sides, side=long_points, measured="outside", trim_width=trim, kerf=Fraction(0))
    assert outside.parts[0].short_points == inside.parts[0].short_points == side
    # The corners lie on circles: across the flats the ring is two trim widths wider outside than inside.
    flats = [float(length) / math.tan(math.pi / sides) for length in (long_points, side)]
    assert flats[0] - flats[1] == pytest.approx(2 * float(trim), rel=1e-6, abs=1e-6)


@given(st.fractions(0, 6, max_denominator=64))
def test_the_kerf_along_the_trim_is_never_under_what_the_blade_takes(kerf):
    ring = mitred_ring(sides=4, side=Fraction(500), measured="outside", trim_width=Fraction(30), kerf=kerf)
    # At 45 degrees kerf / cos is the root of twice its square.
    assert ring.kerf_along**2 >= 2 * kerf**2 - Fraction(1, 10**6)
    assert ring.kerf_along <= Fraction(math.sqrt(2)) * kerf + Fraction(2, 1000)


def test_the_cut_list_nests_at_its_long_points():
    cuts = frames(front(34, 9, 6))
    nesting = nest(cuts.to_nest, stick=96 * INCH, kerf=cuts.kerf_along)
    # Two long parts and two side parts are 86 in and four kerfs; a third long part is 102 in: 12 / 2 = 6 sticks.
    assert (nesting.new_sticks, nesting.is_least) == (6, True)


@pytest.mark.parametrize(
    ("fronts", "more", "says", "write"),
    [
        ([], {}, "there are no fronts", "write the width and height of at least one"),
        ([front(0, 9)], {}, "the width of `drawer` is nothing", "write a length of more than 0"),
        ([front(34, -9)], {}, "the height of `drawer` is less than nothing", "write a length of more than 0"),
        ([front(9000, 9)], {}, "the width of `drawer` is over 100 m", "check the figure and its unit"),
        ([front(34, 9, 0)], {}, "a front is wanted less than once", "write how many fronts, 1 or more"),
        ([front(34, 9, 101)], {}, "those are over 100 fronts", "write them in several lists"),
        ([front(34, 9)], {"trim": "0"}, "the trim's width is nothing", "write a length of more than 0"),
        (
            [front(34, 9)], {"trim": "5"},
            "trim 5 in wide leaves no opening in `drawer`, 9 in across", "write narrower trim, or a frame on fewer fronts",
        ),
        (
            [front(34, 9)], {"trim": "9/2"},
            "trim 4 1/2 in wide leaves no opening in `drawer`, 9 in across", "write narrower trim, or a frame on fewer fronts",
        ),
        ([front(34, 9)], {"kerf": "-1"}, "the kerf is less than nothing", "write a length of 0 or more"),
        ([front(34, 9)], {"kerf": "7"}, "the kerf is as wide as `drawer, side` is long", "check the kerf and its unit"),
        ([front(34, 9)], {"set_in": 5 * INCH}, "the inset takes all of `drawer`", "write a smaller inset"),
        (
            [front(34, 9)], {"lap": INCH},
            "a lap goes with the size of a panel", "say that the panel was measured, or leave the lap out",
        ),
        ([front(34, 9)], {"measured": "panel", "lap": 2 * INCH}, "the lap is as wide as the trim", "write a smaller lap"),
        ([front(34, 9)], {"measured": "round"}, "`round` is not where a frame is measured", "write one of outside, inside, middle, panel"),
    ],
)  # fmt: skip
def test_a_frame_that_cannot_be_is_refused_with_what_to_write(fronts, more, says, write):
    with pytest.raises(Unreadable) as refused:
        frames(*fronts, **more)
    assert (refused.value.says, refused.value.write) == (says, write)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"sides": 2}, "a frame of 2 sides can't be made"),
        ({"sides": 61}, "a frame of 61 sides can't be made"),
        ({"count": 0}, "0 frames can't be reckoned"),
        ({"side": Fraction(0)}, "a side is nothing"),
        ({"trim_width": Fraction(400)}, "trim 15 3/4 in (0.002 in over) wide leaves no opening inside sides of 11 13/16 in (0.001 in over)"),
    ],
)  # fmt: skip
def test_a_ring_that_cannot_be_is_refused(more, says):
    given_ring = {
        "sides": 6,
        "side": Fraction(300),
        "measured": "outside",
        "trim_width": Fraction(40),
        "kerf": Fraction(3),
    }
    with pytest.raises(Unreadable) as refused:
        mitred_ring(**(given_ring | more))
    assert refused.value.says == says


@pytest.mark.parametrize("written", ["1x4", "1 x 4", "1X4", "1×4"])
def test_a_nominal_size_is_read_in_the_ways_it_is_written(written):
    assert (read_nominal(written).thickness / INCH, read_nominal(written).width / INCH) == (
        Fraction(3, 4),
        Fraction(7, 2),
    )


@pytest.mark.parametrize("written", ["", "1x", "x4", "1x7/8", "9x4", "1x99", "one by four", "1x4x8", "1" * 500])
def test_what_is_no_nominal_size_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_nominal(written)
    assert refused.value.write == "write it as `1x4`, `5/4x6` or `2x4`, or the size as measured"
