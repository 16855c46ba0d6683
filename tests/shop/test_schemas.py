"""What an editor's schema says of each kind of file: valid itself, taking what is good and marking what is wrong."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from schema_files import WHOLE_FILES, handed_over, problems_of, refusals, validator, where
from shop_writer import REPOSITORY, ShopWriter

from flipbook.books.profile import profiles
from flipbook.measures.money import SIGNS
from flipbook.shipped import templates_folder
from flipbook.shop.keys import FILE_KINDS
from flipbook.shop.reading import read_shop
from flipbook.shop.records.base import Record, name_of_key
from flipbook.shop.records.expenses import EXPENSE_KINDS
from flipbook.shop.schemas import schema_of, schema_text
from flipbook.shop.starting import SCHEMAS, put_schemas, starter_text

DEMO = REPOSITORY / "demo_shop"
DEMO_FILES = sorted(
    [
        *((kind, DEMO / f"{kind}.yaml") for kind in ("shop", "products", "tools", "trips")),
        *(("receipts", file) for file in (DEMO / "receipts").glob("*.yaml")),
        *(("piece", file) for file in (DEMO / "pieces").glob("*/piece.yaml")),
    ]
)
assert len(DEMO_FILES) == 4 + 3 + 16


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_each_schema_is_one_by_the_drafts_own_schema_and_the_same_each_time(kind: str) -> None:
    schema = schema_of(kind)
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    assert schema["$id"] == f"urn:flipbook:{kind}"
    assert json.loads(schema_text(kind)) == schema == schema_of(kind)
    assert schema_text(kind) == schema_text(kind)


@pytest.mark.parametrize(("kind", "file"), DEMO_FILES, ids=[str(file.relative_to(DEMO)) for _, file in DEMO_FILES])
def test_every_file_of_the_demo_is_taken(kind: str, file: Path) -> None:
    assert refusals(kind, file.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(("kind", "text"), WHOLE_FILES)
def test_a_file_with_every_key_and_every_way_to_write_it_is_taken(kind: str, text: str) -> None:
    assert refusals(kind, text) == []
    assert not problems_of(kind, text)


def test_the_files_with_every_key_have_every_key() -> None:
    """A key that is added to a record is added there too, and so is held against the reader in all its forms."""
    records = (record for known in FILE_KINDS.values() for record in records_below(known.record))
    assert {key for record in records for key in record.keys} <= keys_in([handed_over(text) for _, text in WHOLE_FILES])


def keys_in(data: Any) -> set[str]:
    """Every key in a file, as the records name it."""
    if isinstance(data, list):
        return set().union(*map(keys_in, data))
    return {name_of_key(key) for key in data} | keys_in(list(data.values())) if isinstance(data, dict) else set()


PIECE = "piece: Oak stool\n"
SHOP = "shop: Quillback Lane\ncurrency: USD\n"
FOUND = PIECE + "found: {on: 2026-02-14, "
STEP = PIECE + "log: [{on: 2026-02-14, did: sanded, "
SALE = PIECE + "sold: {on: 2026-02-14, price: 1, "
SLIP = "- {on: 2026-02-20, from: Harbour Hardware, what: rag, cost: 3, for: supplies, "
TOOL = "tools: [{tool: vice, on: 2026-01-10, cost: 40, "
# A file and the path that is marked in it; the whole file for a key that does not belong, or is missing.
WRONG = [
    # keys
    ("piece", PIECE + "colour: red\n", ""),
    ("piece", PIECE + "Kind: stool\n", ""),
    ("piece", FOUND + "cost: 3, sum: 3}\n", "found"),
    ("piece", SALE + "salestax: 3}\n", "sold"),
    ("piece", "kind: stool\n", ""),
    ("piece", "piece:\n", "piece"),
    ("piece", PIECE + "found: {cost: 3}\n", "found"),
    ("piece", PIECE + "log: [{on: 2026-02-14}]\n", "log.0"),
    ("piece", PIECE + "sold: [{on: 2026-02-14, price: 1}, {on: 2026-02-14}]\n", "sold.1"),
    ("shop", "shop: Quillback Lane\n", ""),
    ("shop", "", ""),
    ("tools", TOOL + "scan: a.png}]\n", "tools.0"),
    ("receipts", "- {on: 2026-02-20, what: rag, cost: 3}\n", "0"),
    # words
    ("shop", "shop: Quillback Lane\ncurrency: XYZ\n", "currency"),
    ("shop", SHOP + "costing: newest first\n", "costing"),
    ("shop", SHOP + "tax: {rules: mars}\n", "tax.rules"),
    ("tools", TOOL + "write off: 6 years}]\n", "tools.0.write off"),
    ("tools", TOOL + "write-off: 6 years}]\n", "tools.0.write-off"),
    ("receipts", SLIP + "as: lost}\n", "0.as"),
    ("receipts", "- {on: 2026-02-20, from: H., what: rag, cost: 3, for: {shelf: 1}}\n", "0.for"),
    ("trips", "- {on: 2026-03-03, miles: 14, to: H., for: supplies}\n", "0.for"),
    ("piece", PIECE + "customer: perhaps\n", "customer"),
    ("piece", PIECE + "offers: [{on: 2026-02-14, price: 1, answer: perhaps}]\n", "offers.0.answer"),
    # measures, whose every form is held against the reader in test_schemas_and_the_reader.py
    ("piece", FOUND + "cost: $40.005}\n", "found.cost"),
    ("piece", SALE + "sales-tax: 4 USD}\n", "sold.sales-tax"),
    ("receipts", "- {on: 2026-02-20, from: H., lines: [{what: rag, cost: three}], total: 3}\n", "0.lines.0.cost"),
    ("receipts", "forms: [{from: w, year: 2026, gross: 1, months: {1: x}}]\n", "forms.0.months.1"),
    ("receipts", "forms: [{from: w, year: 2026, gross: 1, months: {13: 1}}]\n", "forms.0.months"),
    ("piece", STEP + "grit: [80, fine]}]\n", "log.0.grit.1"),
    ("piece", STEP + "used: {what: rag, amount: 2}}]\n", "log.0.used.amount"),
    ("piece", STEP + "mix: {paint: 1, water: some, makes: 1 pint}}]\n", "log.0.mix.water"),
    ("piece", STEP + "mix: {paint: 1}}]\n", "log.0.mix"),
    ("products", "products: {wax: {covers: 75 fl oz per pint}}\n", "products.wax.covers"),
    # a step on one line
    ("piece", PIECE + "log: [washed with soap]\n", "log.0"),
    ("piece", PIECE + "log: [2026-02-14]\n", "log.0"),
    ("piece", PIECE + "log: [2026-02-14 40 min]\n", "log.0"),
    ("piece", PIECE + "log: [2026-02-14 washed, 2026-02-31 washed]\n", "log.1"),
    ('piece', PIECE + 'log: ["2026-02-14 25:00 washed"]\n', "log.0"),
    ("piece", PIECE + "log: [2026-02-14 15 min 1 h washed]\n", "log.0"),
    # one and many, a mapping and a text
    ("piece", PIECE + "log: 2026-02-14 washed\n", "log"),
    ("piece", PIECE + "trips: {on: 2026-02-14, miles: 3, to: H.}\n", "trips"),
    ("piece", PIECE + "kept: yes\n", "kept"),
    ("piece", PIECE + "kind: [stool]\n", "kind"),
    ("piece", PIECE + "flaws: [a ring, {in: the top}]\n", "flaws.1"),
    ("piece", "- piece: Oak stool\n", ""),
    ("products", "- wax: {}\n", ""),
    ("tools", "tools: {tool: vice}\n", "tools"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "text", "path"), WRONG, ids=[f"{n}-{path}" for n, (_, _, path) in enumerate(WRONG)])
def test_what_is_wrong_is_marked_in_its_place_and_the_reader_refuses_it_too(kind: str, text: str, path: str) -> None:
    assert [where(refusal) for refusal in refusals(kind, text)] == [path]
    if "mars" not in text:  # whose rules there are is known when the books are made
        assert problems_of(kind, text)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("piece", PIECE + "kind: 1930\nwood: true\n"),
        ("piece", PIECE + "customer: YES\n"),
        ("piece", PIECE + "customer: false\n"),
        ("piece", PIECE + "kind: ~\nsize:\nfound: null\nlog:\n"),
        ("piece", FOUND + 'cost: "$1,240.00"}\n'),
        ("piece", PIECE + "size: 2' 6\" x 19 in x 77.5 cm\n"),
        ("piece", PIECE + 'size: "34x19x30-1/2″"\n'),
        ("piece", PIECE + "size: 34W by 19D by 30 H in\n"),
        ("piece", PIECE + "found: {on: 2028-02-29, cost: 0}\n"),
        ("piece", PIECE + "log:\n  - 2026-02-14 2 coats of shellac\n  - 2026-02-14 9:05 washed\n"),
        ("piece", STEP + "used: 3 cans of the wax}]\n"),
        ("piece", STEP + "took: 1 Hour 5 mins}]\n"),
        ("piece", SALE + "sales tax: 1}\n"),
        ("piece", SALE + "sales-tax: 1}\n"),
        ("piece", SALE + "sales_tax: 1}\n"),
        ("tools", TOOL + "write_off: At once}]\n"),
        ("tools", ""),
        ("trips", "[]\n"),
        ("shop", SHOP + "price-steps: {hold: 7 d}\ntime_is worth: 20\n"),
    ],
)
def test_the_less_usual_ways_to_write_are_taken(kind: str, text: str) -> None:
    assert refusals(kind, text) == []
    assert not problems_of(kind, text)


def records_below(record: type[Record]) -> Iterator[type[Record]]:
    """The record and every record that its keys lead to, by the classes that stand in their types."""
    yield record
    for field in record.model_fields.values():
        for each in classes_in(field.annotation):
            if issubclass(each, Record):
                yield from records_below(each)


def classes_in(annotation: Any) -> Iterator[type[Any]]:
    """Every class named in a type."""
    if isinstance(annotation, type):
        yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from classes_in(inner)


def mappings_of(schema: Any) -> Iterator[dict[str, Any]]:
    """Every part of a schema that lists keys."""
    if isinstance(schema, dict):
        if isinstance(schema.get("properties"), dict):
            yield schema
        for value in schema.values():
            yield from mappings_of(value)
    elif isinstance(schema, list):
        for item in schema:
            yield from mappings_of(item)


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_every_key_of_every_record_is_there_in_its_order_with_a_description(kind: str) -> None:
    schema = schema_of(kind)
    listed = [list(mapping["properties"]) for mapping in mappings_of(schema)]
    records = list(records_below(FILE_KINDS[kind].record))
    assert len(records) >= 2
    for record in records:
        assert list(record.keys.values()) in listed, record
    for mapping in mappings_of(schema):
        for key, value in mapping["properties"].items():
            assert re.fullmatch(r"[A-Z][^\n]{4,220}\.", value["description"], re.DOTALL), (key, value["description"])
            assert value["description"].count("Write ") <= 2, key


def test_a_key_is_offered_as_it_is_usually_written_and_no_other_spelling_is_offered() -> None:
    for kind in FILE_KINDS:
        for mapping in mappings_of(schema_of(kind)):
            for key in mapping["properties"]:
                assert re.fullmatch("[a-z]+(?: [a-z]+)*", key)
            for pattern, schema in mapping.get("patternProperties", {}).items():
                twins = [key for key, value in mapping["properties"].items() if value == schema]
                for key in twins:
                    assert not re.search(pattern, key)
                    assert re.search(pattern, key.replace(" ", "-"))
                    assert re.search(pattern, key.replace(" ", "_"))


def examples_in(schema: Any) -> Iterator[dict[str, Any]]:
    """Every part of a schema that has examples."""
    if isinstance(schema, dict):
        if "examples" in schema:
            yield schema
        for value in schema.values():
            yield from examples_in(value)
    elif isinstance(schema, list):
        for item in schema:
            yield from examples_in(item)


@pytest.mark.parametrize("kind", FILE_KINDS)
def test_every_example_is_taken_and_none_stands_alone(kind: str) -> None:
    """An editor writes a single example into the file when its key is chosen; of several it writes none."""
    schema = schema_of(kind)
    for part in examples_in(schema):
        assert len(part["examples"]) >= 2, part
        judge = Draft202012Validator({**part, "$defs": schema["$defs"]})
        assert [example for example in part["examples"] if not judge.is_valid(example)] == []


def test_the_words_offered_are_those_that_are_known() -> None:
    shop, receipts = schema_of("shop"), schema_of("receipts")
    assert set(shop["$defs"]["rules"]["anyOf"][0]["enum"]) == set(profiles())
    assert shop["$defs"]["currency"]["anyOf"][0]["enum"] == list(SIGNS)
    assert receipts["$defs"]["purpose"]["anyOf"][0]["enum"] == ["shelf", *EXPENSE_KINDS]


STARTER = (templates_folder() / "starter" / "piece.yaml").read_text(encoding="utf-8")
DAY = date(2026, 3, 1)
BEGUN = [
    starter_text(STARTER, "Oak stool", DAY, "", None),
    starter_text(STARTER, "Stool: the sequel", DAY, "Mill Road: M. & Co.", Decimal("40.00")),
]
EXAMPLE = re.compile(r"#(?=  )|(?<=[a-z]:) +# (?={)")
"""The # that a maker takes away: at the start of a line before two blanks, or before a mapping after a key."""


def blocks_of(text: str) -> list[list[int]]:
    """The lines of each example: those that follow one another, a new one at each entry of a list."""
    blocks: list[list[int]] = []
    for number, line in enumerate(text.splitlines()):
        if EXAMPLE.search(line):
            goes_on = blocks and blocks[-1][-1] == number - 1 and not line.startswith("#  - ") and line[0] == "#"
            blocks[-1].append(number) if goes_on else blocks.append([number])
    return blocks


def with_examples(text: str, blocks: list[list[int]], off: str = "#") -> str:
    """The text with the mark taken off the lines of some examples; `off` is what goes at the start of a line."""
    wanted = {number for block in blocks for number in block}
    lines = []
    for number, line in enumerate(text.splitlines()):
        if number not in wanted:
            lines.append(line)
        elif line.startswith("#"):
            lines.append(line.removeprefix(off))
        else:
            lines.append(line.replace("# {", "{"))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("begun", BEGUN)
def test_a_new_piece_is_short_names_its_schema_first_and_is_taken(begun: str) -> None:
    first, *lines = begun.splitlines()
    assert first == "# yaml-language-server: $schema=../../.flipbook/piece.json"
    assert len(lines) < 90
    assert max(map(len, lines)) <= 110
    assert refusals("piece", begun) == []
    assert not problems_of("piece", begun)
    assert "@" not in begun


def test_every_key_of_a_piece_stands_in_a_new_one() -> None:
    for begun in BEGUN:
        assert set(handed_over(begun)) == set(FILE_KINDS["piece"].record.keys.values())


@pytest.mark.parametrize("off", ["#", "# "])
@pytest.mark.parametrize("begun", BEGUN)
def test_every_example_of_a_new_piece_is_good_when_its_mark_is_taken_away(begun: str, off: str) -> None:
    blocks = blocks_of(begun)
    assert len(blocks) > 15
    for chosen in [*([block] for block in blocks), blocks]:
        text = with_examples(begun, chosen, off)
        assert [*problems_of("piece", text), *refusals("piece", text)] == [], text
        assert handed_over(text) != handed_over(begun)


FILES_NAMED = ("photos/during-black.jpg", "photos/after-seat.jpg", "receipts/paint.jpg")
SHELF = """\
- on: 2026-03-01
  from: Harbour Hardware
  for: shelf
  lines:
    - {what: black milk paint, size: 1 pint, cost: 21.80, container: can}
    - {what: hard oil finish, size: 1 pint, cost: 27.90, container: can}
    - {what: lint-free rag, size: 50 each, cost: 14.00}
  total: 63.70
"""


@pytest.mark.parametrize("number", range(len(blocks_of(BEGUN[1]))))
def test_each_example_holds_in_a_shop_that_has_what_it_names(shop: ShopWriter, number: int) -> None:
    block = blocks_of(BEGUN[1])[number]
    folder = "pieces/oak-stool"
    shop.write({f"{folder}/{file}": b"" for file in FILES_NAMED}).receipts(SHELF)
    shop.write({f"{folder}/piece.yaml": with_examples(BEGUN[1], [block])})
    assert [problem for problem in read_shop(shop.root).problems if not problem.warning] == []


def test_the_schemas_are_put_beside_the_shop_once_and_mended_when_they_are_others(shop: ShopWriter) -> None:
    put_schemas(shop.root)
    home = shop.root / SCHEMAS
    assert sorted(file.name for file in home.iterdir()) == sorted(f"{kind}.json" for kind in FILE_KINDS)
    for kind in FILE_KINDS:
        assert (home / f"{kind}.json").read_text(encoding="utf-8") == schema_text(kind)
    before = {file: file.stat().st_mtime_ns for file in home.iterdir()}
    (home / "shop.json").write_text("{}", encoding="utf-8")
    (home / "mine.txt").write_text("mine", encoding="utf-8")
    put_schemas(shop.root)
    assert (home / "shop.json").read_text(encoding="utf-8") == schema_text("shop")
    assert (home / "mine.txt").read_text(encoding="utf-8") == "mine"
    others = [file for file in before if file.name != "shop.json"]
    assert [file.stat().st_mtime_ns for file in others] == [before[file] for file in others]


def test_the_schema_that_a_new_piece_names_is_the_one_that_is_put(shop: ShopWriter) -> None:
    put_schemas(shop.root)
    shop.write({"pieces/oak-stool/piece.yaml": BEGUN[1]})
    named = BEGUN[1].splitlines()[0].partition("$schema=")[2]
    there = (shop.root / "pieces/oak-stool" / named).resolve()
    assert json.loads(there.read_text(encoding="utf-8")) == validator("piece").schema


def test_what_reads_the_shop_passes_the_schemas_over(shop: ShopWriter) -> None:
    shop.piece()
    before = shop.check()
    put_schemas(shop.root)
    after = shop.check()
    assert (before.problems, after.problems) == ([], [])


@pytest.mark.parametrize("place", [SCHEMAS, f"{SCHEMAS}/piece.json", f"{SCHEMAS}/.piece.json.new"])
def test_no_link_is_followed_out_of_the_shop(shop: ShopWriter, tmp_path: Path, place: str) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "kept.txt").write_text("kept", encoding="utf-8")
    path = shop.root / place
    path.parent.mkdir(exist_ok=True)
    path.symlink_to(outside if place == SCHEMAS else outside / "kept.txt")
    if place == SCHEMAS:
        with pytest.raises(OSError, match="link"):
            put_schemas(shop.root)
        assert path.is_symlink()
    else:
        put_schemas(shop.root)
        assert (shop.root / SCHEMAS / "piece.json").read_text(encoding="utf-8") == schema_text("piece")
        assert not (shop.root / SCHEMAS / "piece.json").is_symlink()
    assert [(file.name, file.read_text("utf-8")) for file in outside.iterdir()] == [("kept.txt", "kept")]


def test_a_link_to_nothing_and_a_file_in_the_folders_place_are_left_as_they_were(shop: ShopWriter) -> None:
    (shop.root / SCHEMAS).symlink_to("gone")
    with pytest.raises(OSError, match="link"):
        put_schemas(shop.root)
    assert not (shop.root / "gone").exists()
    (shop.root / SCHEMAS).unlink()
    (shop.root / SCHEMAS).write_text("mine", encoding="utf-8")
    with pytest.raises(OSError, match=r"\.flipbook"):
        put_schemas(shop.root)
    assert (shop.root / SCHEMAS).read_text(encoding="utf-8") == "mine"
