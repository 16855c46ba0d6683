"""Days, and the time of a day where it helps: 2026-02-14, 2026-02-14 15:30; and as they are said: yesterday, -2d."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from functools import lru_cache
from typing import NamedTuple

from flipbook.measures.unreadable import Unreadable, shown


class When(NamedTuple):
    """A day, and a time of that day when one was written."""

    day: date
    clock: time | None = None


DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
CLOCK = r"[0-9]{1,2}:[0-9]{2}"
_WHEN = re.compile(rf"({DAY})(?: +({CLOCK}))?")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FORM = "write the year first, as `2026-02-14`"


@lru_cache(maxsize=4096)
def read_when(text: str) -> When:
    """The day that `text` names, and its time of day when given.

    Raises Unreadable, with the right form of the day where it can be told.
    """
    body = text.strip()
    found = _WHEN.fullmatch(body)
    if found is None:
        raise Unreadable(f"`{shown(body)}` is not a date", _right_form(body))
    day, clock = found.groups()
    return When(_day(day), _clock(clock, found.start(2)) if clock else None)


def _day(text: str) -> date:
    year, month, day = (int(part) for part in text.split("-"))
    if not 1900 <= year <= 2100:
        raise Unreadable(f"the year {year} is out of range", "write a year from 1900 to 2100", (0, 4))
    try:
        return date(year, month, day)
    except ValueError:
        raise Unreadable(f"there is no such day as {text}", "check the month and the day", (5, 10)) from None


def _clock(text: str, at: int) -> time:
    hour, minute = (int(part) for part in text.split(":"))
    if hour > 23 or minute > 59:
        raise Unreadable(f"there is no such time as {text}", "write it from 0:00 to 23:59", (at, at + len(text)))
    return time(hour, minute)


_AGO = r"today|(yesterday)|[-−] ?([0-9]{1,4}) ?d(?:ays?)?|([0-9]{1,4}) ?d(?:ays?)? ago"
_SAID = re.compile(rf"(?:(?:{_AGO})(?: ({CLOCK}))?|({CLOCK}))")
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SAY = "write `today`, `yesterday`, `-2d` or a date, as `2026-02-14`"


def read_day_said(text: str, today: date) -> When:
    """The day that a person names at the bench, and its time of day when given, as seen from `today`.

    Takes `today`, `yesterday`, `-2d` or `2d ago`, each with a time after it where that helps; a time alone,
    `15:30`, which is today's; and all that `read_when` takes. Raises Unreadable.
    """
    body = " ".join(text.lower().split())
    if not body:
        raise Unreadable("no day was said", _SAY)
    found = _SAID.fullmatch(body)
    if found is not None:
        yesterday, minus, ago, clock, clock_alone = found.groups()
        back = timedelta(days=1 if yesterday else int(minus or ago or 0))
        if today.toordinal() - back.days < date(1900, 1, 1).toordinal():
            raise Unreadable(f"`{shown(body)}` is before the year 1900", _SAY)
        time_said = clock or clock_alone
        return When(today - back, _clock(time_said, body.rfind(time_said)) if time_said else None)
    try:
        return read_when(" ".join(text.split()))
    except Unreadable as fault:
        raise Unreadable(
            fault.says, _as_said(body, today) if fault.write == _FORM else fault.write, fault.span
        ) from None


def _as_said(body: str, today: date) -> str:
    """What to say for a day in other words; for a day of the week, the date of the last one."""
    name = body.removeprefix("last ")
    for number, weekday in enumerate(_WEEKDAYS):
        if len(name) >= 3 and weekday.startswith(name):
            last = today - timedelta(days=(today.weekday() - number - 1) % 7 + 1)
            return f"write `{last}` for the last one"
    return _SAY


def _right_form(text: str) -> str:
    """What to write for a day in another form: one answer where there is one, else both."""
    stamp = re.fullmatch(rf"({DAY})[T ]+({CLOCK})(?::[0-9]{{2}})?(?:\.[0-9]+)?Z?", text)
    if stamp is not None:
        return f"write `{stamp[1]} {stamp[2]}`"
    groups = re.findall(r"[0-9]+|[a-z]+", text.lower())
    months = [_MONTHS.index(word[:3]) + 1 for word in groups if word[:3] in _MONTHS]
    numbers = [int(word) for word in groups if word.isdigit() and len(word) <= 4]
    candidates: list[tuple[int, int, int]] = []
    if len(months) == 1 and len(numbers) == 2:
        day, year = sorted(numbers)
        candidates = [(year, months[0], day)]
    elif len(numbers) == 3 and len(groups) == 3:
        first, second, third = numbers
        year_first, year_last = [(first, second, third)], [(third, first, second), (third, second, first)]
        candidates = year_first if first > 31 else year_last
        if third <= 31 and first <= 31 and "-" in text:
            candidates = [*year_first, *year_last]
    right = []
    for year, month, day in candidates:
        whole_year = year + 2000 if year < 100 else year
        try:
            form = date(whole_year, month, day).isoformat()
        except ValueError:
            continue
        if 1900 <= whole_year <= 2100:
            right.append(form)
    if not right:
        return _FORM
    return "write " + " or ".join(f"`{form}`" for form in dict.fromkeys(right))


_MONTH_DAY = re.compile(r"([0-9]{2})-([0-9]{2})")


def read_month_day(text: str) -> tuple[int, int]:
    """The month and day on which a year of the shop's own starts: `04-06`.

    Raises Unreadable; 02-29 is refused, since most years lack it.
    """
    found = _MONTH_DAY.fullmatch(text.strip())
    if found is not None:
        month, day = int(found[1]), int(found[2])
        try:
            date(2025, month, day)
        except ValueError:
            pass
        else:
            return month, day
    raise Unreadable(f"`{shown(text)}` is not a day of every year", "write month and day, as `01-01` or `04-06`")
