"""What calls for a caution: signs in the words of a step, in what it used, in a piece's age, kind and size.

All are pure functions of what was written. A sign that cannot be told from the words counts as there when the work is
of the kind that hurts (an age not known, a varnish that says neither oil nor water).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from flipbook.measures.amounts import INCH, UNITS
from flipbook.shop.records.piece import Piece, Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import Stage
from flipbook.trade.kinds import Hazard, kind_used, mentions
from flipbook.trade.stages import clauses_of, stage_of

LEAD_YEAR: Final = 1978
"""16 CFR 1303.1 bans paint over 90 ppm lead; the first ban took effect on 28 February 1978, and stock was sold on, so
1978 itself, a decade that starts before it, and an age not known all count as before."""
ABOUT_YEARS: Final = 5
"""Customs ruling HQ 088319 took an expert's "about" as five years either way."""
CRIB_YEAR: Final = 2011
"""16 CFR 1219 and 1220 hold for cribs from 28 June 2011 on (from memory)."""

TIP_OVER_HEIGHT: Final = 27 * INCH
TIP_OVER_WEIGHT: Final = 30 * UNITS["lb"].size
TIP_OVER_SPACE: Final = Fraction("3.2") * (12 * INCH) ** 3
"""16 CFR 1261 (ASTM F2057-23) as the commission's guide for businesses words it: 27 in or taller, 30 lb or heavier, 3.2
cubic feet or more of closed storage. In mm, g and cubic mm."""
DRAWER_PLAY: Final = INCH / 8


class Sign(StrEnum):
    """What a step does that calls for a caution; what is in the products it uses is a `Hazard`."""

    REMOVES = "sands, scrapes or strips an old coat"
    SANDS = "sands"
    WARMS = "uses what warms as it dries"
    POWER_DUST = "sands or cuts by power"
    WIRES = "works on wiring"
    COVERS = "covers a seat, a back or arms"
    TALLER = "adds casters or legs"


Signs = frozenset[Sign | Hazard]


class Box(NamedTuple):
    """The inside of a drawer, or of the space behind doors, in exact millimetres."""

    height: Fraction
    width: Fraction
    depth: Fraction


def may_hold_lead(built: str) -> bool:
    """Whether an age as written in `built` reaches back to the time of lead paint; an age not known does."""
    return _may_be_from(built, LEAD_YEAR)


def may_be_old_crib(built: str) -> bool:
    """Whether an age as written reaches back to before the rules for cribs; an age not known does."""
    return _may_be_from(built, CRIB_YEAR)


def closed_storage(drawers: Iterable[Box] = (), doors: Iterable[Box] = ()) -> Fraction:
    """The closed storage of a unit in cubic mm, as 16 CFR 1261 counts it: drawers whole, space behind doors at half.

    A drawer's height is less by 1/8 in.
    """
    whole = sum((max(box.height - DRAWER_PLAY, Fraction(0)) * box.width * box.depth for box in drawers), Fraction(0))
    return whole + sum((box.height * box.width * box.depth for box in doors), Fraction(0)) / 2


def in_tip_over_rule(*, height: Fraction | None, weight: Fraction | None, storage: Fraction | None) -> bool:
    """Whether a new clothing unit so tall, heavy and large would come under 16 CFR 1261; each limit is `at least`.

    In mm, g and cubic mm; what is not known counts as reached. A unit outside the rule can tip over all the same.
    """
    limits = ((height, TIP_OVER_HEIGHT), (weight, TIP_OVER_WEIGHT), (storage, TIP_OVER_SPACE))
    return all(measured is None or measured >= limit for measured, limit in limits)


_STORAGE = re.compile(
    r"chest|dresser|drawer|bureau|cabinet|cupboard|sideboard|buffet|armoire|wardrobe|bookcase|shel(?:f|ves)|nightstand|washstand|"
    r"desk|secretary|hutch|commode|credenza|tallboy|highboy|lowboy|chifforobe|chiffonier",
    re.IGNORECASE,
)
_LIDDED = re.compile(r"\b(?:blanket|hope|cedar|tool|steamer) chest\b|\btrunk\b", re.IGNORECASE)
_TABLES = re.compile(
    r"\bwash ?stands?\b|\bnight ?stands?\b|(?<!secretary )\bdesks?\b|\bdrawers? (?:side|end|coffee) table|"
    r"(?<!dressing )\bchest\b(?! of| on|[- ]on)",
    re.IGNORECASE,
)
_CHILD = re.compile(
    r"\bcribs?\b|\bcradle|\bbunk|\btoddler|\bhigh ?chair|\bchanging table|\bplay ?pen|\bchild|\bnursery|\bbassinet|\bkid'?s\b",
    re.IGNORECASE,
)
_CRIB = re.compile(r"\bcribs?\b", re.IGNORECASE)
_WIRED = re.compile(
    r"\blamps?\b(?! tables?| stands?)|\bchandelier|\bsconce|\b(?:ceiling|table|floor|wall|desk|pendant|standard) lights?\b|\bradio|"
    r"\blantern|\btelevision",
    re.IGNORECASE,
)


def named(piece: Piece) -> str:
    """What a piece is called: its kind and its title."""
    return f"{piece.kind} {piece.piece}"


def can_tip(piece: Piece) -> bool:
    """Whether a piece is free-standing furniture with drawers, doors or shelves, by its name."""
    return bool(_STORAGE.search(_LIDDED.sub("", named(piece))))


def is_storage_unit(piece: Piece) -> bool:
    """Whether it is a unit made for storing: a washstand or a desk is a table with drawers, and a mere chest has a lid."""
    return bool(_STORAGE.search(_TABLES.sub("", _LIDDED.sub("", named(piece)))))


def is_for_children(piece: Piece) -> bool:
    return bool(_CHILD.search(named(piece)))


def is_crib(piece: Piece) -> bool:
    return bool(_CRIB.search(named(piece)))


def is_wired(piece: Piece) -> bool:
    return bool(_WIRED.search(named(piece)))


def signs_of(step: Step | Planned, products: Mapping[str, Product]) -> Signs:
    """The signs in a step's words, and in what it used; `products` are by folded name."""
    signs = set(_in_words(step.did))
    for use in (*step.used, *(step.mix.uses() if step.mix is not None else ())):
        kind = kind_used(use.what, products)
        signs |= kind.hazards
        if kind.warms:
            signs.add(Sign.WARMS)
    if Sign.REMOVES not in signs and (step.grit or _MAY_REMOVE.search(step.did)) and not _BETWEEN.search(step.did):
        # The stages know turns of words that no list of signs holds.
        stage = stage_of(step, products)
        if stage in (Stage.SANDING, Stage.STRIPPING):
            signs |= {Sign.REMOVES, *((Sign.SANDS,) if stage is Stage.SANDING else ())}
    return frozenset(signs)


def clashes(signs: Iterable[Sign | Hazard]) -> bool:
    """Whether chlorine bleach meets ammonia or an acid among the steps of a piece."""
    found = set(signs)
    return Hazard.CHLORINE in found and bool(found & {Hazard.ACID, Hazard.AMMONIA})


def _may_be_from(built: str, year: int) -> bool:
    """Whether an age reaches back to `year` or before it."""
    found = re.search(r"[0-9]{4}", built)
    if found is None:
        return True
    return int(found[0]) - (ABOUT_YEARS if built.startswith("about") else 0) <= year


# Words by which a coat may have come off; a strip of wood is none.
_MAY_REMOVE = re.compile(
    r"\boff\b|\baway\b|\bpeel|\bremov|\bsoften|\bdissolv|\bflatten|\bdenib|\bfeather|\babrad|\bsand|\bsmooth|\bstripp|\brub",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"\bbetween\b", re.IGNORECASE)
_REMOVES = re.compile(
    r"\bsand(?:ed|ing|s)?\b(?![- ](?:through|paper|sealer|block|pad))|\bscrap(?:ed?|ing|es)\b|\bscuff|\bstripp(?:ed|ing)\b|"
    r"\bstrip (?:the|it|off|back|down|all|to)\b|\bheat gun\b|\bblow ?torch|\bburn(?:ed|t)? off\b|\bwire[- ]brush",
    re.IGNORECASE,
)
_SANDS = re.compile(
    r"\bsand(?:ed|ing|s)?\b(?![- ](?:through|paper|sealer|block|pad))|\bscuff|\borbital\b|\bsander\b", re.IGNORECASE
)
_UNDONE = re.compile(r"\b(?:not|never|without|instead of|don't|no)\s+(?:\w+\s+){0,2}$", re.IGNORECASE)

_DEEDS: Final[tuple[tuple[re.Pattern[str], Sign], ...]] = tuple(
    (re.compile(pattern), sign)
    for pattern, sign in (
        (r"\bsander\b|\borbital\b|\b(?:belt|power|disc|drum|machine)[- ]sand\w*|\btable saw\b|\brouter\b|\brouted\b|\bangle grinder\b", Sign.POWER_DUST),
        (r"\bre-?wir\w+|\bwiring\b|\blamp (?:cord|socket)\b|\belectric\w*", Sign.WIRES),
        (r"\b(?:re-?)?upholster(?:ed|ing|s)?\b|\bre-?cover(?:ed|ing|s)? (?:the |a |its |both |all )?(?:\w+ ){0,2}(?:seats?|backs?|arms?|cushions?|pads?)\b|\bnew (?:foam|fabric|webbing|cover|stuffing)\b|\b(?:drop|slip)[- ]?(?:in )?seat\b.*\b(?:cover|fabric|foam)", Sign.COVERS),
        (r"\b(?:added|new|fitted|put on|screwed on|set on) (?:\w+ ){0,3}(?:casters?|castors?|legs|feet)\b", Sign.TALLER),
    )
)  # fmt: skip


@lru_cache(maxsize=16384)
def _in_words(did: str) -> Signs:
    """The signs in a step's words: what it did, and what is in the products that they name.

    What warms counts where the words say oil, and where they say neither oil nor water of a coat that was put on.
    """
    words = " ".join(did.casefold().split())
    signs: set[Sign | Hazard] = {sign for pattern, sign in _DEEDS if _is_done(pattern, words)}
    for mention in mentions(words):
        if not _UNDONE.search(words[: mention.at]):
            signs |= mention.kind.hazards
            if mention.kind.warms and mention.is_sure:
                signs.add(Sign.WARMS)
    if any(mention.kind.warms for clause in clauses_of(did) for mention in clause.put_on):
        signs.add(Sign.WARMS)
    if not _BETWEEN.search(words):
        if _is_done(_REMOVES, words):
            signs.add(Sign.REMOVES)
        if _is_done(_SANDS, words):
            signs.add(Sign.SANDS)
    return frozenset(signs)


def _is_done(pattern: re.Pattern[str], words: str) -> bool:
    return any(not _UNDONE.search(words[: found.start()]) for found in pattern.finditer(words))
