"""Cautions for the person who takes a piece home. They never say that a thing is safe.

Each names its authority; local rules and a licensed person come before any of them.
"""

from __future__ import annotations

import re

from flipbook.measures.amounts import INCH
from flipbook.shop.records.piece import Piece

# 16 CFR 1303.1 bans paint over 0.009% lead; the first ban took effect on 28 February 1978, and stock was sold on,
# so 1978 itself, a decade that starts before it, and an age not known all count as before.
LEAD_YEAR = 1978
# HQ ruling 088319 of the customs service took an expert's "about" as five years either way.
ABOUT_YEARS = 5
# 16 CFR 1261 (ASTM F2057-23) binds new clothing storage of 27 in and taller; the caution here is wider.
TIP_OVER_HEIGHT = 27 * INCH

LEAD = (
    "It was built before lead paint was banned for furniture in the US (16 CFR 1303), or its age is not known: old paint "
    "and varnish on it may hold lead. Don't sand or scrape it dry; have it tested by a laboratory before a child uses it, and follow your local rules."
)
TIP_OVER = (
    "Furniture with drawers or doors can tip over on a child. Fix it to a wall stud with an anti-tip kit, keep heavy things low, "
    "open one drawer at a time, and put no television on it (see the US rule for clothing storage, 16 CFR 1261)."
)
CHILD = (
    "Cribs, bunk beds and other children's furniture have safety rules of their own: look up the make and model among the "
    "recalls of the consumer safety authority before a child uses it."
)
WIRING = "Have the wiring checked by a licensed electrician before it is plugged in."

_STORAGE = re.compile(r"chest|dresser|drawer|bureau|cabinet|cupboard|sideboard|buffet|armoire|wardrobe|bookcase|shel(?:f|ves)|nightstand|washstand|desk|secretary|hutch|commode|credenza", re.IGNORECASE)  # fmt: skip
_CHILD = re.compile(r"crib|cradle|bunk|toddler|high ?chair|changing table|playpen|child", re.IGNORECASE)
_WIRED = re.compile(r"\blamp|chandelier|sconce|\blight\b|radio", re.IGNORECASE)


def cautions_for(piece: Piece) -> tuple[str, ...]:
    """The cautions that the public facts of a piece call for, the gravest first."""
    words = f"{piece.kind} {piece.piece}"
    is_tall = piece.size is not None and piece.size.height >= TIP_OVER_HEIGHT and bool(_STORAGE.search(words))
    found = []
    if may_hold_lead(piece.built):
        found.append(LEAD)
    if is_tall or re.search(r"drawer|dresser|bookcase|wardrobe|armoire", words, re.IGNORECASE):
        found.append(TIP_OVER)
    if _CHILD.search(words):
        found.append(CHILD)
    if _WIRED.search(words):
        found.append(WIRING)
    return tuple(found)


def may_hold_lead(built: str) -> bool:
    """Whether an age as written in `built` reaches back to the time of lead paint; an age not known does."""
    year = re.search(r"[0-9]{4}", built)
    if year is None:
        return True
    return int(year[0]) - (ABOUT_YEARS if built.startswith("about") else 0) <= LEAD_YEAR
