"""Every figure of the demo shop's forms, followed down to the lines of the files that it comes from."""

from __future__ import annotations

import csv
import io
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from shop_writer import REPOSITORY, run_flipbook

from flipbook.books.reckon import Books
from flipbook.compile import check_shop

DEMO = REPOSITORY / "demo_shop"
# Terms of stock that stands at a day and is written on no one line.
STANDING = ("opening", "closing")


@pytest.fixture(scope="module")
def books() -> Books:
    found = check_shop(DEMO).books
    assert found is not None
    return found


@pytest.mark.parametrize("number", [0, 1])
def test_every_amount_is_the_sum_of_rows_that_stand_in_a_file(books: Books, number: int) -> None:
    year = books.years[number]
    by_label: dict[str, Decimal] = {}
    for line in year.lines:
        by_label[line.line] = line.amount
        if not line.flows:
            continue
        assert sum(flow.amount for flow in line.flows) == line.amount or line.line == "30", line.caption
        for flow in line.flows:
            if flow.term.strip("-") in STANDING:
                continue
            assert flow.place is not None
            assert flow.day in year.year
            text = (DEMO / flow.place.file).read_text("utf-8").splitlines()
            assert text[flow.place.line - 1].strip() or flow.place.line == 0
    assert by_label["31"] == by_label["29"] - by_label.get("30", Decimal(0))
    assert by_label["42"] == year.stock.by_pieces


@pytest.mark.parametrize("year", ["2025", "2026"])
def test_the_pack_says_what_the_terminal_says(year: str, tmp_path: Path) -> None:
    ran = run_flipbook("year", year, "--shop", DEMO, "--pack", tmp_path / "pack.zip")
    assert ran.code == 0, ran.err
    with zipfile.ZipFile(tmp_path / "pack.zip") as pack:
        rows = list(csv.DictReader(io.StringIO(pack.read(f"tax-{year}.csv").decode())))
        page = pack.read(f"tax-{year}.html").decode()
        scans = [name for name in pack.namelist() if name.startswith("scans/")]
    shown = run_flipbook("year", year, "--shop", DEMO).out
    for row in rows:
        assert row["amount"] in page
        assert f"{Decimal(row['amount']):,.2f}".replace("-", "\N{MINUS SIGN}") in shown
    assert len(scans) > 10
