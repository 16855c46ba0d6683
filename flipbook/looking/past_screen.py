"""What was found again, and a piece's history: as lines for the terminal and as plain data for a program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from flipbook.looking.entries import LogEntry, mix_amounts
from flipbook.looking.history import History
from flipbook.looking.telling import said_by, wrapped
from flipbook.looking.words import Hit, Word, sentences_with
from flipbook.measures.unreadable import shown
from flipbook.shop.nearest import folded
from flipbook.shop.problems import visible
from flipbook.shop.records.expenses import SHELF

_WAITING = "Not yet committed"
LONG = 240
"""A text of more characters is shown in part."""
# What more than one of a kind are called, where that is no plain `s`.
_MANY = {"mix": "mixes", "used": "uses", "story": "stories", "sold": "sales", "tool": "tools", "care": "care"} | {
    kind: kind for kind in ("planned", "bought", "asking", "found", "kept", "given", "scrapped", "income", "counted")
}


def number_of(kind: str, number: int) -> str:
    """`3 steps`, `1 mix`, `2 planned`."""
    return f"{number:,} {kind if number == 1 else _MANY.get(kind, kind + 's')}"


def hit_lines(hit: Hit, words: Sequence[Word], width: int) -> Iterator[tuple[str, str]]:
    """A hit, each line with its role: head (its day, what it is and whose), said, and place.

    A mix is written out so that it can be mixed again; of a long text the sentences that hold one of the words are shown.
    """
    titles = ", ".join(hit.titles) or _of_the_shop(hit.entry)
    day = hit.entry.get("on") if hit.entry.day else ""
    for line in wrapped(" ".join(filter(None, (day, f"{hit.kind} ·", titles))), width, "", "  "):
        yield "head", line
    for text in said_by(hit.entry):
        excerpt = sentences_with(words, text) if len(text) > LONG else text
        for line in wrapped(excerpt, width, "  ", "    "):
            yield "said", line
    yield "place", f"  {visible(str(hit.entry.place))}"


def _of_the_shop(entry: LogEntry) -> str:
    names = [name for name in entry.goes_to if folded(name) != SHELF]
    if entry.kind in ("product", "counted", "opening") or (entry.goes_to and not names):
        return "the shelf"
    return f"the shop, {', '.join(names)}" if names else "the shop"


def hit_data(hit: Hit) -> dict[str, object]:
    """A hit for a program: plain words."""
    entry = hit.entry
    around = entry.around.fields if entry.around is not None else {}
    amounts = mix_amounts(entry.mix) if entry.mix is not None else {}
    return {
        "kind": hit.kind,
        "date": entry.day or None,
        "pieces": [{"folder": name, "title": title} for name, title in zip(hit.folders, hit.titles, strict=True)],
        "says": dict(entry.fields),
        "receipt": {key: around[key] for key in ("on", "from", "private") if key in around},
        "mix": {what: str(amount) for what, amount in amounts.items()} or None,
        "file": entry.place.file,
        "line": entry.place.line,
    }


def history_lines(history: History, width: int) -> Iterator[tuple[str, str]]:
    """A piece's history, each line with its role: head, new, changed, gone or note."""
    committed = history.committed
    name = history.title if history.title == history.piece else f"{history.title} ({history.piece})"
    many = "1 commit" if len(committed) == 1 else f"{len(committed):,} commits"
    for line in wrapped(f"{name}: {many} in git.", width):
        yield "head", line
    for version in history.versions:
        yield "", ""
        first = f"{version.date or 'no date'}  {version.short}  " if version.commit else ""
        for line in wrapped(shown(version.subject, 120) if version.commit else _WAITING, width, first, "  "):
            yield "head", line
        for note in version.notes:
            for line in wrapped(f"{note[:1].upper()}{note[1:]}.", width, "  ", "  "):
                yield "note", line
        for told in version.told:
            for line in wrapped(told.says, width, f"  {told.how:7}  ", " " * 11):
                yield told.how, line
    if history.notes:
        yield "", ""
    for note in history.notes:
        for line in wrapped(f"{note[:1].upper()}{note[1:]}.", width):
            yield "note", line
