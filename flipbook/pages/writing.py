"""Writing the output whole or not at all: everything is made aside, then moved into place."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable
from pathlib import Path
from threading import Lock

MANIFEST = ".made"


class Output:
    """The files of one compile. What is there stays as it is until `publish`; a kill before that changes nothing.

    `made_before` and `publish` know what an earlier compile made by a manifest, so that a file of the
    maker's own in the same folder is never taken away.
    """

    def __init__(self, out: Path) -> None:
        self.out = out
        self._aside = out / f".making-{os.getpid()}"
        self._aside_of: dict[str, str] = {}
        self._kept: set[str] = set()
        self._lock = Lock()
        self._sizes_before = self._manifest()
        self._before = set(self._sizes_before)
        self._before_by_folder: dict[str, list[str]] = {}
        for file in self._before:
            folder, _, name = file.rpartition("/")
            self._before_by_folder.setdefault(folder, []).append(name)

    def _manifest(self) -> dict[str, int]:
        """The files that an earlier compile made, each with its size; a line that is none of ours is passed over."""
        try:
            lines = (self.out / MANIFEST).read_text("utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return {}
        found = {}
        for line in lines:
            size, _, file = line.partition(" ")
            inside = file.startswith(("books/", "portfolio/")) and not {"", ".", ".."} & set(file.split("/"))
            if size.isascii() and size.isdigit() and inside:
                found[file] = int(size)
        return found

    def write(self, file: str, data: bytes) -> None:
        """Make `file`, a path below the output folder with forward slashes."""
        with self._room_for(file).open("wb") as stream:
            stream.write(data)

    def write_parts(self, file: str, parts: Iterable[str]) -> None:
        """Make `file` from texts as they come, so that a long page is never held whole."""
        with self._room_for(file).open("w", encoding="utf-8", newline="\n") as stream:
            stream.writelines(parts)

    def _room_for(self, file: str) -> Path:
        """Where `file` is made aside: numbered in one folder, which is quicker than a tree of them."""
        with self._lock:
            if not self._aside_of:
                self._aside.mkdir(parents=True, exist_ok=True)
            return self._aside / self._aside_of.setdefault(file, str(len(self._aside_of)))

    def keep(self, file: str) -> None:
        """Let a file of an earlier compile stand."""
        with self._lock:
            self._kept.add(file)

    def made_before(self, folder: str, start: str) -> list[str]:
        """The names in `folder` that start with `start`, if an earlier compile made them and all are there whole."""
        names = [name for name in self._before_by_folder.get(folder, ()) if name.startswith(start)]
        are_whole = all(_size_of(self.out / folder / name) == self._sizes_before[f"{folder}/{name}"] for name in names)
        return names if are_whole else []

    def _made(self) -> set[str]:
        return self._kept.union(self._aside_of)

    def count(self, folder: str, ending: str) -> int:
        """How many files below `folder` with that ending there are now."""
        return sum(file.startswith(f"{folder}/") and file.endswith(ending) for file in self._made())

    def publish(self) -> None:
        """Move everything into place, then take away what an earlier compile made and this one did not."""
        made = {file: _size_of(self._aside / aside) for file, aside in self._aside_of.items()}
        made |= {file: self._sizes_before[file] for file in self._kept}
        for file in made:
            if (self.out / file).is_dir():
                raise IsADirectoryError(21, f"there is a folder where {file} goes")
        # Until all is in place the manifest names old and new, so that a kill here leaves nothing unknown behind.
        self._put_manifest(self._sizes_before | made)
        for folder in {file.rpartition("/")[0] for file in self._aside_of}:
            (self.out / folder).mkdir(parents=True, exist_ok=True)
        for file, aside in sorted(self._aside_of.items()):
            os.replace(f"{self._aside}/{aside}", f"{self.out}/{file}")
        for file in sorted(self._before - made.keys()):
            stale = self.out / file
            if not stale.is_dir():
                stale.unlink(missing_ok=True)
            _remove_empty(stale.parent, self.out)
        self._put_manifest(made)
        self.discard()

    def _put_manifest(self, sizes: dict[str, int]) -> None:
        aside = self._aside / MANIFEST
        aside.write_text("".join(f"{size} {file}\n" for file, size in sorted(sizes.items())), "utf-8")
        os.replace(aside, self.out / MANIFEST)

    def discard(self) -> None:
        """Take away what was made aside, by this compile or by one that was killed; another that runs keeps its own."""
        for aside in self.out.glob(".making-*"):
            if aside == self._aside or not _is_running(aside.name.rpartition("-")[2]):
                shutil.rmtree(aside, ignore_errors=True)


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
    """The size of a file in bytes; -1 when there is none."""
    try:
        return path.stat().st_size
    except OSError:
        return -1


def _remove_empty(folder: Path, top: Path) -> None:
    while folder != top and top in folder.parents:
        try:
            folder.rmdir()
        except OSError:
            return
        folder = folder.parent
