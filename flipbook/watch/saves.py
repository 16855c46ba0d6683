"""What was saved in a shop's folder: the system rings when anything happens there, and a look over the files tells what.

The ring only shortens the wait. Whatever the system does not tell of, since its limit of watched folders is reached, its
queue ran over or a folder was put in another's place, the next look over the files sees all the same.
"""

from __future__ import annotations

import errno
import logging
import os
import re
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from watchdog import events
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver

QUIET, AT_MOST = 0.2, 1.0
"""Seconds without a further save after which a compile is due, and seconds that a first save waits at most."""

COPY_QUIET, COPY_AT_MOST = 0.6, 30.0
"""The same when only pictures and scans came in: a large one is copied in parts, and seldom comes alone."""

LOOK_EVERY = 2.0
"""Seconds between two looks over the files for which the system has not rung."""

SHOP_ITSELF = "./"
"""The shop's own folder, among the files saved: it was put in place anew, or it is gone."""

_REST = 200
# Folders come by these; reading, which a compile does thousands of times, is not rung for.
_RUNG_FOR: list[type[events.FileSystemEvent]] = [
    events.DirCreatedEvent,
    events.DirMovedEvent,
    events.DirDeletedEvent,
    events.FileCreatedEvent,
    events.FileModifiedEvent,
    events.FileMovedEvent,
    events.FileDeletedEvent,
]
# What editors and copiers write aside, besides dot files; common practice, no source.
_ASIDE = re.compile(
    r".*~|#.*#|\d{4,5}|sed\w{6}|.*\.(tmp|temp|swp|swo|swx|bak|part|partial|crdownload|download)(\.\d+)?|.*___jb_\w+___",
    re.IGNORECASE,
)
_TEXTS = (".yaml", ".yml", ".txt", ".md", ".html", ".css", ".js")

# That a queue ran over is no news for the terminal.
logging.getLogger("watchdog").addHandler(logging.NullHandler())

Mark = tuple[int, ...]
"""What changes when a file is saved or a folder is another one."""


def may_grow(file: str) -> bool:
    """Whether a file may be a copy that is still under way: a picture or a scan, no text and no folder."""
    return not file.lower().endswith((*_TEXTS, "/"))


class Gathering:
    """The saves since the last compile, and when the next is due. Times are seconds of a clock that never goes back."""

    def __init__(self) -> None:
        self._heard: dict[str, float] = {}
        self._first = self._first_text = self._last = float("inf")

    def note(self, file: str, now: float) -> None:
        """A file was saved."""
        self._heard[file] = now
        self._first = min(self._first, now)
        if not may_grow(file):
            self._first_text = min(self._first_text, now)
        self._last = now

    def due(self) -> float | None:
        """When to compile; None when nothing was saved."""
        if not self._heard:
            return None
        if self._first_text < float("inf"):
            return min(self._last + QUIET, self._first_text + AT_MOST)
        return min(self._last + COPY_QUIET, self._first + COPY_AT_MOST)

    def take(self, now: float) -> tuple[list[str], list[str]]:
        """What was saved, and which files of it may still be growing; the gathering is empty after that."""
        saved = sorted(self._heard)
        growing = [file for file in saved if may_grow(file) and self._heard[file] > now - COPY_QUIET]
        self._heard.clear()
        self._first = self._first_text = self._last = float("inf")
        return saved, growing


class Files:
    """The files of a shop that matter: not what is compiled, nothing hidden, nothing that an editor keeps aside."""

    def __init__(self, root: Path, out: Path) -> None:
        self.root = os.path.realpath(root)
        made = os.path.realpath(out)
        # The output may be the shop's folder itself, or one around it; then only what is made in it is left out.
        is_around = f"{self.root}{os.sep}".startswith(f"{made}{os.sep}")
        inner = [os.path.join(made, name) for name in ("books", "portfolio")] if is_around else [made]
        self._made = {os.path.join(self.root, "out"), *inner}
        self.seconds = 0.0
        """What the last look over the files took."""
        self._seen = self.marks()

    def saved(self) -> list[str]:
        """What came, changed or went since this was last asked: paths in the shop, a folder with a stroke at its end."""
        before, started = self._seen, time.monotonic()
        self._seen = self.marks()
        self.seconds = time.monotonic() - started
        return sorted({file for file, _ in before.items() ^ self._seen.items()})

    @property
    def rest(self) -> float:
        """Seconds until the next look for which nobody has rung, so that all of them hardly cost anything."""
        return max(LOOK_EVERY, _REST * self.seconds)

    def marks(self) -> dict[str, Mark]:
        """The mark of every file and folder that matters, by its path."""
        marks: dict[str, Mark] = {}
        with suppress(OSError):
            marks[SHOP_ITSELF] = (os.stat(self.root).st_ino,)
        waiting = [("", self.root)]
        while waiting:
            within, folder = waiting.pop()
            for entry in _entries(folder):
                with suppress(OSError):
                    if entry.is_dir(follow_symlinks=False):
                        if self._is_of_the_shop(entry):
                            marks[f"{within}{entry.name}/"] = (entry.inode(),)
                            waiting.append((f"{within}{entry.name}/", entry.path))
                    elif not entry.name.startswith(".") and not _ASIDE.fullmatch(entry.name):
                        marks[within + entry.name] = _mark(entry)
        return marks

    def folders(self) -> list[tuple[str, int]]:
        """The folders at the shop's top that matter, each with all that is in it; and their numbers on the disk."""
        return sorted(
            (entry.path, entry.inode())
            for entry in _entries(self.root)
            if entry.is_dir(follow_symlinks=False) and self._is_of_the_shop(entry)
        )

    def _is_of_the_shop(self, folder: os.DirEntry[str]) -> bool:
        return not folder.name.startswith(".") and folder.path not in self._made


def _entries(folder: str) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except OSError:
        return []


def _mark(entry: os.DirEntry[str]) -> Mark:
    """A file's mark; that of a link also tells when the file it leads to is saved."""
    there = entry.stat(follow_symlinks=False)
    mark = there.st_size, there.st_mtime_ns, there.st_ctime_ns, there.st_ino
    if entry.is_symlink():
        with suppress(OSError):
            there = entry.stat()
            return *mark, there.st_size, there.st_mtime_ns
    return mark


class Bell(events.FileSystemEventHandler):
    """Has the system ring when anything happens in the shop."""

    def __init__(self, files: Files, ring: Callable[[], None]) -> None:
        self.why_not = ""
        """Why the system does not ring, as a sentence."""
        self._files = files
        self._ring = ring
        self._observer: BaseObserver | None = None
        self._watched: list[tuple[str, int]] = []

    def dispatch(self, event: events.FileSystemEvent) -> None:
        """Ring, whatever it was."""
        self._ring()

    def hang(self) -> None:
        """Have the folders rung for that are there now; nothing is done while they are those that were there."""
        root = self._files.root
        wanted = self._files.folders()
        with suppress(OSError):
            wanted.append((root, os.stat(root).st_ino))
        if wanted == self._watched:
            return
        self.take_down()
        self._watched = wanted
        self.why_not = ""
        self._observer = Observer()
        try:
            for path, _ in wanted:
                with suppress(FileNotFoundError, NotADirectoryError):  # gone again
                    self._observer.schedule(self, path, recursive=path != root, event_filter=_RUNG_FOR)
            self._observer.start()
        except OSError as fault:
            full = fault.errno in (errno.ENOSPC, errno.EMFILE)
            self.broke("its limit of watched folders is reached" if full else (fault.strerror or str(fault)).lower())

    def broke(self, why: str) -> None:
        """From now on the files are looked over, and nothing else."""
        self.why_not = f"The system cannot tell of saves here ({why}), so the files are looked over every {LOOK_EVERY:.0f} seconds."
        self.take_down()

    def take_down(self) -> None:
        """Ring no more. The observer waits for its threads, so it is not waited for."""
        if self._observer:
            threading.Thread(target=self._observer.stop, name="bell taken down", daemon=True).start()
            self._observer = None
