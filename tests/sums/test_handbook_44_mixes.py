"""Mixes by the measures of NIST Handbook 44, Appendix C: 16 US fluid ounces to the pint, 20 imperial ones to theirs.

Every figure on the right is the Handbook's (2024 edition, Appendix C sections 2, 4 and 5) or worked from it by hand.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import UNITS, Amount
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.mixing import Part, from_amounts, mixed, read_parts, read_volume

ML = UNITS["ml"]

# Handbook 44, Appendix C, section 4: 1 gallon = 4 quarts = 8 pints = 16 cups = 128 fluid ounces = 3 785.411 784 ml.
IN_ML = {
    "1 fl oz": "29.5735295625",
    "1 cup": "236.5882365",
    "1 pint": "473.176473",
    "1 quart": "946.352946",
    "1 gallon": "3785.411784",
}


@pytest.mark.parametrize(("makes", "ml"), IN_ML.items())
def test_a_third_of_a_measure_is_a_third_of_the_handbooks_millilitres(makes: str, ml: str) -> None:
    paint, water = mixed(read_parts("fig blue paint 1, water 2"), read_volume(makes)).poured
    assert paint.amount.in_unit(ML) == Fraction(ml) / 3
    assert water.amount.in_unit(ML) == Fraction(ml) * 2 / 3


@pytest.mark.parametrize(
    ("parts", "makes", "poured"),
    # 128 fl oz in a gallon, 32 in a quart, 16 in a pint, 8 in a cup.
    [
        ("paint 1, water 2", "12 fl oz", ["4 fl oz", "8 fl oz"]),
        ("paint 1, water 1", "1 pint", ["8 fl oz", "8 fl oz"]),
        ("paint 3, water 1", "1 quart", ["24 fl oz", "8 fl oz"]),
        ("paint 1, water 3", "1 gallon", ["32 fl oz", "96 fl oz"]),
        ("paint 10, water 1", "11 cup", ["80 fl oz", "8 fl oz"]),
        ("paint 1, medium 2, water 5", "1 cup", ["1 fl oz", "2 fl oz", "5 fl oz"]),
    ],
)
def test_parts_come_to_the_measures_of_the_handbook(parts: str, makes: str, poured: list[str]) -> None:
    done = mixed(read_parts(parts), read_volume(makes))
    assert [each.amount.in_unit(UNITS["fl oz"]) for each in done.poured] == [Fraction(p.split()[0]) for p in poured]


def test_thin_by_ten_percent_is_ten_of_water_to_a_hundred_of_paint() -> None:
    paint, water = mixed(read_parts("fig blue paint, thinned 10%"), read_volume("110 fl oz")).poured
    assert (paint.amount.number, water.amount.number) == (100, 10)
    assert water.share == Fraction(1, 11)  # 9.09%, and not 10%


@pytest.mark.parametrize(
    ("said", "ml", "way"),
    # Appendix C: the imperial gallon is 4 546.09 ml; 160 imperial fluid ounces and 8 pints to it.
    [
        ("10 imp fl oz", Fraction("4546.09") / 16, "smaller"),
        ("1 imperial pint", Fraction("4546.09") / 8, "larger"),
        ("2 UK gallons", Fraction("4546.09") * 2, "larger"),
        ("1 imperial fluid ounce", Fraction("4546.09") / 160, "smaller"),
    ],
)
def test_an_imperial_measure_is_refused_with_its_millilitres(said: str, ml: Fraction, way: str) -> None:
    with pytest.raises(Unreadable) as fault:
        read_volume(said)
    assert f"is {way} than the US one" in fault.value.says
    write = fault.value.write
    assert abs(Fraction(write[write.index("`") + 1 :].split(" ")[0]) - ml) <= Fraction(1, 20)


def test_pint_the_library_reckons_the_imperial_ounce_smaller_as_well() -> None:
    units = pint.UnitRegistry()
    assert units("1 imperial_fluid_ounce").to("ml").magnitude == pytest.approx(28.4130625)
    assert units("1 imperial_fluid_ounce") < units("1 fluid_ounce")


@given(
    st.lists(st.integers(1, 60), min_size=2, max_size=6),
    st.fractions(min_value=Fraction(1, 8), max_value=500, max_denominator=64),
    st.sampled_from(["fl oz", "cup", "pint", "quart", "gallon", "ml", "l"]),
)
def test_what_is_poured_is_the_whole_and_gives_the_parts_back(sizes: list[int], number: Fraction, unit: str) -> None:
    parts = [Part(name=f"part {n}", parts=Fraction(size)) for n, size in enumerate(sizes)]
    done = mixed(parts, Amount(number, UNITS[unit]))
    assert sum(each.amount.number for each in done.poured) == number
    assert sum(each.share for each in done.poured) == 1
    back = from_amounts([(each.name, each.amount) for each in done.poured])
    assert back.makes.number == number
    assert [each.share for each in back.poured] == [each.share for each in done.poured]
