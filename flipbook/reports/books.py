"""The private books: every table as CSV and as a page, and the page that leads to them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from flipbook.books.landed import LandedReceipt
from flipbook.books.lots import Withdrawal
from flipbook.books.marketplace import outlet_years
from flipbook.books.reckon import Books, YearBooks
from flipbook.measures.amounts import Unit
from flipbook.measures.money import show_money
from flipbook.portfolio.papers import write_papers
from flipbook.portfolio.public import PublicPiece
from flipbook.remembering import Remember, afresh
from flipbook.rendering import body_rows, parts_of, renderer, shipped_file
from flipbook.reports.cost_sheet import cost_sheet_page, sheet_shown
from flipbook.reports.earnings import earnings, earnings_page, earnings_shown, past_of
from flipbook.reports.tables import TAX_NOTE, Table, tables_of
from flipbook.reports.year import page_of_year, year_shown
from flipbook.shop.nearest import folded
from flipbook.writing import Output

BOOKS = "books"
NEWEST = 100


def write_books(books: Books, pieces: Sequence[PublicPiece], output: Output, remember: Remember = afresh) -> None:
    """Make everything in the private folder; `pieces` are the public sides of the shop's, in the order of its facts."""
    tables = {table.name: table for table in tables_of(books)}
    shop_name = books.facts.shop.shop
    held = outlet_years(books.facts, books.sheets, books.profile.marketplace_forms)
    years = {f"tax-{year.year.name}": year for year in books.years}
    for name, table in tables.items():
        output.make(f"{BOOKS}/{name}.csv", Table.as_csv, table)
        if name in years:
            page = year_shown(books, years[name], table, held)
            output.make(f"{BOOKS}/{name}.html", page_of_year, page)
        else:
            output.make(f"{BOOKS}/{name}.html", _page, shop_name, table)
    output.make(f"{BOOKS}/index.html", _index, **_on_the_index(books, tables))
    past = past_of(books)
    table = earnings(books, past)
    output.make(f"{BOOKS}/earnings.csv", Table.as_csv, table)
    output.make(f"{BOOKS}/earnings.html", earnings_page, **earnings_shown(books, past, table))
    _write_cost_sheets(books, output, remember)
    write_papers(books.facts, pieces, output, BOOKS)
    for name in ("style.css", "sort.js"):
        output.write(f"{BOOKS}/{name}", shipped_file(f"books/{name}"))


def _write_cost_sheets(books: Books, output: Output, remember: Remember) -> None:
    """The cost sheet of each piece, a page of its own."""
    receipts: dict[str, list[LandedReceipt]] = defaultdict(list)
    for file in books.landed.values():
        for landed in file:
            for piece in dict.fromkeys(part.piece for part in landed.parts if part.piece):
                receipts[piece].append(landed)
    withdrawals: dict[str, list[tuple[Withdrawal, Unit]]] = defaultdict(list)
    for withdrawal in books.shelf.withdrawals:
        if withdrawal.piece:
            withdrawals[withdrawal.piece].append((withdrawal, books.shelf.products[folded(withdrawal.product)].unit))
    shop, products = books.facts.shop, books.facts.products
    for sheet in books.sheets:
        folder = sheet.folder
        shown = remember(
            ("cost sheet", folder), sheet_shown, sheet, shop, products, receipts[folder], withdrawals[folder]
        )
        output.make(f"{BOOKS}/pieces/{folder}.html", cost_sheet_page, shown)


def _page(shop_name: str, table: Table) -> Iterator[str]:
    body = (body_rows(rows, first_names_it=table.names_its_rows, indent="    ") for rows in table.blocks())
    # Each part of the body is as long as thousands of a template's own.
    return parts_of("books/table.html", at_once=4, shop_name=shop_name, table=table, totals=table.totals(), body=body)


def _index(**shown: object) -> bytes:
    return renderer("books/index.html")(**shown).encode()


def _on_the_index(books: Books, tables: dict[str, Table]) -> dict[str, object]:
    currency = books.facts.shop.currency
    tax = books.sales_tax
    ledger = tables["ledger"]
    return {
        "shop_name": books.facts.shop.shop,
        "currency": currency,
        "years": [_year(year, currency) for year in reversed(books.years)],
        "jobs": tables["pieces"],
        "shelf": tables["shelf"],
        "ledger": replace(ledger, rows=()),  # of its rows the newest are shown, and an older one changes nothing here
        "ledger_rows": len(ledger.rows),
        "newest": ledger.rows[-NEWEST:],
        "sales_tax": {
            "collected": show_money(tax.collected, currency),
            "given_back": show_money(tax.given_back, currency),
            "handed_over": show_money(tax.handed_over, currency),
            "owed": show_money(tax.owed, currency),
        },
        "proof": books.proof.words,
        "tax_note": TAX_NOTE,
    }


def _year(year: YearBooks, currency: str) -> dict[str, object]:
    name = year.year.name
    return {
        "title": year.year.title,
        "name": str(name),
        "money_in": show_money(year.money_in, currency),
        "money_out": show_money(year.money_out, currency),
        "profit": show_money(year.profit, currency),
        "unsold": show_money(year.stock.closing, currency),
        "links": [
            (f"tax-{name}.html", "Totals"),
            (f"unsold-{name}.html", "Unsold"),
            (f"trips-{name}.html", "Trips"),
            (f"no-receipt-{name}.html", f"No receipt ({len(year.no_receipt)})"),
        ],
    }
