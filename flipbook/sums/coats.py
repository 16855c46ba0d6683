"""Coats: how large a piece is to the brush, how much paint that takes, and what is to be bought beside the shelf.

A case is reckoned from its overall size, as flat faces; parts with sizes of their own (drawers inside, shelves, doors,
legs) are added by name. A coverage is of one coat. Waste is added on top; what a spray gun loses divides: an
amount / (1 - loss). All that is usual here is common practice where no source is named, and the label comes first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import ceil
from typing import Final

from flipbook.measures.amounts import UNITS, Amount, Unit
from flipbook.measures.lengths import Size, Tell, bench_length, read_length, tell_inches
from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.mixing import tell_amount
from flipbook.trade.kinds import ProductKind

WASTE: Final = Fraction(1, 10)
"""By brush or foam roller: common practice, no source."""
PANELLED: Final = Fraction(6, 5)
"""A panelled or carved face over its flat outline, from 1.15 to 1.25: common practice, no source."""
MOST_COATS: Final = 20
_MOST_PARTS: Final = 40
_PI: Final = Fraction("3.14159265358979")
_FOOT: Final = UNITS["sq ft"].size
_SPREAD_LIMITS: Final = (Fraction(20), Fraction(2000))

CASE: Final = ("top", "sides", "front")
"""What of a case is painted when nothing else is said: its back and underside stay bare."""
FACES: Final = ("top", "sides", "side", "front", "back", "underside")
SIZED: Final = ("drawers", "shelves", "doors", "boards", "legs", "round legs", "round tops")


@dataclass(frozen=True, kw_only=True, slots=True)
class Face:
    """A part of a piece to be coated, in exact square millimetres, and how that was reckoned."""

    name: str
    area: Fraction
    reckoned: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """What one base unit of a product covers in one coat, in sq mm to the ml or to the g, least and most; and who says so."""

    least: Fraction
    most: Fraction
    dimension: str
    source: str

    @property
    def is_one(self) -> bool:
        return self.least == self.most


@dataclass(frozen=True, kw_only=True, slots=True)
class Needed:
    """How much of a product so many coats take: `most` where its coverage is a range and it covers least."""

    least: Amount
    most: Amount
    coats: int
    working: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ToBuy:
    """What the shelf has of a product, what is short, and how many containers that is; None where none is known."""

    left: Amount
    short: Amount
    container: str
    size: Amount | None
    number: int | None


def area_of(faces: Sequence[Face]) -> Fraction:
    """The faces together, in square millimetres."""
    return sum((face.area for face in faces), Fraction(0))


def read_faces(text: str, size: Size | None, *, tell: Tell = tell_inches) -> tuple[Face, ...]:
    """The parts to be coated: `top, sides, front, drawers 4 at 28 x 14 x 5 in, doors 2 at 15 x 24 in both faces`.

    Faces named alone (top, sides, side, front, back, underside) come from the piece's own size. `drawers` are their
    insides, by width, depth and height; `shelves`, `doors` and `boards` by two lengths, one face each unless it says
    `both faces`; `legs` by two sides and a height, `round legs` and `round tops` by a diameter. `panelled` adds a
    fifth. `no front` leaves one out; nothing, or only what is left out, stands for top, sides and front.

    Raises Unreadable.
    """
    pieces = [" ".join(piece.split()) for piece in re.split("[,;]", text) if piece.strip()]
    if len(pieces) > _MOST_PARTS:
        raise Unreadable(f"those are over {_MOST_PARTS} parts", "reckon the piece in two")
    without = [_left_out(piece) for piece in pieces]
    named = [piece for piece, left_out in zip(pieces, without, strict=True) if left_out is None]
    left_out = {name for name in without if name is not None}
    if not named or named[0].casefold() == "all":
        named = [*(CASE if not named else ("top", "sides", "front", "back", "underside")), *named[1:]]
    faces = [_face(piece, size, tell) for piece in named if not left_out & set(_face_names(piece))]
    if not faces:
        raise Unreadable("nothing is left to coat", "leave fewer parts out")
    names = [face.name for face in faces]
    twice = next((name for name in names if names.count(name) > 1 and name in FACES), None)
    if twice is not None:
        raise Unreadable(f"`{twice}` is named twice", "name it once, with `both faces` for both of its faces")
    return tuple(faces)


def read_lengths(said: str, whole: str, number: int) -> list[Fraction]:
    """So many lengths, `28 x 14 x 5 in`, in exact mm; a unit after the last is the unit of those without one.

    `whole` is what was said around them, for the sentence. Raises Unreadable.
    """
    parts = re.split(r" *(?:[x×X]|\bby\b) *", said.strip())
    if len(parts) != number:
        wanted = {1: "one length", 2: "two lengths", 3: "three lengths"}[number]
        raise Unreadable(
            f"`{shown(whole)}` has {_many(len(parts), 'length')}, and {wanted} are wanted",
            f"write them as `{' x '.join(('28', '14', '5')[:number])} in`",
        )
    unit = re.sub(rf"^{NUMBER} *", "", parts[-1])
    return [
        bench_length("a length", read_length(f"{part} {unit}" if re.fullmatch(NUMBER, part) and unit else part))
        for part in parts
    ]


def label_spread(coverage: tuple[Amount, Amount], source: str) -> Spread:
    """What a label says, `75 sq ft per pint`, as a spread.

    Raises Unreadable for a coverage by neither volume nor weight, and for one that no paint has.
    """
    area, product = coverage
    dimension = product.unit.dimension
    if dimension not in ("volume", "weight"):
        raise Unreadable(f"a coverage by {dimension} can't be reckoned", "write it as `75 sq ft per pint`")
    spread = area.in_unit(UNITS["sq ft"]) / _base_of(product) * _FOOT
    per_gallon = spread / _FOOT * UNITS["gallon" if dimension == "volume" else "lb"].size
    if dimension == "volume" and not _SPREAD_LIMITS[0] <= per_gallon <= _SPREAD_LIMITS[1]:
        raise Unreadable(
            f"{area} per {product} is {write_decimal(per_gallon, places=1)} sq ft to the gallon, which no paint covers",
            "check the coverage and its units; paints cover some 150 to 500 sq ft to the gallon",
        )
    return Spread(least=spread, most=spread, dimension=dimension, source=source)


def usual_spread(kind: ProductKind) -> Spread | None:
    """What is usual for a kind of product; None where nothing is."""
    if kind.covers is None:
        return None
    unit = UNITS["lb" if kind.by_weight else "gallon"]
    return Spread(
        least=kind.covers.least * _FOOT / unit.size,
        most=kind.covers.most * _FOOT / unit.size,
        dimension=unit.dimension,
        source=f"usual for {kind.name}: {kind.covers_source}",
    )


def paint_needed(
    faces: Sequence[Face],
    *,
    coats: int,
    spread: Spread,
    unit: Unit,
    waste: Fraction = WASTE,
    loss: Fraction = Fraction(0),
) -> Needed:
    """How much so many coats take, in `unit`.

    `waste` is a share on top (brush, roller, pot); `loss` is the share that a spray gun does not bring to the piece.

    Raises Unreadable for coats that can't be, a waste over the paint itself, a loss of all, and a unit of another
    dimension than the coverage's.
    """
    if not 1 <= coats <= MOST_COATS:
        raise Unreadable(f"{coats} coats can't be reckoned", f"write a number from 1 to {MOST_COATS}")
    if not 0 <= waste <= 1:
        raise Unreadable("a waste is from 0% to 100%", "write it as `10%`")
    if not 0 <= loss < Fraction(19, 20):
        raise Unreadable("a spraying loss is from 0% to under 95%", "write it as `50%`")
    if unit.dimension != spread.dimension:
        raise Unreadable(
            f"the coverage is by {spread.dimension}, and {unit} is a {unit.dimension}",
            f"say the coverage by {unit.dimension}, as `75 sq ft per {unit}`",
        )
    area = area_of(faces)
    arrives = 1 - loss
    amounts = [
        Amount(area * coats / each * (1 + waste) / arrives / unit.size, unit) for each in (spread.most, spread.least)
    ]
    lost = f" / {write_decimal(arrives, places=2)} that arrives" if loss else ""
    added = f" x {write_decimal(1 + waste, places=2)}" if waste else ""
    return Needed(
        least=amounts[0],
        most=amounts[1],
        coats=coats,
        working=(
            f"{_feet(area)} x {_many(coats, 'coat')} / {_told(spread, unit)}{added}{lost} = {_between(amounts)}.",
            f"Coverage is of one coat ({spread.source}).",
        ),
    )


def to_buy(needed: Amount, left: Amount, container: str, size: Amount | None) -> ToBuy:
    """What is short beside what the shelf has, rounded up to whole containers of `size`; all in one dimension."""
    have = left.in_unit(needed.unit)
    short = Amount(max(Fraction(0), needed.number - have), needed.unit)
    number = ceil(short.number / size.in_unit(needed.unit)) if size is not None else None
    return ToBuy(
        left=Amount(have, needed.unit), short=short, container=container or "container", size=size, number=number
    )


def buying_line(product: str, buy: ToBuy) -> str:
    """A sentence about the shelf and what to buy."""
    there = f"On the shelf: {tell_amount(buy.left)} of {product}"
    if not buy.short.number:
        return f"{there}, enough."
    if buy.number is None or buy.size is None:
        return f"{there}, short by {tell_amount(buy.short)}."
    whole = f"{buy.container}s" if buy.number != 1 and not buy.container.endswith("s") else buy.container
    return f"{there}, short by {tell_amount(buy.short)}: buy {buy.number} {whole} of {tell_amount(buy.size)}."


def _left_out(piece: str) -> str | None:
    found = re.fullmatch(r"(?:no|without(?: the)?|not(?: the)?) (.+)", piece, re.IGNORECASE)
    return None if found is None else _known(found[1].casefold(), FACES)


def _face_names(piece: str) -> Iterable[str]:
    words = piece.casefold()
    return [name for name in FACES if words == name or words.startswith(f"{name} ")]


def _known(word: str, known: Sequence[str]) -> str:
    said = {"bottom": "underside", "drawer": "drawers", "shelf": "shelves", "door": "doors", "board": "boards",
            "leg": "legs", "round leg": "round legs", "round top": "round tops"}.get(word, word)  # fmt: skip
    if said in known:
        return said
    near = get_close_matches(said[:40], known, n=1, cutoff=0.6)
    raise Unreadable(
        f"`{shown(word)}` is no part known here", f"write `{near[0]}`" if near else f"write one of {', '.join(known)}"
    )


_PIECE = re.compile(
    rf"(?P<name>[a-z][a-z ]*?)(?: (?P<number>[0-9]{{1,3}}))?(?: at (?P<size>{NUMBER}.*?))?(?P<panelled>,? (?:panelled|carved))?(?P<both>,? both (?:faces|sides))?",
    re.IGNORECASE,
)


def _face(piece: str, size: Size | None, tell: Tell) -> Face:
    found = _PIECE.fullmatch(piece)
    if found is None:
        raise Unreadable(f"`{shown(piece)}` is no part to coat", "write it as `sides` or `doors 2 at 15 x 24 in`")
    name = _known(found["name"].casefold().strip(), (*FACES, *SIZED))
    is_panelled, both = bool(found["panelled"]), bool(found["both"])
    if name in FACES and found["size"] is None:
        if found["number"]:
            raise Unreadable(f"`{shown(piece)}` is counted, and the piece has its own", f"write `{name}`")
        area, reckoned = _face_of_case(name, size, tell)
    elif name in FACES:
        lengths = read_lengths(found["size"], piece, 2)
        area, reckoned = lengths[0] * lengths[1], f"{tell(lengths[0])} x {tell(lengths[1])}"
        area *= _number(found["number"])
        reckoned = f"{_number(found['number'])} x {reckoned}" if found["number"] else reckoned
    else:
        if found["size"] is None:
            raise Unreadable(f"`{name}` say no size", f"write it as `{_EXAMPLES[name]}`")
        each, reckoned = _sized(name, found["size"], piece, tell)
        number = _number(found["number"])
        area, reckoned = number * each, f"{number} x ({reckoned})"
    if (both or is_panelled) and name in ("drawers", "legs", "round legs"):
        raise Unreadable(f"`{name}` have no two faces to speak of", f"write it as `{_EXAMPLES[name]}`")
    if is_panelled:
        area, reckoned = area * PANELLED, f"{reckoned} x {write_decimal(PANELLED)}"
    if both:
        area, reckoned = area * 2, f"{reckoned} x 2 faces"
    return Face(name=name, area=area, reckoned=f"{reckoned} = {_feet(area)}")


_EXAMPLES: Final = {
    "drawers": "drawers 4 at 28 x 14 x 5 in",
    "shelves": "shelves 2 at 30 x 11 in both faces",
    "doors": "doors 2 at 15 x 24 in both faces",
    "boards": "boards 2 at 15 x 24 in",
    "legs": "legs 4 at 2 x 2 x 12 in",
    "round legs": "round legs 4 at 2 x 12 in",
    "round tops": "round tops 1 at 22 in",
}


def _face_of_case(name: str, size: Size | None, tell: Tell) -> tuple[Fraction, str]:
    if size is None:
        raise Unreadable(
            f"the size of the piece is not said, and the {name} is reckoned from it",
            'say it with `--size "34 x 19 x 30 1/2 in"`, or give the part a size of its own',
        )
    width, depth, height = size.width, size.depth, size.height
    a, b, number = {
        "top": (width, depth, 1),
        "underside": (width, depth, 1),
        "front": (width, height, 1),
        "back": (width, height, 1),
        "side": (depth, height, 1),
        "sides": (depth, height, 2),
    }[name]
    times = "2 x " if number == 2 else ""
    return number * a * b, f"{times}{tell(a)} x {tell(b)}"


def _sized(name: str, said: str, piece: str, tell: Tell) -> tuple[Fraction, str]:
    if name == "drawers":
        w, d, h = read_lengths(said, piece, 3)
        return w * d + 2 * h * (w + d), f"{tell(w)} x {tell(d)} + 2 x {tell(h)} x ({tell(w)} + {tell(d)})"
    if name == "legs":
        a, b, h = read_lengths(said, piece, 3)
        return 2 * (a + b) * h, f"2 x ({tell(a)} + {tell(b)}) x {tell(h)}"
    if name == "round legs":
        d, h = read_lengths(said, piece, 2)
        return _PI * d * h, f"pi x {tell(d)} x {tell(h)}"
    if name == "round tops":
        (d,) = read_lengths(said, piece, 1)
        return _PI * d * d / 4, f"pi x {tell(d)} x {tell(d)} / 4"
    a, b = read_lengths(said, piece, 2)
    return a * b, f"{tell(a)} x {tell(b)}"


def _number(text: str | None) -> int:
    number = int(number_value(text)) if text else 1
    if not 1 <= number <= 100:
        raise Unreadable(f"{number} of a part can't be reckoned", "write a number from 1 to 100")
    return number


def _base_of(amount: Amount) -> Fraction:
    """An amount in ml or in g."""
    return amount.in_unit(UNITS["ml" if amount.unit.dimension == "volume" else "g"])


def _told(spread: Spread, unit: Unit) -> str:
    """A spread to so much of a unit: `37.5 to 43.8 sq ft a quart`."""
    numbers = [write_decimal(each * unit.size / _FOOT, places=2) for each in (spread.least, spread.most)]
    between = numbers[0] if spread.is_one else f"{numbers[0]} to {numbers[1]}"
    return f"{between} sq ft a {unit}"


def _between(amounts: Sequence[Amount]) -> str:
    least, most = (tell_amount(amount) for amount in amounts)
    return least if least == most else f"{least} to {most}"


def _feet(area: Fraction) -> str:
    return f"{write_decimal(area / _FOOT, places=1)} sq ft"


def _many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
