"""A small outline of a piece, drawn to scale between a person and a door, so that a buyer sees how large it is.

The front is drawn as a box of the piece's width and height; two slanting edges hint at its depth. The floor is one line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Size, in_centimetres, in_inches
from flipbook.measures.rounding import half_up

# Interior doors in the US are sold 80 in high, and 30 in is among the usual widths (sellers' and builders' pages agree;
# common practice, no source of more weight). The person is of no measured population: common practice.
DOOR_WIDTH, DOOR_HEIGHT = 30 * INCH, 80 * INCH
PERSON_HEIGHT = 66 * INCH

# The drawing's own units; a letter is LETTER of them high.
WIDTH, HEIGHT, LETTER = 360, 220, 11
_FLOOR, _TOP = 186, 8
_LEFT, _RIGHT, _GAP = 6, 6, 16
# The narrowest room that a thing takes, so that the words below it have theirs; a letter is at most so wide on average.
_WORDS_OF_A_THING, _MOST_WORDS, _LETTER_WIDTH = 52, 200, 6
# The depth as it is seen: a quarter of it, to the right and up.
_SLANT = Fraction(1, 4)
# A standing figure in hundredths of its height, from the middle of its feet, up: half of it, the right side.
_BODY = ((3, 0), (8, 0), (9, 22), (9, 46), (12, 48), (12, 76), (10, 81), (4, 83))
_PERSON_WIDTH = PERSON_HEIGHT * 24 / 100
_HEAD_AT, _HEAD = Fraction(93, 100), Fraction(7, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOfWords:
    """A line of words in the drawing: the point on its baseline where its middle stands."""

    x: str
    y: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A drawing as SVG has it: each part the data of a path, every coordinate a text with one decimal."""

    width: int
    height: int
    letter: int
    floor: str
    piece: str
    door: str
    person: str
    words: tuple[LineOfWords, ...]
    label: str
    """The drawing in words, for those who do not see it."""


def outline(size: Size | None) -> Outline | None:
    """The drawing of a piece of that size, exact millimetres; None when there is no size."""
    if size is None or min(size.width, size.depth, size.height) <= 0:
        return None
    inches = [in_inches(side) for side in (size.width, size.depth, size.height)]
    told = (f"{inches[0]} W x {inches[1]} D", f"x {inches[2]} H in")
    words = min(max(map(len, told)) * _LETTER_WIDTH, _MOST_WORDS)
    slant = size.depth * _SLANT
    scale = _scale(size.width + slant, size.height + slant, words)
    person, door = _PERSON_WIDTH * scale, DOOR_WIDTH * scale
    wide, deep, high = size.width * scale, slant * scale, size.height * scale
    rooms = (
        max(person, Fraction(_WORDS_OF_A_THING)),
        max(wide + deep, Fraction(words)),
        max(door, Fraction(_WORDS_OF_A_THING)),
    )
    # What the drawing does not fill is left at both its ends alike.
    start = _LEFT + Fraction(WIDTH - _LEFT - _RIGHT - 2 * _GAP - sum(rooms, Fraction(0))) / 2
    at_person = start + rooms[0] / 2
    at_piece = start + rooms[0] + _GAP + rooms[1] / 2
    at_door = start + rooms[0] + rooms[1] + 2 * _GAP + rooms[2] / 2
    return Outline(
        width=WIDTH,
        height=HEIGHT,
        letter=LETTER,
        floor=_lines([[(Fraction(_LEFT), Fraction(0)), (Fraction(WIDTH - _RIGHT), Fraction(0))]], closed=False),
        piece=_box(at_piece - (wide + deep) / 2, wide, high, deep),
        door=_door(at_door - door / 2, door, DOOR_HEIGHT * scale),
        person=_person(at_person, PERSON_HEIGHT * scale),
        words=(
            *_below(at_person, "person", f"{in_inches(PERSON_HEIGHT)} in"),
            *_below(at_piece, *told),
            *_below(at_door, "door", f"{in_inches(DOOR_HEIGHT)} in"),
        ),
        label=_label(size, inches),
    )


def _scale(wide: Fraction, high: Fraction, words_of_it: int) -> Fraction:
    """Units to a millimetre, the most at which all fits.

    The rooms add up to the most of all sums that take each room's drawing or its words, so every such sum must fit.
    """
    room = WIDTH - _LEFT - _RIGHT - 2 * _GAP
    scales = [Fraction(_FLOOR - _TOP) / max(high, DOOR_HEIGHT)]
    things = ((wide, words_of_it), (DOOR_WIDTH, _WORDS_OF_A_THING), (_PERSON_WIDTH, _WORDS_OF_A_THING))
    for drawn in product((True, False), repeat=len(things)):
        length = sum((width for (width, _), is_drawn in zip(things, drawn, strict=True) if is_drawn), Fraction(0))
        words = sum(least for (_, least), is_drawn in zip(things, drawn, strict=True) if not is_drawn)
        if length:
            scales.append(Fraction(room - words) / length)
    return min(scales)


_Point = tuple[Fraction, Fraction]


def _lines(shapes: Iterable[Iterable[_Point]], *, closed: bool = True) -> str:
    """Points from the left, up from the floor, as path data; each shape is closed."""
    ending = "z" if closed else ""
    return "".join(f"M{'L'.join(f'{_at(x)} {_at(_FLOOR - up)}' for x, up in shape)}{ending}" for shape in shapes)


def _box(left: Fraction, wide: Fraction, high: Fraction, deep: Fraction) -> str:
    """The front, with the top and the right side slanting back."""
    right, back, none = left + wide, left + wide + deep, Fraction(0)
    front = [(left, none), (right, none), (right, high), (left, high)]
    top = [(left, high), (left + deep, high + deep), (back, high + deep), (right, high)]
    side = [(right, none), (back, deep), (back, high + deep), (right, high)]
    return _lines([front, top, side])


def _door(left: Fraction, wide: Fraction, high: Fraction) -> str:
    """A leaf with its knob, 36 in up, as a short line."""
    knob, up = left + wide * Fraction(88, 100), high * Fraction(36, 80)
    leaf = [(left, Fraction(0)), (left, high), (left + wide, high), (left + wide, Fraction(0))]
    return _lines([leaf]) + _lines([[(knob, up), (knob, up - high / 40)]], closed=False)


def _person(middle: Fraction, high: Fraction) -> str:
    half = [(Fraction(aside) * high / 100, Fraction(up) * high / 100) for aside, up in _BODY]
    body = [(middle + x, up) for x, up in half] + [(middle - x, up) for x, up in reversed(half)]
    radius, head = _HEAD * high, _at(_FLOOR - _HEAD_AT * high)
    arc = f"A{_at(radius)} {_at(radius)} 0 1 1 "
    return f"{_lines([body])}M{_at(middle - radius)} {head}{arc}{_at(middle + radius)} {head}{arc}{_at(middle - radius)} {head}z"


def _below(middle: Fraction, *lines: str) -> Iterable[LineOfWords]:
    """Lines of words under the floor."""
    for number, text in enumerate(lines, 1):
        yield LineOfWords(x=_at(middle), y=_at(Fraction(_FLOOR + 1 + number * (LETTER + 3))), text=text)


def _at(value: Fraction) -> str:
    return str(half_up(value, 1))


def _label(size: Size, inches: list[str]) -> str:
    """All that is drawn, in a sentence."""
    metric = " x ".join(in_centimetres(side) for side in (size.width, size.depth, size.height))
    return (
        f"Drawn to scale: the piece, {inches[0]} in wide, {inches[1]} in deep and {inches[2]} in high ({metric} cm), "
        f"between a person of {in_inches(PERSON_HEIGHT)} in and a door of {in_inches(DOOR_HEIGHT)} in."
    )
