"""The usual care for a finish, chosen by the last coat on the piece.

All of it is common practice, no source: the can's label and the maker's own words come first, so a piece's
`care:` replaces it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from flipbook.measures.amounts import Amount
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Step
from flipbook.shop.records.setup import Product

NEW = "A finish goes on hardening for 21 to 30 days after the last coat: until then no wet wipes, tape, mats or plastic, and nothing hot or heavy on it."
ALWAYS = "Keep it out of direct sun and away from radiators and vents. Lift it, don't drag it. Coasters and felt feet, always."

# The first pattern found in a product's type, or else in its name, settles its family.
_FAMILIES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), care)
    for pattern, care in (
        (r"\bprimer\b|\bstain\b|\bglue\b|\bfiller\b|\bcleaner\b|\bstripper\b|\bbleach\b|\bdye\b", ""),
        (r"\bwax\b", "Dust and buff with a soft cloth. Wax again once a year, or when water no longer beads. No oil polish, and no heat."),
        (r"\bshellac\b", "Dust, or wipe barely damp. No alcohol, perfume, nail polish or hot cups; no ammonia or alkaline soap."),
        (r"\blacquer\b", "Dust, or wipe barely damp. No alcohol, perfume, nail polish or hot cups."),
        (r"\bvarnish\b|\bpolyurethane\b", "Wipe with a soft damp cloth and a drop of mild soap, and dry at once. No ammonia, bleach, abrasive or silicone polish."),
        (r"\b(?:drying|tung|linseed|danish|hardening|finishing|wiping) oil\b|\boil finish\b", "Dust with a dry cloth. Oil again once or twice a year; lay the oily cloths out singly to dry out of doors, since heaped they can catch fire."),
        (r"\bchalk|\bmilk paint\b", "Dust only, unless it is sealed; marks come with it and are part of it."),
        (r"\bpaint\b|\benamel\b|\bclear coat\b|\btop coat\b|\btopcoat\b", "Wipe with a soft damp cloth and a drop of mild soap, and dry at once. No ammonia, bleach, abrasive or silicone polish."),
    )
)  # fmt: skip


def left_on(steps: Iterable[Step], products: Mapping[str, Product]) -> Iterator[tuple[str, str]]:
    """Each product that went onto the piece, as (name, type), once, in the order of its last use.

    What is only ever counted out, as rags by the piece and abrasives by the sheet, does not stay on it.
    """
    last_use: dict[str, str] = {}
    for step in steps:
        for use in step.uses():
            if not (isinstance(use.taken, Amount) and use.taken.unit.dimension in ("count", "sheets")):
                name = folded(use.what)
                last_use.pop(name, None)
                last_use[name] = use.what
    for name, written in last_use.items():
        product = products.get(name)
        yield written, product.type if product else ""


def care_for(products: Sequence[tuple[str, str]]) -> tuple[str, tuple[str, ...]]:
    """The finish, and its care, for products given as (name, type) in the order of their last use.

    The finish is the last of them whose family has a care of its own; both are empty when none has.
    """
    for name, product_type in reversed(products):
        care = _family(product_type) if product_type else None
        if care is None:
            care = _family(name)
        if care:
            return name, (care, NEW, ALWAYS)
    return "", ()


def _family(words: str) -> str | None:
    return next((care for pattern, care in _FAMILIES if pattern.search(words.casefold())), None)
