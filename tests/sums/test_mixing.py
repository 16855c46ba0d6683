"""Mixing: how parts are read, what is refused, and what must always hold."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.amounts import UNITS, Amount
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.mixing import (
    Part,
    from_amounts,
    mixed,
    mixed_from,
    read_amounts,
    read_parts,
    read_volume,
    stirred_for,
    tell_both,
)

FL_OZ = UNITS["fl oz"]


def parts_of(text: str) -> dict[str, Fraction]:
    return {part.name: part.parts for part in read_parts(text)}


def refusal(read: object, *given: object, **named: object) -> Unreadable:
    assert callable(read)
    with pytest.raises(Unreadable) as fault:
        read(*given, **named)
    return fault.value


ONE_TO_TWO = {"fig blue paint": Fraction(1), "water": Fraction(2)}


@pytest.mark.parametrize(
    "text",
    [
        "fig blue paint 1, water 2",
        "1 fig blue paint, 2 water",
        "1 part fig blue paint; 2 parts of water",
        "fig blue paint: 1, water: 2",
        "1:2 fig blue paint to water",
        "1 : 2 fig blue paint and water",
        "fig blue paint to water 1:2",
        "fig blue paint:water 1:2",
        "  fig blue   paint 1 ,water 2 ",
    ],
)
def test_one_to_two_by_name_is_one_third_paint(text: str) -> None:
    assert parts_of(text) == ONE_TO_TWO
    paint = mixed(read_parts(text), read_volume("12 fl oz")).poured[0]
    assert paint.share == Fraction(1, 3)  # one part of three, and not a half
    assert paint.amount == Amount(Fraction(4), FL_OZ)


@pytest.mark.parametrize("text", ["1:2", "1 : 2", "1 to 2", "1/2:1"])
def test_a_ratio_without_names_is_never_guessed(text: str) -> None:
    fault = refusal(read_parts, text)
    assert "does not say which is the water" in fault.says
    assert fault.write.startswith("write `paint ")
    assert "`water " in fault.write


def test_the_hint_of_a_bare_ratio_tells_what_each_reading_comes_to() -> None:
    assert refusal(read_parts, "1:2").write == (
        "write `paint 1, water 2`, which is one third paint, or `water 1, paint 2`, two thirds"
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no part of a mix was said"),
        ("fig blue paint", "is no part of a mix"),
        ("fig blue paint 1", "two parts or more"),
        ("paint 0, water 2", "nothing is no amount"),
        ("0:2", "a part of nothing"),
        ("-1 paint, water 2", "not negative"),
        ("paint -1, water 2", "not negative"),
        ("paint 1, paint 2", "twice"),
        ("Paint 1, paint 2", "twice"),
        ("paint 1/0, water 1", "fraction over 0"),
        ("1:2 paint", "does not name each of its 2 parts"),
        ("1:2:3 paint to water", "does not name each of its 3 parts"),
        ("paint nan, water 1", "is no part of a mix"),
        ("paint, thinned 5000%", "hardly paint"),
        (", ".join(f"part{n} 1" for n in range(13)), "over 12 parts"),
        ("paint 99999999999, water 1", "is no part of a mix"),
    ],
)
def test_what_is_no_mix_is_refused_in_a_sentence(text: str, says: str) -> None:
    assert says in refusal(read_parts, text).says


@pytest.mark.parametrize(
    ("text", "says", "write"),
    [
        ("12 oz", "12 oz is a weight", "write `12 fl oz`"),
        ("1 lb", "1 lb is no volume", "as `12 fl oz`"),
        ("3 sq ft", "is no volume", "as `12 fl oz`"),
        ("12", "`12` has no unit", "as `12 fl oz` or `12 ml`"),
        ("0 fl oz", "nothing is no amount", "greater than 0"),
        ("-12 fl oz", "not negative", "a number and a unit"),
        ("1e9 ml", "is not a unit", "write"),
        ("999999999 gallons", "more than any pot holds", "check the figure"),
        ("1 dry pint", "a dry pint is no measure for paint", "`1 pint`"),
        ("12 flagons", "`flagons` is not a unit", "write"),
    ],
)
def test_what_is_no_volume_is_refused_in_a_sentence(text: str, says: str, write: str) -> None:
    fault = refusal(read_volume, text)
    assert says in fault.says
    assert write in fault.write


def test_by_weight_takes_a_scale_and_refuses_the_cup() -> None:
    assert read_volume("300 g", by_weight=True) == Amount(Fraction(300), UNITS["g"])
    assert "12 fl oz is a volume" in refusal(read_volume, "12 fl oz", by_weight=True).says


def test_volumes_make_parts() -> None:
    amounts = read_amounts("fig blue paint 4 fl oz, water 1 cup")
    assert amounts is not None
    done = from_amounts(amounts)
    # A cup is 8 fl oz, so 4 and 8 are 1 and 2, and make 12.
    assert [(each.name, each.parts) for each in done.poured] == [("fig blue paint", 1), ("water", 2)]
    assert done.makes == Amount(Fraction(12), FL_OZ)


def test_volumes_of_two_systems_make_parts_that_can_be_read() -> None:
    amounts = read_amounts("fig blue paint 4 fl oz, water 100 ml")
    assert amounts is not None
    paint, water = from_amounts(amounts).poured
    assert water.parts == 1
    # Handbook 44: a fluid ounce is 29.5735295625 ml.
    assert paint.parts == Fraction("29.5735295625") * 4 / 100


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("paint 4 oz, water 8 fl oz", "a weight and a volume"),
        ("paint 4 fl oz, water 2", "`water 2` has no unit"),
        ("paint 4 imp fl oz, water 8 fl oz", "imperial fluid ounce"),
        ("4 fl oz, water 8 fl oz", "does not say of what"),
        ("paint 0 fl oz, water 8 fl oz", "nothing of `paint`"),
    ],
)
def test_amounts_that_do_not_go_together_are_refused(text: str, says: str) -> None:
    def both(text: str) -> None:
        amounts = read_amounts(text)
        assert amounts is not None
        from_amounts(amounts)

    assert says in refusal(both, text).says


@pytest.mark.parametrize("text", ["paint 1, water 2", "1:2", "paint 4 in, water 8 in"])
def test_parts_are_no_amounts(text: str) -> None:
    assert read_amounts(text) is None


def test_what_there_is_of_a_part_settles_the_rest() -> None:
    done = mixed_from(read_parts("fig blue paint 1, water 2"), "Fig  Blue paint", Amount(Fraction(5), FL_OZ))
    assert [each.amount.number for each in done.poured] == [5, 10]
    assert done.makes.number == 15
    assert "write `fig blue paint` or `water`" in refusal(mixed_from, read_parts("fig blue paint 1, water 2"), "oil", Amount(Fraction(5), FL_OZ)).write  # fmt: skip


@pytest.mark.parametrize(
    ("parts", "looks"),
    # Common practice, no source: water to paint, 1 to 1 is a light wash that is seen through, 1 to 10 barely thinned.
    [
        ("water 1, fig blue paint 10", "barely thinned"),
        ("water 1, fig blue paint 1", "a light wash that can be seen through"),
        ("fig blue paint 1, water 2", "a lighter wash"),
        ("fig blue paint 2, water 1", "a thin coat"),
        ("fig blue paint 3, water 1", "thinned for brushing"),
        ("fig blue paint 1, water 4", "a tint"),
        ("epoxy resin 2, hardener 1", ""),
        ("fig blue paint 1, glaze medium 1, water 1", ""),
    ],
)
def test_how_a_wash_looks(parts: str, looks: str) -> None:
    said = mixed(read_parts(parts), read_volume("1 cup")).looks
    assert said.startswith(looks)
    assert bool(said) == bool(looks)


def test_enough_for_an_area_is_rounded_up_to_what_a_cup_shows() -> None:
    # 20 sq ft in 2 coats at 75 sq ft a pint, and a tenth more: 20 x 2 / 75 x 16 x 1.1 = 9.3867 fl oz, so 9 1/2.
    foot, pint = UNITS["sq ft"].size, UNITS["pint"].size
    makes, line = stirred_for(20 * foot, 2, 75 * foot / pint, waste=Fraction(1, 10), unit=FL_OZ)
    assert makes == Amount(Fraction(19, 2), FL_OZ)
    assert "9.39 fl oz, so 9 1/2 fl oz" in line


def test_the_working_adds_the_parts_up() -> None:
    done = mixed(read_parts("fig blue paint 1, water 2"), read_volume("10 fl oz"))
    assert done.working[0] == "1 + 2 = 3 parts; one part is 10 fl oz / 3 = 3 1/3 fl oz."
    assert tell_both(done.poured[0].amount) == "3 1/3 fl oz (99 ml)"  # 98.578 ml


@given(
    st.lists(st.fractions(min_value=Fraction(1, 16), max_value=99, max_denominator=16), min_size=2, max_size=5),
    st.fractions(min_value=Fraction(1, 4), max_value=200, max_denominator=32),
    st.fractions(min_value=Fraction(1, 4), max_value=9, max_denominator=8),
)
def test_a_mix_made_larger_keeps_its_shares(sizes: list[Fraction], number: Fraction, times: Fraction) -> None:
    parts = [Part(name=f"part {n}", parts=size) for n, size in enumerate(sizes)]
    small, large = mixed(parts, Amount(number, FL_OZ)), mixed(parts, Amount(number * times, FL_OZ))
    assert sum(each.amount.number for each in small.poured) == number
    assert [each.amount.number * times for each in small.poured] == [each.amount.number for each in large.poured]
    again = mixed_from(parts, "part 0", large.poured[0].amount)
    assert again.makes.number == number * times


@given(st.text(max_size=40))
def test_any_words_are_a_mix_or_refused(text: str) -> None:
    for read in (read_parts, read_volume, read_amounts):
        try:
            read(text)
        except Unreadable as fault:
            assert fault.says
            assert fault.write
