"""Stages of the work: which one a step belongs to, by what it says itself, its words, what it used and its grit.

A step's own `stage:` settles it. Else a short list of the trade's words does, with the kinds of the products that were
used or are named; they, and the order of the stages, are common practice, no source. What none of them tells has no
stage: a wrong guess helps nobody.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import ORDER, Stage
from flipbook.trade.kinds import COATS, Family, Mention, kind_used, mentions

ASK_A_PRICE: Final = "ask a price"
_COATINGS: Final = (Stage.PRIMING, Stage.COLOUR, Stage.FINISH)
_DONE: Final = (Stage.FINISH, Stage.HARDWARE)
_OF_SEVERAL_STAGES: Final = (Family.WAX, Family.SHELLAC)
"""These go on at several stages, wax on a runner and shellac under paint: the words say which."""


class Clause(NamedTuple):
    """What a clause of a step says: its stage, and the products that it puts on.

    Where `is_coat` holds and no stage is told it is a coat of what the step used, or work between two; `otherwise` is
    its stage where the step says no product.
    """

    stage: Stage | None
    put_on: tuple[Mention, ...] = ()
    is_coat: bool = False
    otherwise: Stage | None = None
    is_picture: bool = False


_BREAK = re.compile(r"[;,.:()!?]+|\b(?:and|then|but)\b")
_ANOTHER_DAY = re.compile(r"\b(?:tomorrow|tonight|later|yet)\b")
# From such a word on, a clause says what is not done.
_NOT_DONE = re.compile(r"\b(?:before|until|till|ready|need(?:s|ed)?|not|no|never|without|so|still|wants)\b.*")
_THERE_BEFORE = re.compile(r"\b(?:old|existing|original|former|previous|crazed|flaking)\b[\w' -]*")
_BELOW = re.compile(r"\b(?:for|over|under|onto|against|of the)\b[\w' -]*")
_TOOLS = r"\b(?:brush(?:es)?|rollers?|rags?|gun|tools|bench|floor|shop|hands|sander|sprayer|jars?)\b"
_TENDED = re.compile(
    rf"\b(?:clean|wash|rins|wip|swe[ep]|hung|hang)\w*\b(?=.*{_TOOLS})|{_TOOLS}.*\b(?:clean|wash|hung|hang)|\bclean(?:ed)? up\b"
)
_WITH_A_TOOL = re.compile(rf"\b(?:with|by|using|from|wearing) (?:[\w-]+ ){{0,2}}{_TOOLS}")
_ERRAND = re.compile(
    r"\b(?:order(?:ed)?|bought|buy|chose|chosen|tests?|tested|samples?|measured?|priced|looked|drove|collected|tried|excess|surplus|"
    r"unscrewed|unbolted|masked)\b|\b(?:glass|panes?|mirror)\b(?!.*\bback\b)|\b(?:water|ink|rust) (?:stain|mark)|^sand-through$"
)
_OFF = re.compile(
    r"\b(?:took|take\w*|came|come|lift\w*|sand\w*|rub\w*|burn\w*)\b.*\b(?:off|away)\b|"
    r"\b(?:remov|scrap|peel|soften|dissolv)\w*"
)
_STRIPS = re.compile(r"\bstripp(?:ed|ing)\b|\bstrip (?:the|it|off|back|down|all|to)\b|\bheat gun\b")
_COVER = re.compile(r"\b(?:finish|coats?|vinyl|laminate|wallpaper|layers?)\b")
_CLOTH = re.compile(r"\b(?:upholstery|webbing|fabric|cane|foam|tacks|staples)\b")
_GLOSS = re.compile(r"\b(?:gloss|shine|sheen)\b")
_HARDWARE = re.compile(
    r"\b(?:pulls?|knobs?|handles?|hinges?|locks?|escutcheons?|cast[eo]rs?|latch(?:es)?|catch(?:es)?|hasp|straps?|brackets?|"
    r"glides?|hardware|brass(?:es)?|fittings|slides|runners)\b"
)
_HANDLED = re.compile(
    r"\b(?:(?:re)?fit\w*|install\w*|mount\w*|(?:re)?attach\w*|screwed|drill\w*|bolted|replac\w*|new|put|set|(?:re)?h[ua]ng|"
    r"clean\w*|wip\w*|polish\w*|wax\w*|oil\w*|back)\b"
)
_ASSEMBLED = re.compile(
    r"\breassembl\w*|\b(?:re)?hung\b|\bhang(?:ing)?\b|\b(?:drawers?|doors?|shel(?:f|ves)|glass|lid|legs)\b.*\bback\b|\bput\b.*\bback together\b"
)
_MENDS = re.compile(
    r"\b(?:re-?)?glu(?:ed?|ing)\b|\b(?:clamp|fill|plugg?|patch|knock|plane?|shap|fix|steam|mitr|miter|pinn|nail|shimm|brac|epoxi)(?:ed|ing)?\b|"
    r"\b(?:dowel|splic|mend|repair|straighten|tighten|rebuil|chisel)\w*|\bcarved\b"
)
_FITS = re.compile(r"\b(?:(?:re)?fitted|fit|replaced?|install(?:ed)?|drill(?:ed)?|screwed)\b")
_SANDS = re.compile(
    r"\b(?:wet-|hand-)?sand(?:ed|ing)?\b(?![- ](?:through|paper|sealer|block|pad|dust))|\b(?:scuff|abrad|smooth|denib|flatt|feather)\w*|"
    r"\bkeyed\b"
)
_RUBS = re.compile(r"\brub(?:bed|bing)?\b(?! (?:it |them |all )?(?:on|in|into|out)\b)")
_FILLING = re.compile(r"\b(?:filler|putty|epoxy|patch(?:es)?|plugs?|fills?)\b")
_PRIMES = re.compile(r"\b(?:spot-)?prim(?:ed?|ing)\b|\bundercoat\w*")
_SEALS = re.compile(r"\bseal(?:ed|ing)?\b|\bshellac\w*")
_BLEEDS = re.compile(r"\b(?:bleed\w*|bled|knots?|tannin)\b")
_COLOURS = re.compile(
    r"\b(?:re)?paint(?:ed|ing)?\b|\bstain(?:ed|ing)\b|\b(?:dyed|glazed|toned|distressed|antiqued|dry-brushed)\b|\b(?:gild|stencil|white-?wash|limewash|ebonis|eboniz)\w*"
)
_FINISHES = re.compile(
    r"\b(?:french )?polish(?:ed|ing)?\b|\b(?:varnish|lacquer|shellack|burnish|buff|topcoat|wax|oil)(?:ed|ing)\b|\bfinish(?:ed|ing)?\b|\bwax (?:it|the)\b|\boil (?:it|the)\b|"
    r"\brubb?e?d?(?: out| on)? the finish\b"
)
_HUES = re.compile(
    r"\b(?:white|cream|ivory|gr[ea]y|black|blue|green|red|yellow|ochre|brown|pink|teal|navy|mustard|charcoal|sage|colou?r|"
    r"wash(?:es)?)\b"
)
_COAT = re.compile(r"\b(?:coats?|recoat\w*)\b|\bseal(?:ed|ing)?\b|\bbetween\b")
_CLEANS = re.compile(
    r"\b(?:wash|clean|dust|degreas|rins|scrubb?|vacuum|hos|air|sweep)(?:ed|ing)\b|\b(?:wash|clean|scrub|rinse|vacuum|air|hose) (?:it|the|out|down)\b|"
    r"\bswept\b|\bwiped? (?:it |all )?(?:down|over|out)\b"
)
_PICTURES = re.compile(r"\b(?:photograph\w*|photos|pictures)\b")


def stage_of(step: Step | Planned, products: Mapping[str, Product]) -> Stage | None:
    """The stage that a step belongs to, the furthest where it did several; None when nothing tells it.

    `products` are by folded name, as `Facts.products` has them. Sanding between coats belongs to the coats. Cleaning a
    brush, an errand and what a step says is still to come are no stage.
    """
    if step.stage is not None:
        return step.stage
    clauses = clauses_of(step.did)
    kinds = [kind_used(use.what, products) for use in (*step.used, *(step.mix.uses() if step.mix is not None else ()))]
    stages = [clause.stage for clause in clauses]
    # A coat was put on when a coating was used, whatever the words dwell on.
    stages += [kind.stage for kind in kinds if kind.family in COATS and kind.family not in _OF_SEVERAL_STAGES]
    if any(clause.is_coat for clause in clauses):
        coats = [kind.stage for kind in kinds if kind.family in COATS]
        stages += coats or [clause.otherwise for clause in clauses]
    elif not clauses:
        stages += [kind.stage for kind in kinds]
        if step.grit and not any(stages):
            stages.append(Stage.SANDING)
    return max((stage for stage in stages if stage is not None), key=ORDER.__getitem__, default=None)


def is_photographing(step: Step | Planned) -> bool:
    """Whether a step took pictures."""
    return any(clause.is_picture for clause in clauses_of(step.did))


def usual_next(log: Sequence[Step], products: Mapping[str, Product], *, is_pictured: bool) -> str:
    """What usually comes next after the steps of a log, in words; empty when the last step does not tell.

    Steps that only took pictures are passed over. A step that went back to an earlier stage goes on with the furthest
    one. A finished piece waits for a price once a step has photographed it; one with its hardware on also when
    it `is_pictured`, that is, has pictures that show it after the work.
    """
    last: Stage | None = None
    reached: Stage | None = None
    is_told = True
    photographed = False
    for step in log:
        stage = stage_of(step, products)
        if stage is None and is_photographing(step):
            photographed = reached in _DONE
            continue
        last, is_told = stage, stage is not None
        if stage is not None:
            photographed = photographed and stage not in _COATINGS
            reached = max(reached or stage, stage, key=ORDER.__getitem__)
    if photographed or (is_pictured and reached is Stage.HARDWARE):
        return ASK_A_PRICE
    if not is_told:
        return ""
    return _after(reached) if last is reached or reached is Stage.HARDWARE else f"on with the {reached}"


def _after(stage: Stage | None) -> str:
    """What usually comes after the furthest stage reached."""
    match stage:
        case None:
            return "cleaning"
        case Stage.CLEANING:
            return "repair"
        case Stage.REPAIR:
            return "stripping or sanding"
        case Stage.STRIPPING:
            return "sanding"
        case Stage.SANDING:
            return "priming or colour"
        case Stage.PRIMING:
            return "colour"
        case Stage.COLOUR:
            return "coat or finish"
        case Stage.FINISH:
            return "coat or hardware"
        case Stage.HARDWARE:
            return "photographs"


@lru_cache(maxsize=4096)
def clauses_of(did: str) -> tuple[Clause, ...]:
    """What each clause of a step's words says, without those that say nothing."""
    text = folded(did)
    bleeds = bool(_BLEEDS.search(text))
    found = (
        _clause(_NOT_DONE.sub("", words).strip(), bleeds)
        for words in _BREAK.split(text)
        if not _ANOTHER_DAY.search(words)
    )
    return tuple(clause for clause in found if clause is not None)


def _clause(words: str, bleeds: bool) -> Clause | None:
    """What one clause says; the first rule that holds settles it."""
    if not words:
        return None
    if (_TENDED.search(words) and not _WITH_A_TOOL.search(words)) or _ERRAND.search(words):
        return Clause(None)
    if _BLEEDS.search(words) and not (_SEALS.search(words) or _PRIMES.search(words)):
        return None
    if _GLOSS.search(words):
        return Clause(Stage.SANDING)
    gone = _taken_off(words)
    if gone is not None:
        return gone
    if re.search(r"\b(?:wash|clean)\w* off\b", words) and not _HARDWARE.search(words):
        return Clause(Stage.CLEANING)
    now = _BELOW.sub("", _THERE_BEFORE.sub("", words))
    named = mentions(now)
    if any(mention.kind.family is Family.BLEACH for mention in named):
        return Clause(None)  # what it is put on is a mark, and no coat
    coats = tuple(mention for mention in named if mention.kind.family in COATS)
    if _SANDS.search(now) or (_RUBS.search(now) and not coats):
        return _sanded(now, coats)
    if _HARDWARE.search(now) and _HANDLED.search(words) and not _MENDS.search(now):
        return Clause(Stage.HARDWARE)
    if "drilled" in words and _HARDWARE.search(words):
        return Clause(Stage.HARDWARE)
    if _MENDS.search(now) and not _COAT.search(now):
        return Clause(Stage.REPAIR)
    stage = _coated(now, coats, bleeds)
    if stage is not None or _COAT.search(now):
        is_wash = any(mention.kind.family in (Family.CLEANER, Family.THINNER) for mention in named)
        return Clause(stage, () if is_wash else coats, is_coat=stage is None, otherwise=_hued(words))
    return _made(words)


def _taken_off(words: str) -> Clause | None:
    """A coat taken off is stripping; hardware or cloth taken off is no stage."""
    if _STRIPS.search(words):
        return Clause(Stage.STRIPPING)
    if not _OFF.search(words):
        return Clause(Stage.STRIPPING) if any(one.kind.family is Family.STRIPPER for one in mentions(words)) else None
    if _CLOTH.search(words) or _HARDWARE.search(words):
        return Clause(None)
    if _COVER.search(words) or any(
        one.kind.family in COATS or one.kind.family is Family.STRIPPER for one in mentions(words)
    ):
        return Clause(Stage.STRIPPING)
    if any(one.kind.family in (Family.GLUE, Family.FILLER) for one in mentions(words)):
        return Clause(Stage.REPAIR)
    return None


def _sanded(words: str, coats: tuple[Mention, ...]) -> Clause:
    """Sanding, but what is rubbed down between coats belongs to the coats, and filler sanded flush to the repair."""
    if _FILLING.search(words):
        return Clause(Stage.REPAIR)
    if any(one.kind.family is Family.PRIMER for one in coats):
        return Clause(Stage.PRIMING)
    if re.search(r"\bbetween\b|\bcoats?\b", words):
        return Clause(_furthest(coats), is_coat=not coats, otherwise=_hued(words) or Stage.FINISH)
    return Clause(Stage.SANDING)


def _coated(words: str, coats: tuple[Mention, ...], bleeds: bool) -> Stage | None:
    """The stage of a coat of something."""
    if _PRIMES.search(words) or (bleeds and _SEALS.search(words)) or re.search(r"\bsealed\b.*\bshellac", words):
        return Stage.PRIMING
    if _COLOURS.search(words) and not any(one.kind.stage is Stage.FINISH for one in coats):
        return Stage.COLOUR
    return _furthest(coats) or (Stage.FINISH if _FINISHES.search(words) else None)


def _hued(words: str) -> Stage | None:
    """A coat that is named by its colour alone."""
    return Stage.COLOUR if _HUES.search(words) else None


def _furthest(coats: tuple[Mention, ...]) -> Stage | None:
    return max((one.kind.stage for one in coats if one.kind.stage is not None), key=ORDER.__getitem__, default=None)


def _made(words: str) -> Clause | None:
    """Mending, putting together, cleaning, pictures."""
    used = {one.kind.stage for one in mentions(words)}
    if _MENDS.search(words) or Stage.REPAIR in used:
        return Clause(Stage.REPAIR)
    if _ASSEMBLED.search(words):
        return Clause(Stage.HARDWARE)
    if _FITS.search(words):
        return Clause(Stage.REPAIR)
    if _CLEANS.search(words) or Stage.CLEANING in used:
        return Clause(Stage.CLEANING)
    return Clause(None, is_picture=True) if _PICTURES.search(words) else None
