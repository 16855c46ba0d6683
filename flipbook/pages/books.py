"""The private books: every table as CSV and as a page, and the page that leads to them."""

from __future__ import annotations

from flipbook.books.reckon import Books, YearBooks
from flipbook.measures.money import show_money
from flipbook.pages.rendering import parts_of, renderer, shipped_file
from flipbook.pages.tables import TAX_NOTE, Table, tables_of
from flipbook.pages.writing import Output
from flipbook.pages.year import year_page

BOOKS = "books"
NEWEST = 100


def write_books(books: Books, output: Output) -> None:
    """Make everything in the private folder."""
    tables = tables_of(books)
    shop_name = books.facts.shop.shop
    years = {f"tax-{year.year.name}": year for year in books.years}
    for table in tables:
        output.write(f"{BOOKS}/{table.name}.csv", table.as_csv())
        if table.name in years:
            page = year_page(books, years[table.name], table)
        else:
            page = parts_of("books/table.html", shop_name=shop_name, table=table, totals=table.totals())
        output.write_parts(f"{BOOKS}/{table.name}.html", page)
    output.write(f"{BOOKS}/index.html", _index(books, {table.name: table for table in tables}).encode())
    for name in ("style.css", "sort.js"):
        output.write(f"{BOOKS}/{name}", shipped_file(f"books/{name}"))


def _index(books: Books, tables: dict[str, Table]) -> str:
    currency = books.facts.shop.currency
    tax = books.sales_tax
    ledger = tables["ledger"]
    return renderer("books/index.html")(
        shop_name=books.facts.shop.shop,
        currency=currency,
        years=[_year(year, currency) for year in reversed(books.years)],
        jobs=tables["pieces"],
        shelf=tables["shelf"],
        ledger=ledger,
        ledger_rows=len(ledger.rows),
        newest=ledger.rows[-NEWEST:],
        sales_tax={
            "collected": show_money(tax.collected, currency),
            "given_back": show_money(tax.given_back, currency),
            "handed_over": show_money(tax.handed_over, currency),
            "owed": show_money(tax.owed, currency),
        },
        proof=books.proof.words,
        tax_note=TAX_NOTE,
    )


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
