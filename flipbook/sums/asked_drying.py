"""The command line of drying and of cautions: the words read, the timetable and the cautions told."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from fractions import Fraction
from importlib import import_module

from flipbook.cli.ending import Misused
from flipbook.entry.said import when_said
from flipbook.measures.dates import When
from flipbook.measures.fees import read_percentage
from flipbook.measures.numerals import NUMBER, number_value
from flipbook.measures.times import write_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.editing import Entry as Written
from flipbook.sums.answer import Answer, Data, Row
from flipbook.sums.at_hand import AtHand
from flipbook.sums.timetable import (
    Entry,
    Hours,
    Timetable,
    Work,
    first_free,
    read_hours,
    read_work,
    since_the_log,
    timetable,
    work_of,
)
from flipbook.trade.cautions import CAUTIONS, called_for


def drying(at_hand: AtHand) -> Answer:
    """`flipbook sums drying`."""
    arguments = at_hand.arguments
    words = at_hand.words.strip()
    hours = at_hand.said("--hours", read_hours, Hours())
    fahrenheit = at_hand.said("--temperature", _read_temperature, None)
    humidity = at_hand.said("--humidity", lambda text: read_percentage(text) * 100, None)
    calendar = at_hand.file("--calendar", ".ics")
    piece, products = at_hand.piece, at_hand.products
    on_now = since_the_log(piece.log, products, elapsed) if piece is not None else ()
    works: tuple[Work, ...] = ()
    if words:
        works = at_hand.of_words(lambda text: read_work(text, products), "the steps")
    elif piece is not None:
        works = tuple(work_of(step, products) for step in piece.planned)
    else:
        raise Misused("dry what? say steps, as `2 coats black milk paint, 3 coats satin clear coat`, or --piece")
    begin = _begin(arguments.begin)
    if works:
        begin = first_free(on_now, begin) if arguments.begin is None else begin
        table = timetable(works, begin, hours=hours, later=elapsed, fahrenheit=fahrenheit, humidity=humidity)
    elif on_now:
        table = Timetable(entries=on_now, not_told=(), notes=())
    else:
        assert at_hand.chosen is not None
        raise Misused(
            f"`{at_hand.chosen.piece.folder}` has nothing planned and no coat in its log; say steps, as `2 coats black milk paint`"
        )
    title = piece.piece if piece is not None else "Drying"
    folder = at_hand.chosen.piece.folder if at_hand.chosen is not None else ""
    files = []
    if calendar is not None:
        # The library that writes calendars is loaded for a calendar alone.
        made: bytes = import_module("flipbook.sums.calendar").calendar_of(
            table, title=title, piece=folder, made=datetime.now().astimezone()
        )
        files.append((calendar, made, "a calendar"))
    unknown = [
        f"Nothing says how long `{shown(did, 50)}` dries; give the product a `recoat:` in products.yaml."
        for did in table.not_told
    ]
    sources = dict.fromkeys(entry.source for entry in table.entries if entry.source)
    return Answer(
        lines=_table_lines(table),
        warnings=[*unknown, *at_hand.rags(work.product for work in works if work.product)],
        working=[*(f"{source[0].upper()}{source[1:]}." for source in sources), *table.notes, _hours_line(hours)],
        data={
            "entries": [_entry_data(entry) for entry in table.entries],
            "not_told": list(table.not_told),
            "notes": list(table.notes),
        },
        planned=[_planned(work) for work in works] if words else [],
        cannot_jot="its steps are planned in its file already; say steps to plan others, as `2 coats black milk paint`",
        files=files,
    )


def cautions(at_hand: AtHand) -> Answer:
    """`flipbook sums cautions`."""
    arguments = at_hand.arguments
    if arguments.piece is None:
        if arguments.shop is not None:
            raise Misused("cautions of which piece? say --piece PIECE; without it all of them are told")
        told = [(caution, "", False) for caution in CAUTIONS]
    else:
        piece = at_hand.piece
        assert piece is not None
        seen = {name.casefold().replace("-", " ") for name in piece.seen_to}
        told = [
            (called.caution, called.why, called.caution.name.replace("-", " ") in seen)
            for called in called_for(piece, at_hand.products)
        ]
    lines: list[str | Row] = []
    for caution, why, is_seen in told:
        head = f"{caution.name}: {why}" if why else caution.name
        lines += [
            head + (" (seen to)" if is_seen else ""),
            Row("  ", caution.maker),
            Row("  ", f"Source: {caution.authority}."),
        ]
    if not told:
        lines.append("What its file says calls for none of the cautions known here, which does not make it safe.")
    return Answer(
        lines=lines,
        working=["Local codes and licensed people come before all of this; rules are US ones, and can have changed."],
        data={
            "cautions": [
                {
                    "name": caution.name,
                    "why": why or None,
                    "seen_to": is_seen,
                    "first": caution.first,
                    "maker": caution.maker,
                    "buyer": caution.buyer or None,
                    "authority": caution.authority,
                }
                for caution, why, is_seen in told
            ]
        },
        cannot_jot="what was seen to is for you to write: `seen to: [lead paint]` in its file",
    )


def elapsed(moment: datetime, minutes: Fraction) -> datetime:
    """`moment`, of this machine's clock, and so many minutes that really pass, over a change of the clock too.

    A part of a minute is counted whole.
    """
    seconds = -(-minutes.numerator // minutes.denominator) * 60
    try:
        return datetime.fromtimestamp(moment.timestamp() + seconds).replace(second=moment.second, microsecond=0)
    except (OverflowError, OSError, ValueError):
        raise Unreadable("that goes on past the end of the calendar", "check the day to begin, and the waits") from None


def _begin(text: str | None) -> datetime:
    now = datetime.now().replace(second=0, microsecond=0)
    if text is None:
        return now
    ahead = re.fullmatch(
        r" *(?:(tomorrow)|in +([0-9]{1,3}) +d(?:ays?)?)(?: +([0-9]{1,2}:[0-9]{2}))? *", text, re.IGNORECASE
    )
    if ahead is not None:
        days = 1 if ahead[1] else int(ahead[2])
        day = date.fromordinal(date.today().toordinal() + days)
        when = when_said(f"{day} {ahead[3]}" if ahead[3] else str(day), "--begin")
    else:
        when = when_said(text, "--begin")
    return _moment(when, now)


def _moment(when: When, now: datetime) -> datetime:
    if when.clock is None:
        return now if when.day == now.date() else datetime.combine(when.day, time())
    return datetime.combine(when.day, when.clock)


def _read_temperature(text: str) -> Fraction:
    """A temperature in degrees Fahrenheit: `68 F`, `20 C`. Raises Unreadable."""
    found = re.fullmatch(rf" *([-−]?)({NUMBER}) *°? *([FfCc]) *", text)
    if found is None:
        raise Unreadable(f"`{shown(text.strip())}` is no temperature", "write it as `68 F` or `20 C`")
    degrees = number_value(found[2]) * (-1 if found[1] else 1)
    return degrees if found[3].upper() == "F" else degrees * Fraction(9, 5) + 32


_VERBS = {"work": "begin", "dry": "dry", "recoat": "dry", "sand": "sand", "use": "use", "cure": "hard"}


def _table_lines(table: Timetable) -> list[Row]:
    lines = []
    day_before: date | None = None
    for entry in table.entries:
        day = entry.at.date()
        head = f"{entry.at:%a} {entry.at.day:>2} {entry.at:%b}" if day != day_before else ""
        clock = "" if entry.what == "cure" else f"{entry.at:%H:%M}"
        lines.append(Row(f"{head:10}  {clock:5}  {_VERBS[entry.what]:5}  ", entry.says))
        day_before = day
    return lines


def _hours_line(hours: Hours) -> str:
    return f"Work is begun from {hours.opens:%H:%M} to {hours.closes:%H:%M}; --hours changes that."


def _entry_data(entry: Entry) -> Data:
    return {
        "what": entry.what,
        "at": entry.at.isoformat(timespec="minutes"),
        "until": entry.until.isoformat(timespec="minutes") if entry.until else None,
        "says": entry.says,
        "source": entry.source or None,
    }


def _planned(work: Work) -> Written:
    entry: dict[str, Written] = {"did": work.did}
    if work.recoat is not None:
        entry["dries"] = write_time_taken(work.recoat.minutes)
    return entry
