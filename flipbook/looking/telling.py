"""Entries as texts, and texts as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.cells import cell_len, chop_cells

from flipbook.looking.entries import BOUGHT, PLANNED, RECEIPT, STEP, Entry, lines_of_receipt, mix_amounts
from flipbook.shop.problems import visible

_LEAST_ROOM = 20


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


# Texts of more than a word or two are set off from their key.
_SET_OFF = frozenset(("alt", "why", "private", "buyer"))


def said_by(entry: Entry, *, amounts: bool = True, private: bool = True) -> list[str]:
    """What an entry says, a text for each line; `amounts` are those of each part of a mix."""
    if entry.kind in (STEP, PLANNED):
        return _work(entry, amounts=amounts, private=private)
    if entry.kind == BOUGHT:
        return _bought(entry)
    if entry.kind == RECEIPT:
        return _receipt(entry)
    lead = next((entry.get(key) for key in ("piece", "said", "caption", "what", "tool") if entry.get(key)), "")
    shown = [lead] if lead else []
    rest = [
        f"{key}: {text}" if key in _SET_OFF else f"{key} {text}"
        for key, text in entry.fields.items()
        if text != lead and key not in ("on", "said", "file", "scan")
    ]
    return [*shown, *(["; ".join(rest)] if rest else [])]


def _work(entry: Entry, *, amounts: bool, private: bool) -> list[str]:
    said = [entry.get("did")]
    if entry.mix is not None:
        said.append(entry.get("mix"))
        parts = mix_amounts(entry.mix) if amounts else []
        if len(parts) > 1:
            said.append("that is " + ", ".join(f"{amount} {what}" for what, amount in parts))
    if entry.get("used"):
        said.append(f"used {entry.get('used')}")
    rest = ("grit", "took", "dries", "like")
    said.append(", ".join(f"{key} {entry.get(key)}" for key in rest if entry.get(key)))
    if private and entry.get("private"):
        said.append(f"private: {entry.get('private')}")
    known = {"on", "did", "mix", "used", "private", "photos", "hide", *rest}
    said += (f"{key}: {text}" for key, text in entry.fields.items() if key not in known)
    return [text for text in said if text]


def _bought(entry: Entry) -> list[str]:
    seller = f", from {entry.get('from')}" if entry.get("from") else ""
    goes_to = f", for {entry.get('for')}" if entry.get("for") else ""
    said = [f"{_line(entry)}{seller}{goes_to}"]
    if entry.get("private"):
        said.append(f"private: {entry.get('private')}")
    return said


def _line(entry: Entry) -> str:
    """What a line of a receipt bought: `brass bin pull, 6 at 6.99 each`."""
    fields = entry.fields
    many = f"{fields['count']} x " if "count" in fields else ""
    size = f", {many}{fields['size']}" if "size" in fields else f", {fields['count']}" if many else ""
    each = f" at {fields['each']} each" if "each" in fields else ""
    back = f", {fields['got back']} back" if "got back" in fields else ""
    cost = f", {fields['cost']}" if "cost" in fields else ""
    container = f" ({fields['container']})" if "container" in fields else ""
    return f"{fields.get('what', 'not said what')}{size}{container}{each}{cost}{back}"


def _receipt(entry: Entry) -> list[str]:
    lines = "; ".join(_line(line) for line in lines_of_receipt(entry))
    rest = (f"{key} {text}" for key, text in entry.fields.items() if key not in ("on", "lines", "scan", "paid with"))
    return [lines, ", ".join(rest)]
