"""Tables and sentences in terminal cells: nothing is wider than it may be, and columns stay straight.

Cells are counted here by the East Asian width of Unicode (UAX #11), apart from the counting of the program.
"""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.looking.columns import Column, ends_apart, shortened, table, wrapped


def cells(text: str) -> int:
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text
    )


@pytest.mark.parametrize(
    ("text", "width", "shown"),
    [
        ("sanded the top", 14, "sanded the top"),
        ("sanded the top by hand", 17, "sanded the top…"),  # between words, where that keeps four fifths of it
        ("sanded the top by hand", 19, "sanded the top by…"),
        ("sanded the top", 13, "sanded the t…"),
        ("sanded the top", 11, "sanded the…"),
        ("sanded the top", 10, "sanded th…"),
        ("washed, rinsed", 9, "washed…"),  # no comma is left hanging
        ("超長い箪笥", 10, "超長い箪笥"),
        ("超長い箪笥", 9, "超長い箪…"),
        ("超長い箪笥", 8, "超長い…"),  # half of a wide sign is no sign
        ("sanded", 1, "…"),
        ("sanded", 0, ""),
    ],
)
def test_words_are_shortened_to_the_cells_there_are(text: str, width: int, shown: str) -> None:
    assert shortened(text, width) == shown


words = st.text(st.sampled_from("ab ,超長é—e\u0301"), max_size=40).map(lambda text: " ".join(text.split()))


@given(words, st.integers(0, 50))
def test_shortened_words_fit_and_short_ones_stay(text: str, width: int) -> None:
    assert cells(shortened(text, width)) <= width
    if cells(text) <= width:
        assert shortened(text, width) == text


@given(st.lists(st.tuples(words, words, words), min_size=1, max_size=6), st.integers(24, 120))
def test_a_table_fits_its_width_and_its_columns_are_straight(rows: list[tuple[str, str, str]], width: int) -> None:
    columns = (
        Column(head="On", cells=[a for a, _, _ in rows], share=4),
        Column(head="Next", cells=[b for _, b, _ in rows], share=5),
        Column(head="Found", cells=[f"{n} d" for n, _ in enumerate(rows)], is_right=True),
    )
    lines = table(columns, width)
    assert len(lines) == len(rows) + 1
    assert all(cells(line) <= width for line in lines)
    assert len({cells(line) for line in lines}) == 1  # the last column is never empty, so all end together


def test_columns_that_need_less_leave_the_rest_to_the_others() -> None:
    columns = (
        Column(head="a", cells=["short"], share=1),
        Column(head="b", cells=["a long one that has no end"], share=1),
    )
    assert table(columns, 28) == ["a      b", "short  a long one that has…"]  # 5, a gap of 2, and 21
    assert table(columns, 40) == ["a      b", "short  a long one that has no end"]


def test_two_texts_stand_at_the_ends_of_a_line() -> None:
    assert ends_apart("Oak stool", "47 d", 16) == "Oak stool   47 d"
    assert ends_apart("Oak stool, blue", "47 d", 16) == "Oak stool…  47 d"


@given(st.text(st.sampled_from("ab 超"), max_size=80), st.integers(1, 30))
def test_a_sentence_is_broken_between_words_and_loses_none_that_fits(text: str, width: int) -> None:
    lines = list(wrapped(text, width))
    assert all(cells(line) <= width for line in lines)
    if all(cells(word) <= width for word in text.split()):
        assert " ".join(lines).split() == text.split()
