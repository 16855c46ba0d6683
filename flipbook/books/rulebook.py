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
class Figure:
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
    figures: tuple[Figure, ...]

    def figure_on(self, day: date) -> Figure:
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


@cache
def document(name: str) -> dict[str, Any]:
    """The content of a rules file; every figure in it is quoted, and so still text."""
    content: dict[str, Any] = YAML(typ="safe", pure=False).load((RULES / f"{name}.yaml").read_text(encoding="utf-8"))
    return content


@cache
def rule(name: str) -> Rule:
    """The rule of that name."""
    content = document(name)
    return Rule(name, content["what"], content["unit"], content["known through"], figures(content["figures"]))


def figures(by_day: dict[date, dict[str, str]]) -> tuple[Figure, ...]:
    """Figures as a file lists them, in the order of their days."""
    return tuple(
        sorted(
            (Figure(day, Decimal(said["is"]), said["source"]) for day, said in by_day.items()), key=lambda f: f.since
        )
    )


@dataclass(frozen=True, slots=True)
class FormLine:
    """A line of a form. `key` is its meaning, which lasts; `label` is what the form of a year calls it."""

    key: str
    labels: tuple[tuple[int, str], ...]
    caption: str
    terms: tuple[str, ...] = ()
    plus: tuple[str, ...] = ()
    less: tuple[str, ...] = ()
    is_total: bool = False
    is_itemised: bool = False
    not_over: str = ""
    label_under_nothing: str = ""
    caption_under_nothing: str = ""

    def label(self, year: int) -> str:
        """What the form of a tax year calls the line."""
        return next((label for since, label in reversed(self.labels) if since <= year), self.labels[0][1])


@dataclass(frozen=True, slots=True)
class Profile:
    """A country's form: its lines in order, the rules its trips and tools go by, and when its year starts."""

    name: str
    form: str
    year_starts: tuple[int, int] | None
    miles: tuple[str, ...]
    tools: str
    source: str
    notes: tuple[str, ...]
    lines: tuple[FormLine, ...]
    profit: str
    cost_of_goods_sold: str


@cache
def profiles() -> tuple[str, ...]:
    """What `rules:` of shop.yaml may name: every file of `rules/` that holds a form's lines."""
    return tuple(sorted(file.stem for file in RULES.glob("*.yaml") if "lines" in document(file.stem)))


@cache
def profile(name: str) -> Profile:
    """The profile named in `rules:` of shop.yaml."""
    content = document(name)
    starts = str(content["year starts"])
    month_day = (int(starts[:2]), int(starts[3:])) if starts[:2].isdigit() else None
    return Profile(
        name=name,
        form=content["form"],
        year_starts=month_day,
        miles=tuple(content["miles"]),
        tools=content["tools"],
        source=content.get("source", ""),
        notes=tuple(content.get("notes", ())),
        lines=tuple(_line(line) for line in content["lines"]),
        profit=str(content["profit"]),
        cost_of_goods_sold=str(content["cost of goods sold"]),
    )


def _line(said: dict[str, Any]) -> FormLine:
    key = str(said["key"])
    label = said.get("label", key)
    labels = (
        tuple(sorted((int(since), str(text)) for since, text in label.items()))
        if isinstance(label, dict)
        else ((0, str(label)),)
    )
    return FormLine(
        key=key,
        labels=labels,
        caption=str(said["caption"]),
        terms=tuple(map(str, said.get("sum", ()))),
        plus=tuple(map(str, said.get("plus", ()))),
        less=tuple(map(str, said.get("less", ()))),
        is_total=said.get("total", "no") in ("yes", True),
        is_itemised=said.get("itemised", "no") in ("yes", True),
        not_over=str(said.get("not over", "")),
        label_under_nothing=str(said.get("label under nothing", "")),
        caption_under_nothing=str(said.get("caption under nothing", "")),
    )
