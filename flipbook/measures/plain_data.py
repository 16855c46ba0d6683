"""A reckoned value as plain data: what JSON can hold, for another program to read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any

from flipbook.measures.amounts import Amount
from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_decimal


def as_data(value: Any) -> Any:
    """`value` as text, numbers, lists and mappings.

    Days are ISO 8601, moments of a day to the minute; money (a Decimal) is text with two decimals; exact numbers and
    amounts are text in decimals; a dataclass is a mapping of its fields (`from_` is called `from`).
    """
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Decimal):
        return write_money(value)
    if isinstance(value, Fraction):
        return write_decimal(value)
    if isinstance(value, Amount):
        return value.in_decimals()
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {key: as_data(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [as_data(inner) for inner in value]
    if is_dataclass(value):
        return {one.name.removesuffix("_"): as_data(getattr(value, one.name)) for one in fields(value)}
    return value
