"""The bench for a program: days as ISO 8601, money as text with two decimals, amounts as text with their unit."""

from __future__ import annotations

from typing import Any

from flipbook.looking.bench import Bench, ForSale, OnBench, PieceInHand
from flipbook.looking.shortage import Short
from flipbook.measures.plain_data import as_data
from flipbook.shop.records.sale import Offer

Data = dict[str, Any]


def bench_data(bench: Bench) -> Data:
    """All that the bench tells, as plain words, numbers and lists."""
    told = {
        "now": bench.now,
        "currency": bench.currency,
        "open": [_open(one) for one in bench.open],
        "for_sale": [_for_sale(one) for one in bench.for_sale],
        "short": [_short(short) for short in bench.short],
    }
    return {key: as_data(value) for key, value in told.items()}


def _in_hand(piece: PieceInHand) -> Data:
    return {
        "piece": piece.folder,
        "title": piece.title,
        "found_on": piece.found_on,
        "days": piece.days,
        "cost": piece.cost,
        "planned": piece.planned and piece.planned.did,
        "hard_on": piece.hard_on,
        "held": [{"on": held.on, "amount": held.amount, "from": held.from_ or None} for held in piece.held],
        "offers": [_offer(offer) for offer in piece.offers],
        "promised": piece.promised and _offer(piece.promised),
    }


def _offer(offer: Offer) -> Data:
    return {"on": offer.on, "price": offer.price, "from": offer.from_ or None}


def _open(one: OnBench) -> Data:
    step, dries = one.last, one.drying
    last = step and {
        "on": step.on.day,
        "at": step.on.clock and f"{step.on.clock:%H:%M}",
        "did": step.did,
        "stage": one.stage,
    }
    drying = dries and {
        "is": one.dryness,
        "earliest": dries.earliest,
        "latest": dries.latest,
        "minutes": dries.wait,
        "product": dries.product or None,
    }
    return {**_in_hand(one.piece), "state": one.state, "last": last, "drying": drying, "usually": one.usually or None}


def _for_sale(one: ForSale) -> Data:
    return {
        **_in_hand(one.piece),
        "price": one.asked.price,
        "asked_on": one.asked.on,
        "days_at_price": one.days_at_price,
        "next_price": one.cut and {"on": one.cut.on, "price": one.cut.price, "written": one.is_written},
        "floor": one.floor,
        "at_floor": one.is_at_floor,
    }


def _short(short: Short) -> Data:
    return {
        "product": short.product,
        "unit": short.left and short.left.unit.name,
        "left": short.left,
        "need": short.need,
        "planned_for": short.planned_for,
    }
