"""Whatever stands in a file, reading it ends with facts or with problems that have a place and a help."""

from __future__ import annotations

import tempfile
import time
import unicodedata
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import GOOD_PIECE, GOOD_SHOP, ShopWriter

from flipbook.books.reckon import reckon
from flipbook.shop.problems import framed, lines_of
from flipbook.shop.reading import ShopRead, pinned_in, read_shop, source_lines
from flipbook.shop.records.piece import Piece, Step
from flipbook.shop.records.receipts import Line, Receipt, ReceiptFile
from flipbook.shop.records.sale import Sale
from flipbook.shop.records.setup import Shop, Tool, Trip

FILES = ("shop.yaml", "receipts/2026.yaml", "pieces/oak-stool/piece.yaml", "tools.yaml", "trips.yaml", "products.yaml")
LONGEST = 5.0
"""Seconds for one small file; the promise is 10 for any."""

KEYS = sorted(
    {
        key
        for record in (Piece, Sale, Step, Line, Receipt, ReceiptFile, Shop, Tool, Trip)
        for key in record.keys.values()
    }
)
VALUES = [
    "40", "40.005", "-1", "£5", "2026-02-14", "2026-02-30", "2026-02-15 40 min washed", "1:15", "40 min", "34 x 19 x 30 in",
    "4 fl oz fig blue paint", "1/4 can wax", "rest", "rest wax", "1/0 pint", "5%", "2.9% + 0.30", "yes", "no", "shelf", "supplies",
    "oak-stool", "../../x", "photos/a.jpg", "us", "plain", "average", "counter 350", "~", "null", "", "*a", "&a", "!t", "<<", "- ",
    "[", "{", "|", ">", "'", '"', '"\\0/x"', '"\\e[31m"', "\u202e", "#", ": ", "x" * 300, "9" * 50, "٣", "\t", "@", "%", "日本",
]  # fmt: skip

anything = st.binary(max_size=300)
any_text = st.text(max_size=300).map(lambda text: text.encode("utf-8", "surrogatepass"))
scalars = st.sampled_from(VALUES) | st.text(max_size=12).map(repr)
nested = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=4).map(lambda many: "[" + ", ".join(many) + "]")
        | st.lists(st.tuples(st.sampled_from(KEYS), inner), max_size=5).map(
            lambda many: "{" + ", ".join(f"{key}: {value}" for key, value in many) + "}"
        )
    ),
    max_leaves=12,
)
of_our_own_keys = st.lists(st.tuples(st.sampled_from(KEYS), nested), max_size=8).map(
    lambda many: "".join(f"{key}: {value}\n" for key, value in many).encode("utf-8", "surrogatepass")
)
lists_of_entries = st.lists(
    st.lists(st.tuples(st.sampled_from(KEYS), scalars), min_size=1, max_size=5), min_size=1, max_size=5
).map(
    lambda many: "".join("- " + "\n  ".join(f"{key}: {value}" for key, value in entry) + "\n" for entry in many).encode(
        "utf-8", "surrogatepass"
    )
)


def read_all(root: Path) -> ShopRead:
    """Read the shop, and reckon its books when there are facts; with the problems of both."""
    read = read_shop(root)
    if read.facts is None:
        return read
    _, found = reckon(read.facts)
    return ShopRead(read.facts, [*read.problems, *pinned_in(root, found)])


def is_told_well(read: ShopRead, root: Path) -> None:
    """Every problem stands in a file of the shop, at a line and column of it, and says what to do."""
    for problem in read.problems:
        place = problem.place
        assert (root / place.file).exists(), problem
        assert problem.says
        assert problem.help
        assert problem.name
        if place.line:
            lines = lines_of((root / place.file).read_bytes().decode("utf-8-sig", "replace"))
            # an empty line after the last break is where a file that ends too soon is marked
            assert 1 <= place.line <= len(lines), problem
            assert 1 <= place.column <= len(lines[place.line - 1]) + 1, problem
            assert place.end > place.column
    assert read.facts is not None or any(not problem.warning for problem in read.problems)


@pytest.mark.parametrize("file", FILES)
@given(data=anything | any_text | of_our_own_keys | lists_of_entries)
@settings(max_examples=examples(120))
def test_whatever_a_file_holds_is_read_or_told(file: str, data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "my_shop").piece().write({file: data})
        started = time.monotonic()
        read = read_all(shop.root)
        assert time.monotonic() - started < LONGEST
        is_told_well(read, shop.root)


good_moments = st.sampled_from(["2026-01-05", "2026-02-01", "2026-12-31"])
money = st.sampled_from(["0", "0.01", "1.00", "19.99", "380.00", "10000000"])


@given(
    steps=st.lists(st.tuples(good_moments, st.sampled_from(VALUES[9:14])), max_size=4),
    sale=st.tuples(good_moments, money, money, money) | st.none(),
    lots=st.lists(st.tuples(good_moments, st.sampled_from(["wax", "fig blue paint"]), money, st.sampled_from(["1 pint", "1 each", "3 oz"])), max_size=4),
    costing=st.sampled_from(["average", "first in first out"]),
)  # fmt: skip
@settings(max_examples=examples(120))
def test_whatever_good_entries_come_together_the_books_are_made_or_it_is_told_why(
    steps: list[tuple[str, str]], sale: tuple[str, ...] | None, lots: list[tuple[str, ...]], costing: str
) -> None:
    piece = GOOD_PIECE + "log:\n" + "".join(f"  - {{on: {day}, did: x, used: [{used}]}}\n" for day, used in steps)
    piece += "sold: {{on: {}, price: {}, delivery: {}, sales tax: {}}}\n".format(*sale) if sale else ""
    receipts = "".join(
        f"- {{on: {day}, from: M., what: {what}, cost: {cost}, size: {size}, for: shelf, container: can}}\n"
        for day, what, cost, size in lots
    )
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "my_shop").receipts(receipts)
        shop.write({"shop.yaml": GOOD_SHOP + f"costing: {costing}\n", "pieces/oak-stool/piece.yaml": piece})
        outcome = shop.check()
        is_told_well(ShopRead(None if outcome.books is None else outcome.books.facts, outcome.problems), shop.root)


def is_still(text: str) -> bool:
    """Whether nothing in the text breaks the line, moves the cursor or turns the reading direction."""
    turns = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    return not any(sign in turns or unicodedata.category(sign) in ("Cc", "Zl", "Zp", "Cs") for sign in text)


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), min_size=1, max_size=40))
@settings(max_examples=examples(150))
def test_no_refusal_shows_a_sign_that_moves_the_cursor_or_turns_the_text(words: str) -> None:
    quoted = "".join(f"\\U{ord(sign):08x}" for sign in words)
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "my_shop").piece(
            f'built: "{quoted}"\nsize: "{quoted}"\n"{quoted}": 1\nkind: stool\nlog: ["{quoted}"]\n'
        )
        lines_in = source_lines(shop.root)
        for problem in shop.problems():
            for _, text in framed(problem, lines_in(problem.place.file)):
                assert is_still(text), ascii(text)
