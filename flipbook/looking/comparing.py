"""What is new, changed and gone between two versions of a log, told as sentences."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from flipbook.looking.entries import BOUGHT, PIECE, PLANNED, RECEIPT, STEP, Entry
from flipbook.looking.telling import said_by
from flipbook.measures.unreadable import shown
from flipbook.shop.nearest import folded

NEW, CHANGED, GONE = "new", "changed", "gone"
LABEL, TEXT = 60, 160
# Pairs that are weighed by how alike their words are; more than that is no edit of a log.
_MOST_PAIRS = 2_500
_ALIKE = 0.6
_SAME_DAY = 0.2

# By what an entry is known again after an edit, the surest first: the first that finds a partner on both sides pairs them.
_KNOWN_BY: dict[str, tuple[tuple[str, ...], ...]] = {
    STEP: (("on", "did"), ("did",)),
    PLANNED: (("did",),),
    BOUGHT: (("what", "on", "from"), ("what", "from"), ("what", "on"), ("what",)),
    RECEIPT: (("on", "from"), ("from", "total"), ("on",)),
    "income": (("what", "on"), ("what",), ("on",)),
    "asking": (("on",), ("price",)),
    "offer": (("on", "from"), ("from", "price"), ("on",)),
    "deposit": (("on", "from"), ("on",), ("amount",)),
    "trip": (("on", "to"), ("to",), ("on",)),
    "photo": (("file",),),
    "sold": (("on",), ("price",)),
}
_CALLED = {"did": "words", "said": "words"}
# Entries that are told apart by their words alone, and of which there may be several.
_BY_WORDS = (STEP, PLANNED, "flaw")


@dataclass(frozen=True, kw_only=True, slots=True)
class Told:
    """One thing that a version brought, as its parts; `says` is the sentence."""

    how: str
    """NEW, CHANGED or GONE."""
    kind: str
    about: str
    """The entry, in a few words."""
    key: str = ""
    """What of the entry changed, as it is written in the file."""
    old: str = ""
    new: str = ""

    @property
    def says(self) -> str:
        """The sentence, without a full stop."""
        if self.how != CHANGED:
            return self.about
        old, new = _where_they_part(self.old, self.new)
        if not self.old:
            return f"{self.about}: {self.key} {new}, not said before"
        if not self.new:
            return f"{self.about}: {self.key} was {old}, no longer said"
        return f"{self.about}: {self.key} was {old}, now {new}"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Matched:
    """The entries of one kind: those known again, each with what it was, and the others."""

    pairs: list[tuple[Entry, Entry]]
    new: list[Entry]
    gone: list[Entry]


def compared(before: Sequence[Entry], after: Sequence[Entry]) -> list[Told]:
    """What is new, changed and gone from one version's entries to the next.

    A receipt that is new or gone as a whole is told once, with its lines. What was only written another way (40 for
    $40.00, a step on one line for one on five, another order) is nothing.
    """
    # Most entries of a log stay as they are, and versions share them.
    stayed = Counter(map(id, before)) & Counter(map(id, after))
    before, after = _without(before, stayed), _without(after, stayed)
    kinds = dict.fromkeys(entry.kind for entry in (*after, *before))
    matched = {
        kind: _matched(kind, [e for e in before if e.kind == kind], [e for e in after if e.kind == kind])
        for kind in kinds
    }
    receipts = matched.get(RECEIPT)
    whole = {_receipt_of(e) for e in (*receipts.new, *receipts.gone)} if receipts else set()
    told: list[Told] = []
    for kind, found in matched.items():
        told += (each for earlier, later in found.pairs for each in _changes(earlier, later))
        for how, entries in ((NEW, found.new), (GONE, found.gone)):
            told += (
                Told(how=how, kind=kind, about=_at_length(entry))
                for entry in entries
                if entry.around is None or _receipt_of(entry) not in whole
            )
    return told


def _without(entries: Sequence[Entry], stayed: Counter[int]) -> list[Entry]:
    left = stayed.copy()
    others = []
    for entry in entries:
        if left[id(entry)]:
            left[id(entry)] -= 1
        else:
            others.append(entry)
    return others


def _receipt_of(entry: Entry) -> tuple[str, str]:
    return entry.get("on"), entry.get("from")


def _matched(kind: str, before: list[Entry], after: list[Entry]) -> _Matched:
    same = Counter(entry.told for entry in before) & Counter(entry.told for entry in after)
    old, new = _less(before, same), _less(after, same)
    pairs: list[tuple[Entry, Entry]] = []
    for keys in _KNOWN_BY.get(kind, (("said",),)):
        _pair_by(keys, old, new, pairs)
    if kind in _BY_WORDS:
        _pair_alike(old, new, pairs)
    elif len(old) == len(new) == 1:
        pairs.append((old.pop(), new.pop()))
    return _Matched(pairs=pairs, new=new, gone=old)


def _less(entries: Iterable[Entry], same: Counter[frozenset[tuple[str, str]]]) -> list[Entry]:
    """The entries but for those that have their equal on the other side."""
    left = same.copy()
    others = []
    for entry in entries:
        if left[entry.told]:
            left[entry.told] -= 1
        else:
            others.append(entry)
    return others


def _pair_by(keys: tuple[str, ...], old: list[Entry], new: list[Entry], pairs: list[tuple[Entry, Entry]]) -> None:
    """Pair the entries that say the same under `keys`, in their order; one that leaves a key out is no partner."""
    waiting: dict[tuple[str, ...], deque[Entry]] = defaultdict(deque)
    for entry in old:
        waiting[_says(entry, keys)].append(entry)
    found = [(waiting[said].popleft(), entry) for entry in new if all(said := _says(entry, keys)) and waiting.get(said)]
    _take_out(old, (earlier for earlier, _ in found))
    _take_out(new, (later for _, later in found))
    pairs += found


def _says(entry: Entry, keys: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(folded(entry.get(key)) for key in keys)


def _pair_alike(old: list[Entry], new: list[Entry], pairs: list[tuple[Entry, Entry]]) -> None:
    """Pair entries that were reworded: the most alike first, and those of one day sooner than others."""
    if len(old) * len(new) > _MOST_PAIRS:
        return
    likeness = []
    words = [_words(entry) for entry in new]
    for i, earlier in enumerate(old):
        said = _words(earlier)
        for j, later in enumerate(new):
            # Twice the words that both have, over all words (Dice's coefficient): the order may change in a rewording.
            alike = 2 * (said & words[j]).total() / max((said + words[j]).total(), 1)
            bonus = _SAME_DAY if earlier.day and earlier.day == later.day else 0
            likeness.append((alike + bonus, -i, -j))
    found: list[tuple[Entry, Entry]] = []
    taken: set[tuple[str, int]] = set()
    for score, i, j in sorted(likeness, reverse=True):
        if score >= _ALIKE and not taken & {("old", i), ("new", j)}:
            taken |= {("old", i), ("new", j)}
            found.append((old[-i], new[-j]))
    _take_out(old, (earlier for earlier, _ in found))
    _take_out(new, (later for _, later in found))
    pairs += found


def _words(entry: Entry) -> Counter[str]:
    return Counter(folded(entry.get("did") or entry.get("said"))[:1000].split())


def _take_out(entries: list[Entry], gone: Iterable[Entry]) -> None:
    marks = {id(entry) for entry in gone}
    entries[:] = [entry for entry in entries if id(entry) not in marks]


def _changes(earlier: Entry, later: Entry) -> Iterator[Told]:
    """A sentence for each key that says something else; what was written anew the same way is none."""
    about = _in_short(earlier)
    for key in dict.fromkeys((*earlier.fields, *later.fields)):
        old, new = earlier.fields.get(key, ""), later.fields.get(key, "")
        if old != new and key != "lines":
            called = "title" if later.kind == key == PIECE else _CALLED.get(key, key)
            yield Told(how=CHANGED, kind=later.kind, about=about, key=called, old=old, new=new)


def _in_short(entry: Entry) -> str:
    """An entry as a sentence names it: `step of 2026-02-17 (first wash coat, …)`."""
    lead = next((entry.get(key) for key in ("did", "what", "to", "file", "said", "from") if entry.get(key)), "")
    return _named(entry) + (f" ({shown(lead, LABEL)})" if lead else "")


def _at_length(entry: Entry) -> str:
    """An entry with all that it says."""
    said = shown("; ".join(said_by(entry, amounts=False)), TEXT)
    return f"{_named(entry)}: {said}" if said else _named(entry)


def _named(entry: Entry) -> str:
    day = f", {entry.get('on')}" if entry.get("on") else ""
    return "the piece" if entry.kind == PIECE else f"{entry.kind}{day}"


def _where_they_part(old: str, new: str) -> tuple[str, str]:
    """Two texts, of which long ones are shown from shortly before the first word that differs."""
    if max(len(old), len(new)) <= 2 * LABEL:
        return old, new
    before, after = old.split(), new.split()
    together = zip(before, after, strict=False)
    same = next((i for i, (a, b) in enumerate(together) if a != b), min(len(before), len(after)))
    return _from_word(before, same - 3), _from_word(after, same - 3)


def _from_word(words: list[str], start: int) -> str:
    said = " ".join(words[max(start, 0) :])
    return shown(f"… {said}" if start > 0 else said, 2 * LABEL)
