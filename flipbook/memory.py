"""What one process keeps of a shop between two compiles, so that only what changed is worked out again."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from flipbook.shop.reading import FilesRead
from flipbook.shop.sealing import SealsRead

if TYPE_CHECKING:
    from flipbook.portfolio.pictures import PicturesMade

P = ParamSpec("P")
T = TypeVar("T")


@dataclass(slots=True)
class _Answer:
    """An answer, what it was made of, and the round in which it was last asked for."""

    made_of: tuple[object, ...]
    is_: Any
    asked_in: int = 0


class Answers:
    """The last answer of each pure function to each use of it, beside what it was made of (see `books.again.Again`)."""

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


@dataclass(slots=True)
class Memory:
    """All that is kept. Sealed years are kept with the marks of their files."""

    files: FilesRead = field(default_factory=FilesRead)
    seals: tuple[dict[str, str], SealsRead] | None = None
    answers: Answers = field(default_factory=Answers)
    pictures: PicturesMade = field(default_factory=dict)
