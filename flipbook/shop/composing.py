"""YAML text to a tree of mappings, lists and scalars that know where they stand.

The tree is composed from the events of ruamel.yaml's C parser and not by its `compose()`: that one
recurses on the C stack, so that a file of brackets ends the process, and it drops the tags and anchors
that this format refuses. From events, depth is bounded and both are seen; it is also about twice as fast.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

from _ruamel_yaml import CParser
from ruamel.yaml.error import MarkedYAMLError, YAMLError, YAMLStreamError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from flipbook.shop.problems import Place, Problem, lines_of, problem_of

DEEPEST = 12
MOST_BYTES = 2 * 1024 * 1024


class At(NamedTuple):
    """A point in a file, counted from 0, as the parser's marks are."""

    line: int
    column: int


class Scalar:
    """A text as it was written; `bare` when it stands without quotes."""

    __slots__ = ("bare", "end", "start", "text")

    def __init__(self, text: str, start: Any, end: Any, bare: bool) -> None:
        self.text = text
        self.start = start
        self.end = end
        self.bare = bare

    @property
    def is_empty(self) -> bool:
        """Nothing was written: `key:`, `key: ~` or `key: null`."""
        return self.bare and self.text in NOTHING

    def part(self, start: int, end: int) -> Scalar:
        """The characters from `start` to `end` of a text on one line, standing where they stand."""
        if not self.on_one_line:
            return Scalar(self.text[start:end], self.start, self.end, self.bare)
        column = self.start.column + (self.end.column - self.start.column - len(self.text)) // 2
        line = self.start.line
        return Scalar(self.text[start:end], At(line, column + start), At(line, column + end), self.bare)

    @property
    def on_one_line(self) -> bool:
        """Whether characters of the text and columns of the file go one to one."""
        width = self.end.column - self.start.column
        return bool(self.start.line == self.end.line and width - len(self.text) in (0, 2))


NOTHING = frozenset(("", "~", "null", "Null", "NULL"))


class Block:
    """A mapping: its keys and values in the order written, duplicates and all."""

    __slots__ = ("end", "pairs", "start")

    def __init__(self, start: Any) -> None:
        self.start = start
        self.end = start
        self.pairs: list[tuple[Scalar, Node]] = []


class Items:
    """A list."""

    __slots__ = ("end", "items", "start")

    def __init__(self, start: Any) -> None:
        self.start = start
        self.end = start
        self.items: list[Node] = []


COMMA_IN_BRACKETS = "; a comma inside [ ] starts a new entry, so use quotes or a line of its own"
COMMA_IN_BRACES = "; a comma inside { } starts a new key, so put a text with one in quotes"
MOST_VALUES = 250_000

type_of = {Scalar: "a text", Block: "a mapping", Items: "a list"}
Node = Scalar | Block | Items


def place_of(file: str, node: Node) -> Place:
    """The span of a node on its first line."""
    start, end = node.start, node.end
    if end.line != start.line and isinstance(node, Block) and node.pairs:
        end = node.pairs[0][0].end
    column = start.column + 1
    on_this_line = end.line == start.line and end.column > start.column
    return Place(file, start.line + 1, column, end.column + 1 if on_this_line else column + 1)


class _Refused(Exception):
    """Something that plain YAML has and this format has not; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem


def compose(file: str, data: bytes) -> Node | Problem | None:
    """The tree of one file, the first thing in it that is no plain YAML, or None for an empty file."""
    if len(data) > MOST_BYTES:
        return too_large(file)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        return not_utf8(file, data, fault)
    try:
        return _Composer(file, text).whole()
    except _Refused as refused:
        return refused.problem
    except MarkedYAMLError as fault:
        return _not_yaml(file, text, fault)
    except (YAMLStreamError, YAMLError) as fault:
        return _unprintable(file, text, fault)


def too_large(file: str) -> Problem:
    """The refusal of a file over the limit."""
    write = "split it: receipts may stand in several files, and a piece's log in its own folder"
    return problem_of(file, "too-large", "the file is over 2 MiB", write)


class _Composer:
    """Gathers the events of one file into a tree, to a bounded depth."""

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.next_event = CParser(text).get_event

    def whole(self) -> Node | None:
        documents = 0
        top: Node | None = None
        while (event := self.next_event()) is not None:
            kind = event.__class__
            if kind is DocumentStartEvent:
                documents += 1
                if documents > 1:
                    raise self.refuse(
                        event, "one-file-one-log", "a second document starts here", "make it a file of its own"
                    )
                if getattr(event, "tags", None):
                    raise self.refuse(event, "tag", "tags are not used here", "take the %TAG line out")
            elif kind in (ScalarEvent, MappingStartEvent, SequenceStartEvent, AliasEvent):
                top = self.tree(event)
        if isinstance(top, Scalar) and top.is_empty:
            return None
        return top

    def tree(self, event: Any) -> Node:
        """The node that starts at `event`, with all that is in it. The loop is the reader's hottest."""
        top = self.scalar(event) if event.__class__ is ScalarEvent else self.collection(event)
        if isinstance(top, Scalar):
            return top
        open_nodes: list[Block | Items] = [top]
        keys: list[Scalar | None] = [None]
        next_event, here, key = self.next_event, open_nodes[0], keys[0]
        node: Node
        for _ in range(MOST_VALUES):
            event = next_event()
            kind = event.__class__
            if kind is ScalarEvent:
                if event.anchor is not None or event.tag is not None:
                    raise self.refuse_property(event)
                node = Scalar(event.value, event.start_mark, event.end_mark, not event.style)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                here.end = event.end_mark
                open_nodes.pop()
                if not open_nodes:
                    return top
                here, key = open_nodes[-1], keys.pop()
                continue
            else:
                node = self.collection(event)
            if isinstance(here, Items):
                here.items.append(node)
            elif key is None:
                key = self.key(node)
                continue
            else:
                here.pairs.append((key, node))
                key = None
            if not isinstance(node, Scalar):
                if len(open_nodes) >= DEEPEST:
                    says = "lists and mappings stand too deep in one another"
                    raise self.refuse(event, "too-deep", says, "write it flat")
                keys.append(key)
                key = None
                here = node
                open_nodes.append(here)
        raise self.refuse(
            event, "too-many", "there is more in this file than a log holds", "split it into several files"
        )

    def scalar(self, event: Any) -> Scalar:
        if event.anchor is not None or event.tag is not None:
            raise self.refuse_property(event)
        return Scalar(event.value, event.start_mark, event.end_mark, not event.style)

    def collection(self, event: Any) -> Block | Items:
        if event.__class__ is AliasEvent or event.anchor is not None or event.tag is not None:
            raise self.refuse_property(event)
        return Block(event.start_mark) if event.__class__ is MappingStartEvent else Items(event.start_mark)

    def refuse_property(self, event: Any) -> _Refused:
        """An alias, an anchor or a tag."""
        if event.__class__ is AliasEvent:
            write = "write the value again, or in quotes if the text starts with *"
            return self.refuse(event, "alias", "`*` takes over another value", write)
        if event.anchor is not None:
            write = "take it out, or use quotes if the text starts with &"
            return self.refuse(event, "anchor", "`&` names a value for use elsewhere", write)
        return self.refuse(
            event, "tag", "`!` gives a value a type", "take it out, or use quotes if the text starts with !"
        )

    def key(self, node: Node) -> Scalar:
        if not isinstance(node, Scalar):
            says = f"a key is a word, and this is {type_of[node.__class__]}"
            raise self.refuse(node, "key", says, "use quotes if the text starts with [ or {")
        if node.bare and node.text == "<<":
            says = "`<<` takes over the keys of another mapping"
            raise self.refuse(node, "merge-key", says, "write the keys out here")
        return node

    def refuse(self, at: Any, name: str, says: str, write: str) -> _Refused:
        start = getattr(at, "start_mark", None) or at.start
        place = Place(self.file, start.line + 1, start.column + 1, start.column + 2)
        return _Refused(Problem(name=name, place=place, says=says, help=write))


def not_utf8(file: str, data: bytes, fault: UnicodeDecodeError) -> Problem:
    before = lines_of(data[: fault.start].decode("utf-8-sig", "replace"))
    line, column = len(before), len(before[-1]) + 1
    return Problem(
        name="not-utf-8",
        place=Place(file, line, column, column + 1),
        says="the file is not UTF-8 text",
        label="this byte",
        help="save it again as UTF-8 in your editor",
    )


# What libyaml says, and what a person can do about it.
_SAID = (
    ("colon", re.compile(r"found unexpected ':'"),
     "a colon stands bare inside braces or brackets", 'put the value in quotes, as `{took: "1:15"}`'),
    ("colon", re.compile(r"mapping values are not allowed"),
     "a second `: ` stands on this line", "put the text after the key in quotes, or on a line of its own under `|`"),
    ("indent", re.compile(r"did not find expected key|did not find expected '-' indicator|could not find expected ':'"),
     "the line does not fit in with those above it", "indent it as its neighbours are, and give each key its `: `"),
    ("bracket", re.compile(r"did not find expected ',' or|did not find expected node content"),
     "a list or mapping in brackets does not go on as it should", "look for a missing comma, bracket or quote"),
    ("quote", re.compile(r"found unexpected end of stream|while scanning a quoted scalar"),
     "a quote is opened and not closed", "close it, or take it out"),
    ("quote", re.compile(r"found unknown escape character|did not find expected hexdecimal number"),
     "a backslash in double quotes starts no known sign", "use single quotes, where a backslash is a backslash"),
    ("sign", re.compile(r"found character that cannot start any token|found character"),
     "this sign cannot start a text", "put the text in quotes"),
    ("alias", re.compile(r"while scanning an (?:alias|anchor)"),
     "a text that starts with & or * wants quotes", "put the text in quotes"),
    ("tag", re.compile(r"tag"), "a text that starts with ! wants quotes", "put the text in quotes"),
)  # fmt: skip


def _not_yaml(file: str, text: str, fault: MarkedYAMLError) -> Problem:
    is_sign = fault.context_mark is not None and "scanning an" in (fault.context or "")
    lines = lines_of(text)
    at_the_end = fault.problem_mark is not None and not "".join(lines[fault.problem_mark.line :]).strip()
    is_open = at_the_end and "while parsing a flow" in (fault.context or "")
    mark = fault.context_mark if is_sign or is_open else fault.problem_mark or fault.context_mark
    place = _point(file, lines, mark) if mark else Place(file)
    if mark and "\t" in lines[place.line - 1][: place.column]:
        says, write = "a tab stands where only spaces may", "indent with spaces, and take the tab out"
        return Problem(name="yaml-tab", place=place, says=says, help=write)
    said = " ".join(filter(None, (fault.context, fault.problem)))
    for name, pattern, says, write in _SAID:
        if pattern.search(said):
            return Problem(name=f"yaml-{name}", place=place, says=says, help=write)
    return Problem(
        name="yaml",
        place=place,
        says="the file cannot be read from here on",
        help="look at this line and the one above it",
    )


def _point(file: str, lines: list[str], mark: Any) -> Place:
    """Where a mark stands; one past the end of the text stands after its last line that says something."""
    line, column = mark.line, mark.column
    if line >= len(lines) or not "".join(lines[line:]).strip():
        line = max((number for number, text in enumerate(lines) if text.strip()), default=0)
        column = len(lines[line])
    column = min(column, len(lines[line]))
    return Place(file, line + 1, column + 1, column + 2)


def _unprintable(file: str, text: str, fault: Exception) -> Problem:
    for number, line in enumerate(lines_of(text), 1):
        found = _CONTROL.search(line)
        if found:
            place = Place(file, number, found.start() + 1, found.start() + 2)
            says = "a control character stands in the text"
            return Problem(name="control-sign", place=place, says=says, help="delete it and type the line again")
    why = str(fault).split("\n")[0][:80]
    return problem_of(file, "yaml", "the file cannot be read", "save it as plain UTF-8 text", why)


_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")


def nodes_below(node: Node) -> Iterator[Node]:
    """The node and every value below it."""
    yield node
    below = [v for _, v in node.pairs] if isinstance(node, Block) else node.items if isinstance(node, Items) else []
    for child in below:
        yield from nodes_below(child)
