"""Logs in any hand: a writer of valid but wilful YAML, hostile entries, and a reader that is not ours.

The writer knows nothing of the editor: it puts down keys, lists and texts in block or flow style, at any width, with
comments and blank lines anywhere, in any kind of quotes, with any line ends.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from hypothesis import strategies as st
from ruamel.yaml import YAML

from flipbook.shop.editing import Entry

FILE = "pieces/oak-stool/piece.yaml"
KEYS = (
    "piece",
    "kind",
    "tell",
    "flaws",
    "found",
    "bought",
    "log",
    "planned",
    "trips",
    "asking",
    "offers",
    "sold",
    "kept",
)
"""The order of a piece's keys, as far as these logs have them."""

LISTS = ("flaws", "bought", "log", "planned", "trips", "asking", "offers", "sold")
_ABSENT, _EMPTY, _TOKEN, _BLOCK, _FLOW, _ONE_BLOCK, _ONE_FLOW, _ONE_TEXT = (
    "absent", "empty", "a token", "a block list", "a flow list", "one in block style", "one in braces", "one text"
)  # fmt: skip
_BARE = ["2026-02-14", "40.00", "yes", "washed with dish soap", "oak", "a#b", "it's", 'a "b" c', "x - y", "-5", "é 🪑"]
_BARE_IN_BLOCK = [*_BARE, "1:15", "a, b", "what? yes", "{} no"[3:], "x [y]", "a:b"]
_QUOTED = ['"a: b # c"', "'it''s {odd}'", '"\\u2028 \\" \\\\ \\t"', "'~'", '""', '"- x"', "'a, b'", '"2026-02-14"']
_COMMENTS = ["#", "# - a", "#  - {on: 2026-01-01}", "# it's [ not", "#\tx: y", "# é 🪑 ]", "#log:", '# "']
_SPELLINGS = {"sales tax": ["sales tax", "sales-tax", "sales_tax", "'sales tax'", '"sales-tax"'], "on": ["on", '"on"']}
_TOKENS = ["~", "null", "[]", "{}", "[ ]", "Null", '""', "''"]


def read_by_another(data: bytes) -> Any:
    """What a file says to the pure Python reader of ruamel.yaml, every scalar as its text."""
    return YAML(typ="base", pure=True).load(data.decode("utf-8-sig"))


def said(entry: Entry) -> Any:
    """An entry as that reader would have it."""
    if isinstance(entry, str):
        return entry
    if isinstance(entry, Mapping):
        return {key: said(value) for key, value in entry.items()}
    return [said(value) for value in entry]


@dataclass(frozen=True)
class Log:
    """A file, and how each list key of it was written; `top` is block, flow, list or empty."""

    data: bytes
    top: str
    kinds: dict[str, str] = field(default_factory=dict)

    @property
    def text(self) -> str:
        return self.data.decode("utf-8-sig")


class _Hand:
    """Somebody who writes, with a mood for each line."""

    def __init__(self, draw: Callable[[Any], Any]) -> None:
        self.draw = draw

    def number(self, least: int, most: int) -> int:
        return int(self.draw(st.integers(least, most)))

    def sometimes(self, one_in: int) -> bool:
        return self.number(1, one_in) == one_in

    def pick(self, choices: Any) -> Any:
        return choices[self.number(0, len(choices) - 1)]

    def key(self, name: str) -> str:
        return str(self.pick(_SPELLINGS.get(name, [name])) if self.sometimes(2) else name)

    def trailing(self) -> str:
        """Spaces or a comment at the end of a line."""
        return self.pick(["  ", " # x", "   " + self.pick(_COMMENTS)]) if self.sometimes(5) else ""

    def between(self, column: int) -> list[str]:
        """Blank lines and comments between two entries at `column`."""
        lines = []
        while self.sometimes(4):
            lines.append(
                self.pick(["", "  ", *[" " * self.number(0, column) + self.pick(_COMMENTS) for _ in range(2)]])
            )
        return lines

    def text(self, column: int) -> list[str]:
        """A text in any style, the first line to stand behind a key or dash of `column`."""
        deeper = " " * (column + self.number(1, 4))
        style = self.number(0, 9)
        if style <= 4:
            return [self.pick(_BARE_IN_BLOCK) + self.trailing()]
        if style <= 6:
            return [self.pick(_QUOTED) + self.trailing()]
        if style == 7:
            return ["some words", *([""] if self.sometimes(3) else []), deeper + "and more" + self.trailing()]
        if style == 8:
            quote = self.pick(["'", '"'])
            return [
                f"{quote}some: words",
                *([""] if self.sometimes(3) else []),
                f"{deeper}# and more{quote}" + self.trailing(),
            ]
        header = self.pick("|>") + self.pick(["", "-", "+"]) + self.pick(["", " # x"])
        words = [
            deeper + "first line",
            *self.pick([[], [""], [deeper + "  - second: line"], [deeper + "# no comment"]]),
        ]
        return [header, *words, *([deeper + "last"] if self.sometimes(2) else []), *[""] * self.pick([0, 0, 1, 2])]

    def flow_text(self) -> str:
        return str(self.pick(_BARE) if self.sometimes(2) else self.pick(_QUOTED))

    def flow(self, column: int, entries: list[str], brackets: str) -> list[str]:
        """Entries in brackets or braces, on one line or several, the first to stand behind a key of `column`."""
        opening, closing = brackets
        if not self.sometimes(3) or not entries:
            return [self.on_one_line(entries, brackets)]
        deeper = " " * (column + self.number(1, 4))
        lines = [opening + self.pick(["", " # x"])]
        for number, entry in enumerate(entries):
            is_last = number == len(entries) - 1
            comma = self.pick(["", ","]) if is_last else ","
            lines.append(deeper + entry + comma + self.pick(["", "", "  # of it"]))
            if self.sometimes(6):
                lines.append(self.pick(["", deeper + "# between"]))
        if self.sometimes(3) and "#" not in lines[-1] and lines[-1].strip():
            return [*lines[:-1], lines[-1] + closing]
        return [*lines, " " * self.number(column, column + 3) + closing]

    def on_one_line(self, entries: list[str], brackets: str) -> str:
        pad = self.pick(["", "", " "])
        last = self.pick(["", "", "", ",", " , "]) if entries else ""
        return brackets[0] + pad + self.pick([", ", ", ", ",  ", " , "]).join(entries) + last + pad + brackets[1]

    def flow_mapping(self) -> str:
        pairs = [f"{self.key(k)}: {self.flow_text()}" for k in ["on", "price", "sales tax"][: self.number(1, 3)]]
        return self.on_one_line(pairs, "{}")

    def flow_entry(self) -> str:
        return self.flow_mapping() if self.sometimes(2) else self.flow_text()

    def mapping(self, column: int, depth: int) -> list[str]:
        """A mapping in block style."""
        lines: list[str] = []
        for name in ["on", "did", "sales tax", "used", "mix"][self.number(0, 1) : self.number(2, 5)]:
            lines += self.between(column) if lines else []
            lines += self.pair(self.key(name), column, self.number(0, 5) if depth else 0, depth)
        return lines

    def pair(self, key: str, column: int, kind: int, depth: int) -> list[str]:
        """A key and its value: 0 to 2 a text, 3 something in flow style, 4 a list, 5 a mapping."""
        start = " " * column + key + ":"
        if kind <= 2:
            first, *rest = self.text(column)
            return [start + " " + first, *rest]
        if kind == 3:
            what = self.pick(["[]", "{}"])
            entries = [
                self.flow_entry() if what == "[]" else f"{k}: {self.flow_text()}"
                for k in ("a", "b")[: self.number(0, 2)]
            ]
            first, *rest = self.flow(column, entries, what)
            return [start + " " + first, *rest]
        if kind == 4:
            return [
                start + self.trailing(),
                *self.between(column),
                *self.block_list(column + self.number(0, 4), depth - 1),
            ]
        inner = self.mapping(column + self.number(1, 8), depth - 1)
        return [start + self.trailing(), *self.between(column), *inner]

    def block_list(self, column: int, depth: int) -> list[str]:
        """A list in block style whose dashes stand at `column`."""
        lines: list[str] = []
        gap = self.number(1, 3)
        for number in range(self.number(1, 3)):
            lines += self.between(column) if number else []
            lines += self.item(column, gap, depth)
        return lines

    def item(self, column: int, gap: int, depth: int) -> list[str]:
        dash = " " * column + "-"
        kind = self.number(0, 8 if depth > 0 else 4)
        if kind <= 2:
            first, *rest = self.text(column)
            return [dash + " " * gap + first, *rest]
        if kind <= 4:
            return [dash + " " * gap + self.flow_mapping() + self.trailing()]
        if kind == 5:
            return [dash + self.trailing()]
        if kind == 6:
            return [dash + self.trailing(), *self.mapping(column + self.number(1, 3), depth - 1)]
        inner = self.mapping(column + 1 + gap, depth - 1)
        return [dash + " " * gap + inner[0].lstrip(" "), *inner[1:]]


def _list_value(hand: _Hand, key: str, column: int) -> tuple[str, list[str]]:
    """The lines of a key that holds, or may hold, a list; and how it was written."""
    spelled = hand.pick([key, key, f'"{key}"', f"'{key}'"])
    start = " " * column + spelled + ":"
    kind = hand.pick([_ABSENT, _EMPTY, _TOKEN, _BLOCK, _BLOCK, _BLOCK, _FLOW, _FLOW, _ONE_BLOCK, _ONE_FLOW, _ONE_TEXT])
    if kind == _ABSENT:
        return kind, []
    if kind == _EMPTY:
        return kind, [start + hand.trailing(), *([" " * column + "#  - {on: 2026-01-01}"] if hand.sometimes(2) else [])]
    if kind == _TOKEN:
        own_line = hand.sometimes(4)
        token = hand.pick([*_TOKENS, "|", ">-"]) + hand.trailing()
        return kind, [start, " " * (column + hand.number(1, 4)) + token] if own_line else [start + " " + token]
    if kind == _BLOCK:
        below = hand.block_list(column + hand.number(0, 8), 2)
        return kind, [start + hand.trailing(), *hand.between(column), *below]
    if kind == _FLOW:
        first, *rest = hand.flow(column, [hand.flow_entry() for _ in range(hand.number(1, 3))], "[]")
        return kind, [start + " " + first, *rest]
    if kind == _ONE_BLOCK:
        return kind, [start + hand.trailing(), *hand.between(column), *hand.mapping(column + hand.number(1, 8), 2)]
    if kind == _ONE_FLOW:
        return kind, [start + " " + hand.flow_mapping() + hand.trailing()]
    first, *rest = hand.text(column)
    while first in ('""',) or first.startswith('""'):
        first, *rest = hand.text(column)
    return kind, [start + " " + first, *rest]


def _as_bytes(hand: _Hand, lines: list[str]) -> bytes:
    """Lines with their ends; a file may lack the last one, or start with a byte-order mark."""
    ends = hand.pick([["\n"], ["\n"], ["\r\n"], ["\r"], ["\n", "\r\n"], ["\n", "\r\n", "\r"]])
    text = "".join(line + hand.pick(ends) for line in lines)
    if hand.sometimes(4):
        text = text.removesuffix("\n").removesuffix("\r")
    return (("\ufeff" if hand.sometimes(4) else "") + text).encode()


def _framed(hand: _Hand, lines: list[str]) -> list[str]:
    """Lines with comments above, and the marks of a document around them."""
    head = hand.pick([[], [], ["# a log"], ["# a log", ""], ["---"], ["# a", "---", "# b"]])
    tail = hand.pick([[], [], [], [""], ["# the end"], ["", "# the end", ""], ["..."], ["...", "# after"]])
    return [*head, *lines, *tail]


@st.composite
def logs(draw: Callable[[Any], Any]) -> Log:
    """A piece.yaml whose top is a mapping in block style."""
    hand = _Hand(draw)
    column = hand.pick([0, 0, 0, 2])
    kinds: dict[str, str] = {}
    lines: list[str] = []
    names = list(KEYS) if not hand.sometimes(4) else [*KEYS[5:], *KEYS[:5]]
    wanted = {hand.pick(LISTS) for _ in range(3)}
    for name in names:
        lines += hand.between(column) if lines else []
        if name in LISTS:
            if name in wanted:
                kinds[name], below = _list_value(hand, name, column)
                lines += below
            else:
                kinds[name] = _ABSENT
        elif name == "piece" or hand.sometimes(3):
            lines += hand.pair(name, column, hand.number(0, 5), 2)
    return Log(_as_bytes(hand, _framed(hand, lines)), "block", kinds)


@st.composite
def flow_logs(draw: Callable[[Any], Any]) -> Log:
    """A piece.yaml that is one mapping in braces."""
    hand = _Hand(draw)
    kinds = dict.fromkeys(LISTS, _ABSENT)
    pairs = [f"piece: {hand.flow_text()}"]
    for name in {hand.pick(LISTS) for _ in range(3)}:
        kinds[name] = hand.pick([_EMPTY, _TOKEN, _FLOW, _FLOW, _ONE_FLOW, _ONE_TEXT])
        value = {
            _EMPTY: " ",
            _TOKEN: hand.pick(_TOKENS),
            _FLOW: f"[{', '.join(hand.flow_entry() for _ in range(hand.number(1, 2)))}]",
            _ONE_FLOW: "{on: x}",
            _ONE_TEXT: hand.pick(_BARE),
        }[kinds[name]]
        pairs.append(f"{name}: {value}")
    return Log(_as_bytes(hand, _framed(hand, hand.flow(0, pairs, "{}"))), "flow", kinds)


@st.composite
def list_logs(draw: Callable[[Any], Any]) -> Log:
    """A file that is a bare list."""
    hand = _Hand(draw)
    is_flow = hand.sometimes(4)
    entries = [hand.flow_entry() for _ in range(hand.number(1, 3))]
    lines = hand.flow(0, entries, "[]") if is_flow else hand.block_list(hand.pick([0, 0, 2]), 2)
    return Log(_as_bytes(hand, _framed(hand, lines)), "list", {"": _FLOW if is_flow else _BLOCK})


@st.composite
def empty_logs(draw: Callable[[Any], Any]) -> Log:
    """A file with nothing, or with nothing but comments and marks."""
    hand = _Hand(draw)
    lines = [*hand.pick([[], ["# a log"], ["# a", "", "# log"]]), *hand.between(2)]
    marked = hand.pick([lines, lines, [*lines, "---"], ["---", *lines, "..."], ["---", *lines, "...", "# after"]])
    return Log(_as_bytes(hand, marked), "empty", dict.fromkeys(LISTS, _ABSENT))


HOSTILE = [
    "2026-02-15 40 min washed with dish soap, rinsed", "2026-02-14", "40.00", "yes", "1:15", "no", "", " ", "~", "null", "=", "<<",
    "a: b", "a:", ": a", "a #b", "#a", "a#b", "- a", "-", "--- a", "---", "...", "... a", "? a", "?", "a?", "!a", "&a", "*a", "%a", "@a",
    "`a`", "|", ">", "[a", "a]", "{a", "a}", ",", "a, b", "'a'", '"a"', "it's", 'a "b"', "'", '"', "\\", "a\\nb", 'a\\"b\'c',
    "a\nb", "a\n", "\na", "a\n\nb\n", "a\n b", " a\nb", "a \nb", "a\n\n", "\n", "\t", "a\tb", "a\r\nb", "\r", "a\u2028b", "\u2029",
    "a\x85b", "\ufeff", "a\ufeff", "\u202eturned\u202c", "שלום, עולם", "مرحبا: بك", "👩\u200d🔧 🪑", "日本", "é", "\u00a0a", "x" * 10_000,
    ("long words " * 12).strip(), "word, " * 2_000, "key: value # x\n- y\n", "\u200b", "🪑" * 300,
]  # fmt: skip
texts = st.sampled_from(HOSTILE) | st.text(
    alphabet=st.characters(exclude_categories=["Cs", "Cc", "Cn"]) | st.sampled_from("\n\t -:#,[]{}'\"?&*!|>%@`~\x85"),
    max_size=30,
)
names = st.sampled_from(
    ["on", "did", "took", "price", "sales tax", "fig blue paint", "a: b", "~", "- x", "", "é", "x\ny", "?"]
)
entries: st.SearchStrategy[Entry] = st.recursive(
    texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=4),
    max_leaves=6,
)


# What the tables of edits have in common.
STEP: Entry = {"on": "2026-02-16", "did": "sanded the top, then the sides", "took": "1 h 50 min"}
PRICE: Entry = {"on": "2026-03-31", "price": "395"}
LINE = "2026-02-16 40 min sanded the top"


class Case(NamedTuple):
    """An edit of a file, and what the file is then."""

    path: Sequence[str | int]
    entry: Entry
    before: str
    after: str


def drawn(path: Sequence[str | int], entry: Entry, lines: str) -> Case:
    """An edit drawn in one text: a line with `+` before it comes, one with `-` goes, and all others stay."""
    before = [line[1:] for line in lines.split("\n") if not line.startswith("+")]
    after = [line[1:] for line in lines.split("\n") if not line.startswith("-")]
    return Case(path, entry, "\n".join(before), "\n".join(after))
