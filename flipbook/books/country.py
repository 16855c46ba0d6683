"""A shop's facts held against the rules of its country: its money, its year, its workshop, its trips and its tools."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain

from flipbook.books.profile import Profile, RulesRefused, profile, profiles
from flipbook.books.tools import limits
from flipbook.books.years import CALENDAR
from flipbook.measures.unreadable import shown
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import choices, write_instead
from flipbook.shop.problems import Problem


def rules_of(facts: Facts) -> tuple[Profile | None, list[Problem]]:
    """The rules that a shop names; none, with problems, where they are not known or do not hold."""
    tax = facts.tax
    if tax.rules not in profiles():
        says = f"`{shown(tax.rules)}` are no rules known here"
        write = write_instead(tax.rules, profiles(), f"write {choices(profiles())}")
        return None, [tax.problem("rules", says, write, "rules")]
    try:
        return profile(tax.rules), []
    except RulesRefused as refused:
        return None, [
            tax.problem("rules-do-not-hold", f"these rules cannot be used: {fault.says}", fault.write, "rules")
            for fault in refused.faults
        ]


def starts_of(facts: Facts, rules: Profile) -> tuple[int, int]:
    """The month and day on which a shop's tax years start."""
    return rules.year_starts or facts.tax.year_starts or CALENDAR


def held_against(facts: Facts, rules: Profile) -> Iterator[Problem]:
    """What a shop's files say that its rules do not allow, or want said besides."""
    yield from _money(facts, rules)
    tax = facts.tax
    if tax.year_starts is not None and rules.year_starts is not None:
        free = _named(other for other in _all() if other.year_starts is None)
        says = f"`{rules.name}` fixes the day on which its year starts"
        yield tax.problem("year-is-fixed", says, f"take `year starts` out, or write {free}", "year_starts")
    if tax.home_workshop is not None and rules.home_workshop is None:
        of = _named(other for other in _all() if other.home_workshop is not None)
        says = f"a home workshop counts under {of}, and these are `{rules.name}`"
        yield tax.problem("home-workshop", says, f"take it out, or write {of}", "home_workshop", warning=True)
    if rules.purpose_on_trips:
        trips = chain(facts.trips, *(filed.piece.trips for filed in facts.pieces))
        for trip in trips:
            if not trip.why:
                says = "the trip does not say what it was for, and a driving log has to"
                yield trip.problem("no-purpose", says, "add `why: …`, as `why: collect the rocker`", warning=True)
    if rules.tool_limits is not None:
        yield from limits(facts.tools, rules.tool_limits, starts_of(facts, rules))


def _money(facts: Facts, rules: Profile) -> Iterator[Problem]:
    """The figures of a country's rules are in its own money, and on its form no other can stand."""
    currency = facts.shop.currency
    if rules.currency in ("", currency):
        return
    fitting = _named(other for other in _all() if other.currency in ("", currency))
    yield facts.tax.problem(
        "another-currency",
        f"`rules: {rules.name}` reckon in {rules.currency}, and this shop's currency is {currency}",
        f"write `currency: {rules.currency}`, or {fitting}",
        "rules",
    )


def _all() -> Iterator[Profile]:
    """Every profile that holds."""
    for name in profiles():
        try:
            yield profile(name)
        except RulesRefused:
            continue


def _named(rules: Iterable[Profile]) -> str:
    return choices(f"rules: {one.name}" for one in rules)
