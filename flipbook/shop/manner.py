"""How a person writes: an entry put into words of YAML in the manner of what stands around it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from flipbook.shop.composing import NOTHING, Block, Items, Node, Scalar
from flipbook.shop.splicing import is_flow

Entry = str | Mapping[str, "Entry"] | Sequence["Entry"]
"""What is written: a text as the reader must read it back, a mapping or a list of such."""

WIDEST = 100
"""Columns that something in braces or brackets may take on the lines of a block."""

_AT_A_GLANCE = 80
"""Columns that a mapping in braces may take where no neighbour shows a manner."""

# What a YAML file can hold (YAML 1.2.2, section 5.1), and of that what would break a line, hide, or turn the text.
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ESCAPED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\u202a-\u202e\u2066-\u2069]")
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}

# Signs that YAML reads as the start of something else, and texts that older readers take for a sign.
_NOT_FIRST = frozenset("-?:,[]{}#&*!|>'\"%@`")
_NOT_WHOLE = NOTHING | {"=", "<<"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """What the neighbours of an entry show: line ends, columns, spacing and quotes."""

    eol: str = "\n"
    dash: int = 2
    """Columns from a key to the dashes of the list below it."""
    gap: int = 1
    """Spaces after a dash."""
    step: int = 2
    """Columns from a key to the keys of the mapping below it."""
    comma: str = ", "
    inside_braces: str = ""
    inside_brackets: str = ""
    key_quote: str = ""
    text_quote: str = ""
    flow: bool | None = None
    """Whether a mapping is written in braces; None where no neighbour shows it."""
    literal: bool = True
    """Whether a text of several lines is written under `|`."""


def unwritable_in(entry: Entry) -> str | None:
    """The first sign of an entry that no YAML file can hold, or None."""
    for text in _texts_of(entry):
        found = _UNPRINTABLE.search(text)
        if found:
            return found[0]
    return None


def _texts_of(entry: Entry) -> Iterator[str]:
    if isinstance(entry, str):
        yield entry
    elif isinstance(entry, Mapping):
        for key, value in entry.items():
            yield key
            yield from _texts_of(value)
    else:
        for value in entry:
            yield from _texts_of(value)


def quoted(text: str, *, in_flow: bool = False, quote: str = "") -> str:
    """`text` on one line as YAML reads it back: bare where that is the same, else in quotes.

    `in_flow` is for within braces and brackets, `quote` asks for quotes of that kind where they can hold the text.
    """
    if not quote and _may_be_bare(text, in_flow):
        return text
    single = quote == "'" or (not quote and ('"' in text or "\\" in text) and "'" not in text)
    if single and not _ESCAPED.search(text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + re.sub(rf'["\\]|{_ESCAPED.pattern}', lambda sign: _escape(sign[0]), text) + '"'


def _escape(sign: str) -> str:
    return _SHORT.get(sign) or f"\\u{ord(sign):04x}"


def _may_be_bare(text: str, in_flow: bool) -> bool:
    """Whether any reader of YAML takes `text` without quotes for just that text."""
    if text in _NOT_WHOLE or text != text.strip() or text[0] in _NOT_FIRST or text.startswith("..."):
        return False
    if _ESCAPED.search(text) or ": " in text or " #" in text or text.endswith(":"):
        return False
    # The C parser takes no colon and no question mark bare inside braces or brackets.
    return not (in_flow and re.search(r"[,\[\]{}:?]", text))


def _wants_more_quotes_in_flow(entry: Entry) -> bool:
    return any(_may_be_bare(text, False) and not _may_be_bare(text, True) for text in _texts_of(entry))


def _may_be_literal(text: str, manner: Manner) -> bool:
    """Whether a text of several lines can stand under `|` and be the same after an editor trimmed the line ends."""
    lines = text.removesuffix("\n").split("\n")
    return (
        manner.literal
        and "\n" in text
        and bool(lines[0])
        and bool(lines[-1])
        and not lines[0].startswith((" ", "\t"))
        and all(line == line.rstrip() for line in lines)
        and not re.search("[\r\x85\u2028\u2029\ufeff\u202a-\u202e\u2066-\u2069]", text)
    )


def in_flow(entry: Entry, manner: Manner) -> str:
    """An entry on one line, in braces and brackets."""
    if isinstance(entry, str):
        return quoted(entry, in_flow=True, quote=manner.text_quote)
    if isinstance(entry, Mapping):
        inner = manner.comma.join(pair_in_flow(key, value, manner) for key, value in entry.items())
        pad = manner.inside_braces if entry else ""
        return f"{{{pad}{inner}{pad}}}"
    pad = manner.inside_brackets if entry else ""
    return f"[{pad}{manner.comma.join(in_flow(value, manner) for value in entry)}{pad}]"


def pair_in_flow(key: str, value: Entry, manner: Manner) -> str:
    """A key and its value within braces."""
    return f"{quoted(key, in_flow=True, quote=manner.key_quote)}: {in_flow(value, manner)}"


def has_breaks(entry: Entry) -> bool:
    """Whether a text of an entry has several lines."""
    return any("\n" in text for text in _texts_of(entry))


def _goes_on_one_line(entry: Entry, column: int, manner: Manner) -> bool:
    """Whether a mapping or list that starts at `column` goes in braces or brackets, or is too wide or long for them."""
    if not entry:
        return True
    if isinstance(entry, Mapping) and manner.flow is False:
        return False
    return not has_breaks(entry) and column + len(in_flow(entry, manner)) <= WIDEST


def _is_plain_at_a_glance(entry: Mapping[str, Entry], column: int, manner: Manner) -> bool:
    """Whether a mapping reads well in braces, where no neighbour shows a manner."""
    is_plain = all(isinstance(value, str) for value in entry.values()) and not _wants_more_quotes_in_flow(entry)
    return manner.flow is not None or not entry or (is_plain and column + len(in_flow(entry, manner)) <= _AT_A_GLANCE)


def value_lines(entry: Entry, column: int, after: int, manner: Manner, as_list: bool = False) -> tuple[str, list[str]]:
    """What stands behind a key at `column` and its colon, which ends at `after`, and the lines below.

    A list has a line for each entry if `as_list` says so, else when it is too wide.
    """
    if isinstance(entry, str):
        return _text_lines(entry, column + manner.step, manner)
    if not as_list and _goes_on_one_line(entry, after + 1, manner):
        is_small = not isinstance(entry, Mapping) or manner.flow or len(entry) <= 2
        if is_small and (not isinstance(entry, Mapping) or _is_plain_at_a_glance(entry, after + 1, manner)):
            return f" {in_flow(entry, manner)}", []
    if isinstance(entry, Mapping):
        return "", mapping_lines(entry, column + manner.step, manner)
    return "", list_lines(entry, column + manner.dash, manner)


def _text_lines(text: str, column: int, manner: Manner) -> tuple[str, list[str]]:
    if not _may_be_literal(text, manner):
        return f" {quoted(text, quote=manner.text_quote)}", []
    header = " |" if text.endswith("\n") else " |-"
    return header, [" " * column + line if line else "" for line in text.removesuffix("\n").split("\n")]


def key_lines(key: str, value: Entry, column: int, manner: Manner, as_list: bool = False) -> list[str]:
    """The lines of a key at `column` and its value."""
    start = f"{' ' * column}{quoted(key, quote=manner.key_quote)}:"
    behind, below = value_lines(value, column, len(start), manner, as_list)
    return [start + behind, *below]


def mapping_lines(entry: Mapping[str, Entry], column: int, manner: Manner) -> list[str]:
    """The lines of a mapping in block style whose keys stand at `column`; in it, braces are for what fits."""
    inside = replace(manner, flow=True)
    return [line for key, value in entry.items() for line in key_lines(key, value, column, inside)]


def list_lines(entries: Sequence[Entry], column: int, manner: Manner) -> list[str]:
    """The lines of a list in block style whose dashes stand at `column`."""
    return [line for entry in entries for line in item_lines(entry, column, manner)]


def item_lines(entry: Entry, column: int, manner: Manner) -> list[str]:
    """The lines of one entry of a list whose dashes stand at `column`."""
    dash = " " * column + "-" + " " * manner.gap
    inner = len(dash)
    if isinstance(entry, str):
        behind, below = _text_lines(entry, inner, manner)
        return [dash + behind.removeprefix(" "), *below]
    if _goes_on_one_line(entry, inner, manner) and (
        not isinstance(entry, Mapping) or _is_plain_at_a_glance(entry, inner, manner)
    ):
        return [dash + in_flow(entry, manner)]
    lines = mapping_lines(entry, inner, manner) if isinstance(entry, Mapping) else list_lines(entry, inner, manner)
    return [dash + lines[0][inner:], *lines[1:]]


def manner_near(text: str, eol: str, around: Sequence[Node], neighbour: Node | None) -> Manner:
    """How an entry is written between its neighbours.

    `around` are the collections that hold the place, the innermost first, and after them any others that may show a
    manner; `neighbour` is the entry that the new one follows.
    """
    near = [neighbour, *around] if neighbour is not None else list(around)
    blocks = [node for node in near if isinstance(node, Block)]
    lists = [node for node in near if isinstance(node, Items)]
    dashes = (
        value.start.column - key.start.column
        for block in blocks
        if not is_flow(text, block)
        for key, value in block.pairs
        if isinstance(value, Items) and not is_flow(text, value)
    )
    steps = (
        value.start.column - key.start.column
        for block in blocks
        if not is_flow(text, block)
        for key, value in block.pairs
        if isinstance(value, Block) and not is_flow(text, value) and value.start.line > key.start.line
    )
    gaps = (
        gap
        for items in lists
        if not is_flow(text, items)
        for item in reversed(items.items)
        if (gap := _gap_before(text, item, items.start.column))
    )
    in_braces = [block for block in blocks if block.pairs and text[block.start.index] == "{"]
    key_quote, text_quote = _quotes(text, near)
    return Manner(
        eol=eol,
        dash=next(dashes, 2),
        gap=next(gaps, 1),
        step=next(steps, 2),
        comma=next((comma for block in in_braces if (comma := _comma_of(text, block))), ", "),
        inside_braces=next((_pad_after(text, block) for block in in_braces), ""),
        inside_brackets=next((_pad_after(text, node) for node in lists if is_flow(text, node) and node.items), ""),
        key_quote=key_quote,
        text_quote=text_quote,
        flow=is_flow(text, neighbour) if isinstance(neighbour, Block) else None,
    )


def _gap_before(text: str, item: Node, dash: int) -> int:
    """The spaces between an item and its dash at column `dash`; 0 when they are on two lines."""
    gap = int(item.start.column) - dash - 1
    before = text[max(0, item.start.index - gap - 1) : item.start.index]
    return gap if 0 < gap <= 8 and before == "-" + " " * gap else 0


def _comma_of(text: str, block: Block) -> str | None:
    """The comma between the first two keys of a mapping in braces, with the spaces after it."""
    if len(block.pairs) < 2:
        return None
    found = re.search(r"(,[ ]*)$", text[block.pairs[0][0].end.index : block.pairs[1][0].start.index])
    return found[1] if found else None


def _pad_after(text: str, node: Node) -> str:
    found = re.compile(r"[ ]*").match(text, node.start.index + 1)
    pad = found[0] if found else ""
    return pad if len(pad) <= 2 else ""


def _quotes(text: str, near: Sequence[Node]) -> tuple[str, str]:
    """The quotes that every key, and then every text, of the nearest mapping is in."""
    block = next((node for node in near if isinstance(node, Block) and node.pairs), None)
    if block is None:
        return "", ""
    of_keys = {_quote_of(text, key) for key, _ in block.pairs}
    if len(of_keys) > 1 or "" in of_keys:
        return "", ""
    texts = [value for _, value in block.pairs if isinstance(value, Scalar)]
    texts += [item for node in near[:2] if isinstance(node, Items) for item in node.items if isinstance(item, Scalar)]
    of_texts = {_quote_of(text, value) for value in texts}
    return next(iter(of_keys)), next(iter(of_texts)) if len(of_texts) == 1 else ""


def _quote_of(text: str, scalar: Scalar) -> str:
    sign = text[scalar.start.index : scalar.start.index + 1]
    return sign if not scalar.bare and sign in ("'", '"') else ""
