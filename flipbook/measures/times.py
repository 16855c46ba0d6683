"""Time taken and times to wait: 40 min, 1 h 15 min, 1.5 h, 1:15, 2 d."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.measures.rounding import half_up
from flipbook.measures.unreadable import Unreadable, shown

_MINUTES = {
    "min": 1, "mins": 1, "minute": 1, "minutes": 1,
    "h": 60, "hr": 60, "hrs": 60, "hour": 60, "hours": 60,
    "d": 1440, "day": 1440, "days": 1440,
}  # fmt: skip
_UNITS = "|".join(sorted(_MINUTES, key=len, reverse=True))
_END = "(?![A-Za-z])"
_PART = rf"{NUMBER} *(?:{_UNITS}){_END}"
_PARTS = re.compile(rf"({NUMBER}) *({_UNITS}){_END} *", re.IGNORECASE)
_CLOCK = re.compile(r"([0-9]{1,4}):([0-9]{2})")
TIME_TAKEN = rf"{_PART}(?: *{_PART}){{0,2}}"
_SPELL = re.compile(TIME_TAKEN, re.IGNORECASE)


@lru_cache(maxsize=4096)
def read_time_taken(text: str) -> Fraction:
    """Exact minutes; a day is 24 hours.

    Raises Unreadable; a bare number has no unit and is refused.
    """
    body = text.strip()
    clock = _CLOCK.fullmatch(body)
    if clock is not None and int(clock[2]) < 60:
        minutes = Fraction(int(clock[1]) * 60 + int(clock[2]))
    elif _SPELL.fullmatch(body):
        minutes = _sum_of_parts(body)
    elif re.fullmatch(NUMBER, body):
        raise Unreadable(f"`{body}` has no unit", f"write `{body} min` or `{body} h`")
    elif body.startswith(("-", "−")):
        raise Unreadable("time taken is not negative", "write it as `40 min`")
    else:
        raise Unreadable(
            f"`{shown(body)}` is not a time taken", "write it as `40 min`, `1 h 15 min`, `1.5 h`, `1:15` or `2 d`"
        )
    if minutes == 0:
        raise Unreadable("no time at all", "leave it out when no time is to be counted")
    return minutes


def _sum_of_parts(body: str) -> Fraction:
    minutes = Fraction(0)
    before = None
    for number, unit in _PARTS.findall(body):
        size = _MINUTES[unit.lower()]
        if before is not None and size >= before:
            raise Unreadable("the parts of a time go from the greatest to the least", "write it as `1 h 15 min`")
        minutes += number_value(number) * size
        before = size
    return minutes


def write_time_taken(minutes: Fraction) -> str:
    """Minutes, to the tenth, for a reader: `40 min`, `1 h 15 min`, `2 d`."""
    minutes = Fraction(half_up(minutes, 1))
    if minutes >= 1440 and minutes % 1440 == 0:
        return f"{minutes // 1440} d"
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    if rest or not hours:
        parts.append(f"{write_decimal(rest, places=1)} min")
    return " ".join(parts)
