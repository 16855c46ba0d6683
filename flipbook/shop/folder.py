"""The folder of a shop: which files are read, and paths that never leave it."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from flipbook.shop.composing import MOST_BYTES, too_large
from flipbook.shop.nearest import nearest, write_instead
from flipbook.shop.problems import Place, Problem
from flipbook.shop.records.receipts import kind_named

PICTURES = frozenset((".jpg", ".jpeg", ".png", ".webp", ".gif", ".tif", ".tiff", ".bmp"))
SINGLE_FILES = ("products.yaml", "tools.yaml", "trips.yaml")
_YAML = (".yaml", ".yml")


def shop_above(start: Path) -> Path | None:
    """The nearest folder, `start` or one above it, that holds a shop.yaml."""
    return next((folder for folder in (start, *start.parents) if (folder / "shop.yaml").exists()), None)


class ShopFolder:
    """Reads within one folder; every path is relative to it, with forward slashes."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._real = os.path.realpath(root)
        self._directories: dict[str, bool] = {}

    def read(self, file: str) -> bytes | Problem:
        """The bytes of a file, or why it is not read."""
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
        return os.path.lexists(os.path.join(self.root, file))

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
        path = os.path.join(self.root, inner, parts[-1])
        try:
            found = os.lstat(path)
        except (OSError, ValueError):
            near = nearest(parts[-1], self._names_in(inner))
            there = "/".join([*parts[:-1], near]) if near else ""
            return (
                "there is no such file",
                f"write `{there}`"
                if near
                else f"put the file at `{'/'.join(filter(None, (directory, written)))}`, or take the line out",
            )
        if self._leaves(os.path.join(inner, parts[-1]), found):
            return "the path is a link to a place outside the shop", "copy the file itself into the shop"
        if stat.S_ISDIR(found.st_mode) or (stat.S_ISLNK(found.st_mode) and not os.path.isfile(path)):
            return "this is no file", "write the path of a file"
        return None

    def _names_in(self, directory: str) -> list[str]:
        try:
            return sorted(os.listdir(os.path.join(self.root, directory)))
        except OSError:
            return []

    def receipt_files(self) -> list[str]:
        """The files of receipts/, by name."""
        return [
            f"receipts/{name}"
            for name in self._names_in("receipts")
            if name.endswith(".yaml") and not name.startswith(".")
        ]

    def piece_folders(self) -> tuple[list[str], list[Problem]]:
        """The folders of pieces/ that hold a piece.yaml, by name, and what is odd among them."""
        folders: list[str] = []
        problems: list[Problem] = []
        try:
            entries = sorted(os.scandir(os.path.join(self.root, "pieces")), key=lambda e: e.name)
        except OSError:
            return folders, problems
        for entry in entries:
            place = Place(f"pieces/{entry.name}")
            if entry.name.startswith("."):
                continue
            if entry.is_symlink() and not self._stays_inside(entry.path):
                problems.append(
                    Problem(
                        name="leaves-the-shop",
                        place=place,
                        says="the folder is a link to a place outside the shop",
                        help="move the folder itself into `pieces/`",
                    )
                )
            elif not entry.is_dir():
                if entry.name.endswith(_YAML):
                    problems.append(
                        _stray(place.file, "give the piece a folder of its own and name the file `piece.yaml`")
                    )
            elif not entry.name.isprintable():
                problems.append(
                    Problem(
                        name="folder-name",
                        place=Place(f"pieces/{entry.name!a}"),
                        says="the folder's name has signs in it that cannot be shown",
                        help="rename it with letters, digits and hyphens",
                    )
                )
            elif kind_named(entry.name):
                problems.append(
                    Problem(
                        name="folder-name",
                        place=place,
                        says=f"`{entry.name}` is a word that `for:` knows",
                        help="rename the folder, as `" + entry.name + "-piece`",
                    )
                )
            elif not os.path.lexists(os.path.join(entry.path, "piece.yaml")):
                problems.append(
                    Problem(
                        name="no-piece-yaml",
                        place=place,
                        says="the folder has no piece.yaml, so it is left out",
                        help="write one, or move the folder out of `pieces/`",
                        warning=True,
                    )
                )
            else:
                folders.append(entry.name)
        return folders, problems

    def strays(self) -> Iterator[Problem]:
        """YAML files that nothing reads, each named so that none is taken for read."""
        known = ("shop.yaml", *SINGLE_FILES)
        for name in self._names_in(""):
            if name.endswith(_YAML) and name not in known and not name.startswith("."):
                yield _stray(
                    name,
                    write_instead(
                        name, known, f"a shop's files are {', '.join(known)}, and those in receipts/ and pieces/"
                    ).replace("write", "rename it to"),
                )
        for name in self._names_in("receipts"):
            if name.endswith(".yml"):
                yield _stray(f"receipts/{name}", f"rename it to `{name[:-4]}.yaml`")
        for folder in self._names_in("pieces"):
            for name in self._names_in(f"pieces/{folder}") if not folder.startswith(".") else ():
                if name.endswith(_YAML) and name != "piece.yaml":
                    yield _stray(f"pieces/{folder}/{name}", "move what it says into `piece.yaml`")

    def pictures_of(self, folder: str) -> tuple[str, ...]:
        """The pictures in a piece's photos/ that stay inside the shop, by name, relative to the piece's folder."""
        directory = f"pieces/{folder}"
        names = [
            name for name in self._names_in(f"{directory}/photos") if os.path.splitext(name)[1].lower() in PICTURES
        ]
        inside = (f"photos/{name}" for name in names if not name.startswith("."))
        return tuple(path for path in inside if self.fault_of(path, directory) is None)


def _stray(file: str, write: str) -> Problem:
    return Problem(name="not-read", place=Place(file), says="this file is not read", help=write, warning=True)
