"""Old versions of a piece's log, and of the receipts that name it, read into entries."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Sequence

from flipbook.looking.entries import LogEntry, entries_of
from flipbook.looking.git import FileChange, Repository
from flipbook.shop.composing import Node, compose
from flipbook.shop.problems import Problem
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import ReceiptFile

MOST_ENTRIES, MOST_DISTINCT = 5_000, 40_000
"""Entries of one version that are compared, and different ones of all versions that are kept."""
UNREAD = "it is left unread"
_TOO_MANY = f"it holds more than {MOST_ENTRIES:,} entries, which is more than is compared"
_NOT_THERE = "it cannot be read: it is over 2 MiB, or not in this clone"

Snapshot = tuple[LogEntry, ...] | str
"""The entries of a version, or why it does not read, as a sentence that goes on after the file's name."""


class Versions:
    """The versions of a repository's blobs, as far as they are wanted and not too many."""

    def __init__(self, repository: Repository, folders: frozenset[str]) -> None:
        self._repository = repository
        self._folders = folders
        self._names = [name.encode("utf-8", "surrogateescape") for name in folders]
        self._pieces: dict[str, Snapshot] = {"": ()}
        self._extracts: dict[str, bytes | None] = {"": b""}
        self._known: dict[object, LogEntry] = {}

    def read_pieces(self, blobs: Iterable[str], most: int) -> None:
        """Read logs, of `most` bytes in all; those that come first are sure to be read."""
        for blob, data in self._contents(blobs, self._pieces, most):
            self._pieces[blob] = _NOT_THERE if data is None else self.piece_of(data)
            if len(self._known) > MOST_DISTINCT:
                break

    def look_through(self, blobs: Iterable[str], most: int) -> None:
        """Take out of files of receipts what names the piece; those that come first are sure to be looked through."""
        for blob, data in self._contents(blobs, self._extracts, most):
            self._extracts[blob] = None if data is None else items_naming(self._names, data)

    def _contents(self, blobs: Iterable[str], known: Container[str], most: int) -> Iterator[tuple[str, bytes | None]]:
        return self._repository.contents([blob for blob in blobs if blob not in known], most)

    def piece(self, blob: str) -> Snapshot:
        """A log that was read; an empty name is no log."""
        return self._pieces.get(blob, UNREAD)

    def receipts(self, blob: str) -> Snapshot:
        """What a file of receipts that was looked through said of the piece."""
        extract = self._extracts.get(blob, b"")
        return _NOT_THERE if extract is None else self._extracted(extract)

    def says_the_same(self, change: FileChange) -> bool:
        """Whether a change to a file of receipts left all that names the piece as it is in one of its parents."""
        after = self._extracts.get(change.after, b"")
        return any(self._extracts.get(blob, b"") == after for blob in change.before)

    def piece_of(self, data: bytes) -> Snapshot:
        """The entries of a log."""
        node = _composed(data)
        if isinstance(node, str):
            return node
        entries = entries_of("", node, Piece)
        return _TOO_MANY if len(entries) > MOST_ENTRIES else self._shared(entries, data)

    def receipts_of(self, data: bytes) -> Snapshot:
        """The entries of a file of receipts that are for the piece."""
        return self._extracted(items_naming(self._names, data))

    def _extracted(self, extract: bytes) -> Snapshot:
        node = _composed(extract)
        if isinstance(node, str):
            return node
        entries = entries_of("", node, ReceiptFile)
        return self._shared((entry for entry in entries if self._folders.intersection(entry.goes_to)), extract)

    def _shared(self, entries: Iterable[LogEntry], data: bytes) -> tuple[LogEntry, ...]:
        """The entries, each as the one already known that is written the same: most of a log stays as it was."""
        text = data.decode("utf-8-sig")

        def written(entry: LogEntry) -> str:
            return text[entry.node.start.index : entry.node.end.index]

        def known(entry: LogEntry) -> LogEntry:
            around = written(entry.around) if entry.around is not None else ""
            return self._known.setdefault((entry.kind, written(entry), around), entry)

        return tuple(map(known, entries))


def _composed(data: bytes) -> Node | str | None:
    """The tree of a version, or why there is none."""
    node = compose("", data)
    if not isinstance(node, Problem):
        return node
    line = f"line {node.place.line}, " if node.place.line else ""
    return f"this version does not read: {line}{node.says}"


def items_naming(names: Sequence[bytes], data: bytes) -> bytes:
    """The entries of a file of receipts in which one of the names stands, each section under its key.

    While they are the same, what is said of the piece is the same; and they are read much sooner than the whole. Where
    a name stands outside of what looks like an entry, it is the whole.
    """
    taken: list[bytes] = []
    for section in re.split(rb"(?m)^(?=[^\s#-])", data):
        dash = re.search(rb"(?m)^( *)-(?=[ \r\n])", section)
        head, *items = re.split(rb"(?m)^(?=%s-[ \r\n])" % dash[1], section) if dash else (section,)
        if any(name in head for name in names):
            return data
        named = [item for item in items if any(name in item for name in names)]
        if named and re.match(rb"[^\s#-]", head):
            taken.append(head.partition(b":")[0] + b":\n")
        taken += named
    return b"".join(taken)
