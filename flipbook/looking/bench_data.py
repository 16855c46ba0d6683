"""The bench for a program: days as ISO 8601, money as text with two decimals, amounts as text with their unit."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from flipbook.looking.bench import Bench, ForSale, InHand, OnBench
from flipbook.looking.shortage import Short
from flipbook.measures.amounts import Amount
from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_decimal
from flipbook.selling.steps import PriceCut
from flipbook.shop.records.piece import Step
from flipbook.shop.records.sale import Offer
from flipbook.shop.records.stage import Stage
from flipbook.trade.drying import Drying, Dryness

Data = dict[str, object]


def bench_data(bench: Bench) -> Data:
    """All that the bench tells, as plain words, numbers and lists."""
    return {
        "now": _moment(bench.now),
        "currency": bench.currency,
        "open": [_open(piece) for piece in bench.open],
        "for_sale": [_for_sale(piece) for piece in bench.for_sale],
        "short": [_short(short) for short in bench.short],
    }


def _in_hand(piece: InHand) -> Data:
    return {
        "piece": piece.folder,
        "title": piece.title,
        "found_on": _day(piece.found_on),
        "days": piece.days,
        "cost": write_money(piece.cost),
        "planned": piece.planned.did if piece.planned is not None else None,
        "hard_on": _day(piece.hard_on),
        "held": [_paid(deposit.on, deposit.amount, deposit.from_) for deposit in piece.held],
        "offers": [_offer(offer) for offer in piece.offers],
        "promised": _offer(piece.promised) if piece.promised is not None else None,
    }


def _paid(on: date, amount: Decimal, who: str) -> Data:
    return {"on": _day(on), "amount": write_money(amount), "from": who or None}


def _offer(offer: Offer) -> Data:
    return {"on": _day(offer.on), "price": write_money(offer.price), "from": offer.from_ or None}


def _open(one: OnBench) -> Data:
    return {
        **_in_hand(one.piece),
        "state": one.state,
        "last": _last(one.last, one.stage) if one.last is not None else None,
        "drying": _drying(one.drying, one.dryness) if one.drying is not None else None,
        "usually": one.usually or None,
    }


def _last(step: Step, stage: Stage | None) -> Data:
    return {
        "on": _day(step.on.day),
        "at": f"{step.on.clock:%H:%M}" if step.on.clock is not None else None,
        "did": step.did,
        "stage": stage.value if stage is not None else None,
    }


def _drying(drying: Drying, dryness: Dryness) -> Data:
    return {
        "is": dryness.value,
        "earliest": _moment(drying.earliest),
        "latest": _moment(drying.latest),
        "minutes": write_decimal(drying.wait),
        "product": drying.product or None,
    }


def _for_sale(one: ForSale) -> Data:
    return {
        **_in_hand(one.piece),
        "price": write_money(one.asked.price),
        "asked_on": _day(one.asked.on),
        "days_at_price": one.days_at_price,
        "next_price": _next_price(one.cut, one.is_written) if one.cut is not None else None,
        "floor": write_money(one.floor) if one.floor is not None else None,
        "at_floor": one.is_at_floor,
    }


def _next_price(cut: PriceCut, is_written: bool) -> Data:
    return {"on": _day(cut.on), "price": write_money(cut.price), "written": is_written}


def _short(short: Short) -> Data:
    return {
        "product": short.product,
        "unit": short.left.unit.name if short.left is not None else None,
        "left": _number(short.left),
        "need": _number(short.need),
        "planned_for": list(short.planned_for),
    }


def _number(amount: Amount | None) -> str | None:
    return amount.in_decimals() if amount is not None else None


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def _moment(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")
