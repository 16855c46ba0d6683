"""A marketplace's form against the ledger, each sum worked beside its case.

The thresholds: over $20,000 and over 200 payments (26 USC 6050W(e), P.L. 119-21 section 70432); for 2024 over
$5,000 (IRS Notice 2024-85). That the gross is before fees and refunds: IRS, "What to do with Form 1099-K". That
payers differ about sales tax is from memory, and so is that a processor of payment cards has no minimum.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from shop_writer import ShopWriter

from flipbook.books.marketplace import DUTY_NOTE, OutletYear, duty_to_report, outlet_years
from flipbook.books.profile import profile
from flipbook.shop.problems import Problem

SHOP = """\
shop: Quillback Lane Refinishing
currency: USD
tax: {rules: us}
outlets:
  porch sale: {}
  web marketplace: {takes: 9% + 0.40}
"""
US = profile("us").marketplace_forms
assert US is not None
FORM = "forms:\n  - {from: web marketplace, year: 2026, form: 1099-K, gross: %s}\n"


@pytest.fixture
def us_shop(shop: ShopWriter) -> ShopWriter:
    return shop.write({"shop.yaml": SHOP})


def sold(shop: ShopWriter, folder: str, sale: str, found: str = "2023-01-05", more: str = "") -> None:
    """A piece found early enough for any year, and its sale."""
    shop.write(
        {
            f"pieces/{folder}/piece.yaml": f"piece: {folder}\nfound: {{on: {found}, from: Pell auction, cost: 1.00}}\n"
            f"{more}sold: {{{sale}}}\n"
        }
    )


def held(shop: ShopWriter) -> tuple[OutletYear, ...]:
    books = shop.books()
    return outlet_years(books.facts, books.sheets, books.profile.marketplace_forms)


def only(shop: ShopWriter) -> OutletYear:
    (one,) = held(shop)
    return one


def test_fees_are_inside_the_gross_and_are_not_taken_off(us_shop: ShopWriter) -> None:
    # 120.00 + 10.00 delivery = 130.00 paid; fees 9% of 130.00 + 0.40 = 11.70 + 0.40 = 12.10 are not taken off.
    sold(us_shop, "stand", "on: 2026-03-01, price: 120.00, delivery: 10.00, at: web marketplace")
    us_shop.receipts(FORM % "130.00")
    one = only(us_shop)
    assert (str(one.for_piece), str(one.delivery), str(one.sales_tax)) == ("120.00", "10.00", "0.00")
    assert (str(one.with_sales_tax), str(one.fees), str(one.difference_with)) == ("130.00", "12.10", "0.00")
    assert one.agrees
    assert one.says == ("The form reports 130.00, which is what buyers paid by the ledger.",)


def test_a_form_that_is_less_by_the_fees_is_told_to_look_like_what_was_paid_out(us_shop: ShopWriter) -> None:
    # 130.00 - 12.10 = 117.90
    sold(us_shop, "stand", "on: 2026-03-01, price: 120.00, delivery: 10.00, at: web marketplace")
    us_shop.receipts(FORM % "117.90")
    one = only(us_shop)
    assert (str(one.difference_with), one.agrees) == ("-12.10", False)
    assert one.says[0].endswith("buyers paid 130.00: 12.10 less on the form.")
    assert "less by the fees, 12.10, to the cent" in one.says[1]


@pytest.mark.parametrize(
    ("gross", "with_tax", "without", "words"),
    [
        # 200.00 + 15.00 delivery = 215.00; sales tax 12.90; together 227.90
        ("227.90", "0.00", "12.90", "with the sales tax of 12.90 counted in"),
        ("215.00", "-12.90", "0.00", "with the sales tax of 12.90 left out"),
        ("220.00", "-7.90", "5.00", "7.90 less on the form, or 215.00 without it, 5.00 more on the form"),
    ],
)
def test_sales_tax_may_be_counted_in_or_left_out(
    us_shop: ShopWriter, gross: str, with_tax: str, without: str, words: str
) -> None:
    sold(us_shop, "desk", "on: 2026-05-02, price: 200, delivery: 15, sales tax: 12.90, at: web marketplace")
    us_shop.receipts(FORM % gross)
    one = only(us_shop)
    assert (str(one.without_sales_tax), str(one.with_sales_tax)) == ("215.00", "227.90")
    assert (str(one.difference_with), str(one.difference_without)) == (with_tax, without)
    assert one.agrees == (gross != "220.00")
    assert words in one.says[0]


def test_refunds_are_not_taken_off(us_shop: ShopWriter) -> None:
    # Paid 100.00 + 60.00 = 160.00 in 2026; 100.00 went back in 2026 and 20.00 in 2027: the gross stays 160.00.
    sold(us_shop, "chair", "on: 2026-02-01, price: 100, at: web marketplace, returned: {on: 2026-02-20, refund: 100}")
    sold(us_shop, "mirror", "on: 2026-12-20, price: 60, at: web marketplace, allowed: {on: 2027-01-04, refund: 20}")
    us_shop.receipts(FORM % "160.00")
    one = only(us_shop)
    assert (str(one.with_sales_tax), str(one.refunds), len(one.payments)) == ("160.00", "100.00", 2)
    assert one.agrees
    us_shop.receipts(FORM % "60.00")
    assert "less by the refunds, 100.00, to the cent" in only(us_shop).says[1]


def test_a_refund_is_shown_with_its_sales_tax(us_shop: ShopWriter) -> None:
    # 100.00 + 6.00 sales tax = 106.00 paid on 1 May, all of it given back on 9 May.
    sold(
        us_shop,
        "chair",
        "on: 2026-05-01, price: 100, sales tax: 6, at: web marketplace, returned: {on: 2026-05-09, refund: 106}",
    )
    us_shop.receipts("forms: [{from: web marketplace, year: 2026, gross: 100, months: {12: 0, 5: 100}}]\n")
    one = only(us_shop)
    assert (str(one.refunds), str(one.with_sales_tax)) == ("106.00", "106.00")
    assert (str(one.difference_with), str(one.difference_without)) == ("-6.00", "0.00")
    assert one.form is not None
    assert [month for month, _ in one.form.months] == [5, 12]


def test_a_deposit_in_december_is_in_the_year_in_which_it_was_paid(us_shop: ShopWriter) -> None:
    # 300.00: 80.00 held on 28 December 2025, 50.00 more on 30 December, the rest, 170.00, on 3 January 2026.
    # Fees 9% of 300.00 + 0.40 = 27.40 on the day of the sale, 3 January.
    sold(
        us_shop,
        "sideboard",
        "on: 2026-01-03, price: 300, at: web marketplace, payments: [{on: 2025-12-30, amount: 50}, {on: 2026-01-03, amount: 170}]",
        more="deposits: [{on: 2025-12-28, amount: 80.00}]\n",
    )
    before, after = held(us_shop)
    assert [(p.received.day.isoformat(), str(p.amount), p.received.is_deposit) for p in before.payments] == [
        ("2025-12-28", "80.00", True),
        ("2025-12-30", "50.00", False),
    ]
    assert (before.year, str(before.with_sales_tax), str(before.fees)) == (2025, "130.00", "0.00")
    assert (after.year, str(after.with_sales_tax), str(after.fees)) == (2026, "170.00", "27.40")


def test_a_year_with_sales_and_no_form_is_listed_and_another_outlet_is_no_part_of_it(us_shop: ShopWriter) -> None:
    sold(us_shop, "chair", "on: 2026-02-01, price: 100, at: Web  Marketplace")
    sold(us_shop, "stool", "on: 2026-02-02, price: 30, at: porch sale")
    sold(us_shop, "bench", "on: 2026-02-03, price: 45")
    assert [(one.outlet, one.year, one.form, str(one.with_sales_tax)) for one in held(us_shop)] == [
        ("porch sale", 2026, None, "30.00"),
        ("web marketplace", 2026, None, "100.00"),
    ]
    assert held(us_shop)[1].says == (
        "No form of web marketplace for 2026 is written in receipts; by the ledger buyers paid 100.00 through it.",
    )
    assert held(us_shop)[1].difference_with is None


def test_a_form_of_half_a_year_may_be_split_by_month(us_shop: ShopWriter) -> None:
    # The shop took the outlet up in July. Reported and by the ledger: 100.00 + 40.00 + 45.50 = 185.50.
    for folder, day, price in (("a", "07-04", "100"), ("b", "08-31", "40"), ("c", "09-01", "45.50")):
        sold(us_shop, folder, f"on: 2026-{day}, price: {price}, at: web marketplace")
    us_shop.receipts(
        "forms:\n  - {from: web marketplace, year: 2026, gross: 185.50, payments: 2, months: {7: 100.00, 8: 0, 9: 85.50}}\n"
    )
    one = only(us_shop)
    assert one.agrees
    assert one.says[1] == "The form counts 2 payments, and the ledger 3 payments."


def test_the_sales_that_make_the_gross_are_named_with_their_place(us_shop: ShopWriter) -> None:
    sold(us_shop, "b", "on: 2026-03-01, price: 20, at: web marketplace")
    sold(us_shop, "a", "on: 2026-03-02, price: 30, delivery: 5, sales tax: 2, at: web marketplace")
    named = [
        (p.received.day.isoformat(), p.piece, p.title, str(p.amount), str(p.received.place))
        for p in only(us_shop).payments
    ]
    assert named == [
        ("2026-03-01", "b", "b", "20.00", "pieces/b/piece.yaml:3"),
        ("2026-03-02", "a", "a", "37.00", "pieces/a/piece.yaml:3"),
    ]


def test_two_forms_of_one_year_are_each_held_and_said_together(us_shop: ShopWriter) -> None:
    sold(us_shop, "a", "on: 2026-03-01, price: 100, at: web marketplace")
    us_shop.receipts(
        "forms:\n"
        "  - {from: web marketplace, year: 2026, form: 1099-K, gross: 60.00}\n"
        "  - {from: web marketplace, year: 2026, form: 1099-K second account, gross: 40.00}\n"
    )
    first, second = held(us_shop)
    assert (str(first.difference_with), str(second.difference_with)) == ("-40.00", "-60.00")
    assert str(sum(first.all_reported)) == "100.00"
    assert first.says[-1] == "2 forms of web marketplace are written for 2026; together they report 100.00."


BOTH = "26 USC 6050W(e); P.L. 119-21 section 70432"


@pytest.mark.parametrize(
    ("year", "gross", "number", "must", "source"),
    [
        (2026, "20000.00", 200, False, f"{BOTH}: exactly on either is not over"),
        (2026, "20000.00", 201, False, BOTH),
        (2026, "20000.01", 200, False, BOTH),
        (2026, "20000.01", 201, True, BOTH),
        (2026, "1000000.00", 3, False, f"{BOTH}: a large sum in few payments"),
        (2025, "20000.01", 201, True, f"{BOTH}; the planned 2,500 never applied"),
        (2025, "2500.01", 500, False, f"{BOTH}; the planned 2,500 never applied"),
        (2024, "5000.00", 900, False, "IRS Notice 2024-85, over 5,000"),
        (2024, "5000.01", 1, True, "IRS Notice 2024-85, whatever the number"),
        (2023, "5000.01", 900, False, "IRS Notice 2023-74"),
        (2023, "20000.01", 201, True, "IRS Notice 2023-74"),
        (2022, "600.01", 900, False, "IRS Notice 2023-10"),
        (2011, "20000.01", 201, True, "26 USC 6050W(e) as first enacted"),
        (2027, "20000.01", 201, None, "none published for 2027 yet"),
        (2010, "20000.01", 201, None, "none before 2011"),
    ],
)
def test_a_payer_must_report_only_when_both_are_over(
    year: int, gross: str, number: int, must: bool | None, source: str
) -> None:
    duty = duty_to_report(US, year, Decimal(gross), Decimal(gross), number)
    assert duty.must_report is must, source
    assert duty.says.endswith(DUTY_NOTE)


def test_what_is_said_of_the_duty_never_claims_more_than_the_rule() -> None:
    under = duty_to_report(US, 2026, Decimal("1240.00"), Decimal("1240.00"), 12)
    assert under.says == (
        "By the ledger 1,240.00 in 12 payments is not past the figures of 2026 at which a marketplace or payment app "
        f"must report (over 20,000.00 and over 200 payments); it may report all the same. {DUTY_NOTE}"
    )
    transition = duty_to_report(US, 2024, Decimal("5000.01"), Decimal("5000.01"), 1)
    assert "over 5,000.00, whatever the number of payments" in transition.says
    unknown = duty_to_report(US, 2027, Decimal("1.00"), Decimal("1.00"), 1)
    assert unknown.says.startswith("No figure is known for 2027-12-31: ")
    assert unknown.must_report is None


def test_a_gross_that_is_over_only_with_sales_tax_leaves_the_duty_open() -> None:
    # 19,900.00 without and 20,100.00 with sales tax, in 201 payments
    duty = duty_to_report(US, 2026, Decimal("20100.00"), Decimal("19900.00"), 201)
    assert duty.must_report is None
    assert "turns on whether it counts sales tax in" in duty.says


@pytest.mark.parametrize(
    ("number", "last", "must"),
    [
        (200, "100.00", False),  # 200 x 100.00 = 20,000.00: on both figures, over neither
        (201, "0.01", True),  # 200 x 100.00 + 0.01 = 20,000.01 in 201 payments: over both
    ],
)
def test_the_ledgers_own_payments_are_what_is_counted(us_shop: ShopWriter, number: int, last: str, must: bool) -> None:
    days = [(date(2026, 1, 6) + timedelta(days=count)).isoformat() for count in range(number)]
    amounts = ["100.00"] * (number - 1) + [last]
    payments = ", ".join(f"{{on: {day}, amount: {amount}}}" for day, amount in zip(days, amounts, strict=True))
    price = sum(map(Decimal, amounts), Decimal(0))
    sold(us_shop, "a", f"on: 2026-09-01, price: {price}, at: web marketplace, payments: [{payments}]")
    one = only(us_shop)
    assert len(one.payments) == number
    assert one.duty is not None
    assert one.duty.must_report is must


def test_a_shop_under_other_rules_has_no_such_duty(shop: ShopWriter) -> None:
    sold(shop, "a", "on: 2026-03-01, price: 100, at: antiques hall")
    assert only(shop).duty is None


REFUSED = [
    ("{year: 2026, gross: 5}", "missing-key", "`from: …`", 5),
    ("{from: porch sale, gross: 5}", "missing-key", "`year: …`", 5),
    ("{from: porch sale, year: 2026}", "missing-key", "`gross: …`", 5),
    ("{from: web marketplce, year: 2026, gross: 5}", "no-such-outlet", "write `web marketplace`", 12),
    ("{from: porch sale, year: 26, gross: 5}", "year", "as `2026`", 30),
    ("{from: porch sale, year: 2026-01-01, gross: 5}", "year", "as `2026`", 30),
    ("{from: porch sale, year: 2026, gross: -5}", "money", "without a minus", 43),
    ("{from: porch sale, year: 2026, gross: 5, payments: 1.5}", "payments", "as `12`", 56),
    ("{from: porch sale, year: 2026, gross: 5, scan: gone.png}", "no-such-file", "`receipts/gone.png`", 52),
    ("{from: porch sale, year: 2026, gross: 5, months: [5]}", "wrong-kind", "`{1: 100.00", 54),
    ("{from: porch sale, year: 2026, gross: 5, months: {13: 5}}", "month", "`12` for December", 55),
    ("{from: porch sale, year: 2026, gross: 5, months: {May: 5}}", "month", "`1` for January", 55),
    ("{from: porch sale, year: 2026, gross: 5, months: {5: 5.005}}", "money", "two decimals", 58),
    ("{from: porch sale, year: 2026, gross: 5, months: {5: 5, 5: 5}}", "duplicate-key", "keep one", 61),
    ("{from: porch sale, year: 2026, gross: 5, months: {5: 4.99}}", "months-disagree", "against the form", 54),
    ("{from: porch sale, year: 2026, gross: 5, note: x}", "unknown-key", "", 46),
]


@pytest.mark.parametrize(("form", "name", "hint", "column"), REFUSED)
def test_what_a_form_cannot_say_is_refused(us_shop: ShopWriter, form: str, name: str, hint: str, column: int) -> None:
    problems = us_shop.piece().receipts(f"forms:\n  - {form}\n").problems()
    assert name in [problem.name for problem in problems], problems
    problem = next(problem for problem in problems if problem.name == name)
    assert (problem.place.file, problem.place.line, problem.place.column) == ("receipts/2026.yaml", 2, column)
    assert hint in f"{problem.help} {problem.says}"


def test_months_that_disagree_say_by_how_much(us_shop: ShopWriter) -> None:
    form = "forms: [{from: porch sale, year: 2026, gross: 1240.00, months: {1: 100.00, 12: 1140.01}}]\n"
    (problem,) = us_shop.piece().receipts(form).problems()
    assert (problem.label, problem.says) == ("0.01 too much", "the months come to 1240.01, and gross says 1240.00")


@pytest.mark.parametrize(
    ("one", "other", "twice"),
    [
        ("form: 1099-K", "form: 1099-k", True),
        ("form: 1099-K", "form: state copy", False),
        ("private: a", "private: b", True),
        ("form: 1099-K", "form: 1099-K, year: 2025", False),
    ],
)
def test_a_form_is_written_once_for_an_outlet_and_year(us_shop: ShopWriter, one: str, other: str, twice: bool) -> None:
    def form(said: str) -> str:
        year = "" if "year" in said else "year: 2026, "
        return f"forms: [{{from: porch sale, {year}gross: 5, {said}}}]\n"

    us_shop.piece().write({"receipts/2026.yaml": form(one), "receipts/other.yaml": form(other)})
    problems: list[Problem] = us_shop.problems()
    assert [problem.name for problem in problems] == (["form-twice"] if twice else [])
    if twice:
        assert problems[0].place.file == "receipts/other.yaml"
        assert "receipts/2026.yaml:1" in problems[0].says


def test_a_form_alone_moves_no_money_and_makes_no_year(us_shop: ShopWriter) -> None:
    us_shop.piece().write({"receipts/2026.yaml": FORM % "5", "receipts/scan.png": b"x"})
    with_form = us_shop.books()
    us_shop.write({"receipts/2026.yaml": ""})
    assert [row.money_out for row in with_form.ledger] == [row.money_out for row in us_shop.books().ledger]
    us_shop.receipts("forms: [{from: porch sale, year: 2019, gross: 5, payments: 0, scan: scan.png}]\n")
    assert [year.year.name for year in us_shop.books().years] == [2026]
    one = only(us_shop)
    assert (one.year, str(one.difference_with), len(one.payments)) == (2019, "5.00", 0)
