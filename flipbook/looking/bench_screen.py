"""The bench on a terminal: plain lines that fit its width, each with its role for whoever colours them.

Nothing needs colour to be understood.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

from rich.console import Console
from rich.table import Table
from rich.text import Text

from flipbook.looking.bench import Bench, DryingNow, ForSale, InHand, OnBench
from flipbook.looking.shortage import Short
from flipbook.looking.telling import wrapped
from flipbook.measures.money import show_money
from flipbook.measures.times import write_time_taken
from flipbook.measures.unreadable import shown
from flipbook.shop.problems import visible
from flipbook.trade.drying import Dryness

NARROWEST = 40
STACKED_UNDER = 72
"""Under so many cells the texts of a row stand below one another, since their columns would hold no words."""
HARDENING_TOLD = 6
LONGEST, LONGEST_TITLE = 80, 200
"""A text, and a title, of more characters is shown in part."""
_FIGURES = ("Asks", "For", "Found", "In it")

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
    may_drop = sum(one.next_price is not None and one.next_price.on <= bench.today for one in bench.for_sale)
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
    rows = [
        (
            _words(one.title, LONGEST_TITLE),
            _last(one, bench.today),
            "\n".join(filter(None, (_next(one, bench.now), *_wanted_of(one, bench)))),
            _days(one.days, one.found_on),
            show_money(one.cost, bench.currency),
        )
        for one in bench.open
    ]
    yield from _table(("On the bench", "Last done", "Next", "Found", "In it"), rows, width)


def _sale_lines(bench: Bench, width: int) -> Iterator[Line]:
    rows = []
    for one in bench.for_sale:
        to_do = f"still to do: {_words(one.planned)}" if one.planned is not None else ""
        is_held = one.held or one.promised is not None
        comes = ("" if is_held else _next_price(one, bench), *_wanted_of(one, bench), to_do)
        rows.append(
            (
                _words(one.title, LONGEST_TITLE),
                show_money(one.price, bench.currency),
                _days(one.days_at_price, one.asked_on),
                _days(one.days, one.found_on),
                "\n".join(filter(None, comes)),
            )
        )
    yield from _table(("For sale", "Asks", "For", "Found", "Next price"), rows, width)


def _short_lines(bench: Bench, width: int) -> Iterator[Line]:
    rows = [(_words(short.product), _left(short), _wanted(short)) for short in bench.short]
    yield from _table(("Short on the shelf", "Left", "Wanted"), rows, width)


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> Iterator[Line]:
    """A table whose texts are broken between words, so that no title is cut; nothing where there are no rows.

    In a narrow terminal the texts of a row stand below one another, and its figures beside them.
    """
    if not rows:
        return
    texts = [number for number, head in enumerate(heads) if head not in _FIGURES]
    figures = [number for number in range(len(heads)) if number not in texts]
    if width < STACKED_UNDER and figures:
        stacked = ("\n".join(filter(None, (row[n] for n in texts))).replace("\n", "\n  ") for row in rows)
        rows = [[text, *(row[n] for n in figures)] for text, row in zip(stacked, rows, strict=True)]
        heads = [heads[0], *(heads[n] for n in figures)]
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_edge=False)
    for head in heads:
        is_figure = head in _FIGURES
        table.add_column(head, justify="right" if is_figure else "left", no_wrap=is_figure, overflow="fold")
    for row in rows:
        table.add_row(*map(Text, row))
    screen = Console(width=width, height=len(rows), color_system=None)
    for number, line in enumerate(screen.render_lines(table, pad=False)):
        yield "line" if number else "heading", "".join(segment.text for segment in line).rstrip()


def _last_lines(bench: Bench, width: int) -> Iterator[Line]:
    """What is worth knowing once: coats that are still hardening, and days that are dated ahead."""
    hardening = sorted((piece.hard_on, _words(piece.title)) for piece in bench.in_hand if piece.hard_on is not None)
    if hardening:
        told = [f"{shown(title, 40)} until {_day(day, bench.today)}" for day, title in hardening[:HARDENING_TOLD]]
        more = [f"and {len(hardening) - HARDENING_TOLD:,} more"] if len(hardening) > HARDENING_TOLD else []
        for text in wrapped(f"Not fully hard yet: {'; '.join([*told, *more])}.", width):
            yield "note", text
    days = [
        *(piece.found_on for piece in bench.in_hand),
        *(one.last.on for one in bench.open if one.last is not None),
        *(one.asked_on for one in bench.for_sale),
    ]
    if any(day is not None and day > bench.today for day in days):
        says = f"Ahead: dated after today, {bench.today}. Check the date in the log, or this computer's clock."
        for text in wrapped(says, width):
            yield "note", text


def _last(one: OnBench, today: date) -> str:
    if one.last is None:
        return "nothing done yet"
    day = one.last.on
    when = "today" if day == today else f"ahead, {_date(day, today)}" if day > today else _date(day, today)
    return f"{when}: {_words(one.last.did)}"


def _next(one: OnBench, now: datetime) -> str:
    """What may come next, and when it must wait for a coat to dry."""
    usually = f"usually {one.usually}" if one.usually else ""
    what = _words(one.planned) if one.planned is not None else usually
    if one.drying is None or one.dryness is Dryness.DRY:
        return what
    if one.dryness is Dryness.DRYING:
        return f"wait till {until(one.drying, now)}" + (f": {what}" if what else "")
    wait = write_time_taken(one.drying.minutes)
    return f"if dry ({wait}): {what}" if what else f"perhaps dry ({wait})"


def until(drying: DryingNow, now: datetime) -> str:
    """When it is dry, as exactly as the log knows: an hour where the step's was logged, else the day or two days."""
    today = now.date()
    if drying.earliest == drying.latest:
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
    today, cut = bench.today, one.next_price
    if cut is None:
        if not one.at_floor or one.floor is None:
            return ""
        floor = show_money(one.floor, bench.currency)
        return f"under its floor, {floor}" if one.price < one.floor else f"no lower: floor {floor}"
    price = show_money(cut.price, bench.currency)
    if cut.on > today:
        return f"{price} from {_day(cut.on, today)}" + (", as written" if cut.written else "")
    return f"{price} now" + (f", due since {_day(cut.on, today)}" if cut.on < today else "")


def _wanted_of(piece: InHand, bench: Bench) -> Iterator[str]:
    """What holds a piece or waits for an answer, a line each."""
    for deposit in piece.held:
        yield f"held: {show_money(deposit.amount, bench.currency)}{_from(deposit.from_)}, {_day(deposit.on, bench.today)}"
    if piece.promised is not None:
        price = show_money(piece.promised.price, bench.currency)
        yield f"promised{_from(piece.promised.from_, 'to')} at {price}, not sold yet"
    for offer in piece.offers:
        price = show_money(offer.price, bench.currency)
        yield f"offer of {price}{_from(offer.from_)}, {_day(offer.on, bench.today)}: no answer yet"


def _from(who: str | None, word: str = "from") -> str:
    return f" {word} {_words(who)}" if who else ""


def _words(text: str, most: int = LONGEST) -> str:
    return shown(visible(" ".join(text.split())), most)


def _left(short: Short) -> str:
    if short.left is None:
        return "never bought"
    return str(short.left) if short.left.number else "none"


def _wanted(short: Short) -> str:
    if not short.planned_for:
        return f"about {short.need} a use"
    planned = f"planned for {_words(', '.join(short.planned_for))}"
    return f"{short.need}, {planned}" if short.need is not None else planned
