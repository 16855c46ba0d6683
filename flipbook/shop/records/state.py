"""Where a piece stands, and all that goes by it.

A new ending is a member here with its facts, and the key of piece.yaml that brings it about (`Piece.state`).
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class Heading(StrEnum):
    """The headings under which buyers find pieces, in their order."""

    FOR_SALE = "For sale"
    PAST_WORK = "Past work"
    ON_THE_BENCH = "On the bench"
    WAITING = "Waiting their turn"
    KEPT_AND_GIVEN = "Kept and given away"


class StateFacts(NamedTuple):
    """What goes by a state: its words for a buyer, the heading it is listed under (None: not shown), and what it is.

    An ending takes the piece out of the shop; a piece at work is on the bench, or waits for it.
    """

    public: str
    heading: Heading | None
    is_ending: bool = False
    is_at_work: bool = False


class State(StrEnum):
    """Where a piece stands, as the tables write it; the first that was reached counts."""

    SOLD = "sold"
    KEPT = "kept"
    GIVEN = "given"
    SCRAPPED = "scrapped"
    FOR_SALE = "for sale"
    ON_THE_BENCH = "on the bench"
    WAITING = "waiting"

    @property
    def facts(self) -> StateFacts:
        """All that goes by it; the type checker refuses a state without."""
        match self:
            case State.SOLD:
                return StateFacts("Sold", Heading.PAST_WORK, is_ending=True)
            case State.KEPT:
                return StateFacts("Kept by the maker", Heading.KEPT_AND_GIVEN, is_ending=True)
            case State.GIVEN:
                return StateFacts("Given away", Heading.KEPT_AND_GIVEN, is_ending=True)
            case State.SCRAPPED:
                return StateFacts("Not saved", None, is_ending=True)
            case State.FOR_SALE:
                return StateFacts("For sale", Heading.FOR_SALE)
            case State.ON_THE_BENCH:
                return StateFacts("On the bench", Heading.ON_THE_BENCH, is_at_work=True)
            case State.WAITING:
                return StateFacts("Waiting its turn", Heading.WAITING, is_at_work=True)

    @property
    def public(self) -> str:
        """Its words for a buyer."""
        return self.facts.public

    @property
    def is_ending(self) -> bool:
        """Whether the piece has left the shop."""
        return self.facts.is_ending

    @property
    def is_at_work(self) -> bool:
        """Whether the piece is on the bench, or waits for it."""
        return self.facts.is_at_work

    @property
    def is_shown(self) -> bool:
        """Whether buyers find the piece in the portfolio's lists."""
        return self.facts.heading is not None
