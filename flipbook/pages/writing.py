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
        self._before = self._manifest()
        self._before_by_folder: dict[str, list[str]] = {}
        for file in self._before:
            folder, _, name = file.rpartition("/")
            self._before_by_folder.setdefault(folder, []).append(name)

    def _manifest(self) -> set[str]:
        try:
            lines = (self.out / MANIFEST).read_text("utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return set()
        return {line for line in lines if line and ".." not in line.split("/") and not line.startswith("/")}

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
        """The names in `folder` that an earlier compile made and that start with `start`."""
        return [name for name in self._before_by_folder.get(folder, ()) if name.startswith(start)]

    def _made(self) -> set[str]:
        return self._kept.union(self._aside_of)

    def count(self, folder: str, ending: str) -> int:
        """How many files below `folder` with that ending there are now."""
        return sum(file.startswith(f"{folder}/") and file.endswith(ending) for file in self._made())

    def publish(self) -> None:
        """Move everything into place, then take away what an earlier compile made and this one did not."""
        made = self._made()
        # Until all is in place the manifest names old and new, so that a kill here leaves nothing unknown behind.
        self._put_manifest(made | self._before)
        for folder in {file.rpartition("/")[0] for file in self._aside_of}:
            (self.out / folder).mkdir(parents=True, exist_ok=True)
        for file, aside in sorted(self._aside_of.items()):
            os.replace(f"{self._aside}/{aside}", f"{self.out}/{file}")
        for file in sorted(self._before - made):
            stale = self.out / file
            stale.unlink(missing_ok=True)
            _remove_empty(stale.parent, self.out)
        self._put_manifest(made)
        self.discard()

    def _put_manifest(self, files: set[str]) -> None:
        aside = self._aside / MANIFEST
        aside.write_text("".join(f"{file}\n" for file in sorted(files)), "utf-8")
        os.replace(aside, self.out / MANIFEST)

    def discard(self) -> None:
        """Take away what was made aside, by this compile or by one that was killed."""
        for aside in self.out.glob(".making-*"):
            shutil.rmtree(aside, ignore_errors=True)


def _remove_empty(folder: Path, top: Path) -> None:
    while folder != top and top in folder.parents:
        try:
            folder.rmdir()
        except OSError:
            return
        folder = folder.parent
