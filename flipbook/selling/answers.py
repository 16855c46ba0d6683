"""What `price` answers: in plain lines for a person who is asked at the door, and as plain data for a program."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from flipbook.books.sales import standing_deposits
from flipbook.books.terms import RowKind
from flipbook.measures.fees import Fee
from flipbook.measures.money import show_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.plain_data import as_data
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.times import write_time_taken
from flipbook.selling.floor import LeftBySale
from flipbook.selling.past import Figure, FigureSpread, OfAKind, Sold
from flipbook.selling.pricing import NO_OUTLET, Pricing, Through

NO_PRICE = "none"


def _through(outlet: str) -> str:
    return "" if outlet == NO_OUTLET else f" at {outlet}"


def pricing_data(pricing: Pricing, currency: str) -> dict[str, Any]:
    """Everything that bears on a piece's price, for a program."""
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
            {"outlet": one.outlet, "break_even": one.break_even, "floor": one.floor} for one in pricing.through
        ],
        "asked": pricing.asked,
        "prices": pricing.prices,
        "past": pricing.kind,
    }
    return {key: as_data(value) for key, value in told.items()}


def offer_answer(left: LeftBySale, through: Through, pricing: Pricing, worth: Decimal | None, currency: str) -> str:
    """An offer in one sentence: what it leaves, an hour, and how that stands to the floor and the break-even."""
    money = Money(currency)
    besides = f" and {money(left.delivery)} for delivery" if left.delivery else ""
    fee = f" after a fee of {money(left.fee)}" if left.fee else ""
    leaves = f"loses {money(-left.left)}{fee}" if left.left < 0 else f"leaves {money(left.left)}{fee}"
    if left.per_hour is None:
        an_hour = ", no hours are logged, so what an hour earns cannot be known"
    else:
        an_hour = f", {money(left.per_hour)} an hour"
    words = f"{money(left.price)}{besides}{_through(through.outlet)} {leaves}{an_hour}: {_against(left, through, pricing, worth, money)}."
    deposits = sum((deposit.amount for deposit in standing_deposits(pricing.sheet.filed.piece)), ZERO)
    return words + (f" {money(deposits)} of it is paid already." if deposits else "")


def _against(left: LeftBySale, through: Through, pricing: Pricing, worth: Decimal | None, money: Money) -> str:
    """How an offer stands to the floor and the break-even. With delivery the profit decides, not the bare price."""
    wanted = pricing.stand.hours * Fraction(worth or ZERO)
    if left.left < 0:
        even = through.break_even
        return f"under the break-even of {money(even)}" if even is not None else "no price there would break even"
    if not wanted:
        return "nothing is lost" if left.left == 0 else "over the break-even"
    if left.left < wanted:
        short = half_up(wanted - Fraction(left.left))
        floor = f", under the floor of {money(through.floor)}" if through.floor is not None else ""
        return f"{money(short)} short of the hours' worth{floor}"
    return f"at or over the floor of {money(through.floor)}" if through.floor is not None else "over the floor"


class Money:
    """Sums as a reader of one currency sees them."""

    def __init__(self, currency: str) -> None:
        self.currency = currency

    def __call__(self, value: Decimal | Fraction) -> str:
        return show_money(half_up(value), self.currency)


def price_lines(pricing: Pricing, worth: Decimal | None, currency: str, today: date) -> Iterator[str]:
    """The whole answer about a piece, in lines of 80 cells at most."""
    sheet, money = pricing.sheet, Money(currency)
    piece = sheet.filed.piece
    came = f", found {sheet.found_on}" if sheet.found_on else ""
    yield f"{piece.piece}: {piece.state}{came}"
    yield ""
    parts = (("found", RowKind.FOUND), ("receipts", RowKind.MATERIAL), ("shelf", RowKind.SHELF))
    for words, column in parts:
        yield f"  {words:16}{money(sheet.sum_of(column)):>14}"
    yield f"  {'cost':16}{money(sheet.cost):>14}"
    if sheet.driving:
        yield f"  {'driving':16}{money(sheet.driving):>14}"
    rest = pricing.stand.laid_out - sheet.cost - sheet.driving
    if rest:
        words = "an earlier sale, still to be earned back" if rest > 0 else "left by an earlier sale"
        yield f"  {'besides':16}{money(rest):>14}  {words}"
    if not sheet.minutes:
        yield "  No hours are logged, so the floor is the break-even."
    elif worth is None:
        yield f"  {'hours':16}{write_time_taken(sheet.minutes):>14}  shop.yaml does not say what `time is worth`"
    else:
        yield f"  {'hours':16}{write_time_taken(sheet.minutes):>14}  at {money(worth)} each {money(sheet.hours * Fraction(worth))}"
    yield ""
    wide = min(max(len(row.outlet) for row in pricing.through), 34)
    yield f"  {'sold':{wide}}{'break-even':>14}{'floor':>14}"
    for row in pricing.through:
        even, floor = (money(value) if value is not None else NO_PRICE for value in (row.break_even, row.floor))
        yield f"  {row.outlet[:wide]:{wide}}{even:>14}{floor:>14}  {fee_words(row.fee, money)}".rstrip()
    if any(row.floor is None for row in pricing.through):
        yield "  none: no price there is enough."
    yield from _plan_lines(pricing, money, today)
    yield from kind_lines(pricing.kind, piece.kind, currency)


def fee_words(fee: Fee, money: Money) -> str:
    """What an outlet takes: `takes 9% + $0.40`; nothing when it takes nothing."""
    share = f"{write_decimal(fee.share * 100)}%" if fee.share else ""
    fixed = money(fee.fixed) if fee.fixed else ""
    return f"takes {' + '.join(filter(None, (share, fixed)))}" if share or fixed else ""


def _plan_lines(pricing: Pricing, money: Money, today: date) -> Iterator[str]:
    yield ""
    if not pricing.prices:
        yield "No price is asked yet; `flipbook price PIECE --asking 400` shows how one would come down."
        return
    yield f"If it sells{_through(pricing.through[0].outlet)}, asked at:"
    yield f"  {'from':12}{'price':>12}{'leaves':>12}{'an hour':>12}{'waiting cost':>14}"
    for step in pricing.prices:
        an_hour = money(step.per_hour) if step.per_hour is not None else "not known"
        now = "  now" if step is _now(pricing, today) else ""
        given_up = money(step.given_up) if step.given_up else "—"
        yield f"  {step.on!s:12}{money(step.price):>12}{money(step.left):>12}{an_hour:>12}{given_up:>14}{now}"
    if len(pricing.prices) == 1:
        yield "  It comes down no further: that is the floor, or shop.yaml has no `price steps`."


def _now(pricing: Pricing, today: date) -> object:
    """The step that is in force on `today`, of the prices in their order."""
    return next((step for step in reversed(pricing.prices) if step.on <= today), None)


def kind_lines(said: OfAKind | None, kind: str, currency: str) -> Iterator[str]:
    """What past pieces of a kind sold for."""
    if not kind:
        return
    yield ""
    if said is None:
        yield f"No other {kind} has been sold yet, so there is nothing to hold it against."
        return
    money = Money(currency)
    pieces = "1 piece" if said.pieces == 1 else f"{said.pieces} pieces"
    thin = "; too few to tell" if said.too_few else ""
    yield f"Sold before, {kind}: {pieces}{thin}"
    heads = ("least", "lower", "middle", "upper", "most")
    yield f"  {'':12}" + "".join(f"{head:>12}" for head in (heads[::4] if said.too_few else heads))
    for words, sums in (("price", said.price), ("besides find", said.besides_the_find)):
        yield from _spread_line(words, sums, money, said)
    for words, numbers in (("hours", said.hours), ("days", said.days)):
        yield from _spread_line(words, numbers, _number, said)


def _number(value: Fraction) -> str:
    return write_decimal(value, places=1)


def _spread_line(
    words: str, spread: FigureSpread[Figure] | None, write: Callable[[Figure], str], said: OfAKind
) -> Iterator[str]:
    """A row of a spread; of a few figures the least and the most alone, since quarters of two say nothing."""
    if spread is not None:
        figures = (spread.least, spread.lower, spread.middle, spread.upper, spread.most)
        yield f"  {words:12}" + "".join(
            f"{write(figure):>12}" for figure in (figures[::4] if said.too_few else figures)
        )


def before_buying_lines(
    said: OfAKind | None, past: tuple[Sold, ...], found: Decimal | None, kind: str, worth: Decimal | None, currency: str
) -> Iterator[str]:
    """What may be paid for a find at most, by what past pieces of its kind took and cost."""
    money = Money(currency)
    if said is None:
        yield f"No {kind} has been sold yet, so the log cannot tell what one may cost."
        return
    if worth is None:
        yield "shop.yaml does not say what `time is worth`, so the log cannot tell what a find may cost."
    elif said.could_pay is None:
        yield f"No {kind} that was sold has its hours logged, so what an hour earns cannot be known."
    else:
        could = said.could_pay
        yield f"Pay {money(max(could.middle, ZERO))} at most" + (": too few to tell, though." if could.is_thin else ".")
        yield f"  Of {_pieces(could.number)}, with an hour at {money(worth)}, the find could have cost"
        half = f", and for the middle half {money(could.lower)} to {money(could.upper)}"
        ends = money(could.least) if could.number == 1 else f"{money(could.least)} to {money(could.most)}"
        yield f"  {ends}{'' if could.is_thin else half}."
        if found is not None:
            timed = [sold for sold in past if sold.hours]
            borne = sum(sold.could_pay(worth) >= found for sold in timed)
            yield f"  Found for {money(found)}, {borne} of {len(timed)} would have earned that or more."
    yield from kind_lines(said, kind, currency)


def _pieces(number: int) -> str:
    return "the one sold" if number == 1 else f"the {number} sold"
