"""Words found again in all that a shop has written down."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import groupby

from flipbook.looking.entries import (
    BOUGHT,
    FILES,
    PIECE,
    PLANNED,
    RECEIPT,
    STEP,
    TEXTS,
    LogEntry,
    called,
    entries_of,
    known_keys,
)
from flipbook.shop.choosing import title_of
from flipbook.shop.composing import At, Scalar, compose
from flipbook.shop.finding import find
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import nearest
from flipbook.shop.problems import Place, Problem, lines_of
from flipbook.shop.records.base import Record
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import ReceiptFile

LINE = "line"
WHOLE = 2
_NAMED_BY = ("piece", "kind", "wood", "built")
# Work comes before what was bought for it, that before words about a piece, and those before the rest. A line of a
# half-typed file is most likely work.
_GROUPS = {
    STEP: 0, PLANNED: 1, LINE: 1, BOUGHT: 2, "product": 2, "opening": 2, "counted": 2,
    **dict.fromkeys(map(called, TEXTS), 3), "photo": 3,
}  # fmt: skip
_LEAST = 4

# Letters that no decomposition turns into a plain one with an accent.
_PLAIN = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe", "⁄": "/", "’": "'", "‘": "'"}
    | dict.fromkeys("-‐‑‒–—−", " ")
)


def _letters(text: str) -> str:
    """`text` with case and accents folded and hyphens as spaces."""
    if text.isascii():
        return text.lower().replace("-", " ")
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in apart if not unicodedata.combining(c)).casefold().translate(_PLAIN)


def fold(text: str) -> str:
    """`text` as words are compared: case, accents, hyphens and spacing folded."""
    return " ".join(_letters(text).split())


class NotAWord(ValueError):
    """Nothing in it can be looked for."""


_NO_LETTER_BEFORE, _NO_LETTER_AFTER = r"(?<![^\W_])", r"(?![^\W_])"


def _is_apart(sign: str) -> bool:
    """Whether words of its script stand apart; a script without capitals may write them without gaps."""
    return sign.isdigit() or sign.upper() != sign


@dataclass(frozen=True)
class Word:
    """A word, or a few that stand together, as it was said. Raises NotAWord when it has no letter and no digit."""

    said: str

    def __post_init__(self) -> None:
        if not self.parts:
            raise NotAWord(self.said)

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """What every text that holds it must hold."""
        return tuple(re.findall(r"[^\W_]+", fold(self.said)))

    @cached_property
    def _start(self) -> re.Pattern[str]:
        return re.compile((_NO_LETTER_BEFORE if _is_apart(fold(self.said)[0]) else "") + re.escape(fold(self.said)))

    @cached_property
    def _whole(self) -> re.Pattern[str]:
        return re.compile(self._start.pattern + (_NO_LETTER_AFTER if _is_apart(fold(self.said)[-1]) else ""))

    def in_(self, folded: str) -> int:
        """How it stands in a folded text: WHOLE as a whole word, 1 as the start of one, 0 not at all."""
        return WHOLE if self._whole.search(folded) else 1 if self._start.search(folded) else 0

    def may_be_in(self, data: bytes) -> bool:
        """Whether the bytes of a file may hold it; one with escapes in it always may."""
        if data.isascii():
            low = data.lower()
            return b"\\" in data or all(part.encode() in low for part in self.parts)
        letters = _letters(data.decode("utf-8", "replace"))
        return "\\" in letters or all(part in letters for part in self.parts)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hit:
    """An entry that holds the words, or that is of a piece that does."""

    entry: LogEntry
    titles: tuple[str, ...]
    """The pieces that it belongs to; nothing for the shop's own."""
    folders: tuple[str, ...]
    kind: str
    held: int
    """How many of the words that do not name its piece stand in the entry itself, whole or as the start of a word."""
    whole: int
    """How many of those as whole words."""
    newest: str
    """The day that it is sorted by: its own, else the last that its piece has."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Matches:
    """What came of a search; without hits, `apart` and `near` say why."""

    hits: list[Hit] = field(default_factory=list)
    unread: list[Problem] = field(default_factory=list)
    """What could not be read of the files that may hold the words."""
    apart: dict[str, int] = field(default_factory=dict)
    """In how many files each word stands by itself."""
    near: dict[str, str] = field(default_factory=dict)
    """For each word that stands nowhere, the nearest that does; nothing where none is near."""


def look_for(words: Sequence[Word], folder: ShopFolder) -> Matches:
    """Every entry of the shop that holds all of `words`, the best first.

    A word may stand in the entry or in what names its piece (title, kind, wood, age, folder). When all words name the
    piece alone, its steps and what is planned are given, in their order. A file that is no plain YAML is searched line
    by line.
    """
    search = _Search(words, folder)
    hits = sorted((hit for file in search.files for hit in search.in_file(*file)), key=_best_first)
    if hits:
        return Matches(hits=hits, unread=search.unread)
    texts = []
    for file, name, _ in search.files:
        data = folder.read(file)
        if isinstance(data, bytes):
            texts.append(_letters(f"{name} {data.decode('utf-8', 'replace')}"))
    apart = {word.said: sum(1 for text in texts if word.in_(" ".join(text.split()))) for word in words}
    missing = [said for said, count in apart.items() if not count]
    known = {token for text in texts for token in re.findall(r"[^\W\d_]{3,}", text)} if missing else set()
    near = {said: _nearest_words(said, known - known_keys()) for said in missing}
    return Matches(unread=search.unread, apart=apart, near=near)


def _nearest_words(said: str, known: set[str]) -> str:
    """`said` with each word of it that is not known written as the nearest that is; nothing when one has none near."""
    written = []
    for part in re.findall(r"[^\W_]+", fold(said)):
        near = part if any(token.startswith(part) for token in known) else nearest(part, known)
        if near is None:
            return ""
        written.append(near)
    return " ".join(written)


def _best_first(hit: Hit) -> tuple[object, ...]:
    """Entries that hold a word, by group, whole words first, the newest; then what a piece's names alone brought up."""
    age = -int(hit.newest.replace("-", "") or 0)
    group = _GROUPS.get(hit.entry.kind, _LEAST)
    place = hit.entry.place
    if hit.held:
        return 0, group, -hit.whole, age, place.file, -place.line
    return 1, age, place.file, group, place.line


class _Search:
    """One search through the files of a shop."""

    def __init__(self, words: Sequence[Word], folder: ShopFolder) -> None:
        self.words = words
        self.folder = folder
        shop = find(folder)
        self.unread = [problem for problem in shop.problems if not problem.warning]
        self.pieces = frozenset(shop.pieces)
        self.files: list[tuple[str, str, type[Record]]] = [
            *((file, "", record) for file, record in FILES.items() if folder.exists(file)),
            *((file, "", ReceiptFile) for file in shop.receipts),
            *((_file_of(name), name, Piece) for name in shop.pieces),
        ]
        """Every file that is searched, with the folder of the piece whose it is, and its record."""
        self._naming: dict[str, Mapping[str, str]] = {}

    def in_file(self, file: str, name: str, record: type[Record]) -> Iterator[Hit]:
        """What a file holds of the words: a piece's with its names all of them, a file of the shop's one of them."""
        data = self.folder.read(file)
        if isinstance(data, Problem):
            self.unread.append(data)
            return
        may_hold = (word.may_be_in(data) or word.in_(fold(name)) for word in self.words)
        if not (all(may_hold) if name else any(may_hold)):
            return
        node = compose(file, data)
        if isinstance(node, Problem):
            self.unread.append(node)
            entries = list(_lines(file, data))
        else:
            entries = entries_of(file, node, record)
        whole = [entry for entry in entries if entry.kind == PIECE]
        entries = [entry for entry in entries if entry.kind != PIECE]
        if whole:
            self._naming[name] = whole[0].fields
        last = max((entry.day for entry in entries), default="") if whole else ""
        told = set()
        for entry in entries:
            folders = (name,) if name else tuple(one for one in entry.goes_to if one in self.pieces)
            hit = self._hit(entry, folders, last)
            if hit is not None:
                told.add(id(entry))
                yield hit
        if whole and all(self._named((name,))):
            work = [entry for entry in entries if entry.kind in (STEP, PLANNED)]
            yield from (self._made(one, (name,), last) for one in work or map(_alone, whole) if id(one) not in told)

    def _hit(self, entry: LogEntry, folders: tuple[str, ...], last: str) -> Hit | None:
        """The entry as a hit, when every word stands in it or in the names of its piece, and one of them in it."""
        text = fold(entry.written_under("private") if entry.kind == RECEIPT else entry.written)
        held = [word.in_(text) for word in self.words]
        if not any(held):
            return None
        both = list(zip(held, self._named(folders), strict=True))
        if not all(one or other for one, other in both):
            return None
        return self._made(entry, folders, last, [one for one, other in both if other < WHOLE])

    def _made(self, entry: LogEntry, folders: tuple[str, ...], last: str, own: Sequence[int] = ()) -> Hit:
        """A hit; what a piece's names alone brought up is sorted by the last day of the piece, in the order of its log."""
        held = sum(1 for one in own if one)
        return Hit(
            entry=entry,
            titles=tuple(self._names(name).get("piece") or name for name in folders),
            folders=folders,
            kind=_kind(entry, self.words),
            held=held,
            whole=sum(1 for one in own if one == WHOLE),
            newest=(entry.day if held or not last else last) or last,
        )

    def _named(self, folders: tuple[str, ...]) -> list[int]:
        """How each word stands in what names the pieces."""
        names = (text for name in folders for text in (name, *map(self._names(name).get, _NAMED_BY)))
        text = fold(" ".join(filter(None, names)))
        return [word.in_(text) for word in self.words]

    def _names(self, name: str) -> Mapping[str, str]:
        """What names a piece, by key; when its file cannot be read, its title at most."""
        if name not in self._naming:
            file = _file_of(name)
            data = self.folder.read(file)
            node = data if isinstance(data, Problem) else compose(file, data)
            entries = [] if isinstance(node, Problem) else entries_of(file, node, Piece)
            self._naming[name] = entries[0].fields if entries else {"piece": title_of(self.folder, name)}
        return self._naming[name]


def _lines(file: str, data: bytes) -> Iterator[LogEntry]:
    """The lines of a file that is no plain YAML."""
    for number, line in enumerate(lines_of(data.decode("utf-8-sig", "replace"))):
        at = At(number, 0)
        text = Scalar(" ".join(line.split()), at, at, True)
        yield LogEntry(kind=LINE, place=Place(file, number + 1), node=text)


def _file_of(name: str) -> str:
    return f"pieces/{name}/piece.yaml"


def _alone(piece: LogEntry) -> LogEntry:
    """A piece that nothing was done on yet, as a text: all that is said of it besides its title."""
    said = "; ".join(text for key, text in piece.fields.items() if key != "piece")
    start = piece.node.start
    return replace(piece, node=Scalar(said or "no more is said of it", start, start, True))


def _kind(entry: LogEntry, words: Sequence[Word]) -> str:
    """What an entry is called: a step with a mix is that mix, and one found by what it used a use."""
    if entry.kind != STEP:
        return entry.kind
    if entry.mix is not None:
        return "mix"
    said, used = (fold(entry.written_under(*keys)) for keys in (("did", "private"), ("used",)))
    is_use = any(word.in_(used) for word in words) and not any(word.in_(said) for word in words)
    return "used" if is_use else STEP


def sentences_with(words: Sequence[Word], text: str) -> str:
    """The sentences of a long text that hold one of the words, with a mark where others are left out."""
    said: list[str] = []
    for holds, sentences in groupby(
        re.split(r"(?<=[.!?])\s+", text), lambda one: any(word.in_(fold(one)) for word in words)
    ):
        said += sentences if holds else ("…",)
    return text if said == ["…"] else " ".join(said)


def counted(hits: Iterable[Hit]) -> Counter[str]:
    """How many hits there are of each kind."""
    return Counter(hit.kind for hit in hits)
