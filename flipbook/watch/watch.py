"""Saving a file compiles: one look at the shop's files after another, until the maker stops it."""

from __future__ import annotations

import os
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from queue import Empty, SimpleQueue
from types import FrameType
from typing import Protocol

from flipbook.books.footing import BooksDoNotFoot
from flipbook.cli.ending import DONE, PROBLEMS, many, reason
from flipbook.compile import Outcome, Tick, no_tick
from flipbook.shop.problems import Problem, framed
from flipbook.shop.reading import source_lines
from flipbook.watch.saves import Call, Gathering, Heard, Interest, Lookout

SHOP_ITSELF = "./"
BUSY_AFTER, BUSY_EVERY = 0.4, 0.2
"""Seconds after which a compile says how far it is, and seconds between two such words."""

MOST_FRAMES = 40
_CALLS = {
    "SIGINT": Call.STOP,
    "SIGTERM": Call.STOP,
    "SIGHUP": Call.STOP,
    "SIGTSTP": Call.PAUSE,
    "SIGCONT": Call.REDRAW,
    "SIGWINCH": Call.REDRAW,
}

Frame = tuple[tuple[str, str], ...]
"""The lines that show a problem, each with its role, as `framed` gives them."""


class Compiles(Protocol):
    """What compiles a shop again and again."""

    def compile(self, tick: Tick = no_tick) -> Outcome:
        """Bring the output up to date with the shop's files."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """How many files of the output a compile wrote anew, and how many it took away."""

    pages: int = 0
    tables: int = 0
    pictures: int = 0
    others: int = 0
    taken_away: int = 0

    @property
    def words(self) -> str:
        """As `3 pages and 2 tables`; nothing when nothing was written."""
        counted = [
            many(number, word)
            for number, word in (
                (self.pages, "page"),
                (self.tables, "table"),
                (self.pictures, "picture"),
                (self.others, "other file"),
            )
            if number
        ]
        written = " and ".join(filter(None, (", ".join(counted[:-1]), *counted[-1:])))
        away = f"{many(self.taken_away, 'file')} taken away" if self.taken_away else ""
        return "; ".join(filter(None, (written, away)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One look at the shop's files, and what came of it.

    `at` and `made_at` are times of day; `made_at` is when the pages that stand now were made, None when there are none
    of this run. `made` is None when nothing could be made: for the errors among `problems`, or for `fault`.
    """

    at: datetime
    seconds: float
    shop: str
    saved: tuple[str, ...]
    made: Made | None
    made_at: datetime | None
    problems: tuple[Problem, ...] = ()
    frames: tuple[Frame, ...] = ()
    fault: str = ""
    note: str = ""

    @property
    def errors(self) -> int:
        return sum(not problem.warning for problem in self.problems)


class Display(Protocol):
    """Where the maker sees what happens."""

    def begin(self) -> None: ...
    def busy(self, what: str, done: int, of: int) -> None: ...
    def show(self, look: Look) -> None: ...
    def redraw(self) -> None: ...
    def leave(self) -> None: ...


class _Stopped(Exception):
    """The maker stopped a compile; nothing of it was written."""


class Watch:
    """Compiles the shop at `root` into `out` now, and again after each save, and shows what came of it.

    `announce` is told which files of the output each compile changed.
    """

    def __init__(
        self,
        root: Path,
        out: Path,
        compiler: Compiles,
        display: Display,
        announce: Callable[[Sequence[str]], None] | None = None,
    ) -> None:
        self.root = root
        self.out = out
        self.display = display
        self._compiler = compiler
        self._announce = announce
        self._heard: SimpleQueue[Heard] = SimpleQueue()
        self._gathering = Gathering()
        self._lookout = Lookout(Interest(root, out), self._heard.put)
        self._is_stopping = False
        self._shop = root.resolve().name
        self._made_at: datetime | None = None
        self._last: Look | None = None

    def run(self) -> tuple[int, str]:
        """Watch until the maker stops it, or the shop's folder goes away: how it ended, and that in a sentence."""
        with self._calls_from_outside(), self._lookout.hearing_of_faults():
            self.display.begin()
            try:
                self._lookout.start()
                ended = self._looks()
            finally:
                self.display.leave()
                self._lookout.stop()
        return ended, self._last_words(ended)

    def _looks(self) -> int:
        is_due, anew = True, False
        while not self._is_stopping:
            if is_due:
                if not self._look(anew):
                    return PROBLEMS
                anew = False
            heard = self._wait()
            is_due = heard is None
            if heard is Call.FOLDER_CHANGED:
                anew = True
                self._note(SHOP_ITSELF)
            elif heard is Call.CANNOT_TELL:
                self._lookout.poll()
                self._note(SHOP_ITSELF)
            elif heard is Call.PAUSE:
                self._pause()
            elif heard is Call.REDRAW:
                self.display.redraw()
            elif isinstance(heard, str):
                self._note(heard)
        return DONE

    def _wait(self) -> Heard | None:
        """What is heard next, for as long as it takes; None when a look is due."""
        due = self._gathering.due()
        if due is None:
            return self._heard.get()
        left = due - time.monotonic()
        try:
            # However much there is to hear, a look that is due is not put off.
            return self._heard.get(timeout=left) if left > 0 else None
        except Empty:
            return None

    def _note(self, file: str) -> None:
        self._gathering.note(file, time.monotonic())

    def _look(self, anew: bool) -> bool:
        """Compile, and show what came of it; False when there is no shop left to look at."""
        saved, growing = self._gathering.take(time.monotonic())
        if not os.path.isdir(self.root):
            return False
        if saved or anew:
            # New folders are watched before they are read, so that no save falls between.
            self._lookout.follow(saved, anew=anew)
        self._gathering.set_slow(is_slow=bool(self._lookout.why_polling))
        try:
            look = self._compiled(saved, growing)
        except _Stopped:
            return True
        if not os.path.isdir(self.root):
            return False
        for file in growing:
            self._note(file)
        self._last = look
        self.display.show(look)
        return True

    def _compiled(self, saved: list[str], growing: list[str]) -> Look:
        started = time.monotonic()
        outcome, fault = None, ""
        try:
            outcome = self._compiler.compile(self._ticks(started))
        except BooksDoNotFoot as broken:
            fault = f"The books do not foot, which is a fault of flipbook and not of your files: {broken}"
        except OSError as broken:
            where = f" ({broken.filename})" if broken.filename else ""
            fault = f"The pages cannot be made: {reason(broken)}{where}."
        seconds = time.monotonic() - started
        at = datetime.now()
        problems: tuple[Problem, ...] = ()
        made = None
        if outcome:
            # A picture that is still coming in is looked at again when it is there.
            problems = tuple(p for p in outcome.problems if not (p.warning and p.place.file in growing))
            if outcome.books:
                self._shop = outcome.books.facts.shop.shop
                self._made_at = at
                made = counted(outcome.changed, self.out)
                if self._announce:
                    self._announce(outcome.changed)
        told = told_first(problems, saved)
        lines_in = source_lines(self.root)
        return Look(
            at=at,
            seconds=seconds,
            shop=self._shop,
            saved=tuple(saved),
            made=made,
            made_at=self._made_at,
            problems=told,
            frames=tuple(tuple(framed(problem, lines_in(problem.place.file))) for problem in told[:MOST_FRAMES]),
            fault=fault,
            note=self._lookout.why_polling,
        )

    def _ticks(self, started: float) -> Tick:
        said = started + BUSY_AFTER - BUSY_EVERY
        is_slow = False

        def tick(what: str, done: int, of: int) -> None:
            nonlocal said, is_slow
            if self._is_stopping:
                raise _Stopped
            now = time.monotonic()
            if now - said >= BUSY_EVERY or (is_slow and done == of):
                said, is_slow = now, True
                self.display.busy(what, done, of)

        return tick

    def _pause(self) -> None:
        """Give the terminal back while the shell has it."""
        self.display.leave()
        os.kill(os.getpid(), signal.SIGSTOP)
        self.display.begin()

    def _last_words(self, ended: int) -> str:
        stand = f" The pages are as of {self._made_at:%H:%M:%S}." if self._made_at else " No page was made."
        if ended != DONE:
            return f"The shop's folder {self.root} is gone.{stand if os.path.isdir(self.out) else ''}"
        errors = self._last.errors if self._last else 0
        to_mend = f" {many(errors, 'problem')} still to mend; see `flipbook check`." if errors else ""
        return f"Stopped.{stand}{to_mend}"

    @contextmanager
    def _calls_from_outside(self) -> Iterator[None]:
        """Meanwhile, signals become calls; what the surroundings ignore stays ignored."""

        def called(number: int, frame: FrameType | None) -> None:
            call = _CALLS[signal.Signals(number).name]
            self._is_stopping |= call is Call.STOP
            self._heard.put(call)

        numbers = [signal.Signals[name] for name in _CALLS if name in signal.Signals.__members__]
        before = {number: signal.getsignal(number) for number in numbers}
        with self._woken_by_signals():
            for number in numbers:
                if before[number] != signal.SIG_IGN:
                    signal.signal(number, called)
            try:
                yield
            finally:
                for number, handler in before.items():
                    signal.signal(number, handler or signal.SIG_DFL)

    @contextmanager
    def _woken_by_signals(self) -> Iterator[None]:
        """Meanwhile, a signal ends a wait even where it comes in just before the wait begins, when Python would sleep on."""

        def pass_on() -> None:
            while hearing.recv(64):
                self._heard.put(Call.WOKEN)

        telling, hearing = socket.socketpair()
        telling.setblocking(False)
        before = signal.set_wakeup_fd(telling.fileno(), warn_on_full_buffer=False)
        thread = threading.Thread(target=pass_on, name="signals", daemon=True)
        thread.start()
        try:
            yield
        finally:
            signal.set_wakeup_fd(before)
            telling.close()
            thread.join(timeout=1)
            hearing.close()


def counted(changed: Sequence[str], out: Path) -> Made:
    """What a compile changed, counted by kind; `changed` are paths below `out`, written anew or taken away."""
    kinds = {".html": "pages", ".csv": "tables", ".jpg": "pictures"}
    numbers = dict.fromkeys((*kinds.values(), "others", "taken_away"), 0)
    for file in changed:
        is_there = os.path.lexists(out / file)
        numbers[kinds.get(os.path.splitext(file)[1], "others") if is_there else "taken_away"] += 1
    return Made(**numbers)


def told_first(problems: Sequence[Problem], saved: Sequence[str]) -> tuple[Problem, ...]:
    """Errors before warnings, and those of the files just saved before others; else as they are."""
    return tuple(sorted(problems, key=lambda problem: (problem.warning, problem.place.file not in saved)))
