"""What `price` answers, for a program: days are ISO 8601, money is text with two decimals, what is not known is null."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.rounding import half_up
from flipbook.selling.floor import Left
from flipbook.selling.past import OfAKind, Spread
from flipbook.selling.pricing import Pricing


def pricing_data(pricing: Pricing, currency: str) -> dict[str, object]:
    """Everything that bears on a piece's price."""
    sheet = pricing.sheet
    return {
        "piece": sheet.folder,
        "title": sheet.filed.piece.piece,
        "state": sheet.filed.piece.state,
        "currency": currency,
        "cost": write_money(sheet.cost),
        "driving": write_money(sheet.driving),
        "laid_out": write_money(pricing.stand.laid_out),
        "hours": write_decimal(pricing.stand.hours),
        "through": [
            {"outlet": row.outlet, "break_even": money_data(row.break_even), "floor": money_data(row.floor)}
            for row in pricing.through
        ],
        "asked": money_data(pricing.asked),
        "prices": [
            {"on": step.on.isoformat(), "given_up": write_money(step.given_up), **left_data(step.left)}
            for step in pricing.prices
        ],
        "past": kind_data(pricing.kind),
    }


def left_data(left: Left) -> dict[str, object]:
    """What a price leaves."""
    return {
        "price": write_money(left.price),
        "delivery": write_money(left.delivery),
        "fee": write_money(left.fee),
        "left": write_money(left.left),
        "per_hour": money_data(left.per_hour),
    }


def kind_data(said: OfAKind | None) -> dict[str, object] | None:
    """What past pieces of a kind say; null where there is none."""
    if said is None:
        return None
    return {
        "pieces": said.number,
        "too_few": said.prices.is_thin,
        "price": _money_spread(said.prices),
        "besides_the_find": _money_spread(said.other_costs),
        "found_for": _money_spread(said.found_costs),
        "hours": _spread(said.hours),
        "days": _spread(said.days),
        "could_pay": _money_spread(said.could_pay),
    }


def money_data(value: Decimal | Fraction | None) -> str | None:
    """Money to the cent as text."""
    return None if value is None else write_money(half_up(value))


def _money_spread(spread: Spread | None) -> dict[str, object] | None:
    if spread is None:
        return None
    return {"number": spread.number, **{name: money_data(figure) for name, figure in _figures(spread)}}


def _spread(spread: Spread | None) -> dict[str, object] | None:
    if spread is None:
        return None
    return {"number": spread.number, **{name: write_decimal(figure) for name, figure in _figures(spread)}}


def _figures(spread: Spread) -> tuple[tuple[str, Fraction], ...]:
    return (
        ("least", spread.least),
        ("lower", spread.lower),
        ("middle", spread.middle),
        ("upper", spread.upper),
        ("most", spread.most),
    )
