"""Drawings as SVG: how pieces lie on a roll or a sheet, and drilling templates that print at true size.

One unit of a template is one millimetre: its page is said in millimetres, and so is its view box. A bar of 100 mm and
one of 4 in stand on it, to be checked with a rule before anything is drilled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, tell_millimetres
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.problems import visible
from flipbook.sums.holes import DrilledFront, Hole, HoleLayout
from flipbook.sums.panels import Layout

_HEAD: Final = '<?xml version="1.0" encoding="UTF-8"?>\n'
_EDGE: Final = Fraction(10)
"""Millimetres at the edge of a paper that printers leave white."""
_TITLE: Final = Fraction(34)
"""Millimetres at the head of a template for its words and bars."""
_STYLE: Final = (
    "text{font-family:sans-serif;font-size:3.2px;fill:#000}.line{fill:none;stroke:#000;stroke-width:.3}"
    ".thin{fill:none;stroke:#000;stroke-width:.15}.mid{fill:none;stroke:#000;stroke-width:.2;stroke-dasharray:4 1.5 1 1.5}"
    ".hole{fill:none;stroke:#000;stroke-width:.25}.bar{fill:#000}.small{font-size:2.6px}"
)


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper as it goes into a printer, in exact millimetres, upright."""

    name: str
    width: Fraction
    height: Fraction


PAPERS: Final = {
    paper.name: paper
    for paper in (
        Paper("letter", Fraction(17, 2) * INCH, 11 * INCH),
        Paper("legal", Fraction(17, 2) * INCH, 14 * INCH),
        Paper("tabloid", 11 * INCH, 17 * INCH),
        Paper("a4", Fraction(210), Fraction(297)),
        Paper("a3", Fraction(297), Fraction(420)),
    )
}


def paper_named(text: str) -> Paper:
    """The paper of that name. Raises Unreadable."""
    paper = PAPERS.get(text.strip().lower())
    if paper is None:
        raise Unreadable(f"`{shown(text)}` is no paper known here", f"write one of {', '.join(PAPERS)}")
    return paper


def drilling_templates(layout: HoleLayout, paper: Paper, tell: Tell, *, to_a_pull: int) -> list[bytes]:
    """A page for each front that is drilled in its own way, at true size; a pull has `to_a_pull` holes, 1 or 2.

    A front that fits on the paper is drawn whole. Of a larger one a page shows one pull, with the line of its middle
    and the front's top edge, or a line at the height of the holes where the edge is too far away; two pulls are drilled
    with it one after the other.

    Raises Unreadable when the holes of one pull are further apart than the paper is long.
    """
    seen: dict[tuple[object, ...], bytes] = {}
    for drilled in layout.fronts:
        front = drilled.front
        key = (front.width, front.height)
        if key not in seen:
            seen[key] = _template(drilled, layout.hole, paper, tell, to_a_pull)
    return list(seen.values())


def layout_drawing(layout: Layout, name: str, tell: Tell, *, is_sheet: bool) -> bytes:
    """A small drawing of the pieces on the roll or the whole sheet, drawn to fit 180 mm, with its sizes in words."""
    width, length = layout.width / INCH, (layout.to_buy if is_sheet else layout.length) / INCH
    scale = min(Fraction(180) / width, Fraction(220) / length)
    page_width, page_height = max(width * scale, Fraction(120)) + 20, length * scale + 30
    shapes = [_rect(Fraction(10), Fraction(18), width * scale, length * scale, "line")]
    for number, each in enumerate(layout.pieces, 1):
        left, top = 10 + each.left * scale, 18 + each.start * scale
        shapes.append(_rect(left, top, each.width * scale, each.height * scale, "thin"))
        label = f"{number}{' turned' if each.turned else ''}"
        shapes.append(
            _text(left + each.width * scale / 2, top + each.height * scale / 2 + 1, label, middle=True, small=True)
        )
    words = [
        f"{len(layout.pieces)} of {name} on {tell(layout.width)} by {tell(length * INCH)}",
        "Not to scale: the sizes are in the words. Grain or pattern runs down the page.",
    ]
    shapes += [_text(Fraction(10), Fraction(7 + 5 * number), line) for number, line in enumerate(words)]
    return _page(page_width, page_height, f"{len(layout.pieces)} of {name}", shapes)


def _template(drilled: DrilledFront, hole: Fraction, paper: Paper, tell: Tell, to_a_pull: int) -> bytes:
    front = drilled.front
    fits_upright = front.width <= paper.width - 2 * _EDGE and front.height <= paper.height - 2 * _EDGE - _TITLE
    fits_across = front.width <= paper.height - 2 * _EDGE and front.height <= paper.width - 2 * _EDGE - _TITLE
    if fits_upright or fits_across:
        page = (paper.width, paper.height) if fits_upright else (paper.height, paper.width)
        return _whole_front(drilled, hole, page, tell)
    return _one_pull(drilled, hole, paper, tell, to_a_pull)


def _whole_front(drilled: DrilledFront, hole: Fraction, page: tuple[Fraction, Fraction], tell: Tell) -> bytes:
    front, (width, height) = drilled.front, page
    left, top = (width - front.width) / 2, _EDGE + _TITLE
    shapes = [
        _rect(left, top, front.width, front.height, "line"),
        _line(left + front.width / 2, top, left + front.width / 2, top + front.height, "mid"),
    ]
    for each in drilled.holes:
        shapes += _hole(left + each.left, top + each.top, hole)
        shapes += _hole_words(left, top, each)
    words = (
        f"{front.name}: {tell(front.width)} by {tell(front.height)}, whole. Lay the outline on the edges of the front."
    )
    return _page(width, height, front.name, [*_head(words), *shapes])


def _one_pull(drilled: DrilledFront, hole: Fraction, paper: Paper, tell: Tell, to_a_pull: int) -> bytes:
    front = drilled.front
    pulls = [drilled.holes[at : at + to_a_pull] for at in range(0, len(drilled.holes), to_a_pull)]
    first = pulls[0]
    span = first[-1].left - first[0].left
    width, height = paper.width, paper.height
    if span + hole > width - 2 * _EDGE - 10:
        width, height = height, width
    if span + hole > width - 2 * _EDGE - 10:
        raise Unreadable(
            f"holes {tell(span)} apart are wider than {paper.name} paper", f"say a larger one of {', '.join(PAPERS)}"
        )
    middle, head = width / 2, _EDGE + _TITLE
    from_top = first[0].top
    shows_edge = head + from_top + 15 <= height - _EDGE
    at = head + from_top if shows_edge else head + 30
    shapes = [
        _line(middle, head, middle, height - _EDGE, "mid"),
        _line(_EDGE, at, width - _EDGE, at, "thin"),
    ]
    if shows_edge:
        shapes += [
            _line(_EDGE, head, width - _EDGE, head, "line"),
            _text(_EDGE + 1, head - 1, "top edge of the front: fold here", small=True),
        ]
    else:
        shapes.append(_text(_EDGE + 1, at - 1, f"this line is {tell(from_top)} from the top edge", small=True))
    for each in first:
        shapes += _hole(middle + each.left - (first[0].left + span / 2), at, hole)
    places = ", then ".join(tell(pull[0].left + (pull[-1].left - pull[0].left) / 2) for pull in pulls)
    shapes.append(_text(middle + 1, height - _EDGE - 1, f"middle of the pull: {places} from the left edge", small=True))
    words = (
        f"{front.name}: {tell(front.width)} by {tell(front.height)}. One pull; its middle goes {places} from the left."
    )
    return _page(width, height, front.name, [*_head(words), *shapes])


def _head(words: str) -> list[str]:
    left, top = _EDGE, _EDGE + 4
    return [
        _text(left, top, "Drilling template. Print at 100%, never fitted to the page; then lay a rule on the bars."),
        _text(left, top + 5, words),
        *_bar(left, top + 9, Fraction(100), Fraction(10), "100 mm"),
        *_bar(left, top + 17, 4 * INCH, INCH, "4 in"),
    ]


def _bar(left: Fraction, top: Fraction, length: Fraction, step: Fraction, words: str) -> list[str]:
    shapes = [f'<rect class="bar" x="{_mm(left)}" y="{_mm(top + 3)}" width="{_mm(length)}" height="0.4"/>']
    for number in range(int(length / step) + 1):
        at = left + number * step
        shapes.append(_line(at, top, at, top + 3, "thin"))
    shapes.append(_text(left + length + 2, top + 3, words, small=True))
    return shapes


def _hole(x: Fraction, y: Fraction, size: Fraction) -> list[str]:
    arm = size / 2 + 3
    return [
        f'<circle class="hole" cx="{_mm(x)}" cy="{_mm(y)}" r="{_mm(size / 2)}"/>',
        _line(x - arm, y, x + arm, y, "thin"),
        _line(x, y - arm, x, y + arm, "thin"),
    ]


def _hole_words(left: Fraction, top: Fraction, hole: Hole) -> list[str]:
    words = (f"{tell_millimetres(hole.left)} from the left", f"{tell_millimetres(hole.top)} from the top")
    x, y = left + hole.left, top + hole.top + 9
    return [_text(x, y + 4 * number, line, middle=True, small=True) for number, line in enumerate(words)]


def _page(width: Fraction, height: Fraction, title: str, shapes: Sequence[str]) -> bytes:
    w, h = _mm(width), _mm(height)
    body = "\n".join(shapes)
    return (
        f'{_HEAD}<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">\n'
        f"<title>{escape(visible(title))}</title>\n<style>{_STYLE}@page{{size:{w}mm {h}mm;margin:0}}</style>\n{body}\n</svg>\n"
    ).encode()


def _rect(x: Fraction, y: Fraction, width: Fraction, height: Fraction, kind: str) -> str:
    return f'<rect class={quoteattr(kind)} x="{_mm(x)}" y="{_mm(y)}" width="{_mm(width)}" height="{_mm(height)}"/>'


def _line(x1: Fraction, y1: Fraction, x2: Fraction, y2: Fraction, kind: str) -> str:
    return f'<line class={quoteattr(kind)} x1="{_mm(x1)}" y1="{_mm(y1)}" x2="{_mm(x2)}" y2="{_mm(y2)}"/>'


def _text(x: Fraction, y: Fraction, words: str, *, middle: bool = False, small: bool = False) -> str:
    anchor = ' text-anchor="middle"' if middle else ""
    kind = ' class="small"' if small else ""
    return f'<text x="{_mm(x)}" y="{_mm(y)}"{anchor}{kind}>{escape(visible(words))}</text>'


def _mm(length: Fraction | int) -> str:
    """Millimetres to the thousandth, which is finer than any printer."""
    value = Fraction(length)
    return f"-{write_decimal(-value, places=3)}" if value < 0 else write_decimal(value, places=3)
