"""Kinds of coatings and glues, told from their words: what they cover, how long they dry, and whether their rags warm.

What the can says comes before every figure here. Coverage is of one coat on smooth sealed wood, before waste, in
square feet to the US gallon (of wax, to the pound); the ranges are those of public guides, and common practice where a
row says so. Drying times are common practice, no source: for a thin coat in moving air, at 70 to 77 F and about half
humidity. Which rags warm as they dry: the National Fire Protection Association's tip sheet on oily rags.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

GUIDES: Final = "public guides agree"
PRACTICE: Final = "common practice, no source"

HOUR: Final = 60
DAY: Final = 24 * HOUR


class Range(NamedTuple):
    """From the least to the most that is usual."""

    least: Fraction
    most: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Coating:
    """A kind of coating or glue.

    `covers` is in sq ft to the US gallon, or to the pound where `by_weight`. `touch` (dry to the touch), `recoat`,
    `sand`, `use` (light use, or handling what was glued) and `cure` (fully hard) are in minutes; None is not told.
    `warms` says whether a heap of its rags can light itself; `note` what its words left open, and how that was taken.
    """

    name: str
    covers: Range | None = None
    by_weight: bool = False
    covers_source: str = PRACTICE
    touch: Range | None = None
    recoat: Range | None = None
    sand: Range | None = None
    use: Range | None = None
    cure: Range | None = None
    warms: bool = False
    note: str = ""


def _range(least: str | int, most: str | int, unit: int = 1) -> Range:
    return Range(Fraction(least) * unit, Fraction(most) * unit)


_PAINT_COVERS = _range(350, 400)
_PRIMER_COVERS = _range(200, 350)
_CLEAR_COVERS = _range(350, 500)
_VARNISH_COVERS = _range(400, 500)

_WATERBORNE_PAINT = Coating(
    name="waterborne paint",
    covers=_PAINT_COVERS,
    covers_source=GUIDES,
    touch=_range(1, 1, HOUR),
    recoat=_range(4, 4, HOUR),
    sand=_range(4, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(21, 30, DAY),
)
_WATERBORNE_ALKYD = Coating(
    name="waterborne alkyd enamel",
    covers=_PAINT_COVERS,
    covers_source=GUIDES,
    touch=_range(2, 4, HOUR),
    recoat=_range(16, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(7, 7, DAY),
    cure=_range(30, 30, DAY),
)
_OIL_PAINT = Coating(
    name="oil paint",
    covers=_PAINT_COVERS,
    covers_source=GUIDES,
    touch=_range(6, 8, HOUR),
    recoat=_range(24, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(7, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
)
_PAINT = Coating(
    name="paint",
    covers=_PAINT_COVERS,
    covers_source=GUIDES,
    touch=_range(1, 8, HOUR),
    recoat=_range(4, 24, HOUR),
    sand=_range(4, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(21, 30, DAY),
    note="its words say neither waterborne nor oil, so the range is of both",
)
_ENAMEL = Coating(
    name="enamel",
    covers=_PAINT_COVERS,
    covers_source=GUIDES,
    touch=_range(1, 8, HOUR),
    recoat=_range(4, 24, HOUR),
    sand=_range(4, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(21, 30, DAY),
    warms=True,
    note="its words say neither waterborne nor oil, so the range is of both",
)
_CHALK = Coating(
    name="chalk-type paint",
    covers=_range(250, 350),
    touch=_range(30, 60),
    recoat=_range(2, 4, HOUR),
    sand=_range(4, 4, HOUR),
    cure=_range(21, 30, DAY),
)
_MILK = Coating(
    name="milk paint",
    covers=_range(200, 300),
    covers_source="common practice, no source; of the paint as mixed from powder",
    touch=_range(30, 60),
    recoat=_range(2, 4, HOUR),
    sand=_range(4, 4, HOUR),
    cure=_range(21, 30, DAY),
)
_PRIMER = Coating(
    name="bonding primer",
    covers=_PRIMER_COVERS,
    covers_source=GUIDES,
    touch=_range(1, 1, HOUR),
    recoat=_range(1, 4, HOUR),
    sand=_range(4, 4, HOUR),
    cure=_range(7, 30, DAY),
)
_OIL_PRIMER = Coating(name="oil primer", covers=_PRIMER_COVERS, covers_source=GUIDES, warms=True)
_SHELLAC_PRIMER = Coating(
    name="shellac primer",
    covers=_range(300, 400),
    touch=_range(15, 20),
    recoat=_range(45, 60),
    sand=_range(1, 1, HOUR),
    use=_range(1, 1, DAY),
    cure=_range(3, 7, DAY),
)
_SHELLAC = Coating(
    name="shellac",
    covers=_range(300, 400),
    touch=_range(15, 20),
    recoat=_range(45, 60),
    sand=_range(1, 1, HOUR),
    use=_range(1, 1, DAY),
    cure=_range(3, 7, DAY),
)
_LACQUER = Coating(
    name="lacquer",
    covers=_range(150, 300),
    covers_source="common practice, no source; as sprayed, after overspray",
    touch=_range(10, 30),
    recoat=_range(30, 120),
    sand=_range(1, 1, HOUR),
    use=_range(1, 2, DAY),
    cure=_range(21, 30, DAY),
)
_WATERBORNE_CLEAR = Coating(
    name="waterborne clear coat",
    covers=_CLEAR_COVERS,
    touch=_range(30, 60),
    recoat=_range(2, 4, HOUR),
    sand=_range(2, 4, HOUR),
    use=_range(1, 3, DAY),
    cure=_range(21, 30, DAY),
)
_VARNISH = Coating(
    name="oil varnish",
    covers=_VARNISH_COVERS,
    touch=_range(4, 8, HOUR),
    recoat=_range(12, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
)
_POLYURETHANE = Coating(
    name="polyurethane",
    covers=_VARNISH_COVERS,
    touch=_range(4, 8, HOUR),
    recoat=_range(12, 24, HOUR),
    sand=_range(24, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
    note="its words don't say waterborne, so it is taken for oil, the slower of the two",
)
_OIL_STAIN = Coating(
    name="oil stain",
    covers=_range(350, 500),
    covers_source="common practice, no source; smooth hardwood, softwood takes 200 to 300",
    touch=_range(4, 8, HOUR),
    recoat=_range(8, 24, HOUR),
    warms=True,
)
_WATERBORNE_STAIN = Coating(name="waterborne stain")
_GEL_STAIN = Coating(
    name="gel stain", covers=_range(150, 250), touch=_range(4, 8, HOUR), recoat=_range(8, 24, HOUR), warms=True
)
_OIL_FINISH = Coating(
    name="drying-oil finish",
    covers=_range(200, 350),
    covers_source="common practice, no source; first coat, later ones 400 to 600",
    touch=_range(8, 24, HOUR),
    recoat=_range(24, 24, HOUR),
    use=_range(3, 7, DAY),
    cure=_range(30, 30, DAY),
    warms=True,
    note="raw oil hardens in months, not days",
)
_WAX = Coating(
    name="paste wax",
    covers=_range(200, 300),
    by_weight=True,
    touch=_range(10, 20),
    recoat=_range(24, 24, HOUR),
    use=_range(1, 1, DAY),
    cure=_range(7, 30, DAY),
)
_FILLER = Coating(
    name="wood filler",
    recoat=_range(30, 720),
    sand=_range(30, 720),
    cure=_range(24, 24, HOUR),
    note="half an hour where it is thin, overnight where it is deep",
)
_GLUE = Coating(
    name="PVA wood glue",
    recoat=_range(24, 24, HOUR),
    use=_range(24, 24, HOUR),
    cure=_range(24, 24, HOUR),
    note="in clamps for 30 to 90 min; below about 50 F (10 C) it is useless and dries chalky (a supplier's technical note)",
)
_EPOXY = Coating(
    name="epoxy", use=_range(24, 24, HOUR), cure=_range(1, 7, DAY), note="sets in 5 min to 24 h by its type"
)
_CONTACT = Coating(
    name="contact adhesive", touch=_range(10, 30), cure=_range(1, 3, DAY), note="joins at once when it is tacky"
)
_CONSTRUCTION = Coating(name="construction adhesive", use=_range(24, 24, HOUR), cure=_range(1, 7, DAY))

_WATER = r"\b(?:water(?:[- ]?(?:based?|borne))?|acrylic|latex|emulsion)\b"
_OILY = r"\b(?:oil(?:[- ]?based?)?|alkyd|linseed|tung)\b"

# The first row that fits settles it; None is no coating.
_ROWS: Final[tuple[tuple[str, Coating | None], ...]] = (
    (r"\b(?:strippers?|removers?|cleaners?|soaps?|thinners?|spirits?|brush(?:es)?|rags?|cloths?|tape|detergents?|rollers?|sleeves?|tack)\b", None),
    (r"\b(?:mineral|lemon|orange|machine|essential) oil\b|\bpolish\b(?!.*french)", None),
    (rf"{_WATER}.*\balkyd\b|\balkyd\b.*{_WATER}|\bhybrid\b.*\benamel\b", _WATERBORNE_ALKYD),
    (r"\bshellac\b.*\bprimer\b|\bprimer\b.*\bshellac\b", _SHELLAC_PRIMER),
    (rf"{_OILY}.*\b(?:primer|undercoat)\b|\b(?:primer|undercoat)\b.*{_OILY}", _OIL_PRIMER),
    (r"\bprimer\b|\bundercoat\b|\bstain[- ]?block", _PRIMER),
    (r"\bshellac\b|\bfrench polish\b", _SHELLAC),
    (rf"{_WATER}.*\bstain\b|\bstain\b.*{_WATER}", _WATERBORNE_STAIN),
    (r"\bgel stain\b", _GEL_STAIN),
    (r"\bstain\b", _OIL_STAIN),
    (r"\bdye\b", None),
    (r"\bchalk", _CHALK),
    (r"\bmilk paint\b|\bcasein\b", _MILK),
    (rf"{_WATER}.*\b(?:lacquer|varnish|polyurethane|poly|clear ?coat|top ?coat|finish|sealer)\b", _WATERBORNE_CLEAR),
    (rf"\b(?:lacquer|varnish|polyurethane|poly|clear ?coat|top ?coat)\b.*{_WATER}", _WATERBORNE_CLEAR),
    (r"\blacquer\b", _LACQUER),
    (rf"{_OILY}.*\b(?:polyurethane|poly|clear ?coat|top ?coat)\b|\bvarnish\b", _VARNISH),
    (r"\bpolyurethane\b|\bpoly\b", _POLYURETHANE),
    (r"\bclear ?coat\b|\btop ?coat\b", _WATERBORNE_CLEAR),
    (rf"{_WATER}.*\b(?:paint|enamel)\b|\b(?:paint|enamel)\b.*{_WATER}", _WATERBORNE_PAINT),
    (rf"{_OILY}.*\b(?:paint|enamel)\b|\b(?:paint|enamel)\b.*{_OILY}", _OIL_PAINT),
    (r"\benamel\b", _ENAMEL),
    (r"\bpaint\b", _PAINT),
    (r"^(?!.*\boil\b).*\bwax\b", _WAX),
    (r"\b(?:danish|tung|linseed|teak|walnut|hemp|boiled|drying|wiping|hardening|finishing|hard|hardwax) oil\b|\boil finish\b|\blinseed\b", _OIL_FINISH),
    (r"\bepoxy\b", _EPOXY),
    (r"\bcontact (?:adhesive|cement)\b", _CONTACT),
    (r"\bconstruction adhesive\b", _CONSTRUCTION),
    (r"\bfiller\b|\bputty\b", _FILLER),
    (r"\bglue\b|\bpva\b", _GLUE),
    (r"\boil\b", _OIL_FINISH),
)  # fmt: skip
_PATTERNS: Final = tuple((re.compile(pattern), coating) for pattern, coating in _ROWS)

COATINGS: Final = tuple({coating.name: coating for _, coating in _ROWS if coating is not None}.values())


@lru_cache(maxsize=1024)
def coating_of(kind: str, name: str) -> Coating | None:
    """The kind of coating that a product is, by the `type` that products.yaml gives it, else by its name.

    None where neither tells, and for what is no coating: a stripper, a thinner, a cloth.
    """
    for words in (kind, f"{kind} {name}"):
        folded = " ".join(words.casefold().replace("_", " ").split())
        for pattern, coating in _PATTERNS:
            if folded and pattern.search(folded):
                return coating
    return None
