"""The answer of a sum, as its own file makes it: in lines for a terminal, in data for a program, in steps for a log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from flipbook.measures.amounts import Amount
from flipbook.measures.lengths import Tell, tell_inches, tell_millimetres
from flipbook.measures.numerals import write_decimal

if TYPE_CHECKING:
    from flipbook.shop.editing import Entry

Data = dict[str, object]

_METRIC = ("mm", "cm", " m")


class Row(NamedTuple):
    """A line of a table: what stands before it, and words that are broken under one another."""

    lead: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What a sum says: the answer in lines, what to look out for, how it was reckoned, and the same for a program.

    `planned` are steps still to be done, `step` one that was done on `day`, in the form that a file has them; `--jot`
    writes them.
    `files` are written besides, each with what it is.
    """

    lines: Sequence[str | Row]
    working: Sequence[str]
    data: Data
    warnings: Sequence[str] = ()
    planned: Sequence[Entry] = ()
    step: dict[str, Entry] | None = None
    day: date | None = None
    cannot_jot: str = ""
    files: Sequence[tuple[Path, bytes, str]] = ()


def amount_data(amount: Amount | None) -> str | None:
    """An amount for a program."""
    return None if amount is None else str(amount)


def length_data(length: Fraction) -> str:
    """A length for a program: exact millimetres as a decimal, less than nothing with a minus."""
    return f"-{write_decimal(-length, places=4)}" if length < 0 else write_decimal(length, places=4)


def telling(*texts: str | None) -> Tell:
    """How lengths are told: in millimetres where all that was said is metric, else as a tape is read."""
    words = [text for text in texts if text]
    metric = [any(unit in text for unit in _METRIC) and "in" not in text.replace("min", "") for text in words]
    return tell_millimetres if words and all(metric) else tell_inches
