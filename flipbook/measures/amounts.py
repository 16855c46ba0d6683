"""Amounts of material: a number and a unit, exactly convertible within one dimension.

Volumes and weights are US customary. Inch, pound and gallon are the definitions of NIST Handbook 44,
Appendix C (1 in = 25.4 mm, 1 lb = 453.592 37 g, 1 gal = 231 cu in); every other figure is worked from them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache
from typing import Final

from flipbook.measures.numerals import NUMBER, number_value, write_decimal, write_number
from flipbook.measures.unreadable import Unreadable, shown

INCH: Final = Fraction("25.4")
POUND: Final = Fraction("453.59237")
GALLON: Final = 231 * INCH**3 / 1000


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: its name, its dimension, and its size in that dimension's base (ml, g, mm, sq mm, one)."""

    name: str
    dimension: str
    size: Fraction

    def __str__(self) -> str:
        return self.name


UNITS: Final = {
    unit.name: unit
    for unit in (
        Unit("fl oz", "volume", GALLON / 128),
        Unit("cup", "volume", GALLON / 16),
        Unit("pint", "volume", GALLON / 8),
        Unit("quart", "volume", GALLON / 4),
        Unit("gallon", "volume", GALLON),
        Unit("ml", "volume", Fraction(1)),
        Unit("l", "volume", Fraction(1000)),
        Unit("oz", "weight", POUND / 16),
        Unit("lb", "weight", POUND),
        Unit("g", "weight", Fraction(1)),
        Unit("kg", "weight", Fraction(1000)),
        Unit("in", "length", INCH),
        Unit("ft", "length", INCH * 12),
        Unit("yd", "length", INCH * 36),
        Unit("mm", "length", Fraction(1)),
        Unit("cm", "length", Fraction(10)),
        Unit("m", "length", Fraction(1000)),
        Unit("sq ft", "area", (INCH * 12) ** 2),
        Unit("sq in", "area", INCH**2),
        Unit("sq m", "area", Fraction(1000) ** 2),
        Unit("sheet", "sheets", Fraction(1)),
        Unit("each", "count", Fraction(1)),
    )
}
EACH: Final = UNITS["each"]

_SPELLINGS: Final = {
    "fl ozs": "fl oz", "cups": "cup", "pints": "pint", "quarts": "quart", "gallons": "gallon",
    "litre": "l", "litres": "l", "liter": "l", "liters": "l",
    "ozs": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb", "gram": "g", "grams": "g", "kgs": "kg",
    "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "yard": "yd", "yards": "yd", "yds": "yd",
    "fluid ounce": "fl oz", "fluid ounces": "fl oz", "gal": "gallon", "qt": "quart", "pt": "pint",
    "millilitre": "ml", "millilitres": "ml", "milliliter": "ml", "milliliters": "ml",
    "ounce": "oz", "ounces": "oz", "kilogram": "kg", "kilograms": "kg",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "sq foot": "sq ft", "sq feet": "sq ft", "sq inch": "sq in", "sq inches": "sq in",
    "square foot": "sq ft", "square feet": "sq ft", "square inch": "sq in", "square inches": "sq in",
    "sq metre": "sq m", "sq metres": "sq m", "square metre": "sq m", "square metres": "sq m", "sheets": "sheet",
}  # fmt: skip
UNIT_WORDS: Final = {**UNITS, **{spelling: UNITS[name] for spelling, name in _SPELLINGS.items()}}

_WORDS = "|".join(re.escape(word).replace(r"\ ", " +") for word in sorted(UNIT_WORDS, key=len, reverse=True))
AMOUNT: Final = rf"({NUMBER}) *({_WORDS})(?![\w'-])"
_AMOUNT = re.compile(AMOUNT, re.IGNORECASE)
_UNIT = re.compile(rf"({_WORDS})(?![\w'-])", re.IGNORECASE)
_KNOWN = "fl oz, cup, pint, quart, gallon, ml, l, oz, lb, g, kg, in, ft, yd, mm, cm, m, sq ft, sq in, sq m, sheet, each"


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of some unit, exact."""

    number: Fraction
    unit: Unit

    def in_unit(self, unit: Unit) -> Fraction:
        """How many of `unit` this is. Raises ValueError when the dimensions differ."""
        if unit.dimension != self.unit.dimension:
            raise ValueError(f"{self.unit} and {unit} measure different things")
        return self.number * self.unit.size / unit.size

    def times(self, factor: Fraction | int) -> Amount:
        """This amount `factor` times over."""
        return Amount(self.number * factor, self.unit)

    def __str__(self) -> str:
        many = self.number > 1 and self.unit.name in ("cup", "pint", "quart", "gallon", "sheet")
        return f"{write_number(self.number)} {self.unit.name}{'s' if many else ''}"

    def in_decimals(self, places: int = 4) -> str:
        """The number alone, in decimals, for a table whose heading names the unit."""
        return write_decimal(self.number, places=places)


def unit_named(words: str) -> Unit | None:
    """The unit of that name or spelling, or None."""
    return UNIT_WORDS.get(" ".join(words.lower().split()))


@lru_cache(maxsize=4096)
def read_amount(text: str, *, zero: bool = False) -> Amount:
    """The amount that `text` states: `4 fl oz`, `1 1/2 cup`, `2 sheets`.

    Raises Unreadable for a number without a unit, an unknown unit, or nothing (unless `zero`).
    """
    body = text.strip()
    found = _AMOUNT.fullmatch(body)
    if found is None:
        raise _refusal(body)
    number = number_value(found[1])
    if number == 0 and not zero:
        raise Unreadable("nothing is no amount", "write a number greater than 0")
    unit = unit_named(found[2])
    assert unit is not None  # the pattern is made of these very words
    return Amount(number, unit)


def leading_amount(text: str) -> tuple[Amount, str] | None:
    """The amount at the start of `text` and the words after it, or None when it starts otherwise."""
    found = _AMOUNT.match(text)
    if found is None:
        return None
    unit = unit_named(found[2])
    assert unit is not None
    return Amount(number_value(found[1]), unit), text[found.end() :].strip()


def leading_unit(text: str) -> tuple[Unit, str] | None:
    """The unit at the start of `text` and the words after it, or None when it starts otherwise."""
    found = _UNIT.match(text)
    unit = unit_named(found[1]) if found else None
    return (unit, text[found.end() :].strip()) if found and unit else None


def leading_number(text: str) -> tuple[Fraction, str] | None:
    """The number at the start of `text` and the words after it, or None when it starts otherwise."""
    found = re.match(NUMBER, text)
    return None if found is None else (number_value(found[0]), text[found.end() :].strip())


def _refusal(body: str) -> Unreadable:
    number = re.match(rf"({NUMBER}) *", body)
    if not body or body[0] in "-−":
        return Unreadable("an amount is not negative", "write a number and a unit, as `4 fl oz`")
    if number is None:
        return Unreadable(
            f"`{shown(body)}` is not an amount", "write a number and a unit, as `4 fl oz`, `1/2 pint` or `2 each`"
        )
    unit = body[number.end() :]
    if not unit:
        return Unreadable(f"`{body}` has no unit", f"write it with one, as `{body} fl oz` or `{body} each`")
    near = get_close_matches(unit.lower()[:20], UNIT_WORDS, n=1, cutoff=0.75)
    write = f"write `{number[1]} {UNIT_WORDS[near[0]]}`" if near else f"write one of {_KNOWN}"
    return Unreadable(f"`{shown(unit)}` is not a unit", write, (number.end(), len(body)))


_COVERS = re.compile(rf"{AMOUNT} +per +(?:({NUMBER}) *)?({_WORDS})", re.IGNORECASE)


def read_coverage(text: str) -> tuple[Amount, Amount]:
    """What an amount of product covers: `75 sq ft per pint` is an area and the amount that covers it.

    Raises Unreadable.
    """
    found = _COVERS.fullmatch(text.strip())
    if found is not None:
        area = Amount(number_value(found[1]), UNIT_WORDS[" ".join(found[2].lower().split())])
        product = Amount(number_value(found[3] or "1"), UNIT_WORDS[" ".join(found[4].lower().split())])
        if area.unit.dimension == "area" != product.unit.dimension and area.number and product.number:
            return area, product
    raise Unreadable(f"`{shown(text.strip())}` is not a coverage", "write it as `75 sq ft per pint`")
