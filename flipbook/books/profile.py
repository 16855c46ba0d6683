"""A country as data: the form of its tax year, and what its rules say of money, roads, tools and forms.

A profile is a YAML in `rules/`. It is checked when it is loaded: every term stands on one line, lines name lines
that are there, and the lines of profit and of cost of goods sold come to what those words mean, whatever a shop logs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import cache
from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError

from flipbook.books.rulebook import document, rule_names, text_of
from flipbook.books.terms import COST_OF_GOODS, PROFIT, Term
from flipbook.shop.records.setup import AT_ONCE

EVENLY = "evenly"
CHOSEN_BY_THE_SHOP = "chosen by the shop"


class Fault(NamedTuple):
    """What does not hold in a profile: where it stands, and what to put right."""

    says: str
    write: str


class RulesRefused(Exception):
    """A profile that cannot be used, with all that does not hold in it."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("; ".join(fault.says for fault in faults))
        self.faults = tuple(faults)


class Signed(NamedTuple):
    """A term of a line's sum; `sign` is -1 where it is taken off."""

    term: Term
    sign: int


def _signed(said: object) -> Signed:
    text = str(said)
    return Signed(Term(text.removeprefix("-")), -1 if text.startswith("-") else 1)


def _month_and_day(said: object) -> object:
    """`04-06` as month and day; None for `chosen by the shop`."""
    if said == CHOSEN_BY_THE_SHOP:
        return None
    first = date.fromisoformat(f"2025-{said}")  # 29 February starts no year
    return first.month, first.day


class _Said(BaseModel):
    """A mapping of a profile; its keys are written with spaces, and no others are known."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        coerce_numbers_to_str=True,
        alias_generator=lambda name: name.replace("_", " "),
    )


class FormLine(_Said):
    """A line of a form. `key` is its meaning, which lasts; `label` is what the form of a year calls it.

    Its amount is the sum of its terms, or of the lines `plus` less the lines `less`.
    """

    key: str
    labels: str | dict[int, str] | None = Field(None, alias="label")
    caption: str
    terms: tuple[Annotated[Signed, BeforeValidator(_signed)], ...] = Field((), alias="sum")
    plus: tuple[str, ...] = ()
    less: tuple[str, ...] = ()
    is_total: bool = Field(False, alias="total")
    is_itemised: bool = Field(False, alias="itemised")
    not_over: str = ""
    label_under_nothing: str = ""
    caption_under_nothing: str = ""

    def label(self, year: int) -> str:
        """What the form of a tax year calls the line."""
        if not isinstance(self.labels, dict):
            return self.key if self.labels is None else self.labels
        return self.labels[max((since for since in self.labels if since <= year), default=min(self.labels))]


class HomeWorkshop(_Said):
    """The rules of the simplified method: the most that counts of a floor, and what a unit of it counts for."""

    area: str
    rate: str


class ToolLimits(_Said):
    """The rules of the most that one tool may cost to be written off at once, and all of a year by section 179."""

    at_once: str
    section_179: str


class SelfEmploymentRules(_Said):
    """The rules that self-employment tax is estimated by."""

    share_of_profit: str
    floor: str
    social_security: str
    wage_base: str
    medicare: str


class Estimate(_Said):
    """What is put by for tax: by which rules, and the file of the days on which it falls due."""

    self_employment_tax: SelfEmploymentRules
    due: str


class MarketplaceForms(_Said):
    """The rules of a year's gross and number of payments past which a marketplace reports it."""

    gross: str
    number: str


class Profile(_Said):
    """A country's form and rules. What is left out, the country has not; a rule is the name of a file of `rules/`."""

    name: str
    country: str
    form: str
    currency: str = Field("", pattern=r"^([A-Z]{3})?$")
    """The money that its rules reckon in; empty for any."""
    distance: Literal["miles", "km"] = "miles"
    year_starts: Annotated[tuple[int, int] | None, BeforeValidator(_month_and_day)]
    """Month and day; None where the shop chooses it."""
    miles: tuple[str, ...]
    """The rules of what a unit of distance counts for: none, one rate, or a rate, the rate past a threshold, and that."""
    purpose_on_trips: bool = False
    tools: str
    """`at once`, `evenly`, or a file of tables."""
    tool_limits: ToolLimits | None = None
    tool_bonus: str = ""
    tool_gains: str = ""
    """The form on which a sold tool's gain stands; empty where none is known."""
    home_workshop: HomeWorkshop | None = None
    estimate: Estimate | None = None
    helpers: str = ""
    """The rule of what a helper is paid in a year at which a form to them may be due."""
    marketplace_forms: MarketplaceForms | None = None
    vehicle: str = ""
    """What the form asks of the vehicle, `{miles}` standing for the year's."""
    source: str = ""
    notes: tuple[str, ...] = ()
    lines: tuple[FormLine, ...]
    profit: str
    cost_of_goods_sold: str
    outside_profit: tuple[Term, ...] = ()
    """Terms that the form takes off elsewhere, after its profit."""

    @property
    def sums_wanted(self) -> set[Term]:
        """The terms that have to stand on its form."""
        return {
            term
            for term in Term
            if not (term is Term.DRIVING and not self.miles)
            and not (term is Term.HOME_WORKSHOP and self.home_workshop is None)
        }

    def rules_named(self) -> Iterator[str]:
        """Every file of rules that it goes by."""
        yield from self.miles
        yield from filter(None, (self.tool_bonus, self.helpers))
        if self.tools not in (AT_ONCE, EVENLY):
            yield self.tools
        for of in (self.home_workshop, self.tool_limits, self.marketplace_forms):
            yield from of.model_dump().values() if of else ()
        if self.estimate is not None:
            yield self.estimate.due
            yield from self.estimate.self_employment_tax.model_dump().values()


@cache
def profiles() -> tuple[str, ...]:
    """What `rules:` of shop.yaml may name: every file of `rules/` that holds a form's lines."""
    return tuple(name for name in rule_names() if "\nlines:" in text_of(name))


@cache
def profile(name: str) -> Profile:
    """The profile named in `rules:` of shop.yaml. Raises RulesRefused."""
    try:
        said = Profile.model_validate({"name": name, **document(name)})
    except MarkedYAMLError as fault:
        line = fault.problem_mark.line + 1 if fault.problem_mark else 1
        raise RulesRefused([Fault(f"{_shown(name)}:{line}: {fault.problem}", "write it as YAML")]) from None
    except ValidationError as fault:
        raise RulesRefused([_told(name, error["loc"], error["msg"]) for error in fault.errors()]) from None
    faults = [_told(name, place, says) for place, says in _unfit(said)]
    if faults:
        raise RulesRefused(faults)
    return said


def _shown(name: str) -> str:
    return f"flipbook/books/rules/{name}.yaml"


def _told(name: str, place: Sequence[str | int], says: str) -> Fault:
    """A fault with the line of the file that it stands on, as near as the place goes."""
    tree = YAML().load(text_of(name))
    line, named = 1, ""
    for step in place:
        if isinstance(tree, CommentedMap) and step in tree:
            line, tree = tree.lc.key(step)[0] + 1, tree[step]
        elif isinstance(tree, CommentedSeq) and isinstance(step, int):
            line, tree = tree.lc.item(step)[0] + 1, tree[step]
        else:
            break
        if isinstance(tree, CommentedMap) and "key" in tree:
            named = f"line {tree['key']} of the form: "
        elif not named:
            named = f"`{step}`: "
    return Fault(f"{_shown(name)}:{line}: {named}{says}", "put it right there, or name other rules")


Unfit = tuple[tuple[str | int, ...], str]
"""A place in a profile, and what does not hold there."""


def _unfit(said: Profile) -> Iterator[Unfit]:
    """What does not hold between the lines of a form, and between a profile and the rules that it names."""
    known = rule_names()
    for rule in said.rules_named():
        if rule not in known:
            yield (), f"there are no rules `{rule}`"
    if len(said.miles) not in (0, 1, 3):
        yield ("miles",), "name no rule, one rate, or a rate, the rate past a threshold, and the threshold"
    places = [*_of_the_lines(said), *_of_the_terms(said)]
    yield from places
    if not places:  # else lines could lead nowhere, or in a circle
        yield from _of_the_sums(said)


def _of_the_lines(said: Profile) -> Iterator[Unfit]:
    seen: dict[str, FormLine] = {}
    keys = {line.key for line in said.lines}
    for number, line in enumerate(said.lines):
        place = ("lines", number)
        if line.key in seen:
            yield place, "its key is that of a line above"
        for other in (*line.plus, *line.less, *filter(None, [line.not_over])):
            if other not in keys:
                yield place, f"it is made of line `{other}`, and there is none"
        if not (line.terms or line.plus or line.less):
            yield place, "it is the sum of nothing"
        if line.is_itemised and not line.terms:
            yield place, "there is nothing to itemise"
        seen[line.key] = line
    for what, key in (("profit", said.profit), ("cost of goods sold", said.cost_of_goods_sold)):
        if key not in keys:
            yield (what,), f"there is no line `{key}`"


def _of_the_terms(said: Profile) -> Iterator[Unfit]:
    stand = Counter(part.term for line in said.lines for part in line.terms)
    for number, line in enumerate(said.lines):
        for part in line.terms:
            if stand[part.term] > 1:
                yield ("lines", number), f"`{part.term}` stands on more lines than one"
            if part.term not in said.sums_wanted:
                yield ("lines", number), f"`{part.term}` stands there, and the profile has no rules of it"
    for term in Term:
        if term in said.sums_wanted and not stand[term]:
            yield ("lines",), f"`{term}` stands on no line"


def _of_the_sums(said: Profile) -> Iterator[Unfit]:
    """The lines of profit and of cost of goods sold, taken apart into terms, against what they have to be."""
    by_key = {line.key: line for line in said.lines}
    made: dict[str, Mapping[Term, int] | None] = {}

    def made_of(key: str) -> Mapping[Term, int]:
        if key in made:
            found = made[key]
            if found is None:
                raise _GoesInACircle(key)
            return found
        made[key] = None
        line = by_key[key]
        terms: Counter[Term] = Counter({part.term: part.sign for part in line.terms})
        for sign, others in ((1, line.plus), (-1, line.less)):
            for other in others:
                for term, times in made_of(other).items():
                    terms[term] += sign * times
        if line.not_over:
            made_of(line.not_over)
        made[key] = terms
        return terms

    wanted = said.sums_wanted - set(said.outside_profit)
    try:
        for key in by_key:
            made_of(key)
        meant = (
            (said.profit, {t: n for t, n in PROFIT.items() if t in wanted}),
            (said.cost_of_goods_sold, COST_OF_GOODS),
        )
        for key, should in meant:
            is_ = made_of(key)
            for term in Term:
                if is_.get(term, 0) != should.get(term, 0):
                    number = list(by_key).index(key)
                    says = (
                        f"it counts `{term}` {is_.get(term, 0)} times, and should count it {should.get(term, 0)} times"
                    )
                    yield ("lines", number), says
    except _GoesInACircle as fault:
        yield ("lines", list(by_key).index(fault.key)), "it is made of itself"


class _GoesInACircle(Exception):
    def __init__(self, key: str) -> None:
        super().__init__(key)
        self.key = key
