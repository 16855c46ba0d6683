"""Every figure of the demo shop's forms, followed down to the lines of the files that it comes from."""

from __future__ import annotations

import csv
import io
import re
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


# Each reckoned by hand from the prices written in the pieces' files.
RECKONED = [
    # The blanket chest 366; the maple chest 643 and its delivery 38; the table 88; the dressing chest 637; the December
    # part of the sideboard 252.
    (2025, "1", "366.00 + 643.00 + 38.00 + 88.00 + 637.00 + 252.00", "2024.00"),
    (2025, "2", "27.00", "27.00"),
    # Of 255 miles, 76 by trips.yaml and 24, 55, 22, 47 and 31 for five pieces, at 0.70; and the toll.
    (2025, "9", "178.50 + 6.50", "185.00"),
    # The hall takes 12% of 366; the marketplace 9% and 0.40 of 681 and of 637.
    (2025, "10", "43.92 + 61.29 + 0.40 + 57.33 + 0.40", "163.34"),
    # With the auction's tax; the mirror was found and kept in the year, and counts for nothing.
    (2025, "36", "37.00 + 72.00 + 4.32 + 128.00 + 84.00 + 5.04 + 78.00 + 27.00 + 1.62", "436.98"),
    # The rest of the sideboard, 473.46, without its tax of 38.46; the rocker with its delivery, 192 + 14, of which 43 was
    # a deposit and 11.52 of 217.52 was tax; two nightstands; the dressing chest again; the customer's seat.
    (2026, "1", "435.00 + 206.00 + 297.00 + 297.00 + 608.00 + 242.00", "2085.00"),
    (2026, "2", "637.00", "637.00"),
    # As written for the left nightstand; 9% and 0.40 of 297 and of 608.
    (2026, "10", "26.73 + 26.73 + 0.40 + 54.72 + 0.40", "108.98"),
    # The desk at the lesser of 134 and 68; the stool was found and given away in the year.
    (2026, "36", "26.00 + 1.56 + 68.00 + 48.00 + 2.88 + 9.00 + 92.00", "247.44"),
]


@pytest.mark.parametrize(("year", "line", "terms", "amount"), RECKONED)
def test_a_line_is_what_the_prices_of_the_pieces_come_to(
    books: Books, year: int, line: str, terms: str, amount: str
) -> None:
    assert sum(map(Decimal, terms.split(" + "))) == Decimal(amount)
    (found,) = [each for of in books.years if of.year.name == year for each in of.lines if each.line == line]
    assert found.amount == Decimal(amount)


PRICES = re.compile(r"\b(?:price|cost|worth|counter):? (\d+)(?:\.\d\d)?\b")


def test_no_price_of_a_find_an_asking_or_a_sale_is_a_round_one() -> None:
    """A free find apart: an invented price that ends in 0 or 5 is soon somebody's own."""
    for path in sorted(DEMO.glob("pieces/*/piece.yaml")):
        text = re.sub(r"^bought:\n(?:[ ].*\n)+", "", path.read_text("utf-8"), flags=re.MULTILINE)
        dollars = [found for found in PRICES.findall(text) if found != "0"]
        assert dollars or path.parent.name.startswith("nightstand"), path
        assert not [found for found in dollars if found[-1] in "05"], path


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
