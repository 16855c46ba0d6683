"""Entries, what was found again and a piece's history as texts, and texts as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.cells import cell_len, chop_cells

from flipbook.looking.entries import BOUGHT, PLANNED, RECEIPT, STEP, LogEntry, mix_amounts
from flipbook.shop.problems import visible

_LEAST_ROOM = 20
# Keys whose texts are of more than a word or two, and are set off from them.
_SET_OFF = ("alt", "why", "private", "buyer")
_LEADS = ("piece", "said", "caption", "what", "tool")
# Keys of a step that are told in this order after its words, its mix and what it used, and keys that are not told.
_AFTER, _UNTOLD = ("grit", "took", "dries", "stage", "like"), ("on", "did", "mix", "used", "private", "photos", "hide")


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> Iterator[str]:
    """`text` on lines of at most `width` cells, broken between words; the lines start with `first`, then `rest`.

    Nothing in it moves the cursor; a word that is wider than a line is broken where the line ends.
    """
    room = max(width - max(cell_len(first), cell_len(rest)), _LEAST_ROOM)
    lead, line = first, ""
    for whole in visible(text).split():
        for word in chop_cells(whole, room) if cell_len(whole) > room else (whole,):
            if line and cell_len(line) + 1 + cell_len(word) > room:
                yield f"{lead}{line}"
                lead, line = rest, word
            else:
                line = f"{line} {word}" if line else word
    yield f"{lead}{line}".rstrip()


def said_by(entry: LogEntry, *, amounts: bool = True, private: bool = True) -> list[str]:
    """What an entry says, a text for each line; `amounts` are those of each part of a mix."""
    more: list[str] = []
    if entry.kind in (STEP, PLANNED):
        said = _work(entry, amounts=amounts)
        more += (f"{key}: {text}" for key, text in entry.fields.items() if key not in (*_AFTER, *_UNTOLD))
    elif entry.kind == BOUGHT:
        seller, purpose = (f", {key} {entry.get(key)}" if entry.get(key) else "" for key in ("from", "for"))
        said = [f"{_line(entry)}{seller}{purpose}"]
    elif entry.kind == RECEIPT:
        return ["; ".join(map(_line, entry.lines)), _others(entry, ", ", "on", "lines", "scan", "paid with")]
    else:
        lead = next((entry.get(key) for key in _LEADS if entry.get(key)), "")
        leads = (key for key, text in entry.fields.items() if text == lead)
        return [text for text in (lead, _others(entry, "; ", "on", "said", "file", "scan", *leads)) if text]
    if private and entry.get("private"):
        said.append(f"private: {entry.get('private')}")
    return [text for text in (*said, *more) if text]


def _others(entry: LogEntry, apart: str, *without: str) -> str:
    """The other keys of an entry, each with its text."""
    told = ((key, text) for key, text in entry.fields.items() if key not in without)
    return apart.join(f"{key}: {text}" if key in _SET_OFF and apart == "; " else f"{key} {text}" for key, text in told)


def _work(entry: LogEntry, *, amounts: bool) -> list[str]:
    said = [entry.get("did"), entry.get("mix")]
    parts = mix_amounts(entry.mix) if entry.mix is not None and amounts else {}
    if len(parts) > 1:
        said.append("that is " + ", ".join(f"{amount} {what}" for what, amount in parts.items()))
    if entry.get("used"):
        said.append(f"used {entry.get('used')}")
    said.append(", ".join(f"{key} {entry.get(key)}" for key in _AFTER if entry.get(key)))
    return said


def _line(entry: LogEntry) -> str:
    """What a line of a receipt bought: `flat fibre rush, 3 at 11.25 each`."""
    fields = entry.fields
    many = f"{fields['count']} x " if "count" in fields else ""
    size = f", {many}{fields['size']}" if "size" in fields else f", {fields['count']}" if many else ""
    each = f" at {fields['each']} each" if "each" in fields else ""
    back = f", {fields['got back']} back" if "got back" in fields else ""
    cost = f", {fields['cost']}" if "cost" in fields else ""
    container = f" ({fields['container']})" if "container" in fields else ""
    return f"{fields.get('what', 'not said what')}{size}{container}{each}{cost}{back}"
