"""A timetable as a calendar file (RFC 5545), which a phone or a desk calendar takes in.

Times have no zone: they are the shop's own clock, as the log's are. What is hard on a day is an entry of the whole day.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from hashlib import sha256

from icalendar import Calendar, Event

from flipbook import __version__
from flipbook.sums.timetable import Entry, Timetable

_WORDS = {
    "work": "Bench",
    "dry": "Dry",
    "sand": "May be sanded",
    "recoat": "Next coat",
    "use": "Light use",
    "cure": "Hard",
}


def calendar_of(table: Timetable, *, title: str, piece: str, made: datetime) -> bytes:
    """The calendar of a piece's timetable. `made` is the moment at which it is made, with its zone.

    An entry has the same name (UID) whenever the same step of the same piece is put down, so that a calendar which is
    taken in again changes its entries and doubles none.
    """
    calendar = Calendar()
    calendar.add("prodid", f"-//flipbook//flipbook {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    seen: dict[str, int] = {}
    for entry in table.entries:
        key = f"{piece}\n{entry.what}\n{entry.says}"
        seen[key] = seen.get(key, 0) + 1
        calendar.add_component(_event(entry, title, f"{key}\n{seen[key]}", made))
    return bytes(calendar.to_ical())


def _event(entry: Entry, title: str, key: str, made: datetime) -> Event:
    event = Event()
    event.add("uid", f"{sha256(key.encode()).hexdigest()[:32]}@flipbook")
    event.add("dtstamp", made.astimezone(UTC).replace(microsecond=0))
    if entry.what == "cure":
        event.add("dtstart", entry.at.date())
        event.add("dtend", entry.at.date() + timedelta(days=1))
    else:
        event.add("dtstart", entry.at)
        event.add("dtend", entry.until or entry.at + timedelta(minutes=15))
    event.add("summary", f"{_WORDS[entry.what]}: {title}: {entry.says}")
    if entry.source:
        event.add("description", f"{entry.source[0].upper()}{entry.source[1:]}. The label comes first.")
    event.add("transp", "OPAQUE" if entry.what == "work" else "TRANSPARENT")
    return event
