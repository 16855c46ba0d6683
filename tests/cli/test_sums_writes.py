"""`flipbook sums --jot` and its drawings: what is written, where, and at true size."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from io import StringIO
from pathlib import Path
from xml.parsers.expat import ParserCreate

import pytest
from shop_writer import GOOD_PIECE, REPOSITORY, Ran, ShopWriter, run_flipbook

from flipbook.cli.main import main
from flipbook.compile import check_shop
from flipbook.shop.records.piece import Piece
from flipbook.sums.words import SUMS

Flipbook = Callable[..., Ran]
FILE = "pieces/oak-stool/piece.yaml"
RECEIPTS = """\
- {on: 2026-01-03, from: Harbour Hardware, what: fog grey paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
- {on: 2026-01-03, from: Harbour Hardware, what: satin clear coat, size: 1 quart, cost: 31.00, for: shelf, container: can}
"""
PRODUCTS = "products:\n  fog grey paint: {type: waterborne paint, covers: 75 sq ft per pint, recoat: 4 h}\n"


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A shop with a stool, paint and clear coat."""
    return (
        shop.write({"products.yaml": PRODUCTS})
        .receipts(RECEIPTS)
        .piece("size: 12 x 12 x 18 in\nbuilt: 2015\nwood: red oak\n")
    )


def jot(bench: ShopWriter, *words: str) -> Piece:
    """Jot a sum down, which must be done with every other byte as it was; the piece as the program's reader has it."""
    before = (bench.root / FILE).read_text("utf-8")
    ran = run_flipbook("sums", *words, "--piece", "oak-stool", "--jot", cwd=bench.root)
    assert (ran.code, ran.err) == (0, ""), ran
    after = (bench.root / FILE).read_text("utf-8")
    kept = iter(after.splitlines())
    assert all(line in kept for line in before.splitlines())
    number = re.search(rf"^Written at {re.escape(FILE)}:([0-9]+)$", ran.out, re.MULTILINE)
    assert number is not None
    assert after.splitlines()[int(number[1]) - 1].strip().startswith("- ")
    return bench.books().facts.pieces[0].piece


def test_a_mix_is_a_step_of_today_and_takes_its_paint_off_the_shelf(bench: ShopWriter) -> None:
    day = date.today()
    piece = jot(bench, "mix", "fog grey paint 1, water 2", "--makes", "12 fl oz", "--did", "first wash coat")
    (step,) = piece.log
    assert step.on.day in (day, date.today())
    assert step.did == "first wash coat"
    assert step.mix is not None
    assert [(name, parts) for name, parts, _ in step.mix.parts] == [("fog grey paint", 1), ("water", 2)]
    assert bench.books().shelf.products["fog grey paint"].left == Fraction(12, 16)  # of a pint, less 4 fl oz


def test_a_mix_made_by_amounts_is_written_in_parts(bench: ShopWriter) -> None:
    piece = jot(bench, "mix", "fog grey paint 4 fl oz, water 8 fl oz", "--on", "2026-01-07 9:30")
    (step,) = piece.log
    assert step.did == "mixed fog grey paint 1 to water 2"
    assert (str(step.on.day), str(step.on.clock)) == ("2026-01-07", "09:30:00")
    assert bench.books().shelf.products["fog grey paint"].left == Fraction(12, 16)


def test_a_mix_that_the_shelf_cannot_give_is_not_written(bench: ShopWriter) -> None:
    before = (bench.root / FILE).read_bytes()
    ran = run_flipbook("sums", "mix", "fog grey paint 1, water 1", "--makes", "1 gallon", "--piece", "stool", "--jot", cwd=bench.root)  # fmt: skip
    assert ran.code == 1
    assert "over-what-is-left" in ran.err
    assert (bench.root / FILE).read_bytes() == before


def test_coats_are_planned_one_by_one_with_what_they_take(bench: ShopWriter) -> None:
    piece = jot(bench, "coats", "--product", "fog grey paint", "--coats", "2")
    assert [step.did for step in piece.planned] == ["first coat of fog grey paint", "second coat of fog grey paint"]
    # 12 x 12 + 2 x 12 x 18 + 12 x 18 = 792 sq in, 5.5 sq ft; / 75 x 16 x 1.1 = 1.2907 fl oz a coat, rounded up.
    assert [str(use.taken) for step in piece.planned for use in step.used] == ["1.3 fl oz", "1.3 fl oz"]
    assert {step.dries for step in piece.planned} == {240}
    assert piece.log == ()


@pytest.mark.parametrize(
    ("words", "did"),
    [
        (("grits", "80 to 180"), "sand"),
        (("grits", "--for", "stain"), "sand for stain"),
        (("grits", "CAMI 180, CAMI 320", "--did", "sand the seat"), "sand the seat"),
        (("drying", "2 coats satin clear coat"), "first coat of satin clear coat"),
        (("trim", "2 at 10 x 6 in", "--width", "1 in"), "cut the trim, mitred: 4 x front 1, long: 10 in long points"),
        (("panels", "2 at 6 x 8 in", "--roll", "54 in", "--sold-by", "1 yd"), "cut 2 pieces of 6 in by 8 in from 36 in of a roll 54 in wide"),
        (("panels", "top", "--sheet", "24 x 48 in"), "cut 1 piece of 12 in by 12 in from 1 sheet of 24 in by 48 in"),
        (("holes", "10 x 6 in", "--pull", "96 mm"), "drill for pulls: `front 1`, 10 in by 6 in"),
        (("movement", "--from", "6%", "--to", "11%"), "leave 7/32 in"),
        (("fasteners", "--part", "3/8 in", "--behind", "3/4 in"), "nail with 18 gauge brads, 1 in"),
        (("fasteners", "--screw", "8"), "drill for number 8 screws: 11/64 in through the part, 7/64 in into the hardwood"),
    ],
)  # fmt: skip
def test_what_is_still_to_do_is_planned(bench: ShopWriter, words: tuple[str, ...], did: str) -> None:
    piece = jot(bench, *words)
    assert piece.log == ()
    assert piece.planned[0].did.startswith(did)


def test_grits_are_planned_as_the_log_takes_them(bench: ShopWriter) -> None:
    assert jot(bench, "grits", "80 to 180").planned[0].grit == ("P80", "P120", "P180")
    assert jot(bench, "grits", "CAMI 180, CAMI 320").planned[1].grit == ("180", "320")


def test_drying_times_are_planned_with_their_coats(bench: ShopWriter) -> None:
    piece = jot(bench, "drying", "fog grey paint", "--begin", "2026-03-02 9:00")
    assert [(step.did, step.dries) for step in piece.planned] == [("coat of fog grey paint", 240)]
    # What is planned gives the same timetable again.
    again = json.loads(run_flipbook("sums", "drying", "--piece", "stool", "--begin", "2026-03-02 9:00", "--json", cwd=bench.root).out)  # fmt: skip
    assert [entry["at"] for entry in again["entries"] if entry["what"] == "recoat"] == ["2026-03-02T13:00"]


def test_nothing_is_planned_for_a_piece_that_has_left(bench: ShopWriter) -> None:
    bench.piece("size: 12 x 12 x 18 in\nsold: {on: 2026-02-01, price: 90}\n")
    before = (bench.root / FILE).read_bytes()
    ran = run_flipbook("sums", "grits", "80 to 180", "--piece", "oak-stool", "--jot", cwd=bench.root)
    assert (ran.code, ran.out) == (2, "")
    assert "is sold, so nothing is left to plan" in ran.err
    assert (bench.root / FILE).read_bytes() == before


# Drawings.
@dataclass
class Shape:
    """An element of a drawing, and the words in it."""

    tag: str
    attrib: dict[str, str]
    text: str = ""


def drawn(path: Path) -> list[Shape]:
    """The elements of a drawing, which must be well-formed XML."""
    found: list[Shape] = []
    parser = ParserCreate()
    parser.StartElementHandler = lambda tag, attrib: found.append(Shape(tag, attrib))

    def words(text: str) -> None:
        found[-1].text += text

    parser.CharacterDataHandler = words
    parser.Parse(path.read_bytes(), True)
    return found


def shapes(path: Path, tag: str) -> list[Shape]:
    return [shape for shape in drawn(path) if shape.tag == tag]


def at_true_size(path: Path) -> Shape:
    """The drawing, in which a unit is a millimetre."""
    top = drawn(path)[0]
    width, height = top.attrib["width"], top.attrib["height"]
    assert top.attrib["viewBox"] == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"
    assert width.endswith("mm")
    return top


def number(shape: Shape, name: str) -> Fraction:
    return Fraction(shape.attrib[name])


def template(bench: ShopWriter, *words: str) -> list[Path]:
    ran = run_flipbook("sums", "holes", *words, "--template", str(bench.root / "t.svg"), cwd=bench.root)
    assert (ran.code, ran.err) == (0, ""), ran
    return sorted(bench.root.glob("t*.svg"))


def test_a_small_front_is_drawn_whole_at_true_size(bench: ShopWriter) -> None:
    (path,) = template(bench, "drawer 7 x 5 in", "--pull", "96 mm")
    top = at_true_size(path)
    assert (top.attrib["width"], top.attrib["height"]) == ("215.9mm", "279.4mm")  # letter, 8 1/2 x 11 in
    (front,) = [each for each in shapes(path, "rect") if each.attrib["class"] == "line"]
    assert (number(front, "width"), number(front, "height")) == (Fraction("177.8"), Fraction(127))
    left, right = shapes(path, "circle")
    assert number(right, "cx") - number(left, "cx") == 96
    assert number(left, "cx") - number(front, "x") == Fraction("40.9")  # (177.8 - 96) / 2
    assert number(left, "cy") - number(front, "y") == Fraction("63.5")
    assert number(left, "r") * 2 == Fraction("4.762")  # 3/16 in, 4.7625 mm, its half to the thousandth


def test_the_bars_to_check_are_100_mm_and_4_in(bench: ShopWriter) -> None:
    (path,) = template(bench, "7 x 5 in", "--pull", "96 mm")
    bars = [number(each, "width") for each in shapes(path, "rect") if each.attrib["class"] == "bar"]
    assert bars == [100, Fraction("101.6")]
    words = " ".join(text.text for text in shapes(path, "text"))
    assert "Print at 100%" in words


def test_a_large_front_is_drilled_pull_by_pull_from_its_top_edge(bench: ShopWriter) -> None:
    (path,) = template(bench, "30 x 8 in", "--pull", "3-3/4 in", "--each", "2")
    at_true_size(path)
    left, right = shapes(path, "circle")
    assert number(right, "cx") - number(left, "cx") == 96
    edge = min(number(line, "y1") for line in shapes(path, "line") if line.attrib["class"] == "line")
    assert number(left, "cy") - edge == Fraction("101.6")  # half of 8 in
    middle = [line for line in shapes(path, "line") if line.attrib["class"] == "mid"]
    assert number(middle[0], "x1") * 2 == number(left, "cx") + number(right, "cx")
    words = " ".join(text.text for text in shapes(path, "text"))
    assert "7 1/2 in, then 22 1/2 in from the left edge" in words  # quarters of 30 in


def test_a_narrow_door_keeps_both_holes_of_its_pull(bench: ShopWriter) -> None:
    # 96 mm are over a third of 10 in, and still one pull.
    (path,) = template(bench, "door 10 x 30 in", "--pull", "96 mm")
    left, right = shapes(path, "circle")
    assert number(right, "cx") - number(left, "cx") == 96
    assert any("is 15 in from the top edge" in text.text for text in shapes(path, "text"))


def test_knobs_have_a_hole_each_on_their_template(bench: ShopWriter) -> None:
    (path,) = template(bench, "40 x 8 in", "--knob", "--each", "2")
    assert len(shapes(path, "circle")) == 1
    assert any("10 in, then 30 in" in text.text for text in shapes(path, "text"))


def test_fronts_of_two_sizes_get_a_page_each(bench: ShopWriter) -> None:
    paths = template(bench, "3 at 30 x 8 in, 14 x 6 in", "--pull", "96 mm", "--paper", "a4")
    assert [path.name for path in paths] == ["t-1.svg", "t-2.svg"]
    assert {at_true_size(path).attrib["height"] for path in paths} == {"297mm"}


def test_every_piece_of_a_layout_is_drawn_inside_it(bench: ShopWriter) -> None:
    svg = bench.root / "layout.svg"
    ran = run_flipbook("sums", "panels", "20 at 6 x 8 in", "--sheet", "24 x 47 in", "--svg", str(svg), cwd=bench.root)
    assert (ran.code, ran.err) == (0, "")
    whole, *pieces = shapes(svg, "rect")
    assert len(pieces) == 23
    # Drawn to the scale of the sheet, in its own proportions, and no piece past its edge.
    assert number(whole, "width") / number(whole, "height") == pytest.approx(24 / 47, rel=1e-4)
    for piece in pieces:
        assert number(piece, "x") >= number(whole, "x")
        assert number(piece, "x") + number(piece, "width") <= number(whole, "x") + number(whole, "width") + Fraction(
            1, 100
        )
        assert number(piece, "y") + number(piece, "height") <= number(whole, "y") + number(whole, "height") + Fraction(
            1, 100
        )


def test_a_name_with_signs_of_markup_is_text_in_a_drawing(bench: ShopWriter) -> None:
    (path,) = template(bench, "door <script>&\x1b 7 x 5 in", "--pull", "96 mm")
    assert not shapes(path, "script")
    assert any("<script>&" in text.text for text in shapes(path, "text"))


def test_a_drawing_may_be_made_again(bench: ShopWriter) -> None:
    assert template(bench, "7 x 5 in", "--pull", "96 mm") == template(bench, "7 x 5 in", "--pull", "96 mm")


# The demo's pieces.
@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the demo shop."""
    root = tmp_path_factory.mktemp("demo") / "shop"
    shutil.copytree(REPOSITORY / "demo_shop", root, ignore=shutil.ignore_patterns("out", "drawing"))
    return root


DEMO_PIECES = sorted(path.name for path in (REPOSITORY / "demo_shop" / "pieces").iterdir() if path.is_dir())
ASKED: dict[str, tuple[str, ...]] = {
    "mix": ("satin clear coat 10, water 1", "--makes", "1 fl oz"),
    "coats": ("--product", "satin clear coat", "--coats", "3"),
    "grits": ("80 to 220",),
    "drying": ("2 coats satin clear coat",),
    "trim": ("front", "--width", "3/4 in"),
    "panels": ("side", "--roll", "54 in"),
    "holes": ("front", "--pull", "96 mm"),
    "movement": ("red oak", "--from", "6%", "--to", "11%"),
    "fasteners": ("--screw", "8"),
    "cautions": (),
}


@pytest.mark.parametrize("sum_of", SUMS)
@pytest.mark.parametrize("piece", DEMO_PIECES)
def test_every_sum_answers_for_every_piece_of_the_demo(demo: Path, piece: str, sum_of: str) -> None:
    words = ["sums", sum_of, *ASKED[sum_of], "--piece", piece, "--shop", str(demo)]
    with redirect_stdout(StringIO()) as out, redirect_stderr(StringIO()) as err:
        code = main(words)
    assert (code, err.getvalue()) == (0, "")
    assert out.getvalue()
    assert max(map(len, out.getvalue().splitlines())) <= 80


@pytest.mark.parametrize("sum_of", [name for name in SUMS if name != "cautions"])
def test_every_sum_is_jotted_into_the_demo_and_the_shop_stays_good(demo: Path, tmp_path: Path, sum_of: str) -> None:
    root = tmp_path / "shop"
    shutil.copytree(demo, root)
    for piece in ("spindle-chair", "secretary-desk"):
        ran = run_flipbook("sums", sum_of, *ASKED[sum_of], "--piece", piece, "--jot", cwd=root)
        assert (ran.code, ran.err) == (0, ""), ran
    assert not [problem for problem in check_shop(root).problems if not problem.warning]


def test_the_piece_is_named_as_everywhere(bench: ShopWriter) -> None:
    bench.write({"pieces/oak-chest/piece.yaml": GOOD_PIECE.replace("stool", "chest")})
    ran = run_flipbook("sums", "coats", "--piece", "oak", cwd=bench.root)
    assert ran.code == 2
    assert "`oak` fits 2 pieces" in ran.err
