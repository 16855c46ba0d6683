"""Words found again in all that a shop has written down."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

from flipbook.looking.entries import (
    BOUGHT,
    KEYS,
    PIECE,
    PLANNED,
    RECEIPT,
    STEP,
    WORDS,
    Entry,
    PieceEntries,
    piece_entries,
    shop_entries,
)
from flipbook.shop.choosing import title_of
from flipbook.shop.composing import At, Node, Scalar, compose
from flipbook.shop.finding import find
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import nearest
from flipbook.shop.problems import Place, Problem, lines_of

LINE = "line"
WHOLE = 2
_OWN_FILES = {"products.yaml": "products", "tools.yaml": "tools", "trips.yaml": "trips"}
_NAMED_BY = ("piece", "kind", "wood", "built")
# Work comes before what was bought for it, that before words about a piece, and those before the rest. A line of a
# half-typed file is most likely work.
_GROUPS = {
    STEP: 0, PLANNED: 1, LINE: 1, BOUGHT: 2, "product": 2, "opening": 2, "counted": 2,
    **dict.fromkeys(WORDS.values(), 3), "photo": 3,
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

    entry: Entry
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
class Found:
    """What came of a search; without hits, `apart` and `near` say why."""

    hits: list[Hit] = field(default_factory=list)
    unread: list[Problem] = field(default_factory=list)
    """What could not be read of the files that may hold the words."""
    apart: dict[str, int] = field(default_factory=dict)
    """In how many files each word stands by itself."""
    near: dict[str, str] = field(default_factory=dict)
    """For each word that stands nowhere, the nearest that does; nothing where none is near."""


def look_for(words: Sequence[Word], folder: ShopFolder) -> Found:
    """Every entry of the shop that holds all of `words`, the best first.

    A word may stand in the entry or in what names its piece (title, kind, wood, age, folder). When all words name the
    piece alone, its steps and what is planned are given, in their order. A file that is no plain YAML is searched line
    by line.
    """
    search = _Search(words, folder)
    hits = sorted(search.hits(), key=_best_first)
    if hits:
        return Found(hits=hits, unread=search.unread)
    texts = [(name, _letters(f"{name} {data.decode('utf-8', 'replace')}")) for name, data in search.all_files()]
    apart = {word.said: sum(1 for _, text in texts if word.in_(" ".join(text.split()))) for word in words}
    missing = [word.said for word, count in zip(words, apart.values(), strict=False) if not count]
    known = {token for _, text in texts for token in re.findall(r"[^\W\d_]{3,}", text)} - KEYS if missing else set()
    near = {said: _nearest_words(said, known) for said in missing}
    return Found(unread=search.unread, apart=apart, near=near)


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
        self.unread: list[Problem] = []
        found = find(folder)
        self.unread += (problem for problem in found.problems if not problem.warning)
        self.pieces = found.pieces
        self.shop_files = [*(file for file in _OWN_FILES if folder.exists(file)), *found.receipts]
        self._known: dict[str, PieceEntries] = {}

    def all_files(self) -> Iterator[tuple[str, bytes]]:
        """Every file that is searched, with the folder of the piece whose it is."""
        named = [("", file) for file in self.shop_files] + [(name, _file_of(name)) for name in self.pieces]
        for name, file in named:
            data = self.folder.read(file)
            if isinstance(data, bytes):
                yield name, data

    def hits(self) -> Iterator[Hit]:
        for file in self.shop_files:
            yield from self._in_a_shop_file(file)
        for name in self.pieces:
            yield from self._in_a_piece(name)

    def _read(self, file: str, may_hold: Callable[[bytes], bool]) -> tuple[bytes, Node | Problem | None] | None:
        """The bytes and the tree of a file that may hold the words; what cannot be read is taken down."""
        data = self.folder.read(file)
        if isinstance(data, Problem):
            self.unread.append(data)
            return None
        if not may_hold(data):
            return None
        node = compose(file, data)
        if isinstance(node, Problem):
            self.unread.append(node)
        return data, node

    def _in_a_piece(self, name: str) -> Iterator[Hit]:
        file = _file_of(name)
        in_the_name = [word.in_(fold(name)) for word in self.words]

        def may_hold(data: bytes) -> bool:
            return all(named or word.may_be_in(data) for named, word in zip(in_the_name, self.words, strict=True))

        read = self._read(file, may_hold)
        if read is None:
            return
        data, node = read
        if isinstance(node, Problem):
            yield from self._in_lines(file, data, name)
            return
        piece = piece_entries(file, node)
        self._known[name] = PieceEntries(naming=piece.naming)
        named = [word.in_(_names_of(name, piece)) for word in self.words]
        last = max((entry.day for entry in piece.entries), default="")
        hits = [hit for entry in piece.entries if (hit := self._hit(entry, named, (name,), last))]
        yield from hits
        if all(named):
            told = {id(hit.entry) for hit in hits}
            work = [entry for entry in piece.entries if entry.kind in (STEP, PLANNED)]
            for entry in work or [_whole(file, piece)]:
                if id(entry) not in told:
                    yield self._made(entry, (name,), last)

    def _in_a_shop_file(self, file: str) -> Iterator[Hit]:
        read = self._read(file, lambda data: any(word.may_be_in(data) for word in self.words))
        if read is None:
            return
        data, node = read
        if isinstance(node, Problem):
            yield from self._in_lines(file, data, "")
            return
        for entry in shop_entries(file, node, _OWN_FILES.get(file, "receipts")):
            folders = tuple(name for name in entry.goes_to if name in self._all_pieces)
            hit = self._hit(entry, None, folders, "")
            if hit is not None:
                yield hit

    def _hit(self, entry: Entry, named: list[int] | None, folders: tuple[str, ...], last: str) -> Hit | None:
        """The entry as a hit, when every word stands in it or in the names of its piece, and one of them in it."""
        text = fold(entry.written_under("private") if entry.kind == RECEIPT else entry.written)
        held = [word.in_(text) for word in self.words]
        if not any(held):
            return None
        named = named if named is not None else self._named(folders)
        if not all(one or other for one, other in zip(held, named, strict=True)):
            return None
        own = [one for one, other in zip(held, named, strict=True) if other < WHOLE]
        return self._made(entry, folders, last, own)

    def _made(self, entry: Entry, folders: tuple[str, ...], last: str, own: Sequence[int] = ()) -> Hit:
        """A hit; what a piece's names alone brought up is sorted by the last day of the piece, in the order of its log."""
        held = sum(1 for one in own if one)
        return Hit(
            entry=entry,
            titles=tuple(self._piece(name).title or name for name in folders),
            folders=folders,
            kind=_kind(entry, self.words),
            held=held,
            whole=sum(1 for one in own if one == WHOLE),
            newest=(entry.day if held or not last else last) or last,
        )

    @cached_property
    def _all_pieces(self) -> frozenset[str]:
        return frozenset(self.pieces)

    def _named(self, folders: Iterable[str]) -> list[int]:
        text = " ".join(_names_of(name, self._piece(name)) for name in folders)
        return [word.in_(text) for word in self.words]

    def _piece(self, name: str) -> PieceEntries:
        """What names a piece; when its file cannot be read, its title at most."""
        if name not in self._known:
            file = _file_of(name)
            data = self.folder.read(file)
            node = None if isinstance(data, Problem) else compose(file, data)
            self._known[name] = PieceEntries(
                naming={"piece": title_of(self.folder, name)}
                if node is None or isinstance(node, Problem)
                else piece_entries(file, node).naming
            )
        return self._known[name]

    def _in_lines(self, file: str, data: bytes, name: str) -> Iterator[Hit]:
        """The lines of a file that is no plain YAML."""
        named = self._named((name,)) if name else [0] * len(self.words)
        for number, line in enumerate(lines_of(data.decode("utf-8-sig", "replace")), 1):
            text = " ".join(line.split())
            at = At(number - 1, 0)
            entry = Entry(kind=LINE, place=Place(file, number), node=Scalar(text, at, at, True))
            hit = self._hit(entry, named, (name,) if name else (), "")
            if hit is not None:
                yield hit


def _file_of(name: str) -> str:
    return f"pieces/{name}/piece.yaml"


def _names_of(name: str, piece: PieceEntries) -> str:
    return fold(" ".join([name, *(piece.naming.get(key, "") for key in _NAMED_BY)]))


def _whole(file: str, piece: PieceEntries) -> Entry:
    """A piece that nothing was done on yet, as an entry of its own."""
    at = At(piece.line - 1, 0)
    said = "; ".join(text for key, text in piece.naming.items() if key != "piece")
    return Entry(kind=PIECE, place=Place(file, piece.line), node=Scalar(said or "no more is said of it", at, at, True))


def _kind(entry: Entry, words: Sequence[Word]) -> str:
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
