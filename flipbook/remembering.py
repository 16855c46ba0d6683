"""Work that need not be done again: what it was made from is the same as the last time, and so is what it made.

Where a shop is compiled again and again, a pure function of one piece is called through a `Remember` at the edge:
one that may hold its last answer beside what it was made from. The sums themselves know nothing of it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any, ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Remember(Protocol):
    """Calls a pure function, or hands out its last answer when every argument equals that of the last time."""

    def __call__(self, slot: Hashable, work: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> T:
        """What `work` makes of what is given. `slot` names one use of one function: a page and its piece."""


def afresh(slot: Hashable, work: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> T:
    """A `Remember` that remembers nothing."""
    return work(*given, **named)


@dataclass(slots=True)
class _Answer:
    """An answer, what it was made of, and the round in which it was last asked for."""

    made_of: tuple[object, ...]
    is_: Any
    asked_in: int = 0


class Answers:
    """A `Remember` that keeps the last answer of each use of each function."""

    def __init__(self) -> None:
        self._held: dict[Hashable, _Answer] = {}
        self._round = 0
        self._asked = 0

    def __call__(self, slot: Hashable, work: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> T:
        made_of = work, given, named
        held = self._held.get(slot)
        if held is None or held.made_of != made_of:
            held = self._held[slot] = _Answer(made_of, work(*given, **named))
        held.asked_in = self._round
        self._asked += 1
        answer: T = held.is_
        return answer

    def turn(self) -> None:
        """End a round. When as many answers were not asked for in it as were, those are forgotten.

        One that was not asked for may be wanted again: a page that stands asks for none of its parts.
        """
        if len(self._held) > 2 * self._asked:
            self._held = {slot: held for slot, held in self._held.items() if held.asked_in == self._round}
        self._round += 1
        self._asked = 0
