"""The bench at a glance: what is drying, what may come next, what is for sale and since when, what is short.

Everything is told from the log; the present moment is handed in. A day that is dated ahead of it gives no count of
days, and a step dated ahead is not taken to be drying.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from flipbook.books.costs import CostSheet
from flipbook.books.reckon import Books
from flipbook.books.sales import standing_deposits
from flipbook.looking.shortage import Short, short_on
from flipbook.selling.floor import stand_of
from flipbook.selling.pricing import least_floor
from flipbook.selling.steps import next_cut, standing
from flipbook.shop.facts import Facts
from flipbook.shop.records.piece import Piece, Step
from flipbook.shop.records.sale import Offer
from flipbook.shop.records.setup import AVERAGE
from flipbook.shop.records.stage import Stage
from flipbook.shop.records.state import State
from flipbook.trade.drying import Drying, Dryness, drying, hard_on
from flipbook.trade.stages import stage_of, usual_next


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A deposit that holds a piece."""

    on: date
    amount: Decimal
    from_: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenOffer:
    """An offer for a piece."""

    on: date
    price: Decimal
    from_: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """What is told of every piece in hand, by its folder. Money is in the shop's currency, to the cent.

    `days` since it was found is None when no day is known, or the day is ahead. `hard_on` is the day on which its coats
    are fully hard, when that is to come. `held` are the deposits that stand, `offers` those without an answer since
    the piece last came back; `promised` is the offer that was taken and is no sale yet.
    """

    piece: str
    title: str
    found_on: date | None
    days: int | None
    cost: Decimal
    planned: str | None
    hard_on: date | None
    held: tuple[Held, ...]
    offers: tuple[OpenOffer, ...]
    promised: OpenOffer | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LastStep:
    """The last step of a piece; `at` is its time of day, 15:30, where that is logged."""

    on: date
    at: str | None
    did: str
    stage: Stage | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingNow:
    """How dry a piece is at the moment of looking, and until when it dries, as `Drying` says."""

    is_: Dryness
    earliest: datetime
    latest: datetime
    minutes: Fraction
    product: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OnBench(InHand):
    """A piece on the bench, or waiting.

    Without a `drying` nothing is known to dry. `usually` is what usually follows the last step, in words: None when
    that is not told, and not to be said when something is planned.
    """

    state: State
    last: LastStep | None
    drying: DryingNow | None
    usually: str | None

    @property
    def dryness(self) -> Dryness:
        return self.drying.is_ if self.drying is not None else Dryness.DRY


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPrice:
    """A price to come and its first day; `written` as a day to come, else by the shop's price steps."""

    on: date
    price: Decimal
    written: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ForSale(InHand):
    """A piece for sale, at `price`: the one that stands, or the first to come when all are dated ahead.

    `days_at_price` count from the day it was asked, or on which the piece came back. `next_price` is None for a piece
    that is held or promised, and for one that its floor keeps where it is (`at_floor`). `floor` is the least through
    the outlet that takes least.
    """

    price: Decimal
    asked_on: date
    days_at_price: int | None
    next_price: NextPrice | None
    floor: Decimal | None
    at_floor: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """All that is in hand, as it stands at `now`, a moment of the shop's own clock; a program is told it as it is."""

    now: datetime
    currency: str
    open: tuple[OnBench, ...]
    for_sale: tuple[ForSale, ...]
    short: tuple[Short, ...]

    @property
    def today(self) -> date:
        return self.now.date()

    @property
    def in_hand(self) -> tuple[InHand, ...]:
        return (*self.open, *self.for_sale)


def look_over(books: Books, now: datetime) -> Bench:
    """The bench of a shop at `now`.

    First what can be gone on with, a plan before none and the latest work first; then what may be dry, what is drying,
    the soonest first, and what waits, the longest first. Of what is for sale: offers that want an answer, then
    prices by the day they may come down, then the rest.
    """
    facts, today = books.facts, now.date()
    sheets = [
        sheet
        for sheet in books.sheets
        if sheet.filed.piece.state.is_at_work or sheet.filed.piece.state is State.FOR_SALE
    ]
    pieces = [_on_bench(sheet, facts, now) for sheet in sheets if sheet.filed.piece.state.is_at_work]
    selling = [_for_sale(sheet, facts, today) for sheet in sheets if sheet.filed.piece.state is State.FOR_SALE]
    short = short_on(books.shelf, (sheet.filed for sheet in sheets), today, is_average=facts.shop.costing == AVERAGE)
    return Bench(
        now=now,
        currency=facts.shop.currency,
        open=tuple(sorted(pieces, key=lambda one: _as_work_goes(one, today))),
        for_sale=tuple(sorted(selling, key=_as_selling_goes)),
        short=tuple(short),
    )


def _as_work_goes(one: OnBench, today: date) -> tuple[int, datetime, int, str]:
    if one.last is None:
        return 3, datetime.max, -(one.days or 0), one.piece
    if one.drying is not None and one.dryness is not Dryness.DRY:
        return (1 if one.dryness is Dryness.PERHAPS else 2), one.drying.latest, 0, one.piece
    idle = days_since(one.last.on, today)
    order = (0 if one.planned is not None else _LONG) + (_LONG if idle is None else idle)
    return 0, datetime.min, order, one.piece


_LONG = date.max.toordinal()


def _as_selling_goes(one: ForSale) -> tuple[bool, date, str]:
    return not one.offers, one.next_price.on if one.next_price is not None else date.max, one.piece


def days_since(day: date | None, today: date) -> int | None:
    """Whole days from `day` to `today`; None without a day, or for one that is ahead."""
    return None if day is None or day > today else (today - day).days


def _in_hand(sheet: CostSheet, facts: Facts, today: date, promised_since: date = date.min) -> InHand:
    """What is told of any piece; a promise counts when it was made on `promised_since` or later."""
    piece = sheet.filed.piece
    hard = hard_on(piece.log, facts.products)
    offers = [offer for offer in piece.offers if offer.on >= _came_back(piece)]
    taken = [offer for offer in offers if offer.answer.casefold() == "yes" and offer.on >= promised_since]
    return InHand(
        piece=sheet.folder,
        title=piece.piece,
        found_on=sheet.found_on,
        days=days_since(sheet.found_on, today),
        cost=sheet.cost,
        planned=piece.planned[0].did if piece.planned else None,
        hard_on=hard if hard is not None and hard > today else None,
        held=tuple(Held(on=one.on, amount=one.amount, from_=one.from_ or None) for one in standing_deposits(piece)),
        offers=tuple(_offered(offer) for offer in offers if not offer.answer),
        promised=_offered(taken[-1]) if taken else None,
    )


def _offered(offer: Offer) -> OpenOffer:
    return OpenOffer(on=offer.on, price=offer.price, from_=offer.from_ or None)


def _told(in_hand: InHand) -> dict[str, Any]:
    return {one.name: getattr(in_hand, one.name) for one in fields(InHand)}


def _on_bench(sheet: CostSheet, facts: Facts, now: datetime) -> OnBench:
    piece, today = sheet.filed.piece, now.date()
    log = sorted(piece.log, key=lambda step: step.on.day)  # and those of a day in the order written
    dries = drying([step for step in log if step.on.day <= today], facts.products)
    return OnBench(
        **_told(_in_hand(sheet, facts, today)),
        state=piece.state,
        last=_last_step(log[-1], facts) if log else None,
        drying=_drying_now(dries, now) if dries is not None else None,
        usually=usual_next(log, facts.products, is_pictured=_is_pictured(sheet)) or None,
    )


def _last_step(step: Step, facts: Facts) -> LastStep:
    at = f"{step.on.clock:%H:%M}" if step.on.clock is not None else None
    return LastStep(on=step.on.day, at=at, did=step.did, stage=stage_of(step, facts.products))


def _drying_now(dries: Drying, now: datetime) -> DryingNow:
    return DryingNow(
        is_=dries.at(now),
        earliest=dries.earliest,
        latest=dries.latest,
        minutes=dries.wait,
        product=dries.product or None,
    )


def _for_sale(sheet: CostSheet, facts: Facts, today: date) -> ForSale:
    piece = sheet.filed.piece
    asked = standing(piece.asking, today) or piece.asking[0]
    came_back, floor = _came_back(piece), least_floor(facts.shop, stand_of(sheet))
    in_hand = _in_hand(sheet, facts, today, promised_since=asked.on)
    written = next((later for later in piece.asking if later.on > today and later is not asked), None)
    steps = facts.shop.price_steps
    cut, at_floor = None, False
    if not in_hand.held and in_hand.promised is None:
        cut = written or next_cut(piece.asking, steps, today, floor=floor, since=came_back)
        at_floor = cut is None and next_cut(piece.asking, steps, today, since=came_back) is not None
    return ForSale(
        **_told(in_hand),
        price=asked.price,
        asked_on=asked.on,
        days_at_price=days_since(max(asked.on, came_back), today),
        next_price=NextPrice(on=cut.on, price=cut.price, written=cut is written) if cut is not None else None,
        floor=floor,
        at_floor=at_floor,
    )


def _came_back(piece: Piece) -> date:
    """The day on which a sold piece last came back; the first of all days when none did."""
    return max((sale.returned.on for sale in piece.sold if sale.returned is not None), default=date.min)


def _is_pictured(sheet: CostSheet) -> bool:
    """Whether pictures show the piece after the work: said to, or named so."""
    names = (picture.rpartition("/")[2].casefold() for picture in sheet.filed.pictures)
    return any(photo.shows.casefold() == "after" for photo in sheet.filed.piece.photos) or any(
        name.startswith("after") for name in names
    )
