"""`flipbook sums` misused: a sentence each, exit status 2, and nothing written."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import Ran, ShopWriter

from flipbook.cli.main import main
from flipbook.sums.words import SUMS

Flipbook = Callable[..., Ran]

PAINT = "- {on: 2026-01-03, from: Harbour Hardware, what: fog grey paint, size: 1 pint, cost: 24.50, for: shelf}\n"


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A shop with a stool that has a size, no wood, no log and no plan."""
    return shop.receipts(PAINT).piece("size: 12 x 12 x 18 in\n")


def ended(bench: ShopWriter, words: tuple[str, ...]) -> tuple[int, str, str]:
    with redirect_stdout(StringIO()) as out, redirect_stderr(StringIO()) as err:
        code = main(["sums", *words, *(["--shop", str(bench.root)] if words and words[0] in SUMS else [])])
    return code, out.getvalue(), err.getvalue()


REFUSED = [
    # Which sum.
    (("mx",), "did you mean `mix`?"),
    (("mix", "--maks", "1 cup"), "did you mean `--makes`?"),
    # Mixes.
    (("mix",), "no part of a mix was said"),
    (("mix", "1:2", "--makes", "12 fl oz"), "does not say which is the water"),
    (("mix", "paint 1, water 2"), "say how much it makes"),
    (("mix", "paint 1, water 2", "--makes", "12 oz"), "write `12 fl oz`"),
    (("mix", "paint 1, water 2", "--makes", "12 imp fl oz"), "is smaller than the US one"),
    (("mix", "paint 1, water 2", "--makes", "0 fl oz"), "nothing is no amount"),
    (("mix", "paint 1, water 2", "--makes=-3 fl oz"), "not negative"),
    (("mix", "paint 1, water 2", "--makes", "999999 gallons"), "more than any pot holds"),
    (("mix", "paint 1, water 2", "--makes", "12 fl oz", "--have", "1 fl oz paint"), "one of --makes, --have, --area"),
    (("mix", "paint 1, water 2", "--have", "5 fl oz"), "does not say of what"),
    (("mix", "paint 1, water 2", "--have", "5 oz paint"), "5 oz is a weight"),
    (("mix", "paint 1, water 2", "--have", "5 fl oz oil"), "is no part of this mix"),
    (("mix", "stuff 1, water 2", "--area", "20 sq ft"), "nothing says how far it goes"),
    (("mix", "paint 1, water 2", "--area", "20 ft"), "is no area"),
    (("mix", "paint 1, water 2", "--area", "9999999 sq ft"), "more than any piece has"),
    (("mix", "paint 1, water 2", "--area", "20 sq ft", "--coats", "0"), "no number of coats"),
    (("mix", "paint 4 oz, water 8 fl oz"), "a weight and a volume"),
    (("mix", "--like", "stool"), "has no mix in its log"),
    (("mix", "--like", "dresser"), "no piece is named like"),
    (("mix", "--piece", "stool"), "has no mix in its log"),
    (("mix", "paint 1, water 2", "--makes", "1 cup", "--on", "someday", "--jot", "--piece", "stool"), "--on"),
    # Coats.
    (("coats",), "the size of the piece is not said"),
    (("coats", "--size", "34 x 19"), "a size is three numbers"),
    (("coats", "wings", "--piece", "stool"), "is no part known here"),
    (("coats", "--piece", "stool", "--coats", "2"), "coats of what?"),
    (("coats", "--piece", "stool", "--product", "mystery"), "nothing says how far"),
    (("coats", "--piece", "stool", "--product", "paint", "--coats", "two"), "no number of coats"),
    (("coats", "--piece", "stool", "--product", "paint", "--coats=-1"), "no number of coats"),
    (("coats", "--piece", "stool", "--product", "paint", "--waste", "10"), "--waste"),
    (("coats", "--piece", "stool", "--product", "paint", "--spray-loss", "100%"), "a spraying loss"),
    (("coats", "--piece", "stool", "--product", "paint", "--covers", "75 ft per pint"), "is not a coverage"),
    (("coats", "--piece", "stool", "--product", "paint", "--covers", "75 sq ft per foot"), "a coverage by length"),
    (("coats", "--piece", "stool", "--product", "fog grey paint", "--covers", "75 sq ft per lb"), "by weight"),
    (("coats", "--piece", "stool", "--product", "paint", "--sold-in", "1 lb"), "is a weight"),
    (("coats", "--piece", "stool", "--jot"), "an area is no step"),
    # Grits.
    (("grits",), "say the grits"),
    (("grits", "320"), "does not say which series"),
    (("grits", "P85"), "write `P80` or `P100`"),
    (("grits", "220 to 80"), "write the coarser one first"),
    (("grits", "80 to 120 to 220"), "is not a grit"),
    (("grits", "--for", "polish"), "no purpose known here"),
    (("grits", "80", "--series", "JIS"), "is no series"),
    (("grits", "--piece", "stool"), "has no grits in its log"),
    (("grits", "0 to 220"), "no grade"),
    # Drying.
    (("drying",), "dry what?"),
    (("drying", "patience"), "is in no products.yaml"),
    (("drying", "--piece", "stool"), "nothing planned and no coat in its log"),
    (("drying", "shellac", "--hours", "20-8"), "close before they open"),
    (("drying", "shellac", "--begin", "someday"), "--begin"),
    (("drying", "shellac", "--temperature", "warm"), "is no temperature"),
    (("drying", "shellac", "--temperature", "9000 F"), "no shop has that temperature"),
    (("drying", "shellac", "--humidity", "50"), "--humidity"),
    (("drying", "shellac", "--calendar", "plan.txt"), "writes a .ics file"),
    (("drying", "shellac", "--calendar", "no/such/plan.ics"), "cannot be written"),
    # Trim.
    (("trim", "12 x 6 in"), "say how wide the trim is"),
    (("trim", "--width", "1 in"), "no front was said"),
    (("trim", "12 in", "--width", "1 in"), "two lengths are wanted"),
    (("trim", "12 x 6 in", "--width", "1"), "`1` has no unit"),
    (("trim", "12 x 6 in", "--width", "8 in"), "no opening"),
    (("trim", "12 x 6 in", "--width", "1x99"), "is no nominal size"),
    (("trim", "12 x 6 in", "--width", "1 in", "--measured", "about"), "is not known"),
    (("trim", "12 x 6 in", "--width", "1 in", "--stick", "6 in"), "write a longer stick"),
    (("trim", "12 x 6 in", "--width", "1 in", "--offcut", "3 ft"), "goes with the length that is bought"),
    (("trim", "0 at 12 x 6 in", "--width", "1 in"), "less than once"),
    (("trim", "--sides", "2", "--side", "1 ft", "--width", "1 in"), "from 3 to 60"),
    (("trim", "--sides", "6", "--width", "1 in"), "say how long a side is"),
    (("trim", "front", "--width", "1 in"), "the size of the piece is not said"),
    # Panels.
    (("panels", "18 x 20 in"), "cut from what?"),
    (("panels", "18 x 20 in", "--roll", "54 in", "--sheet", "1 x 1 ft"), "cut from what?"),
    (("panels", "18 x 20 in", "--roll", "6 in"), "is wider than"),
    (("panels", "18 x 20 in, 3 x 4 in", "--roll", "54 in"), "one size of piece"),
    (("panels", "18 x 20 in", "--roll", "54 in", "--count", "0"), "0 pieces"),
    (("panels", "18 x 20 in", "--sheet", "24 x 48 in", "--sold-by", "1 yd"), "goes with a roll"),
    (("panels", "18 x 20 in", "--roll", "54 in", "--svg", "layout"), "writes a .svg file"),
    # Holes.
    (("holes", "30 x 8 in"), "say the pull by its centres"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--knob"), "say the pull by its centres"),
    (("holes", "2 x 2 in", "--pull", "96 mm"), "reach past the ends"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--each", "3"), "3 pulls on a front"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--spread", "fifths"), "--spread"),
    (("holes", "30 x 8 in", "--pull", "96 mm", "--template", "t.svg", "--paper", "napkin"), "no paper known here"),
    (("holes", "40 x 8 in", "--pull", "320 mm", "--template", "t.svg"), "are wider than letter paper"),
    # Movement.
    (("movement", "--from", "6%", "--to", "8%"), "how wide is the board"),
    (("movement", "red oak", "--width", "18 in", "--to", "8%"), "--from is not said"),
    (("movement", "marble", "--width", "18 in", "--from", "6%", "--to", "8%"), "not in the table"),
    (("movement", "oak", "--width", "18 in", "--from", "6%", "--to", "8%"), "more than one wood"),
    (("movement", "--piece", "stool", "--from", "6%", "--to", "8%"), "which wood?"),
    (("movement", "red oak", "--width", "18 in", "--from", "6%", "--to", "99%"), "is not reckoned"),
    (("movement", "red oak", "--width", "18 in", "--from", "400 F 40%", "--to", "8%"), "no air to keep furniture in"),
    # Fasteners.
    (("fasteners",), "say both thicknesses"),
    (("fasteners", "--part", "3/4 in"), "say both thicknesses"),
    (("fasteners", "--part", "3/4 in", "--behind", "1/8"), "has no unit"),
    (("fasteners", "--part", "1/16 in", "--behind", "1/16 in"), "glue and clamp"),
    (("fasteners", "--part", "3/4 in", "--behind", "3/4 in", "--gauge", "12"), "no table for 12 gauge"),
    (("fasteners", "--screw", "7"), "no row for a number 7"),
    (("fasteners", "--screw", "x"), "no whole number"),
    (("fasteners", "--screw", "8", "--part", "1 in"), "one of the two"),
    (("fasteners", "--screw", "8", "--wood", "pine"), "is not known"),
    # Jotting.
    (("grits", "80 to 220", "--jot"), "say which with `--piece PIECE`"),
    (("grits", "80 to 220", "--piece", "stool", "--jot", "--json"), "say one of the two"),
    (("cautions", "--piece", "stool", "--jot"), "is for you to write"),
    (("cautions",), "cautions of which piece?"),
]


@pytest.mark.parametrize(
    ("words", "says"), REFUSED, ids=lambda value: "-".join(value)[:60] if isinstance(value, tuple) else ""
)
def test_misuse_is_a_sentence(
    bench: ShopWriter, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    code, out, err = ended(bench, words)
    assert (code, out) == (2, ""), err
    assert says in err
    assert err.startswith("flipbook: ")
    assert "Traceback" not in err
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_misuse_is_a_sentence_of_the_process_too(flipbook: Flipbook, bench: ShopWriter) -> None:
    for words in (("mix", "1:2", "--makes", "12 fl oz"), ("grits", "320"), ("coats", "wings", "--piece", "stool")):
        ran = flipbook("sums", *words, cwd=bench.root)
        assert (ran.code, ran.out) == (2, "")
        assert ran.err.startswith("flipbook: ")


def test_a_piece_whose_file_cannot_be_read_shows_its_problem(bench: ShopWriter) -> None:
    bench.piece("size: big\n")
    code, out, err = ended(bench, ("coats", "--piece", "oak-stool"))
    assert (code, out) == (1, "")
    assert "pieces/oak-stool/piece.yaml:3:7" in err


def test_a_shop_with_a_problem_elsewhere_still_reckons_without_its_shelf(bench: ShopWriter) -> None:
    bench.write({"pieces/pine-chest/piece.yaml": "piece: Pine chest\nsize: big\n"})
    code, out, _ = ended(bench, ("mix", "fog grey paint 1, water 2", "--makes", "12 fl oz"))
    assert code == 0
    assert out.startswith("12 fl oz: fog grey paint 4 fl oz")
    assert "The shelf is not told: the shop has problems" in out


def test_another_file_of_that_name_is_left_alone(bench: ShopWriter, tmp_path: Path) -> None:
    other = tmp_path / "notes.svg"
    other.write_text("my notes")
    code, _, err = ended(bench, ("panels", "6 x 8 in", "--sheet", "24 x 48 in", "--svg", str(other)))
    assert code == 2
    assert "is there already, and is another kind of file" in err
    assert other.read_text() == "my notes"


word = st.text(max_size=24) | st.sampled_from(
    ["80 to 220", "paint 1, water 2", "top, sides", "2 coats shellac", "12 x 6 in", "4 at 30 x 8 in", "red oak", "12 fl oz",
     "10%", "3-3/4 in", "70 F 40%", "P320", "8:00-18:00", "tomorrow", "1x4", "0", "999999999 in", "-1"]
)  # fmt: skip
OPTIONS = (
    "--makes", "--have", "--area", "--coats", "--covers", "--waste", "--size", "--product", "--spray-loss", "--sold-in", "--for",
    "--series", "--begin", "--hours", "--temperature", "--humidity", "--width", "--kerf", "--stick", "--sides", "--side", "--roll",
    "--sheet", "--count", "--margin", "--pull", "--each", "--spread", "--from-top", "--from", "--to", "--part", "--behind", "--gauge",
    "--screw", "--piece", "--like", "--did",
)  # fmt: skip


@given(
    st.sampled_from(sorted(SUMS)),
    st.lists(word, max_size=3),
    st.lists(st.tuples(st.sampled_from(OPTIONS), word), max_size=4),
)
@settings(max_examples=examples(400))
def test_any_words_are_answered_or_refused(
    bench: ShopWriter, sum_of: str, words: list[str], options: list[tuple[str, str]]
) -> None:
    said = [sum_of, *words, *(f"{option}={value}" for option, value in options)]
    code, out, err = ended(bench, tuple(said))
    assert code in (0, 2)
    assert "Traceback" not in err
    assert bool(out) == (code == 0)
