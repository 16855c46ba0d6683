"""The finish of a piece, which is the last coat on it that is one, and the usual care for it.

All of the care is common practice, no source: the can's label and the maker's own words come first, so a piece's
`care:` replaces it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from flipbook.measures.amounts import Amount
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Step
from flipbook.shop.records.setup import Product
from flipbook.trade.kinds import ProductKind, kind_used

NEW = "A finish goes on hardening for 21 to 30 days after the last coat: until then no wet wipes, tape, mats or plastic, and nothing hot or heavy on it."
ALWAYS = "Keep it out of direct sun and away from radiators and vents. Lift it, don't drag it. Coasters and felt feet, always."


class PutOn(NamedTuple):
    """A product that went onto a piece: its name as a step has it, and what it is."""

    name: str
    kind: ProductKind


def put_on(steps: Iterable[Step], products: Mapping[str, Product]) -> tuple[PutOn, ...]:
    """Each product that went onto the piece, once, in the order of its last use.

    What is only ever counted out, as rags by the piece and abrasives by the sheet, does not stay on it. `products` are
    by folded name, as `Facts.products` has them.
    """
    last_use: dict[str, str] = {}
    for step in steps:
        for use in step.uses():
            if not (isinstance(use.taken, Amount) and use.taken.unit.dimension in ("count", "sheets")):
                name = folded(use.what)
                last_use.pop(name, None)
                last_use[name] = use.what
    return tuple(PutOn(name, kind_used(name, products)) for name in last_use.values())


def finish_of(on_it: Sequence[PutOn]) -> PutOn | None:
    """The finish of a piece: the last of what was put on that is one by its kind."""
    return next((one for one in reversed(on_it) if one.kind.is_finish), None)


def usual_care(finish: PutOn | None) -> tuple[str, ...]:
    """How a piece with a finish is looked after; nothing is said of one without."""
    return (finish.kind.care, NEW, ALWAYS) if finish is not None else ()
