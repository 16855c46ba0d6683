"""Fronts of drawers and doors, as trim and pulls go on them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from flipbook.measures.lengths import Size
from flipbook.measures.numerals import NUMBER
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.coats import read_lengths


@dataclass(frozen=True, kw_only=True, slots=True)
class Front:
    """So many fronts of one size, in exact millimetres."""

    name: str
    width: Fraction
    height: Fraction
    count: int = 1


def read_fronts(text: str, size: Size | None) -> tuple[Front, ...]:
    """Fronts: `drawer 4 at 30 x 6 in, door 15 x 24 in`, width by height; `front`, `side`, `top`, `back` of the piece.

    Raises Unreadable.
    """
    fronts: list[Front] = []
    for number, piece in enumerate((" ".join(one.split()) for one in re.split("[,;]", text) if one.strip()), 1):
        alone = piece.casefold()
        if alone in ("front", "back", "side", "top"):
            if size is None:
                raise Unreadable(
                    f"the size of the piece is not said, and its {alone} is reckoned from it",
                    'say it with `--size "34 x 19 x 30 1/2 in"`, or write the two lengths',
                )
            width, height = {
                "front": (size.width, size.height),
                "back": (size.width, size.height),
                "side": (size.depth, size.height),
                "top": (size.width, size.depth),
            }[alone]
            fronts.append(Front(name=alone, width=width, height=height, count=1))
            continue
        found = re.fullmatch(
            rf"(?:(?P<name>[^\W\d][^\d]*?) +)?(?:(?P<count>[0-9]{{1,3}}) +(?:at|of) +)?(?P<size>{NUMBER}.*)", piece
        )
        if found is None:
            raise Unreadable(f"`{shown(piece)}` is no front", "write it as `4 at 30 x 6 in`, width by height")
        width, height = read_lengths(found["size"], piece, 2)
        name = found["name"] or f"front {number}"
        fronts.append(Front(name=name, width=width, height=height, count=int(found["count"] or 1)))
    if not fronts:
        raise Unreadable("no front was said", "write it as `4 at 30 x 6 in`, width by height")
    return tuple(fronts)
