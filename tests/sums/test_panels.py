"""Rectangles out of a roll or a sheet: how many, where they lie, and how much to buy."""

from fractions import Fraction
from itertools import combinations
from math import ceil

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.measures.unreadable import Unreadable
from flipbook.sums.panels import MOST_PIECES, Panel, from_roll, from_sheet

INCH = Fraction("25.4")


def inches(number):
    return Fraction(number) * INCH


def panel(width, height, **more):
    return Panel(
        width=inches(width), height=inches(height), **{k: v if k == "one_way" else inches(v) for k, v in more.items()}
    )


def roll(piece, width, wanted, sold_by=0):
    return from_roll(piece, width=inches(width), wanted=wanted, sold_by=inches(sold_by))


def sheet(piece, width, length, wanted=None):
    return from_sheet(piece, width=inches(width), length=inches(length), wanted=wanted)


@pytest.mark.parametrize(
    ("piece", "width", "wanted", "length", "by_hand"),
    [
        (panel(18, 18), 54, 6, 36, "three across, two rows"),
        (panel(14, 18, margin="1/2"), 54, 6, 38, "15 by 19 to cut: three across 45 in, two rows of 19"),
        (panel(20, 12), 40, 4, 24, "two across, two rows of 12; turned, three across are 36 in: 20 + 12 is more"),
        (panel(30, 10), 32, 3, 30, "one across, three rows; turned, three across 30 in, one row of 30"),
        (panel(30, 10, one_way=True), 32, 3, 30, "the same without turning"),
        (panel(10, 30), 32, 3, 30, "three across, one row"),
        (panel(10, 31), 32, 3, 30, "turned: one across 31 in, three rows of 10; upright 31 in"),
        (panel(10, 31, one_way=True), 32, 3, 31, "a pattern with a direction may not be turned"),
        (panel(20, 30), 54, 3, 40, "two turned one below the other, and one upright beside them: 30 + 20 of 54 across"),
    ],
)  # fmt: skip
def test_the_roll_is_as_long_as_the_rows(piece, width, wanted, length, by_hand):
    layout = roll(piece, width, wanted)
    assert layout.length == inches(length), by_hand
    assert len(layout.pieces) == wanted


@pytest.mark.parametrize(
    ("along", "across", "width", "wanted", "length", "to_buy", "by_hand"),
    [
        (Fraction("13.5"), 0, 54, 4, 49, Fraction("62.5"), "22 in takes two repeats, 27: 27 + 22, and one to find the start"),
        (22, 0, 54, 4, 44, 66, "a repeat as long as the piece wastes nothing between rows"),
        (0, 27, 54, 4, 44, 44, "two across: the second starts at 27 and ends at 49"),
        (0, 28, 49, 4, 88, 88, "the second would start at 28 and end at 50: one across"),
        (0, 27, 49, 4, 44, 44, "the second ends at 49, the roll's edge"),
    ],
)  # fmt: skip
def test_a_pattern_starts_every_piece_at_a_repeat(along, across, width, wanted, length, to_buy, by_hand):
    layout = roll(panel(20, 20, margin=1, repeat_along=along, repeat_across=across), width, wanted)
    assert (layout.length, layout.to_buy) == (inches(length), inches(to_buy)), by_hand
    for each in layout.pieces:
        assert not each.turned
        assert not along or each.start % along == 0
        assert not across or each.left % across == 0


def test_what_is_bought_is_rounded_up_to_what_is_sold():
    layout = roll(panel(14, 18, margin="1/2"), 54, 6, sold_by=18)
    assert layout.to_buy == inches(54)
    assert layout.working == (
        "A piece is 14 in by 18 in with 1/2 in all round: 15 in by 19 in to cut.",
        "2 rows of 3 upright in 54 in: 6 in 38 in.",
        "6 pieces take 38 in of the roll. Sold by 18 in: buy 54 in.",
    )
    # 6 x 14 x 18 of 54 x 54.
    assert layout.used == Fraction(6 * 14 * 18, 54 * 54)


@pytest.mark.parametrize(
    ("piece", "width", "length", "number", "by_hand"),
    [
        (panel(9, 14), 24, 36, 6, "turned rows of one, four of them, and two upright in the strip beside"),
        (panel(9, 14, one_way=True), 24, 36, 4, "two across, two rows"),
        (panel(24, 48), 48, 96, 4, "two across, two rows"),
        (panel(30, 50), 48, 96, 1, "turned it is too wide"),
        (panel(10, 10), 35, 35, 9, "three by three"),
        (panel(4, 3), 7, 7, 3, "four would lie in a ring about a hole of one inch: rows don't find that, and don't claim to"),
    ],
)  # fmt: skip
def test_a_sheet_yields_what_the_best_rows_yield(piece, width, length, number, by_hand):
    layout = sheet(piece, width, length)
    assert len(layout.pieces) == number, by_hand


def test_the_sheets_for_a_number_of_pieces_are_rounded_up():
    layout = sheet(panel(9, 14), 24, 36, wanted=13)
    assert layout.sheets == 3
    assert layout.working[-1] == "6 from a sheet 24 in by 36 in, 87.5% of it. 13 / 6 = 2.17, so 3 sheets."
    assert "not proved" in layout.claim


sizes = st.fractions(min_value=3, max_value=40, max_denominator=8)


@st.composite
def panels(draw):
    repeats = st.one_of(st.just(Fraction(0)), st.fractions(min_value=2, max_value=30, max_denominator=4))
    return Panel(
        width=inches(draw(sizes)),
        height=inches(draw(sizes)),
        margin=inches(draw(st.fractions(min_value=0, max_value=1, max_denominator=8))),
        one_way=draw(st.booleans()),
        repeat_along=inches(draw(repeats)),
        repeat_across=inches(draw(repeats)),
    )


def assert_laid_out(piece, layout):
    across, along = ((each + 2 * piece.margin) / INCH for each in (piece.width, piece.height))
    for each in layout.pieces:
        assert (each.width, each.height) == ((along, across) if each.turned else (across, along))
        assert each.left >= 0
        assert each.left + each.width <= layout.width / INCH
        assert each.start >= 0
        assert each.start + each.height <= layout.length / INCH
        if piece.repeat_along:
            assert each.start % (piece.repeat_along / INCH) == 0
        if piece.repeat_across:
            assert each.left % (piece.repeat_across / INCH) == 0
    for one, other in combinations(layout.pieces, 2):
        apart_across = one.left + one.width <= other.left or other.left + other.width <= one.left
        apart_along = one.start + one.height <= other.start or other.start + other.height <= one.start
        assert apart_across or apart_along
    if piece.one_way or piece.repeat_along or piece.repeat_across:
        assert not any(each.turned for each in layout.pieces)


@settings(max_examples=examples(150))
@given(panels(), st.integers(1, 30), st.fractions(min_value=0, max_value=40, max_denominator=2))
def test_no_two_pieces_of_a_roll_overlap_and_all_lie_on_it(piece, wanted, sold_by):
    layout = from_roll(piece, width=inches(54), wanted=wanted, sold_by=inches(sold_by))
    assert len(layout.pieces) == wanted
    assert_laid_out(piece, layout)
    assert layout.to_buy >= layout.length + piece.repeat_along
    if sold_by:
        assert (layout.to_buy / inches(sold_by)).denominator == 1
        assert layout.to_buy - inches(sold_by) < layout.length + piece.repeat_along
    assert 0 < layout.used <= 1


@settings(max_examples=examples(150))
@given(panels(), st.fractions(min_value=42, max_value=96, max_denominator=2))
def test_a_sheet_holds_at_least_what_either_way_alone_would(piece, length):
    layout = from_sheet(piece, width=inches(48), length=inches(length))
    assert_laid_out(piece, layout)
    across, along = piece.width + 2 * piece.margin, piece.height + 2 * piece.margin
    if not (piece.repeat_along or piece.repeat_across):
        upright = (inches(48) // across) * (inches(length) // along)
        turned = 0 if piece.one_way else (inches(48) // along) * (inches(length) // across)
        assert len(layout.pieces) >= max(upright, turned)
    assert layout.used <= 1
    assert layout.used == len(layout.pieces) * piece.width * piece.height / (inches(48) * inches(length))


@settings(max_examples=examples(100))
@given(sizes, sizes, st.integers(1, 12))
def test_a_roll_is_no_longer_than_plain_rows_of_either_way(width, height, wanted):
    layout = roll(panel(width, height), 54, wanted)
    plain = [ceil(Fraction(wanted, 54 // across)) * along for across, along in ((width, height), (height, width))]
    assert layout.length <= inches(min(plain))
    assert layout.length * inches(54) >= wanted * inches(width) * inches(height)


@pytest.mark.parametrize(
    ("piece", "width", "wanted", "says"),
    [
        (panel(0, 10), 54, 1, "the piece's width is nothing"),
        (panel(10, -1), 54, 1, "the piece's height is less than nothing"),
        (panel(10, 10, margin=-1), 54, 1, "the margin is less than nothing"),
        (panel(10, 10, repeat_along=-1), 54, 1, "the repeat along is less than nothing"),
        (panel(10, 10, repeat_across=-1), 54, 1, "the repeat across is less than nothing"),
        (panel(10, 10), 0, 1, "the width of the roll or sheet is nothing"),
        (panel(10, 10), 54, 0, "0 pieces can't be laid out"),
        (panel(10, 10), 54, MOST_PIECES + 1, f"{MOST_PIECES + 1} pieces can't be laid out"),
        (panel(60, 56), 54, 1, "a piece of 60 in by 56 in with its margins is wider than 54 in"),
        (panel(60, 10, one_way=True), 54, 1, "a piece of 60 in by 10 in with its margins is wider than 54 in, and it may not be turned"),
        (panel(53, 70, margin=1), 54, 1, "a piece of 55 in by 72 in with its margins is wider than 54 in"),
        (panel(54, 3000), 54, MOST_PIECES, "the length of roll is over 100 m"),
    ],
)  # fmt: skip
def test_a_roll_that_cannot_be_cut_is_refused(piece, width, wanted, says):
    with pytest.raises(Unreadable) as refused:
        roll(piece, width, wanted)
    assert refused.value.says == says


@pytest.mark.parametrize(
    ("piece", "length", "says"),
    [
        (panel(20, 50), 40, "not one piece fits on a sheet 40 in long"),
        (panel("1/8", "1/8"), 96, f"a sheet could hold over {MOST_PIECES:,} pieces"),
        (panel(20, 50), 0, "the sheet's length is nothing"),
    ],
)
def test_a_sheet_that_cannot_be_cut_is_refused(piece, length, says):
    with pytest.raises(Unreadable) as refused:
        sheet(piece, 48, length)
    assert refused.value.says == says
