"""What `price` answers, for a program: days are ISO 8601, money is text with two decimals, what is not known is null."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from flipbook.measures.plain_data import as_data
from flipbook.measures.rounding import half_up
from flipbook.selling.floor import LeftBySale
from flipbook.selling.past import FigureSpread, OfAKind
from flipbook.selling.pricing import Pricing

Data = dict[str, Any]


def pricing_data(pricing: Pricing, currency: str) -> Data:
    """Everything that bears on a piece's price."""
    sheet = pricing.sheet
    told = {
        "piece": sheet.folder,
        "title": sheet.filed.piece.piece,
        "state": sheet.filed.piece.state,
        "currency": currency,
        "cost": sheet.cost,
        "driving": sheet.driving,
        "laid_out": pricing.stand.laid_out,
        "hours": pricing.stand.hours,
        "through": [
            {"outlet": row.outlet, "break_even": row.break_even, "floor": row.floor} for row in pricing.through
        ],
        "asked": pricing.asked,
        "prices": [{"on": step.on, "given_up": step.given_up, **left_data(step.left)} for step in pricing.prices],
        "past": kind_data(pricing.kind),
    }
    return {key: as_data(value) for key, value in told.items()}


def left_data(left: LeftBySale) -> Data:
    """What a price leaves."""
    return {name: as_data(getattr(left, name)) for name in ("price", "delivery", "fee", "left", "per_hour")}


def kind_data(said: OfAKind | None) -> Data | None:
    """What past pieces of a kind say; null where there is none."""
    if said is None:
        return None
    return {
        "pieces": said.number,
        "too_few": said.prices.is_thin,
        "price": _money_spread(said.prices),
        "besides_the_find": _money_spread(said.other_costs),
        "found_for": _money_spread(said.found_costs),
        "hours": as_data(said.hours),
        "days": as_data(said.days),
        "could_pay": _money_spread(said.could_pay),
    }


def money_data(value: Decimal | Fraction | None) -> Any:
    """Money to the cent as text."""
    return None if value is None else as_data(half_up(value))


def _money_spread(spread: FigureSpread | None) -> Data | None:
    if spread is None:
        return None
    figures = ("least", "lower", "middle", "upper", "most")
    return {"number": spread.number, **{name: money_data(getattr(spread, name)) for name in figures}}
