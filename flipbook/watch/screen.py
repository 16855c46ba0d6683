"""What `flipbook watch` shows: one calm screen on a terminal, one plain line for each event anywhere else."""

from __future__ import annotations

import os
import re
import sys
import termios
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime
from typing import TextIO

from rich.cells import cell_len, get_character_cell_size
from rich.console import Console
from rich.text import Text

from flipbook.cli.ending import many
from flipbook.cli.terminal import styled
from flipbook.shop.problems import INDENT, Problem, headline, visible
from flipbook.watch.watch import SHOP_ITSELF, Display, Frame, Look

Places = Callable[[], Sequence[tuple[str, str]]]
"""Where the pages are: for whom, and the file or the address."""

# The sample stick at the head of the buyers' pages: bare wood, sanded, washed, painted, waxed, in hundredths of it.
_STICK = (("#c9a777", 31), ("#ab7f50", 52), ("#8f9d97", 69), ("#4f7772", 88), ("#4a3325", 100))
_LABEL = 12
_MOST_NAMES = 3
_NARROWEST = 10
_LOW = 16
"""Below so many lines, a problem has the room of the addresses."""

_DASH = "━"
_FOOT = "Ctrl-C ends it."

_ASIDE, _BACK = "\x1b[?1049h\x1b[?25l", "\x1b[?25h\x1b[?1049l"
_HOME, _REST_OF_LINE, _REST_OF_SCREEN = "\x1b[H", "\x1b[K", "\x1b[J"


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


def outcome_of(look: Look) -> str:
    """What came of a look, in a sentence or two."""
    if look.fault:
        return f"{look.fault} {_standing(look.made_at)}"
    if look.made is None:
        return f"{many(look.errors, 'problem')} to mend. {_standing(look.made_at)}"
    warnings = len(look.problems)
    return "Nothing to mend." if not warnings else f"{'1 thing' if warnings == 1 else f'{warnings} things'} to look at."


def _standing(made_at: datetime | None) -> str:
    return f"The pages stay as they were at {made_at:%H:%M:%S}." if made_at else "What was made before stays as it is."


def work_of(look: Look) -> str:
    """What was written, and how quickly; empty when nothing could be."""
    return f"{look.made.words or 'nothing new'} in {look.seconds:.2f} s" if look.made is not None else ""


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

    def show(self, look: Look) -> None:
        """A line for the look, and one for each problem."""
        if look.note != self._note:
            self._note = look.note
            self._say(look.at, look.note or "Saves are heard of again.")
        work = work_of(look)
        words = [f"saved {names_of(look.saved)}:"] if look.saved else []
        words += [f"made {work}."] if work else []
        self._say(look.at, " ".join([*words, outcome_of(look)]))
        for problem in look.problems:
            self._say(look.at, _in_a_line(problem))

    def _say(self, at: datetime, words: str) -> None:
        self._stream.write(f"{at:%H:%M:%S} {visible(words)}\n")
        self._stream.flush()


def _in_a_line(problem: Problem) -> str:
    return "; ".join(filter(None, (headline(problem), problem.label, problem.help)))


class Screen:
    """One screen beside the terminal's own, drawn anew when something has changed and never else."""

    def __init__(self, stream: TextIO, places: Places) -> None:
        self._stream = stream
        self._places = places
        self._look: Look | None = None
        self._busy = ""
        self._is_open = False

    def begin(self) -> None:
        """Take the screen."""
        if not self._is_open:
            self._is_open = True
            _show_keys(False)
            self._stream.write(_ASIDE)
            self.redraw()

    def leave(self) -> None:
        """Give the terminal back as it was."""
        if self._is_open:
            self._is_open = False
            self._stream.write(_BACK)
            self._stream.flush()
            _show_keys(True)

    def busy(self, what: str, done: int, of: int) -> None:
        """Say how far a compile is, in place of what the last one came to."""
        self._busy = f"{what.capitalize()}: {done:,} of {of:,}"
        self.redraw()

    def show(self, look: Look) -> None:
        """Show what came of a look."""
        self._look = look
        self._busy = ""
        self.redraw()

    def redraw(self) -> None:
        """Draw all of it, in one piece."""
        if not self._is_open:
            return
        width, height = self._size()
        # The last column is left free: a line that fills it would be wrapped by some terminals.
        console = Console(file=self._stream, width=width, highlight=False, markup=False, emoji=False)
        lines = self._lines(console, max(_NARROWEST, width - 1), height)
        for line in lines:
            line.truncate(max(1, width - 1), overflow="ellipsis")
        with console.capture() as drawn:
            console.print(Text("\n").join(lines), end="", soft_wrap=True)
        text = drawn.get().replace("\n", f"{_REST_OF_LINE}\r\n")
        self._stream.write(f"{_HOME}{text}{_REST_OF_LINE}{_REST_OF_SCREEN}")
        self._stream.flush()

    def _size(self) -> tuple[int, int]:
        try:
            width, height = os.get_terminal_size(self._stream.fileno())
        except OSError:
            width = height = 0
        return width or 80, height or 24

    def _lines(self, console: Console, width: int, height: int) -> list[Text]:
        """The lines of the whole screen, no more than fit."""
        look = self._look
        lines = [_head(look, width), _stick(width), Text(), *self._status(console, width), Text()]
        if height >= _LOW or look is None or not look.problems:
            for whom, where in self._places():
                lines += _row(console, whom, visible(where), width)
        if look and look.saved:
            lines += _row(console, "saved", names_of(look.saved), width)
        if look and look.made is not None:
            lines += _row(console, "made again" if look.saved else "made", work_of(look), width)
        if look and look.note:
            lines += [Text(), *_folded(console, look.note, width, "yellow")]
        room = height - len(lines) - 2
        frames = _frames(console, look, width, room) if look else []
        lines += frames
        lines += [Text()] * (height - len(lines) - 1)
        return [*lines[: height - 1], Text(_FOOT, style="dim")]

    def _status(self, console: Console, width: int) -> list[Text]:
        look = self._look
        if self._busy:
            return _folded(console, self._busy, width, "bold")
        if look is None:
            return _folded(console, "Reading the shop's files", width, "bold")
        style = "bold red" if look.made is None else "bold yellow" if look.problems else "bold green"
        words = ("" if look.made is None else "All is made. ") + outcome_of(look)
        return _folded(console, visible(words), width, style)


def _show_keys(are_shown: bool) -> None:
    """Whether the terminal writes what is typed onto the screen; what was typed meanwhile goes nowhere."""
    with suppress(OSError, ValueError, termios.error):
        keyboard = sys.stdin.fileno()
        kept = termios.tcgetattr(keyboard)
        kept[3] = kept[3] | termios.ECHO if are_shown else kept[3] & ~termios.ECHO
        termios.tcsetattr(keyboard, termios.TCSAFLUSH, kept)


def _head(look: Look | None, width: int) -> Text:
    """The shop's name, and at the right when its files were last looked at."""
    name = Text(visible(look.shop) if look else "flipbook", style="bold")
    if look is None:
        return name
    seen = f"  looked at {look.at:%H:%M:%S}"
    name.truncate(max(8, width - len(seen)), overflow="ellipsis", pad=True)
    return name.append(seen, style="not bold dim")


def _stick(width: int) -> Text:
    stick, drawn = Text(), 0
    for colour, hundredths in _STICK:
        end = width * hundredths // 100
        stick.append(_DASH * (end - drawn), style=colour)
        drawn = end
    return stick


def _row(console: Console, label: str, words: str, width: int) -> list[Text]:
    """A label and what it stands for, which may need more lines than one."""
    folded = Text(words).wrap(console, max(8, width - _LABEL)) or [Text()]
    return [
        Text(label.ljust(_LABEL) if number == 0 else " " * _LABEL, style="dim").append_text(
            Text(line.plain.rstrip(), style="not dim")
        )
        for number, line in enumerate(folded)
    ]


def _folded(console: Console, words: str, width: int, style: str) -> list[Text]:
    return [Text(line.plain.rstrip(), style=style) for line in Text(words).wrap(console, width)]


def _frames(console: Console, look: Look, width: int, room: int) -> list[Text]:
    """The frames of as many problems as fit, whole, and how many there are besides; the first is shown even cut."""
    lines: list[Text] = []
    shown = 0
    for frame in look.frames:
        fitted = [Text(), *fitted_frame(console, frame, width)]
        is_last = shown + 1 == len(look.problems)
        if shown and len(lines) + len(fitted) + (0 if is_last else 2) > room:
            break
        lines += fitted
        shown += 1
    more = len(look.problems) - shown
    if more:
        words = f"{more} more; `flipbook check` shows them all."
        lines = [*lines[: max(0, room - 2)], Text(), Text(words, style="bold")]
    return lines[: max(0, room)]


def fitted_frame(console: Console, frame: Frame, width: int) -> Iterator[Text]:
    """A problem's frame within `width`: sentences are folded, and of a long line of the file the part at fault is shown."""
    source = next((text for role, text in frame if role == "line"), "")
    for role, text in frame:
        if role == "line":
            continue
        if role == "mark" and source:
            yield from _at_fault(console, source, text, width)
        else:
            indent = INDENT if text.startswith(INDENT) else ""
            for piece in Text(text.strip()).wrap(console, width - len(indent)) or [Text()]:
                yield styled(role, indent + piece.plain.strip())


def _at_fault(console: Console, source: str, mark: str, width: int) -> Iterator[Text]:
    """The line of the file and the mark under its fault; a label that has no room beside the mark goes below it."""
    numbered = re.match(r" *\d+  ", source)
    parts = re.fullmatch(r"( *)(~+) ?(.*)", mark)
    assert numbered is not None and parts is not None
    margin = numbered[0]
    room = max(8, width - len(margin))
    before, marked, label = len(parts[1]) - len(margin), len(parts[2]), parts[3]
    line = source[len(margin) :]
    cut = 0 if before + marked <= room else min(before, before + min(marked, room // 2) - room // 2)
    if cut:
        line = "…" + _without(line, cut + 1)
        before -= cut
    marked = max(1, min(marked, room - before))
    shown = Text(line)
    shown.truncate(room, overflow="ellipsis")
    yield styled("line", margin + shown.plain)
    under = f"{' ' * (len(margin) + before)}{'~' * marked}"
    if cell_len(under) + 1 + cell_len(label) <= width:
        yield styled("mark", f"{under} {label}".rstrip())
        return
    yield styled("mark", under)
    for piece in Text(label).wrap(console, room):
        yield styled("mark", " " * len(margin) + piece.plain.strip())


def _without(text: str, cells: int) -> str:
    """`text` without its first cells; of a sign cut in two, a space is left."""
    passed = 0
    for place, sign in enumerate(text):
        if passed >= cells:
            return " " * (passed - cells) + text[place:]
        passed += get_character_cell_size(sign)
    return ""
