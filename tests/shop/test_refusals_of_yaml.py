"""Plain YAML and no more: what FORMAT.md, "A shop is a folder", refuses in any file, and what it accepts."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, GOOD_SHOP, ShopWriter

from flipbook.shop.composing import MOST_BYTES

PIECE = "pieces/oak-stool/piece.yaml"

REFUSED = [
    # a tag
    ("piece: «»!!str Oak stool\n", "tag", "take it out"),
    ("piece: «»!stool Oak stool\n", "tag", "quotes"),
    ("piece: Oak stool\nflaws: «»!!set [a]\n", "tag", "take it out"),
    ("«»%TAG ! tag:quillback.example,2026:\n---\npiece: Oak stool\n", "tag", "%TAG"),
    # an anchor, an alias, a merge key
    ("piece: Oak stool\nfound: «»&came {on: 2026-01-05, cost: 1}\n", "anchor", "take it out"),
    ("piece: Oak stool\nprivate: «»&c\n", "anchor", "quotes"),
    ("piece: Oak stool\nfound: «»*came\n", "alias", "write the value again"),
    ("piece: Oak stool\nprivate: «»*sic* it says\n", "yaml-alias", "quotes"),
    ("piece: Oak stool\nfound: {«»<<: {on: 2026-01-05}, cost: 1}\n", "merge-key", "write the keys out"),
    # more than one document
    ("piece: Oak stool\n«»---\npiece: Pine stool\n", "one-file-one-log", "a file of its own"),
    # a tab in the indentation
    ("piece: Oak stool\nfound:\n«»\ton: 2026-01-05\n", "yaml-tab", "spaces"),
    ("piece: Oak stool\nfound:\n  on: 2026-01-05\n«»\tcost: 1\n", "yaml-tab", "spaces"),
    # the same key twice
    (GOOD_PIECE + "kind: stool\n«kind»: chair\n", "duplicate-key", "keep one"),
    (GOOD_PIECE.replace("cost: 10.00", "cost: 10.00, «cost»: 11.00"), "duplicate-key", "keep one"),
    (GOOD_PIECE + "sold: {on: 2026-02-01, price: 40, sales tax: 1, «sales-tax»: 2}\n", "duplicate-key", "keep one"),
    (GOOD_PIECE + "sold: {on: 2026-02-01, price: 40, sales_tax: 1, «sales tax»: 2}\n", "duplicate-key", "keep one"),
    (GOOD_PIECE + "kind: stool\n«\"kind\"»: chair\n", "duplicate-key", "keep one"),
    # a key that is not known: the nearest is offered, or all of them
    (GOOD_PIECE + "«flows»: chipped\n", "unknown-key", "write `flaws`"),
    (GOOD_PIECE + "«Kind»: stool\n", "unknown-key", "write `kind`"),
    (GOOD_PIECE.replace("from", "«form»"), "unknown-key", "write `from`"),
    (GOOD_PIECE + "log:\n  - on: 2026-02-01\n    did: washed\n    «tok»: 5 min\n", "unknown-key", "write `took`"),
    (GOOD_PIECE + "sold: {on: 2026-02-01, price: 40, «sale tax»: 2}\n", "unknown-key", "write `sales tax`"),
    (GOOD_PIECE + "«zzzz»: 1\n", "unknown-key", "`piece`, `kind`, `size`"),
    # a key that is no word
    ("piece: Oak stool\n«»[a, b]: c\n", "key", "quotes"),
    ("piece: Oak stool\n«»{a: b}: c\n", "key", "quotes"),
    # another kind of thing than belongs there
    ("«»- a\n", "wrong-kind", "`piece`"),
    ("«Oak stool»\n", "wrong-kind", "`piece`"),
    (GOOD_PIECE + "kind: «[a]»\n", "wrong-kind", "quotes"),
    (GOOD_PIECE + "kind: «{a: b}»\n", "wrong-kind", "quotes"),
    (GOOD_PIECE + "log: «washed»\n", "wrong-kind", "`- `"),
    (GOOD_PIECE + "given: «yesterday»\n", "wrong-kind", "`on`"),
    (GOOD_PIECE + "trips: [«Mill Road»]\n", "wrong-kind", "`miles`"),
    # text that YAML cannot take
    (GOOD_PIECE + "log:\n  - {on: 2026-02-01, did: washed, took: 1«»:15}\n", "yaml-colon", '`{took: "1:15"}`'),
    (GOOD_PIECE + "tell: a stool«»: mine\n", "yaml-colon", "quotes"),
    (GOOD_PIECE + "kind: «»@home\n", "yaml-sign", "quotes"),
    (GOOD_PIECE + "kind: «»`stool`\n", "yaml-sign", "quotes"),
    (GOOD_PIECE + "kind: «»%stool\n", "yaml-sign", "quotes"),
    (GOOD_PIECE + 'kind: "«»\\stool"\n', "yaml-quote", "single quotes"),
    (GOOD_PIECE + "kind: sto«»\0ol\n", "control-sign", "delete it"),
    (GOOD_PIECE + "kind: sto«»\x07ol\n", "control-sign", "delete it"),
    (GOOD_PIECE + "kind: sto«»\x1b[31mol\n", "control-sign", "delete it"),
    # nested past any use
    (GOOD_PIECE + "flaws: [[[[[[[[[[[«»[a]]]]]]]]]]]]\n", "too-deep", "flat"),
]  # fmt: skip


@pytest.mark.parametrize(("marked", "name", "hint"), REFUSED)
def test_what_is_not_plain_yaml_is_refused_in_its_place(shop: ShopWriter, marked: str, name: str, hint: str) -> None:
    text, expected = unmarked(marked)
    shop.write({PIECE: text})
    expect_one(shop.problems(), PIECE, text, expected, name, hint)


UNCLOSED = [
    ("kind: 'stool\n", "yaml-quote", "close it"),
    ('kind: "stool\n', "yaml-quote", "close it"),
    ("flaws: [chipped, worn\n", "yaml-bracket", "bracket"),
    ("sold: {on: 2026-02-01, price: 40\n", "yaml-bracket", "bracket"),
    ("flaws: [chipped, worn}\n", "yaml-bracket", "bracket"),
    ("log:\n  - 2026-02-01 washed\n - 2026-02-02 dried\n", "yaml-indent", "indent"),
    ("sold:\n  on: 2026-02-01\n price: 40\n", "yaml-indent", "indent"),
    ("just words\n", "yaml-indent", "`: `"),
]


@pytest.mark.parametrize(("lines", "name", "hint"), UNCLOSED)
def test_what_is_left_open_or_out_of_line_is_told_with_a_line_of_the_file(
    shop: ShopWriter, lines: str, name: str, hint: str
) -> None:
    shop.piece(lines)
    (problem,) = shop.problems()
    assert problem.name == name
    assert hint in problem.help
    assert 3 <= problem.place.line <= 3 + lines.count("\n")


@pytest.mark.parametrize("text", ["", "\n", "# nothing yet\n", "---\n", "null\n", "~\n", "\ufeff"])
@pytest.mark.parametrize(("file", "first"), [("shop.yaml", "shop"), (PIECE, "piece")])
def test_an_empty_file_says_how_to_start_it(shop: ShopWriter, file: str, first: str, text: str) -> None:
    shop.write({file: text})
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("empty-file", file)
    assert f"`{first}: …`" in problem.help


@pytest.mark.parametrize("file", ["products.yaml", "tools.yaml", "trips.yaml", "receipts/2026.yaml"])
@pytest.mark.parametrize("text", ["", "# nothing yet\n"])
def test_an_empty_file_that_need_not_be_there_is_no_problem(shop: ShopWriter, file: str, text: str) -> None:
    shop.write({file: text})
    assert shop.problems() == []


def test_a_file_of_exactly_2_mib_is_read_and_one_byte_more_is_refused(shop: ShopWriter) -> None:
    comment = "#" * (MOST_BYTES - len(GOOD_PIECE) - 1) + "\n"
    assert len(GOOD_PIECE + comment) == 2 * 1024 * 1024
    shop.piece(comment)
    assert shop.problems() == []
    shop.piece("#" + comment)
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("too-large", PIECE)
    assert "split it" in problem.help


@pytest.mark.parametrize(
    ("data", "line", "column"),
    [
        (b"piece: caf\xe9 stool\n", 1, 11),
        (b"piece: Oak stool\nkind: st\xff\n", 2, 9),
        (b"piece: Oak stool\r\nkind: \xc3\xa9\xc3\n", 2, 8),
        (b"\xff\xfep\0i\0e\0c\0e\0", 1, 1),
        (b"piece: Oak \xed\xa0\x80stool\n", 1, 12),
    ],
)
def test_a_file_that_is_not_utf_8_is_told_by_its_first_wrong_byte(
    shop: ShopWriter, data: bytes, line: int, column: int
) -> None:
    shop.write({PIECE: data})
    (problem,) = shop.problems()
    assert (problem.name, problem.place.line, problem.place.column) == ("not-utf-8", line, column)
    assert "save it again as UTF-8" in problem.help


def test_a_byte_order_mark_is_accepted_and_moves_no_column(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": "\ufeff" + GOOD_SHOP, PIECE: "\ufeff" + GOOD_PIECE})
    assert shop.problems() == []
    text, expected = unmarked("«»Piece: Oak stool\npiece: Oak stool\n")
    shop.write({PIECE: "\ufeff" + text})
    found = [(p.name, p.place.line, p.place.column) for p in shop.problems() if not p.warning]
    assert found == [("unknown-key", expected.line, expected.column)]


@pytest.mark.parametrize("ending", ["\r\n", "\n"])
def test_either_line_ending_is_accepted_and_lines_are_counted_the_same(shop: ShopWriter, ending: str) -> None:
    shop.piece("kind: stool\nbuilt: long ago\n".replace("\n", ending))
    shop.write({"shop.yaml": GOOD_SHOP.replace("\n", ending)})
    assert [(p.name, p.place.line, p.place.column, p.place.end) for p in shop.problems()] == [("built", 4, 8, 16)]


def test_the_mark_stands_right_behind_letters_of_more_than_one_byte(shop: ShopWriter) -> None:
    text, expected = unmarked('piece: "Égérie 🪑 stool"\nfound: {from: Zoë 日本, on: 2026-01-05, cost: «4,5»}\n')
    text = text.replace("4,5", '"4,5"')
    shop.write({PIECE: text})
    (problem,) = shop.problems()
    assert (problem.name, problem.place.line, problem.place.column) == ("money", 2, expected.column)


@pytest.mark.parametrize(
    "piece",
    [
        "%YAML 1.2\n---\n" + GOOD_PIECE,
        "---\n" + GOOD_PIECE + "...\n",
        "# of pine\n" + GOOD_PIECE.replace("Oak stool", "Oak stool   # with a drawer"),
        GOOD_PIECE + "tell: >\n  One\n  two.\n\n  Three.\n",
        GOOD_PIECE + "kind: 'a maker''s stool'\nwood: \"oak \\u00e9\"\n",
        GOOD_PIECE + "kind:\nwood: ~\ntell: null\n",
    ],
)
def test_what_plain_yaml_allows_is_read(shop: ShopWriter, piece: str) -> None:
    shop.write({PIECE: piece})
    assert shop.problems() == []


def test_all_problems_of_all_files_are_told_at_once_in_order_of_file_and_line(shop: ShopWriter) -> None:
    shop.write(
        {
            "shop.yaml": GOOD_SHOP + "  web marketplace: {takes: much}\ncosting: newest first\n",
            "tools.yaml": "- {tool: sander, on: 2026-01-05, cost: 1, write off: slowly}\n",
            "receipts/2026.yaml": "- {on: 2026-13-01, from: Harbour Hardware, what: wax, cost: 1.005, for: supplies}\n",
            "pieces/pine-chest/piece.yaml": "piece: Pine chest\nfound: [a, b]\n",
        }
    ).piece("size: big\nkind: stool\nkind: chair\nlog:\n  - rinsed\n")
    assert [(p.place.file, p.place.line, p.name) for p in shop.problems()] == [
        (PIECE, 3, "size"),
        (PIECE, 5, "duplicate-key"),
        (PIECE, 7, "step"),
        ("pieces/pine-chest/piece.yaml", 2, "wrong-kind"),
        ("receipts/2026.yaml", 1, "date"),
        ("receipts/2026.yaml", 1, "money"),
        ("shop.yaml", 7, "fee"),
        ("shop.yaml", 8, "costing"),
        ("tools.yaml", 1, "write-off"),
    ]
