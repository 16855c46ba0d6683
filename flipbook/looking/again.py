"""A past mix, or a whole finish schedule, carried into another piece as planned steps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from flipbook.looking.entries import PLANNED, STEP, LogEntry
from flipbook.looking.words import Word, fold
from flipbook.shop.composing import Items, Node, Scalar
from flipbook.shop.manner import Entry as Written
from flipbook.shop.records.base import name_of_key

CARRIED = ("did", "grit", "took", "mix", "used", "dries", "stage")
"""The keys of a step that its plan takes over, in the order in which they are written; no day, photo or private note."""
_SOUGHT_IN = ("did", "mix", "used")


def steps_with(words: Sequence[Word], entries: Iterable[LogEntry]) -> list[LogEntry]:
    """The steps of a log that hold every word in what was done, mixed or used; every step when there is no word."""
    return [
        entry
        for entry in entries
        if entry.kind == STEP and all(word.in_(fold(entry.written_under(*_SOUGHT_IN))) for word in words)
    ]


def planned_like(step: LogEntry, folder: str) -> dict[str, Written]:
    """A step of the piece in `folder` as the entry of a plan, every value in the words it was written in."""
    values = {name: step.value(name) for name in CARRIED}
    written = {name: _as_written(name, node) for name, node in values.items() if node is not None}
    return {**written, "like": f"{folder}, {step.day}" if step.day else folder}


def is_planned(planned: dict[str, Written], entries: Iterable[LogEntry]) -> bool:
    """Whether a plan has a step already that does the same, like the same day of the same piece."""
    told = fold(str(planned.get("did", ""))), fold(str(planned["like"]))
    return any((fold(e.get("did")), fold(e.get("like"))) == told for e in entries if e.kind == PLANNED)


def _as_written(name: str, node: Node) -> Written:
    if isinstance(node, Scalar):
        return " ".join(node.text.split())
    if isinstance(node, Items):
        return [_as_written(name, one) for one in node.items]
    # The parts of a mix are names of products; other keys are the format's own.
    return {
        " ".join(key.text.split()) if name == "mix" else name_of_key(key.text): _as_written(name, value)
        for key, value in node.pairs
    }
