"""What holds of every year of every shop: lines that add up, stock that carries over, cost of goods either way."""

from __future__ import annotations

import tempfile
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from random_years import RandomShop, years_of_a_shop

from flipbook.books.costs import CostSheet
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.years import year_of
from flipbook.compile import check_shop


def books_of(shop: RandomShop) -> Books:
    with tempfile.TemporaryDirectory() as folder:
        for name, text in shop.files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        outcome = check_shop(Path(folder))
    assert outcome.books is not None, [p for p in outcome.problems if not p.warning]
    return outcome.books


def amounts(year: YearBooks) -> dict[str, Decimal]:
    """Every line by its key; a line that was left out is nothing."""
    found: dict[str, Decimal] = defaultdict(Decimal)
    found.update({line.key: line.amount for line in year.lines})
    return found


def cost_of_goods_by_the_day(sheet: CostSheet, starts: tuple[int, int]) -> dict[int, Decimal]:
    """One piece followed from day to day: its costs gather while it is in stock; they go when it is sold or scrapped.

    On one day costs come before what leaves, and what leaves before what comes back. What is kept or given takes
    its costs with it, before and after, and is no cost of goods.
    """
    piece = sheet.filed.piece
    happened = [(cost.day, 0, "cost", cost.amount) for cost in sheet.costs]
    for sold in piece.sold:
        happened.append((sold.on, 1, "out", Decimal(0)))
        if sold.returned:
            happened.append((sold.returned.on, 1, "back", Decimal(0)))
    happened += [(end.on, 1, "out", Decimal(0)) for end in (piece.scrapped,) if end]
    happened += [(end.on, 1, "home", Decimal(0)) for end in (piece.kept, piece.given) if end]
    fees = [received.day for received in sheet.received if not received.is_deposit]
    if piece.customer and fees and not (piece.sold or piece.scrapped or piece.kept or piece.given):
        happened.append((fees[0], 1, "out", Decimal(0)))  # paid for by a fee alone
    by_year: dict[int, Decimal] = defaultdict(Decimal)
    total, where = Decimal(0), "stock"
    for day, _, what, amount in sorted(happened, key=lambda event: event[:2]):
        year = year_of(day, starts).name
        if what == "cost":
            total += amount
            by_year[year] += amount if where == "out" else 0
        elif what == "out":
            by_year[year] += total
        elif what == "back":
            by_year[year] -= total
        where = {"cost": where, "back": "stock"}.get(what, what)
    return by_year


def check_the_arithmetic_of_schedule_c(year: YearBooks) -> None:
    line = amounts(year)
    assert line["3"] == line["1"] - line["2"]
    assert line["4"] == line["42"]
    assert line["5"] == line["3"] - line["4"]
    assert line["7"] == line["5"] + line["6"]
    expenses = ("8", "9", "10", "11", "13", "15", "17", "18", "20b", "21", "22", "23", "24a", "25", "other-expenses")
    assert line["28"] == sum(line[key] for key in expenses)
    assert line["29"] == line["7"] - line["28"]
    assert line["30"] == max(Decimal(0), min(Decimal("1000.00"), line["29"])), "200 sq ft at 5.00"
    assert line["31"] == line["29"] - line["30"] == year.profit
    assert line["40"] == line["35"] + line["36"] + line["38"]
    assert line["42"] == line["40"] - line["41"]
    assert line["48"] == line["other-expenses"] == sum(amount for key, amount in line.items() if key.startswith("48-"))


def check_the_arithmetic_of_sa103s(year: YearBooks) -> None:
    line = amounts(year)
    assert line["20"] == sum(line[str(box)] for box in range(11, 20))
    assert line["net"] == line["9"] + line["10"] - line["20"] == year.profit


def check_the_arithmetic_of_plain(year: YearBooks) -> None:
    line = amounts(year)
    assert line["income"] == line["sale"] + line["delivery-charged"] + line["refund"] + line["other-income"]
    assert line["cost"] == line["opening"] + line["found"] + line["materials"] + line["closing"]
    assert line["gross"] == line["income"] - line["cost"]
    assert line["profit"] == line["gross"] - line["expenses"] == year.profit


CHECKS = {
    "us": check_the_arithmetic_of_schedule_c,
    "uk": check_the_arithmetic_of_sa103s,
    "plain": check_the_arithmetic_of_plain,
}
COST = {"us": "42", "uk": "11", "plain": "cost"}


def buyers_paid(books: Books, rules: str) -> tuple[Decimal, Decimal]:
    """What all years' forms say of buyers: income from them, and income given back; the UK's turnover is one of both."""
    lines = [amounts(year) for year in books.years]
    if rules == "us":
        return sum((line["1"] for line in lines), Decimal(0)), sum((line["2"] for line in lines), Decimal(0))
    if rules == "uk":
        return sum((line["9"] for line in lines), Decimal(0)), Decimal(0)
    sales = sum((line["sale"] + line["delivery-charged"] for line in lines), Decimal(0))
    return sales, -sum((line["refund"] for line in lines), Decimal(0))


@pytest.mark.parametrize("rules", ["us", "uk", "plain"])
@settings(max_examples=examples(100))
@given(data=st.data())
def test_every_year_adds_up(data: st.DataObject, rules: str) -> None:
    shop = data.draw(years_of_a_shop(rules))
    books = books_of(shop)
    starts = books.profile.year_starts or books.facts.tax.year_starts or (1, 1)
    by_pieces: dict[int, Decimal] = defaultdict(Decimal)
    for sheet in books.sheets:
        for year, amount in cost_of_goods_by_the_day(sheet, starts).items():
            by_pieces[year] += amount
    for withdrawal in books.shelf.withdrawals:
        by_pieces[year_of(withdrawal.day, starts).name] += Decimal(0) if withdrawal.piece else withdrawal.cost
    for year_books in books.years:
        CHECKS[rules](year_books)
        assert amounts(year_books)[COST[rules]] == by_pieces.pop(year_books.year.name, 0)
    assert not any(by_pieces.values()), "no cost falls outside the years"
    for earlier, later in zip(books.years, books.years[1:], strict=False):
        assert later.year.start.toordinal() == earlier.year.end.toordinal() + 1
        assert later.stock.opening == earlier.stock.closing
        if rules == "us":
            assert amounts(later)["35"] == amounts(earlier)["41"]
    received, back = buyers_paid(books, rules)
    assert received - back == shop.received - shop.given_back
    assert rules == "uk" or received == shop.received
