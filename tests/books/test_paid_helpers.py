"""Helpers paid as contract labour, by party and calendar year.

At $600 or more until the end of 2025 (26 USC 6041(a) before P.L. 119-21), at $2,000 or more from 2026
(P.L. 119-21 section 70433), by the day of payment; from 2027 it is indexed, and no figure is published yet.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

from flipbook.books.paid_helpers import HelperPaid, helpers_paid


def paid(shop: ShopWriter, *payments: tuple[str, str, str], threshold: str = "us_1099_nec") -> tuple[HelperPaid, ...]:
    """The helpers of a shop with these payments: a day, a party and a sum each."""
    lines = [
        f"- {{on: {day}, from: {party}, what: caning a seat, {key}, for: contract-labour}}\n"
        for day, party, amount in payments
        for key in (amount if ":" in amount else f"cost: {amount}",)
    ]
    return helpers_paid(shop.piece().receipts("".join(lines)).books().ledger, threshold)


@pytest.mark.parametrize(
    ("day", "amount", "due", "source"),
    [
        ("2025-12-31", "599.99", False, "26 USC 6041(a) before P.L. 119-21"),
        ("2025-12-31", "600.00", True, "26 USC 6041(a) before P.L. 119-21"),
        ("2026-01-01", "600.00", False, "P.L. 119-21 section 70433"),
        ("2026-01-01", "1999.99", False, "P.L. 119-21 section 70433"),
        ("2026-01-01", "2000.00", True, "P.L. 119-21 section 70433"),
        ("2026-12-31", "2000.00", True, "P.L. 119-21 section 70433"),
    ],
)
def test_at_or_over_the_figure_of_the_day_of_payment(
    shop: ShopWriter, day: str, amount: str, due: bool, source: str
) -> None:
    (helper,) = paid(shop, (day, "R. Tarn", amount))
    assert (helper.may_be_due, bool(helper.remark), helper.source) == (due, due, source)
    assert str(helper.paid) == amount


def test_a_remark_says_that_a_form_may_be_due_and_no_more(shop: ShopWriter) -> None:
    (helper,) = paid(shop, ("2026-06-01", "R. Tarn", "2000"))
    assert helper.remark == (
        "R. Tarn was paid 2,000.00 in 2026: at or over 2,000.00, so a form to them and the tax office may be due."
    )


def test_payments_to_one_party_add_up_within_a_calendar_year_and_not_across_it(shop: ShopWriter) -> None:
    # 2025: 400.00 + 199.99 = 599.99, under 600. 2026: 1,500.00 + 500.00 = 2,000.00 on the figure. Work done in
    # December and paid in January is of January.
    helpers = paid(
        shop,
        ("2025-03-01", "R. Tarn", "400"),
        ("2025-12-31", "r.  tarn", "199.99"),
        ("2026-01-02", "R. Tarn", "1500"),
        ("2026-11-30", "R. Tarn", "500"),
        ("2026-11-30", "Odile Marsh", "1999.99"),
    )
    assert [(h.party, h.year, str(h.paid), h.may_be_due, len(h.rows)) for h in helpers] == [
        ("R. Tarn", 2025, "599.99", False, 2),
        ("Odile Marsh", 2026, "1999.99", False, 1),
        ("R. Tarn", 2026, "2000.00", True, 2),
    ]


def test_money_that_came_back_is_shown_and_does_not_silence_the_remark(shop: ShopWriter) -> None:
    (helper,) = paid(shop, ("2026-02-01", "R. Tarn", "2000"), ("2026-03-01", "R. Tarn", "got back: 50.00"))
    assert (str(helper.paid), str(helper.got_back), helper.may_be_due) == ("2000.00", "50.00", True)
    assert "of which 50.00 came back" in helper.remark


def test_no_figure_is_carried_on_into_a_year_without_one(shop: ShopWriter) -> None:
    (helper,) = paid(shop, ("2027-02-01", "R. Tarn", "5000"))
    assert (helper.may_be_due, helper.at_or_over) == (None, None)
    assert helper.remark.startswith("no figure is known for 2027-02-01")


def test_other_kinds_are_no_contract_labour_and_other_rules_have_no_such_form(shop: ShopWriter) -> None:
    shop.piece().receipts(
        "- {on: 2026-02-01, from: A. Pell, what: bookkeeping, cost: 2500, for: professional}\n"
        "- {on: 2026-02-02, from: R. Tarn, what: caning, cost: 2500, for: contract-labour}\n"
    )
    (helper,) = helpers_paid(shop.books().ledger, "")
    assert (helper.party, helper.may_be_due, helper.remark) == ("R. Tarn", None, "")


def test_a_receipts_tax_is_part_of_what_was_paid(shop: ShopWriter) -> None:
    # 560.00 + 40.00 tax = 600.00
    (helper,) = paid(shop, ("2025-05-01", "R. Tarn", "cost: 560, tax: 40"))
    assert (str(helper.paid), helper.may_be_due) == ("600.00", True)
