"""The books' tables: whole without a script, and sorted by click or key with it."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from typing import Any

import pytest


def rows_of(output: Any, name: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO((output / "books" / f"{name}.csv").read_bytes().decode(), newline="")))


def column(page: Any, number: int) -> list[str]:
    return page.evaluate(
        f"[...document.querySelector('table.sortable').tBodies[0].rows].map((row) => row.cells[{number}].textContent)"
    )


def ordered(cells: list[str]) -> list[Decimal]:
    return [Decimal(cell) for cell in cells if cell]


@pytest.mark.parametrize(("table", "name"), [("pieces", "profit"), ("pieces", "days"), ("ledger", "out"), ("shelf", "left")])  # fmt: skip
def test_a_click_sorts_figures_by_value_up_down_and_back(site: Any, output: Any, table: str, name: str) -> None:
    header, *rows = rows_of(output, table)
    number = header.index(name)
    cells = [row[number] for row in rows]
    values = sorted(ordered(cells))
    assert len(set(values)) > 3
    with site.visit() as visit:
        page = visit.go(f"books/{table}.html")
        heading = page.locator("table.sortable thead th").nth(number)
        seen = []
        for _ in range(3):
            heading.locator("button").click()
            seen.append((heading.get_attribute("aria-sort"), column(page, number)))
        assert [order for order, _ in seen] == ["ascending", "descending", None]
        assert ordered(seen[0][1]) == values
        assert ordered(seen[1][1]) == values[::-1]
        assert seen[2][1] == cells
        blank = cells.count("")
        assert all(after[len(after) - blank :] == [""] * blank for _, after in seen[:2])
        assert visit.complaints == []


@pytest.mark.parametrize("key", ["Enter", "Space"])
def test_a_key_sorts_days_and_words(folder_site: Any, output: Any, key: str) -> None:
    header, *rows = rows_of(output, "pieces")
    with folder_site.visit() as visit:
        page = visit.go("books/pieces.html")
        for name in ("found_on", "title", "state"):
            number = header.index(name)
            heading = page.locator("table.sortable thead th").nth(number)
            heading.locator("button").focus()
            page.keyboard.press(key)
            assert heading.get_attribute("aria-sort") == "ascending"
            shown = column(page, number)
            assert sorted(shown) == sorted(row[number] for row in rows)
            folded = [text.casefold() for text in shown if text]
            assert folded == sorted(folded)
            assert page.locator("table.sortable thead th[aria-sort]").count() == 1
            page.keyboard.press(key)
            assert heading.get_attribute("aria-sort") == "descending"


def test_a_row_stays_together_when_sorted(folder_site: Any, output: Any) -> None:
    header, *rows = rows_of(output, "ledger")
    with folder_site.visit() as visit:
        page = visit.go("books/ledger.html")
        page.locator("table.sortable thead th").nth(header.index("party")).locator("button").click()
        shown = page.evaluate(
            "[...document.querySelector('table.sortable').tBodies[0].rows].map((row) => [...row.cells].map((c) => c.textContent))"
        )
        assert sorted(shown) == sorted(rows)
        assert shown != rows


def test_the_total_stays_below(folder_site: Any) -> None:
    with folder_site.visit() as visit:
        page = visit.go("books/pieces.html")
        before = page.locator("tfoot").inner_text()
        page.locator("table.sortable thead button").nth(10).click()
        assert page.locator("tfoot").inner_text() == before
        assert page.evaluate("document.querySelector('table.sortable').lastElementChild.localName") == "tfoot"


def test_without_script_every_row_is_there_and_nothing_to_press(folder_site: Any, output: Any) -> None:
    with folder_site.visit(java_script_enabled=False) as visit:
        for path in sorted((output / "books").glob("*.csv")):
            page = visit.go(f"books/{path.stem}.html")
            header, *rows = rows_of(output, path.stem)
            # A tax year's page has the rows of its amounts in tables below; earnings stand in a table for each gathering.
            tables = page.locator("table")
            holding = tables if path.stem == "earnings" else tables.first
            assert holding.locator("tbody tr").count() == len(rows)
            assert tables.first.locator("thead th").count() == len(header)
            assert page.locator("button").count() == 0
