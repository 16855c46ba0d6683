"""Saving a file compiles: one look at the shop's files after another, until the maker stops it."""

from __future__ import annotations

import os
import select
import signal
import socket
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from types import FrameType
from typing import Protocol

from watchdog.utils import BaseThread

from flipbook.books.footing import BooksDoNotFoot
from flipbook.cli.ending import DONE, PROBLEMS, many, reason
from flipbook.compile import Compiler, Tick
from flipbook.shop.problems import Problem
from flipbook.shop.reading import source_lines
from flipbook.watch.saves import QUIET, Bell, Files, Gathering

BUSY_AFTER, BUSY_EVERY = 0.4, 0.2
"""Seconds after which a compile says how far it is, and seconds between two such words."""

HEARD_TOGETHER = 0.02
"""Seconds between a ring and the look that it calls for."""

MOST_FRAMES = 40
_CALLS = {
    "SIGINT": "stop",
    "SIGTERM": "stop",
    "SIGHUP": "stop",
    "SIGTSTP": "pause",
    "SIGCONT": "redraw",
    "SIGWINCH": "redraw",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One look at the shop's files, and what came of it; `made` is in words, nothing where nothing was written.

    `at` and `made_at` are times of day; `made_at` is when the pages that stand now were made, None when there are none
    of this run. `made` is None when nothing could be made: for the errors among `problems`, or for `fault`. `lines` are
    those of the files that have the first problems.
    """

    at: datetime
    seconds: float
    shop: str
    saved: tuple[str, ...]
    made: str | None
    made_at: datetime | None
    problems: tuple[Problem, ...] = ()
    lines: Mapping[str, Sequence[str]] = field(default_factory=dict)
    fault: str = ""
    note: str = ""

    @property
    def errors(self) -> int:
        return sum(not problem.warning for problem in self.problems)


class Display(Protocol):
    """Where the maker sees what happens."""

    def begin(self) -> None: ...
    def busy(self, what: str, done: int, of: int) -> None: ...
    def show(self, look: Round) -> None: ...
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
        compiler: Compiler,
        display: Display,
        announce: Callable[[Sequence[str]], None] | None = None,
    ) -> None:
        self.root = root
        self.out = out
        self.display = display
        self._compiler = compiler
        self._announce = announce
        self._calls: list[str] = []
        self._gathering = Gathering()
        self._files = Files(root, out)
        # Who rings or calls writes here, and the one thread that does everything waits for that and for nothing else.
        self._told, self._waiting = socket.socketpair()
        self._bell = Bell(self._files, self._ring)
        self._shop = root.resolve().name
        self._made_at: datetime | None = None
        self._last: Round | None = None

    def run(self) -> tuple[int, str]:
        """Watch until the maker stops it, or the shop's folder goes away: how it ended, and that in a sentence."""
        self._told.setblocking(False)
        self._waiting.setblocking(False)
        with self._calls_from_outside():
            self.display.begin()
            try:
                ended = self._looks()
            finally:
                self.display.leave()
                self._bell.take_down()
        return ended, self._last_words(ended)

    @property
    def _is_stopping(self) -> bool:
        return "stop" in self._calls

    def _looks(self) -> int:
        is_due = True
        while not self._is_stopping:
            if is_due:
                # New folders are rung for before they are read, so that no save falls between.
                self._bell.hang()
                if not self._look():
                    return PROBLEMS
            self._wait()
            self._answer_calls()
            now = time.monotonic()
            for file in self._files.saved():
                self._gathering.note(file, now)
            due = self._gathering.due()
            is_due = due is not None and due <= now
        return DONE

    def _wait(self) -> None:
        """Until somebody rings or calls, a compile is due, or it is time to look unasked."""
        due = self._gathering.due()
        rest = self._files.rest if due is None else max(0.0, min(due - time.monotonic(), QUIET / 2))
        select.select([self._waiting], [], [], rest)
        # A save seldom comes alone: what follows at once is heard together with it.
        time.sleep(max(HEARD_TOGETHER, self._files.seconds))
        with suppress(BlockingIOError):
            while self._waiting.recv(4096):
                pass

    def _ring(self) -> None:
        with suppress(OSError):  # it is full, so there is enough to hear
            self._told.send(b"!")

    def _answer_calls(self) -> None:
        while self._calls and not self._is_stopping:
            call = self._calls.pop(0)
            if call == "pause":  # the shell has the terminal meanwhile
                self.display.leave()
                os.kill(os.getpid(), signal.SIGSTOP)
                self.display.begin()
            else:
                self.display.redraw()

    def _look(self) -> bool:
        """Compile, and show what came of it; False when there is no shop left to look at."""
        saved, growing = self._gathering.take(time.monotonic())
        if not os.path.isdir(self.root):
            return False
        try:
            look = self._compiled(saved, growing)
        except _Stopped:
            return True
        if not os.path.isdir(self.root):
            return False
        for file in growing:
            self._gathering.note(file, time.monotonic())
        self._last = look
        self.display.show(look)
        return True

    def _compiled(self, saved: list[str], growing: list[str]) -> Round:
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
                made = made_of(outcome.changed, self.out)
                if self._announce:
                    self._announce(outcome.changed)
        told = told_first(problems, saved)
        lines_in = source_lines(self.root)
        return Round(
            at=at,
            seconds=seconds,
            shop=self._shop,
            saved=tuple(saved),
            made=made,
            made_at=self._made_at,
            problems=told,
            lines={problem.place.file: lines_in(problem.place.file) for problem in told[:MOST_FRAMES]},
            fault=fault,
            note=self._bell.why_not,
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

    def _last_words(self, ended: int) -> str:
        stand = f" The pages are as of {self._made_at:%H:%M:%S}." if self._made_at else " No page was made."
        if ended != DONE:
            return f"The shop's folder {self.root} is gone.{stand if os.path.isdir(self.out) else ''}"
        errors = self._last.errors if self._last else 0
        to_mend = f" {many(errors, 'problem')} still to mend; see `flipbook check`." if errors else ""
        return f"Stopped.{stand}{to_mend}"

    @contextmanager
    def _calls_from_outside(self) -> Iterator[None]:
        """Meanwhile, signals become calls, what the surroundings ignore stays ignored, and no fault of watchdog is shown."""

        def broke_off(what: threading.ExceptHookArgs) -> None:
            if isinstance(what.thread, BaseThread):
                self._bell.broke("its messages broke off")
            else:
                hook(what)

        def called(number: int, frame: FrameType | None) -> None:
            self._calls.append(_CALLS[signal.Signals(number).name])

        numbers = [signal.Signals[name] for name in _CALLS if name in signal.Signals.__members__]
        before = {number: signal.getsignal(number) for number in numbers}
        hook, threading.excepthook = threading.excepthook, broke_off
        woken = signal.set_wakeup_fd(self._told.fileno(), warn_on_full_buffer=False)
        for number in numbers:
            if before[number] != signal.SIG_IGN:
                signal.signal(number, called)
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler or signal.SIG_DFL)
            signal.set_wakeup_fd(woken)
            threading.excepthook = hook


def made_of(changed: Sequence[str], out: Path) -> str:
    """What a compile changed, counted by kind, as `3 pages, 2 tables`; `changed` are paths below `out`."""
    kinds = {".html": "page", ".csv": "table", ".jpg": "picture"}
    there = [os.path.splitext(file)[1] for file in changed if os.path.lexists(out / file)]
    numbers = Counter(kinds.get(ending, "other file") for ending in there)
    words = [many(numbers[kind], kind) for kind in (*kinds.values(), "other file") if numbers[kind]]
    gone = len(changed) - len(there)
    return ", ".join([*words, *([f"{many(gone, 'file')} taken away"] if gone else [])])


def told_first(problems: Sequence[Problem], saved: Sequence[str]) -> tuple[Problem, ...]:
    """Errors before warnings, and those of the files just saved before others; else as they are."""
    return tuple(sorted(problems, key=lambda problem: (problem.warning, problem.place.file not in saved)))
