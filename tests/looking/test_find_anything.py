"""Whatever stands in a file, its entries can be told, found and compared."""

from __future__ import annotations

import json
import tempfile
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.looking.comparing import compared
from flipbook.looking.entries import entries_of, known_keys
from flipbook.looking.past_screen import hit_data, hit_lines
from flipbook.looking.telling import said_by
from flipbook.looking.versions import items_naming
from flipbook.looking.words import NotAWord, Word, look_for
from flipbook.shop.composing import compose
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem, visible
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import ReceiptFile

TEXTS = st.text(max_size=12) | st.sampled_from(
    ["2026-02-17", "2026-02-17 15:30 1 h washed", "4 fl oz", "1/4 can wax", "rest wax", "0", "1/0", "-", "", "~", "x: y",
     "oak-stool", "shelf", "40.00", "$40", "1:15", "\x00\x1b[31m", "é" * 30, "80, 120"]
)  # fmt: skip
VALUES = st.recursive(
    TEXTS,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(sorted(known_keys())) | TEXTS, inner, max_size=4)
    ),
    max_leaves=12,
)
PIECES = st.dictionaries(st.sampled_from(sorted(Piece.keys)) | TEXTS, VALUES, max_size=6)
RECEIPTS = st.dictionaries(st.sampled_from(sorted(ReceiptFile.keys)), VALUES, max_size=4)


@pytest.mark.parametrize("key", sorted(Piece.keys))
def test_no_key_of_a_piece_is_passed_over(key: str) -> None:
    """A key that the records get is looked through without a line here: as an entry of its own, or of the piece."""
    for written in ([{"private": "zebra"}], {"private": "zebra"}, "zebra"):
        node = compose("", json.dumps({"piece": "Stool", key: written}).encode())
        assert not isinstance(node, Problem)
        entries = entries_of("", node, Piece)
        assert [entry for entry in entries if "zebra" in " ".join(entry.fields.values())]


@given(PIECES, PIECES)
def test_any_two_versions_can_be_compared_and_told(first: object, second: object) -> None:
    versions = []
    for written in (first, second):
        node = compose("", json.dumps(written).encode())
        entries = [] if isinstance(node, Problem) else entries_of("", node, Piece)
        for entry in entries:
            assert all(isinstance(text, str) for text in (*said_by(entry), entry.written, entry.day, *entry.goes_to))
        versions.append(entries)
    before, after = versions
    assert compared(before, before) == []
    told = compared(before, after)
    there, back = ([one.how for one in each] for each in (told, compared(after, before)))
    assert there.count("new") + back.count("gone") == there.count("new") * 2
    assert all(one.says for one in told)


@given(PIECES, RECEIPTS, TEXTS)
@settings(max_examples=examples(60))
def test_any_word_can_be_looked_for_in_any_files(piece: object, receipts: object, said: str) -> None:
    try:
        word = Word(said)
    except NotAWord:
        return
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "shop")
        files = {"pieces/oak-stool/piece.yaml": json.dumps(piece), "receipts/2026.yaml": json.dumps(receipts)}
        shop.write(files)
        for hit in look_for([word], ShopFolder(shop.root)).hits:
            lines = [line for _, line in hit_lines(hit, [word], 60)]
            assert [visible(line) for line in lines] == lines
            json.dumps(hit_data(hit))


@given(
    st.lists(st.tuples(st.sampled_from(["oak", "elm", "ash"]), st.integers(1, 99), st.booleans()), max_size=8),
    st.data(),
)
def test_what_names_a_piece_is_taken_out_of_receipts_whole(
    rows: list[tuple[str, int, bool]], data: st.DataObject
) -> None:
    """The entries of the part are those of the whole that are for the piece, whichever way they are written."""
    indent = data.draw(st.sampled_from(["", "  "]))
    written = []
    for name, cost, has_lines in rows:
        if has_lines:
            written.append(
                f"{indent}- on: 2026-01-05\n{indent}  lines:\n{indent}    - {{what: pull, cost: {cost}, for: {name}}}\n"
                f"{indent}    - {{what: tape, cost: 1, for: supplies}}\n{indent}  total: {cost + 1}\n"
            )
        else:
            written.append(f"{indent}- {{on: 2026-01-05, what: {cost} nails, cost: {cost}, for: {name}}}\n")
    cut = data.draw(st.integers(0, len(written)))
    under = bool(indent) or data.draw(st.booleans())
    text = "".join(
        [
            "receipts:\n" if under else "",
            *written[:cut],
            "# oak, and more\n",
            *(["income:\n"] if under else []),
            *written[cut:],
        ]
    )

    def told(part: bytes) -> list[tuple[str, object]]:
        node = compose("", part)
        assert not isinstance(node, Problem), part
        return [(e.kind, dict(e.fields)) for e in entries_of("", node, ReceiptFile) if "oak" in e.goes_to]

    assert told(items_naming([b"oak"], text.encode())) == told(text.encode())
