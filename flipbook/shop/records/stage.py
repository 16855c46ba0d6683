"""The stages of the work on a piece, as a step may name its own."""

from __future__ import annotations

from enum import StrEnum


class Stage(StrEnum):
    """The stages, in the order in which a piece usually goes through them (common practice, no source)."""

    CLEANING = "cleaning"
    REPAIR = "repair"
    STRIPPING = "stripping"
    SANDING = "sanding"
    PRIMING = "priming"
    COLOUR = "colour"
    FINISH = "finish"
    HARDWARE = "hardware"


ORDER = {stage: number for number, stage in enumerate(Stage)}
