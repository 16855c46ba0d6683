"""What happens in a shop's folder, as the system tells it: what of it matters, and which saves belong together."""

from __future__ import annotations

import errno
import logging
import os
import re
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from enum import Enum, auto
from pathlib import Path

from watchdog.events import (
    DirAttribEvent,
    DirCreatedEvent,
    DirDeletedEvent,
    DirMovedEvent,
    FileAttribEvent,
    FileClosedEvent,
    FileCreatedEvent,
    FileDeletedEvent,
    FileModifiedEvent,
    FileMovedEvent,
    FileSystemEvent,
    FileSystemEventHandler,
)
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver, ObservedWatch
from watchdog.observers.polling import PollingObserver
from watchdog.utils import BaseThread

QUIET, AT_MOST = 0.2, 1.0
"""Seconds without a further save after which a look is due, and seconds that a first save waits at most."""

COPY_QUIET, COPY_AT_MOST = 0.6, 30.0
"""The same when only pictures and scans came in: a large one is copied in parts, and seldom comes alone."""

LOOK_EVERY = 2.0
"""Seconds between two looks where the system cannot tell of saves."""

TRIES = 3
# Folders are asked for by these alone: reading, which a compile does thousands of times, is not told of.
_FOLDERS: list[type[FileSystemEvent]] = [DirCreatedEvent, DirMovedEvent, DirDeletedEvent]
_ALL: list[type[FileSystemEvent]] = [
    *_FOLDERS, DirAttribEvent, FileCreatedEvent, FileModifiedEvent, FileClosedEvent, FileMovedEvent, FileDeletedEvent,
    FileAttribEvent,
]  # fmt: skip
# What editors and copiers write aside, besides dot files; common practice, no source.
_ASIDE = re.compile(
    r".*~|#.*#|\d{4,5}|sed\w{6}|.*\.(tmp|temp|swp|swo|swx|bak|part|partial|crdownload|download)(\.\d+)?|.*___jb_\w+___",
    re.IGNORECASE,
)
_TEXTS = (".yaml", ".yml", ".txt", ".md", ".html", ".css", ".js")


class Call(Enum):
    """What may come in between saves."""

    STOP = auto()
    PAUSE = auto()
    REDRAW = auto()
    FOLDER_CHANGED = auto()
    """The shop's folder itself was made, moved or taken away, or events were lost: nothing that is known holds."""
    WOKEN = auto()
    """A signal came in; who waits gets to look at it."""
    CANNOT_TELL = auto()
    """The system tells of saves no longer."""


Heard = str | Call
"""A file of the shop that was saved, by its path there, a folder with a stroke at the end; or a call."""


class Interest:
    """Which paths of a shop matter: not what is compiled, nothing hidden, nothing that an editor keeps aside."""

    def __init__(self, root: Path, out: Path) -> None:
        self.root = os.path.realpath(root)
        made = os.path.realpath(out)
        # The output may be the shop's folder itself, or one around it; then only what is made in it is left out.
        is_around = f"{self.root}{os.sep}".startswith(f"{made}{os.sep}")
        inner = [os.path.join(made, name) for name in ("books", "portfolio")] if is_around else [made]
        self._made = tuple(f"{folder}{os.sep}" for folder in (os.path.join(self.root, "out"), *inner))

    def file(self, path: str, is_folder: bool) -> str | None:
        """The path in the shop, with forward slashes and a stroke after a folder; None when it does not matter."""
        if f"{path}{os.sep}".startswith(self._made) or not path.startswith(f"{self.root}{os.sep}"):
            return None
        names = path[len(self.root) + 1 :].split(os.sep)
        if any(name.startswith(".") for name in names) or (not is_folder and _ASIDE.fullmatch(names[-1])):
            return None
        return "/".join(names) + ("/" if is_folder else "")

    def folders(self) -> list[str]:
        """The folders at the shop's top that matter, each with all that is in it."""
        try:
            with os.scandir(self.root) as entries:
                found = [entry.path for entry in entries if entry.is_dir(follow_symlinks=False)]
        except OSError:
            return []
        return sorted(path for path in found if self.file(path, True))


def may_grow(file: str) -> bool:
    """Whether a file may be a copy that is still under way: a picture or a scan, no text and no folder."""
    return not file.lower().endswith((*_TEXTS, "/"))


class Gathering:
    """The saves since the last look, and when the next is due. Times are seconds of a clock that never goes back."""

    def __init__(self) -> None:
        self.copy_quiet = COPY_QUIET
        self._heard: dict[str, float] = {}
        self._first = self._first_text = self._last = float("inf")

    def set_slow(self, *, is_slow: bool) -> None:
        """Wait longer for copies where saves are heard of only at every look over the files."""
        self.copy_quiet = LOOK_EVERY + QUIET if is_slow else COPY_QUIET

    def note(self, file: str, now: float) -> None:
        """A file was saved."""
        self._heard[file] = now
        self._first = min(self._first, now)
        if not may_grow(file):
            self._first_text = min(self._first_text, now)
        self._last = now

    def due(self) -> float | None:
        """When to look; None when nothing was saved."""
        if not self._heard:
            return None
        if self._first_text < float("inf"):
            return min(self._last + QUIET, self._first_text + AT_MOST)
        return min(self._last + self.copy_quiet, self._first + COPY_AT_MOST)

    def take(self, now: float) -> tuple[list[str], list[str]]:
        """What was saved, and which files of it may still be growing; the gathering is empty after that."""
        saved = sorted(self._heard)
        growing = [file for file in saved if may_grow(file) and self._heard[file] > now - self.copy_quiet]
        self._heard.clear()
        self._first = self._first_text = self._last = float("inf")
        return saved, growing


class _Ear(FileSystemEventHandler):
    """Passes on what matters; an exception here would end the thread that tells of everything."""

    def __init__(self, interest: Interest, hear: Callable[[Heard], None]) -> None:
        self.interest = interest
        self.hear = hear

    def dispatch(self, event: FileSystemEvent) -> None:
        for name in (os.fsdecode(event.src_path), os.fsdecode(event.dest_path)):
            if name == self.interest.root:
                self.hear(Call.FOLDER_CHANGED)
            elif file := self.interest.file(name, event.is_directory):
                self.hear(file)


class Lookout:
    """Has the system tell of saves, or looks over the files again and again where it cannot."""

    def __init__(self, interest: Interest, hear: Callable[[Heard], None]) -> None:
        self.interest = interest
        self.why_polling = ""
        self._hear = hear
        self._ear = _Ear(interest, hear)
        self._observer: BaseObserver | None = None
        self._watches: dict[str, ObservedWatch] = {}

    def start(self) -> None:
        """Begin to watch. What happens from now on is heard of."""
        for _ in range(TRIES):
            try:
                self._begin(Observer())
                self._watch_the_folder_around()
                return
            except FileNotFoundError as fault:  # a folder went while it was being watched
                gone = fault
                self.stop()
            except OSError as fault:
                self.poll(fault)
                return
        self.poll(gone)

    def poll(self, fault: OSError | None = None) -> None:
        """Look over the files every two seconds from now on."""
        if fault is None:
            reason = "its messages broke off"
        elif fault.errno in (errno.ENOSPC, errno.EMFILE):
            reason = "its limit of watched folders is reached"
        else:
            reason = (fault.strerror or str(fault)).lower()
        self.why_polling = f"The system cannot tell of saves here ({reason}), so the files are looked over every {LOOK_EVERY:.0f} seconds."
        self._look_over()

    def _look_over(self) -> None:
        self.stop()
        with suppress(OSError):
            self._begin(PollingObserver(timeout=LOOK_EVERY))

    def follow(self, saved: list[str], *, anew: bool) -> None:
        """Watch the folders that came, after these saves; all of them anew when nothing that was known holds."""
        if anew and self.why_polling:
            self._look_over()
        elif anew:
            self.stop()
            self.start()
        elif came := [file for file in saved if file.endswith("/")]:
            try:
                self._follow([os.path.join(self.interest.root, file[:-1]) for file in came])
            except OSError as fault:
                self.poll(fault)

    def stop(self) -> None:
        """Watch no more."""
        observer, self._observer = self._observer, None
        self._watches.clear()
        if observer:
            observer.stop()

    def _begin(self, observer: BaseObserver) -> None:
        self._observer = observer
        self._watches.clear()
        root = self.interest.root
        self._watches[root] = observer.schedule(self._ear, root, event_filter=_ALL)
        for path in self.interest.folders():
            self._watches[path] = observer.schedule(self._ear, path, recursive=True, event_filter=_ALL)
        observer.start()

    def _watch_the_folder_around(self) -> None:
        """Hear of the shop's folder itself; and find out whether the limit of watched folders was reached before this.

        A folder inside that could not be watched is passed over in silence, but not one that is asked for by its name.
        """
        around = os.path.dirname(self.interest.root)
        if self._observer and around != self.interest.root:
            self._observer.schedule(self._ear, around, event_filter=_FOLDERS)

    def _follow(self, came: list[str]) -> None:
        observer = self._observer
        if observer is None:
            return
        wanted = self.interest.folders()
        for path in [path for path in self._watches if path != self.interest.root]:
            if path not in wanted or path in came:  # one of the same name is another folder
                observer.unschedule(self._watches.pop(path))
        for path in wanted:
            if path not in self._watches:
                try:
                    self._watches[path] = observer.schedule(self._ear, path, recursive=True, event_filter=_ALL)
                except OSError as fault:
                    if fault.errno not in (errno.ENOENT, errno.ENOTDIR):
                        raise
        if not self.why_polling and sys.platform == "linux" and os.path.isdir("/proc"):
            # As for the folder around the shop: is there still room for one more?
            observer.unschedule(observer.schedule(self._ear, "/proc", event_filter=[DirDeletedEvent]))

    @contextmanager
    def hearing_of_faults(self) -> Iterator[None]:
        """Meanwhile, what watchdog has to say goes into calls and not onto the terminal."""
        hear = self._hear

        class Overheard(logging.Handler):
            def emit(self, record: logging.LogRecord) -> None:
                # That it was stopped while it was reading is no news.
                if "inactive" not in record.getMessage():
                    hear(Call.FOLDER_CHANGED)

        def broke_off(what: threading.ExceptHookArgs) -> None:
            if isinstance(what.thread, BaseThread):
                hear(Call.CANNOT_TELL)
            else:
                hook_before(what)

        logger, handler = logging.getLogger("watchdog"), Overheard(logging.WARNING)
        propagated, hook_before = logger.propagate, threading.excepthook
        logger.addHandler(handler)
        logger.propagate = False
        threading.excepthook = broke_off
        try:
            yield
        finally:
            logger.removeHandler(handler)
            logger.propagate = propagated
            threading.excepthook = hook_before
