"""Where a fault is expected, shown in the text itself: `price: «40.005»` expects the mark under 40.005.

`«»` with nothing inside expects the mark to start there, however wide it is. Lines and columns are
counted here from the characters of the text, never taken from the program.
"""

from __future__ import annotations

from typing import NamedTuple

from flipbook.shop.problems import Problem


class Expected(NamedTuple):
    """A place counted from 1, as an editor counts; `under` is the text below which the carets stand."""

    line: int
    column: int
    under: str


def unmarked(text: str) -> tuple[str, Expected]:
    """The text without its one pair of marks, and the place that they show."""
    before, opened, rest = text.partition("«")
    under, closed, after = rest.partition("»")
    assert opened and closed and "«" not in after, f"one pair of marks is wanted: {text}"
    line = before.count("\n") + 1
    column = len(before) - (before.rfind("\n") + 1) + 1
    return before + under + after, Expected(line, column, under)


def expect_one(problems: list[Problem], file: str, text: str, expected: Expected, name: str, hint: str) -> None:
    """There is one problem, of that name, at that place, and its help has the words of `hint`."""
    assert [(p.name, f"{p.place.file}:{p.place.line}:{p.place.column}") for p in problems] == [
        (name, f"{file}:{expected.line}:{expected.column}")
    ], problems
    (problem,) = problems
    assert hint in problem.help
    if expected.under:
        line = text.split("\n")[expected.line - 1]
        assert line[problem.place.column - 1 : problem.place.end - 1] == expected.under
    assert not problem.warning
