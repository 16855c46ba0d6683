"""Versions of a piece's log and of the receipts that name it, read into entries and held against one another."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from flipbook.looking.comparing import Told, compared
from flipbook.looking.entries import PIECE, Entry, piece_entries, shop_entries
from flipbook.looking.git import Change, Repository
from flipbook.shop.composing import MOST_BYTES, Node, compose
from flipbook.shop.problems import Place, Problem
from flipbook.shop.records.receipts import ReceiptFile

MOST_READ = 8 * 1024 * 1024
"""Bytes of earlier versions that are read, the newest first; a log of years comes to a tenth of it."""
MOST_ENTRIES, MOST_DISTINCT = 5_000, 40_000
"""Entries of one version that are compared, and different ones of all versions that are kept."""
MOST_TOLD = 300
"""Sentences that are told of one version."""
MOST_LOOKED_THROUGH = 256 * 1024 * 1024
"""Bytes of earlier receipts that are looked through for the piece's name."""

UNREAD = "it is left unread"
_TOO_MANY = f"it holds more than {MOST_ENTRIES:,} entries, which is more than is compared"
_NOT_THERE = "it cannot be read: it is over 2 MiB, or not in this clone"
THERE_ALREADY = "nothing older can be read, so all of this may have stood there already"

Snapshot = tuple[Entry, ...] | str
"""The entries of a version, or why it does not read, as a sentence that goes on after the file's name."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """What one commit, or what is not yet committed, did to one file."""

    name: str
    """What the file is called in a sentence, and known by from version to version."""
    before: tuple[Snapshot, ...]
    """One for each parent."""
    after: Snapshot


@dataclass(kw_only=True, slots=True)
class Brought:
    """What a version brought."""

    told: list[Told] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


class Comparison:
    """Holds versions against one another, the oldest first, and remembers the last that could be read."""

    def __init__(self) -> None:
        self.last: dict[str, tuple[Entry, ...]] = {}

    def brought(self, sources: Sequence[Source]) -> Brought:
        """What is new against every parent; a version that does not read is said to be so, and passed over."""
        came = Brought()
        parents = max((len(source.before) for source in sources), default=0)
        befores: list[list[Entry]] = [[] for _ in range(parents)]
        after: list[Entry] = []
        for source in sources:
            if isinstance(source.after, str):
                came.notes.append(f"{source.name}: {source.after}")
                continue
            for before, snapshot in zip(befores, source.before, strict=False):
                before.extend(self._readable(source.name, snapshot, came))
            after += source.after
            self.last[source.name] = source.after
        for number, before in enumerate(befores):
            told = compared(before, after)
            others = set(told)
            came.told = [one for one in came.told if one in others] if number else told
        if len(came.told) > MOST_TOLD:
            came.notes.append(f"of what came, {MOST_TOLD} of {len(came.told):,} are told")
            came.told = came.told[:MOST_TOLD]
        return came

    def _readable(self, name: str, snapshot: Snapshot, came: Brought) -> tuple[Entry, ...]:
        """A parent's version, or where it does not read the last one before it that does."""
        if not isinstance(snapshot, str):
            return snapshot
        if name not in self.last and THERE_ALREADY not in came.notes:
            came.notes.append(THERE_ALREADY)
        return self.last.get(name, ())


class Versions:
    """The versions of a repository's blobs, as far as they are wanted and not too many."""

    def __init__(self, repository: Repository, folders: frozenset[str]) -> None:
        self._repository = repository
        self._folders = folders
        self._names = [name.encode("utf-8", "surrogateescape") for name in folders]
        self._pieces: dict[str, Snapshot] = {"": ()}
        self._extracts: dict[str, bytes | None] = {"": b""}
        self._known: dict[object, Entry] = {}

    def read_pieces(self, blobs: Iterable[str]) -> None:
        """Read logs; those that come first are sure to be read."""
        for blob, data in self._contents(blobs, self._pieces, MOST_READ):
            self._pieces[blob] = _NOT_THERE if data is None else self.piece_of(data)
            if len(self._known) > 2 * MOST_DISTINCT:  # each is known by its text and by what it says
                break

    def look_through(self, blobs: Iterable[str]) -> None:
        """Take out of files of receipts what names the piece; those that come first are sure to be looked through."""
        for blob, data in self._contents(blobs, self._extracts, MOST_LOOKED_THROUGH):
            self._extracts[blob] = None if data is None else items_naming(self._names, data)

    def _contents(self, blobs: Iterable[str], known: Container[str], most: int) -> Iterator[tuple[str, bytes | None]]:
        wanted = [blob for blob in dict.fromkeys(blobs) if blob not in known]
        for blob, data in self._repository.contents(wanted, MOST_BYTES):
            most -= len(data or b"")
            if most < 0:
                return
            yield blob, data

    def piece(self, blob: str) -> Snapshot:
        """A log that was read; an empty name is no log."""
        return self._pieces.get(blob, UNREAD)

    def receipts(self, blob: str) -> Snapshot:
        """What a file of receipts that was looked through said of the piece."""
        extract = self._extracts.get(blob, b"")
        return _NOT_THERE if extract is None else self._extracted(extract)

    def says_the_same(self, change: Change) -> bool:
        """Whether a change to a file of receipts left all that names the piece as it is in one of its parents."""
        after = self._extracts.get(change.after, b"")
        return any(self._extracts.get(blob, b"") == after for blob in change.before)

    def piece_of(self, data: bytes) -> Snapshot:
        """The entries of a log, its title and other single texts as one of them."""
        node = _composed(data)
        if isinstance(node, str):
            return node
        piece = piece_entries("", node)
        if len(piece.entries) > MOST_ENTRIES:
            return _TOO_MANY
        own = () if piece.own is None else self._same((Entry(kind=PIECE, place=Place(""), node=piece.own),))
        return own + self._same(piece.entries, data.decode("utf-8-sig"))

    def receipts_of(self, data: bytes) -> Snapshot:
        """The entries of a file of receipts that are for the piece."""
        return self._extracted(items_naming(self._names, data))

    def _extracted(self, extract: bytes) -> Snapshot:
        node = _composed(extract)
        if isinstance(node, str):
            return node
        entries = shop_entries("", node, "receipts")
        return self._same(entry for entry in entries if self._folders.intersection(entry.goes_to))

    def _same(self, entries: Iterable[Entry], text: str = "") -> tuple[Entry, ...]:
        """The entries, each as the one already known that says the same: most of a log is the same in every version.

        What stands in `text`, their file, in the same characters says the same, and need not be looked at.
        """
        same: list[Entry] = []
        for entry in entries:
            start, end = entry.node.start, entry.node.end
            written = (entry.kind, text[start.index : end.index]) if text and entry.around is None else None
            known = self._known.get(written) if written else None
            if known is None:
                says = (entry.kind, entry.told, entry.get("on"), entry.get("from"), entry.goes_to)
                known = self._known.setdefault(says, entry)
                if written:
                    self._known[written] = known
            same.append(known)
        return tuple(same)


_SECTIONS = [f"\n{key}:".encode() for key in ReceiptFile.keys.values()]
_DASH = re.compile(rb"\n *-(?=[ \r\n])")
_LINE = re.compile(rb"( *)([^\r\n]?)[^\n]*\n?")


def items_naming(names: Sequence[bytes], data: bytes) -> bytes:
    """The entries of a file of receipts in which one of the names stands, each section under its key.

    While they are the same, what is said of the piece is the same; and they are read much sooner than the whole.
    """
    data = b"\n" + data
    found = sorted(at for name in names for at in _every(name, data))
    if not found:
        return b""
    sections = [(0, b""), *sorted((at, key) for key in _SECTIONS if (at := data.find(key)) >= 0)]
    taken: list[bytes] = []
    own, end = b"", 0
    for at in found:
        if at < end:
            continue
        place, key = next(section for section in reversed(sections) if section[0] <= at)
        dash = _DASH.search(data, place)
        start = data.rfind(dash[0], place, data.find(b"\n", at)) if dash else -1
        if dash is None or start < 0:
            return data[1:]
        if key != own:
            own = key
            taken.append(key)
        end = _end_of_item(data, start + 1, len(dash[0]) - 2)
        taken.append(data[start:end].rstrip(b"\n"))
    return b"".join(taken)[1:] + b"\n"


def _every(name: bytes, data: bytes) -> Iterator[int]:
    at = data.find(name)
    while at >= 0:
        yield at
        at = data.find(name, at + 1)


def _end_of_item(data: bytes, start: int, indent: int) -> int:
    at = data.find(b"\n", start) + 1
    while 0 < at < len(data):
        found = _LINE.match(data, at)
        assert found is not None
        if found[2] not in (b"", b"#") and len(found[1]) <= indent:
            return at
        at = found.end()
    return len(data)


def _composed(data: bytes) -> Node | str | None:
    """The tree of a version, or why there is none."""
    node = compose("", data)
    if not isinstance(node, Problem):
        return node
    line = f"line {node.place.line}, " if node.place.line else ""
    return f"this version does not read: {line}{node.says}"


def blobs_of(changes: Iterable[Change]) -> Iterator[str]:
    """Every blob of some changes, in their order."""
    for change in changes:
        yield from (blob for blob in (change.after, *change.before) if blob)
