"""Writing the output whole or not at all: everything is made aside, then moved into place."""

from __future__ import annotations

import os
import shutil
import stat
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import count
from pathlib import Path
from threading import Lock
from typing import ParamSpec

from flipbook.shop.marks import GONE, changed_at, mark, mark_of, size_in

P = ParamSpec("P")

MANIFEST = ".made"
_LOOKS_AT_THE_CLOCK, _SECONDS_BETWEEN = 15, 0.002


@dataclass(slots=True)
class AsLeft:
    """The output as a compile left it: the mark of each file, and a digest of each picture.

    Within one process it is also known what each file was made of. A file whose mark cannot be relied on has none.
    """

    marks: dict[str, str] = field(default_factory=dict)
    digests: dict[str, str] = field(default_factory=dict)
    is_whole: bool = False
    """Whether every file has its mark, and so each can be told from one that somebody touched since."""
    made_of: dict[str, tuple[object, ...]] = field(default_factory=dict)


class Output:
    """The files of one compile. What is there stays as it is until `publish`; a kill before that changes nothing.

    `made_before` and `publish` know what an earlier compile made by a manifest, so that a file of the
    maker's own in the same folder is never taken away. A file that would get the bytes that it has is left alone.
    """

    def __init__(self, out: Path, before: AsLeft | None = None, *, again: bool = False) -> None:
        """`before` is what the last compile left; with `again` another will follow in this process."""
        self.out = out
        self.left = AsLeft()
        """What this compile leaves for the next."""
        self.changed: tuple[str, ...] = ()
        """The files written anew and taken away, when all is published."""
        self._before = before or AsLeft()
        self._again = again
        self._top = os.fspath(out)
        self._aside = out / f".making-{os.getpid()}"
        self._aside_of: dict[str, str] = {}
        self._numbers = count()
        self._sizes: dict[str, int] = {}
        self._as_left: set[str] = set()
        self._lock = Lock()
        self._is_new = not os.path.lexists(out)
        self._started = self._clock()
        self._sizes_before = self._manifest()
        self._before_by_folder: dict[str, list[str]] = {}
        for file in self._sizes_before:
            folder, _, name = file.rpartition("/")
            self._before_by_folder.setdefault(folder, []).append(name)

    def _manifest(self) -> dict[str, int]:
        """The files that an earlier compile made, each with its size; a line that is none of ours is passed over."""
        try:
            lines = (self.out / MANIFEST).read_text("utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return {}
        sizes = {}
        for line in lines:
            size, _, file = line.partition(" ")
            inside = file.startswith(("books/", "portfolio/")) and not {"", ".", ".."} & set(file.split("/"))
            if size.isascii() and size.isdigit() and inside:
                sizes[file] = int(size)
        return sizes

    def make(self, file: str, work: Callable[P, bytes | Iterable[str]], *given: P.args, **named: P.kwargs) -> None:
        """Make `file` of what `work` makes of what is given. One that was made of the same stands, if nobody touched it."""
        made_of = given, named
        if self._before.made_of.get(file) == made_of and self.is_as_left(file):
            self.keep(file)
        else:
            made = work(*given, **named)
            self.write(file, made) if isinstance(made, bytes) else self.write_parts(file, made)
        if self._again:
            self.left.made_of[file] = made_of

    def write(self, file: str, data: bytes) -> None:
        """Make `file`, a path below the output folder with forward slashes."""
        if not self._holds(file, data):
            with self._room_for(file).open("wb") as stream:
                stream.write(data)
        self._sizes[file] = len(data)

    def write_parts(self, file: str, parts: Iterable[str]) -> None:
        """Make `file` from texts as they come, so that a long page is never held whole."""
        room = self._room_for(file)
        with room.open("w", encoding="utf-8", newline="\n") as stream:
            stream.writelines(parts)
        self._sizes[file] = _size_of(room)
        if self._sizes[file] == _size_of(self.out / file) and _same_bytes(room, self.out / file):
            room.unlink()
            del self._aside_of[file]

    def write_picture(self, file: str, data: bytes) -> None:
        """As `write`, with a digest for the next compile, which had better keep it than make it again."""
        self.left.digests[file] = sha256(data).hexdigest()
        self.write(file, data)

    def _holds(self, file: str, data: bytes) -> bool:
        """Whether a file of the output has these bytes already."""
        try:
            return _size_of(self.out / file) == len(data) and (self.out / file).read_bytes() == data
        except OSError:
            return False

    def _room_for(self, file: str) -> Path:
        """Where `file` is made aside: numbered in one folder, which is quicker than a tree of them."""
        with self._lock:
            if not self._aside_of:
                self._aside.mkdir(parents=True, exist_ok=True)
            if file not in self._aside_of:
                self._aside_of[file] = str(next(self._numbers))
            return self._aside / self._aside_of[file]

    def keep(self, file: str) -> None:
        """Let a file of an earlier compile stand."""
        if file in self._as_left:
            self._sizes[file] = size_in(self._before.marks[file])
        else:
            self._sizes[file] = _size_of(self.out / file)
        if file in self._before.digests:
            self.left.digests[file] = self._before.digests[file]

    def is_as_left(self, file: str) -> bool:
        """Whether a file bears the mark that the last compile left it with."""
        left = self._before.marks.get(file, GONE)
        if left == GONE or mark_of(f"{self._top}/{file}") != left:
            return False
        self._as_left.add(file)
        return True

    def made_before(self, folder: str, start: str) -> list[str]:
        """The names in `folder` that start with `start`, if an earlier compile made them and all are there whole."""
        names = [name for name in self._before_by_folder.get(folder, ()) if name.startswith(start)]
        return names if all(self._is_whole(f"{folder}/{name}") for name in names) else []

    def _is_whole(self, file: str) -> bool:
        """Whether a picture is as it was made: by its mark, else by its digest; by its size when neither is known."""
        if _size_of(self.out / file) != self._sizes_before[file]:
            return False
        if file not in self._before.marks or self.is_as_left(file):
            return True
        return sha256((self.out / file).read_bytes()).hexdigest() == self._before.digests.get(file)

    def count(self, folder: str, ending: str) -> int:
        """How many files below `folder` with that ending there are now."""
        return sum(file.startswith(f"{folder}/") and file.endswith(ending) for file in self._sizes)

    def publish(self) -> None:
        """Move everything into place, then take away what an earlier compile made and this one did not."""
        for file in self._aside_of:
            if (self.out / file).is_dir():
                raise IsADirectoryError(21, f"there is a folder where {file} goes")
        # Until all is in place the manifest names old and new, so that a kill here leaves nothing unknown behind.
        self._put_manifest(self._sizes_before | self._sizes)
        moved_after = self._clock()
        for folder in {file.rpartition("/")[0] for file in self._aside_of}:
            (self.out / folder).mkdir(parents=True, exist_ok=True)
        for file, aside in sorted(self._aside_of.items()):
            os.replace(f"{self._aside}/{aside}", f"{self._top}/{file}")
        taken_away = [file for file in sorted(self._sizes_before.keys() - self._sizes.keys()) if self._take_away(file)]
        self._put_manifest(self._sizes)
        self.changed = tuple(sorted([*self._aside_of, *taken_away]))
        self._take_marks(moved_after)
        self.discard()

    def _take_away(self, file: str) -> bool:
        """Take away a file of an earlier compile, and its folder when that is empty then; whether there was one."""
        stale = self.out / file
        was_there = os.path.lexists(stale) and not stale.is_dir()
        if was_there:
            stale.unlink(missing_ok=True)
        _remove_empty(stale.parent, self.out)
        return was_there

    def _put_manifest(self, sizes: dict[str, int]) -> None:
        data = "".join(f"{size} {file}\n" for file, size in sorted(sizes.items())).encode()
        if self._holds(MANIFEST, data):
            return
        self._aside.mkdir(parents=True, exist_ok=True)
        (self._aside / MANIFEST).write_bytes(data)
        os.replace(self._aside / MANIFEST, self.out / MANIFEST)

    def _take_marks(self, moved_after: int) -> None:
        """The mark of each file that it can be relied on to tell whether somebody touches it from now on."""
        self.left.marks = {file: self._before.marks[file] for file in self._as_left & self._sizes.keys()}
        marked = {}
        for file in [MANIFEST, *(self._sizes.keys() - self._as_left)]:
            try:
                there = os.lstat(f"{self._top}/{file}")
            except OSError:
                continue
            # What was moved into place was written before that, and what was left standing before this compile began.
            if file == MANIFEST or (
                there.st_mtime_ns <= moved_after if file in self._aside_of else changed_at(there) < self._started
            ):
                marked[file] = there
        # Within one tick of the disk's clock a file could change again and keep its mark.
        newest = max(map(changed_at, marked.values()), default=0)
        for _ in range(_LOOKS_AT_THE_CLOCK):
            now = self._clock()
            if now > newest:
                break
            time.sleep(_SECONDS_BETWEEN)
        for file, there in marked.items():
            if changed_at(there) < now:
                self.left.marks[file] = mark(there, f"{self._top}/{file}")
        self.left.is_whole = len(self.left.marks) == len(self._sizes) + 1  # and the manifest

    def _clock(self) -> int:
        """What the clock of the output's disk says now, in nanoseconds; 0 when it cannot be asked."""
        asked = self._aside / "now"
        try:
            self._aside.mkdir(parents=True, exist_ok=True)
            asked.write_bytes(b"")
            now = changed_at(os.lstat(asked))
            asked.unlink()
        except OSError:
            return 0
        return now

    def discard(self) -> None:
        """Take away what was made aside, by this compile or by one that was killed; another that runs keeps its own."""
        for aside in self.out.glob(".making-*"):
            if aside == self._aside or not _is_running(aside.name.rpartition("-")[2]):
                shutil.rmtree(aside, ignore_errors=True)
        if self._is_new:
            with suppress(OSError):  # when anything stands in it
                self.out.rmdir()


def _is_running(process: str) -> bool:
    """Whether a process of that number runs on this machine."""
    try:
        os.kill(int(process), 0)
    except (ValueError, ProcessLookupError):
        return False
    except OSError:
        return True
    return True


def _size_of(path: Path) -> int:
    """The size of an ordinary file in bytes; -1 when there is none."""
    try:
        there = os.lstat(path)
    except OSError:
        return -1
    return there.st_size if stat.S_ISREG(there.st_mode) else -1


def _same_bytes(one: Path, other: Path) -> bool:
    """Whether two files of one size hold the same; neither is held whole."""
    with one.open("rb") as first, other.open("rb") as second:
        while data := first.read(1 << 18):
            if data != second.read(1 << 18):
                return False
    return True


def _remove_empty(folder: Path, top: Path) -> None:
    while folder != top and top in folder.parents:
        try:
            folder.rmdir()
        except OSError:
            return
        folder = folder.parent
