"""Grades of coated abrasives by the size of their grains, and the ladders that are usual.

P series: the mean grain in micrometres of FEPA 43-1, which ISO 6344 took over, to P220 as sizes.com, "sandpaper", and
charts of suppliers list it; the tenths from P240 on are from memory of the standard. CAMI series (no letter): from
memory of ANSI B74.18, by the same charts, which differ by a micrometre from 280 on.

The usual ladders, and how far one grade may go past another, are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

P_SERIES: Final[dict[int, Fraction]] = {
    grade: Fraction(size)
    for grade, size in {
        12: "1815", 16: "1324", 20: "1000", 24: "764", 30: "642", 36: "538", 40: "425", 50: "336", 60: "269",
        80: "201", 100: "162", 120: "125", 150: "100", 180: "82", 220: "68", 240: "58.5", 280: "52.2", 320: "46.2",
        360: "40.5", 400: "35.0", 500: "30.2", 600: "25.8", 800: "21.8", 1000: "18.3", 1200: "15.3", 1500: "12.6",
        2000: "10.3", 2500: "8.4",
    }.items()
}  # fmt: skip
"""Mean grain in micrometres, by grade."""

CAMI_SERIES: Final[dict[int, Fraction]] = {
    grade: Fraction(size)
    for grade, size in {
        16: "1320", 20: "905", 24: "715", 30: "638", 36: "535", 40: "428", 50: "351", 60: "268", 80: "192",
        100: "141", 120: "116", 150: "93", 180: "82", 220: "68", 240: "53", 280: "43", 320: "36", 360: "28",
        400: "23", 500: "18", 600: "15",
    }.items()
}  # fmt: skip
"""Mean grain in micrometres, by grade."""

AGREE_TO: Final = 220
"""Up to this number the two series are within 15% of one another (reckoned from the tables)."""

SOLD: Final = (24, 36, 40, 60, 80, 100, 120, 150, 180, 220, 320, 400, 600, 800, 1000, 1200, 1500, 2000)
"""Grades that most shops keep: common practice, no source."""

GOOD: Final = Fraction(17, 10)
"""A grain up to so many times the next is a good step: the grit number goes up by about a half."""
LONG: Final = Fraction(2)
"""Up to so many times, a long step that wants more strokes; past it, scratches stay."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SandedFor:
    """A job, its usual ladder of grades, a word of advice, and the step for a log where it is no `sand for`."""

    name: str
    grades: tuple[int, ...]
    advice: str
    did: str = ""


PURPOSES: Final = (
    SandedFor(
        name="strip",
        grades=(60, 80, 120),
        advice="Scraping and strippers make less dust. Have old paint tested for lead before any of it.",
        did="sand the old coats off",
    ),
    SandedFor(name="paint", grades=(80, 120, 150), advice="180 where the paint is thin or dark."),
    SandedFor(
        name="stain",
        grades=(100, 120, 150, 180),
        advice="220 at most, or the stain takes too little; end grain one grade finer.",
    ),
    SandedFor(
        name="softwood stain", grades=(120, 150, 180), advice="Coarser paper tears the soft rings, and they stain dark."
    ),
    SandedFor(
        name="scuff",
        grades=(180, 220),
        advice="Only until the shine is gone; it should not go through the old finish.",
        did="scuff the old finish",
    ),
    SandedFor(
        name="raised grain",
        grades=(220,),
        advice="Damp it, let it dry, then once by hand along the grain.",
        did="damp it, let it dry, and sand the raised grain once by hand",
    ),
    SandedFor(
        name="between paint coats",
        grades=(220, 320),
        advice="Lightly, and wipe the dust off.",
        did="sand between the coats of paint",
    ),
    SandedFor(
        name="between clear coats",
        grades=(320, 400),
        advice="A light scuff; 320 for oil, 400 for thin coats.",
        did="scuff between the clear coats",
    ),
    SandedFor(name="wax", grades=(400, 600), advice="And finer still for a rubbed finish.", did="rub it down for wax"),
)

VENEER_START: Final = 120
"""The coarsest grade on veneer by hand: common practice, no source."""
VENEER_THICKNESS: Final = (
    "Sliced veneer is about 0.6 mm now, 0.8 to 0.9 mm in the middle of the twentieth century, and "
    "early sawn veneer 1.5 to 3 mm (common practice, no source)"
)
