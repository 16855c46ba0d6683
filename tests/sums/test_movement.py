"""How solid wood moves: what is told, what is refused, what must always hold."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.unreadable import Unreadable
from flipbook.sums.data.wood_movement import COEFFICIENTS
from flipbook.sums.movement import moisture_in_air, movement

INCH = Fraction("25.4")


def moved(species="black cherry", width=20, sawn="flatsawn", now=8, then=11):
    return movement(
        species=species, width=Fraction(width) * INCH, sawn=sawn, moisture=Fraction(now), moisture_then=Fraction(then)
    )


def test_a_cherry_top_is_told_as_on_paper():
    top = moved()
    # 20 x 0.00248 x 3 = 0.1488.
    assert top.change == Fraction("0.1488") * INCH
    assert top.width_then == Fraction("20.1488") * INCH
    assert top.working == (
        "black cherry, flatsawn: 0.00248 of the width for each percent of moisture (Wood Handbook, Table 13-5).",
        "Wood Handbook, equation 13-2, for 6% to 14%: 20 in x 0.00248 x (11 − 8) = 0.1488 in.",
        "It swells 5/32 in (0.007 in over), to 20 5/32 in (0.007 in over).",
    )


def test_a_quartersawn_top_moves_by_the_radial_figure():
    # 20 x 0.00126 x 3 = 0.0756.
    assert moved(sawn="quartersawn").change == Fraction("0.0756") * INCH


def test_beyond_the_tables_limits_the_other_equation_is_used_and_named():
    top = moved(now=8, then=5)
    # 20 x (5 - 8) / (1 / 0.00248 - 10 + 8) = -60 / 401.2258 = -0.14954.
    assert float(top.change / INCH) == pytest.approx(-0.14954, abs=5e-6)
    assert top.working[1] == (
        "Wood Handbook, equation 13-3, since it is not within 6% to 14%: 20 in x (5 − 8) / (1 / 0.00248 − 10 + 8) = −0.1495 in."
    )
    assert top.working[2].startswith("It shrinks ")


def test_air_that_stays_the_same_moves_nothing():
    assert moved(then=8).working[2] == "It does not move."


def test_a_figure_not_from_the_table_says_where_it_is_from():
    assert "from memory" in moved("mahogany").source
    assert "worked from the shrinkage" in moved("yellow-poplar").source
    assert "from memory" in moved("mahogany").working[0]


@pytest.mark.parametrize(
    ("written", "known"),
    [("Cherry", "black cherry"), ("  WHITE   oak ", "white oak"), ("yellow poplar", "yellow-poplar"), ("walnut", "black walnut"), ("teak", "teak")],
)  # fmt: skip
def test_a_wood_is_known_by_the_name_of_the_shop_where_only_one_has_it(written, known):
    assert moved(written).species == known


@pytest.mark.parametrize(
    ("written", "says", "write"),
    [
        ("oak", "`oak` is more than one wood of the table", "write `black oak` or `red oak` or `white oak` or `live oak`"),
        ("wallnut", "`wallnut` is not in the table of woods", "write `black walnut`"),
        ("", "`` is not in the table of woods", "write a wood as the Wood Handbook names it, as `red oak`"),
        ("kryptonite", "`kryptonite` is not in the table of woods", "write a wood as the Wood Handbook names it, as `red oak`"),
    ],
)  # fmt: skip
def test_a_wood_that_is_not_known_is_refused_with_the_nearest(written, says, write):
    with pytest.raises(Unreadable) as refused:
        moved(written)
    assert (refused.value.says, refused.value.write) == (says, write)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"width": 0}, "the width is nothing"),
        ({"width": -2}, "the width is less than nothing"),
        ({"width": 9000}, "the width is over 100 m"),
        ({"now": -1}, "a moisture of -1% is not reckoned"),
        ({"then": 31}, "a moisture of 31% is not reckoned"),
        ({"sawn": "rift"}, "`rift` is no way of sawing"),
    ],
)
def test_a_movement_that_cannot_be_is_refused(more, says):
    with pytest.raises(Unreadable) as refused:
        moved(**more)
    assert refused.value.says == says


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "says"),
    [
        (20, 50, "20 F is no air to keep furniture in"),
        (200, 50, "200 F is no air to keep furniture in"),
        (70, 0, "a humidity of 0% is outside the table"),
        (70, 100, "a humidity of 100% is outside the table"),
        (70, -5, "a humidity of -5% is outside the table"),
    ],
)
def test_air_outside_the_table_is_refused(fahrenheit, humidity, says):
    with pytest.raises(Unreadable) as refused:
        moisture_in_air(fahrenheit=Fraction(fahrenheit), humidity=Fraction(humidity))
    assert refused.value.says == says


def test_the_moisture_in_air_is_told_as_on_paper():
    # 70 F = 21.1 C; W = 349 + 1.29 x 21.111 + 0.0135 x 445.68 = 382.25.
    assert moisture_in_air(fahrenheit=Fraction(70), humidity=Fraction(50)).working == (
        "70 F is 21.1 C: W = 382.25, K = 0.8193, K1 = 5.9369, K2 = 2.6386; K x 0.5 = 0.4097.",
        "Wood Handbook, equation 4-5: 1800 / 382.25 x (0.6939 + 1.2688) = 9.24.",
        "At 50% humidity wood settles at 9.2% moisture.",
    )


percents = st.fractions(min_value=0, max_value=30, max_denominator=10)
linear = st.fractions(min_value=6, max_value=14, max_denominator=10)


@given(st.sampled_from(sorted(COEFFICIENTS)), st.sampled_from(["flatsawn", "quartersawn"]), percents, percents)
def test_damper_wood_is_wider_and_drier_wood_narrower(species, sawn, now, then):
    change = moved(species, 20, sawn, now, then).change
    assert (change > 0) == (then > now)
    assert (change < 0) == (then < now)


@given(st.sampled_from(sorted(COEFFICIENTS)), linear, linear, linear)
def test_within_the_limits_two_changes_of_a_width_sum_to_one(species, one, two, three):
    steps = moved(species, 20, "flatsawn", one, two).change + moved(species, 20, "flatsawn", two, three).change
    assert steps == moved(species, 20, "flatsawn", one, three).change


@given(st.sampled_from(sorted(COEFFICIENTS)), percents, percents)
def test_beyond_the_limits_there_and_back_is_the_same_width(species, now, then):
    outside = not (6 <= now <= 14 and 6 <= then <= 14)
    there = moved(species, 20, "flatsawn", now, then)
    back = moved(species, there.width_then / INCH, "flatsawn", then, now)
    if outside:
        assert back.width_then == 20 * INCH
    else:
        # Equation 13-2 is linear in the width at the start, so the way back is off by the change squared.
        assert abs(back.width_then - 20 * INCH) <= there.change**2 / (20 * INCH)


@given(st.integers(30, 130), st.integers(5, 94))
def test_damper_air_makes_damper_wood(fahrenheit, humidity):
    drier, damper = (
        moisture_in_air(fahrenheit=Fraction(fahrenheit), humidity=Fraction(each)).percent
        for each in (humidity, humidity + 1)
    )
    assert drier <= damper
