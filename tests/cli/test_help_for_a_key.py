"""`flipbook help KEY`: a key's entry as its record has it, the nearest key for one that is none."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from shop_writer import Ran

from flipbook.shop.keys import entries, entries_named

Flipbook = Callable[..., Ran]

SOLD_AT = """\
at: Where it was sold: an outlet of shop.yaml.

  stands in   piece.yaml: sold.at
  written as  a text
  left out    it may be
  seen by     nobody but you
  since       0.1
  example     at: porch sale
"""


def test_a_key_is_shown_with_all_that_its_record_says(flipbook: Flipbook) -> None:
    ran = flipbook("help", "sold.at")
    assert (ran.code, ran.out) == (0, SOLD_AT)


@pytest.mark.parametrize(
    ("words", "places"),
    [
        (["took"], [["piece.yaml:log.took"], ["piece.yaml:planned.took"]]),
        (["sales", "tax"], [["piece.yaml:sold.sales tax"]]),
        (["sales-tax"], [["piece.yaml:sold.sales tax"]]),
        (["log.took"], [["piece.yaml:log.took"]]),
        (["shop.yaml:tax.rules"], [["shop.yaml:tax.rules"]]),
        (["got_back"], [["piece.yaml:bought.got back", "receipts/*.yaml:receipts.got back"],
                        ["piece.yaml:bought.lines.got back", "receipts/*.yaml:receipts.lines.got back"]]),
    ],
)  # fmt: skip
def test_a_key_is_found_by_its_name_in_any_spelling_and_by_the_keys_above_it(
    flipbook: Flipbook, words: list[str], places: list[list[str]]
) -> None:
    ran = flipbook("help", *words, "--json")
    assert ran.code == 0
    assert [entry["places"] for entry in json.loads(ran.out)] == places


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["tok"], "write `took`"),
        (["sold.prise"], "write `price`"),
        (["compile"], "`flipbook compile --help`"),
        (["zzzzzz"], "FORMAT.md"),
        ([], "KEY"),
    ],
)
def test_what_is_no_key_is_told_with_the_nearest(flipbook: Flipbook, words: list[str], says: str) -> None:
    ran = flipbook("help", *words)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_every_entry_is_found_by_each_of_its_places() -> None:
    for entry in entries():
        assert all(entry in entries_named(place) for place in entry.places)
