"""Work that need not be done again: what it was made from is the same as the last time, and so is what it made.

The sums are pure, so that equal input gives an equal answer. Where a shop is compiled again and again, a function
of one piece or one file is called through an `Again`, which may hold the last answer beside what it was made from.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Again(Protocol):
    """Calls a pure function, or hands out its last answer when every argument equals that of the last time."""

    def __call__(self, slot: Hashable, work: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> T:
        """What `work` makes of what is given. `slot` names one use of one function: a sum and its piece or file."""


def anew(slot: Hashable, work: Callable[P, T], /, *given: P.args, **named: P.kwargs) -> T:
    """An `Again` that remembers nothing."""
    return work(*given, **named)
