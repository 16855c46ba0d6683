"""The work on a piece as a buyer is told it: gathered by stage, its pictures in its order, and the day it is hard."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from posixpath import normpath

from flipbook.books.sales import standing_deposits
from flipbook.measures.numerals import write_number
from flipbook.shop.records.piece import Piece, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import ORDER, Stage
from flipbook.shop.records.uses import Mix
from flipbook.trade.care import NEW
from flipbook.trade.drying import hard_on
from flipbook.trade.stages import stage_of

BESIDES = "And besides"
"""The heading of the steps that belong to no stage."""
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip
_UNDER_WAY = {
    Stage.CLEANING: "being cleaned",
    Stage.REPAIR: "being mended",
    Stage.STRIPPING: "being stripped",
    Stage.SANDING: "being sanded",
    Stage.PRIMING: "being primed",
    Stage.COLOUR: "being coloured",
    Stage.FINISH: "being finished",
    Stage.HARDWARE: "with its hardware going on",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicStep:
    """Something that was done, in the maker's words; `grits` and `mix` are empty when there were none."""

    words: str
    grits: str
    mix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicStage:
    """The steps of one stage, in the order in which they were done; `name` is its heading."""

    name: str
    steps: tuple[PublicStep, ...]


@dataclass(frozen=True, slots=True)
class StepPictured:
    """Of the step that a picture belongs to: its place among those shown, its words, and its stage where one is told."""

    place: int
    words: str
    stage: Stage | None


def step_shown(step: Step) -> PublicStep:
    """A step without its day, its time and what it used up."""
    return PublicStep(words=step.did, grits=", ".join(step.grit), mix=_mix(step.mix))


def work_by_stage(steps: Sequence[Step], products: Mapping[str, Product]) -> tuple[PublicStage, ...]:
    """The steps gathered by stage, in the usual order of the stages; those without one come last, as they were done."""
    by_stage: dict[Stage | None, list[PublicStep]] = {}
    for step in steps:
        by_stage.setdefault(stage_of(step, products), []).append(step_shown(step))
    besides = by_stage.pop(None, [])
    gathered = [
        PublicStage(name=stage.value.capitalize(), steps=tuple(by_stage[stage]))
        for stage in sorted(filter(None, by_stage), key=ORDER.__getitem__)
    ]
    if besides:
        gathered.append(PublicStage(name=BESIDES if gathered else "", steps=tuple(besides)))
    return tuple(gathered)


def steps_of_pictures(steps: Sequence[Step], products: Mapping[str, Product]) -> dict[str, StepPictured]:
    """The step of each picture that a step names, by the picture's path in the piece's folder; of several the last."""
    return {
        normpath(photo): StepPictured(place, step.did, stage_of(step, products))
        for place, step in enumerate(steps)
        for photo in step.photos
    }


def alt_words(title: str, shows: str, caption: str, pictured: StepPictured | None) -> str:
    """A picture in words, where its maker gave none: the title, what it shows or what is being done, and the caption."""
    what = shows
    if pictured is not None and pictured.stage is not None and shows not in ("before", "after"):
        what = _UNDER_WAY[pictured.stage]
    if not caption:
        return f"{title}, {what}"
    return f"{title}: {caption}" if what == "picture" else f"{title}, {what}: {caption}"


def cured_by(steps: Iterable[Step], products: Mapping[str, Product]) -> str:
    """The day on which the last coat is fully hard, as `15 April 2026`; empty when no product's cure is known."""
    day = hard_on(steps, products)
    return "" if day is None else day_in_words(day)


def day_in_words(day: date) -> str:
    """A day as a buyer reads it, in English whatever the machine's language is."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def care_shown(piece: Piece, usual: Sequence[str], cured: str) -> tuple[str, ...]:
    """The maker's own care, else the usual one, with the day until which the finish hardens where that is known."""
    if piece.care:
        return (piece.care,)
    if not cured:
        return tuple(usual)
    until = f"The finish goes on hardening until {cured}{NEW[NEW.index(':') :]}"
    return tuple(until if text == NEW else text for text in usual)


def is_held(piece: Piece) -> bool:
    """Whether somebody has laid money down for a piece that is to be sold, and has not got it back."""
    here = not piece.state.is_ending and not piece.customer
    return here and bool(standing_deposits(piece))


def _mix(mix: Mix | None) -> str:
    """A mix in words: `3 parts black milk paint, 1 part water`."""
    if mix is None:
        return ""
    return ", ".join(f"{write_number(number)} part{'' if number <= 1 else 's'} {what}" for what, number, _ in mix.parts)
