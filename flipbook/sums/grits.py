"""Grits: the ladder from one grade to another, compared by the size of the grains and never by number across series.

Each grade has only to take out the scratches of the last one. How far a step may go is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, cast

from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import Answer
from flipbook.sums.data.abrasives import (
    AGREE_TO,
    CAMI_SERIES,
    GOOD,
    LONG,
    P_SERIES,
    PURPOSES,
    SOLD,
    VENEER_START,
    VENEER_THICKNESS,
    SandedFor,
)
from flipbook.trade.cautions import LEAD_PAINT, may_hold_lead

if TYPE_CHECKING:
    from flipbook.shop.editing import Entry
    from flipbook.sums.at_hand import AtHand

Series = Literal["P", "CAMI"]

_TABLES: dict[Series, dict[int, Fraction]] = {"P": P_SERIES, "CAMI": CAMI_SERIES}
_GRIT = re.compile(r"(?:(p|cami|ansi)[ -]?)?([0-9]{1,5})(?:[ -]?grit)?", re.IGNORECASE)
_MOST = 30


@dataclass(frozen=True, kw_only=True, slots=True)
class Grit:
    """A grade of one series; `grain` is the mean size of its grains, in micrometres."""

    series: Series
    grade: int
    grain: Fraction

    def __str__(self) -> str:
        return f"P{self.grade}" if self.series == "P" else f"CAMI {self.grade}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rung:
    """A step from one grit to the next: how many times larger the first one's grains are."""

    grit: Grit
    after: Grit | None
    ratio: Fraction | None
    says: Literal["start", "good", "long", "too far", "back"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Ladder:
    """A ladder of grits, what is to be said of it, and the working."""

    rungs: tuple[Rung, ...]
    warnings: tuple[str, ...]
    advice: tuple[str, ...]
    working: tuple[str, ...]

    @property
    def grits(self) -> tuple[Grit, ...]:
        return tuple(rung.grit for rung in self.rungs)


def read_grit(text: str, series: Series | None = None) -> Grit:
    """The grade that `text` names: `P320`, `CAMI 320`, `120`.

    A number alone is of `series`; where that is not said it is of the P series up to 220, to where the two hardly
    differ. Raises Unreadable for a number past that with no series, and for a grade that the series does not have.
    """
    body = " ".join(text.split())
    found = _GRIT.fullmatch(body)
    if found is None:
        raise Unreadable(f"`{shown(body)}` is not a grit", "write it as `120`, `P320` or `CAMI 320`")
    letter, number = (found[1] or "").lower(), int(found[2])
    of: Series | None = "P" if letter == "p" else "CAMI" if letter else series
    if of is None:
        if number > AGREE_TO and number in {**P_SERIES, **CAMI_SERIES}:
            of_cami = f"is of {_um(CAMI_SERIES[number])}" if number in CAMI_SERIES else "is much finer"
            of_p = f"P{number} has grains of {_um(P_SERIES[number])}, " if number in P_SERIES else ""
            raise Unreadable(
                f"`{number}` does not say which series: {of_p}and {number} of the US series (CAMI) {of_cami}",
                f"look at the back of the sheet, and write `P{number}` or `CAMI {number}`",
            )
        of = "P"
    table = _TABLES[of]
    if number not in table:
        near = sorted(table, key=lambda grade: abs(grade - number))[:2]
        names = " or ".join(f"`{'P' if of == 'P' else 'CAMI '}{grade}`" for grade in sorted(near))
        raise Unreadable(f"`{shown(body)}` is no grade of the {of} series", f"write {names}")
    return Grit(series=of, grade=number, grain=table[number])


def read_grits(text: str, series: Series | None = None) -> tuple[Grit, ...]:
    """The grits of a list, `80, 120, 180`; beside one that says its series, those without a letter are of that series.

    Raises Unreadable as `read_grit` does.
    """
    words = [word.strip() for word in re.split(r"[,;]", text)]
    named = {"P" if word[:1] in "pP" else "CAMI" for word in words if word and not word[0].isdigit()}
    if series is None and named == {"CAMI"}:
        series = "CAMI"
    return tuple(read_grit(word, series) for word in words)


def purpose_of(words: str) -> SandedFor:
    """The job that `words` name. Raises Unreadable, with the nearest known."""
    by_name = {purpose.name: purpose for purpose in PURPOSES}
    said = " ".join(words.casefold().split())
    if said in by_name:
        return by_name[said]
    near = get_close_matches(said[:60], by_name, n=1, cutoff=0.6)
    raise Unreadable(
        f"`{shown(said)}` is no purpose known here",
        f"write `{near[0]}`" if near else f"write one of {', '.join(by_name)}",
    )


def ladder_between(start: Grit, end: Grit, *, purpose: SandedFor | None = None, veneer: bool = False) -> Ladder:
    """The fewest grades that go from `start` to `end` in good steps, of those that most shops keep.

    Raises Unreadable when `end` is not finer than `start`, or is of the other series.
    """
    if start.series != end.series:
        raise Unreadable(
            f"{start} and {end} are of two series, and their numbers can't be held against one another",
            "write both of one series, or list the grits to have their grains compared",
        )
    if end.grain >= start.grain:
        raise Unreadable(
            f"{end} is {'coarser than' if end.grain > start.grain else 'as coarse as'} {start}",
            f"write the coarser one first, as `{end} to {start}`"
            if end.grain > start.grain
            else "write a finer one to end with",
        )
    table = _TABLES[start.series]
    kept = [grade for grade in SOLD if grade in table and start.grain > table[grade] > end.grain]
    grits = [start]
    while grits[-1].grain > GOOD * end.grain:
        last = grits[-1].grain
        within = [grade for grade in kept if table[grade] < last <= GOOD * table[grade]]
        within = within or [grade for grade in kept if table[grade] < last][:1]
        if not within:
            break
        finest = min(within, key=table.__getitem__)
        grits.append(Grit(series=start.series, grade=finest, grain=table[finest]))
    return ladder_of([*grits, end], purpose=purpose, veneer=veneer)


def usual_ladder(purpose: SandedFor, *, series: Series = "P", veneer: bool = False) -> Ladder:
    """The ladder that is usual for a job; on veneer without the grades that are too coarse for it."""
    table = _TABLES[series]
    kept = [grade for grade in purpose.grades if not veneer or grade >= VENEER_START]
    grades = kept or [max(VENEER_START, purpose.grades[-1])]
    return ladder_of(
        [Grit(series=series, grade=grade, grain=table[grade]) for grade in grades], purpose=purpose, veneer=veneer
    )


def ladder_of(grits: Sequence[Grit], *, purpose: SandedFor | None = None, veneer: bool = False) -> Ladder:
    """What is to be said of grits gone through in this order. Raises Unreadable for none, and for over thirty."""
    if not grits:
        raise Unreadable("no grit was said", "write grits as `80, 120, 180`")
    if len(grits) > _MOST:
        raise Unreadable(f"those are over {_MOST} grits", "write the ladder of one go")
    rungs = [_rung(grit, grits[number - 1] if number else None) for number, grit in enumerate(grits)]
    warnings = [_step_warning(rung) for rung in rungs if rung.says in ("long", "too far")]
    if veneer:
        warnings += _veneer_warnings(grits)
    mixed = {grit.series for grit in grits}
    advice = [f"{purpose.advice.rstrip('.')} (common practice, no source)."] if purpose else []
    if len(mixed) > 1:
        advice.append("Two series are in it; they are compared here by their grains, never by their numbers.")
    elif mixed == {"P"} and max(grit.grade for grit in grits) > AGREE_TO:
        advice.append(f"Past {AGREE_TO} buy by the P: without it, the same number is of a finer paper.")
    if any(rung.says == "back" for rung in rungs):
        advice.append("It goes back to a coarser grit, as a repair does.")
    return Ladder(
        rungs=tuple(rungs), warnings=tuple(warnings), advice=tuple(advice), working=(_sizes(rungs), _ratios(rungs))
    )


def _rung(grit: Grit, after: Grit | None) -> Rung:
    if after is None:
        return Rung(grit=grit, after=None, ratio=None, says="start")
    ratio = after.grain / grit.grain
    says: Literal["good", "long", "too far", "back"] = (
        "back" if ratio < 1 else "good" if ratio <= GOOD else "long" if ratio <= LONG else "too far"
    )
    return Rung(grit=grit, after=after, ratio=ratio, says=says)


def _step_warning(rung: Rung) -> str:
    assert rung.ratio is not None
    size = f"{rung.after} to {rung.grit} is a step of {write_decimal(rung.ratio, places=2)} to 1"
    if rung.says == "long":
        return f"{size}: long, so it wants more strokes."
    return f"{size}: too far, scratches stay that stain or dark paint will show."


def _veneer_warnings(grits: Sequence[Grit]) -> list[str]:
    found = []
    coarsest = max(grits, key=lambda grit: grit.grain)
    if coarsest.grain > P_SERIES[VENEER_START]:
        five = write_decimal(5 * coarsest.grain / 1000, places=1)
        found.append(
            f"{coarsest} is too coarse for veneer: start at P{VENEER_START} to P150, by hand. Five of its grains in a row are {five} mm."
        )
    found.append(
        f"Veneer: {VENEER_THICKNESS}. No belt sander, keep off the edges, and stop when the colour changes (common practice, no source)."
    )
    return found


def _sizes(rungs: Sequence[Rung]) -> str:
    sizes = dict.fromkeys(f"{rung.grit} {_um(rung.grit.grain)}" for rung in rungs)
    series = {rung.grit.series for rung in rungs}
    named = " and ".join(name for key, name in (("P", "FEPA, ISO 6344"), ("CAMI", "CAMI, ANSI")) if key in series)
    return f"Mean grain ({named}): {', '.join(sizes)}."


def _ratios(rungs: Sequence[Rung]) -> str:
    ratios = [
        f"{rung.after} to {rung.grit} {write_decimal(rung.ratio, places=2)}" for rung in rungs if rung.ratio is not None
    ]
    if not ratios:
        return "One grit, so there is no step to weigh."
    return f"Step by step: {', '.join(ratios)}. Up to {write_decimal(GOOD)} is good, past {write_decimal(LONG)} scratches stay (common practice)."


def _um(size: Fraction) -> str:
    return f"{write_decimal(size, places=1)} um"


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums grits`."""
    series = _series(at_hand.text("--series"))
    purpose = at_hand.said("--for", purpose_of, None)
    piece = at_hand.piece
    veneer = at_hand.arguments.veneer or (piece is not None and "veneer" in piece.wood.casefold())
    words = at_hand.words.strip()
    between = re.fullmatch(r"(.+?) +to +(.+)", words)
    is_logged, head = False, ""
    if between is not None:
        ends = at_hand.of_words(lambda _: read_grits(f"{between[1]}, {between[2]}", series), "the grits")
        if len(ends) != 2:
            raise Unreadable("a ladder goes from one grit to one other, as `80 to 220`", "a list has no `to` in it")
        ladder = ladder_between(ends[0], ends[1], purpose=purpose, veneer=veneer)
    elif words:
        of_list = at_hand.of_words(lambda said: read_grits(said, series), "the grits")
        ladder = ladder_of(of_list, purpose=purpose, veneer=veneer)
    elif purpose is not None:
        ladder = usual_ladder(purpose, series=series or "P", veneer=veneer)
        head = f"Usual for {purpose.name}: "
    else:
        ladder, head = _logged(at_hand, series, veneer=veneer)
        is_logged = True
    told = ", ".join(str(grit) for grit in ladder.grits)
    did = at_hand.did((purpose.did or f"sand for {purpose.name}") if purpose else "sand")
    return Answer(
        lines=[f"{head}{told}.", *ladder.advice],
        warnings=[*ladder.warnings, *_lead(at_hand)],
        working=ladder.working,
        data={
            "grits": [
                {
                    "grit": str(rung.grit),
                    "micrometres": write_decimal(rung.grit.grain, places=1),
                    "step": None if rung.ratio is None else write_decimal(rung.ratio, places=2),
                    "is": rung.says,
                }
                for rung in ladder.rungs
            ],
            "for": purpose.name if purpose else None,
            "veneer": veneer,
            "advice": list(ladder.advice),
        },
        planned=[] if is_logged else [_planned(ladder, did)],
        cannot_jot="its log has these already; say the grits to plan, or --for a job",
    )


def _lead(at_hand: AtHand) -> list[str]:
    """The caution about lead, for a piece whose age does not rule it out."""
    piece = at_hand.piece
    if piece is None or piece.state.is_ending or not may_hold_lead(piece.built):
        return []
    return at_hand.caution(LEAD_PAINT)


def _series(text: str | None) -> Series | None:
    if text is None:
        return None
    word = text.strip().upper()
    if word not in ("P", "CAMI"):
        raise Unreadable(f"--series: `{shown(text)}` is no series", "write P or CAMI")
    return cast(Series, word)


def _logged(at_hand: AtHand, series: Series | None, *, veneer: bool) -> tuple[Ladder, str]:
    """The ladder of the step with the most grits in the piece's log, the last of such."""
    piece = at_hand.piece
    if piece is None or at_hand.chosen is None:
        raise Unreadable(
            "say the grits, as `80 to 220` or `80,120,220`", "or --for a job, or --piece for those of its log"
        )
    steps = [step for step in piece.log if step.grit]
    if not steps:
        raise Unreadable(f"`{at_hand.chosen.piece.folder}` has no grits in its log", "say them, as `80 to 220`")
    step = max(enumerate(steps), key=lambda pair: (len(pair[1].grit), pair[0]))[1]
    try:
        logged = ladder_of(read_grits(", ".join(step.grit), series), veneer=veneer)
    except Unreadable as fault:
        raise Unreadable(
            f"its log of {step.on.day}: {fault.says}", "say which with --series P or --series CAMI"
        ) from None
    return logged, f"Its log of {step.on.day}: "


def _planned(ladder: Ladder, did: str) -> Entry:
    """A planned step with the grits as the log takes them: the P series with its letter, the other as numbers."""
    grits = ", ".join(f"P{grit.grade}" if grit.series == "P" else str(grit.grade) for grit in ladder.grits)
    return {"did": did, "grit": grits}
