"""`flipbook jot`: what was said is what the log says afterwards, and every other byte is as it was."""

from __future__ import annotations

import re
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from datetime import date, time, timedelta
from io import StringIO
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import GOOD_PIECE, Ran, ShopWriter

from flipbook.cli.main import main
from flipbook.shop.records.piece import Step

PAINT = "- {on: 2026-01-03, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}\n"  # fmt: skip
CLEAR = "- {on: 2026-01-03, from: Harbour Hardware, what: satin clear coat, size: 1 quart, cost: 31.00, for: shelf, container: can}\n"  # fmt: skip
FILE = "pieces/oak-stool/piece.yaml"


@pytest.fixture
def bench(shop: ShopWriter) -> ShopWriter:
    """A shop with a stool in it, and paint and clear coat on the shelf."""
    return shop.piece().receipts(PAINT + CLEAR)


def text_of(shop: ShopWriter, file: str = FILE) -> str:
    return (shop.root / file).read_bytes().decode("utf-8")


def steps(shop: ShopWriter) -> tuple[Step, ...]:
    """The log of the stool, read by the program's own reader; the shop has no error."""
    (filed,) = [filed for filed in shop.books().facts.pieces if filed.folder == "oak-stool"]
    return filed.piece.log


def jot(shop: ShopWriter, *words: str) -> Ran:
    """Jot, which must be done; the words go in before the shop's folder."""
    ran = shop.run("jot", *words)
    assert ran.err == ""
    return ran


def test_words_and_a_time_are_one_line(bench: ShopWriter) -> None:
    ran = jot(bench, "oak-stool", "washed", "with", "dish", "soap,", "rinsed", "--took", "40 min", "--on", "2026-02-15")
    line = "- 2026-02-15 40 min washed with dish soap, rinsed"
    assert text_of(bench).startswith(GOOD_PIECE)
    assert text_of(bench).removeprefix(GOOD_PIECE).strip() == f"log:\n  {line}"
    number = text_of(bench).splitlines().index(f"  {line}") + 1
    assert ran.out == f"Written at {FILE}:{number}\n  {line}\n"
    (step,) = steps(bench)
    assert (step.on.day, step.on.clock, step.took, step.did) == (
        date(2026, 2, 15),
        None,
        40,
        "washed with dish soap, rinsed",
    )


def test_the_line_that_is_named_is_the_line_that_was_written(bench: ShopWriter) -> None:
    bench.piece(
        "log:\n  - 2026-02-14 looked it over\n  - 2026-02-20 waxed it\nasking:\n  - {on: 2026-03-01, price: 90}\n"
    )
    ran = jot(bench, "stool", "washed", "it", "--on", "2026-02-15")
    named = re.search(r":([0-9]+)$", ran.out.splitlines()[0])
    assert named is not None
    assert text_of(bench).splitlines()[int(named[1]) - 1].strip() == ran.out.splitlines()[1].strip()
    assert ran.out.splitlines()[1].strip() == "- 2026-02-15 washed it"


@pytest.mark.parametrize(
    "words",
    [
        ["--took", "40 min", "--on=2026-02-15", "oak-stool", "washed it"],
        ["oak-stool", "--took", "40 min", "washed", "--on", "2026-02-15", "it"],
        ["oak-stool", "washed", "it", "--on", "2026-02-15", "--took=40 min"],
        ["--took", "40 min", "oak-stool", "--on", "2026-02-15", "--", "washed", "it"],
        ["oak-stool", " washed \n it ", "--took", " 40  min", "--on", " 2026-02-15 "],
    ],
)
def test_options_stand_anywhere(bench: ShopWriter, words: list[str]) -> None:
    jot(bench, *words)
    assert "  - 2026-02-15 40 min washed it\n" in text_of(bench)


def test_every_option_goes_into_its_key(bench: ShopWriter) -> None:
    jot(
        bench, "oak-stool", "--on", "2026-02-17 15:30", "--took", "1 h 15 min", "--grit", "80,120 , P180",
        "--used", "1/4 can satin clear coat", "--used", "1 fl oz  fig blue paint", "--dries", "4 h", "--hide",
        "--mix", "fig blue paint 1, water 2, makes 12 fl oz", "--private", "The seat drinks it.", "--", "first", "coat",
    )  # fmt: skip
    (step,) = steps(bench)
    assert (step.on.day, step.on.clock) == (date(2026, 2, 17), time(15, 30))
    assert (step.did, step.took, step.dries, step.hide) == ("first coat", 75, 240, True)
    assert (step.grit, step.private) == (("80", "120", "P180"), "The seat drinks it.")
    assert [use.what for use in step.used] == ["satin clear coat", "fig blue paint"]
    assert step.mix is not None
    assert [(name, int(parts)) for name, parts, _ in step.mix.parts] == [("fig blue paint", 1), ("water", 2)]
    # 4 fl oz of the paint by the mix and 1 by hand, of a pint at 24.50: 5/16 of it is 7.65625; a quarter of 31.00 is 7.75.
    assert bench.books().sheets[0].cost == 10 + type(bench.books().sheets[0].cost)("7.66") + type(
        bench.books().sheets[0].cost
    )("7.75")


@pytest.mark.parametrize(
    ("mix", "parts"),
    [
        ("fig blue paint 1, water 2, makes 12 fl oz", {"fig blue paint": "1", "water": "2"}),
        ("makes 12 fl oz, 1 fig blue paint, 2 water", {"fig blue paint": "1", "water": "2"}),
        ("1 part fig blue paint; 2 parts water; makes: 12 fl oz", {"fig blue paint": "1", "water": "2"}),
        ("fig blue paint: 1 1/2, water: 0.5, makes 12 fl oz", {"fig blue paint": "3/2", "water": "1/2"}),
    ],
)
def test_a_mix_is_said_in_several_ways(bench: ShopWriter, mix: str, parts: dict[str, str]) -> None:
    jot(bench, "oak-stool", "coated it", "--mix", mix)
    (step,) = steps(bench)
    assert step.mix is not None
    assert {name: str(number) for name, number, _ in step.mix.parts} == parts
    assert (step.mix.makes.number, step.mix.makes.unit.name) == (12, "fl oz")


@pytest.mark.parametrize(
    ("said", "days"), [("today", 0), ("yesterday", 1), ("-2d", 2), ("3d ago", 3)]
)  # fmt: skip
@pytest.mark.parametrize("joined", [True, False])
def test_days_are_counted_back_from_today(bench: ShopWriter, said: str, days: int, joined: bool) -> None:
    before = date.today()
    jot(bench, "oak-stool", "washed", "it", *([f"--on={said}"] if joined else ["--on", said]))
    (step,) = steps(bench)
    assert step.on.day in (before - timedelta(days=days), date.today() - timedelta(days=days))
    assert step.on.clock is None


def test_a_time_alone_is_todays(bench: ShopWriter) -> None:
    before = date.today()
    jot(bench, "oak-stool", "washed it", "--on", "8:05")
    (step,) = steps(bench)
    assert step.on.day in (before, date.today())
    assert step.on.clock == time(8, 5)


WORDS = [
    'said "enough" and stopped',
    "it's done",
    "washed: twice",
    "a # is no comment",
    "#4 bit",
    "ends in a colon:",
    "1 h 15 min of sanding",
    "15:30 was when it dried",
    "40 min",
    "[a, b]",
    "{a: b}",
    "& then * and !",
    "| > %",
    "~",
    "yes",
    "null",
    "- washed it",
    "? why",
    "@home `quoted`",
    "back\\slash",
    "🪑 sanded 👩‍🔧",
    "שטפתי את השולחן במים",
    "غسلت الكرسي",
    "日本の椅子を洗った",
    "café \u0301",
    "x" * 200,
    " ".join(["sanded"] * 1429),
]


@pytest.mark.parametrize("words", WORDS, ids=range(len(WORDS)))
@pytest.mark.parametrize(
    "more", [[], ["--took", "1 h"], ["--took", "1:15", "--dries", "4 h"]], ids=["", "took", "dries"]
)
def test_any_words_read_back_as_they_were_said(bench: ShopWriter, words: str, more: list[str]) -> None:
    bench.piece("log:\n  - 2026-02-14 looked it over\nasking: [{on: 2026-12-01, price: 90}]   # for the fair\n")
    said = ["--on", "2026-02-15", *more, "--", "oak-stool", words]
    if more:
        with redirect_stdout(StringIO()):
            assert main(["jot", f"--shop={bench.root}", *said]) == 0
    else:
        jot(bench, *said)
    first, step = steps(bench)
    assert first.did == "looked it over"
    assert step.did == " ".join(words.split())
    took = {"": None, "--took 1 h": 60, "--took 1:15 --dries 4 h": 75}[" ".join(more)]
    assert (step.on.day, step.on.clock, step.took) == (date(2026, 2, 15), None, took)
    assert text_of(bench).endswith("asking: [{on: 2026-12-01, price: 90}]   # for the fair\n")


said_words = st.text(
    alphabet=st.characters(exclude_categories=["Cs", "Cc", "Cn", "Co"]), min_size=1, max_size=60
).filter(lambda text: bool(text.split()))


@given(words=said_words, took=st.sampled_from([None, "40 min", "1 h 15 min", "1:15", "1.5 h"]))
@settings(max_examples=examples(120))
def test_whatever_is_said_reads_back_or_is_refused_whole(words: str, took: str | None) -> None:
    with tempfile.TemporaryDirectory() as home, redirect_stdout(StringIO()), redirect_stderr(StringIO()) as err:
        shop = ShopWriter(Path(home) / "my_shop").piece("log:\n  - 2026-02-14 looked it over\n")
        before = text_of(shop)
        ended = main(["jot", f"--shop={shop.root}", "--on=2026-02-15", *([f"--took={took}"] if took else []), "--", "oak-stool", words])  # fmt: skip
        if ended:
            assert text_of(shop) == before
            assert err.getvalue()
            return
        _, step = steps(shop)
        assert step.did == " ".join(words.split())
        assert (step.took is None) == (took is None)
        assert text_of(shop).startswith(before)


@pytest.mark.parametrize("words", ["a\x07b", "a\x1b[31mb", "\udcff", "\ufffe"])
def test_words_with_control_characters_are_refused(bench: ShopWriter, words: str) -> None:
    before = text_of(bench)
    with redirect_stderr(StringIO()) as err:
        assert main(["jot", f"--shop={bench.root}", "oak-stool", words]) == 2
    assert "control character" in err.getvalue()
    assert text_of(bench) == before


@pytest.mark.parametrize(
    ("log", "day", "order"),
    [
        (["2026-02-10", "2026-02-20"], "2026-02-25", ["2026-02-10", "2026-02-20", "new"]),
        (["2026-02-10", "2026-02-20"], "2026-02-15", ["2026-02-10", "new", "2026-02-20"]),
        (["2026-02-10", "2026-02-20"], "2026-02-10", ["2026-02-10", "new", "2026-02-20"]),
        (["2026-02-10", "2026-02-20"], "2026-02-01", ["new", "2026-02-10", "2026-02-20"]),
        # The last one that is not later, wherever it stands.
        (["2026-02-20", "2026-02-10", "2026-02-25"], "2026-02-15", ["2026-02-20", "2026-02-10", "new", "2026-02-25"]),
    ],
)
@pytest.mark.parametrize("form", ["line", "mapping", "braces"])
def test_a_clock_set_back_puts_the_step_in_its_place(
    bench: ShopWriter, log: list[str], day: str, order: list[str], form: str
) -> None:
    write = {"line": "- {} old", "mapping": "- on: {} 9:00\n    did: old", "braces": "- {{did: old, on: {}}}"}[form]
    bench.piece("log:\n" + "".join(f"  {write.format(one)}\n" for one in log))
    jot(bench, "oak-stool", "new", "--on", day)
    assert [step.did if step.did == "new" else str(step.on.day) for step in steps(bench)] == order


def test_the_line_endings_of_a_file_stay(bench: ShopWriter) -> None:
    bench.write({FILE: (GOOD_PIECE + "log:\n  - 2026-02-14 looked it over\n").replace("\n", "\r\n")})
    jot(bench, "oak-stool", "washed it", "--on", "2026-02-15")
    jot(bench, "oak-stool", "coated it", "--on", "2026-02-16", "--dries", "4 h")
    written = (bench.root / FILE).read_bytes()
    assert written.count(b"\n") == written.count(b"\r\n") >= 6
    assert [step.did for step in steps(bench)] == ["looked it over", "washed it", "coated it"]


def test_the_starter_takes_a_step_and_keeps_what_it_explains(shop: ShopWriter) -> None:
    shop.run("begin", "Oak", "stool", "--cost", "40")
    before = text_of(shop)
    jot(shop, "stool", "washed it")
    after = text_of(shop)
    assert [step.did for step in steps(shop)] == ["washed it"]
    assert len(after.splitlines()) == len(before.splitlines()) + 1
    assert all(line in after for line in before.splitlines())


def test_every_other_byte_of_the_shop_stays(bench: ShopWriter) -> None:
    bench.piece("log:\n    -   2026-02-14   looked it over   # by the window\n\n\n# the end\n").piece(
        folder="elm-stool"
    )
    before = {path: path.read_bytes() for path in bench.root.rglob("*.yaml")}
    jot(bench, "oak-stool", "washed it", "--on", "2026-02-15")
    for path, data in before.items():
        if path != bench.root / FILE:
            assert path.read_bytes() == data
    kept = iter(text_of(bench).splitlines(keepends=True))
    assert all(line in kept for line in before[bench.root / FILE].decode().splitlines(keepends=True))
