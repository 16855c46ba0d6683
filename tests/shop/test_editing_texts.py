"""Any text that a file can hold is written so that every reader of YAML reads it back, and bare where that is the same."""

from __future__ import annotations

import re
import unicodedata

import pytest
from edited_logs import FILE, HOSTILE, read_by_another
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.shop.composing import Block, Items, Node, Scalar, compose
from flipbook.shop.editing import CannotEdit, appended, quoted, with_key

PLACES = {
    "an entry": ("log:\n  - a\n", ("log",)),
    "an entry in brackets": ("log: [a]\n", ("log",)),
    "an entry at the margin of a file without a last line end": ("log:\n- a", ("log",)),
    "the first entry of an empty list": ("log:\n", ("log",)),
    "beside one text": ("log: a\n", ("log",)),
}


def texts_in(node: Node | None) -> list[str]:
    """The texts of a list that our own reader takes for something that is said."""
    assert isinstance(node, Block)
    (value,) = [value for key, value in node.pairs if key.text == "log"]
    assert isinstance(value, Items)
    return [item.text for item in value.items if isinstance(item, Scalar) and not item.is_empty]


@pytest.mark.parametrize("text", HOSTILE, ids=[ascii(text)[:40] + str(n) for n, text in enumerate(HOSTILE)])
def test_a_hostile_text_reads_back_as_it_was_given_wherever_it_stands(text: str) -> None:
    for before, path in PLACES.values():
        after = appended(FILE, before.encode(), path, text)
        there = ["a"] if "a" in before else []
        assert texts_in(compose(FILE, after)) == [*there, text], before
        assert read_by_another(after)["log"] == [*there, text], before
    entry = {"did": text, "used": [text, {"what": text}]}
    for before in ("log:\n- {on: x}\n", "log:\n- on: x\n", "log: [{on: x}]\n", '{"log": [{"on": "x"}]}\n'):
        after = appended(FILE, before.encode(), ("log",), entry)
        assert read_by_another(after)["log"] == [{"on": "x"}, entry], before
    for before in ("log: [{on: x}]\n", "log:\n- on: x\n") if len(text) < 1000 else ():
        after = appended(FILE, before.encode(), ("log",), {text: "1", "b": "2"})
        assert read_by_another(after)["log"] == [{"on": "x"}, {text: "1", "b": "2"}], before


# How a text is written behind a key, and within braces or brackets.
WRITTEN = [
    ("2026-02-14", "2026-02-14", "2026-02-14"),
    ("2026-02-14 15:30", "2026-02-14 15:30", '"2026-02-14 15:30"'),
    ("40.00", "40.00", "40.00"),
    ("$40.00", "$40.00", "$40.00"),
    ("yes", "yes", "yes"),
    ("1:15", "1:15", '"1:15"'),
    ("1/4 can satin clear coat", "1/4 can satin clear coat", "1/4 can satin clear coat"),
    ('30 1/2 in, 30-1/2"', '30 1/2 in, 30-1/2"', "'30 1/2 in, 30-1/2\"'"),
    ("12% + 0.30", "12% + 0.30", "12% + 0.30"),
    ("80, 120, 180", "80, 120, 180", '"80, 120, 180"'),
    ("is it dry?", "is it dry?", '"is it dry?"'),
    ("the maker's own", "the maker's own", "the maker's own"),
    ("שלום", "שלום", "שלום"),
    ("🪑 stool", "🪑 stool", "🪑 stool"),
    ("", '""', '""'),
    ("~", '"~"', '"~"'),
    ("null", '"null"', '"null"'),
    ("-5", '"-5"', '"-5"'),
    ("Mill Road: estate sale", '"Mill Road: estate sale"', '"Mill Road: estate sale"'),
    ("chair #4", '"chair #4"', '"chair #4"'),
    ('"Queen" chair', "'\"Queen\" chair'", "'\"Queen\" chair'"),
    ("'a' \"b\": c", '"\'a\' \\"b\\": c"', '"\'a\' \\"b\\": c"'),
    ("C:\\ d: e", "'C:\\ d: e'", "'C:\\ d: e'"),
    ("a\tb", '"a\\tb"', '"a\\tb"'),
    ("a\nb", '"a\\nb"', '"a\\nb"'),
    ("a\u2028b\x85c\ufeff", '"a\\u2028b\\u0085c\\ufeff"', '"a\\u2028b\\u0085c\\ufeff"'),
    ("\u202eturned", '"\\u202eturned"', '"\\u202eturned"'),
]


@pytest.mark.parametrize(("text", "behind_a_key", "in_braces"), WRITTEN, ids=[ascii(text) for text, _, _ in WRITTEN])
def test_a_text_is_bare_where_that_is_the_same(text: str, behind_a_key: str, in_braces: str) -> None:
    assert quoted(text) == behind_a_key
    assert quoted(text, in_flow=True) == in_braces
    data = f"a: {behind_a_key}\nb: [{in_braces}]\nc: {{d: {in_braces}}}\n".encode()
    assert read_by_another(data) == {"a": text, "b": [text], "c": {"d": text}}


MAY_STAND = st.characters(exclude_categories=["Cs", "Cc", "Cn"])


@given(text=st.text(alphabet=MAY_STAND | st.sampled_from("\n\r\t\x85 :#-'\"\\,?[]{}"), max_size=40))
@settings(max_examples=examples(400))
def test_any_text_reads_back_as_it_was_given(text: str) -> None:
    for before in ("log:\n  - a\n", "log: [a]\n"):
        after = appended(FILE, before.encode(), ("log",), text)
        assert texts_in(compose(FILE, after)) == ["a", text]
        assert read_by_another(after)["log"] == ["a", text]


# YAML 1.2.2, section 5.1, c-printable: what is left out there no file holds.
_CODES = (*range(0x20), *range(0x7F, 0xA0), 0xD800, 0xDFFF, 0xFFFE, 0xFFFF)
CONTROLS = [chr(code) for code in _CODES if chr(code) not in "\t\n\r\x85"]


def test_a_sign_that_no_file_holds_is_refused() -> None:
    for sign in CONTROLS:
        assert unicodedata.category(sign) in ("Cc", "Cs", "Cn")
        for entry in (f"a{sign}", {"did": f"a{sign}"}, {f"a{sign}": "b"}, [[f"a{sign}"]]):
            with pytest.raises(CannotEdit, match=re.escape(f"U+{ord(sign):04X}")):
                appended(FILE, b"log:\n- a\n", ("log",), entry)
            with pytest.raises(CannotEdit):
                with_key(FILE, b"", ("log",), entry)
