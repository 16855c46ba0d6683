"""Dates that run backwards, and payments and refunds that do not agree with the sale (FORMAT.md, "piece.yaml")."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_PIECE, ShopWriter

PIECE = "pieces/oak-stool/piece.yaml"
SOLD = "sold:\n  on: 2026-04-11\n  price: 380.00\n  delivery: 25.00\n  sales tax: 22.80\n"  # 427.80 in all

BACKWARDS = [
    ("sold before found", "sold: {on: «2026-01-04», price: 9}\n", "2026-01-05"),
    ("kept before found", "kept: {on: «2026-01-04»}\n", "2026-01-05"),
    ("given before found", "given: {on: «2026-01-04», to: R.}\n", "2026-01-05"),
    ("scrapped before found", "scrapped: {on: «2026-01-04», why: worm}\n", "2026-01-05"),
    ("the first of two sales before found", "sold:\n  - {on: «2026-01-04», price: 9, returned: {on: 2026-02-01, "
     "refund: 9}}\n  - {on: 2026-03-01, price: 9}\n", "2026-01-05"),
    ("back before sold", "sold: {on: 2026-04-11, price: 9, returned: {on: «2026-04-10», refund: 9}}\n", "2026-04-11"),
    ("a price cut before sold", "sold: {on: 2026-04-11, price: 9, allowed: {on: «2026-04-10», refund: 1}}\n",
     "2026-04-11"),
    ("sold again before it came back", "sold:\n  - {on: 2026-02-01, price: 9, returned: {on: 2026-03-01, refund: 9}}\n"
     "  - {on: «2026-02-28», price: 9}\n", "2026-03-01"),
    ("kept before it came back", "sold: {on: 2026-02-01, price: 9, returned: {on: 2026-03-01, refund: 9}}\n"
     "kept: {on: «2026-02-28»}\n", "2026-03-01"),
    ("a lower price before the price above it", "asking:\n  - {on: 2026-03-20, price: 425}\n"
     "  - {on: «2026-03-19», price: 395}\n", "2026-03-20"),
    ("a deposit given back before it was paid", "deposits: [{on: 2026-03-28, amount: 80, back: {on: «2026-03-27»}}]\n",
     "2026-03-28"),
]  # fmt: skip


@pytest.mark.parametrize(("which", "marked", "earliest"), BACKWARDS, ids=[row[0] for row in BACKWARDS])
def test_dates_that_run_backwards_are_told_with_the_day_that_they_run_before(
    shop: ShopWriter, which: str, marked: str, earliest: str
) -> None:
    text, expected = unmarked(GOOD_PIECE + marked)
    problems = shop.write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, "dates-run-backwards", "check both dates")
    assert earliest in problems[0].says, which


def test_a_deposit_after_the_sale_belongs_among_its_payments(shop: ShopWriter) -> None:
    text, expected = unmarked(
        GOOD_PIECE + "deposits: [{on: «2026-04-12», amount: 80}]\nsold: {on: 2026-04-11, price: 380}\n"
    )
    problems = shop.write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, "dates-run-backwards", "`payments`")


@pytest.mark.parametrize(
    "same_day",
    [
        "sold: {on: 2026-01-05, price: 9}\n",
        "sold: {on: 2026-04-11, price: 9, returned: {on: 2026-04-11, refund: 9}}\n",
        "asking:\n  - {on: 2026-03-20, price: 425}\n  - {on: 2026-03-20, price: 395}\n",
        "deposits: [{on: 2026-04-11, amount: 80}]\nsold: {on: 2026-04-11, price: 80}\n",
        "sold: {on: 2026-04-11, price: 9, payments: [{on: 2026-05-01, amount: 9}]}\n",
    ],
)
def test_the_same_day_is_in_order_and_a_payment_may_come_later(shop: ShopWriter, same_day: str) -> None:
    assert shop.piece(same_day).problems() == []


def test_a_step_before_the_piece_was_found_is_pointed_out_and_not_refused(shop: ShopWriter) -> None:
    shop.piece("log:\n  - 2026-01-04 5 min washed\n")
    (problem,) = shop.problems()
    assert (problem.name, problem.warning, problem.place.line) == ("before-it-was-found", True, 4)
    assert "2026-01-05" in problem.says


DISAGREE = [
    (SOLD + "  payments: «[{on: 2026-04-11, amount: 427.79}]»\n", "payments-disagree", "427.79", "427.80"),
    (SOLD + "  payments: «[{on: 2026-04-01, amount: 80}, {on: 2026-04-11, amount: 347.81}]»\n", "payments-disagree",
     "427.81", "427.80"),
    (SOLD + "  payments: «[{on: 2026-04-11, amount: 380}]»\n", "payments-disagree", "380.00", "427.80"),
    ("deposits: [{on: 2026-03-28, amount: 80}]\n" + SOLD + "  payments: «[{on: 2026-04-11, amount: 427.80}]»\n",
     "payments-disagree", "507.80", "427.80"),
    (SOLD + "  returned: {on: 2026-05-02, refund: «427.81»}\n", "refund-too-large", "", "427.80"),
    (SOLD + "  allowed: {on: 2026-05-02, refund: «427.81»}\n", "refund-too-large", "", "427.80"),
    (SOLD + "  allowed: {on: 2026-04-20, refund: 30}\n  returned: {on: 2026-05-02, refund: «400»}\n",
     "refund-too-large", "", "427.80"),
]  # fmt: skip


@pytest.mark.parametrize(("marked", "name", "paid", "charged"), DISAGREE)
def test_payments_and_refunds_agree_with_price_delivery_and_sales_tax_to_the_cent(
    shop: ShopWriter, marked: str, name: str, paid: str, charged: str
) -> None:
    text, expected = unmarked(GOOD_PIECE + marked)
    problems = shop.write({PIECE: text}).problems()
    expect_one(problems, PIECE, text, expected, name, "check the")
    assert paid in problems[0].says
    assert charged in problems[0].says


def test_deposits_over_the_whole_price_are_told_though_no_payment_is_written(shop: ShopWriter) -> None:
    shop.piece("deposits: [{on: 2026-03-28, amount: 427.81}]\n" + SOLD)
    problems = shop.problems()
    assert [problem.name for problem in problems] == ["payments-disagree"]
    assert "427.81" in problems[0].says


@pytest.mark.parametrize(
    "agreed",
    [
        SOLD + "  payments: [{on: 2026-04-01, amount: 80.00}, {on: 2026-04-11, amount: 347.80}]\n",
        "deposits: [{on: 2026-03-28, amount: 80}]\n" + SOLD + "  payments: [{on: 2026-04-11, amount: 347.80}]\n",
        "deposits: [{on: 2026-03-28, amount: 80, back: {on: 2026-04-01}}]\n" + SOLD,
        "deposits: [{on: 2026-03-28, amount: 80}]\n" + SOLD,
        SOLD + "  returned: {on: 2026-05-02, refund: 427.80}\n",
    ],
)
def test_payments_and_deposits_that_agree_are_no_problem(shop: ShopWriter, agreed: str) -> None:
    assert shop.piece(agreed).problems() == []


def test_opening_stock_is_dated_no_later_than_anything_that_is_logged(shop: ShopWriter) -> None:
    for day, good in (("2026-01-05", True), ("2026-01-06", False)):
        shop.piece().receipts(f"opening:\n  - {{on: {day}, what: tack cloth, size: 1 each, cost: 3}}\n")
        assert (shop.problems() == []) is good, day
