"""Where in a file's text something ends, and how new text is let in or old text taken out there.

Places are characters of the text, counted from 0, as the parser's marks count them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from flipbook.shop.composing import Block, Items, Node, Scalar

# The line breaks that the C parser counts (see problems.py).
_BREAKS = "\r\n\x85\u2028\u2029"
_BREAK = re.compile(f"\r\n|[{_BREAKS}]")
_USUAL_BREAKS = ("\n", "\r\n", "\r")
_PASSED_OVER = re.compile(f"(?:[ \t{_BREAKS}]|#[^{_BREAKS}]*)*")
_COMMENT_LINE = re.compile(f"([ ]*)#[^{_BREAKS}]*")
_BLANK_LINE = re.compile(f"[ \t]*(?:$|[{_BREAKS}])")
_DOCUMENT_END = re.compile(f"(?:^|[{_BREAKS}])\\.\\.\\.(?=$|[ \t{_BREAKS}])")


class Splice(NamedTuple):
    """The characters from `start` to `end` give way to `text`."""

    start: int
    end: int
    text: str


class Span(NamedTuple):
    """From where to where something stands."""

    start: int
    end: int


def spliced(text: str, splices: Iterable[Splice]) -> str:
    """The text with all of the splices made; none may overlap another."""
    parts, at = [], 0
    for splice in sorted(splices, key=lambda splice: splice[:2]):
        parts += [text[at : splice.start], splice.text]
        at = splice.end
    return "".join([*parts, text[at:]])


def is_flow(text: str, node: Node) -> bool:
    """Whether a collection stands in braces or brackets."""
    return not isinstance(node, Scalar) and text[node.start.index : node.start.index + 1] in ("[", "{")


def is_literal(text: str, node: Node) -> bool:
    """Whether a text stands as a block under `|` or `>`."""
    return isinstance(node, Scalar) and not node.bare and text[node.start.index : node.start.index + 1] in ("|", ">")


def end_of(text: str, node: Node) -> int:
    """Where the last character of a node has passed; blank lines and comments after it are not of it."""
    if is_flow(text, node) or (isinstance(node, Scalar) and not is_literal(text, node)):
        return int(node.end.index)
    if isinstance(node, Block):
        return end_of(text, node.pairs[-1][1])
    if isinstance(node, Items):
        return end_of(text, node.items[-1])
    start: int = node.start.index
    end: int = node.end.index
    header = text[start : line_end(text, start)].partition("#")[0]
    last_line = node.text.rstrip("\n").rpartition("\n")[2]
    if "+" in header or (last_line and not last_line.strip()):
        # The blank lines are part of the text; its last line ends with their last break.
        return end - len(_last_break(text, end)) if text[start:end].endswith(tuple(_BREAKS)) else end
    return start + len(text[start:end].rstrip(" \t" + _BREAKS))


def end_of_header(text: str, start: int) -> int:
    """Where the `|` or `>` of a block text ends, with the signs that go with it."""
    found = re.compile("[|>][0-9+-]*").match(text, start)
    return found.end() if found else start


def _last_break(text: str, end: int) -> str:
    return "\r\n" if text[end - 2 : end] == "\r\n" else text[end - 1 : end]


def line_start(text: str, at: int) -> int:
    """Where the line that `at` is on starts."""
    return max(text.rfind(sign, 0, at) for sign in _BREAKS) + 1


def line_end(text: str, at: int) -> int:
    """Where the break of the line that `at` is on stands, or the end of the text."""
    found = _BREAK.search(text, at)
    return found.start() if found else len(text)


def next_line(text: str, at: int) -> int:
    """Where the line after the one that `at` is on starts, or the end of the text."""
    found = _BREAK.search(text, at)
    return found.end() if found else len(text)


def eol_at(text: str, at: int) -> str:
    """How the line that `at` is on ends; where it does not, how the one before it does."""
    end = line_end(text, at)
    start = line_start(text, at)
    found = _BREAK.match(text, end)
    near = found[0] if found else _last_break(text, start)
    if near in _USUAL_BREAKS:
        return near
    usual = re.search("\r\n|[\r\n]", text)
    return usual[0] if usual else "\n"


def passed_over(text: str, at: int) -> int:
    """The first character from `at` on that is neither space, break nor comment."""
    found = _PASSED_OVER.match(text, at)
    assert found is not None
    return found.end()


def past_blank_lines(text: str, at: int) -> int:
    """The end of the last blank line directly below the line that `at` is on, or that line's own end."""
    end = line_end(text, at)
    while end < len(text) and _BLANK_LINE.match(text, next_line(text, end)):
        end = line_end(text, next_line(text, end))
    return end


def is_first_on_its_line(text: str, at: int) -> bool:
    return not text[line_start(text, at) : at].strip(" ")


def below(text: str, end: int, lines: Sequence[str], eol: str) -> Splice:
    """New lines below the line that `end` is on; a file without a last line end stays without."""
    at = line_end(text, end)
    if at == len(text):
        return Splice(at, at, "".join(eol + line for line in lines))
    start = next_line(text, end)
    return Splice(start, start, "".join(line + eol for line in lines))


def before_it(at: int, lines: Sequence[str], eol: str, column: int) -> Splice:
    """New lines before what starts at `at` in `column`, which may share its line with a dash."""
    return Splice(at, at, (eol.join(lines) + eol + " " * column)[column:])


def at_the_end(text: str, lines: Sequence[str], eol: str) -> Splice:
    """New lines at the end of a text with nothing but comments, before a mark that ends the document."""
    mark = _DOCUMENT_END.search(text)
    if mark is not None:
        start = line_start(text, mark.end())
        return Splice(start, start, "".join(line + eol for line in lines))
    if text and text[-1] not in _BREAKS:
        return Splice(len(text), len(text), "".join(eol + line for line in lines))
    return Splice(len(text), len(text), "".join(line + eol for line in lines))


def own_comments(text: str, end: int, column: int) -> int:
    """The end of what belongs to a key of `column` whose value ends at `end`: comment lines directly below count
    when nothing follows them directly that they could be about, or when they stand deeper than the key."""
    at = own = line_end(text, end)
    while at < len(text) and (comment := _COMMENT_LINE.match(text, next_line(text, at))):
        if len(comment[1]) < column:
            break
        at = comment.end()
        if len(comment[1]) > column:
            own = at
    following = next_line(text, at)
    is_end = _BLANK_LINE.match(text, following) or _DOCUMENT_END.match(text, following)
    return at if is_end else own


def has_blank_above(text: str, at: int) -> bool:
    """Whether a blank line stands above the line that `at` is on, and the comments directly above that."""
    start = line_start(text, at)
    while start:
        above = line_start(text, start - len(_last_break(text, start)))
        if _BLANK_LINE.match(text, above):
            return True
        if not _COMMENT_LINE.match(text, above):
            return False
        start = above
    return False


def without_strip(text: str, node: Node) -> Splice | None:
    """A text under `|` that ends with the file, and without a line end, has none; below it stands more, so its header
    must say `-` for it to stay the same."""
    while not isinstance(node, Scalar):
        if is_flow(text, node):
            return None
        node = node.pairs[-1][1] if isinstance(node, Block) else node.items[-1]
    if not is_literal(text, node) or end_of(text, node) < len(text):
        return None
    header = re.compile(r"[|>]([0-9]?)([+-]?)([0-9]?)").match(text, node.start.index)
    if header is None or header[2] == "-":
        return None
    return Splice(header.start(2), header.end(2), "-")


def into_flow(text: str, spans: Sequence[Span], inside: Span, index: int, new: str, eol: str) -> list[Splice]:
    """`new` as entry number `index` of those that stand at `spans` in braces or brackets; `inside` is between these."""
    if not spans:
        return [_into_empty(text, inside, new, eol)]
    if index < len(spans):
        start = spans[index].start
        near = _gap(text, spans, max(index, 1))
        return [Splice(start, start, new + (near or _new_gap(text, spans[index], inside, eol)))]
    last = spans[-1].end
    gap = _gap(text, spans, len(spans) - 1) or _new_gap(text, spans[-1], inside, eol)
    comma = passed_over(text, last)
    if text[comma] == ",":
        lead = gap.replace(",", "", 1)
        rest = line_end(text, comma)
        if _BREAK.match(lead) and rest < inside.end and text[comma + 1 : rest].strip(" \t")[:1] in ("", "#"):
            return [Splice(rest, rest, lead + new + ",")]
        return [Splice(comma + 1, comma + 1, lead + new + ",")]
    rest = line_end(text, last)
    if rest < inside.end and "#" in text[last:rest]:
        indent = spans[0].start - line_start(text, spans[0].start)
        return [Splice(last, last, ","), Splice(rest, rest, eol + " " * indent + new)]
    return [Splice(last, last, gap + new)]


def _into_empty(text: str, inside: Span, new: str, eol: str) -> Splice:
    within = text[inside.start : inside.end]
    start = line_start(text, inside.end)
    if start <= inside.start or text[start : inside.end].strip(" \t"):
        pad = within if not within.strip(" ") else ""
        return Splice(inside.start, inside.start, pad + new)
    comment = re.search(r"([ ]*)#[^#]*$", within)
    indent = comment[1] if comment and comment[1] else " " * (inside.end - start + 2)
    return Splice(start, start, indent + new + eol)


def _gap(text: str, spans: Sequence[Span], index: int) -> str:
    """What stands between entry `index` and the one before it; nothing when there is none, or more than a comma and the
    end of a line."""
    if not 0 < index < len(spans):
        return ""
    gap = text[spans[index - 1].end : spans[index].start]
    return "" if "#" in gap or len(_BREAK.findall(gap)) > 1 else gap


def _new_gap(text: str, span: Span, inside: Span, eol: str) -> str:
    """A comma, and the line and column of an entry that has a line of its own."""
    start = line_start(text, span.start)
    if start > inside.start and is_first_on_its_line(text, span.start):
        return "," + eol + " " * (span.start - start)
    return ", "


def out_of_flow(text: str, spans: Sequence[Span], index: int) -> list[Splice]:
    """Entry `index` taken out of braces or brackets with one comma; comments stay."""
    start, end = spans[index]
    after = passed_over(text, end)
    comma = after if text[after] == "," else None
    if index < len(spans) - 1:
        gap = text[end : spans[index + 1].start]
        if "#" not in gap:
            return [Splice(start, spans[index + 1].start, "")]
        assert comma is not None
        return [Splice(start, end, ""), Splice(comma, comma + 1, "")]
    if not index:
        return [Splice(start, end, ""), *_only(comma)]
    before = spans[index - 1].end
    first = passed_over(text, before)
    stop = end if comma is None else comma + 1
    if "#" not in text[before:start]:
        # A comma at the end of all stays with the entry that is last now.
        return [Splice(before, stop, "")] if comma is None else [Splice(first + 1, end, ""), Splice(comma, stop, "")]
    # The line goes from the break that ends a comment on; that break stays when more follows on the line.
    from_there = line_start(text, start)
    if _BLANK_LINE.match(text, stop) or text[stop : line_end(text, stop)].lstrip(" \t").startswith("#"):
        from_there -= len(_last_break(text, from_there))
    if comma is not None and from_there > first:
        return [Splice(from_there, end, ""), Splice(comma, stop, "")]
    return [Splice(first, first + 1, ""), Splice(max(from_there, first + 1), end, ""), *_only(comma)]


def _only(comma: int | None) -> list[Splice]:
    return [] if comma is None else [Splice(comma, comma + 1, "")]


def out_of_block(text: str, at: int, end: int, following: int | None, *, keeps_line_end: bool = False) -> list[Splice]:
    """The lines of what starts at `at` and ends at `end` taken out; `following` is where its next neighbour starts.

    A file without a last line end stays without, unless `keeps_line_end` says that the line before keeps its own.
    """
    if is_first_on_its_line(text, at):
        start, stop = line_start(text, at), next_line(text, end)
        if line_end(text, end) == len(text) and start and not keeps_line_end:
            start -= len(_last_break(text, start))
        return [Splice(start, stop, "")]
    if following is not None and "#" not in text[end:following]:
        return [Splice(at, following, "")]
    return [Splice(at, end, "")]
