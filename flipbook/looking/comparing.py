"""What is new, changed and gone between two versions of a log, told as sentences."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

from flipbook.looking.entries import PIECE, PLANNED, RECEIPT, STEP, LogEntry
from flipbook.looking.telling import said_by
from flipbook.measures.unreadable import shown
from flipbook.shop.nearest import folded

NEW, CHANGED, GONE = "new", "changed", "gone"
LABEL, TEXT = 60, 160
# What an entry is known again by after an edit, and how much each counts; a text counts by the words that stayed.
_KNOWN_BY = {
    "did": 3, "what": 3, "said": 3, "file": 3, "to": 3, "tool": 3, "on": 1, "from": 1, "price": 1, "amount": 1,
    "total": 1,
}  # fmt: skip
_ALIKE = 0.5
"""What two entries must have in common, of all that they are known by, to be one that was changed."""
# Pairs that are weighed by how alike they are; more than that is no edit of a log.
_MOST_PAIRS = 2_500
# Of these there may be several with nothing in common, so that the last one left on each side may be quite another.
_BY_WORDS = (STEP, PLANNED, "flaw")
_LEADS = ("did", "what", "to", "file", "said", "from")
_CALLED = {"did": "words", "said": "words"}
T = TypeVar("T", bound=Hashable)
_Pair = tuple[LogEntry, LogEntry]


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One thing that a version brought, as its parts; `says` is the sentence."""

    how: str
    """NEW, CHANGED or GONE."""
    kind: str
    about: str
    """The entry: in a few words where it changed, else with all that it says."""
    key: str | None = None
    """What of the entry changed, as it is written in the file."""
    was: str | None = None
    is_: str | None = None

    @property
    def says(self) -> str:
        """The sentence, without a full stop."""
        if self.how != CHANGED:
            return self.about
        was, now = _where_they_part(self.was or "", self.is_ or "")
        if self.was is None:
            return f"{self.about}: {self.key} {now}, not said before"
        if self.is_ is None:
            return f"{self.about}: {self.key} was {was}, no longer said"
        return f"{self.about}: {self.key} was {was}, now {now}"


def compared(before: Sequence[LogEntry], after: Sequence[LogEntry]) -> list[Change]:
    """What is new, changed and gone from one version's entries to the next.

    A receipt that is new or gone as a whole is told once, with its lines. What was only written another way (40 for
    $40.00, a step on one line for one on five, another order) is nothing.
    """
    # Most entries of a log stay as they are, and versions share them.
    stayed = Counter(map(id, before)) & Counter(map(id, after))
    before, after = _less(before, stayed, id), _less(after, stayed, id)
    matched = {
        kind: _matched(kind, [e for e in before if e.kind == kind], [e for e in after if e.kind == kind])
        for kind in dict.fromkeys(entry.kind for entry in (*after, *before))
    }
    _, *lone = matched.get(RECEIPT, ((), (), ()))
    whole = {(receipt.get("on"), receipt.get("from")) for receipts in lone for receipt in receipts}
    changes: list[Change] = []
    for kind, (pairs, new, gone) in matched.items():
        changes += (change for pair in pairs for change in _changes(*pair))
        changes += (
            Change(how=how, kind=kind, about=_at_length(entry))
            for how, entries in ((NEW, new), (GONE, gone))
            for entry in entries
            if entry.around is None or (entry.get("on"), entry.get("from")) not in whole
        )
    return changes


def _less(entries: Iterable[LogEntry], others: Counter[T], by: Callable[[LogEntry], T]) -> list[LogEntry]:
    """The entries but for those that have their equal among `others`."""
    left = others.copy()
    rest = []
    for entry in entries:
        if left[by(entry)]:
            left[by(entry)] -= 1
        else:
            rest.append(entry)
    return rest


def _matched(
    kind: str, before: list[LogEntry], after: list[LogEntry]
) -> tuple[list[_Pair], list[LogEntry], list[LogEntry]]:
    """The entries of one kind that were changed, each with what it was; then the new ones and those that are gone."""
    same = Counter(entry.told for entry in before) & Counter(entry.told for entry in after)
    gone, new = (_less(side, same, lambda entry: entry.told) for side in (before, after))
    pairs: list[_Pair] = []
    for find in (_known_again, _alike):
        matches = list(find(gone, new))
        gone, new = (_less(side, Counter(id(pair[n]) for pair in matches), id) for n, side in enumerate((gone, new)))
        pairs += matches
    if kind not in _BY_WORDS and len(gone) == len(new) == 1:
        pairs.append((gone.pop(), new.pop()))
    return pairs, new, gone


def _known_again(gone: list[LogEntry], new: list[LogEntry]) -> Iterator[_Pair]:
    """Entries that have all in common by which they are known, in their order."""
    waiting: dict[tuple[str, ...], deque[LogEntry]] = defaultdict(deque)
    for entry in gone:
        waiting[tuple(map(entry.get, _KNOWN_BY))].append(entry)
    for entry in new:
        partners = waiting[tuple(map(entry.get, _KNOWN_BY))]
        if partners:
            yield partners.popleft(), entry


def _alike(gone: list[LogEntry], new: list[LogEntry]) -> Iterator[_Pair]:
    """Entries that were reworded, dated or priced anew: the most alike first."""
    if len(gone) * len(new) > _MOST_PAIRS:
        return
    old_words, new_words = ([_words(entry) for entry in side] for side in (gone, new))
    weighed = [
        (likeness, -i, -j)
        for i, old in enumerate(old_words)
        for j, now in enumerate(new_words)
        if (likeness := _likeness(old, now)) >= _ALIKE
    ]
    taken: set[tuple[str, int]] = set()
    for _, i, j in sorted(weighed, reverse=True):
        if not taken & {("gone", i), ("new", j)}:
            taken |= {("gone", i), ("new", j)}
            yield gone[-i], new[-j]


def _words(entry: LogEntry) -> dict[str, Counter[str]]:
    return {key: Counter(folded(text)[:1000].split()) for key in _KNOWN_BY if (text := entry.get(key))}


def _likeness(old: dict[str, Counter[str]], new: dict[str, Counter[str]]) -> float:
    """What two entries have in common, between 0 and 1: of each text twice the words of both over all (Dice)."""
    alike = 0.0
    for key in old.keys() & new.keys():
        alike += _KNOWN_BY[key] * 2 * (old[key] & new[key]).total() / max((old[key] + new[key]).total(), 1)
    return alike / max(sum(_KNOWN_BY[key] for key in old.keys() | new.keys()), 1)


def _changes(earlier: LogEntry, later: LogEntry) -> Iterator[Change]:
    """One for each key that says something else; what was written anew the same way is none."""
    lead = next((earlier.get(key) for key in _LEADS if earlier.get(key)), "")
    about = _named(earlier) + (f" ({shown(lead, LABEL)})" if lead else "")
    for key in dict.fromkeys((*earlier.fields, *later.fields)):
        was, now = earlier.fields.get(key), later.fields.get(key)
        if was != now and key != "lines":
            called = "title" if later.kind == key == PIECE else _CALLED.get(key, key)
            yield Change(how=CHANGED, kind=later.kind, about=about, key=called, was=was or None, is_=now or None)


def _at_length(entry: LogEntry) -> str:
    """An entry with all that it says."""
    said = shown("; ".join(said_by(entry, amounts=False)), TEXT)
    return f"{_named(entry)}: {said}" if said else _named(entry)


def _named(entry: LogEntry) -> str:
    """An entry as a sentence names it: `step, 2026-02-17`."""
    day = f", {entry.get('on')}" if entry.get("on") else ""
    return "the piece" if entry.kind == PIECE else f"{entry.kind}{day}"


def _where_they_part(old: str, new: str) -> tuple[str, str]:
    """Two texts, of which long ones are shown from shortly before the first word that differs."""
    if max(len(old), len(new)) <= 2 * LABEL:
        return old, new
    texts = [old.split(), new.split()]
    together = enumerate(zip(*texts, strict=False))
    same = next((i for i, (was, now) in together if was != now), min(map(len, texts)))
    start = max(same - 3, 0)
    was, now = (shown("… " * bool(start) + " ".join(words[start:]), 2 * LABEL) for words in texts)
    return was, now
