"""What a log's files say, entry by entry, as far as they are plain YAML.

Looking back must not wait for a half-typed line: an entry is taken from the composed tree and not from the records, so
that a value which the books would refuse, or a key of another year, is still found and still compared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from pydantic_core import PydanticCustomError

from flipbook.measures.amounts import Amount, read_amount
from flipbook.measures.dates import read_when
from flipbook.measures.money import read_money, write_money
from flipbook.measures.numerals import read_number, write_number
from flipbook.measures.times import read_time_taken, write_time_taken
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.composing import At, Block, Items, Node, Scalar
from flipbook.shop.fields import Reading
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place
from flipbook.shop.records.base import name_of_key
from flipbook.shop.records.piece import Found, Given, Kept, Own, Photo, Piece, Planned, Scrapped, Step
from flipbook.shop.records.receipts import Counted, Income, Line, OpeningLot, Receipt, ReceiptFile, ReportedForm
from flipbook.shop.records.sale import Asking, Back, Deposit, Offer, Payment, Refund, Sale
from flipbook.shop.records.setup import Product, ProductFile, SharedTrip, Tool, ToolFile, ToolSold, TripFile
from flipbook.shop.records.uses import UseMapping

STEP, PLANNED, BOUGHT, RECEIPT, INCOME, NOTE, STORY, PIECE = (
    "step", "planned", "bought", "receipt", "income", "note", "story", "piece",
)  # fmt: skip
# Keys of a piece whose value is a list of entries, or one, and what one of them is called.
LISTS = {
    "log": STEP, "planned": PLANNED, "bought": BOUGHT, "asking": "asking", "offers": "offer", "deposits": "deposit",
    "trips": "trip", "photos": "photo", "found": "found", "sold": "sold", "kept": "kept", "given": "given",
    "scrapped": "scrapped",
}  # fmt: skip
# Keys of a piece whose value is a text, and what it is called.
WORDS = {"tell": STORY, "flaws": "flaw", "care": "care", "private": NOTE}
# Keys of files of `receipts/`, and of the shop's other files, whose value is a list of entries.
SHOP_LISTS = {
    "receipts": BOUGHT, "counts": "counted", "opening": "opening", "income": INCOME, "forms": "form", "tools": "tool",
    "trips": "trip",
}  # fmt: skip
_MONEY = frozenset((
    "cost", "tax", "price", "amount", "each", "discount", "shipping", "total", "delivery", "sales_tax", "fees",
    "refund", "worth", "got_back", "gross",
))  # fmt: skip
_TIMES = frozenset(("took", "dries"))
# Keys whose values are no words: they would be found where nobody looks for them.
_NO_WORDS = frozenset(("photos", "scan", "hide", "file", "lines"))
# Words that only name a value; searched for, they would be in every entry.
_RECORDS = (
    Piece, Step, Planned, Found, Own, Photo, Asking, Offer, Payment, Deposit, Back, Refund, Sale, Kept, Given, Scrapped,
    Receipt, Line, Counted, OpeningLot, Income, ReportedForm, SharedTrip, Tool, ToolSold, Product, UseMapping,
    ReceiptFile, ToolFile, TripFile, ProductFile,
)  # fmt: skip
KEYS = {"makes", "said"}.union(*(record.keys for record in _RECORDS))


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry of a log; what it says is worked out when it is asked for."""

    kind: str
    place: Place
    node: Node
    """The mapping of the entry, or its text."""
    around: Block | None = None
    """The receipt that a line stands in."""

    @cached_property
    def fields(self) -> Mapping[str, str]:
        """Its keys as a person writes them, each with one text, written one way: 40 and $40.00 are 40.00."""
        if isinstance(self.node, Block):
            return _fields(self.node)
        return {"said": one_text("said", self.node)}

    @cached_property
    def told(self) -> frozenset[tuple[str, str]]:
        """All that it says itself; the lines of a receipt are entries of their own."""
        return frozenset((key, text) for key, text in self.fields.items() if key != "lines")

    @cached_property
    def context(self) -> Mapping[str, str]:
        """What the receipt around a line says of the whole."""
        return {} if self.around is None else {k: v for k, v in _fields(self.around).items() if k != "lines"}

    def get(self, key: str) -> str:
        """The text of a key, of the receipt around it when the line does not say it, or nothing."""
        return self.fields.get(key) or self.context.get(key, "")

    def value(self, key: str) -> Node | None:
        """What stands under a key, as the records name it; None when it is left out or empty."""
        return _value(self.node, key)

    @property
    def written(self) -> str:
        """Every word of it as it stands in the file, with the day and the party of the receipt around it."""
        around = (_value(self.around, key) for key in ("on", "from", "paid_with"))
        return " ".join(_written(node) for node in (self.node, *around) if node is not None)

    def written_under(self, *keys: str) -> str:
        """The words of some of its keys, as the records name them."""
        return " ".join(_written(value) for key in keys if (value := _value(self.node, key)) is not None)

    @property
    def day(self) -> str:
        """Its day as 2026-02-17, or nothing when it has none that can be read."""
        node = _value(self.node, "on") or _value(self.around, "on")
        on = node.text.strip() if isinstance(node, Scalar) else ""
        return on[:10] if _reads(read_when, on) else ""

    @property
    def mix(self) -> Block | None:
        """Its mix, when it has one."""
        node = _value(self.node, "mix")
        return node if isinstance(node, Block) else None

    @property
    def goes_to(self) -> tuple[str, ...]:
        """The folders or kinds that its `for:` names, as written; for a receipt, those of its lines too."""
        own = _names(_value(self.node, "for")) or _names(_value(self.around, "for"))
        lines = _value(self.node, "lines") if self.kind == RECEIPT else None
        inner = (name for line in (_each(lines) if lines else ()) for name in _names(_value(line, "for")))
        return tuple(dict.fromkeys([*own, *inner]))


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceEntries:
    """What a piece.yaml says: the texts that stand alone, by key, and its entries in the order of the file."""

    naming: Mapping[str, str] = field(default_factory=dict)
    """piece, kind, size, wood, built, and any other key whose value stands alone."""
    own: Block | None = None
    """The mapping of those keys alone."""
    line: int = 1
    """The line of the piece's title."""
    entries: tuple[Entry, ...] = ()

    @property
    def title(self) -> str:
        return self.naming.get("piece", "")


def piece_entries(file: str, top: Node | None) -> PieceEntries:
    """The entries of a piece's file; a file that is no mapping has none."""
    naming: dict[str, str] = {}
    entries: list[Entry] = []
    line = 1
    own = Block(top.start if top is not None else At(0, 0))
    for key, node in top.pairs if isinstance(top, Block) else ():
        name = name_of_key(key.text)
        if isinstance(node, Scalar) and node.is_empty:
            continue
        if name in LISTS:
            entries += _entries_of(file, LISTS[name], node)
        elif name in WORDS:
            for one in _each(node):
                at = one.start.line if isinstance(node, Items) else key.start.line
                entries.append(Entry(kind=WORDS[name], place=Place(file, at + 1), node=one))
        else:
            own.pairs.append((key, node))
            naming.setdefault(_spoken(name), one_text(name, node))
            line = key.start.line + 1 if name == "piece" else line
    return PieceEntries(naming=naming, own=own, line=line, entries=tuple(entries))


def shop_entries(file: str, top: Node | None, bare_list: str) -> Iterator[Entry]:
    """The entries of a file of `receipts/`, or of one of the shop's own; a bare list stands under `bare_list`."""
    if isinstance(top, Items):
        yield from _entries_of(file, SHOP_LISTS.get(bare_list, bare_list), top)
    for key, node in top.pairs if isinstance(top, Block) else ():
        name = name_of_key(key.text)
        if name in SHOP_LISTS:
            yield from _entries_of(file, SHOP_LISTS[name], node)
        elif name == "products" and isinstance(node, Block):
            for product, facts in node.pairs:
                named = Block(product.start)
                named.pairs = [(Scalar("what", product.start, product.end, True), product)]
                named.pairs += facts.pairs if isinstance(facts, Block) else []
                yield Entry(kind="product", place=Place(file, product.start.line + 1), node=named)


def _each(node: Node) -> list[Node]:
    """The items of a list, or the one thing that stands in its place; nothing for what is left empty."""
    nodes = node.items if isinstance(node, Items) else [node]
    return [one for one in nodes if not (isinstance(one, Scalar) and one.is_empty)]


def _entries_of(file: str, kind: str, node: Node) -> Iterator[Entry]:
    for one in _each(node):
        place = Place(file, one.start.line + 1)
        lines = _value(one, "lines") if kind == BOUGHT else None
        if lines is None or not isinstance(one, Block):
            yield Entry(kind=kind, place=place, node=_as_block(file, kind, one))
            continue
        receipt = Entry(kind=RECEIPT, place=place, node=one)
        yield from lines_of_receipt(receipt)
        yield receipt


def lines_of_receipt(receipt: Entry) -> Iterator[Entry]:
    """The lines of a receipt that has lines."""
    lines, file = _value(receipt.node, "lines"), receipt.place.file
    around = receipt.node if isinstance(receipt.node, Block) else None
    for line in _each(lines) if lines is not None else ():
        at = Place(file, line.start.line + 1)
        yield Entry(kind=BOUGHT, place=at, node=_as_block(file, BOUGHT, line), around=around)


def _value(node: Node | None, name: str) -> Node | None:
    """The value of a key of a mapping, unless it is left empty."""
    for key, value in node.pairs if isinstance(node, Block) else ():
        if name_of_key(key.text) == name:
            return None if isinstance(value, Scalar) and value.is_empty else value
    return None


def _as_block(file: str, kind: str, node: Node) -> Block:
    """The mapping that an entry is, or stands for."""
    if isinstance(node, Block):
        return node
    block = Block(node.start)
    block.end = node.end
    if isinstance(node, Scalar) and kind == STEP:
        try:
            return Step.from_text(node, Reading(file)) or block
        except PydanticCustomError:
            pass
    name = "what" if kind == BOUGHT else "did" if kind in (STEP, PLANNED) else "said"
    block.pairs.append((Scalar(name, node.start, node.start, True), node))
    return block


def _spoken(name: str) -> str:
    return name.replace("_", " ")


def _fields(block: Block) -> dict[str, str]:
    """The keys of a mapping as a person writes them, each with one text; what stands twice counts once."""
    found: dict[str, str] = {}
    for key, node in block.pairs:
        name = name_of_key(key.text)
        if isinstance(node, Scalar) and node.is_empty:
            continue
        if isinstance(node, Block) and name not in ("mix", "used", "for"):
            for inner, text in _fields(node).items():
                found.setdefault(f"{_spoken(name)} {inner}", text)
        else:
            found.setdefault(_spoken(name), one_text(name, node))
    return found


def one_text(name: str, node: Node) -> str:
    """The value of a key as one text, written one way whichever way the maker wrote it."""
    if isinstance(node, Scalar):
        return _one_way(name, " ".join(node.text.split()))
    if name == "mix" and isinstance(node, Block):
        return mix_text(node)
    if name == "used":
        return "; ".join(use_text(one) for one in _each(node))
    if isinstance(node, Items):
        apart = ", " if name in ("grit", "photos", "scan") else "; "
        return apart.join(one_text(name, one) for one in node.items)
    said = (_spoken(name_of_key(key.text)) if name != "for" else key.text.strip() for key, _ in node.pairs)
    return ", ".join(
        f"{key} {one_text(name_of_key(written.text), value)}"
        for key, (written, value) in zip(said, node.pairs, strict=True)
    )


def _one_way(name: str, text: str) -> str:
    if name in _MONEY:
        return _or_as_written(text, lambda body: write_money(read_money(body, None)))
    if name in _TIMES:
        return _or_as_written(text, lambda body: write_time_taken(read_time_taken(body)))
    if name == "grit":
        return ", ".join(grit.strip().upper() for grit in text.split(","))
    if name == "size":
        return _or_as_written(text, lambda body: str(read_amount(body)))
    return text


def _or_as_written(text: str, way: Callable[[str], str]) -> str:
    try:
        return way(text)
    except Unreadable:
        return text


def _reads(reader: Callable[[str], object], text: str) -> bool:
    try:
        reader(text)
    except Unreadable:
        return False
    return True


def use_text(node: Node) -> str:
    """A use as it is written on one line: `2 each lint-free rag`."""
    if isinstance(node, Block):
        said = {name_of_key(key.text): one_text("use", value) for key, value in node.pairs}
        return " ".join(filter(None, (said.get("amount", ""), said.get("what", ""))))
    return one_text("use", node)


def mix_text(block: Block) -> str:
    """The parts of a mix and how much it makes: `1 part fog grey paint, 2 parts water; makes 12 fl oz`."""
    parts, makes = _parts(block)
    said = ", ".join(f"{_write(number)} {'part' if _at_most_one(number) else 'parts'} {what}" for what, number in parts)
    return f"{said}; makes {makes}" if makes else said


def mix_amounts(block: Block) -> list[tuple[str, Amount]]:
    """How much of each part goes into a mix, water too; nothing where its numbers cannot be read."""
    parts, makes = _parts(block)
    try:
        whole = read_amount(makes)
        numbers = [(what, read_number(number)) for what, number in parts]
    except Unreadable:
        return []
    total = sum((number for _, number in numbers), Fraction(0))
    return [(what, whole.times(number / total)) for what, number in numbers]


def _parts(block: Block) -> tuple[list[tuple[str, str]], str]:
    parts, makes = [], ""
    for key, value in block.pairs:
        if folded(key.text) == "makes":
            makes = one_text("makes", value)
        else:
            parts.append((" ".join(key.text.split()), one_text("part", value)))
    return parts, _or_as_written(makes, lambda body: str(read_amount(body)))


def _write(number: str) -> str:
    return _or_as_written(number, lambda body: write_number(read_number(body)))


def _at_most_one(number: str) -> bool:
    return _reads(read_number, number) and read_number(number) <= 1


def _names(node: Node | None) -> list[str]:
    """The names that the value of `for:` says."""
    if isinstance(node, Scalar):
        return [node.text.strip()]
    return [key.text.strip() for key, _ in node.pairs] if isinstance(node, Block) else []


def _written(node: Node) -> str:
    """Every text below a node, names of products and pieces that stand as keys too; no paths and no lines of a receipt."""
    texts: list[str] = []
    waiting: list[Node] = [node]
    while waiting:
        one = waiting.pop()
        if isinstance(one, Scalar):
            texts.append(one.text)
        elif isinstance(one, Items):
            waiting += reversed(one.items)
        else:
            for key, value in reversed(one.pairs):
                name = name_of_key(key.text)
                if name not in _NO_WORDS:
                    waiting += (value,) if name in KEYS else (value, key)
    return " ".join(texts)
