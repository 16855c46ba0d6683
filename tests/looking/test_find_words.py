"""How words are compared, and that no word that stands in a log is ever missed."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.looking.words import Matches, NotAWord, Word, fold, look_for, sentences_with
from flipbook.shop.folder import ShopFolder

WHOLE, START, NOT = 2, 1, 0

STANDS = [
    ("wash", "first wash coat", WHOLE),
    ("wash", "washes of grey", START),
    ("wash", "prewash the top", NOT),
    ("WASH", "first Wash coat", WHOLE),
    ("cafe", "Égérie's café stool", WHOLE),
    ("égérie", "EGERIE'S", WHOLE),
    ("egerie’s", "Égérie's", WHOLE),
    ("bow front", "a bow-front chest", WHOLE),
    ("bow-front", "a bow front chest", WHOLE),
    ("bow‑front", "a bow-front chest", WHOLE),
    ("front", "a bow-front chest", WHOLE),
    ("clear  coat", "two clear\n  coats", START),
    ("coat clear", "two clear coats", NOT),
    ("straße", "STRASSE", WHOLE),
    ("smørblomst", "smorblomst", WHOLE),
    ("½", "1/2 can", WHOLE),
    ("1/2", "½ can", WHOLE),
    ("1/2", "11/2 can", NOT),
    ("320", "grit 3200", START),
    ("oz", "4 fl oz", WHOLE),
    ("oz", "4oz", NOT),
    ("#2", "steel wool #2, fine", WHOLE),
    ("椅子", "日本の椅子です", WHOLE),
    ("satin clear coat", "1/4 can satin clear coat", WHOLE),
    ("R.", "an offer from R. today", WHOLE),
    ("a.b", "axb", NOT),
    ("(wash", "a (wash coat)", WHOLE),
]


@pytest.mark.parametrize(("said", "text", "stands"), STANDS, ids=[f"{said} in {text}" for said, text, _ in STANDS])
def test_a_word_stands_in_a_text(said: str, text: str, stands: int) -> None:
    word = Word(said)
    found = word.in_(fold(text))
    assert found == stands
    assert word.may_be_in(text.encode()) or not found, "a file that holds it must not be passed over"


@pytest.mark.parametrize("said", ["", " ", "--", "…", "!?", "\u0301", "\x00"])
def test_what_has_no_letter_and_no_digit_cannot_be_looked_for(said: str) -> None:
    with pytest.raises(NotAWord):
        Word(said)


@given(st.text(min_size=1, max_size=30), st.text(max_size=60), st.text(max_size=60))
def test_a_text_that_stands_somewhere_is_not_passed_over(said: str, before: str, after: str) -> None:
    if not re.search(r"[^\W_]", fold(said)):
        return
    word = Word(said)
    text = f"{before} {said} {after}"
    assert word.may_be_in(text.encode("utf-8", "replace")) or not word.in_(fold(text))
    assert word.in_(fold(f"({said})")) or not fold(said)[0].isalnum()


def find(root: Path, *said: str) -> Matches:
    return look_for([Word(one) for one in said], ShopFolder(root))


WORD = st.text("abcdeéßøñ", min_size=3, max_size=7)
PHRASES = st.lists(WORD, min_size=1, max_size=4).map(" ".join)


@given(st.lists(PHRASES, min_size=1, max_size=6), st.data())
@settings(max_examples=examples(25))
def test_every_word_of_every_step_finds_that_step(steps: list[str], data: st.DataObject) -> None:
    """By an independent reckoning: the lines of the file that hold all the words asked for, as plain substrings."""
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "shop")
        shop.piece("log:\n" + "".join(f"  - 2026-02-{10 + n} {step}\n" for n, step in enumerate(steps)))
        said = data.draw(st.lists(st.sampled_from(" ".join(steps).split()), min_size=1, max_size=3))
        expected = {4 + n for n, step in enumerate(steps) if all(f" {fold(one)}" in f" {fold(step)}" for one in said)}
        assert {hit.entry.place.line for hit in find(shop.root, *said).hits} == expected


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        (["grey"], "… The wash was grey. …"),
        (["cellar", "loose"], "It stood in a cellar. … The top was loose!"),
        (["oak"], "It stood in a cellar. The wash was grey. Was it dry? The top was loose!"),
    ],
)
def test_of_a_long_text_the_sentences_that_hold_a_word_are_shown(said: list[str], shown: str) -> None:
    text = "It stood in a cellar. The wash was grey. Was it dry? The top was loose!"
    assert sentences_with([Word(one) for one in said], text) == shown
