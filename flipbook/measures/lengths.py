"""Lengths and sizes of pieces: 30 1/2 in, 2 ft 6 in, 77.5 cm; 34 x 19 x 30 1/2 in."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from flipbook.measures.amounts import INCH, UNITS
from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.measures.rounding import half_up
from flipbook.measures.unreadable import Unreadable, shown

_UNITS = {
    "in": INCH, "inch": INCH, "inches": INCH, "in.": INCH, '"': INCH, "″": INCH, "”": INCH, "''": INCH,
    "ft": INCH * 12, "ft.": INCH * 12, "foot": INCH * 12, "feet": INCH * 12, "'": INCH * 12, "′": INCH * 12, "’": INCH * 12,
    "yd": UNITS["yd"].size, "mm": UNITS["mm"].size, "cm": UNITS["cm"].size, "m": UNITS["m"].size,
}  # fmt: skip
_FOOT = r"(?:ft\.?|foot|feet|['′’])"
_INCH = r"(?:inches|inch|in\.?|''|[\"″”])"
_ONE = re.compile(rf"({NUMBER}) *({'|'.join(sorted(map(re.escape, _UNITS), key=len, reverse=True))})")
_FEET = re.compile(rf"({NUMBER}) *{_FOOT}(?: *| *- *)({NUMBER}) *{_INCH}")
_FORMS = "write it with a unit, as `30 1/2 in`, `2 ft 6 in` or `77.5 cm`"


@dataclass(frozen=True, slots=True)
class Size:
    """The overall size of a piece, each measure in exact millimetres, in the order a buyer asks for."""

    width: Fraction
    depth: Fraction
    height: Fraction


def read_length(text: str) -> Fraction:
    """Exact millimetres.

    Raises Unreadable; a bare number is refused.
    """
    body = text.strip()
    feet = _FEET.fullmatch(body)
    one = _ONE.fullmatch(body)
    if feet is not None:
        length = number_value(feet[1]) * 12 * INCH + number_value(feet[2]) * INCH
    elif one is not None:
        length = number_value(one[1]) * _UNITS[one[2]]
    else:
        bare = re.fullmatch(NUMBER, body)
        raise Unreadable(f"`{shown(body)}` has no unit" if bare else f"`{shown(body)}` is not a length", _FORMS)
    if length == 0:
        raise Unreadable("a length of nothing", _FORMS)
    return length


_BETWEEN = re.compile(r" *(?:[x×X]|\bby\b) *")
_LETTER = re.compile(r"(?<![a-z])[wdh](?![a-z])", re.IGNORECASE)
_SIZE = "write width, depth and height, as `34 x 19 x 30 1/2 in` or `34 W x 19 D x 30 1/2 H in`"


def read_size(text: str) -> Size:
    """Width, depth and height; a unit after the last number is the unit of all three.

    Raises Unreadable.
    """
    parts = _BETWEEN.split(shown(text.strip(), 100))
    if len(parts) != 3:
        raise Unreadable(f"a size is three numbers, and this is {len(parts)}", _SIZE)
    letters, measures = [], []
    for part in parts:
        letters.append("".join(_LETTER.findall(part)).upper())
        measures.append(" ".join(_LETTER.sub(" ", part).split()))
    if any(letters) and sorted(letters) != ["D", "H", "W"]:
        raise Unreadable("the letters of a size are W, D and H, once each", _SIZE)
    last = _ONE.fullmatch(measures[2])
    if last is not None and all(re.fullmatch(NUMBER, m) for m in measures[:2]):
        measures = [f"{m} {last[2]}" for m in measures[:2]] + measures[2:]
    try:
        lengths = [read_length(measure) for measure in measures]
    except Unreadable as fault:
        raise Unreadable(fault.says, _SIZE) from None
    by_letter = dict(zip(letters if any(letters) else "WDH", lengths, strict=True))
    return Size(by_letter["W"], by_letter["D"], by_letter["H"])


def in_inches(length: Fraction) -> str:
    """To the nearest sixteenth, as a tape is read: `30 1/2`."""
    sixteenths = int(half_up(length / INCH * 16, 0))
    whole, rest = divmod(Fraction(sixteenths, 16), 1)
    return str(whole) if not rest else f"{whole} {rest}" if whole else str(rest)


def in_centimetres(length: Fraction) -> str:
    """To the nearest half centimetre, as a buyer reads a room: `77.5`."""
    return write_decimal(Fraction(half_up(length / 5, 0)) / 2, places=1)
