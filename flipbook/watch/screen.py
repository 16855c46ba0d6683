"""What `flipbook watch` shows: one calm screen on a terminal, one plain line for each event anywhere else."""

from __future__ import annotations

import os
import sys
import termios
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from typing import TextIO

from rich.console import Console, Group, RenderableType
from rich.layout import Layout
from rich.live import Live
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from flipbook.cli.ending import many
from flipbook.cli.terminal import styled
from flipbook.shop.problems import Problem, framed, headline, visible
from flipbook.watch.saves import SHOP_ITSELF
from flipbook.watch.watch import MOST_FRAMES, Display, Round

Places = Callable[[], Sequence[tuple[str, str]]]
"""Where the pages are: for whom, and the file or the address."""

# The sample stick at the head of the buyers' pages: bare wood, sanded, washed, painted, waxed, in hundredths of it.
_STICK = (("#c9a777", 31), ("#ab7f50", 52), ("#8f9d97", 69), ("#4f7772", 88), ("#4a3325", 100))
_MOST_NAMES = 3
_LOW = 16
"""Below so many lines, a problem has the room of the addresses."""

_MARGIN = 12
"""Cells beside a line of a file: its indent and its number."""

_DASH = "━"
_FOOT = "Ctrl-C ends it."


def display_on(stream: TextIO, places: Places) -> Display:
    """The screen where `stream` is a terminal that can be drawn on, else plain lines."""
    return Screen(stream, places) if _can_draw(stream) else Lines(stream, places)


def _can_draw(stream: TextIO) -> bool:
    """Whether there is a terminal, it has the signs and can move its cursor, and no other program has it now."""
    if not stream.isatty() or os.environ.get("TERM", "") in ("", "dumb", "unknown"):
        return False
    with suppress(OSError, UnicodeEncodeError):
        f"{_DASH}…".encode(stream.encoding)
        return os.tcgetpgrp(stream.fileno()) == os.getpgrp()
    return False


def names_of(saved: Sequence[str]) -> str:
    """The files saved, few enough to read; what lies in a folder that came along with it is not named besides."""
    folders = tuple(file for file in saved if file.endswith("/") and file != SHOP_ITSELF)
    named = [
        "the shop's folder" if file == SHOP_ITSELF else visible(file)
        for file in saved
        if not any(file != folder and file.startswith(folder) for folder in folders)
    ]
    more = len(named) - _MOST_NAMES
    if more <= 1:
        return ", ".join(named)
    return ", ".join(named[:_MOST_NAMES]) + f" and {more} more"


def outcome_of(look: Round) -> str:
    """What came of a look, in a sentence or two."""
    if look.fault:
        return f"{look.fault} {_standing(look.made_at)}"
    if look.made is None:
        return f"{many(look.errors, 'problem')} to mend. {_standing(look.made_at)}"
    warnings = len(look.problems)
    return "Nothing to mend." if not warnings else f"{'1 thing' if warnings == 1 else f'{warnings} things'} to look at."


def _standing(made_at: datetime | None) -> str:
    return f"The pages stay as they were at {made_at:%H:%M:%S}." if made_at else "What was made before stays as it is."


def work_of(look: Round) -> str:
    """What was written, and how quickly; empty when nothing could be."""
    return f"{look.made or 'nothing new'} in {look.seconds:.2f} s" if look.made is not None else ""


class Lines:
    """A plain line for each event, for a pipe, a file or a terminal that cannot be drawn on."""

    def __init__(self, stream: TextIO, places: Places) -> None:
        self._stream = stream
        self._places = places
        self._note = ""
        self._is_first = True

    def begin(self) -> None:
        """Say where the pages are, once."""
        if self._is_first:
            self._is_first = False
            for whom, where in self._places():
                self._say(datetime.now(), f"{whom}: {where}")

    def busy(self, what: str, done: int, of: int) -> None:
        """How far a compile is moves on a screen alone."""

    def redraw(self) -> None:
        """A line stays as it was written."""

    def leave(self) -> None:
        """There is nothing to put away."""

    def show(self, look: Round) -> None:
        """A line for the look, and one for each problem."""
        if look.note != self._note:
            self._note = look.note
            self._say(look.at, look.note or "Saves are heard of again.")
        work = work_of(look)
        words = [f"saved {names_of(look.saved)}:"] if look.saved else []
        words += [f"made {work}."] if work else []
        self._say(look.at, " ".join([*words, outcome_of(look)]))
        for problem in look.problems:
            self._say(look.at, "; ".join(filter(None, (headline(problem), problem.label, problem.help))))

    def _say(self, at: datetime, words: str) -> None:
        self._stream.write(f"{at:%H:%M:%S} {visible(words)}\n")
        self._stream.flush()


class Screen:
    """One screen beside the terminal's own, drawn anew when something has changed and never else."""

    def __init__(self, stream: TextIO, places: Places) -> None:
        self._console = Console(file=stream, highlight=False, markup=False, emoji=False)
        self._places = places
        self._look: Round | None = None
        self._busy = ""
        self._live: Live | None = None

    def begin(self) -> None:
        """Take the screen."""
        if not self._live:
            _show_keys(False)
            self._live = Live(
                get_renderable=self._drawn,
                console=self._console,
                screen=True,
                auto_refresh=False,
                redirect_stdout=False,
                redirect_stderr=False,
            )
            self._live.start(refresh=True)

    def leave(self) -> None:
        """Give the terminal back as it was."""
        if self._live:
            self._live.stop()
            self._live = None
            _show_keys(True)

    def busy(self, what: str, done: int, of: int) -> None:
        """Say how far a compile is, in place of what the last one came to."""
        self._busy = f"{what.capitalize()}: {done:,} of {of:,}"
        self.redraw()

    def show(self, look: Round) -> None:
        """Show what came of a look."""
        self._look = look
        self._busy = ""
        self.redraw()

    def redraw(self) -> None:
        """Draw all of it, in one piece."""
        if self._live:
            self._live.refresh()

    def _drawn(self) -> RenderableType:
        width, height = self._console.size
        screen = Layout()
        screen.split_column(Layout(Group(*self._parts(width, height))), Layout(Text(_FOOT, style="dim"), size=1))
        return screen

    def _parts(self, width: int, height: int) -> Iterator[RenderableType]:
        look = self._look
        yield _head(look)
        yield _stick(width)
        yield Text()
        yield self._status()
        yield Text()
        rows = Table.grid(padding=(0, 2))
        rows.add_column(style="dim", no_wrap=True)
        rows.add_column(overflow="fold")
        if height >= _LOW or look is None or not look.problems:
            for whom, where in self._places():
                rows.add_row(whom, visible(where))
        if look and look.saved:
            rows.add_row("saved", names_of(look.saved))
        if look and look.made is not None:
            rows.add_row("made again" if look.saved else "made", work_of(look))
        yield rows
        if look and look.note:
            yield Text(f"\n{look.note}", style="yellow")
        if look:
            for problem in look.problems[:MOST_FRAMES]:
                yield Text()
                yield from fitted_frame(problem, look.lines.get(problem.place.file, ()), width)

    def _status(self) -> Text:
        look = self._look
        if self._busy:
            return Text(self._busy, style="bold")
        if look is None:
            return Text("Reading the shop's files", style="bold")
        style = "bold red" if look.made is None else "bold yellow" if look.problems else "bold green"
        words = ("" if look.made is None else "All is made. ") + outcome_of(look)
        if len(look.problems) > 1:
            words += " `flipbook check` shows them all."
        return Text(visible(words), style=style)


def _show_keys(are_shown: bool) -> None:
    """Whether the terminal writes what is typed onto the screen; what was typed meanwhile goes nowhere."""
    with suppress(OSError, ValueError, termios.error):
        keyboard = sys.stdin.fileno()
        kept = termios.tcgetattr(keyboard)
        kept[3] = kept[3] | termios.ECHO if are_shown else kept[3] & ~termios.ECHO
        termios.tcsetattr(keyboard, termios.TCSAFLUSH, kept)


def _head(look: Round | None) -> RenderableType:
    """The shop's name, and at the right when its files were last looked at."""
    head = Table.grid(expand=True)
    head.add_column(style="bold", no_wrap=True, overflow="ellipsis", ratio=1)
    head.add_column(style="dim", no_wrap=True, justify="right")
    head.add_row(visible(look.shop) if look else "flipbook", f"  looked at {look.at:%H:%M:%S}" if look else "")
    return head


def _stick(width: int) -> Text:
    stick, drawn = Text(no_wrap=True), 0
    for colour, hundredths in _STICK:
        end = width * hundredths // 100
        stick.append(_DASH * (end - drawn), style=colour)
        drawn = end
    return stick


def fitted_frame(problem: Problem, lines: Sequence[str], width: int) -> Iterator[RenderableType]:
    """A problem's frame within `width`: sentences are folded, and of a long line of the file the part at fault is shown."""
    room = max(8, width - _MARGIN)
    is_wide = not "".join(lines[problem.place.line - 1 : problem.place.line]).isascii()
    for role, text in framed(problem, lines, room // 2 if is_wide else room):
        shown = styled(role, text)
        if role == "line":
            shown.no_wrap, shown.overflow = True, "ellipsis"
        elif role != "mark":
            shown = styled(role, text.strip())
            yield Padding(shown, (0, 0, 0, len(text) - len(text.lstrip())))
            continue
        yield shown
