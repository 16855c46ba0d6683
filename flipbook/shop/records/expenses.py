"""The kinds of expense, by the words of the format."""

from __future__ import annotations

import re

from flipbook.shop.nearest import folded

SHELF = "shelf"
EXPENSE_KINDS = (
    "supplies", "rent", "insurance", "advertising", "selling-fees", "card-fees", "delivery", "repairs",
    "office", "phone", "software", "licences", "professional", "training", "travel", "utilities",
    "contract-labour", "bank", "vehicle", "other", "sales-tax",
)  # fmt: skip
KINDS = (SHELF, *EXPENSE_KINDS)
"""What a line was bought for where it was not for a piece."""


def kind_named(text: str) -> str | None:
    """The expense kind, or `shelf`, that a text names, case and spacing folded; else None."""
    word = re.sub(r"[ _]", "-", folded(text))
    return word if word in KINDS else None
