"""The books' tables: CSV as RFC 4180 has it, inert in a spreadsheet, and the same cells on the page of that name."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from flipbook.cli.main import main
from flipbook.reports.tables import NUMBER, Column, Table

REPOSITORY = Path(__file__).resolve().parents[2]

# FORMAT.md, "What compile writes into out/books".
HEADERS = {
    "ledger": "date, piece, party, what, kind, in, out, balance, scan, source",
    "pieces": "piece, title, state, found_on, sold_on, days, hours, found, receipts, shelf, cost, takings, fees, miles, driving, profit, per_hour, margin",
    "shelf": "product, unit, bought, used, wasted, left, value_left",
    "tax": "form, line, caption, amount, whole",
    "tools": "tool, bought_on, cost, write_off, year, amount, left",
    "trips": "date, piece, to, why, miles, rate, amount",
    "unsold": "piece, title, found_on, cost",
    "no-receipt": "date, piece, party, what, amount, source",
    "earnings": "by, name, pieces, cost, takings, profit, hours, per_hour, days, of_asking",
}
TEXTS = {"date", "piece", "party", "what", "kind", "scan", "source", "title", "state", "found_on", "sold_on", "product", "unit", "form", "line", "caption", "to", "why", "tool", "bought_on", "write_off", "year", "by", "name"}  # fmt: skip
SOLD = {"sale", "refund", "delivery", "sales-tax", "selling-fees"}
FORMULA = ("=", "+", "-", "@", "\t", "\r")


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop, of two years, compiled."""
    root = tmp_path_factory.mktemp("tables") / "demo_shop"
    shutil.copytree(REPOSITORY / "demo_shop", root, ignore=shutil.ignore_patterns("out"))
    assert main(["compile", str(root)]) == 0
    return root


def read(path: Path) -> list[list[str]]:
    """The rows of a CSV file, read by the letter of RFC 4180."""
    return list(csv.reader(io.StringIO(path.read_bytes().decode("utf-8"), newline=""), strict=True))


def tables(root: Path) -> dict[str, list[list[str]]]:
    return {path.stem: read(path) for path in sorted((root / "out" / "books").glob("*.csv"))}


def header_of(name: str) -> list[str]:
    return HEADERS[re.sub(r"-\d{4}$", "", name)].split(", ")


class Cells(HTMLParser):
    """The cells of a page's one table, row by row: head, body and foot."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: dict[str, list[list[str]]] = {"thead": [], "tbody": [], "tfoot": []}
        self._part = ""
        self._cell = False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in self.parts:
            self._part = tag
        elif tag == "tr":
            self.parts[self._part].append([])
        elif tag in ("td", "th"):
            self.parts[self._part][-1].append("")
            self._cell = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self._cell = False

    def handle_data(self, data: str) -> None:
        if self._cell:
            self.parts[self._part][-1][-1] += data


def as_on_the_page(row: list[str], header: list[str]) -> list[str]:
    """A row of the CSV without the apostrophe that keeps a text from being a formula."""
    return [
        cell[1:] if name in TEXTS and cell.startswith("'") and cell[1:].startswith(FORMULA) else cell
        for name, cell in zip(header, row, strict=True)
    ]


def test_every_year_has_its_tables_and_each_the_columns_it_is_said_to_have(demo: Path) -> None:
    found = tables(demo)
    years = sorted({name[-4:] for name in found if name.startswith("tax-")})
    assert len(years) == 2
    yearly = {f"{stem}-{year}" for stem in ("tax", "trips", "unsold", "no-receipt") for year in years}
    assert found.keys() == yearly | {"ledger", "pieces", "shelf", "tools", "earnings"}
    for name, (header, *rows) in found.items():
        assert header == header_of(name), name
        assert {len(row) for row in rows} <= {len(header)}, name


def test_a_csv_file_is_utf_8_with_carriage_returns_and_no_mark_at_its_start(demo: Path) -> None:
    for path in (demo / "out" / "books").glob("*.csv"):
        data = path.read_bytes()
        assert not data.startswith(b"\xef\xbb\xbf")
        assert data.endswith(b"\r\n")
        quoted = re.sub(rb'"(?:[^"]|"")*"', b"", data)
        assert quoted.count(b"\n") == quoted.count(b"\r\n") == quoted.count(b"\r"), path


def test_every_figure_of_a_csv_is_on_the_page_of_the_same_name(demo: Path) -> None:
    for name, (header, *rows) in tables(demo).items():
        page = Cells((demo / "out" / "books" / f"{name}.html").read_text("utf-8"))
        # A tax year's page has more tables below its first: the rows that each amount is summed from.
        first = page.parts["tbody"][: len(rows)] if name.startswith("tax-") else page.parts["tbody"]
        assert first == [as_on_the_page(row, header) for row in rows], name
        assert len(page.parts["thead"][0]) == len(header), name


def test_money_has_two_decimals_and_days_are_iso(demo: Path) -> None:
    money = {"in", "out", "balance", "found", "receipts", "shelf", "cost", "takings", "fees", "driving", "profit", "value_left", "amount"}  # fmt: skip
    for name, (header, *rows) in tables(demo).items():
        for row in rows:
            for column, cell in zip(header, row, strict=True):
                if name == "earnings" and row[0] == "age" and column in ("takings", "profit"):
                    assert cell == ""  # what is not sold took nothing in
                elif column in money:
                    assert re.fullmatch(r"-?\d+\.\d\d", cell), (name, column, cell)
                elif column in ("date", "found_on", "sold_on"):
                    assert re.fullmatch(r"(\d{4}-\d\d-\d\d)?", cell), (name, column, cell)
                elif column == "whole":
                    assert re.fullmatch(r"-?\d+", cell), (name, column, cell)


def test_the_sums_below_a_table_are_the_sums_of_its_columns(demo: Path) -> None:
    from decimal import Decimal

    seen = 0
    for name, (header, *rows) in tables(demo).items():
        foot = Cells((demo / "out" / "books" / f"{name}.html").read_text("utf-8")).parts["tfoot"]
        for total in foot:
            for column, cell in list(zip(range(len(header)), total, strict=True))[1:]:
                if cell:
                    assert Decimal(cell) == sum(Decimal(row[column]) for row in rows), (name, header[column])
                    seen += 1
    assert seen > 10


def test_a_source_is_the_line_where_the_row_is_written(demo: Path) -> None:
    found = tables(demo)
    rows = [dict(zip(found[name][0], row, strict=True)) for name in found if name.startswith(("ledger", "no-")) for row in found[name][1:]]  # fmt: skip
    assert len(rows) > 60
    for row in rows:
        file, _, line = row["source"].rpartition(":")
        lines = (demo / file).read_text("utf-8").split("\n")
        assert 1 <= int(line) <= len(lines), row
        # The record starts there; its words stand in the lines of that record or, for a line of a receipt, there.
        record = "\n".join(lines[int(line) - 1 : int(line) + 24])
        assert record.strip(), row
        said = " ".join(record.split())
        if row.get("kind") in SOLD and file.startswith("pieces/"):
            assert row["date"] in said, row
        else:
            assert row["what"] in said or (row["party"] in said and row["date"] in lines[int(line) - 1]), row


def test_a_source_points_at_the_very_line(shop: Any) -> None:
    receipts = """\
# a comment
- {on: 2026-01-06, from: Harbour Hardware, what: masking tape, cost: 4.10, for: supplies}

- on: 2026-01-07
  from: Harbour Hardware
  lines:
    - {what: cup hook, cost: 3.00, for: oak-stool}
    - what: shop rag
      cost: 2.00
      for: supplies
  total: 5.00
"""
    shop.piece(
        "bought:\n  - {on: 2026-01-08, from: Mill, what: felt feet, cost: 1.25}\nsold:\n  on: 2026-02-01\n  price: 50\n"
    ).receipts(receipts)
    shop.write({"tools.yaml": "tools:\n\n  - {tool: sander, on: 2026-01-09, from: Mill, cost: 129.00, write off: at once}\n"})  # fmt: skip
    assert main(["compile", str(shop.root)]) == 0
    header, *rows = read(shop.root / "out" / "books" / "ledger.csv")
    sources = {row[header.index("what")]: row[header.index("source")] for row in rows}
    assert sources["masking tape"] == "receipts/2026.yaml:2"
    assert sources["cup hook"] == "receipts/2026.yaml:7"
    assert sources["shop rag"] == "receipts/2026.yaml:8"
    assert sources["felt feet"] == "pieces/oak-stool/piece.yaml:4"
    assert sources["sander"] == "tools.yaml:3"
    by_kind = {row[header.index("kind")]: row[header.index("source")] for row in rows}
    assert by_kind["found"] == "pieces/oak-stool/piece.yaml:2"
    assert by_kind["sale"] in ("pieces/oak-stool/piece.yaml:5", "pieces/oak-stool/piece.yaml:6")


AWKWARD = {
    "a comma": "pulls, brass",
    "quotes": 'the "good" pulls',
    "a newline": "pulls\nand screws",
    "an umlaut": "Beschläge für Türen",
    "another alphabet": "ручки 把手",
    "an apostrophe": "'tis",
    "a leading space": " pulls",
    "a semicolon and a bar": "a;b|c",
}
FORMULAS = {
    "=": "=1+1", "+": "+1", "-": "-1", "@": "@SUM(A1)", "an equals sign and quotes": '=HYPERLINK("x","y")', "a dash": "- pulls",
    "a command": "=cmd|' /C calc'!A0",
}  # fmt: skip


def shop_with(shop: Any, words: str) -> list[list[str]]:
    w = json.dumps(words, ensure_ascii=False)
    shop.receipts(f"- {{on: 2026-01-06, from: {w}, what: {w}, cost: 4.10, for: supplies}}\n")
    shop.write({"trips.yaml": f"trips:\n  - {{on: 2026-01-05, miles: 2, to: {w}, why: {w}}}\n"})
    shop.write({"pieces/s/piece.yaml": f"piece: {w}\nfound: {{on: 2026-01-05, from: {w}, cost: 10}}\n"})
    assert main(["compile", str(shop.root)]) == 0
    return [row for name in ("ledger", "pieces", "trips-2026", "unsold-2026", "no-receipt-2026") for row in read(shop.root / "out" / "books" / f"{name}.csv")]  # fmt: skip


@pytest.mark.parametrize("words", AWKWARD.values(), ids=AWKWARD)
def test_awkward_words_come_back_as_they_were_written(shop: Any, words: str) -> None:
    cells = [cell for row in shop_with(shop, words) for cell in row]
    assert sum(" ".join(cell.split()) == " ".join(words.split()) for cell in cells) >= 8


@pytest.mark.parametrize("words", FORMULAS.values(), ids=FORMULAS)
def test_no_text_is_a_formula_to_a_spreadsheet(shop: Any, words: str) -> None:
    rows = shop_with(shop, words)
    cells = [cell for row in rows for cell in row]
    assert cells.count(f"'{words}") >= 8
    assert not [cell for cell in cells if cell.startswith(FORMULA) and not re.fullmatch(r"-\d+(\.\d+)?", cell)]
    page = Cells((shop.root / "out" / "books" / "ledger.html").read_text("utf-8"))
    assert [row[3] for row in page.parts["tbody"] if row[4] == "supplies"] == [words]


def test_a_figure_below_nothing_stays_a_figure(shop: Any) -> None:
    rows = shop_with(shop, "plain")
    cells = [cell for row in rows for cell in row]
    assert "-10.00" in cells
    assert "'-10.00" not in cells


@pytest.mark.parametrize("start", FORMULA)
def test_a_text_cell_with_a_formulas_first_sign_gets_an_apostrophe_and_a_figure_does_not(start: str) -> None:
    table = Table(
        name="t", title="T", columns=(Column("a", "A"), Column("b", "B", NUMBER)), rows=((f"{start}x", "-1.00"),)
    )
    rows = list(csv.reader(io.StringIO(table.as_csv().decode(), newline=""), strict=True))
    assert rows == [["a", "b"], [f"'{start}x", "-1.00"]]
