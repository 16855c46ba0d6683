"""A timetable for the steps that are left: when each may be begun, and when the piece may be sanded, used, and is hard.

How long a coat wants comes from the step's own `dries:`, then from the label (products.yaml), and only then from what
is usual for its kind, whose longer end is taken. Those times hold at 70 to 77 F and about half humidity. Colder or
damper is slower (common practice, no source); no factor is made up for that, and nothing is ever made shorter.

Days of cure run from the last coat. Moments are the shop's own clock; `later` counts elapsed time, over a change of
the clock too where the caller's does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from flipbook.measures.times import write_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.trade.kinds import kind_used

Later = Callable[[datetime, Fraction], datetime]
What = Literal["work", "dry", "sand", "recoat", "use", "cure"]

MOST_STEPS: Final = 60
LONGEST: Final = 400 * 1440
"""Minutes of a wait: over a year no coat dries."""
TOO_COLD_F, WARM_F, DAMP, TOO_DAMP = 50, 70, 70, 85
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, kw_only=True, slots=True)
class Wait:
    """How long something takes, in minutes, and who says so."""

    minutes: Fraction
    source: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Work:
    """A step still to be done: how long it takes, and the waits that it brings; None is not known.

    `recoat` is how long before the next step; `sand`, `use` and `cure` how long before the coat may be sanded, lightly
    used, and is hard. `product` is empty where nothing is put on.
    """

    did: str
    product: str = ""
    took: Fraction = Fraction(0)
    recoat: Wait | None = None
    sand: Wait | None = None
    use: Wait | None = None
    cure: Wait | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """A line of the timetable: from `at` on something may be done; work goes on until `until`."""

    what: What
    at: datetime
    says: str
    source: str = ""
    until: datetime | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Hours:
    """The hours in which work is begun."""

    opens: time = time(8)
    closes: time = time(20)

    def from_(self, moment: datetime) -> datetime:
        """The first moment from `moment` on at which work may begin."""
        if moment.time() < self.opens:
            return datetime.combine(moment.date(), self.opens)
        if moment.time() >= self.closes:
            return datetime.combine(moment.date() + timedelta(days=1), self.opens)
        return moment


@dataclass(frozen=True, kw_only=True, slots=True)
class Timetable:
    """The entries by time; `not_told` are steps of whose drying nothing is known."""

    entries: tuple[Entry, ...]
    not_told: tuple[str, ...]
    notes: tuple[str, ...]


def wall_clock(moment: datetime, minutes: Fraction) -> datetime:
    """`moment` and so many minutes, a part of one counted whole; the clock is taken never to change."""
    return moment + timedelta(minutes=ceil(minutes))


def work_of(step: Planned, products: Mapping[str, Product]) -> Work:
    """A planned step as work, its waits told by itself, by the labels of what it uses, or by what is usual.

    A step that says no product uses the one of products.yaml that its words name. The longest of several counts. `products` are by folded name, as `Facts.products` has them.
    """
    uses = [*step.used, *(step.mix.uses() if step.mix is not None else ())]
    names = [use.what for use in uses] or _named_in(step.did, products)
    own = (
        Wait(minutes=step.dries, source=f"the step's `dries`: {write_time_taken(step.dries)}")
        if step.dries is not None
        else None
    )
    waits = {key: _longest(_wait(key, name, products) for name in names) for key in ("recoat", "sand", "use", "cure")}
    coated = [name for name in names if kind_used(name, products).stays]
    return Work(
        did=" ".join(step.did.split()),
        product=coated[0] if coated else "",
        took=step.took or Fraction(0),
        recoat=own or waits["recoat"],
        sand=waits["sand"],
        use=waits["use"],
        cure=waits["cure"],
    )


def read_work(text: str, products: Mapping[str, Product]) -> tuple[Work, ...]:
    """Steps as they are said: `2 coats black milk paint, 3 coats satin clear coat`, a step for each coat.

    Raises Unreadable for coats of what is neither known to products.yaml nor told by its name.
    """
    pieces = [" ".join(piece.split()) for piece in re.split("[,;]", text) if piece.strip()]
    if not pieces:
        raise Unreadable("no step was said", "write it as `2 coats black milk paint, 3 coats satin clear coat`")
    works: list[Work] = []
    for piece in pieces:
        found = re.fullmatch(r"(?:([0-9]{1,3}) +)?(?:coats?(?: of)? +)?(.+)", piece, re.IGNORECASE)
        assert found is not None  # the last group takes anything
        number, name = int(found[1] or 1), found[2]
        if not number or len(works) + number > MOST_STEPS:
            raise Unreadable(f"`{shown(piece)}` can't be planned", f"write from 1 to {MOST_STEPS} coats in all")
        one = work_of_name(name, products)
        if one.recoat is None and not kind_used(name, products).stays and folded(name) not in products:
            raise Unreadable(
                f"`{shown(name)}` is in no products.yaml, and its name does not tell what it is",
                "write it as the shelf has it, or say its kind, as `oil varnish`",
            )
        for coat in range(number):
            which = f"{_ORDINALS[coat]} coat of " if number > 1 and coat < len(_ORDINALS) else "coat of "
            works.append(replace(one, did=f"{which}{name}"))
    return tuple(works)


def timetable(
    works: Sequence[Work],
    begin: datetime,
    *,
    hours: Hours | None = None,
    later: Later = wall_clock,
    fahrenheit: Fraction | None = None,
    humidity: Fraction | None = None,
) -> Timetable:
    """When each step may be begun, one after the other, and what may be done from when on after the last coat.

    A step begins in the shop's hours, once the one before has dried. Temperature and humidity (percent) are only
    noted: they never change a time.

    Raises Unreadable for no step, too many, hours that close before they open, air that no shop has, and a wait of
    over 400 days.
    """
    if not works:
        raise Unreadable("there is no step to plan", "say steps, as `2 coats black milk paint`, or plan some")
    if len(works) > MOST_STEPS:
        raise Unreadable(f"those are over {MOST_STEPS} steps", "plan the next few")
    hours = hours or Hours()
    if hours.closes <= hours.opens:
        raise Unreadable("the hours close before they open", "write them as `8:00-18:00`")
    entries: list[Entry] = []
    not_told: list[str] = []
    free = begin
    last_coat: tuple[Work, datetime] | None = None
    hard: list[tuple[datetime, Work, Wait]] = []
    for number, work in enumerate(works):
        start = hours.from_(free)
        done = _after(later, start, work.took, work)
        entries.append(Entry(what="work", at=start, says=work.did, until=done if work.took else None))
        free = done
        if work.recoat is not None:
            free = _after(later, done, work.recoat.minutes, work)
            is_last = number == len(works) - 1
            says = f"{work.product or work.did}: dry enough for the next step"
            if not is_last or work.product:
                entries.append(Entry(what="recoat", at=free, says=says, source=work.recoat.source))
        elif work.product:
            not_told.append(work.did)
        if work.product:
            last_coat = (work, done)
        if work.cure is not None:
            hard.append((_after(later, done, work.cure.minutes, work), work, work.cure))
    if last_coat is not None:
        entries += _after_the_last(last_coat[0], last_coat[1], later)
    if hard:
        when, work, wait = max(hard, key=lambda each: each[0])
        entries.append(Entry(what="cure", at=when, says=f"{work.product}: fully hard", source=wait.source))
    order: dict[What, int] = {"recoat": 0, "dry": 0, "sand": 1, "work": 2, "use": 3, "cure": 4}
    return Timetable(
        entries=tuple(sorted(entries, key=lambda entry: (entry.at, order[entry.what]))),
        not_told=tuple(dict.fromkeys(not_told)),
        notes=_air_notes(fahrenheit, humidity),
    )


def since_the_log(log: Iterable[Step], products: Mapping[str, Product], later: Later = wall_clock) -> tuple[Entry, ...]:
    """What the coats already on are good for and from when on, where their steps say at what time they were done.

    A step without a time of day was done by the end of its day.
    """
    coats = []
    for step in log:
        names = [use.what for use in step.uses() if kind_used(use.what, products).stays]
        day, clock = step.on
        done = datetime.combine(day, clock) if clock is not None else datetime.combine(day, time(23, 59))
        for name in names:
            coats.append((done, name, step))
    if not coats:
        return ()
    done, name, step = max(coats, key=lambda each: each[0])
    work = work_of_name(name, products, step.dries)
    found = []
    if work.recoat is not None:
        at = _after(later, done, work.recoat.minutes, work)
        found.append(Entry(what="dry", at=at, says=f"{name}: dry enough for the next step", source=work.recoat.source))
    found += _after_the_last(work, done, later)
    if work.cure is not None:
        at = _after(later, done, work.cure.minutes, work)
        found.append(Entry(what="cure", at=at, says=f"{name}: fully hard", source=work.cure.source))
    return tuple(sorted(found, key=lambda entry: entry.at))


def work_of_name(name: str, products: Mapping[str, Product], dries: Fraction | None = None) -> Work:
    """A coat of one product."""
    waits = {key: _wait(key, name, products) for key in ("recoat", "sand", "use", "cure")}
    own = Wait(minutes=dries, source=f"the step's `dries`: {write_time_taken(dries)}") if dries is not None else None
    return Work(
        did=f"coat of {name}",
        product=name,
        recoat=own or waits["recoat"],
        sand=waits["sand"],
        use=waits["use"],
        cure=waits["cure"],
    )


def read_hours(text: str) -> Hours:
    """The hours of work: `8:00-18:00`, `9-17`. Raises Unreadable."""
    found = re.fullmatch(r" *([0-9]{1,2})(?::([0-9]{2}))? *(?:-|–|to) *([0-9]{1,2})(?::([0-9]{2}))? *", text)
    parts = [int(part or 0) for part in found.groups()] if found else []
    if not parts or parts[0] > 23 or parts[1] > 59 or parts[2] > 24 or parts[3] > 59 or (parts[2] == 24 and parts[3]):
        raise Unreadable(f"`{shown(text.strip())}` are no hours", "write them as `8:00-18:00`")
    closes = time(23, 59, 59) if parts[2] == 24 else time(parts[2], parts[3])
    hours = Hours(opens=time(parts[0], parts[1]), closes=closes)
    if hours.closes <= hours.opens:
        raise Unreadable("the hours close before they open", "write them as `8:00-18:00`")
    return hours


def first_free(entries: Iterable[Entry], now: datetime) -> datetime:
    """From when on work may go on, by what is still drying."""
    return max((now, *(entry.at for entry in entries if entry.what == "dry")))


def _after_the_last(work: Work, done: datetime, later: Later) -> list[Entry]:
    found = []
    if work.sand is not None:
        at = _after(later, done, work.sand.minutes, work)
        found.append(Entry(what="sand", at=at, says=f"{work.product}: may be sanded", source=work.sand.source))
    if work.use is not None:
        at = _after(later, done, work.use.minutes, work)
        found.append(
            Entry(what="use", at=at, says=f"{work.product}: may be handled, and lightly used", source=work.use.source)
        )
    return found


def _after(later: Later, moment: datetime, minutes: Fraction, work: Work) -> datetime:
    if minutes > LONGEST:
        raise Unreadable(f"`{shown(work.did)}` waits {write_time_taken(minutes)}", "check the time and its unit")
    if moment.date() > date(2100, 1, 1):
        raise Unreadable("that goes on past the year 2100", "check the day to begin, and the waits")
    return later(moment, minutes) if minutes else moment


def _named_in(words: str, products: Mapping[str, Product]) -> list[str]:
    """The product that words name, the longest name of several."""
    text = folded(words)
    return sorted((name for name in products if re.search(rf"\b{re.escape(name)}\b", text)), key=len)[-1:]


def _wait(key: str, name: str, products: Mapping[str, Product]) -> Wait | None:
    """What the label says, else the longer end of what is usual."""
    known = products.get(folded(name))
    labelled = {"recoat": known.recoat, "cure": known.cure}.get(key) if known else None
    if labelled is not None:
        return Wait(
            minutes=labelled, source=f"the label in products.yaml, {folded(name)}: {write_time_taken(labelled)}"
        )
    kind = kind_used(name, products)
    usual = {"recoat": kind.recoat, "sand": kind.sand, "use": kind.use, "cure": kind.cure}[key]
    if usual is None:
        return None
    between = (
        f"{write_time_taken(usual.least)} to {write_time_taken(usual.most)}"
        if usual.least != usual.most
        else write_time_taken(usual.most)
    )
    note = f"; {kind.note}" if kind.note and key == "cure" else ""
    return Wait(minutes=usual.most, source=f"usual for {kind.name}, {between}, common practice, no source{note}")


def _longest(waits: Iterable[Wait | None]) -> Wait | None:
    return max((wait for wait in waits if wait is not None), key=lambda wait: wait.minutes, default=None)


def _air_notes(fahrenheit: Fraction | None, humidity: Fraction | None) -> tuple[str, ...]:
    if fahrenheit is not None and not -40 <= fahrenheit <= 150:
        raise Unreadable("no shop has that temperature", "write it as `68 F` or `20 C`")
    if humidity is not None and not 0 <= humidity <= 100:
        raise Unreadable("a humidity is from 0% to 100%", "write it as `50%`")
    notes = ["Usual times are for 70 to 77 F and half humidity; colder or damper is slower. The label comes first."]
    if fahrenheit is not None and fahrenheit < TOO_COLD_F:
        notes.append(
            f"Under {TOO_COLD_F} F (10 C) waterborne coats and wood glue don't set as they should: warm the room first (common practice, no source)."
        )
    elif fahrenheit is not None and fahrenheit < WARM_F:
        notes.append(
            "That is colder than these times are for: wait longer, and try it with a thumb where nobody looks."
        )
    if humidity is not None and humidity > TOO_DAMP:
        notes.append(f"Over {TOO_DAMP}% humidity don't coat; shellac and lacquer blush (common practice, no source).")
    elif humidity is not None and humidity > DAMP:
        notes.append(f"Over {DAMP}% humidity everything dries slower: wait longer (common practice, no source).")
    return tuple(notes)
