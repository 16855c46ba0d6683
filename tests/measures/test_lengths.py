"""Lengths and sizes as they are written: FORMAT.md, "How things are written", the rows `length` and `size of a piece`."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.lengths import Size, in_centimetres, in_inches, read_length, read_size
from flipbook.measures.unreadable import Unreadable

# 1 in = 25.4 mm exactly: NIST Handbook 44 Appendix C sections 4 and 5.
INCH = Fraction("25.4")


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("30 1/2 in", "30.5"),
        ('30-1/2"', "30.5"),
        ("30.5 in", "30.5"),
        ("30.5in", "30.5"),
        ("30 inches", "30"),
        ("3/4 in", "0.75"),
        ("2 ft 6 in", "30"),
        ("2' 6\"", "30"),
        ("2'6\"", "30"),
        ("2′ 6″", "30"),
        ("2’ 6”", "30"),
        ("2 ft 6 1/2 in", "30.5"),
        ("2' 6-1/2\"", "30.5"),
        ("2 feet 6 inches", "30"),
        ("2 ft", "24"),
        ("1 yd", "36"),
    ],
)
def test_a_customary_length_is_read_exactly(written, inches):
    assert read_length(written) == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("written", "millimetres"), [("77.5 cm", "775"), ("775 mm", "775"), ("1.2 m", "1200"), ("0.5 mm", "0.5")]
)
def test_a_metric_length_is_read_exactly(written, millimetres):
    assert read_length(written) == Fraction(millimetres)


@pytest.mark.parametrize("written", ["30", "30 1/2", "30.5"])
def test_a_bare_number_is_no_length(written):
    with pytest.raises(Unreadable) as refused:
        read_length(written)
    assert refused.value.says == f"`{written}` has no unit"
    assert refused.value.write == "write it with a unit, as `30 1/2 in`, `2 ft 6 in` or `77.5 cm`"


@pytest.mark.parametrize(
    "written", ["", "in", "-3 in", "0 in", "77,5 cm", ".5 in", "6 in 2 ft", "2 ft 6", "2-6 in", "4 fl oz", "30 in in"]
)
def test_what_is_no_length_is_refused_with_the_forms_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_length(written)
    assert refused.value.write == "write it with a unit, as `30 1/2 in`, `2 ft 6 in` or `77.5 cm`"


WORKSTAND = Size(34 * INCH, 19 * INCH, Fraction("30.5") * INCH)


@pytest.mark.parametrize(
    "written",
    [
        "34 x 19 x 30 1/2 in",
        "34 W x 19 D x 30 1/2 H in",
        "34W x 19D x 30.5H in",
        "34 w x 19 d x 30 1/2 h in",
        "W 34 x D 19 x H 30 1/2 in",
        "30 1/2 H x 34 W x 19 D in",
        '34" x 19" x 30-1/2"',
        '34" W x 19" D x 30-1/2" H',
        "34 in x 19 in x 30 1/2 in",
        "34 X 19 X 30.5 in",
        "34 × 19 × 30 1/2 in",
        "34x19x30.5in",
        "2 ft 10 in x 19 in x 2 ft 6 1/2 in",
        "34 x 19 x 30 1/2 inches",
        "34 x 19 x 30 1/2 inch",
        "34 inch x 19 inch x 30 1/2 inch",
    ],
)
def test_a_size_is_width_depth_and_height_however_it_is_written(written):
    assert read_size(written) == WORKSTAND


def test_a_size_may_be_metric():
    assert read_size("86 x 48 x 77.5 cm") == read_size("860 x 480 x 775 mm") == Size(860, 480, 775)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("34 x 19 in", "this is 2"),
        ("34 in", "this is 1"),
        ("34 x 19 x 30 x 2 in", "this is 4"),
        ("34 x 19 x 30", "has no unit"),
        ("34 W x 19 D x 30 H", "has no unit"),
        ("34 in x 19 x 30", "has no unit"),
        ("34 W x 19 W x 30 H in", "once each"),
        ("34 W x 19 x 30 H in", "once each"),
        ("34 L x 19 W x 30 H in", "once each"),
        ("0 x 19 x 30 in", "a length of nothing"),
        ("-34 x 19 x 30 in", "not a length"),
        ("34 x 19 x 30 fl oz", "has no unit"),
    ],
)
def test_what_is_no_size_is_refused_with_both_forms_of_one(written, says):
    with pytest.raises(Unreadable) as refused:
        read_size(written)
    assert says in refused.value.says
    assert refused.value.write == (
        "write width, depth and height, as `34 x 19 x 30 1/2 in` or `34 W x 19 D x 30 1/2 H in`"
    )


@pytest.mark.parametrize(
    ("millimetres", "inches"),
    [
        ("774.7", "30 1/2"),  # 774.7 / 25.4 is 30.5
        ("304.8", "12"),
        ("96", "3 3/4"),  # 60.47 sixteenths, so 60
        ("95.25", "3 3/4"),
        ("19.05", "3/4"),
        ("24.6", "15/16"),  # 15.496 sixteenths, so 15
        ("24.60625", "1"),  # 15.5 sixteenths, and a half goes up
        ("0", "0"),
    ],
)
def test_inches_are_shown_to_the_sixteenth_in_lowest_terms(millimetres, inches):
    # Read to 1/16 and reduced, never 8/16: common practice, no source.
    assert in_inches(Fraction(millimetres)) == inches


@pytest.mark.parametrize(("millimetres", "centimetres"), [("774.7", "77.5"), ("860", "86"), ("862.5", "86.5")])
def test_centimetres_are_shown_to_the_half(millimetres, centimetres):
    # 774.7 is nearest to 775; 862.5 lies between 860 and 865, and a half goes up.
    assert in_centimetres(Fraction(millimetres)) == centimetres


@given(st.integers(1, 5000))
def test_a_length_in_sixteenths_is_read_back_as_it_is_shown(sixteenths):
    length = sixteenths * INCH / 16
    assert read_length(f"{in_inches(length)} in") == length


@given(st.integers(1, 99), st.integers(0, 11))
def test_feet_and_inches_are_as_long_as_the_inches_alone(feet, inches):
    assert read_length(f"{feet} ft {inches} in") == read_length(f"{feet * 12 + inches} in")


@given(st.permutations(["34 W", "19 D", "30 1/2 H"]))
def test_with_letters_the_order_of_a_size_does_not_matter(parts):
    assert read_size(" x ".join(parts) + " in") == WORKSTAND
