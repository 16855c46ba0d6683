"""The folder of a shop: its files are read from here, and no path leaves it."""

from __future__ import annotations

import hashlib
import os
import stat
import time
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from flipbook.measures.unreadable import shown
from flipbook.shop.composing import MOST_BYTES, too_large
from flipbook.shop.marks import GONE, MARGIN, Look, look_at
from flipbook.shop.nearest import nearest
from flipbook.shop.problems import Problem, lines_of, problem_of

PICTURES = frozenset((".jpg", ".jpeg", ".png", ".webp", ".gif", ".tif", ".tiff", ".bmp"))


class PathFault(NamedTuple):
    """What is wrong with a path that a file names: the problem's name, what to say and what to write."""

    name: str
    says: str
    write: str


Listings = dict[str, tuple[str, list[str]]]
"""Folders of a shop, each with its mark and the names in it, sorted."""


class ShopFolder:
    """Reads within one folder; every path is relative to it, with forward slashes.

    `instead` holds files as they would be after an edit: they are read in place of what stands on the disk, so that an
    edit can be checked before it is made. `before` holds folders as they were listed another time; one that bears the
    same mark is not listed again.
    """

    def __init__(self, root: Path, instead: Mapping[str, bytes] | None = None, before: Listings | None = None) -> None:
        self.root = root
        self.looks: dict[str, Look] = {}
        """Every path that was looked at, as it was then; what is read of it later is not older than that."""
        self.listings: Listings = {}
        """The folders that were listed and whose marks can be relied on."""
        self._instead = instead or {}
        self._before = before or {}
        self._top = os.fspath(root)
        self._real = os.path.realpath(root)
        self._since = time.time_ns() - MARGIN
        self._directories: dict[str, bool] = {}
        self._found: dict[str, os.stat_result | None] | None = None if before is None else {}

    def _look(self, path: str) -> os.stat_result | None:
        """What stands at a path, None when nothing does; taken down before anything is read there.

        Where a reading goes on from another, each path is looked at once.
        """
        if self._found is not None and path in self._found:
            return self._found[path]
        look, found = look_at(self._at(path), self._since)
        self.looks.setdefault(path, look)
        if self._found is not None:
            self._found[path] = found
        return found

    def _at(self, path: str) -> str:
        return f"{self._top}/{path}" if path else self._top

    def saw(self, file: str, data: bytes) -> None:
        """Take down what was read from a file, if its mark alone does not tell."""
        look = self.looks.get(file)
        if look is not None and look.is_young:
            look.content = hashlib.sha256(data).hexdigest()

    @property
    def top_names(self) -> list[str]:
        """The names in the shop's folder itself, as they were when it was listed; nothing when it was not."""
        if "" in self.listings:
            return self.listings[""][1]
        look = self.looks.get("")
        return look.content.split("/") if look is not None and look.content else []

    def is_instead(self, file: str) -> bool:
        """Whether a file is read in place of what stands on the disk."""
        return file in self._instead

    def look(self, file: str) -> Look:
        """The look that was taken at a file, or one taken now."""
        if file not in self.looks:
            self._look(file)
        return self.looks[file]

    def read(self, file: str) -> bytes | Problem:
        """The bytes of a file, or why it is not read."""
        if file in self._instead:
            return self._instead[file]
        path = self._at(file)
        try:
            found = self._look(file) or os.lstat(path)
            if self._leaves(file, found):
                says = "the file is a link to a place outside the shop"
                return problem_of(file, "leaves-the-shop", says, "copy the file itself into the shop")
            found = os.stat(path)
            if stat.S_ISDIR(found.st_mode):
                write = f"rename the folder, and write `{file}` as a text file"
                return problem_of(file, "not-a-file", "a folder stands where a file should be", write)
            if not stat.S_ISREG(found.st_mode):
                return problem_of(file, "not-a-file", "this is no ordinary file", "replace it with a text file")
            if found.st_size > MOST_BYTES:
                return too_large(file)
            with open(path, "rb") as stream:
                data = stream.read(MOST_BYTES + 1)
            self.saw(file, data)
            return data
        except OSError as fault:
            return _unreadable(file, "the file cannot be read", fault)

    def exists(self, file: str) -> bool:
        return file in self._instead or self._look(file) is not None

    def _stays_inside(self, path: str) -> bool:
        real = os.path.realpath(path)
        return real == self._real or real.startswith(self._real + os.sep)

    def _leaves(self, file: str, found: os.stat_result) -> bool:
        """Whether a file, or a folder on the way to it, is a link that leads out of the shop."""
        directory = os.path.dirname(file)
        if directory not in self._directories:
            self._directories[directory] = self._stays_inside(self._at(directory))
        is_link = stat.S_ISLNK(found.st_mode)
        return not self._directories[directory] or (is_link and not self._stays_inside(self._at(file)))

    def fault_of(self, written: str, directory: str) -> PathFault | None:
        """What is wrong with a path written in a file of `directory`, or None."""
        if "\\" in written:
            slashed = written.replace("\\", "/")
            return PathFault("path", "a path is written with forward slashes", f"write `{slashed}`")
        if written.startswith(("/", "~")) or (len(written) > 1 and written[1] == ":"):
            write = "copy the file into the shop and write its path from this file's folder"
            return PathFault("leaves-the-shop", "the path leaves the shop", write)
        parts = written.split("/")
        if ".." in parts:
            write = "copy the file beside this one and write its path from here"
            return PathFault("leaves-the-shop", "the path goes up out of its folder", write)
        inner = os.path.join(directory, *parts[:-1])
        if os.path.join(inner, parts[-1]) in self._instead:
            return None
        file = os.path.join(inner, parts[-1])
        found = self._look(file)
        if found is None:
            near = nearest(parts[-1], self._names_in(inner))
            there = shown("/".join(filter(None, (directory, written))), 100)
            write = (
                f"write `{'/'.join([*parts[:-1], near])}`"
                if near
                else f"put the file at `{there}`, or take the line out"
            )
            return PathFault("no-such-file", "there is no such file", write)
        if self._leaves(file, found):
            says = "the path is a link to a place outside the shop"
            return PathFault("leaves-the-shop", says, "copy the file itself into the shop")
        if not os.path.isfile(self._at(file)):
            return PathFault("path", "this is no file", "write the path of a file")
        return None

    def names(self, directory: str) -> list[str] | Problem:
        """The names in a folder of the shop, sorted; nothing when there is no such folder, a problem when it is no folder."""
        if self._is_not_listed(directory):
            return []
        self._look(directory)
        look = self.looks[directory]
        mark, names = self._before.get(directory, (GONE, []))
        if look.is_young or look.mark == GONE or mark != look.mark:
            try:
                names = sorted(os.listdir(self._at(directory)))
            except NotADirectoryError:
                says = "a file stands where a folder should be"
                return problem_of(directory, "not-a-folder", says, "rename the file, and make a folder")
            except FileNotFoundError:
                return []
            except (OSError, ValueError) as fault:
                return _unreadable(directory, "the folder cannot be read", fault)
        if look.is_young:
            look.content = "/".join(names)
        else:
            self.listings[directory] = look.mark, names
        return names

    def _is_not_listed(self, path: str) -> bool:
        """Whether a small folder above, as it was listed, has no such name; on some disks `Photos` is `photos`."""
        above, _, name = path.rpartition("/")
        _, listed = self.listings.get(above, ("", []))
        return 0 < len(listed) < 16 and name.isascii() and name.casefold() not in {other.casefold() for other in listed}

    def is_folder(self, directory: str) -> bool:
        found = self._look(directory)
        return found is not None and (stat.S_ISDIR(found.st_mode) or os.path.isdir(self._at(directory)))

    def is_dangling(self, path: str) -> bool:
        """Whether a path is a link to nothing."""
        return self.exists(path) and not os.path.exists(self._at(path))

    def is_link_out(self, path: str) -> bool:
        """Whether a path is a link that leads out of the shop."""
        found = self._look(path)
        return found is not None and stat.S_ISLNK(found.st_mode) and not self._stays_inside(self._at(path))

    def _names_in(self, directory: str) -> list[str]:
        names = self.names(directory)
        return [] if isinstance(names, Problem) else names

    def pictures_of(self, folder: str) -> tuple[str, ...]:
        """The pictures in a piece's photos/ that stay inside the shop, by name, relative to the piece's folder."""
        directory = f"pieces/{folder}"
        names = self._names_in(f"{directory}/photos")
        pictures = (
            name for name in names if os.path.splitext(name)[1].lower() in PICTURES and not name.startswith(".")
        )
        paths = (f"photos/{name}" for name in pictures)
        return tuple(path for path in paths if self.fault_of(path, directory) is None)


def _unreadable(path: str, says: str, fault: Exception) -> Problem:
    why = str(getattr(fault, "strerror", "") or "").lower()
    return problem_of(path, "cannot-be-read", says, "look at its permissions", why)


def lines_in(folder: ShopFolder) -> Callable[[str], list[str]]:
    """A reader of the lines of the files in a folder, for showing problems in their place."""

    @cache
    def lines(file: str) -> list[str]:
        data = folder.read(file)
        return [] if isinstance(data, Problem) else lines_of(data.decode("utf-8-sig", "replace"))

    return lines
