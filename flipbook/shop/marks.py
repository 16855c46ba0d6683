"""Marks: what tells that a file or folder is as it was, without opening it.

A mark is its size, the times of its last change and its number on the disk. Two changes within one tick of the
disk's clock can leave one mark, so that a file saved so shortly before it was read is told apart by its content.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress

GONE = "-"
"""The mark of what is not there."""

MARGIN = 2_000_000_000
"""Nanoseconds that may pass between two ticks of a disk's clock (FAT's is two seconds), other machines' disks included."""


class Look:
    """What one look at a path saw, before anything was read from it.

    `content` is what was read there when the path `is_young`, that is saved so shortly before that its mark alone does
    not tell: a digest of a file's bytes or the names in a folder. It is None where nothing was read.
    """

    __slots__ = ("content", "is_folder", "is_young", "mark")

    def __init__(self, mark: str, *, is_folder: bool = False, is_young: bool = False) -> None:
        self.mark = mark
        self.is_folder = is_folder
        self.is_young = is_young
        self.content: str | None = None


def look_at(path: str, since: int) -> tuple[Look, os.stat_result | None]:
    """A look at a path, and what the disk says of it, None when nothing is there; young is what was saved after `since`."""
    try:
        found = os.lstat(path)
    except (OSError, ValueError):
        return Look(GONE), None
    there, changed = found, changed_at(found)
    if stat.S_ISLNK(found.st_mode):
        with suppress(OSError, ValueError):
            there = os.stat(path)
            changed = max(changed, changed_at(there))
    return Look(mark(found, path), is_folder=stat.S_ISDIR(there.st_mode), is_young=changed > since), found


def mark_of(path: str) -> str:
    """The mark of what is at a path."""
    try:
        return mark(os.lstat(path), path)
    except (OSError, ValueError):
        return GONE


def mark(found: os.stat_result, path: str) -> str:
    """The mark of what `os.lstat` found at a path; that of a link holds the mark of where it leads."""
    own = f"{found.st_size} {found.st_mtime_ns} {found.st_ctime_ns} {found.st_ino}"
    if not stat.S_ISLNK(found.st_mode):
        return own
    try:
        there = os.stat(path)
    except (OSError, ValueError):
        return f"{own} > {GONE}"
    return f"{own} > {there.st_size} {there.st_mtime_ns} {there.st_ctime_ns} {there.st_ino}"


def changed_at(found: os.stat_result) -> int:
    """When it was last changed, in nanoseconds; a change to its content, name or rights alike."""
    # On Windows st_ctime is the day it was made.
    return max(found.st_mtime_ns, found.st_ctime_ns) if os.name == "nt" else found.st_ctime_ns


def size_in(mark: str) -> int:
    """The size in bytes that a mark holds."""
    return int(mark.partition(" ")[0])
