"""Drawings: well-formed, drilling templates at true size, and nothing past an edge."""

from __future__ import annotations

from fractions import Fraction

import pytest
from lxml import etree

from flipbook.measures.lengths import tell_inches
from flipbook.sums.drawing import PAPERS, drilling_templates, layout_drawing
from flipbook.sums.fronts import read_fronts
from flipbook.sums.holes import Pull, pull_holes
from flipbook.sums.panels import Panel, from_sheet

INCH = Fraction("25.4")
PULL, KNOB = Pull(centres=Fraction(96)), Pull(centres=Fraction(0))


def templates(fronts: str, *, pull: Pull = PULL, each: int = 1, paper: str = "letter") -> list[etree._Element]:
    """The pages of a template, in each of which a unit is a millimetre."""
    layout = pull_holes(read_fronts(fronts, None), pull=pull, each=each)
    pages = drilling_templates(layout, PAPERS[paper], tell_inches, to_a_pull=2 if pull.centres else 1)
    roots = [etree.fromstring(page) for page in pages]
    for root in roots:
        width, height = str(root.get("width")), str(root.get("height"))
        assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
        assert width.endswith("mm")
    return roots


def shapes(page: etree._Element, tag: str, kind: str = "") -> list[etree._Element]:
    found = [shape for shape in page.iter() if etree.QName(shape).localname == tag]
    return [shape for shape in found if not kind or shape.get("class") == kind]


def number(shape: etree._Element, name: str) -> Fraction:
    return Fraction(str(shape.get(name)))


def words(page: etree._Element) -> str:
    return " ".join(text.text or "" for text in shapes(page, "text"))


def test_a_small_front_is_drawn_whole_at_true_size() -> None:
    (page,) = templates("drawer 7 x 5 in")
    assert (page.get("width"), page.get("height")) == ("215.9mm", "279.4mm")  # letter, 8 1/2 x 11 in
    (front,) = shapes(page, "rect", "line")
    assert (number(front, "width"), number(front, "height")) == (Fraction("177.8"), Fraction(127))
    left, right = shapes(page, "circle")
    assert number(right, "cx") - number(left, "cx") == 96
    assert number(left, "cx") - number(front, "x") == Fraction("40.9")  # (177.8 - 96) / 2
    assert number(left, "cy") - number(front, "y") == Fraction("63.5")
    assert number(left, "r") * 2 == Fraction("4.762")  # 3/16 in, 4.7625 mm, its half to the thousandth


def test_the_bars_to_check_are_100_mm_and_4_in() -> None:
    (page,) = templates("7 x 5 in")
    assert [number(bar, "width") for bar in shapes(page, "rect", "bar")] == [100, Fraction("101.6")]
    assert "Print at 100%" in words(page)


def test_a_large_front_is_drilled_pull_by_pull_from_its_top_edge() -> None:
    (page,) = templates("30 x 8 in", each=2)
    left, right = shapes(page, "circle")
    assert number(right, "cx") - number(left, "cx") == 96
    edge = min(number(line, "y1") for line in shapes(page, "line", "line"))
    assert number(left, "cy") - edge == Fraction("101.6")  # half of 8 in
    middle = shapes(page, "line", "mid")[0]
    assert number(middle, "x1") * 2 == number(left, "cx") + number(right, "cx")
    assert "7 1/2 in, then 22 1/2 in from the left edge" in words(page)  # quarters of 30 in


@pytest.mark.parametrize(
    ("fronts", "pull", "each", "holes", "told"),
    [
        # 96 mm are over a third of 10 in, and still one pull.
        ("door 10 x 30 in", PULL, 1, 2, "is 15 in from the top edge"),
        ("40 x 8 in", KNOB, 2, 1, "10 in, then 30 in"),
    ],
)
def test_a_page_shows_one_pull_with_all_its_holes(fronts: str, pull: Pull, each: int, holes: int, told: str) -> None:
    (page,) = templates(fronts, pull=pull, each=each)
    assert len(shapes(page, "circle")) == holes
    assert told in words(page)


def test_fronts_of_two_sizes_get_a_page_each() -> None:
    assert [page.get("height") for page in templates("3 at 30 x 8 in, 14 x 6 in", paper="a4")] == ["297mm"] * 2


def test_a_name_with_signs_of_markup_is_text_in_a_drawing() -> None:
    (page,) = templates("door <script>&\x1b 7 x 5 in")
    assert not shapes(page, "script")
    assert "<script>&" in words(page)


def test_every_piece_of_a_layout_is_drawn_inside_it() -> None:
    layout = from_sheet(Panel(width=6 * INCH, height=8 * INCH), width=24 * INCH, length=47 * INCH)
    whole, *pieces = shapes(etree.fromstring(layout_drawing(layout, "6 x 8", tell_inches, is_sheet=True)), "rect")
    assert len(pieces) == len(layout.pieces) > 20
    # Drawn to the scale of the sheet, in its own proportions, and no piece past its edge.
    assert number(whole, "width") / number(whole, "height") == pytest.approx(24 / 47, rel=1e-4)
    for piece in pieces:
        for at, long in (("x", "width"), ("y", "height")):
            assert number(piece, at) >= number(whole, at)
            end = number(whole, at) + number(whole, long) + Fraction(1, 100)
            assert number(piece, at) + number(piece, long) <= end
