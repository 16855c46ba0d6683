"""What a price means for one piece: floor and break-even through each outlet, what an offer leaves, what waiting costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.measures.fees import Fee
from flipbook.measures.rounding import ZERO
from flipbook.selling.floor import LeftBySale, Stand, break_even, floor_price, left_of, stand_of
from flipbook.selling.past import OfAKind, Sold, kind_of_past, of_kind
from flipbook.selling.steps import plan, standing
from flipbook.shop.records.setup import PriceSteps, Shop

NO_OUTLET = "to the buyer"
"""What a sale through no outlet is called, where a shop names none."""
RECENT = 12
"""How many past pieces of a kind are looked at, the newest."""
MOST_STEPS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """The least prices through one outlet; None where no price suffices."""

    outlet: str
    fee: Fee
    break_even: Decimal | None
    floor: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AtPrice(LeftBySale):
    """What a sale at a price leaves from a day on, and how much less that is than a sale at the first price."""

    on: date
    given_up: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing:
    """All that bears on the price of one piece."""

    sheet: CostSheet
    stand: Stand
    through: tuple[Through, ...]
    """The outlets of the shop in the order written, or one without a fee; the first is where `prices` are reckoned."""
    asked: Decimal | None
    """What is asked, or thought of, and stands first of `prices`."""
    prices: tuple[AtPrice, ...]
    kind: OfAKind | None
    """What recent pieces of the same kind say; None where there is none, or the piece has no kind."""


def outlets_of(shop: Shop) -> Mapping[str, Fee]:
    """What each outlet takes, in the order written; a shop that names none sells without a fee."""
    return {name: outlet.takes for name, outlet in shop.outlets.items()} or {NO_OUTLET: Fee()}


def least_floor(shop: Shop, stand: Stand) -> Decimal | None:
    """The floor through the outlet with the lowest; an asking price does not come down under it."""
    floors = (floor_price(fee, stand, shop.time_is_worth or ZERO) for fee in outlets_of(shop).values())
    return min((floor for floor in floors if floor is not None), default=None)


def pricing_of(
    sheet: CostSheet,
    shop: Shop,
    past: Sequence[Sold],
    today: date,
    *,
    at: str = "",
    thought_of: Decimal | None = None,
) -> Pricing:
    """All that bears on a piece's price on `today`. `at` is the outlet that comes first; `thought_of` is a price to try
    instead of the one asked, or reckoned with in `plan:` while none is asked. `past` are the shop's past sales, the newest first."""
    stand = stand_of(sheet)
    worth = shop.time_is_worth or ZERO
    outlets = outlets_of(shop)
    ordered = sorted(outlets.items(), key=lambda outlet: outlet[0] != at) if at else list(outlets.items())
    through = tuple(
        Through(outlet=name, fee=fee, break_even=break_even(fee, stand), floor=floor_price(fee, stand, worth))
        for name, fee in ordered
    )
    piece = sheet.filed.piece
    asked = standing(piece.asking, today)
    price, since = thought_of, today
    if price is None and asked is not None:
        price, since = asked.price, asked.on
    elif price is None and piece.plan is not None:
        price = piece.plan.price
    prices = (
        ()
        if price is None
        else prices_of(price, since, shop.price_steps, least_floor(shop, stand), through[0].fee, stand)
    )
    like = [sold for sold in of_kind(past, piece.kind) if sold.sheet is not sheet][:RECENT] if piece.kind else []
    return Pricing(
        sheet=sheet,
        stand=stand,
        through=through,
        asked=price,
        prices=prices,
        kind=kind_of_past(like, shop.time_is_worth),
    )


def prices_of(
    price: Decimal, since: date, steps: PriceSteps | None, floor: Decimal | None, fee: Fee, stand: Stand
) -> tuple[AtPrice, ...]:
    """The price and the steps by which it comes down, each with what a sale at it leaves and what the wait gave up."""
    dated = [(since, price)]
    if steps is not None:
        dated += [(cut.on, cut.price) for cut in plan(price, since, steps, floor, MOST_STEPS)]
    lefts = [left_of(asked, fee, stand) for _, asked in dated]
    return tuple(
        AtPrice(on=on, given_up=lefts[0].left - left.left, **asdict(left))
        for (on, _), left in zip(dated, lefts, strict=True)
    )
