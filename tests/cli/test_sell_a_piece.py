"""`flipbook sell`: the sale as it was said, its payments made up with the deposits, and what it leaves."""

from __future__ import annotations

import tempfile
from contextlib import redirect_stderr, redirect_stdout
from datetime import date
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import Ran, ShopWriter, run_flipbook

from flipbook.cli.main import main
from flipbook.shop.records.piece import Piece

FILE = "pieces/oak-stool/piece.yaml"
DEPOSIT = "deposits:\n  - {on: 2026-03-28, amount: 80.00, from: M.}\n"


def sell(shop: ShopWriter, *words: str | Path, code: int = 0) -> Ran:
    return shop.run("sell", *words, "--on", "2026-04-11", code=code)


def payments(piece: Piece) -> list[tuple[str, str]]:
    return [(str(payment.on), str(payment.amount)) for payment in piece.sold[-1].payments]


def test_a_sale_is_written_as_it_was_said(shop: ShopWriter) -> None:
    shop.piece("log:\n  - 2026-02-15 2 h sanded it\n")
    ran = sell(
        shop, "stool", "$380", "--at", "Antiques  hall", "--delivery", "25", "--sales-tax", "22.80", "--buyer", "M.: up the hill",
        "--private", "Two steps at the door.",
    )  # fmt: skip
    (sale,) = shop.only().sold
    assert (sale.on, str(sale.price), sale.at) == (date(2026, 4, 11), "380.00", "antiques hall")
    assert (str(sale.delivery), str(sale.sales_tax), sale.fees) == ("25.00", "22.80", None)
    assert (sale.buyer, sale.private, sale.payments) == ("M.: up the hill", "Two steps at the door.", ())
    # Takings 380 + 25; 12% of that is 48.60; it cost 10.00: 346.40, and 173.20 an hour.
    for figure in ("$405.00", "$48.60", "$10.00", "$346.40", "$173.20"):
        assert figure in ran.out


def test_fees_that_were_really_taken_stand_in_place_of_the_outlets(shop: ShopWriter) -> None:
    ran = sell(shop.piece(), "stool", "380", "--at", "antiques hall", "--fees", "0")
    assert str(shop.only().sold[0].fees) == "0.00"
    assert "$370.00" in ran.out
    assert "an hour" not in ran.out


@pytest.mark.parametrize(
    ("said", "paid"),
    [
        (["2026-04-01 80", "2026-04-11 300"], [("2026-04-01", "80.00"), ("2026-04-11", "300.00")]),
        (["300", "2026-04-01 80.00"], [("2026-04-01", "80.00"), ("2026-04-11", "300.00")]),
        (["380"], [("2026-04-11", "380.00")]),
    ],
)
def test_payments_are_read_by_their_days(shop: ShopWriter, said: list[str], paid: list[tuple[str, str]]) -> None:
    sell(shop.piece(), "stool", "380", *(word for one in said for word in ("--paid", one)))
    assert payments(shop.only()) == paid


def test_payments_that_do_not_come_to_the_price_are_shown(shop: ShopWriter) -> None:
    before = (shop.piece().root / FILE).read_bytes()
    ran = sell(shop, "stool", "380", "--paid", "2026-04-01 80", code=1)
    assert "[payments-disagree]" in ran.err
    assert "payments: [" in ran.err
    assert (shop.root / FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("more", "words", "paid"),
    [
        (DEPOSIT, ["380"], [("2026-04-11", "300.00")]),
        (DEPOSIT, ["380", "--delivery", "25", "--sales-tax", "22.80"], [("2026-04-11", "347.80")]),
        (DEPOSIT, ["80"], []),
        (DEPOSIT, ["380", "--paid", "2026-04-02 100", "--paid", "200"], [("2026-04-02", "100.00"), ("2026-04-11", "200.00")]),
        (DEPOSIT.replace("M.}", "M., back: {on: 2026-03-30}}"), ["380"], []),
        (DEPOSIT + "  - {on: 2026-04-11, amount: 20.00}\n", ["380"], [("2026-04-11", "280.00")]),
    ],
)  # fmt: skip
def test_deposits_that_stand_count_and_the_rest_is_paid_on_the_day(
    shop: ShopWriter, more: str, words: list[str], paid: list[tuple[str, str]]
) -> None:
    ran = sell(shop.piece(more), "stool", *words)
    piece = shop.only()
    assert payments(piece) == paid
    standing = [deposit for deposit in piece.deposits if deposit.back is None]
    assert ("Deposits of" in ran.out) == bool(standing)
    # Every cent that was charged came in: as a deposit, as a payment, or on the day.
    received = sum(r.income + r.sales_tax for r in shop.books().sheets[0].received) - sum(
        g.amount for g in shop.books().sheets[0].refunds
    )
    assert received == piece.sold[0].charged


def test_more_deposits_than_the_price_are_shown(shop: ShopWriter) -> None:
    assert "[payments-disagree]" in sell(shop.piece(DEPOSIT), "stool", "50", code=1).err


def test_a_piece_that_came_back_is_sold_again(shop: ShopWriter) -> None:
    shop.piece(
        "deposits: [{on: 2026-01-20, amount: 30.00}]\n"
        "sold:\n  on: 2026-02-01\n  price: 100.00   # to R.\n  payments: [{on: 2026-02-01, amount: 70.00}]\n"
        "  returned: {on: 2026-02-10, refund: 100.00}\n"
    )
    sell(shop, "stool", "120", "--at", "porch sale")
    piece = shop.only()
    assert [(str(sale.price), sale.returned is not None) for sale in piece.sold] == [
        ("100.00", True),
        ("120.00", False),
    ]
    assert payments(piece) == []  # the deposit went into the first sale
    assert "# to R." in (shop.root / FILE).read_text()
    assert sell(shop, "stool", "130", code=2).err.count("already") == 1


def test_a_deposit_after_the_return_counts_for_the_second_sale(shop: ShopWriter) -> None:
    shop.piece(
        "deposits: [{on: 2026-03-01, amount: 30.00}]\n"
        "sold:\n  - {on: 2026-02-01, price: 100.00, returned: {on: 2026-02-10, refund: 100.00}}\n"
    )
    sell(shop, "stool", "120")
    assert payments(shop.only()) == [("2026-04-11", "90.00")]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["stool", "380", "--at", "porch"], "write `porch sale`"),
        (["stool", "380", "--at", "xyzzy"], "`antiques hall`"),
        (["stool", "0"], "the sum is nothing"),
        (["stool", "-380"], "not negative"),
        (["stool", "380", "--delivery", "-5"], "not negative"),
        (["stool", "380", "--paid", "soon"], "--paid"),
        (["stool", "380", "--paid", "someday 40"], "--paid"),
        (["stool", "380", "--paid", "2026-04-01 0"], "--paid"),
        (["stool"], "the price is not said"),
        ([], "the piece is not said"),
    ],
)
def test_what_is_misread_is_misuse(shop: ShopWriter, words: list[str], says: str) -> None:
    before = (shop.piece().root / FILE).read_bytes()
    ran = sell(shop, *words, code=2)
    assert says in ran.err
    assert (shop.root / FILE).read_bytes() == before


@pytest.mark.parametrize(("more", "name"), [("kept: {on: 2026-03-01}\n", "ended-twice"), ("fond: x\n", "unknown-key")])
def test_what_cannot_be_is_shown_and_not_written(shop: ShopWriter, more: str, name: str) -> None:
    before = (shop.piece(more).root / FILE).read_bytes()
    assert f"[{name}]" in sell(shop, "oak-stool", "380", code=1).err
    assert (shop.root / FILE).read_bytes() == before


def test_a_sale_before_the_find_is_shown(shop: ShopWriter) -> None:
    ran = run_flipbook("sell", "stool", "380", "--on", "2026-01-01", cwd=shop.piece().root)
    assert ran.code == 1
    assert "[dates-run-backwards]" in ran.err


def test_a_shop_without_outlets_says_where_they_go(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": "shop: Quillback Lane\ncurrency: USD\n"}).piece()
    assert "`outlets:` in shop.yaml" in sell(shop, "stool", "380", "--at", "porch sale", code=2).err


cents = st.integers(1, 100_000).map(lambda number: Decimal(number) / 100)
days = st.dates(date(2026, 1, 6), date(2026, 4, 30))


@given(
    price=cents,
    delivery=st.none() | cents,
    sales_tax=st.none() | cents,
    deposits=st.lists(st.tuples(days, cents), max_size=4),
)
@settings(max_examples=examples(60))
def test_deposits_and_payments_come_to_what_was_charged_or_nothing_is_written(
    price: Decimal, delivery: Decimal | None, sales_tax: Decimal | None, deposits: list[tuple[date, Decimal]]
) -> None:
    with tempfile.TemporaryDirectory() as home, redirect_stdout(StringIO()), redirect_stderr(StringIO()) as err:
        rows = "".join(f"  - {{on: {day}, amount: {amount}}}\n" for day, amount in deposits)
        shop = ShopWriter(Path(home) / "my_shop").piece(f"deposits:\n{rows}" if rows else "")
        before = (shop.root / FILE).read_bytes()
        more = [f"--delivery={delivery}"] * (delivery is not None) + [f"--sales-tax={sales_tax}"] * (
            sales_tax is not None
        )
        ended = main(["sell", f"--shop={shop.root}", "--on=2026-04-11", *more, "stool", str(price)])
        charged = price + (delivery or 0) + (sales_tax or 0)
        in_time = sum(amount for day, amount in deposits if day <= date(2026, 4, 11))
        # A deposit after the sale has no place, nor have deposits over all that is charged.
        fits = in_time <= charged and all(day <= date(2026, 4, 11) for day, _ in deposits)
        assert (ended == 0) == fits, err.getvalue()
        if not fits:
            assert (shop.root / FILE).read_bytes() == before
            return
        piece = shop.only()
        assert in_time + sum(payment.amount for payment in piece.sold[0].payments) in (charged, in_time)
        received = shop.books().sheets[0].received
        assert sum(one.income + one.sales_tax for one in received) == charged
