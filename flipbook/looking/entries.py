"""What a log's files say, entry by entry, by the keys of the records.

Looking back must not wait for a half-typed line: an entry is a record as it was composed, and each of its values is
read by itself, so that a value which the books would refuse, or a key of another year, is still found and compared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, cached_property
from typing import Any, get_args, get_origin, get_type_hints

from pydantic_core import PydanticCustomError

from flipbook.measures.amounts import Amount, read_amount
from flipbook.measures.dates import read_when
from flipbook.measures.money import read_money, write_money
from flipbook.measures.numerals import read_number, write_number
from flipbook.measures.times import read_time_taken, write_time_taken
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.composing import Block, Items, Node, Scalar
from flipbook.shop.fields import Read, Reading
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place
from flipbook.shop.records.base import Record, name_of_key
from flipbook.shop.records.piece import Grits, Piece
from flipbook.shop.records.receipts import ReceiptFile
from flipbook.shop.records.setup import ProductFile, ToolFile, TripFile
from flipbook.shop.records.uses import MixText, UseText
from flipbook.shop.written import AmountText, Left, Minutes, Money

STEP, PLANNED, BOUGHT, RECEIPT, PIECE = "step", "planned", "bought", "receipt", "piece"
FILES: Mapping[str, type[Record]] = {"products.yaml": ProductFile, "tools.yaml": ToolFile, "trips.yaml": TripFile}
"""The shop's own files that are looked through, besides those of `receipts/`."""
# What an entry is called, where it is not by its key without a plural `s`.
_CALLED = {"log": STEP, "receipts": BOUGHT, "counts": "counted", "tell": "story", "private": "note"}
TEXTS = ("tell", "flaws", "care", "private")
"""Keys of a piece whose texts are entries of their own."""
# Keys whose values are no words: they would be found where nobody looks for them.
_NO_WORDS = frozenset(("photos", "scan", "hide", "file", "lines"))


def called(key: str) -> str:
    """What an entry that stands under a key is called: `offer`, `step`."""
    return _CALLED.get(key, key.removesuffix("s"))


@dataclass(frozen=True, slots=True)
class _Kept:
    """What a record keeps under one of its keys."""

    record: type[Record] | None = None
    """The record of the mapping that stands there, or of each of a list."""
    way: Callable[[Node], str] | None = None
    """How its text is written one way, whichever way the maker wrote it."""
    is_named: bool = False
    """Whether the records stand below names of their own."""


@cache
def _kept(record: type[Record]) -> Mapping[str, _Kept]:
    """What stands under each key of a record, by its annotations."""
    types = get_type_hints(record, include_extras=True)
    return {field.alias or name: _kept_as(types[name]) for name, field in record.model_fields.items()}


def _kept_as(of: Any) -> _Kept:
    parts = list(_parts_of(of))
    records = (part for part in parts if isinstance(part, type) and issubclass(part, Record))
    ways = (_WAYS[part] for part in parts if isinstance(part, Read) and part in _WAYS)
    return _Kept(next(records, None), next(ways, None), any(get_origin(part) is dict for part in parts))


def _parts_of(of: Any) -> Iterator[Any]:
    yield of
    for part in get_args(of):
        yield from _parts_of(part)


@cache
def known_keys() -> frozenset[str]:
    """Every key of the files that are looked through: words that only name a value."""
    waiting: list[type[Record]] = [Piece, ReceiptFile, *FILES.values()]
    seen: set[type[Record]] = set()
    while waiting:
        record = waiting.pop()
        seen.add(record)
        inner = (kept.record for kept in _kept(record).values())
        waiting += (one for one in inner if one is not None and one not in seen)
    return frozenset(("makes", "amount", "said")).union(*(record.keys for record in seen))


@dataclass(frozen=True, kw_only=True)
class LogEntry:
    """One entry of a log; what it says is worked out when it is asked for."""

    kind: str
    place: Place
    node: Node
    """The mapping of the entry, or its text."""
    record: type[Record] = Record
    """The record that the mapping stands for; a text stands for none."""
    around: LogEntry | None = None
    """The receipt that a line stands in."""

    @cached_property
    def fields(self) -> Mapping[str, str]:
        """Its keys as a person writes them, each with one text, written one way: 40 and $40.00 are 40.00."""
        if isinstance(self.node, Block):
            return _fields(self.node, self.record)
        return {"said": one_text(self.node)}

    @cached_property
    def told(self) -> frozenset[tuple[str, str]]:
        """All that it says itself; the lines of a receipt are entries of their own."""
        return frozenset((key, text) for key, text in self.fields.items() if key != "lines")

    def get(self, key: str) -> str:
        """The text of a key, of the receipt around it when the line does not say it, or nothing."""
        around = self.around.get(key) if self.around is not None and key != "lines" else ""
        return self.fields.get(key) or around

    def value(self, key: str) -> Node | None:
        """What stands under a key, as the records name it; None when it is left out or empty."""
        for name, value in self.node.pairs if isinstance(self.node, Block) else ():
            if name_of_key(name.text) == key:
                return None if _is_empty(value) else value
        return None

    @property
    def written(self) -> str:
        """Every word of it as it stands in the file, with the day and the party of the receipt around it."""
        around = (self.around.value(key) for key in ("on", "from", "paid_with")) if self.around is not None else ()
        return " ".join(_written(node) for node in (self.node, *around) if node is not None)

    def written_under(self, *keys: str) -> str:
        """The words of some of its keys, as the records name them."""
        return " ".join(_written(value) for key in keys if (value := self.value(key)) is not None)

    @property
    def day(self) -> str:
        """Its day as 2026-02-17, or nothing when it has none that can be read."""
        node = self.value("on") or (self.around.value("on") if self.around is not None else None)
        on = node.text.strip() if isinstance(node, Scalar) else ""
        return on[:10] if _read(read_when, on) is not None else ""

    @property
    def mix(self) -> Block | None:
        """Its mix, when it has one."""
        node = self.value("mix")
        return node if isinstance(node, Block) else None

    @property
    def lines(self) -> list[LogEntry]:
        """The lines of a receipt that has lines."""
        lines, file = self.value("lines"), self.place.file
        record = _kept(self.record)["lines"].record or Record
        return [
            LogEntry(
                kind=BOUGHT, place=_place(file, one), node=_as_block(file, record, one), record=record, around=self
            )
            for one in (_each(lines) if lines is not None else ())
        ]

    @property
    def goes_to(self) -> tuple[str, ...]:
        """The folders or kinds that its `for:` names, as written; for a receipt, those of its lines too."""
        own = _names(self.value("for")) or (_names(self.around.value("for")) if self.around is not None else [])
        inner = [name for line in self.lines for name in _names(line.value("for"))] if self.kind == RECEIPT else []
        return tuple(dict.fromkeys([*own, *inner]))


def entries_of(file: str, top: Node | None, record: type[Record]) -> list[LogEntry]:
    """The entries of a file in its order; of a piece, first the piece itself, with the texts that stand alone.

    A bare list stands for the first key of the file's record; what is neither has no entries.
    """
    if isinstance(top, Items):
        at = Scalar(next(iter(record.keys)), top.start, top.start, True)
        top = _block(top, [(at, top)])
    entries: list[LogEntry] = []
    own: list[tuple[Scalar, Node]] = []
    line = 1
    for key, node in top.pairs if isinstance(top, Block) else ():
        name = name_of_key(key.text)
        kept = _kept(record).get(name, _Kept())
        if _is_empty(node):
            continue
        if kept.is_named and isinstance(node, Block) and kept.record is not None:
            entries += (_named(file, called(name), kept.record, *pair) for pair in node.pairs)
        elif kept.record is not None:
            for one in _each(node):
                entries += _entries(file, called(name), kept.record, one)
        elif record is Piece and name in TEXTS:
            for one in _each(node):
                at_line = one.start.line if isinstance(node, Items) else key.start.line
                entries.append(LogEntry(kind=called(name), place=Place(file, at_line + 1), node=one))
        else:
            own.append((key, node))
            line = key.start.line + 1 if name == "piece" else line
    if record is Piece and top is not None:
        entries.insert(0, LogEntry(kind=PIECE, place=Place(file, line), node=_block(top, own), record=Piece))
    return entries


def _entries(file: str, kind: str, record: type[Record], node: Node) -> Iterator[LogEntry]:
    """What one item of a list is: an entry, or the lines of a receipt and then the receipt."""
    block = _as_block(file, record, node)
    entry = LogEntry(kind=kind, place=_place(file, node), node=block, record=record)
    if kind != BOUGHT or entry.value("lines") is None:
        yield entry
        return
    receipt = replace(entry, kind=RECEIPT)
    yield from receipt.lines
    yield receipt


def _named(file: str, kind: str, record: type[Record], name: Scalar, facts: Node) -> LogEntry:
    """An entry whose name stands before it as a key: a product and its facts."""
    what = (Scalar("what", name.start, name.end, True), name)
    block = _block(name, [what, *(facts.pairs if isinstance(facts, Block) else ())])
    return LogEntry(kind=kind, place=_place(file, name), node=block, record=record)


def _place(file: str, node: Node) -> Place:
    return Place(file, node.start.line + 1)


def _block(at: Node, pairs: list[tuple[Scalar, Node]]) -> Block:
    block = Block(at.start)
    block.end = at.end
    block.pairs = pairs
    return block


def _is_empty(node: Node) -> bool:
    return isinstance(node, Scalar) and node.is_empty


def _each(node: Node) -> list[Node]:
    """The items of a list, or the one thing that stands in its place; nothing for what is left empty."""
    return [one for one in (node.items if isinstance(node, Items) else [node]) if not _is_empty(one)]


def _as_block(file: str, record: type[Record], node: Node) -> Block:
    """The mapping that an entry is, or stands for."""
    if isinstance(node, Block):
        return node
    try:
        said = record.from_text(node, Reading(file)) if isinstance(node, Scalar) else None
    except PydanticCustomError:
        said = None
    name = next((key for key in ("did", "what") if key in record.keys), "said")
    return said or _block(node, [(Scalar(name, node.start, node.start, True), node)])


def _fields(block: Block, record: type[Record]) -> dict[str, str]:
    """The keys of a mapping as a person writes them, each with one text; what stands twice counts once."""
    fields: dict[str, str] = {}
    for key, node in block.pairs:
        name = name_of_key(key.text)
        known = _kept(record).get(name)
        if _is_empty(node):
            continue
        if isinstance(node, Block) and (known is None or known.record is not None):
            inner = known.record if known is not None and known.record is not None else Record
            for under, text in _fields(node, inner).items():
                fields.setdefault(f"{_spoken(name)} {under}", text)
        else:
            fields.setdefault(_spoken(name), one_text(node, known or _Kept()))
    return fields


def _spoken(name: str) -> str:
    return name.replace("_", " ")


_NOT_KNOWN = _Kept()


def one_text(node: Node, kept: _Kept = _NOT_KNOWN) -> str:
    """The value of a key as one text, written one way whichever way the maker wrote it."""
    if isinstance(node, Items):
        apart = "; " if kept.record is not None or kept.way is use_text else ", "
        return apart.join(one_text(one, kept) for one in _each(node))
    if kept.way is not None:
        return kept.way(node)
    if isinstance(node, Scalar):
        return " ".join(node.text.split())
    if kept.record is not None:
        return ", ".join(f"{key} {text}" for key, text in _fields(node, kept.record).items())
    return ", ".join(f"{key.text.strip()} {one_text(value)}" for key, value in node.pairs)


def _read(read: Callable[[str], Any], text: str) -> Any:
    """What a reader makes of a text; None when it refuses it."""
    try:
        return read(text)
    except Unreadable:
        return None


def _written_by(read: Callable[[str], Any], write: Callable[[Any], str]) -> Callable[[Node], str]:
    """A way of writing: what can be read is written anew, anything else as it stands."""

    def way(node: Node) -> str:
        text = one_text(node)
        value = _read(read, text) if isinstance(node, Scalar) else None
        return text if value is None else write(value)

    return way


def use_text(node: Node) -> str:
    """A use as it is written on one line: `2 each lint-free rag`."""
    if isinstance(node, Block):
        said = {name_of_key(key.text): one_text(value) for key, value in node.pairs}
        return " ".join(filter(None, (said.get("amount", ""), said.get("what", ""))))
    return one_text(node)


_number = _written_by(read_number, write_number)
_amount = _written_by(read_amount, str)


def mix_text(node: Node) -> str:
    """The parts of a mix and how much it makes: `3 parts black milk paint, 1 part water; makes 8 fl oz`."""
    if not isinstance(node, Block):
        return one_text(node)
    parts, makes = _parts_and_makes(node)
    said = [f"{_number(number)} {'part' if _at_most_one(number) else 'parts'} {what}" for what, number in parts]
    return ", ".join(said) + (f"; makes {_amount(makes)}" if makes is not None else "")


def mix_amounts(mix: Block) -> dict[str, Amount]:
    """How much of each part goes into a mix, water too; nothing where its numbers cannot be read."""
    parts, makes = _parts_and_makes(mix)
    whole = _read(read_amount, one_text(makes)) if makes is not None else None
    numbers = {what: _read(read_number, one_text(number)) for what, number in parts}
    if whole is None or None in numbers.values():
        return {}
    total = sum(numbers.values(), Fraction(0))
    return {what: whole.times(number / total) for what, number in numbers.items()}


def _parts_and_makes(mix: Block) -> tuple[list[tuple[str, Node]], Node | None]:
    parts = [(" ".join(key.text.split()), value) for key, value in mix.pairs]
    makes = next((value for what, value in reversed(parts) if folded(what) == "makes"), None)
    return [(what, value) for what, value in parts if folded(what) != "makes"], makes


def _at_most_one(node: Node) -> bool:
    number = _read(read_number, one_text(node))
    return number is not None and number <= 1


_MARKED: Mapping[Any, Callable[[Node], str]] = {
    Money: _written_by(lambda text: read_money(text, None), write_money),
    Minutes: _written_by(read_time_taken, write_time_taken),
    AmountText: _amount,
    Left: _amount,
    Grits: _written_by(lambda text: [grit.strip().upper() for grit in text.split(",")], ", ".join),
    UseText: use_text,
    MixText: mix_text,
}
# By the reader of a key's type.
_WAYS = {mark: way for of, way in _MARKED.items() for mark in of.__metadata__}


def _names(node: Node | None) -> list[str]:
    """The names that the value of `for:` says."""
    if isinstance(node, Scalar):
        return [node.text.strip()]
    return [key.text.strip() for key, _ in node.pairs] if isinstance(node, Block) else []


def _written(node: Node) -> str:
    """Every text below a node, names of products and pieces that stand as keys too; no paths and no lines of a receipt."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Items):
        return " ".join(map(_written, node.items))
    texts = []
    for key, value in node.pairs:
        name = name_of_key(key.text)
        if name not in _NO_WORDS:
            texts += [_written(value)] if name in known_keys() else [key.text, _written(value)]
    return " ".join(texts)
