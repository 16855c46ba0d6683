"""What is said on the terminal: problems in their frames, summaries, the year as a table."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from shutil import get_terminal_size
from typing import IO, TYPE_CHECKING

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TaskID, TextColumn
from rich.table import Table
from rich.text import Text

from flipbook.measures.money import show_money
from flipbook.shop.problems import Problem, framed

if TYPE_CHECKING:
    from flipbook.books.reckon import YearBooks

_STYLES = {
    "to mend": "bold red",
    "look at": "bold yellow",
    "mark": "red",
    "help": "green",
}


def console(stream: IO[str]) -> Console:
    """A console that shows text as it is: no markup, no highlighting, no wrapping in a pipe."""
    return Console(file=stream, highlight=False, markup=False, emoji=False, soft_wrap=True, width=_width())


def _width() -> int:
    """The terminal's width; one that says it has none is taken for the usual 80."""
    return get_terminal_size().columns or 80


def show_problems(problems: Iterable[Problem], lines_in: Callable[[str], Sequence[str]], stream: IO[str]) -> None:
    """Every problem in its frame, and how many there are."""
    out = console(stream)
    errors = warnings = 0
    for problem in problems:
        for role, text in framed(problem, lines_in(problem.place.file)):
            out.print(styled(role, text))
        out.print()
        warnings += problem.warning
        errors += not problem.warning
    if errors:
        what = "1 problem" if errors == 1 else f"{errors} problems"
        out.print(Text(f"{what} to mend; nothing was written." + _and_warnings(warnings), style="bold"))
    elif warnings:
        out.print(Text("1 thing to look at." if warnings == 1 else f"{warnings} things to look at."))


def styled(role: str, text: str) -> Text:
    """A line of a problem's frame, in the colour of its role."""
    return Text(text, style=_STYLES.get(role, ""))


def _and_warnings(number: int) -> str:
    return f" {number} more to look at." if number else ""


def show_json(answer: object) -> None:
    """An answer for a program."""
    sys.stdout.write(json.dumps(answer, ensure_ascii=True, indent=2) + "\n")


def show_year(year: YearBooks, currency: str, note: str) -> None:
    """The year's totals as a table."""
    table = Table(title=f"Tax year {year.year.title}", title_justify="left", box=None, pad_edge=False, show_header=True)
    has_labels = any(line.line for line in year.lines)
    if has_labels:
        table.add_column("line")
    table.add_column("")
    table.add_column(currency, justify="right")
    table.add_column("whole", justify="right")
    for line in year.lines:
        style = "bold" if line.is_total else ""
        table.add_row(
            *((line.line,) if has_labels else ()),
            line.caption,
            _aligned(line.amount),
            f"{line.whole:,}".replace("-", "−"),
            style=style,
            end_section=line.is_total,
        )
    out = Console(highlight=False, markup=False, emoji=False, width=_width())
    out.print(table)
    out.print(Text(f"Money in {show_money(year.money_in, currency)}, out {show_money(year.money_out, currency)}."))
    if year.no_receipt:
        missing = sum((row.money_out for row in year.no_receipt), Decimal(0))
        rows = "1 payment has" if len(year.no_receipt) == 1 else f"{len(year.no_receipt)} payments have"
        out.print(Text(f"{rows} no scan, {show_money(missing, currency)} in all: see no-receipt-{year.year.name}.csv."))
    out.print(Text(note, style="italic"))


def _aligned(amount: Decimal) -> str:
    """A sum with its currency in the heading and no sign of its own."""
    shown = f"{abs(amount):,.2f}"
    return f"−{shown}" if amount < 0 else shown


class ProgressBar:
    """A bar on a terminal for long work; nothing in a pipe."""

    def __init__(self) -> None:
        self._progress = Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            transient=True,
            console=Console(stderr=True),
            disable=not sys.stderr.isatty(),
        )
        self._tasks: dict[str, TaskID] = {}

    def __enter__(self) -> ProgressBar:
        self._progress.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._progress.stop()

    def tick(self, what: str, done: int, of: int) -> None:
        """Show that `done` of `of` are done; a hundred steps of the bar are enough."""
        if done not in (1, of) and done % max(1, of // 100):
            return
        if what not in self._tasks:
            self._tasks[what] = self._progress.add_task(what, total=of)
        self._progress.update(self._tasks[what], completed=done)
