"""What is seen to, what a buyer is told, and words that never claim that a thing is safe."""

from __future__ import annotations

import re

import pytest
from caution_shop import SANDED, facts_of, names, raised
from shop_writer import ShopWriter

from flipbook.trade.cautions import CAUTIONS, Caution, called_for, cautions_for, problems_of


# Seen to.
@pytest.mark.parametrize("written", ["[lead paint]", "lead paint", "[Lead  Paint]", "[lead-paint, dust]"])
def test_what_was_seen_to_is_raised_no_more(shop: ShopWriter, written: str) -> None:
    facts = facts_of(shop, f"{SANDED}seen to: {written}\n")
    assert problems_of(facts) == []
    # It is still called for: seen to is not gone.
    assert [called.caution.name for called in called_for(facts.pieces[0].piece, {})] == ["lead paint"]


def test_one_that_was_seen_to_ends_no_other(shop: ShopWriter) -> None:
    more = "log:\n  - 2026-01-06 stripped it with paint stripper\nseen to: [strippers]\n"
    assert names(shop, more) == ["lead paint"]


@pytest.mark.parametrize(
    ("written", "write"),
    [
        ("[led paint]", "write `lead paint`"),
        ("[oily rag]", "write `oily rags`"),
        ("[moonlight]", "write `lead paint`, "),
    ],
)
def test_a_name_that_is_none_gets_the_nearest(shop: ShopWriter, written: str, write: str) -> None:
    problems = raised(shop, f"{SANDED}seen to: {written}\n")
    (problem,) = [problem for problem in problems if problem.name == "unknown-caution"]
    assert not problem.warning
    assert problem.help.startswith(write)
    assert "lead-paint" in {problem.name for problem in problems}


def test_names_are_looked_at_on_a_piece_that_is_sold_too(shop: ShopWriter) -> None:
    problems = raised(shop, "sold: {on: 2026-02-01, price: 90}\nseen to: [led paint]\n")
    assert [problem.name for problem in problems] == ["unknown-caution"]


# For buyers.
@pytest.mark.parametrize(
    ("more", "starts"),
    [
        ("kind: stool\nbuilt: 2015\n", []),
        ("kind: stool\nbuilt: 1978\n", ["It was built before lead paint"]),
        ("kind: nightstand\nsize: 18 x 15 x 25 in\nbuilt: 2015\n", ["Furniture with drawers or doors can tip"]),
        ("kind: crib\nbuilt: 2015\n", ["Cribs, bunk beds"]),
        ("kind: floor lamp\nbuilt: 2015\n", ["Have the wiring checked"]),
        ("kind: child's dresser\n", ["It was built", "Furniture with drawers", "Cribs, bunk beds"]),
    ],
)
def test_a_buyer_is_told_what_the_public_facts_call_for(shop: ShopWriter, more: str, starts: list[str]) -> None:
    told = cautions_for(facts_of(shop, more).pieces[0].piece)
    assert len(told) == len(starts)
    assert all(words.startswith(start) for words, start in zip(told, starts, strict=True))


def test_what_was_seen_to_at_the_bench_is_still_told_to_a_buyer(shop: ShopWriter) -> None:
    piece = facts_of(shop, "kind: dresser\nseen to: [lead paint, tip-over]\n").pieces[0].piece
    assert len(cautions_for(piece)) == 2


# The table.
@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda caution: caution.name)
def test_every_caution_has_its_authority_and_claims_no_safety(caution: Caution) -> None:
    words = [caution.first, caution.maker, caution.buyer]
    assert caution.authority
    for text in words:
        assert not re.search(
            r"\b(?:is|are|makes? it|be) safe\b|\bsafely\b|\bno risk\b|\bnon-?toxic\b|\bharmless\b", text
        )
        assert "  " not in text
    assert words[0].endswith(".")


def test_names_are_each_their_own() -> None:
    assert len({caution.name for caution in CAUTIONS}) == len(CAUTIONS) == 10
