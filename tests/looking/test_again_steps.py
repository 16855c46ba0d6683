"""A past step is planned with exactly what was done, mixed and used, and nothing of its day, its photos or its notes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import GOOD_PIECE

from flipbook.looking.again import CARRIED, is_planned, planned_like, steps_with
from flipbook.looking.entries import LogEntry, entries_of
from flipbook.looking.words import Word
from flipbook.shop.composing import Problem, compose
from flipbook.shop.editing import appended
from flipbook.shop.fields import Reading
from flipbook.shop.records.piece import Piece, Planned, Step

FILE = "pieces/oak-stool/piece.yaml"
LOG = """\
log:
  - 2026-02-15 40 min washed with dish soap
  - on: 2026-02-17 15:30
    did: first wash coat,
      wiped back with the grain
    mix: {fig blue paint: 1/7, water: 2, makes: 12 fl oz}
    used: [half a can satin clear coat, {what: lint-free rag, amount: 2 each}]
    grit: 80, 120, P180
    took: 1.5 h
    dries: "4:00"
    photos: [photos/during-wash.jpg]
    hide: yes
    private: the second half of the can was thicker
  - {on: 2026-02-18, did: 'said: "no" # not a note', used: rest paste wax}
  - {on: 2026-02-19, did: waxed}
"""


def read(text: str) -> Piece:
    """A piece's record; the text must have no error."""
    node = compose(FILE, text.encode())
    reading = Reading(FILE)
    piece = Piece.model_validate(node, context=reading)
    assert not reading.problems, reading.problems
    return piece


def read_entries(text: str) -> list[LogEntry]:
    node = compose(FILE, text.encode())
    assert not isinstance(node, Problem)
    return entries_of(FILE, node, Piece)


def planned_in(text: str, steps: list[LogEntry], folder: str = "oak-stool") -> Piece:
    """A new piece's record, after the steps were written into its plan."""
    data = text.encode()
    for step in steps:
        data = appended(FILE, data, ["planned"], planned_like(step, folder), keys=tuple(Piece.keys.values()))
    return read(data.decode())


def carried(record: Step | Planned) -> dict[str, object]:
    """What a step and its plan must have in common, without the places where it is written."""
    uses = [(use.what, use.taken) for use in record.used]
    mix = ([(what, number) for what, number, _ in record.mix.parts], record.mix.makes) if record.mix else None
    return {key: getattr(record, key) for key in CARRIED if key not in ("used", "mix")} | {"used": uses, "mix": mix}


def same_words(record: dict[str, object]) -> dict[str, object]:
    return record | {"did": " ".join(str(record["did"]).split())}


def test_a_plan_reads_as_what_was_done() -> None:
    done = read(GOOD_PIECE + LOG).log
    new = planned_in(
        "piece: Ash stool\nfound: {on: 2026-03-01, cost: 1}\n", steps_with((), read_entries(GOOD_PIECE + LOG))
    )
    assert [carried(step) for step in new.planned] == [same_words(carried(step)) for step in done]
    assert [step.like for step in new.planned] == [f"oak-stool, 2026-02-{day}" for day in (15, 17, 18, 19)]
    assert not any(step.private for step in new.planned)


def test_only_the_keys_of_a_plan_are_written() -> None:
    _, wash, *_ = steps_with((), read_entries(GOOD_PIECE + LOG))
    assert planned_like(wash, "oak-stool") == {
        "did": "first wash coat, wiped back with the grain",
        "grit": "80, 120, P180",
        "took": "1.5 h",
        "mix": {"fig blue paint": "1/7", "water": "2", "makes": "12 fl oz"},
        "used": ["half a can satin clear coat", {"what": "lint-free rag", "amount": "2 each"}],
        "dries": "4:00",
        "like": "oak-stool, 2026-02-17",
    }


CHOSEN = [
    ([], [15, 17, 18, 19]),
    (["wash"], [15, 17]),
    (["coat"], [17]),
    (["fig", "wash"], [17]),
    (["lint free"], [17]),
    (["wax"], [18, 19]),
    (["paste wax"], [18]),
    (["thicker"], []),
    (["during"], []),
    (["soap", "wax"], []),
]


@pytest.mark.parametrize(("said", "days"), CHOSEN, ids=[" ".join(said) or "no word" for said, _ in CHOSEN])
def test_words_choose_steps_by_what_was_done_mixed_and_used(said: list[str], days: list[int]) -> None:
    steps = steps_with([Word(one) for one in said], read_entries(GOOD_PIECE + LOG))
    assert [step.day for step in steps] == [f"2026-02-{day}" for day in days]


def test_a_step_is_known_to_be_planned_by_what_it_does_and_whom_it_is_like() -> None:
    wash, *_ = steps_with([Word("wash")], read_entries(GOOD_PIECE + LOG))
    planned = planned_like(wash, "oak-stool")
    there = read_entries(
        'piece: Ash stool\nplanned:\n  - {did: "Washed with  dish soap", like: "oak-stool, 2026-02-15"}\n'
    )
    assert is_planned(planned, there)
    assert not is_planned({**planned, "like": "oak-stool, 2026-02-16"}, there)
    assert not is_planned({**planned, "did": "washed"}, there)


TEXTS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cf", "Zl", "Zp", "Cn", "Co")), min_size=1, max_size=30
).filter(lambda text: bool(text.strip()) and not text.isspace())


@given(TEXTS, TEXTS, st.integers(1, 9), st.integers(1, 9))
def test_any_words_come_through(did: str, product: str, paint: int, water: int) -> None:
    entry = {"on": "2026-02-17", "did": did, "mix": {product: str(paint), "thinner": str(water), "makes": "12 fl oz"}}
    past = appended(FILE, GOOD_PIECE.encode(), ["log"], entry).decode()
    done = read(past).log[0]
    assert done.mix is not None
    if len({" ".join(name.casefold().split()) for name, _, _ in done.mix.parts} | {"makes"}) < 3:
        return  # the product is called like the other part, or like the key
    (planned,) = planned_in(GOOD_PIECE, steps_with((), read_entries(past))).planned
    assert carried(planned) == same_words(carried(done))
