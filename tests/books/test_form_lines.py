"""Labels and captions of Schedule C (Form 1040) and SA103S, and where each kind of expense lands.

Where each is from: lines 35 to 42, IRS Publication 334, chapter 6; line 27 of 2023, the IRS page on the business use of a
home for those who file Form 1040-SS; the boxes of SA103S, the form for 2024 (HMRC). The other captions of Schedule C are
checked against copies of the form that others quote (2016, 2017, 2019 and later); its official sheets for 2024 and 2025
were not seen. Where line 27 of other years is said to be, and where a kind of expense goes, each has its source beside it.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

from flipbook.books.profile import profile
from flipbook.shop.records.expenses import EXPENSE_KINDS

SCHEDULE_C = {
    "1": "Gross receipts or sales",
    "2": "Returns and allowances",
    "3": "Subtract line 2 from line 1",
    "4": "Cost of goods sold (from line 42)",
    "5": "Gross profit",
    "6": "Other income, including federal and state gasoline or fuel tax credit or refund",
    "7": "Gross income",
    "8": "Advertising",
    "9": "Car and truck expenses",
    "10": "Commissions and fees",
    "11": "Contract labor",
    "13": "Depreciation and section 179 expense deduction (not included in Part III)",
    "15": "Insurance (other than health)",
    "17": "Legal and professional services",
    "18": "Office expense",
    "20b": "Rent or lease: Other business property",
    "21": "Repairs and maintenance",
    "22": "Supplies (not included in Part III)",
    "23": "Taxes and licenses",
    "24a": "Travel",
    "25": "Utilities",
    "27b": "Other expenses (from line 48)",
    "28": "Total expenses before expenses for business use of home",
    "29": "Tentative profit or (loss)",
    "30": "Expenses for business use of your home (Form 8829 or simplified method)",
    "31": "Net profit or (loss)",
    "35": "Inventory at beginning of year",
    "36": "Purchases less cost of items withdrawn for personal use",
    "38": "Materials and supplies",
    "40": "Add lines 35 through 39",
    "41": "Inventory at end of year",
    "42": "Cost of goods sold",
    "48": "Total other expenses",
}
SHORTENED = {
    "6": "Other income",
    "13": "Depreciation and section 179 expense deduction",
    "30": "Expenses for business use of your home (simplified method)",
}


def test_the_lines_of_schedule_c_for_2025_in_their_order_and_as_the_form_has_them() -> None:
    ours = {line.label(2025): line.caption.casefold() for line in profile("us").lines}
    assert list(ours) == list(SCHEDULE_C)
    assert ours == {label: SHORTENED.get(label, caption).casefold() for label, caption in SCHEDULE_C.items()}


@pytest.mark.parametrize(
    ("year", "label"),
    [
        (2012, "27a"),  # from memory, as 2022 is
        (2022, "27a"),
        (2023, "27a"),  # the IRS page on the business use of a home, Form 1040-SS
        (2024, "27b"),  # from memory, as 2025 is; both agree with captions that others quote
        (2025, "27b"),
        (2026, "27b"),  # no form yet: as the year before
    ],
)
def test_other_expenses_are_27a_up_to_2023_and_27b_from_2024(shop: ShopWriter, year: int, label: str) -> None:
    shop.write({"shop.yaml": "shop: S\ncurrency: USD\ntax: {rules: us}\n"})
    shop.receipts(f"- {{on: {year}-03-01, from: A., what: a course, cost: 80.00, for: training}}\n")
    (books,) = shop.books().years
    found = [line.line for line in books.lines if line.caption == "Other expenses (from line 48)"]
    assert found == [label]


KINDS = {
    # The instructions for Schedule C, by line: 20b rent; 23 licences; 9 and 11 from memory, as the rest of this row.
    "rent": "20b", "licences": "23", "vehicle": "9", "contract-labour": "11", "advertising": "8", "insurance": "15",
    "professional": "17", "phone": "25",
    # The captions themselves say these.
    "repairs": "21", "office": "18", "travel": "24a", "utilities": "25", "supplies": "22",
    # Part V with IRS Publication 334, chapter 8, from memory: training for the trade that one has.
    "training": "48",
    # Common practice, no source: no sentence of the IRS names these costs.
    "selling-fees": "10", "card-fees": "10", "delivery": "48", "software": "48", "bank": "48", "other": "48",
}  # fmt: skip
BOXES = {
    # SA103S for 2024, its captions: car, van and travel; rent, power and insurance; repairs; professional; bank; phone, office.
    "vehicle": "12", "travel": "12", "rent": "14", "utilities": "14", "insurance": "14", "repairs": "15",
    "professional": "16", "bank": "17", "card-fees": "17", "phone": "18", "office": "18",
    # HMRC's notes to SA103S, from memory: labour that is hired is with staff; the short form has advertising in box 19.
    "contract-labour": "13", "advertising": "19",
    # Common practice, no source: the rest are other allowable expenses; software is an office cost.
    "software": "18", "supplies": "19", "selling-fees": "19", "delivery": "19", "licences": "19", "training": "19", "other": "19",
}  # fmt: skip


def test_the_tables_above_name_every_kind_but_sales_tax() -> None:
    assert set(KINDS) == set(BOXES) == set(EXPENSE_KINDS) - {"sales-tax"}


MADE_OF_OTHERS = {"us": ("27b", "28", "29", "31"), "uk": ("20", "21", "22")}


def lands_on(shop: ShopWriter, rules: str, currency: str, kind: str) -> dict[str, str]:
    shop.write({"shop.yaml": f"shop: S\ncurrency: {currency}\ntax: {{rules: {rules}}}\n"})
    shop.receipts(f"- {{on: 2025-07-01, from: A., what: a thing, cost: 12.34, for: {kind}}}\n")
    (books,) = shop.books().years
    return {
        line.line: f"{line.amount}" for line in books.lines if line.amount and line.line not in MADE_OF_OTHERS[rules]
    }


@pytest.mark.parametrize(("kind", "line"), KINDS.items())
def test_each_kind_lands_on_one_line_of_schedule_c(shop: ShopWriter, kind: str, line: str) -> None:
    assert lands_on(shop, "us", "USD", kind) == {line: "12.34"}
    (books,) = shop.books().years
    (total,) = [line.amount for line in books.lines if line.line == "28"]
    assert f"{total}" == "12.34", "once, and no more"


@pytest.mark.parametrize(("kind", "box"), BOXES.items())
def test_each_kind_lands_in_one_box_of_sa103s(shop: ShopWriter, kind: str, box: str) -> None:
    assert lands_on(shop, "uk", "GBP", kind) == {box: "12.34"}


@pytest.mark.parametrize(("rules", "currency"), [("us", "USD"), ("uk", "GBP")])
def test_sales_tax_handed_over_lands_on_no_line(shop: ShopWriter, rules: str, currency: str) -> None:
    assert lands_on(shop, rules, currency, "sales-tax") == {}


@pytest.mark.parametrize(
    ("box", "caption"),
    [
        ("9", "Turnover"),
        ("10", "Any other business income"),
        ("11", "Costs of goods bought for resale or goods used"),
        ("12", "Car, van and travel expenses"),
        ("13", "Wages, salaries and other staff costs"),
        ("14", "Rent, rates, power and insurance costs"),
        ("15", "Repairs and maintenance of property and equipment"),
        ("16", "Accountancy, legal and other professional fees"),
        ("17", "Interest and bank and credit card financial charges"),
        ("18", "Phone, fax, stationery and other office costs"),
        ("19", "Other allowable business expenses"),
        ("20", "Total allowable expenses"),
    ],
)
def test_the_boxes_of_sa103s(box: str, caption: str) -> None:
    (found,) = [line.caption for line in profile("uk").lines if line.label(2025) == box]
    assert found == caption


def test_profit_and_loss_have_boxes_of_their_own_on_sa103s() -> None:
    (net,) = [line for line in profile("uk").lines if line.key == "net"]
    assert (net.label(2025), net.caption) == ("21", "Net profit")
    assert (net.label_under_nothing, net.caption_under_nothing) == ("22", "Net loss")
