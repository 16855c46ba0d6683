"""FORMAT.md: its tables are those of the records, its examples are read, and what cites it cites a heading that it has."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from shop_writer import REPOSITORY, ShopWriter

from flipbook.cli.format_page import PAGE, page
from flipbook.shop.composing import Problem, compose
from flipbook.shop.fields import Reading
from flipbook.shop.keys import KeyEntry, as_yaml, entries, records

TEXT = PAGE.read_text("utf-8")
ENTRIES = entries()
HEADINGS = set(re.findall(r"^#+ (.+)$", TEXT, re.MULTILINE))

# What must stand beside a key for its mapping to be whole, where the keys that must be written are not enough.
COST = {"cost": "26.00"}
BESIDE: dict[tuple[str, str], dict[str, Any]] = {
    ("Found", ""): COST,
    ("Found", "own"): {},
    ("Line", ""): COST,
    ("Line", "got back"): {},
    ("Line", "each"): {"count": 3},
    ("Receipt", ""): {"what": "seat awl", "cost": "40.00"},
    ("Receipt", "lines"): {"total": "33.75"},
    ("Receipt", "each"): {"what": "seat awl", "count": 3},
    ("Receipt", "got back"): {"what": "seat awl"},
    ("Trip", ""): {"miles": 9},
    ("Trip", "km"): {},
    ("SharedTrip", ""): {"miles": 9},
    ("SharedTrip", "km"): {},
    ("Tax", "year starts"): {"rules": "plain"},
    ("ReportedForm", "months"): {"gross": "1240.00"},
}
# Money back on a line is refused: it is a receipt of its own.
NOT_THERE = {("Line", "got back")}


def test_the_tables_are_those_of_the_records() -> None:
    assert page(TEXT) == TEXT, "run python -m flipbook.cli.format_page"


def test_every_key_stands_in_a_table() -> None:
    at = set(re.findall(r"<!-- keys: (.+?) -->", TEXT))
    for record, places in records().items():
        homes = {place.removesuffix(":") for place in places}
        assert homes & at, record


@pytest.mark.parametrize("entry", ENTRIES, ids=[entry.places[0] for entry in ENTRIES])
def test_each_key_has_words_a_form_and_an_example_that_is_read(entry: KeyEntry) -> None:
    assert entry.words.endswith(".")
    assert entry.form
    assert entry.example is not None
    record = entry.record.__name__
    beside = BESIDE.get((record, entry.key), BESIDE.get((record, ""), {}))
    wanted = {other.key: other.example for other in ENTRIES if other.record is entry.record and other.required}
    mapping = {**wanted, **beside, entry.key: entry.example}
    text = "".join(f"{key}: {as_yaml(value)}\n" for key, value in mapping.items())
    node = compose("example.yaml", text.encode())
    assert node is not None and not isinstance(node, Problem), text
    reading = Reading("example.yaml", "USD")
    entry.record.model_validate(node, context=reading)
    names = [problem.name for problem in reading.problems]
    assert names == (["back-on-a-line"] if (record, entry.key) in NOT_THERE else []), text


def test_the_files_of_the_page_are_a_shop(shop: ShopWriter) -> None:
    """Takings 43.00 + 174.52 less 11.52 sales tax, by hand; 6 of 16 fl oz of paint at 23.48 are 8.805, half up 8.81."""
    settings, products, tools, trips, receipts, piece = re.findall(
        r"^```yaml\n(.*?)^```$", TEXT, re.DOTALL | re.MULTILINE
    )
    shop.write({"shop.yaml": settings, "products.yaml": products, "tools.yaml": tools, "trips.yaml": trips})
    shop.receipts(receipts).piece("", "ladder-back-rocker")
    shop.write({"pieces/ladder-back-rocker/piece.yaml": piece})
    outcome = shop.check()
    assert [problem for problem in outcome.problems if not problem.warning] == []
    (sheet,) = shop.books().sheets
    assert str(sheet.takings) == "206.00"


CITED = [
    (path.relative_to(REPOSITORY), heading)
    for folder in ("flipbook", "tests")
    for path in sorted((REPOSITORY / folder).rglob("*.py"))
    for heading in re.findall(r'FORMAT\.md, "([^"]+)"', path.read_text("utf-8"))
    if path != Path(__file__)
]


@pytest.mark.parametrize(("path", "heading"), CITED, ids=[f"{path}-{heading}" for path, heading in CITED])
def test_a_heading_that_is_cited_is_there(path: Path, heading: str) -> None:
    assert heading in HEADINGS, path


def test_no_test_cites_a_page_that_is_not_here() -> None:
    for path in (REPOSITORY / "tests").rglob("*.py"):
        assert path == Path(__file__) or "format.md" not in path.read_text("utf-8"), path
