"""Values as another program reads them: JSON of the shapes that RFC 8259 and ISO 8601 know."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from fractions import Fraction

import pytest

from flipbook.measures.amounts import read_amount
from flipbook.measures.plain_data import as_data


class Sheen(Enum):
    SATIN = "satin"


@dataclass(frozen=True)
class Coat:
    from_: str
    sheens: tuple[Sheen, ...]


@pytest.mark.parametrize(
    ("value", "data"),
    [
        (None, None),
        (True, True),
        (3, 3),
        ("words", "words"),
        (Decimal("4"), "4.00"),
        (Decimal("-0.5"), "-0.50"),
        (Fraction(13, 2), "6.5"),
        (Fraction(1, 3), "0.3333"),
        (read_amount("1/4 pint"), "0.25"),
        (date(2026, 2, 14), "2026-02-14"),
        (datetime(2026, 2, 14, 15, 30, 59), "2026-02-14T15:30"),
        (Sheen.SATIN, "satin"),
        ((1, [Decimal(2)]), [1, ["2.00"]]),
        ({"a": date(2026, 1, 1)}, {"a": "2026-01-01"}),
        (Coat("can", (Sheen.SATIN,)), {"from": "can", "sheens": ["satin"]}),
    ],
)
def test_a_value_is_plain(value: object, data: object) -> None:
    assert as_data(value) == data
    assert json.loads(json.dumps(as_data(value))) == data
