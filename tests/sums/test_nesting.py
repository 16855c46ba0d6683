"""Cut lists nested into sticks: the kerf, the shelf, what is left, and what is told of it."""

from collections import Counter
from fractions import Fraction

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.measures.lengths import tell_millimetres
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.nesting import MOST_OFFCUTS, MOST_PARTS, CutPart, nest

INCH = Fraction("25.4")
EIGHTH = INCH / 8


def part(inches, count=1, name="rail"):
    return CutPart(name=name, length=Fraction(inches) * INCH, count=count)


def nested(*parts, stick="96", kerf=EIGHTH, offcuts=(), **more):
    return nest(parts, stick=Fraction(stick) * INCH, kerf=kerf, offcuts=[Fraction(o) * INCH for o in offcuts], **more)


@pytest.mark.parametrize(
    ("inches", "count", "stick", "kerf", "sticks", "why"),
    [
        ("24", 4, "96", "1/8", 2, "four of 24 in 96 leave nothing for three cuts"),
        ("24", 4, "96", "1/10000", 2, "not even for thin ones"),
        ("24", 4, "96", "0", 1, "a knife takes nothing"),
        ("24", 4, "96 3/8", "1/8", 1, "three cuts, and the fourth part ends with the stick"),
        ("24", 4, "96 5/16", "1/8", 2, "a sixteenth too short for the third cut"),
        ("24", 4, "96 7/16", "1/8", 1, "a sixteenth is left, and the blade takes it"),
        ("96", 3, "96", "1/8", 3, "a part as long as the stick wants no cut"),
    ],
)
def test_parts_and_the_cuts_between_them_fill_a_stick(inches, count, stick, kerf, sticks, why):
    whole, _, rest = stick.partition(" ")
    long = Fraction(whole) + (Fraction(rest) if rest else 0)
    nesting = nested(part(inches, count), stick=long, kerf=Fraction(kerf) * INCH)
    assert (nesting.new_sticks, nesting.is_least) == (sticks, True), why


@pytest.mark.parametrize(
    ("stick", "sawdust", "offcut", "why"),
    [
        ("48 1/8", "1/8", "0", "one cut, the second part ends with the stick"),
        ("48 3/16", "3/16", "0", "less than a kerf is left: the last cut makes sawdust of it"),
        ("48 1/4", "1/4", "0", "just a kerf is left"),
        ("49", "1/4", "3/4", "a cut after each part, and an offcut"),
    ],
)
def test_what_is_left_after_the_last_part_is_sawdust_and_then_offcut(stick, sawdust, offcut, why):
    whole, _, rest = stick.partition(" ")
    nesting = nested(part("24", 2), stick=Fraction(whole) + (Fraction(rest) if rest else 0))
    (only,) = nesting.sticks
    assert (only.sawdust, only.offcut) == (Fraction(sawdust) * INCH, Fraction(offcut) * INCH), why


def test_six_frames_out_of_eight_foot_sticks_are_told_as_one_would_on_paper():
    nesting = nested(part("34", 12, "long"), part("9", 12, "side"))
    # By hand: two long parts and two (even three) side parts to a stick, so 12 / 2 = 6 sticks; three long parts are 102 in.
    assert nesting.new_sticks == 6
    assert nesting.working == (
        "24 parts, 516 in in all. The last part of a stick wants no kerf: with 1/8 in of kerf counted to each part, a 96 in stick has room for 96 1/8 in.",
        "With their kerfs the parts are 519 in, and a stick holds at most 95 5/8 in of them: 519 in / 95 5/8 in = 5.427, so no fewer than 6 new sticks.",
        "Found: 6 new sticks; there is no plan with fewer.",
    )


def test_a_proof_by_weights_is_listed_for_whoever_wants_to_check_it():
    nesting = nested(part("50", 3, "rail"), part("47", 3, "stile"))
    # Two of 50, or 50 and 47 with a cut between, are over 96; two of 47 are not: 3 + 2 sticks. In eighths of an inch a
    # stick and a kerf are 769, and 47 in and a kerf 377; nothing of 47 lies beside a 50, so that counts as a stick.
    assert (nesting.new_sticks, nesting.is_least) == (5, True)
    assert nesting.working[1] == (
        "Count 50 in as 769, 47 in as 377: a stick holds at most 769, the list is 3438. "
        "3438 / 769 = 4.471, so no fewer than 5 new sticks."
    )


def test_a_number_that_no_weights_prove_is_proved_by_trying_every_plan():
    nesting = nested(part("57", 3), part("23", 4), stick="100", kerf=Fraction(0))
    # 57 and 23 leave 20, and nothing lies in that; so a fourth stick for the fourth of 23.
    assert (nesting.new_sticks, nesting.is_least) == (4, True)
    assert nesting.working[1] == "Every plan with 3 new sticks was tried, and none holds the list: no fewer than 4."


def test_offcuts_on_the_shelf_are_used_before_a_new_stick():
    nesting = nested(part("20", 3), offcuts=["45", "21"])
    assert nesting.new_sticks == 0
    assert [(each.length / INCH, each.from_shelf, len(each.cuts)) for each in nesting.sticks] == [
        (21, True, 1),
        (45, True, 2),
    ]
    assert nesting.working[1:] == (
        "The offcuts on the shelf hold them all.",
        "Found: no new sticks and 2 offcuts from the shelf; there is no plan with fewer.",
    )


def test_parts_go_to_the_shelf_even_where_a_new_stick_had_room_for_them():
    nesting = nested(part("90"), part("5", name="block"), offcuts=["6"])
    assert [[cut.name for cut in each.cuts] for each in nesting.sticks] == [["block"], ["rail"]]
    assert [each.offcut / INCH for each in nesting.sticks] == [Fraction(7, 8), 96 - 90 - Fraction(1, 8)]


def test_an_offcut_too_short_for_any_part_stays_on_the_shelf():
    assert all(not each.from_shelf for each in nested(part("20", 3), offcuts=["12"]).sticks)


def test_parts_of_one_length_keep_their_names():
    nesting = nested(part("30", 2, "top rail"), part("30", 1, "bottom rail"), stick="96")
    assert sorted(cut.name for each in nesting.sticks for cut in each.cuts) == ["bottom rail", "top rail", "top rail"]


lengths = st.fractions(min_value=Fraction(1), max_value=Fraction(2400), max_denominator=32)
part_lists = st.lists(st.tuples(lengths, st.integers(1, 6)), min_size=1, max_size=7)


@settings(max_examples=examples(80))
@given(
    part_lists,
    st.fractions(min_value=0, max_value=Fraction(9, 10), max_denominator=64),
    st.lists(st.fractions(min_value=1, max_value=3000, max_denominator=16), max_size=4),
)
def test_parts_sawdust_and_offcuts_are_the_sticks(counted, kerf, offcuts):
    parts = [CutPart(name=f"part {at}", length=length, count=count) for at, (length, count) in enumerate(counted)]
    nesting = nest(parts, stick=Fraction(2400), kerf=kerf, offcuts=offcuts, effort=100_000)
    for each in nesting.sticks:
        assert sum(cut.length for cut in each.cuts) + each.sawdust + each.offcut == each.length
        assert each.sawdust <= len(each.cuts) * kerf
        assert each.sawdust == len(each.cuts) * kerf or not each.offcut
    cut = [part.name for each in nesting.sticks for part in each.cuts]
    assert sorted(cut) == sorted(part.name for part in parts for _ in range(part.count))
    taken = [each.length for each in nesting.sticks if each.from_shelf]
    assert not Counter(taken) - Counter(offcuts)
    assert nesting.least <= nesting.new_sticks == len(nesting.sticks) - len(taken)


@settings(max_examples=examples(30))
@given(part_lists)
def test_the_same_list_in_another_order_takes_as_many_sticks(counted):
    parts = [CutPart(name=str(at), length=length, count=count) for at, (length, count) in enumerate(counted)]
    one, other = (nest(each, stick=Fraction(2400), kerf=Fraction(3, 4)) for each in (parts, parts[::-1]))
    assert (one.new_sticks, one.least) == (other.new_sticks, other.least)


def hard_list():
    """Sixty parts of sixty lengths, near to a third and a half of the stick."""
    state = 1
    for number in range(60):
        state = (state * 1103515245 + 12345) % 2**31
        yield CutPart(name=f"part {number}", length=Fraction(22 * 32 + (state >> 8) % (26 * 32 + 1), 32) * INCH)


def test_a_search_that_must_stop_says_what_it_has_and_what_is_not_ruled_out():
    whole = nest(list(hard_list()), stick=96 * INCH, kerf=EIGHTH)
    assert whole.is_least
    stopped = nest(list(hard_list()), stick=96 * INCH, kerf=EIGHTH, effort=1)
    assert stopped.least <= whole.new_sticks < stopped.new_sticks
    assert not stopped.is_least
    assert stopped.working[2] == (
        f"Found: {stopped.new_sticks} new sticks. The search stopped at its limit of 1 steps: "
        f"at least {stopped.least} are wanted, and whether {stopped.new_sticks - 1} would do is not settled."
    )


def test_metric_work_is_told_in_millimetres():
    nesting = nest(
        [CutPart(name="rail", length=Fraction(600), count=4)],
        stick=Fraction(2400),
        kerf=Fraction(3),
        tell=tell_millimetres,
    )
    assert nesting.working[0].startswith("4 parts, 2400 mm in all.")
    assert nesting.new_sticks == 2


@pytest.mark.parametrize(
    ("parts", "stick", "kerf", "offcuts", "says", "write"),
    [
        ([], "96", "1/8", [], "the cut list is empty", "write at least one part"),
        ([part("0")], "96", "1/8", [], "`rail` is nothing", "write a length of more than 0"),
        ([part("-3")], "96", "1/8", [], "`rail` is less than nothing", "write a length of more than 0"),
        ([part("24", 0)], "96", "1/8", [], "`rail` is wanted 0 times", "write how many, 1 or more"),
        ([part("24")], "0", "1/8", [], "the stick is nothing", "write a length of more than 0"),
        ([part("24")], "5000", "1/8", [], "the stick is over 100 m", "check the figure and its unit"),
        ([part("24")], "96", "-1", [], "the kerf is less than nothing", "write a length of 0 or more"),
        ([part("24")], "96", "1/8", ["0"], "an offcut on the shelf is nothing", "write a length of more than 0"),
        (
            [part("24"), part("97", name="back rail")], "96", "1/8", [],
            "`back rail` is 97 in long, and the stick 96 in", "write a longer stick, or make the part of two",
        ),
        (
            [part("1/8", name="plug")], "96", "1/8", [],
            "the kerf, 1/8 in, is as wide as `plug` is long", "check the kerf and its unit",
        ),
        ([part("1", MOST_PARTS + 1)], "96", "1/8", [], f"those are over {MOST_PARTS} parts", "nest them in several lists"),
        (
            [part("1")], "96", "1/8", ["5"] * (MOST_OFFCUTS + 1),
            f"those are over {MOST_OFFCUTS} offcuts", "name the longest of them",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_nested_is_refused_with_what_to_write(parts, stick, kerf, offcuts, says, write):
    with pytest.raises(Unreadable) as refused:
        nested(*parts, stick=stick, kerf=Fraction(kerf) * INCH, offcuts=offcuts)
    assert (refused.value.says, refused.value.write) == (says, write)
