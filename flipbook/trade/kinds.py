"""What a product is: decided once, from the words of its type or its name, by one table of rows.

Care, tags, listings, stages, cautions, coats and drying are handed the kind and know no product by its words. A new
kind is a `ProductKind` and a row below, and a case in its test.

What the can says comes before every figure here. Coverage, drying times and care are common practice, no source:
coverage is of one coat on smooth sealed wood, before waste; times are for a thin coat in moving air, at 70 to 77 F and
about half humidity. Which rags warm as they dry: the National Fire Protection Association's tip sheet on oily rags.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from flipbook.shop.nearest import folded
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import Stage

PRACTICE: Final = "common practice, no source"

HOUR: Final = 60
DAY: Final = 24 * HOUR


class Family(StrEnum):
    """What is much alike in the work; `UNKNOWN` is what no words tell."""

    PAINT = "paint"
    CHALKY = "chalk-type or milk paint"
    STAIN = "stain, dye or glaze"
    PRIMER = "primer"
    SEALER = "sealer"
    CLEAR = "waterborne clear coat"
    VARNISH = "oil varnish"
    LACQUER = "lacquer"
    SHELLAC = "shellac"
    OIL = "drying oil"
    WAX = "wax"
    FILLER = "filler"
    GLUE = "glue"
    STRIPPER = "stripper"
    CLEANER = "cleaner"
    THINNER = "thinner"
    BLEACH = "bleach"
    POLISH = "polish that never hardens"
    ABRASIVE = "abrasive"
    TOOL = "brush, rag or tape"
    UNKNOWN = "not told"


_STAGES: Final = {
    Family.PAINT: Stage.COLOUR,
    Family.CHALKY: Stage.COLOUR,
    Family.STAIN: Stage.COLOUR,
    Family.PRIMER: Stage.PRIMING,
    Family.SEALER: Stage.FINISH,
    Family.CLEAR: Stage.FINISH,
    Family.VARNISH: Stage.FINISH,
    Family.LACQUER: Stage.FINISH,
    Family.SHELLAC: Stage.FINISH,
    Family.OIL: Stage.FINISH,
    Family.WAX: Stage.FINISH,
    Family.FILLER: Stage.REPAIR,
    Family.GLUE: Stage.REPAIR,
    Family.STRIPPER: Stage.STRIPPING,
    Family.CLEANER: Stage.CLEANING,
    Family.ABRASIVE: Stage.SANDING,
}
COATS: Final = frozenset(
    family for family in Family if _STAGES.get(family) in (Stage.PRIMING, Stage.COLOUR, Stage.FINISH)
)
"""The families that are put on as a coat."""


class Solvent(StrEnum):
    """What thins it, and cleans its brush while it is wet."""

    WATER = "water"
    SPIRITS = "mineral spirits"
    ALCOHOL = "alcohol"
    THINNER = "lacquer thinner"


class Hazard(StrEnum):
    """What is in it that burns, or poisons."""

    STRIPPER = "a stripper"
    SOLVENT = "a solvent that burns"
    BLEACH = "chlorine or another bleach"
    CHLORINE = "chlorine bleach"
    ACID = "an acid"
    AMMONIA = "ammonia"
    OXALIC = "oxalic acid"


class Range(NamedTuple):
    """From the least to the most that is usual."""

    least: Fraction
    most: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class ProductKind:
    """What a product is.

    `care` is how a piece is looked after whose finish it is; what is no finish has none. `covers` is in sq ft to the US
    gallon, or to the pound where `by_weight`. `touch` (dry to the touch), `recoat`, `sand`, `use` (light use, or
    handling what was glued) and `cure` (fully hard) are in minutes; None is not told. `warms` says whether a heap of
    its rags can light itself. `under` are the families that may go over it; None where that is not told. `note` is
    what its words left open, and how that was taken.
    """

    name: str
    family: Family
    care: str = ""
    solvent: Solvent | None = None
    covers: Range | None = None
    by_weight: bool = False
    covers_source: str = PRACTICE
    touch: Range | None = None
    recoat: Range | None = None
    sand: Range | None = None
    use: Range | None = None
    cure: Range | None = None
    warms: bool = False
    hazards: frozenset[Hazard] = frozenset()
    under: frozenset[Family] | None = None
    note: str = ""

    @property
    def is_finish(self) -> bool:
        """Whether it is a coat whose care is the piece's when it is the last one."""
        return bool(self.care)

    @property
    def stage(self) -> Stage | None:
        """The stage of the work at which it is used, where that tells one."""
        return _STAGES.get(self.family)

    @property
    def stays(self) -> bool:
        """Whether it is known to stay on the piece: a coating, a filler or a glue."""
        return self.family in COATS or self.family in (Family.FILLER, Family.GLUE)


class Mention(NamedTuple):
    """A product in a sentence: the words that name it, where they start, and what it is.

    `is_sure` is whether the words say by themselves what it is thinned with: `oil varnish` does, `varnish` does not.
    """

    words: str
    at: int
    kind: ProductKind
    is_sure: bool


def _range(least: str | int, most: str | int, unit: int = 1) -> Range:
    return Range(Fraction(least) * unit, Fraction(most) * unit)


_DAMP_CLOTH = "Wipe with a soft damp cloth and a drop of mild soap, and dry at once. No ammonia, bleach, abrasive or silicone polish."
_DUST_ONLY = "Dust only, unless it is sealed; marks come with it and are part of it."
_NO_ALCOHOL = "Dust, or wipe barely damp. No alcohol, perfume, nail polish or hot cups."
_NO_ALCOHOL_OR_SOAP = (
    "Dust, or wipe barely damp. No alcohol, perfume, nail polish or hot cups; no ammonia or alkaline soap."
)
_OIL_AGAIN = "Dust with a dry cloth. Oil again once or twice a year; lay the oily cloths out singly to dry out of doors, since heaped they can catch fire."
_WAX_AGAIN = (
    "Dust and buff with a soft cloth. Wax again once a year, or when water no longer beads. No oil polish, and no heat."
)

UNKNOWN: Final = ProductKind(name="", family=Family.UNKNOWN)

_WATERBORNE_PAINT = ProductKind(
    name="waterborne paint",
    family=Family.PAINT,
    care=_DAMP_CLOTH,
    solvent=Solvent.WATER,
    covers=_range(350, 400),
    touch=_range(1, 1, HOUR),
    recoat=_range(4, 4, HOUR),
    sand=_range(4, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(21, 30, DAY),
)
_WATERBORNE_ALKYD = replace(
    _WATERBORNE_PAINT,
    name="waterborne alkyd enamel",
    touch=_range(2, 4, HOUR),
    recoat=_range(16, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(7, 7, DAY),
    cure=_range(30, 30, DAY),
)
_OIL_PAINT = replace(
    _WATERBORNE_ALKYD,
    name="oil paint",
    solvent=Solvent.SPIRITS,
    touch=_range(6, 8, HOUR),
    recoat=_range(24, 24, HOUR),
    warms=True,
)
_PAINT = replace(
    _WATERBORNE_PAINT,
    name="paint",
    solvent=None,
    touch=_range(1, 8, HOUR),
    recoat=_range(4, 24, HOUR),
    note="its words say neither waterborne nor oil, so the range is of both",
)
_ENAMEL = replace(_PAINT, name="enamel", warms=True)
_CHALK = ProductKind(
    name="chalk-type paint",
    family=Family.CHALKY,
    care=_DUST_ONLY,
    solvent=Solvent.WATER,
    covers=_range(250, 350),
    touch=_range(30, 60),
    recoat=_range(2, 4, HOUR),
    sand=_range(4, 4, HOUR),
    cure=_range(21, 30, DAY),
)
_MILK = replace(
    _CHALK,
    name="milk paint",
    covers=_range(200, 300),
    covers_source=f"{PRACTICE}; of the paint as mixed from powder",
)
_PRIMER = ProductKind(
    name="bonding primer",
    family=Family.PRIMER,
    covers=_range(200, 350),
    touch=_range(1, 1, HOUR),
    recoat=_range(1, 4, HOUR),
    sand=_range(4, 4, HOUR),
    cure=_range(7, 30, DAY),
)
_OIL_PRIMER = ProductKind(
    name="oil primer", family=Family.PRIMER, solvent=Solvent.SPIRITS, covers=_range(200, 350), warms=True
)
_SHELLAC = ProductKind(
    name="shellac",
    family=Family.SHELLAC,
    care=_NO_ALCOHOL_OR_SOAP,
    solvent=Solvent.ALCOHOL,
    covers=_range(300, 400),
    touch=_range(15, 20),
    recoat=_range(45, 60),
    sand=_range(1, 1, HOUR),
    use=_range(1, 1, DAY),
    cure=_range(3, 7, DAY),
)
_SHELLAC_PRIMER = replace(_SHELLAC, name="shellac primer", family=Family.PRIMER, care="")
_SEALER = ProductKind(name="sanding sealer", family=Family.SEALER)
_LACQUER = ProductKind(
    name="lacquer",
    family=Family.LACQUER,
    care=_NO_ALCOHOL,
    solvent=Solvent.THINNER,
    covers=_range(150, 300),
    covers_source=f"{PRACTICE}; as sprayed, after overspray",
    touch=_range(10, 30),
    recoat=_range(30, 120),
    sand=_range(1, 1, HOUR),
    use=_range(1, 2, DAY),
    cure=_range(21, 30, DAY),
    hazards=frozenset((Hazard.SOLVENT,)),
)
_WATERBORNE_CLEAR = ProductKind(
    name="waterborne clear coat",
    family=Family.CLEAR,
    care=_DAMP_CLOTH,
    solvent=Solvent.WATER,
    covers=_range(350, 500),
    touch=_range(30, 60),
    recoat=_range(2, 4, HOUR),
    sand=_range(2, 4, HOUR),
    use=_range(1, 3, DAY),
    cure=_range(21, 30, DAY),
)
_VARNISH = ProductKind(
    name="oil varnish",
    family=Family.VARNISH,
    care=_DAMP_CLOTH,
    solvent=Solvent.SPIRITS,
    covers=_range(400, 500),
    touch=_range(4, 8, HOUR),
    recoat=_range(12, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
)
_POLYURETHANE = replace(
    _VARNISH,
    name="polyurethane",
    note="its words don't say waterborne, so it is taken for oil, the slower of the two",
)
_OIL_STAIN = ProductKind(
    name="oil stain",
    family=Family.STAIN,
    solvent=Solvent.SPIRITS,
    covers=_range(350, 500),
    covers_source=f"{PRACTICE}; smooth hardwood, softwood takes 200 to 300",
    touch=_range(4, 8, HOUR),
    recoat=_range(8, 24, HOUR),
    warms=True,
)
_GEL_STAIN = replace(_OIL_STAIN, name="gel stain", covers=_range(150, 250), covers_source=PRACTICE)
_WATERBORNE_STAIN = ProductKind(name="waterborne stain", family=Family.STAIN, solvent=Solvent.WATER)
_DYE = ProductKind(name="wood dye", family=Family.STAIN)
_GLAZE = ProductKind(name="glaze", family=Family.STAIN)
_OIL = ProductKind(
    name="drying-oil finish",
    family=Family.OIL,
    care=_OIL_AGAIN,
    solvent=Solvent.SPIRITS,
    covers=_range(200, 350),
    covers_source=f"{PRACTICE}; first coat, later ones 400 to 600",
    touch=_range(8, 24, HOUR),
    recoat=_range(24, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
    note="raw oil hardens in months, not days",
)
_WAX = ProductKind(
    name="paste wax",
    family=Family.WAX,
    care=_WAX_AGAIN,
    covers=_range(200, 300),
    by_weight=True,
    touch=_range(10, 20),
    recoat=_range(24, 24, HOUR),
    use=_range(1, 1, DAY),
    cure=_range(7, 30, DAY),
    under=frozenset((Family.WAX,)),
)
_FILLER = ProductKind(
    name="wood filler",
    family=Family.FILLER,
    recoat=_range(30, 720),
    sand=_range(30, 720),
    cure=_range(24, 24, HOUR),
    note="half an hour where it is thin, overnight where it is deep",
)
_OIL_PUTTY = ProductKind(name="oil putty", family=Family.FILLER, solvent=Solvent.SPIRITS, warms=True)
_GLUE = ProductKind(
    name="PVA wood glue",
    family=Family.GLUE,
    recoat=_range(24, 24, HOUR),
    use=_range(24, 24, HOUR),
    cure=_range(24, 24, HOUR),
    note="in clamps for 30 to 90 min; below about 50 F (10 C) it is useless and dries chalky (a supplier's technical note)",
)
_EPOXY = ProductKind(
    name="epoxy",
    family=Family.GLUE,
    use=_range(24, 24, HOUR),
    cure=_range(1, 7, DAY),
    note="sets in 5 min to 24 h by its type",
)
_CONTACT = ProductKind(
    name="contact adhesive",
    family=Family.GLUE,
    touch=_range(10, 30),
    cure=_range(1, 3, DAY),
    note="joins at once when it is tacky",
)
_CONSTRUCTION = ProductKind(
    name="construction adhesive", family=Family.GLUE, use=_range(24, 24, HOUR), cure=_range(1, 7, DAY)
)
_STRIPPER = ProductKind(name="stripper", family=Family.STRIPPER, hazards=frozenset((Hazard.STRIPPER,)))
_CLEANER = ProductKind(name="cleaner", family=Family.CLEANER)
_THINNER = ProductKind(name="thinner", family=Family.THINNER, hazards=frozenset((Hazard.SOLVENT,)))
_BLEACH = ProductKind(name="bleach", family=Family.BLEACH, hazards=frozenset((Hazard.BLEACH,)))
_POLISH = ProductKind(name="polish", family=Family.POLISH)
_ABRASIVE = ProductKind(name="abrasive", family=Family.ABRASIVE)
_TOOL = ProductKind(name="brush or rag", family=Family.TOOL)

_WATER = r"\b(?:water(?:[- ]?(?:based?|borne))?|acrylic|latex|emulsion)\b"
_TRULY_WATER = r"\bwater[- ]?(?:based?|borne)\b"
_OILY = r"\b(?:oil(?:[- ]?based?)?|alkyd|linseed|tung)\b"
_CLEAR_WORDS = r"\b(?:varnish|polyurethane|poly|urethane|clear ?coat|top ?coat)\b"


def _both(one: str, other: str) -> str:
    """Two patterns, in either order."""
    return rf"{one}.*{other}|{other}.*{one}"


# The first row that fits settles it. The third column is whether the words say by themselves what thins it.
_ROWS: Final[tuple[tuple[str, ProductKind, bool], ...]] = (
    (r"\bpaint ?brush(?:es)?\b|\b(?:brush(?:es)?|rags?|cloths?|tape|rollers?|sleeves?|foam)$|\w +(?:brush(?:es)?|rags?|cloths?|tape|rollers?|sleeves?)\b|\btack\b", _TOOL, True),
    (r"\bstrippers?\b|\bremovers?\b|\bmethylene chloride\b|\bdichloromethane\b", _STRIPPER, True),
    (r"\bcleaners?\b|\bsoaps?\b|\bdetergents?\b|\bdegreasers?\b|\bvinegar\b|\bammonia\b", _CLEANER, True),
    (r"\bbleach\b|\bperoxide\b|\bhypochlorite\b|\boxalic\b", _BLEACH, True),
    (r"\b(?:spirit|alcohol)\b.*\b(?:stain|dye)\b", _DYE, True),
    (r"\b(?:thinners?|spirits?|alcohol|turpentine|turps|naphtha|acetone|xylene|toluene|solvents?)\b(?!.*\b(?:primer|varnish|lacquer|shellac)\b)", _THINNER, True),
    (r"\b(?:mineral|lemon|orange|machine|essential|paraffin|baby|olive) oil\b", _POLISH, True),
    (_both(r"\b(?:oil|linseed)\b", r"\bputty\b"), _OIL_PUTTY, True),
    (r"\bepoxy\b(?!.*\b(?:paint|primer)\b)", _EPOXY, True),
    (r"\bcontact (?:adhesive|cement)\b", _CONTACT, True),
    (r"\bconstruction adhesive\b", _CONSTRUCTION, True),
    (r"\bfillers?\b|\bputty\b|\bcaulk\b|\b(?:wax|shellac|burn-in|repair) sticks?\b", _FILLER, True),
    (r"\bglues?\b|\bpva\b|\badhesive\b", _GLUE, True),
    (r"\bsandpaper\b|\babrasives?\b|\b(?:steel|wire) wool\b|\bsanding (?!sealer)", _ABRASIVE, True),
    (_both(r"\bshellac\b", r"\bprimer\b") + r"|\bknotting\b", _SHELLAC_PRIMER, True),
    (_both(_OILY, r"\b(?:primer|undercoat)\b"), _OIL_PRIMER, True),
    (r"\bprimer\b|\bundercoat\b|\bstain[- ]?block", _PRIMER, True),
    (r"\bshellac\b|\b(?:french|button) polish\b|\bseedlac\b", _SHELLAC, True),
    (rf"{_WATER}.*\bsealer\b", _WATERBORNE_CLEAR, True),
    (r"\bsealer\b", _SEALER, True),
    (r"\bvarnish[- ]stain\b|\bstain(?:ing)?[- ](?:and[- ])?varnish\b", _VARNISH, True),
    (_both(_WATER, r"\bstain\b"), _WATERBORNE_STAIN, True),
    (_both(r"\bgel\b", r"\bstain\b"), _GEL_STAIN, True),
    (_both(_OILY, r"\bstain\b"), _OIL_STAIN, True),
    (r"\bstain\b", _OIL_STAIN, False),
    (r"\bdyes?\b", _DYE, True),
    (r"\bglaze\b|\btoner\b", _GLAZE, True),
    (r"\bhard ?wax\b.*\boil\b|\bwax[- ]oil\b|\boil\b.*\bwax\b|\bwax\b.*\boil\b", _OIL, True),
    (r"\b(?:bees)?wax\b", _WAX, True),
    (r"\bpolish\b", _POLISH, True),
    (_both(_WATER, r"\balkyd\b") + r"|\bhybrid\b.*\benamel\b", _WATERBORNE_ALKYD, True),
    (r"\bchalk", _CHALK, True),
    (r"\bmilk paint\b|\bcasein\b", _MILK, True),
    (_both(_TRULY_WATER, r"\blacquer\b"), _WATERBORNE_CLEAR, True),
    (r"\blacquer\b", _LACQUER, True),
    (_both(_WATER, rf"(?:{_CLEAR_WORDS}|\bclear\b)") + rf"|{_WATER}.*\bfinish\b", _WATERBORNE_CLEAR, True),
    (_both(_OILY, _CLEAR_WORDS), _VARNISH, True),
    (r"\bvarnish\b", _VARNISH, False),
    (r"\bpolyurethane\b|\bpoly\b|\burethane\b", _POLYURETHANE, False),
    (r"\bclear ?coat\b|\btop ?coat\b", _WATERBORNE_CLEAR, False),
    (_both(_WATER, r"\b(?:paint|enamel)\b"), _WATERBORNE_PAINT, True),
    (_both(_OILY, r"\b(?:paint|enamel)\b"), _OIL_PAINT, True),
    (r"\benamel\b", _ENAMEL, False),
    (r"\bpaint\b", _PAINT, False),
    (r"\b(?:danish|tung|linseed|teak|walnut|hemp|boiled|drying|wiping|hardening|finishing|hard)[- ]oil\b|\boil finish\b|\blinseed\b", _OIL, True),
    (r"\bclear\b.*\bfinish\b", _WATERBORNE_CLEAR, False),
)  # fmt: skip
# What these say of a name is settled by it where it says more, as in `satin varnish` of the type `acrylic`.
_ALONE: Final[tuple[tuple[str, ProductKind, bool], ...]] = (
    (r"\balkyd\b", _OIL_PAINT, True),
    (r"\bacrylic\b|\blatex\b|\bemulsion\b", _WATERBORNE_PAINT, True),
    (r"\boil\b(?![- ]?based)", _OIL, False),
)
_PATTERNS: Final = tuple((re.compile(pattern), kind, is_sure) for pattern, kind, is_sure in _ROWS)
_PATTERNS_ALONE: Final = tuple((re.compile(pattern), kind, is_sure) for pattern, kind, is_sure in _ALONE)
KINDS: Final = tuple({kind.name: kind for _, kind, _ in (*_ROWS, *_ALONE)}.values())

_HAZARDS: Final = tuple(
    (re.compile(pattern), frozenset(hazards))
    for pattern, hazards in (
        (r"\bstrippers?\b|\bremovers?\b|\bmethylene chloride\b|\bdichloromethane\b", (Hazard.STRIPPER,)),
        (r"\bspirits?\b(?! level)|\bturpentine\b|\bturps\b|\bnaphtha\b|\bacetone\b|\bxylene\b|\btoluene\b|\bthinners?\b|\balcohol\b|\bsolvents?\b|\blacquer", (Hazard.SOLVENT,)),
        (r"(?<!sun )(?<!sun-)\bbleach|\bperoxide\b", (Hazard.BLEACH,)),
        (r"\b(?:chlorine|household|laundry|pool) bleach\b|\bhypochlorite\b|\bchlorine\b", (Hazard.BLEACH, Hazard.CHLORINE)),
        (r"\boxalic\b", (Hazard.BLEACH, Hazard.OXALIC, Hazard.ACID)),
        (r"\bvinegar\b|\b(?:citric|acetic|muriatic|hydrochloric|phosphoric) acid\b", (Hazard.ACID,)),
        (r"\bammonia\b", (Hazard.AMMONIA,)),
    )
)  # fmt: skip
_IS_WATERBORNE: Final = re.compile(_TRULY_WATER)


def kind_of(name: str, type_: str = "") -> ProductKind:
    """What a product is, by the `type` that products.yaml gives it, else by its name; `UNKNOWN` where neither tells.

    A type that tells no kind by itself, as `waterborne`, is read with the name.
    """
    return _told(folded(name), folded(type_))[0]


def kind_used(name: str, products: Mapping[str, Product]) -> ProductKind:
    """The kind of a product that a step used; `products` are by folded name, as `Facts.products` has them."""
    plain = folded(name)
    known = products.get(plain)
    return _told(plain, folded(known.type) if known is not None else "")[0]


# What parts the products of a sentence from each other and from what was done with them.
_BETWEEN = re.compile(
    r"[;,.:()!?]+|\b(?:and|then|but|or|of|on|onto|over|under|with|without|the|an?|to|in|into|inside|outside|off|from|for|by|at|"
    r"it|its|all|no|not|never|was|is|so|that|until|before|after|between|out|up|down|away)\b"
)


@lru_cache(maxsize=16384)
def mentions(sentence: str) -> tuple[Mention, ...]:
    """The products that a sentence names, in its order; `at` counts in the sentence as `casefold` gives it."""
    text = sentence.casefold()
    found = []
    start = 0
    for end, after in [*(gap.span() for gap in _BETWEEN.finditer(text)), (len(text), len(text))]:
        words = text[start:end]
        kind, is_sure = _told(folded(words), "")
        if kind is not UNKNOWN:
            at = start + len(words) - len(words.lstrip())
            found.append(Mention(words.strip(), at, kind, is_sure))
        start = after
    return tuple(found)


@lru_cache(maxsize=16384)
def _told(name: str, type_: str) -> tuple[ProductKind, bool]:
    """The kind, and whether the words say by themselves what thins it."""
    every = f"{type_} {name}".replace("_", " ").strip()
    searched = ((type_.replace("_", " "), _PATTERNS), (every, _PATTERNS), (every, _PATTERNS_ALONE))
    told = next(
        (
            (kind, is_sure)
            for words, patterns in searched
            for pattern, kind, is_sure in patterns
            if words and pattern.search(words)
        ),
        (UNKNOWN, False),
    )
    kind, is_sure = told
    hazards = frozenset().union(*(of for pattern, of in _HAZARDS if pattern.search(every)))
    if _IS_WATERBORNE.search(every):
        hazards -= {Hazard.SOLVENT}
    return told if hazards <= kind.hazards else (replace(kind, hazards=kind.hazards | hazards), is_sure)
