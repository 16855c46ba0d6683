"""Lengths and sizes of pieces: 30 1/2 in, 2 ft 6 in, 77.5 cm; 34 x 19 x 30 1/2 in."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from flipbook.measures.amounts import INCH, UNITS
from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.measures.rounding import half_up, half_up_ratio
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


LONGEST = Fraction(100_000)
"""No length at the bench is over 100 m; a roll of cloth is some 50."""

TAPE_PARTS = (1, 2, 4, 8, 16, 32, 64)

Tell = Callable[[Fraction], str]
"""How a length is told in a sentence."""


def bench_length(what: str, length: Fraction, *, zero: bool = False) -> Fraction:
    """`length`, in exact millimetres, when it is one that can be cut; `what` is its name in a sentence.

    Raises Unreadable for less than nothing, for over 100 m, and for nothing unless `zero` allows it.
    """
    if length < 0 or (length == 0 and not zero):
        least = "0 or more" if zero else "more than 0"
        raise Unreadable(f"{what} is {'nothing' if length == 0 else 'less than nothing'}", f"write a length of {least}")
    if length > LONGEST:
        raise Unreadable(f"{what} is over 100 m", "check the figure and its unit")
    return length


@dataclass(frozen=True, slots=True)
class OnTape:
    """The mark of a tape nearest to a length.

    `error` is the mark less the true length, in exact millimetres: over nothing, the mark is too long.
    """

    mark: str
    error: Fraction

    def __str__(self) -> str:
        if not self.error:
            return self.mark
        inches = abs(self.error) / INCH
        off = "less than 0.001 in" if inches < Fraction(1, 2000) else f"{write_decimal(inches, places=3)} in"
        return f"{self.mark} ({off} {'over' if self.error > 0 else 'under'})"


def on_tape(length: Fraction, *, parts: int = 16) -> OnTape:
    """The nearest mark of a tape that parts the inch into `parts`, a half going away from zero.

    >>> str(on_tape(Fraction(96))), str(on_tape(Fraction("76.2"), parts=32))
    ('3 3/4 in (0.03 in under)', '3 in')
    """
    if parts not in TAPE_PARTS:
        raise Unreadable(f"no tape parts the inch into {parts}", "write 16, 32 or 64")
    marks = Fraction(half_up_ratio(*(length / INCH * parts).as_integer_ratio()), parts)
    whole, rest = divmod(abs(marks), 1)
    text = str(whole) if not rest else f"{whole} {rest}" if whole else str(rest)
    return OnTape(f"{'−' if marks < 0 else ''}{text} in", marks * INCH - length)


def tell_inches(length: Fraction) -> str:
    """A length in a sentence: exact when a tape has its mark, else to the nearest 1/32 in, and how far that is off."""
    inches = length / INCH
    return str(on_tape(length, parts=64 if 64 % inches.denominator == 0 else 32))


def tell_millimetres(length: Fraction) -> str:
    """A length in a sentence, to the tenth of a millimetre: `774.7 mm`."""
    return f"{write_decimal(length, places=1)} mm"


def tell_decimal_inches(length: Fraction) -> str:
    """A length in a sentence, to the thousandth of an inch: `30.488 in`."""
    return f"{write_decimal(length / INCH, places=3)} in"
