"""A shop under a country's rules, and its form of a year as a reader would check it: label against amount."""

from __future__ import annotations

from shop_writer import ShopWriter

from flipbook.books.reckon import Books, YearBooks

CURRENCY = {"us": "USD", "plain": "USD", "uk": "GBP"}
OUTLETS = "outlets: {porch sale: {}, antiques hall: {takes: 12%}}\n"


def under(shop: ShopWriter, rules: str, tax: str = "", more: str = "") -> ShopWriter:
    """Write shop.yaml; `tax` goes on after the rules, as `, home workshop: 180 sq ft`."""
    text = (
        f"shop: Quillback Lane Refinishing\ncurrency: {CURRENCY[rules]}\ntax: {{rules: {rules}{tax}}}\n{OUTLETS}{more}"
    )
    return shop.write({"shop.yaml": text})


def piece(shop: ShopWriter, folder: str, text: str) -> ShopWriter:
    """Write a piece's folder."""
    return shop.write({f"pieces/{folder}/piece.yaml": f"piece: {folder.replace('-', ' ')}\n{text}"})


def year_of_books(books: Books, name: int) -> YearBooks:
    """The books of one tax year."""
    return next(year for year in books.years if year.year.name == name)


def said(books: Books, name: int) -> dict[str, str]:
    """Every line of the year that is not nothing: what the form calls it, or its caption, against the amount.

    The rows that itemise another line are left out.
    """
    lines = year_of_books(books, name).lines
    return {line.line or line.caption: f"{line.amount}" for line in lines if line.amount and not is_item(line.key)}


def items(books: Books, name: int) -> dict[str, str]:
    """The rows of Part V, which line 48 is the sum of."""
    return {line.caption: f"{line.amount}" for line in year_of_books(books, name).lines if is_item(line.key)}


def is_item(key: str) -> bool:
    return key.startswith("48-")


def errors(shop: ShopWriter) -> set[str]:
    """The names of what stands in the way of the books."""
    return {problem.name for problem in shop.problems() if not problem.warning}
