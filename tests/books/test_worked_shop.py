"""A worked shop: every table it makes, against figures reckoned by hand.

Common practice, no source: profit is what came in less materials, fees and driving; the maker's hours are
never a cost.

2025. Income is the chair's first payment, 20.00. Opening stock 16.00 (a quart of clear coat from before).
    Found 30.00 + 26.50 + 15.00 = 71.50. Shelf 12.00. In hand at the end: chair 30.00 + 3.00, cabinet
    26.50 + 4.00, mirror 15.00, shelf (16.00 - 4.00) + (12.00 - 3.00) = 21.00; together 99.50. Nothing was sold:
    16.00 + 71.50 + 12.00 - 99.50 = 0.00. Profit 20.00 - 19.61 = 0.39.
2026. Sales 70.00 + 120.00 + 120.00 + 380.00 = 690.00, delivery 10.00 + 25.00, refunds 130.00 + 15.00.
    Found 50.01 + 42.40, less the mirror that was kept, 15.00, = 77.41. Materials 6.00 + 41.40 + 24.18, less the
    mirror's 4.00 and the 2.00 used on it after it was kept, = 65.58. In hand: left stand 25.01 + 6.00, clear coat
    16.00 - 4.00 - 4.00 - 2.00 = 6.00, wax 9.00; together 46.01. By the form 99.50 + 77.41 + 65.58 - 46.01 = 196.48;
    by the pieces chair 33.00, cabinet 30.50, right stand 25.00, workstand 107.98, = 196.48.
    Profit 580.00 - 196.48 - 3.45 - (10.80 + 12.10 + 11.20) = 345.97.
Jobs. Chair 90.00 - 10.80 - 33.00 = 46.20 in 1 h. Right stand 105.00 - 11.20 - 25.00 = 68.80. Workstand 405.00 -
    107.98 = 297.02 in 40 min + 1 h 50 min = 2.5 h: 118.808 an hour; 297.02 / 405.00 = 0.73338.
    Days: 1 November to 5 January is 30 + 31 + 4 = 65; 15 January to 5 March is 16 + 28 + 5 = 49; 14 February to
    11 April is 14 + 31 + 11 = 56.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from flipbook.compile import check_shop
from flipbook.reports.tables import tables_of

WORKED = Path(__file__).parent / "worked_shop"


@pytest.fixture(scope="module")
def tables() -> dict[str, bytes]:
    books = check_shop(WORKED / "given").books
    assert books is not None
    return {table.name: table.as_csv() for table in tables_of(books)}


@pytest.mark.parametrize("golden", sorted((WORKED / "books").glob("*.csv")), ids=lambda path: path.stem)
def test_each_table_is_what_was_reckoned_by_hand(golden: Path, tables: dict[str, bytes]) -> None:
    assert tables[golden.stem].decode().replace("\r\n", "\n") == golden.read_text(encoding="utf-8")


def test_every_table_that_has_rows_was_reckoned_by_hand(tables: dict[str, bytes]) -> None:
    reckoned = {golden.stem for golden in (WORKED / "books").glob("*.csv")}
    assert set(tables) - reckoned == {"trips-2025"}
    assert tables["trips-2025"] == b"date,piece,to,why,miles,rate,amount\r\n"


def test_the_sales_tax_collected_was_handed_over() -> None:
    books = check_shop(WORKED / "given").books
    assert books is not None
    assert [f"{books.sales_tax.collected}", f"{books.sales_tax.handed_over}", f"{books.sales_tax.owed}"] == [
        "5.40",
        "5.40",
        "0.00",
    ]


def test_the_proof_names_what_was_held_against_what() -> None:
    books = check_shop(WORKED / "given").books
    assert books is not None
    # 27 rows in ledger.csv; receipts: wax, cards, the pair, the hardware slip, sales tax, and the knobs.
    assert "27 movements" in books.proof.words
    assert "6 receipts" in books.proof.words
    assert "cost of goods sold to 196.48" in books.proof.words
