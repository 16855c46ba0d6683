"""The bench on a terminal: plain lines that fit its width, each with its role for whoever colours them.

Nothing needs colour to be understood.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta

from flipbook.looking.bench import Bench, ForSale, InHand, OnBench
from flipbook.looking.columns import Column, ends_apart, shortened, table, wrapped
from flipbook.looking.shortage import Short
from flipbook.measures.money import show_money
from flipbook.measures.times import write_time_taken
from flipbook.shop.problems import visible
from flipbook.trade.drying import Drying, Dryness

NARROWEST = 40
STACKED_UNDER = 72
"""Under so many cells a piece takes lines of its own below its title, since a table would show no words."""
HARDENING_TOLD = 6

Line = tuple[str, str]
"""A role (`title`, `heading`, `line`, `note`) and the text."""

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def screen(bench: Bench, width: int) -> Iterator[Line]:
    """All that the bench tells, in lines of at most `width` cells (or 40, when it is less)."""
    width = max(width, NARROWEST)
    for text in wrapped(summary(bench), width):
        yield "title", text
    for section in (_open_lines, _sale_lines, _short_lines, _last_lines):
        lines = list(section(bench, width))
        if lines:
            yield "line", ""
            yield from lines


def summary(bench: Bench) -> str:
    """One sentence that says where the day stands; for a shop with nothing in hand, how to begin."""
    if not bench.open and not bench.for_sale:
        return 'No piece is in hand. `flipbook begin "TITLE"` starts one.'
    begun = [one for one in bench.open if one.last is not None]
    offers = sum(len(piece.offers) for piece in bench.in_hand)
    may_drop = sum(one.cut is not None and one.cut.on <= bench.today for one in bench.for_sale)
    counts = (
        (sum(one.dryness is Dryness.DRY for one in begun), "to go on with"),
        (sum(one.dryness is Dryness.PERHAPS for one in begun), "perhaps dry"),
        (sum(one.dryness is Dryness.DRYING for one in begun), "drying"),
        (len(bench.open) - len(begun), "waiting"),
        (len(bench.for_sale), "for sale"),
        (offers, "offer to answer" if offers == 1 else "offers to answer"),
        (may_drop, "price may come down" if may_drop == 1 else "prices may come down"),
        (len(bench.short), "short on the shelf"),
    )
    told = ", ".join(f"{number:,} {what}" for number, what in counts if number)
    today = bench.today
    return f"{_WEEKDAYS[today.weekday()]} {today.day} {_MONTHS[today.month - 1]} {today.year}: {told}."


def _open_lines(bench: Bench, width: int) -> Iterator[Line]:
    if not bench.open:
        return
    titles = [_words(one.piece.title) for one in bench.open]
    last = [_last(one, bench.today) for one in bench.open]
    then = [_next(one, bench.now) for one in bench.open]
    found = [_days(one.piece.days, one.piece.found_on) for one in bench.open]
    money = [show_money(one.piece.cost, bench.currency) for one in bench.open]
    notes = [[*_held(one.piece, bench), *_promised(one.piece, bench), *_offers(one.piece, bench)] for one in bench.open]
    if width < STACKED_UNDER:
        yield "heading", "On the bench"
        for title, done, comes, day, cost, below in zip(titles, last, then, found, money, notes, strict=True):
            yield "line", ends_apart(title, f"{day}  {cost}", width)
            yield from _under([done, *([f"next: {comes}"] if comes else []), *below], width)
        return
    columns = (
        Column(head="On the bench", cells=titles, share=4),
        Column(head="Last done", cells=last, share=3),
        Column(head="Next", cells=then, share=5),
        Column(head="Found", cells=found, is_right=True),
        Column(head="In it", cells=money, is_right=True),
    )
    yield from _with_notes(columns, notes, width)


def _sale_lines(bench: Bench, width: int) -> Iterator[Line]:
    if not bench.for_sale:
        return
    titles = [_words(one.piece.title) for one in bench.for_sale]
    asks = [show_money(one.asked.price, bench.currency) for one in bench.for_sale]
    stood = [_days(one.days_at_price, one.asked.on) for one in bench.for_sale]
    found = [_days(one.piece.days, one.piece.found_on) for one in bench.for_sale]
    then, notes = [], []
    for one in bench.for_sale:
        first, *below = [*_held(one.piece, bench), *_promised(one.piece, bench)] or [_next_price(one, bench)]
        then.append(first)
        to_do = [f"still to do: {_words(one.piece.planned.did)}"] if one.piece.planned is not None else []
        notes.append([*below, *_offers(one.piece, bench), *to_do])
    if width < STACKED_UNDER:
        yield "heading", "For sale"
        for title, price, at_it, day, comes, below in zip(titles, asks, stood, found, then, notes, strict=True):
            yield "line", ends_apart(title, price, width)
            yield from _under([f"at this price {at_it}, found {day}", *([comes] if comes else []), *below], width)
        return
    columns = (
        Column(head="For sale", cells=titles, share=4),
        Column(head="Asks", cells=asks, is_right=True),
        Column(head="For", cells=stood, is_right=True),
        Column(head="Found", cells=found, is_right=True),
        Column(head="Next price", cells=then, share=4),
    )
    yield from _with_notes(columns, notes, width)


def _short_lines(bench: Bench, width: int) -> Iterator[Line]:
    if not bench.short:
        return
    columns = (
        Column(head="Short on the shelf", cells=[_words(short.product) for short in bench.short], share=3),
        Column(head="Left", cells=[_left(short) for short in bench.short]),
        Column(head="Wanted", cells=[_wanted(short) for short in bench.short], share=4),
    )
    yield from _with_notes(columns, [()] * len(bench.short), width)


def _last_lines(bench: Bench, width: int) -> Iterator[Line]:
    """What is worth knowing once: coats that are still hardening, and days that are dated ahead."""
    hardening = sorted((piece.hard_on, _words(piece.title)) for piece in bench.in_hand if piece.hard_on is not None)
    if hardening:
        told = [f"{shortened(title, 40)} until {_day(day, bench.today)}" for day, title in hardening[:HARDENING_TOLD]]
        more = [f"and {len(hardening) - HARDENING_TOLD:,} more"] if len(hardening) > HARDENING_TOLD else []
        for text in wrapped(f"Not fully hard yet: {'; '.join([*told, *more])}.", width):
            yield "note", text
    days = [
        *(piece.found_on for piece in bench.in_hand),
        *(one.last.on.day for one in bench.open if one.last is not None),
        *(one.asked.on for one in bench.for_sale),
    ]
    if any(day is not None and day > bench.today for day in days):
        says = f"Ahead: dated after today, {bench.today}. Check the date in the log, or this computer's clock."
        for text in wrapped(says, width):
            yield "note", text


def _last(one: OnBench, today: date) -> str:
    if one.last is None:
        return "nothing done yet"
    day = one.last.on.day
    when = "today" if day == today else f"ahead, {_date(day, today)}" if day > today else _date(day, today)
    return f"{when}: {_words(one.last.did)}"


def _next(one: OnBench, now: datetime) -> str:
    """What may come next, and when it must wait for a coat to dry."""
    usually = f"usually {one.usually}" if one.usually else ""
    what = _words(one.piece.planned.did) if one.piece.planned is not None else usually
    if one.drying is None or one.dryness is Dryness.DRY:
        return what
    if one.dryness is Dryness.DRYING:
        return f"wait till {until(one.drying, now)}" + (f": {what}" if what else "")
    wait = write_time_taken(one.drying.wait)
    return f"if dry ({wait}): {what}" if what else f"perhaps dry ({wait})"


def until(drying: Drying, now: datetime) -> str:
    """When it is dry, as exactly as the log knows: an hour where the step's was logged, else the day or two days."""
    today = now.date()
    if drying.is_exact:
        return _moment(drying.latest, today)
    first, last = drying.earliest.date(), (drying.latest - timedelta(minutes=1)).date()
    return _near(first, today) if first >= last else f"{_near(first, today)} or {_near(last, today)}"


def _moment(moment: datetime, today: date) -> str:
    clock = f"{moment:%H:%M}"
    return clock if moment.date() == today else f"{_near(moment.date(), today)} {clock}"


def _near(day: date, today: date) -> str:
    """A day to come: by its weekday within the week."""
    return _WEEKDAYS[day.weekday()] if 1 < (day - today).days < 7 else _day(day, today)


def _day(day: date, today: date) -> str:
    named = {0: "today", 1: "tomorrow", -1: "yesterday"}
    return named.get((day - today).days) or _date(day, today)


def _date(day: date, today: date) -> str:
    """A day of this year without the year, and any other in full."""
    return f"{day.day} {_MONTHS[day.month - 1]}" if day.year == today.year else day.isoformat()


def _days(days: int | None, since: date | None) -> str:
    return f"{days:,} d" if days is not None else "–" if since is None else "ahead"


def _next_price(one: ForSale, bench: Bench) -> str:
    """What the price may do next; nothing for a shop without price steps."""
    today, cut = bench.today, one.cut
    if cut is None:
        if not one.is_at_floor or one.floor is None:
            return ""
        floor = show_money(one.floor, bench.currency)
        return f"under its floor, {floor}" if one.asked.price < one.floor else f"no lower: floor {floor}"
    price = show_money(cut.price, bench.currency)
    if cut.on > today:
        return f"{price} from {_day(cut.on, today)}" + (", as written" if one.is_written else "")
    return f"{price} now" + (f", due since {_day(cut.on, today)}" if cut.on < today else "")


def _held(piece: InHand, bench: Bench) -> list[str]:
    return [
        f"held: {show_money(deposit.amount, bench.currency)}{_from(deposit.from_)}, {_day(deposit.on, bench.today)}"
        for deposit in piece.held
    ]


def _promised(piece: InHand, bench: Bench) -> list[str]:
    taken = piece.promised
    if taken is None:
        return []
    return [f"promised{_from(taken.from_, 'to')} at {show_money(taken.price, bench.currency)}, not sold yet"]


def _offers(piece: InHand, bench: Bench) -> list[str]:
    return [
        f"offer of {show_money(offer.price, bench.currency)}{_from(offer.from_)}, {_day(offer.on, bench.today)}: no answer yet"
        for offer in piece.offers
    ]


def _from(who: str, word: str = "from") -> str:
    return f" {word} {_words(who)}" if who else ""


def _words(text: str) -> str:
    return visible(" ".join(text.split()))


def _left(short: Short) -> str:
    if short.left is None:
        return "never bought"
    return str(short.left) if short.left.number else "none"


def _wanted(short: Short) -> str:
    if not short.planned_for:
        return f"about {short.need} a use"
    planned = f"planned for {_words(', '.join(short.planned_for))}"
    return f"{short.need}, {planned}" if short.need is not None else planned


def _with_notes(columns: Sequence[Column], notes: Sequence[Sequence[str]], width: int) -> Iterator[Line]:
    """A table, with what else is to be said of a row indented below it."""
    head, *rows = table(columns, width)
    yield "heading", head
    for row, below in zip(rows, notes, strict=True):
        yield "line", row
        yield from _under(below, width)


def _under(texts: Iterable[str], width: int) -> Iterator[Line]:
    for text in texts:
        yield "note", "  " + shortened(text, width - 2)
