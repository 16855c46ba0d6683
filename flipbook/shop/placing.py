"""Where a new entry goes in a file, and what is spliced in there; where one stands that is taken out.

Each function yields edits, the most natural first: not all of them read back the same in every surrounding, and the
caller takes the first that does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from flipbook.shop.composing import Block, Items, Node, Scalar
from flipbook.shop.manner import (
    WIDEST,
    Entry,
    Manner,
    has_breaks,
    in_flow,
    item_lines,
    key_lines,
    manner_near,
    pair_in_flow,
    value_lines,
)
from flipbook.shop.records.base import name_of_key
from flipbook.shop.splicing import (
    Span,
    Splice,
    at_the_end,
    before_it,
    below,
    end_of,
    end_of_header,
    eol_at,
    has_blank_above,
    into_flow,
    is_first_on_its_line,
    is_flow,
    is_literal,
    line_end,
    line_start,
    out_of_block,
    out_of_flow,
    own_comments,
    passed_over,
    past_blank_lines,
    without_strip,
)

Edits = Iterator[list[Splice]]


@dataclass(frozen=True, slots=True)
class Page:
    """The text of a file, and all nodes of its tree, outermost first."""

    text: str
    nodes: Sequence[Node]

    def manners(self, at: int, around: Sequence[Node], neighbour: Node | None = None) -> Iterator[Manner]:
        """How an entry at `at` may be written: as its neighbours are; then without texts under `|`."""
        manner = manner_near(self.text, eol_at(self.text, at), [*reversed(around), *self.nodes], neighbour)
        yield manner
        yield replace(manner, literal=False)

    def under(self, end: int, lines: Sequence[str], eol: str, above: Node | None) -> list[Splice]:
        """New lines below the line that `end` is on, where `above` ends."""
        if not lines:
            return []
        at_the_end_of_all = above is not None and line_end(self.text, end) == len(self.text)
        header = without_strip(self.text, above) if above is not None and at_the_end_of_all else None
        return [below(self.text, end, lines, eol), *([header] if header else [])]


def _spans(text: str, node: Block | Items) -> list[Span]:
    """Where the entries of braces or brackets stand."""
    if isinstance(node, Items):
        return [Span(item.start.index, end_of(text, item)) for item in node.items]
    return [Span(key.start.index, _end_of_value(text, value)) for key, value in node.pairs]


def _end_of_value(text: str, value: Node) -> int:
    """Where a value in braces ends; the C parser wants a space between the colon of an empty one and a comma."""
    end = end_of(text, value)
    while value.start.index == value.end.index and text[end] in " \t":
        end += 1
    return end


def _inside(node: Node) -> Span:
    """What is between braces or brackets."""
    return Span(node.start.index + 1, node.end.index - 1)


def into_empty_file(page: Page, lines: Callable[[Manner], list[str]]) -> Edits:
    for manner in page.manners(len(page.text), []):
        yield [at_the_end(page.text, lines(manner), manner.eol)]


def into_list(page: Page, around: list[Node], items: Items, index: int, entry: Entry) -> Edits:
    text = page.text
    nearest = items.items[:index][::-1] + items.items[index:]
    neighbour = nearest[0] if nearest else None
    if isinstance(entry, Mapping):
        neighbour = next((item for item in nearest if isinstance(item, Block)), neighbour)
    at = end_of(text, items.items[index - 1]) if index else items.start.index
    for manner in page.manners(at, around, neighbour):
        if is_flow(text, items):
            yield into_flow(text, _spans(text, items), _inside(items), index, in_flow(entry, manner), manner.eol)
            continue
        column = items.start.column
        lines = item_lines(entry, column, manner)
        if index:
            yield page.under(at, lines, manner.eol, items.items[index - 1])
        else:
            yield [before_it(at, lines, manner.eol, column)]


def _like_siblings(page: Page, block: Block, index: int, entry: Entry, manner: Manner, as_list: bool) -> Manner:
    """Whether a mapping goes in braces, as the nearest sibling of its key shows it: a larger one in braces says that it
    does, a smaller one without that it does not. For the first entry of a list, the entries of other lists are asked;
    braces there say no more than that they may be."""
    new = entry[0] if as_list and not isinstance(entry, str | Mapping) else entry
    nearest = [value for _, value in block.pairs[:index][::-1] + block.pairs[index:]]
    if as_list:
        lists = [value.items for value in nearest if isinstance(value, Items)]
        nearest = [item for items in lists for item in reversed(items)]
    for sibling in nearest:
        if not isinstance(sibling, Block) or not sibling.pairs:
            continue
        if is_flow(page.text, sibling) and (as_list or len(sibling.pairs) >= len(new)):
            return manner if as_list else replace(manner, flow=True)
        if not is_flow(page.text, sibling) and len(sibling.pairs) <= len(new):
            return replace(manner, flow=False)
    return manner


def new_pair(
    page: Page, around: list[Node], block: Block, key: str, entry: Entry, keys: Sequence[str], as_list: bool
) -> Edits:
    text, index = page.text, _place_of_key(block, key, keys)
    above = block.pairs[index - 1][1] if index else None
    at = block.start.index if above is None else end_of(text, above)
    column = block.start.column
    for manner in page.manners(at, around):
        if is_flow(text, block):
            new = pair_in_flow(key, entry, manner)
            yield into_flow(text, _spans(text, block), _inside(block), index, new, manner.eol)
            continue
        like = _like_siblings(page, block, index, entry, manner, as_list)
        lines = key_lines(key, entry, column, like, as_list)
        if above is None:
            yield [before_it(at, lines, manner.eol, column)]
            continue
        end = own_comments(text, at, column)
        if len(lines) > 1 and _is_set_apart(text, block, index):
            yield page.under(end, ["", *lines], manner.eol, above)
        # A blank line would be part of a text above it that keeps those that follow.
        yield page.under(end, lines, manner.eol, above)


def _place_of_key(block: Block, key: str, keys: Sequence[str]) -> int:
    """Which of the mapping's keys a new one stands before: after the nearest that `keys` has before it, else last."""
    order = [name_of_key(name) for name in keys]
    if name_of_key(key) not in order:
        return len(block.pairs)
    rank = order.index(name_of_key(key))
    ranks = [order.index(name) if (name := name_of_key(there.text)) in order else -1 for there, _ in block.pairs]
    earlier = [(found, index) for index, found in enumerate(ranks) if 0 <= found < rank]
    if earlier:
        return max(earlier)[1] + 1
    return next((index for index, found in enumerate(ranks) if found > rank), len(block.pairs))


def _is_set_apart(text: str, block: Block, index: int) -> bool:
    """Whether a blank line stands between the neighbours of a new key, or above the last one."""
    if index < len(block.pairs):
        return has_blank_above(text, block.pairs[index][0].start.index)
    return index > 1 and has_blank_above(text, block.pairs[-1][0].start.index)


def filled(
    page: Page, around: list[Node], block: Block, key: Scalar, value: Node, entry: Entry, as_list: bool
) -> Edits:
    """The edits that put an entry where a key says nothing yet."""
    text, column = page.text, key.start.column
    start, end = value.start.index, value.end.index
    if is_literal(text, value):
        end = end_of_header(text, start)
    index = next(i for i, (there, _) in enumerate(block.pairs) if there is key)
    for manner in page.manners(start, around):
        like = _like_siblings(page, block, index, entry, manner, as_list)
        if is_flow(text, block) or "\n" in text[start:end] or "\r" in text[start:end]:
            yield _filled_in_flow(text, key, value, entry, manner)
        elif value.start.line == key.start.line or start == end:
            behind, lines = value_lines(entry, column, key.end.column + 1, like, as_list)
            gap = len(text[:start].rstrip(" \t")) if start < end else start
            yield [Splice(gap, end, behind), *page.under(end, lines, manner.eol, None)]
        else:
            # The nothing stands on a line of its own, and what is said in its place starts there.
            place = value.start.column
            offsets = replace(like, dash=place - column, step=place - column)
            behind, lines = value_lines(entry, column, place - 1, offsets, as_list)
            first = behind.removeprefix(" ") if behind else lines.pop(0)[place:]
            yield [Splice(start, end, first), *page.under(end, lines, manner.eol, None)]


def _filled_in_flow(text: str, key: Scalar, value: Node, entry: Entry, manner: Manner) -> list[Splice]:
    start, end = value.start.index, value.end.index
    new = in_flow(entry, manner)
    if start == end:
        if ":" not in text[key.end.index : start]:
            return [Splice(key.end.index, key.end.index, f": {new}")]
        return [Splice(start, start, new if text[start - 1] in " \t" else f" {new}")]
    if isinstance(value, Items) and not isinstance(entry, str | Mapping):
        inner = manner.comma.join(in_flow(one, manner) for one in entry)
        return into_flow(text, [], _inside(value), 0, inner, manner.eol)
    if isinstance(value, Block) and isinstance(entry, Mapping):
        inner = manner.comma.join(pair_in_flow(name, one, manner) for name, one in entry.items())
        return into_flow(text, [], _inside(value), 0, inner, manner.eol)
    return [] if "#" in text[start:end] else [Splice(start, end, new)]


def made_a_list(page: Page, around: list[Node], key: str, value: Node, entry: Entry, goes_first: bool) -> Edits:
    """The edits that make a list of the one entry that a key holds, with another in it."""
    text, start, end = page.text, value.start.index, end_of(page.text, value)
    block = around[-1]
    assert isinstance(block, Block)
    there = next(k for k, v in block.pairs if v is value)
    for manner in page.manners(end, [*around, value], value):
        if isinstance(value, Block) and not is_flow(text, value):
            yield _mapping_made_a_list(page, there, value, entry, goes_first, manner)
            continue
        if not is_literal(text, value):
            new = in_flow(entry, manner)
            opening, closing = (f"[{new}{manner.comma}", "]") if goes_first else ("[", f"{manner.comma}{new}]")
            on_one_line = value.start.line == value.end.line
            fits = on_one_line and value.end.column + len(opening + closing) <= WIDEST and not has_breaks(entry)
            if fits or is_flow(text, block) or is_flow(text, value):
                yield [Splice(start, start, opening), Splice(end, end, closing)]
        if is_flow(text, block):
            continue
        for dash in (there.start.column + manner.dash, there.start.column):
            lines = item_lines(entry, dash, manner)
            lead = " " * dash + "-" + " " * manner.gap
            own_line = is_first_on_its_line(text, start)
            gap = line_start(text, start) if own_line else len(text[:start].rstrip(" \t"))
            if goes_first:
                lead = "".join(line + manner.eol for line in lines) + lead
            splices = [Splice(gap, start, lead if own_line else manner.eol + lead)]
            yield splices if goes_first else [*splices, *page.under(end, lines, manner.eol, value)]


def _mapping_made_a_list(
    page: Page, key: Scalar, value: Block, entry: Entry, goes_first: bool, manner: Manner
) -> list[Splice]:
    """A mapping below its key gets a dash: before its first key, or above it where there is no room."""
    text, start = page.text, value.start.index
    has_room = value.start.column - key.start.column >= 2 and is_first_on_its_line(text, start)
    dash = value.start.column - 2 if has_room else key.start.column
    lines = item_lines(entry, dash, replace(manner, flow=False, gap=1))
    first = line_start(text, start)
    splices = [Splice(first, first, "".join(line + manner.eol for line in lines))] if goes_first else []
    if has_room:
        splices.append(Splice(start - 2, start, "- "))
    else:
        splices.append(Splice(first, first, " " * dash + "-" + manner.eol))
    if not goes_first:
        splices += page.under(end_of(text, value), lines, manner.eol, value)
    return splices


def taken_out(text: str, here: Block | Items, index: int) -> Edits:
    """The edits that take entry `index` out of a mapping or a list."""
    if is_flow(text, here):
        yield out_of_flow(text, _spans(text, here), index)
        return
    starts, ends = [], []
    for number in range(index, min(index + 2, len(here.pairs if isinstance(here, Block) else here.items))):
        if isinstance(here, Block):
            starts.append(here.pairs[number][0].start.index)
            ends.append(end_of(text, here.pairs[number][1]))
        else:
            # An entry starts at its dash, which follows on the entry before it.
            dash = passed_over(text, end_of(text, here.items[number - 1])) if number else here.start.index
            starts.append(dash)
            ends.append(end_of(text, here.items[number]))
    following = starts[1] if len(starts) > 1 else None
    yield out_of_block(text, starts[0], ends[0], following)
    yield out_of_block(text, starts[0], ends[0], following, keeps_line_end=True)
    # Blank lines that follow would be read as the end of a block text above.
    yield out_of_block(text, starts[0], past_blank_lines(text, ends[0]), following, keeps_line_end=True)
