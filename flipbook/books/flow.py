"""A flow: one sum that a line of a tax year is made of, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.terms import Term
from flipbook.shop.problems import Place


@dataclass(frozen=True, slots=True)
class Flow:
    """One sum under one term.

    `place` is where it is written, when it is a fact and not carried over.
    """

    term: Term
    day: date
    piece: str
    what: str
    amount: Decimal
    place: Place | None = None
