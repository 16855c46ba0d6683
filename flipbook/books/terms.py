"""The names of sums: what a row of the ledger is of, and under which term a sum goes into a tax year.

Each is declared once here, so that the type checker finds a name that is none. What is written out of one is its
value: the word of the format.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class RowKind(StrEnum):
    """The kind of a row of the ledger: what stock was paid for, a kind of expense, a tool, or what a buyer paid."""

    FOUND = "found"
    MATERIAL = "material"
    SHELF = "shelf"
    SUPPLIES = "supplies"
    RENT = "rent"
    INSURANCE = "insurance"
    ADVERTISING = "advertising"
    SELLING_FEES = "selling-fees"
    CARD_FEES = "card-fees"
    DELIVERY = "delivery"
    REPAIRS = "repairs"
    OFFICE = "office"
    PHONE = "phone"
    SOFTWARE = "software"
    LICENCES = "licences"
    PROFESSIONAL = "professional"
    TRAINING = "training"
    TRAVEL = "travel"
    UTILITIES = "utilities"
    CONTRACT_LABOUR = "contract-labour"
    BANK = "bank"
    VEHICLE = "vehicle"
    OTHER = "other"
    SALES_TAX = "sales-tax"
    TOOL = "tool"
    SALE = "sale"
    REFUND = "refund"


class Term(StrEnum):
    """What a sum of a tax year is, as `sum:` in a profile of `rules/` names it.

    An expense is a term of its kind's name; sales tax handed over is none, since it is on no form.
    """

    SALE = "sale"
    DELIVERY_CHARGED = "delivery-charged"
    REFUND = "refund"
    OTHER_INCOME = "other-income"
    OPENING = "opening"
    FOUND = "found"
    MATERIALS = "materials"
    CLOSING = "closing"
    SUPPLIES = "supplies"
    RENT = "rent"
    INSURANCE = "insurance"
    ADVERTISING = "advertising"
    SELLING_FEES = "selling-fees"
    CARD_FEES = "card-fees"
    DELIVERY = "delivery"
    REPAIRS = "repairs"
    OFFICE = "office"
    PHONE = "phone"
    SOFTWARE = "software"
    LICENCES = "licences"
    PROFESSIONAL = "professional"
    TRAINING = "training"
    TRAVEL = "travel"
    UTILITIES = "utilities"
    CONTRACT_LABOUR = "contract-labour"
    BANK = "bank"
    VEHICLE = "vehicle"
    OTHER = "other"
    SALE_FEES = "sale-fees"
    DRIVING = "driving"
    WRITE_OFFS = "write-offs"
    TOOLS_AT_ONCE = "tools-at-once"
    HOME_WORKSHOP = "home-workshop"


COST_OF_GOODS: Final = {Term.OPENING: 1, Term.FOUND: 1, Term.MATERIALS: 1, Term.CLOSING: -1}
"""How cost of goods sold is made of its terms."""
INCOME: Final = {Term.SALE: 1, Term.DELIVERY_CHARGED: 1, Term.REFUND: -1, Term.OTHER_INCOME: 1}
"""How what buyers and others paid is made of its terms."""
EXPENSES: Final = {term: 1 for term in Term if term not in COST_OF_GOODS and term not in INCOME}
EXPENSE_OF: Final = {kind: Term(kind) for kind in RowKind if kind in set(map(str, EXPENSES))}
"""The term of each kind of expense."""
PROFIT: Final = INCOME | {term: -sign for term, sign in (COST_OF_GOODS | EXPENSES).items()}
"""How profit is made of every term: income, less cost of goods sold, less expenses."""
