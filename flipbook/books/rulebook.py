"""Tax rules as dated data: one YAML in `rules/` for each rate, threshold, table or form. Code only looks them up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

RULES = Path(__file__).with_name("rules")


class NotPublished(Exception):
    """No figure of a rule covers a day; a figure is never carried on past the day that it is known through."""

    def __init__(self, rule: str, what: str, day: date) -> None:
        super().__init__(f"{what} {day}")
        self.says = f"no figure is known for {day}: {what[0].lower()}{what[1:].rstrip('.')}"
        self.write = f"add it, with its source, to flipbook/books/rules/{rule}.yaml"


@dataclass(frozen=True, slots=True)
class DatedFigure:
    """One figure of a rule, the day it came into force, and where it was published."""

    since: date
    value: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule's figures by the day that each came into force, in the unit that its file names."""

    name: str
    what: str
    unit: str
    known_through: date
    figures: tuple[DatedFigure, ...]

    def figure_on(self, day: date) -> DatedFigure:
        """The figure in force on `day`: the day driven, paid or taken into use, as the rule's file says.

        Raises NotPublished before the first figure and after `known_through`.
        """
        if day <= self.known_through:
            for figure in reversed(self.figures):
                if figure.since <= day:
                    return figure
        raise NotPublished(self.name, self.what, day)

    def on(self, day: date) -> Decimal:
        """The value in force on `day`. Raises NotPublished."""
        return self.figure_on(day).value


def text_of(name: str) -> str:
    """The text of the file of a rule or a profile."""
    return (RULES / f"{name}.yaml").read_text(encoding="utf-8")


def rule_names() -> list[str]:
    """Every file of `rules/`, by its name without the ending."""
    return sorted(file.stem for file in RULES.glob("*.yaml"))


@cache
def document(name: str) -> dict[str, Any]:
    """The content of a rules file; every figure in it is quoted, and so still text."""
    content: dict[str, Any] = YAML(typ="safe", pure=False).load(text_of(name))
    return content


@cache
def rule(name: str) -> Rule:
    """The rule of that name."""
    content = document(name)
    return Rule(name, content["what"], content["unit"], content["known through"], figures(content["figures"]))


def figures(by_day: dict[date, dict[str, str]]) -> tuple[DatedFigure, ...]:
    """Figures as a file lists them, in the order of their days."""
    return tuple(
        sorted(
            (DatedFigure(day, Decimal(said["is"]), said["source"]) for day, said in by_day.items()),
            key=lambda f: f.since,
        )
    )
