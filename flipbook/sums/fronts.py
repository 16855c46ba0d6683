"""Fronts of drawers and doors, as trim and pulls go on them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Front:
    """So many fronts of one size, in exact millimetres."""

    name: str
    width: Fraction
    height: Fraction
    count: int = 1
