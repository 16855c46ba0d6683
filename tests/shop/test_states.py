"""Where a piece stands: the first state that was reached, and what goes by it."""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

from flipbook.shop.records.state import Heading, State

SOLD = "sold: {on: 2026-03-01, price: 91.00}\n"
RETURNED = "sold: {on: 2026-03-01, price: 91.00, returned: {on: 2026-03-04, refund: 91.00}}\n"
LOG = "log:\n  - 2026-01-06 washed it\n"
ASKING = "asking: [{on: 2026-02-01, price: 91.00}]\n"


@pytest.mark.parametrize(
    ("more", "state"),
    [
        ("", State.WAITING),
        (LOG, State.ON_THE_BENCH),
        (LOG + ASKING, State.FOR_SALE),
        (LOG + ASKING + SOLD, State.SOLD),
        (LOG + ASKING + RETURNED, State.FOR_SALE),
        (RETURNED, State.WAITING),
        (LOG + "kept: {on: 2026-03-01}\n", State.KEPT),
        ("given: {on: 2026-03-01}\n", State.GIVEN),
        (LOG + "scrapped: {on: 2026-03-01}\n", State.SCRAPPED),
    ],
)
def test_the_first_state_reached_counts(shop: ShopWriter, more: str, state: State) -> None:
    assert shop.piece(more).books().facts.pieces[0].piece.state is state


# As FORMAT.md words the states, and whether each is an ending, at work, and shown to buyers.
FACTS = {
    "sold": (True, False, Heading.PAST_WORK),
    "kept": (True, False, Heading.KEPT_AND_GIVEN),
    "given": (True, False, Heading.KEPT_AND_GIVEN),
    "scrapped": (True, False, None),
    "for sale": (False, False, Heading.FOR_SALE),
    "on the bench": (False, True, Heading.ON_THE_BENCH),
    "waiting": (False, True, Heading.WAITING),
}


def test_every_state_has_its_facts() -> None:
    found = {str(state): (state.is_ending, state.is_at_work, state.facts.heading) for state in State}
    assert found == FACTS
    assert len({state.public for state in State}) == len(State)
    assert [state.is_shown for state in State] == [state is not State.SCRAPPED for state in State]
