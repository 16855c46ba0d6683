"""Stages of the work: which one a step belongs to, told from its words, its grit and what it used.

The words, and the order of the stages, are common practice, no source. What is told neither by a step's words, nor by a
coating that it used, nor by its grit has no stage: a wrong guess helps nobody.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import StrEnum
from functools import lru_cache

from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import ORDER, Stage

# What usually comes after the furthest stage reached.
_AFTER = {
    None: "cleaning",
    Stage.CLEANING: "repair",
    Stage.REPAIR: "stripping or sanding",
    Stage.STRIPPING: "sanding",
    Stage.SANDING: "priming or colour",
    Stage.PRIMING: "colour",
    Stage.COLOUR: "coat or finish",
    Stage.FINISH: "coat or hardware",
    Stage.HARDWARE: "photographs",
}
ASK_A_PRICE = "ask a price"


class _Other(StrEnum):
    """What a clause says that is no stage by itself."""

    COAT = "a coat of what was used"
    COLOURED_COAT = "a coat, named by its colour"
    BETWEEN_COATS = "work between coats of what was used"
    ASIDE = "nothing done to the piece"
    PICTURES = "pictures taken"


_Told = Stage | _Other

# What the words of a step say, by rows; a word may stand in several, and one in no row says nothing. A word with a
# hyphen is looked up whole, and else by its last part. Pairs of words that would mislead are made one first.
_WORDS = {
    "clean": "wash washed washing rinse rinsed scrub scrubbed scrubbing clean cleaned cleaning degrease degreased "
    "vacuum vacuumed vacuuming dusted dusting hose hosed sweep swept aired airing soap detergent",
    "wipe": "wipe wiped wiping",
    "down": "down over out clean",
    "mend": "glue glued gluing reglue reglued clamp clamped cramped dowel dowels dowelled doweled fill filled filler "
    "filling putty epoxy epoxied patch patched splice spliced mend mended mending repair repaired repairing plug "
    "plugged plane planed shim shimmed knock knocked brace braced straightened steamed mitre mitred miter mitered "
    "pinned nailed carved shape shaped chiselled chiseled rebuilt tightened fix fixed joinery",
    "strip": "strip stripped stripping stripper",
    "remove": "remove removed removing scrape scraped scraping peel peeled peeling burned burnt softened dissolved",
    "take": "take took taken taking came come lifted lifting sand sanded sanding rub rubbed rubbing",
    "off": "off away",
    "sand": "sand sanded sanding scuff scuffed scuffing rub rubbed rubbing abraded keyed feathered "
    "flatted denibbed smoothed abrasive",
    "prime": "prime primed priming primer undercoat undercoated stain-blocking",
    "seal": "seal sealed sealing",
    "knots": "knots knot tannin",
    "bleed": "bleed bleeds bleeding bled bleed-through",
    "shellac": "shellac shellacked shellacking",
    "colour": "paint painted painting repainted stain stained staining dye dyed glaze glazed toned toner enamel "
    "enamelled enameled stencil stencilled stenciled ebonised ebonized gild gilded gilding whitewash whitewashed "
    "limewash limewashed dry-brushed distressed antiqued basecoat",
    "hue": "white cream ivory grey gray black blue green red yellow ochre brown pink teal navy mustard charcoal sage "
    "colour color",
    "finish": "varnish varnished varnishing lacquer lacquered lacquering clearcoat clear-coated topcoat topcoated "
    "polyurethane poly finish oil oiled oiling wax waxed waxing buff buffed buffing burnished polish polished polishing "
    "sealer",
    "coat": "coat coats coated coating recoat recoated",
    "ordinal": "first second third fourth last another final thin",
    "between": "between",
    "hardware": "pull pulls knob knobs handle handles hinge hinges lock locks escutcheon escutcheons caster casters "
    "castor castors latch latches catch catches hasp strap straps bracket brackets glides hardware brass brasses "
    "fittings slides runners",
    "assembly": "drawer drawers door doors shelf shelves glass lid fall legs mirror",
    "hang": "hung hang hanging rehung",
    "put": "put set slid screw screwed",
    "back": "back together",
    "rejoin": "reassemble reassembled reassembling",
    "fit": "fit fitted fitting refit refitted install installed installing mount mounted attach attached reattached "
    "screw screwed drill drilled bolted fixed",
    "replace": "replace replaced replacing",
    "new": "new",
    "undo": "unscrewed unbolted pulled prised pried",
    "tool": "brush brushes roller rollers rag rags gun tools bench floor shop workshop hands sander sprayer jar jars "
    "bucket scraper garage shed",
    "old": "old existing original former previous",
    "cloth": "upholstery webbing fabric cane foam tacks staples",
    "cover": "vinyl laminate wallpaper",
    "later": "before until till ready need needs needed no not without so still wants",
    "another-day": "tomorrow later yet tonight",
    "glass": "glass pane panes",
    "gloss": "gloss shine sheen",
    "aside": "order ordered bought buy chose chosen choose test tested sample samples measure measured priced looked drove "
    "collected tried tack excess surplus",
    "picture": "photograph photographed photographs photos pictures",
    "none": "sand-through clean-up",
}  # fmt: skip
_PAIRS = {
    "clear coat": "clearcoat", "top coat": "topcoat", "paint remover": "stripper", "paint stripper": "stripper",
    "varnish remover": "stripper", "waxed paper": "", "wax paper": "", "paint brush": "brush", "steel wool": "abrasive",
    "wire wool": "abrasive", "sanding sealer": "sealer", "stain blocker": "primer", "water stain": "", "ink stain": "",
    "water mark": "", "rust stain": "", "sanding dust": "", "sanding block": "", "sanding pad": "", "heat gun": "stripper", "stencil brush": "brush",
    "cleaned up": "", "clean up": "", "oiled paper": "", "paint pot": "jar", "paint can": "jar",
}  # fmt: skip
_BEFORE_A_COATING = frozenset({"for", "over", "under", "onto", "against"})
_BEFORE_A_TOOL = frozenset({"with", "by", "using", "from", "wearing"})
_APPLIED = frozenset({"in", "on", "into", "out"})
_SURELY_MENDED = frozenset(
    {"fill", "filled", "filling", "plug", "plugged", "patch", "patched", "glue", "glued", "clamped"}
)
_MENDING_STUFF = frozenset({"filler", "putty", "epoxy", "glue", "patch", "plug", "patches", "plugs"})
_WASH_WATER = frozenset({"soap", "detergent", "water", "dish"})

# The stage of a product, by the first of these found in its type, or else in its name.
_PRODUCTS = tuple(
    (re.compile(pattern), stage)
    for pattern, stage in (
        (r"\bstripper\b|\bremover\b", Stage.STRIPPING),
        (r"\bprimer\b|\bundercoat\b|\bstain.block", Stage.PRIMING),
        (r"\bglue\b|\bfiller\b|\bepoxy\b|\bputty\b|\badhesive\b", Stage.REPAIR),
        (r"\bcleaner\b|\bsoap\b|\bdetergent\b|\bdegreaser\b", Stage.CLEANING),
        (r"\bthinner\b|\bspirits?\b|\balcohol\b|\bbrush|\brags?\b|\btape\b", None),
        (r"\bclear ?coat\b|\btop ?coat\b|\bvarnish\b|\bpolyurethane\b|\blacquer\b|\bwax\b|\bshellac\b", Stage.FINISH),
        (r"\bstain\b|\bdye\b|\bpaint\b|\benamel\b|\bglaze\b|\btoner\b", Stage.COLOUR),
        (r"\boil\b", Stage.FINISH),
        (r"\bsandpaper\b|\babrasive\b|\b(?:steel|wire) wool\b|\bsanding\b", Stage.SANDING),
    )
)
# These are put on at several stages, wax on a runner and shellac under paint; the words say which.
_OF_SEVERAL_STAGES = re.compile(r"\bwax\b|\bshellac\b")
_COATINGS = (Stage.PRIMING, Stage.COLOUR, Stage.FINISH)
_DONE = (Stage.FINISH, Stage.HARDWARE)

_TAGS: dict[str, frozenset[str]] = {
    word: frozenset(row for row, words in _WORDS.items() if word in words.split())
    for word in " ".join(_WORDS.values()).split()
}
_NO_TAGS: frozenset[str] = frozenset()
_PAIR = re.compile(r"\b(?:" + "|".join(pair.replace(" ", " ?") + "s?" for pair in _PAIRS) + r")\b")
_TOKEN = re.compile(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*|[;,.:()!?]")
_ENDS_A_CLAUSE = frozenset({*";,.:()!?", "and", "then", "but"})


def stage_of(step: Step | Planned, products: Mapping[str, Product]) -> Stage | None:
    """The stage that a step belongs to, the furthest where it did several; None when nothing tells it.

    `products` are by folded name, as `Facts.products` has them; one that is not there goes by its name. Sanding between
    coats belongs to the coats. Cleaning a brush, an errand and what a step says is still to come are no stage.
    """
    told = _told(step.did)
    used = [folded(use.what) for use in (*step.used, *(step.mix.uses() if step.mix is not None else ()))]
    kinds = {name: _stage_of_product(name, products[name].type if name in products else "") for name in used}
    stages = [clause for clause in told if isinstance(clause, Stage)]
    # A coat was put on when a coating was used, whatever the words dwell on.
    stages += [kind for name, kind in kinds.items() if kind in _COATINGS and not _OF_SEVERAL_STAGES.search(name)]
    if not {_Other.COAT, _Other.COLOURED_COAT, _Other.BETWEEN_COATS}.isdisjoint(told):
        coats = [kind for kind in kinds.values() if kind in _COATINGS]
        if not coats and _Other.COLOURED_COAT in told:
            coats = [Stage.COLOUR]
        elif not coats and _Other.BETWEEN_COATS in told:
            coats = [Stage.FINISH]
        stages += coats
    elif not told:
        stages += [kind for kind in kinds.values() if kind is not None] or ([Stage.SANDING] if step.grit else [])
    return max(stages, key=ORDER.__getitem__, default=None)


def is_photographing(step: Step | Planned) -> bool:
    """Whether a step took pictures."""
    return _Other.PICTURES in _told(step.did)


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
    return _AFTER[reached] if last is reached or reached is Stage.HARDWARE else f"on with the {reached}"


@lru_cache(maxsize=4096)
def _stage_of_product(name: str, kind: str) -> Stage | None:
    for words in (folded(kind), name) if kind else (name,):
        for pattern, stage in _PRODUCTS:
            if pattern.search(words):
                return stage
    return None


@lru_cache(maxsize=4096)
def _told(did: str) -> tuple[_Told, ...]:
    """What each clause of a step's words says, without those that say nothing."""
    tokens = _TOKEN.findall(_PAIR.sub(_joined, folded(did)))
    bleeds = any(_tags(token) & {"bleed", "knots"} for token in tokens)
    told = []
    clause: list[str] = []
    for token in (*tokens, ";"):
        if token not in _ENDS_A_CLAUSE:
            clause.append(token)
            continue
        said = _clause(_as_done(clause), bleeds) if clause else None
        if said is not None:
            told.append(said)
        clause = []
    return tuple(told)


def _joined(pair: re.Match[str]) -> str:
    text = pair[0]
    return _PAIRS[text] if text in _PAIRS else _PAIRS.get(text.removesuffix("s"), text)


def _tags(word: str) -> frozenset[str]:
    tags = _TAGS.get(word)
    return tags if tags is not None else _TAGS.get(word.rpartition("-")[2], _NO_TAGS)


def _as_done(clause: Sequence[str]) -> list[str]:
    """A clause up to where it turns to what is not done yet, and without the coating that something was done for."""
    words: list[str] = []
    skip = 0
    if any("another-day" in _tags(word) for word in clause):
        return words
    for number, word in enumerate(clause):
        if skip:
            skip -= 1
            continue
        if "later" in _tags(word):
            break
        if word in _BEFORE_A_COATING:
            after = clause[number + 1 : number + 5]
            skip = max((at for at, one in enumerate(after, 1) if _tags(one) & {*_LAYERS, "coat"}), default=0)
            if skip:
                continue
        words.append(word)
    return words


_LAYERS = frozenset({"prime", "colour", "finish", "shellac"})


def _clause(words: Sequence[str], bleeds: bool) -> _Told | None:
    """What one clause says; the first rule that holds settles it."""
    told = frozenset().union(*(_tags(word) for word in words))
    said = frozenset(words)
    if not told or ("bleed" in told and not told & {"seal", "shellac", "prime"}):
        return None
    if "aside" in told or _cleans_a_tool(words, told) or ("glass" in told and "back" not in told):
        return _Other.ASIDE
    if "gloss" in told and told & {"take", "remove"}:
        return Stage.SANDING
    if told & {"strip", "remove"} or {"take", "off"} <= told:
        gone = _taken_off(told, said)
        if gone is not None:
            return gone
    told = _without_old(words)
    if {"clean", "off"} <= told and "hardware" not in told:
        return Stage.CLEANING
    if "hardware" in told and not told & {"prime", "colour"}:
        on = _hardware(told)
        if on is not None:
            return on
    if "sand" in told:
        return _sanded(told, said)
    return _coated(told, said, bleeds) or _made(told, said)


def _cleans_a_tool(words: Sequence[str], told: frozenset[str]) -> bool:
    """Whether a brush or the floor was cleaned, or rags were hung; with a brush, the piece was."""
    if "tool" not in told or not told & {"clean", "wipe", "hang"}:
        return False
    return not any(
        "tool" in _tags(word) and _BEFORE_A_TOOL & set(words[max(0, number - 3) : number])
        for number, word in enumerate(words)
    )


def _taken_off(told: frozenset[str], said: frozenset[str]) -> _Told | None:
    """A coat taken off is stripping; hardware or cloth taken off is no stage."""
    if "cloth" in told or ("hardware" in told and not told & _LAYERS):
        return _Other.ASIDE
    if "strip" in told or told & {*_LAYERS, "cover"}:
        return Stage.STRIPPING
    return Stage.REPAIR if said & _MENDING_STUFF else None


def _without_old(words: Sequence[str]) -> frozenset[str]:
    """The tags of a clause, without those of a coat that was there before: the old varnish."""
    tags: set[str] = set()
    old = 0
    for word in words:
        own = _tags(word)
        if "old" in own:
            old = 3
        elif old and own & {*_LAYERS, "coat", "hue"}:
            continue
        else:
            old = max(0, old - 1)
        tags |= own
    return frozenset(tags)


def _hardware(told: frozenset[str]) -> _Told | None:
    if "undo" in told:
        return _Other.ASIDE
    if "mend" in told and "fit" not in told:
        return Stage.REPAIR
    handled = told & {"fit", "replace", "new", "put", "hang", "clean", "wipe", "finish", "back"}
    return Stage.HARDWARE if handled else None


def _sanded(told: frozenset[str], said: frozenset[str]) -> _Told:
    """Sanding, but what is rubbed down between coats belongs to the coats, and filler sanded flush to the repair."""
    if said & _MENDING_STUFF:
        return Stage.REPAIR
    if "prime" in told:
        return Stage.PRIMING
    if "finish" in told and said & _APPLIED and said & {"rub", "rubbed", "rubbing"}:
        return Stage.FINISH
    if told & {"between", "coat"}:
        of = Stage.COLOUR if "colour" in told else Stage.FINISH if told & {"finish", "shellac"} else None
        return of or (_Other.COLOURED_COAT if "hue" in told else _Other.BETWEEN_COATS)
    return Stage.SANDING


def _coated(told: frozenset[str], said: frozenset[str], bleeds: bool) -> _Told | None:
    """A coat of something."""
    if said & _SURELY_MENDED and not told & {"prime", "colour", "coat"}:
        return Stage.REPAIR
    if (
        "prime" in told
        or ("shellac" in told and (bleeds or "seal" in told))
        or ("seal" in told and told & {"bleed", "knots"})
    ):
        return Stage.PRIMING
    is_finish = "shellac" in told or any("finish" in _tags(word) for word in said if word not in ("oil", "polish"))
    if "colour" in told and not is_finish:
        return Stage.COLOUR
    if told & {"finish", "shellac"}:
        return Stage.FINISH
    if said & {"wash", "washes"} and told & {"coat", "hue", "ordinal"} and not said & _WASH_WATER:
        return _Other.COLOURED_COAT
    if told & {"coat", "seal"}:
        return _Other.COLOURED_COAT if "hue" in told else _Other.COAT
    return None


def _made(told: frozenset[str], said: frozenset[str]) -> _Told | None:
    """Mending, putting together, cleaning, pictures."""
    if "mend" in told:
        return Stage.REPAIR
    if (
        "rejoin" in told
        or ("assembly" in told and told & {"hang", "back"})
        or ({"put", "back"} <= told and "together" in said)
    ):
        return Stage.HARDWARE
    if told & {"fit", "replace"}:
        return Stage.REPAIR
    if "clean" in told or {"wipe", "down"} <= told:
        return Stage.CLEANING
    return _Other.PICTURES if "picture" in told else None
