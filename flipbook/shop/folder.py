"""The folder of a shop: its files are read from here, and no path leaves it."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from pathlib import Path

from flipbook.measures.unreadable import shown
from flipbook.shop.composing import MOST_BYTES, too_large
from flipbook.shop.nearest import nearest
from flipbook.shop.problems import Place, Problem

PICTURES = frozenset((".jpg", ".jpeg", ".png", ".webp", ".gif", ".tif", ".tiff", ".bmp"))


class ShopFolder:
    """Reads within one folder; every path is relative to it, with forward slashes.

    `instead` holds files as they would be after an edit: they are read in place of what stands on the disk, so that an
    edit can be checked before it is made.
    """

    def __init__(self, root: Path, instead: Mapping[str, bytes] | None = None) -> None:
        self.root = root
        self._instead = instead or {}
        self._real = os.path.realpath(root)
        self._directories: dict[str, bool] = {}

    def read(self, file: str) -> bytes | Problem:
        """The bytes of a file, or why it is not read."""
        if file in self._instead:
            return self._instead[file]
        path = os.path.join(self.root, file)
        try:
            found = os.lstat(path)
            if self._leaves(file, found):
                return Problem(
                    name="leaves-the-shop",
                    place=Place(file),
                    says="the file is a link to a place outside the shop",
                    help="copy the file itself into the shop",
                )
            found = os.stat(path)
            if stat.S_ISDIR(found.st_mode):
                return Problem(
                    name="not-a-file",
                    place=Place(file),
                    says="a folder stands where a file should be",
                    help=f"rename the folder, and write `{file}` as a text file",
                )
            if not stat.S_ISREG(found.st_mode):
                return Problem(
                    name="not-a-file",
                    place=Place(file),
                    says="this is no ordinary file",
                    help="replace it with a text file",
                )
            if found.st_size > MOST_BYTES:
                return too_large(file)
            with open(path, "rb") as stream:
                return stream.read(MOST_BYTES + 1)
        except OSError as fault:
            return Problem(
                name="cannot-be-read",
                place=Place(file),
                says="the file cannot be read",
                label=(fault.strerror or "").lower(),
                help="look at its permissions",
            )

    def exists(self, file: str) -> bool:
        return file in self._instead or os.path.lexists(os.path.join(self.root, file))

    def _stays_inside(self, path: str) -> bool:
        real = os.path.realpath(path)
        return real == self._real or real.startswith(self._real + os.sep)

    def _leaves(self, file: str, found: os.stat_result) -> bool:
        """Whether a file, or a folder on the way to it, is a link that leads out of the shop."""
        directory = os.path.dirname(file)
        if directory not in self._directories:
            self._directories[directory] = self._stays_inside(os.path.join(self.root, directory))
        is_link = stat.S_ISLNK(found.st_mode)
        return not self._directories[directory] or (is_link and not self._stays_inside(os.path.join(self.root, file)))

    def fault_of(self, written: str, directory: str) -> tuple[str, str] | None:
        """What is wrong with a path written in a file of `directory`: what to say and what to write, or None."""
        if "\\" in written:
            return "a path is written with forward slashes", f"write `{written.replace(chr(92), '/')}`"
        if written.startswith(("/", "~")) or (len(written) > 1 and written[1] == ":"):
            return "the path leaves the shop", "copy the file into the shop and write its path from this file's folder"
        parts = written.split("/")
        if ".." in parts:
            return "the path goes up out of its folder", "copy the file beside this one and write its path from here"
        inner = os.path.join(directory, *parts[:-1])
        if os.path.join(inner, parts[-1]) in self._instead:
            return None
        path = os.path.join(self.root, inner, parts[-1])
        try:
            found = os.lstat(path)
        except (OSError, ValueError):
            near = nearest(parts[-1], self._names_in(inner))
            if near:
                return "there is no such file", f"write `{'/'.join([*parts[:-1], near])}`"
            there = shown("/".join(filter(None, (directory, written))), 100)
            return "there is no such file", f"put the file at `{there}`, or take the line out"
        if self._leaves(os.path.join(inner, parts[-1]), found):
            return "the path is a link to a place outside the shop", "copy the file itself into the shop"
        if not os.path.isfile(path):
            return "this is no file", "write the path of a file"
        return None

    def names(self, directory: str) -> list[str] | Problem:
        """The names in a folder of the shop, sorted; nothing when there is no such folder, a problem when it is no folder."""
        path = os.path.join(self.root, directory)
        try:
            return sorted(os.listdir(path))
        except NotADirectoryError:
            says = "a file stands where a folder should be"
            return Problem(
                name="not-a-folder", place=Place(directory), says=says, help="rename the file, and make a folder"
            )
        except FileNotFoundError:
            return []
        except (OSError, ValueError) as fault:
            says, label = "the folder cannot be read", str(getattr(fault, "strerror", "") or "").lower()
            return Problem(
                name="cannot-be-read", place=Place(directory), says=says, label=label, help="look at its permissions"
            )

    def is_folder(self, directory: str) -> bool:
        return os.path.isdir(os.path.join(self.root, directory))

    def is_dangling(self, path: str) -> bool:
        """Whether a path is a link to nothing."""
        return self.exists(path) and not os.path.exists(os.path.join(self.root, path))

    def is_link_out(self, path: str) -> bool:
        """Whether a path is a link that leads out of the shop."""
        whole = os.path.join(self.root, path)
        return os.path.islink(whole) and not self._stays_inside(whole)

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
