"""A mistake in a file is a value: where it stands, what is wrong, and what to write instead."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import NamedTuple

SHOWN_OF_A_LINE = 100
INDENT = "    "


class Place(NamedTuple):
    """A span of one line of a file of the shop.

    `file` is relative to the shop's folder with forward slashes; `line` and `column` count from 1, and
    `end` is the column after the span. A line of 0 means the file as a whole.
    """

    file: str
    line: int = 0
    column: int = 0
    end: int = 0

    def __str__(self) -> str:
        """As `path:line`, the form that a ledger row's source has."""
        return f"{self.file}:{self.line}" if self.line else self.file

    @property
    def exact(self) -> str:
        """As `path:line:column`, the form that editors and terminals make clickable."""
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


class Name(str):
    """A step to a key itself, of a mapping whose keys are names, and not to its value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something that stops the books, or (a warning) something that the maker should look at.

    `name` is short and stable; `says` stands alone as a headline; `label` is set beside the mark under
    the fault; only `help` gives advice. `key` narrows the mark to that key of the mapping at `place`.
    """

    name: str
    place: Place
    says: str
    label: str = ""
    help: str = ""
    key: tuple[str | int, ...] = ()
    warning: bool = False

    def as_data(self) -> dict[str, object]:
        """The problem for a program: plain words and numbers."""
        return {
            "name": self.name,
            "severity": "warning" if self.warning else "error",
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "end": self.place.end,
            "says": self.says,
            "label": self.label,
            "help": self.help,
        }


def problem_of(file: str, name: str, says: str, write: str, label: str = "", *, warning: bool = False) -> Problem:
    """A problem of a file or a folder as a whole."""
    return Problem(name=name, place=Place(file), says=says, label=label, help=write, warning=warning)


MOST_TOLD = 100
"""How many problems are told of one file, and how many of those that show only between files."""


def at_most(problems: Iterable[Problem], most: int = MOST_TOLD) -> list[Problem]:
    """The first of some problems; more than that nobody mends at one sitting, and there may be a million."""
    told = list(islice(problems, most + 1))
    return [*told[:most], _and_more(told[most].place.file)] if len(told) > most else told


def _and_more(file: str) -> Problem:
    says = f"there are more problems like these, and the first {MOST_TOLD} are told"
    return problem_of(file, "more-problems", says, "mend these, and check again")


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """By file, then line, then column, each told once."""
    return sorted(
        dict.fromkeys(problems), key=lambda p: (p.place.file, p.place.line, p.place.column, p.warning, p.name)
    )


# The line breaks of YAML 1.1, which the C parser counts; YAML 1.2 knows the first three.
_BREAKS = re.compile("\r\n|[\r\n\x85\u2028\u2029]")


def lines_of(text: str) -> list[str]:
    """The lines of a file as the YAML parser counts them."""
    return _BREAKS.split(text)


def headline(problem: Problem) -> str:
    """Where a problem stands, whether it is to mend or to look at, what is wrong, and its name."""
    kind = "look at" if problem.warning else "to mend"
    return visible(f"{problem.place.exact}: {kind}: {problem.says} [{problem.name}]")


def framed(problem: Problem, lines: Sequence[str], most: int = SHOWN_OF_A_LINE) -> Iterator[tuple[str, str]]:
    """The lines that show a problem, each with its role: to mend or look at, line, mark, help; a blank one has none.

    The line of the file is indented and has its number before it, with the fault underlined and the label after that;
    of a long one `most` signs are shown.
    """
    place = problem.place
    yield "look at" if problem.warning else "to mend", headline(problem)
    if 1 <= place.line <= len(lines):
        margin = f"{INDENT}{place.line}  "
        shown, before, under = _window(lines[place.line - 1], place.column, place.end, most)
        yield "", ""
        yield "line", margin + shown
        yield "mark", f"{' ' * (len(margin) + before)}{'~' * under} {visible(problem.label)}".rstrip()
    elif problem.label:
        yield "", ""
        yield "mark", INDENT + visible(problem.label)
    if problem.help:
        yield "", ""
        yield "help", INDENT + _sentence(visible(problem.help))


def _sentence(advice: str) -> str:
    """Advice with a capital and a full stop; what stands in code marks keeps its letters."""
    return advice[:1].upper() + advice[1:] + ("" if advice.endswith((".", "?", "!")) else ".")


def frame_text(problem: Problem, lines_in: Callable[[str], Sequence[str]]) -> str:
    """The whole frame as plain text; `lines_in` gives the lines of a file of the shop."""
    return "\n".join(text for _, text in framed(problem, lines_in(problem.place.file)))


def _window(line: str, column: int, end: int, most: int) -> tuple[str, int, int]:
    """The part of a line to show, how many cells stand before the fault, and how many it is wide."""
    start, stop = column - 1, max(end - 1, column)
    first = 0
    if stop > most:
        first = max(0, min(start - most // 5, len(line) - most))
    last = first + most
    lead = "…" if first else ""
    tail = "…" if last < len(line) else ""
    shown = lead + visible(line[first:last]) + tail
    before = len(lead) + _cells(visible(line[first:start]))
    under = max(1, _cells(visible(line[start : min(stop, last)])))
    return shown, before, under


def visible(text: str) -> str:
    """`text` with nothing in it that moves the cursor, turns the reading direction or breaks the line."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        " " if c == "\t" else "·" if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp", "Cs", "Co") else c
        for c in text
    )


def _cells(text: str) -> int:
    """How many terminal cells a text takes."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
