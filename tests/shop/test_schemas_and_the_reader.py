"""The schema held against the reader: they take the same files, but for the reasons that are listed here."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from itertools import cycle

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from jsonschema.exceptions import ValidationError as Refusal
from schema_files import as_a_number, problems_of, refusals, where
from schema_variants import BASES, FORMS, PLACES, Text, file_from, form_of, forms_at, holder, shapes_at

from flipbook.shop.problems import Problem, lines_of
from flipbook.shop.records.base import name_of_key

FILES = 1000


@dataclass(frozen=True)
class Told:
    """A problem of the reader, with the text that it marks and whether that stands without quotes."""

    problem: Problem
    text: str
    bare: bool


@dataclass(frozen=True)
class ReaderAlone:
    """A reason for which the reader refuses what the schema takes, and a file that shows it."""

    why: str
    kind: str
    shown_by: str
    explains: Callable[[Told], bool]


@dataclass(frozen=True)
class SchemaAlone:
    """A reason for which the schema refuses what the reader of one file takes, and a file that shows it."""

    why: str
    kind: str
    shown_by: str
    explains: Callable[[Refusal], bool]


def named(*names: str) -> Callable[[Told], bool]:
    """Problems by their names."""
    return lambda told: told.problem.name in names


def comes_to_nothing(told: Told) -> bool:
    """A number is written as it should be, and its value is none that can be meant."""
    says = (
        "nothing is no amount",
        "no time at all",
        "a length of nothing",
        "a fraction over 0 has no value",
        "the fraction beside the whole number is one or more",
    )
    zero = re.search(r"(?<![0-9./])0+(?:\.0+)?(?![0-9.])", told.text)
    return (
        told.problem.says in says
        or told.problem.name in ("drop-too-large", "listing-too-short")
        or (told.problem.name in ("coverage", "use", "amount") and zero is not None)
    )


def without_its_digits(told: Told) -> bool:
    """A bare number that could be meant: the schema is given its value, and the reader the digits that were written."""
    whole = told.problem.name in ("count", "grit", "built", "year", "payments")
    if not (whole or told.problem.name in ("money", "fee", "distance", "mix", "share")) or not told.bare:
        return False
    value = as_a_number(told.text.strip())
    return value is not None and not value < 0 and not (whole and value % 1)


def a_use_in_words(told: Told) -> bool:
    """After a number written as a word, or after `of`, the product is wanting."""
    return told.problem.name == "use" and re.search(r"(?i)\b(?:of|an?|half|quarters?|thirds?)\b", told.text) is not None


def oddly_spelled(refusal: Refusal) -> bool:
    """Each key that is refused, or the one that is missing, is there with doubled or outer blanks and hyphens."""
    instance, schema = refusal.instance, refusal.schema
    if refusal.validator == "required":
        missing = re.match("'(.*)' is a required", refusal.message)
        return missing is not None and name_of_key(missing[1]) in map(name_of_key, instance)
    if refusal.validator != "additionalProperties":
        return False
    spelled = schema.get("patternProperties", {})
    extra = [key for key in instance if key not in schema["properties"] and not any(re.search(p, key) for p in spelled)]
    usual = {key.replace(" ", gap) for key in schema["properties"] for gap in " -_"}
    return not usual & set(extra) and {name_of_key(key) for key in extra} <= set(map(name_of_key, usual))


REASONS: tuple[ReaderAlone | SchemaAlone, ...] = (
    ReaderAlone(
        "sums of several keys agree",
        "receipts",
        "- {on: 2026-02-20, from: H., lines: [{what: rag, cost: 3, for: supplies}], total: 4}\n",
        named("total-disagrees", "no-total", "cost-disagrees", "discount-too-large", "months-disagree"),
    ),
    ReaderAlone(
        "of several keys one is wanted, or one shuts out another",
        "trips",
        "- {on: 2026-03-03, miles: 14, km: 22, to: supply house}\n",
        named(
            "distance", "no-cost", "own-and-cost", "no-count", "cost-and-back", "back-on-a-line", "flat-and-lines",
            "nothing-bought", "year-is-fixed",
        ),
    ),
    ReaderAlone(
        "the sign is that of the shop's currency",
        "piece",
        "piece: Oak stool\nfound: {on: 2026-02-14, cost: £40}\n",
        lambda told: "is not the sign of the shop's currency" in told.problem.says,
    ),
    ReaderAlone(
        "a bare number is its value to YAML, and its digits to the reader",
        "piece",
        "piece: Oak stool\nfound: {on: 2026-02-14, cost: 40.005}\n",
        without_its_digits,
    ),
    ReaderAlone(
        "what a number comes to",
        "piece",
        "piece: Oak stool\nlog: [{on: 2026-02-14, did: sanded, took: 0 min}]\n",
        comes_to_nothing,
    ),
    ReaderAlone(
        "a name stands twice in one mapping, spelled in two ways",
        "piece",
        "piece: Oak stool\nsold: {on: 2026-02-14, price: 1, sales tax: 0, sales-tax: 0}\n",
        named("duplicate-key"),
    ),
    ReaderAlone(
        "the letters of a size stand once each",
        "piece",
        "piece: Oak stool\nsize: 34 W x 19 W x 30 H in\n",
        lambda told: told.problem.says == "the letters of a size are W, D and H, once each",
    ),
    ReaderAlone(
        "the product is wanting after a number in words",
        "piece",
        "piece: Oak stool\nlog: [{on: 2026-02-14, did: sanded, used: a half can}]\n",
        a_use_in_words,
    ),
    ReaderAlone(
        "anchors, tags and other things that YAML has and this format has not",
        "piece",
        "piece: &name Oak stool\n",
        named("anchor", "alias", "tag", "merge-key", "one-file-one-log", "too-deep"),
    ),
    SchemaAlone(
        "a key is spelled with doubled or outer blanks, hyphens or underscores",
        "piece",
        "piece: Oak stool\n_kind_: stool\n",
        oddly_spelled,
    ),
    SchemaAlone(
        "a bare `true` in place of a planned step is a truth to YAML, and words to the reader",
        "piece",
        "piece: Oak stool\nplanned: [true]\n",
        lambda refusal: re.fullmatch(r"planned\.[0-9]+", where(refusal)) is not None and isinstance(refusal.instance, bool),
    ),
    SchemaAlone(
        "whose tax rules there are is known when the books are made",
        "shop",
        "shop: Quillback Lane\ncurrency: USD\ntax: {rules: mars}\n",
        lambda refusal: where(refusal) == "tax.rules",
    ),
    SchemaAlone(
        "`makes` of a mix is not in small letters",
        "piece",
        "piece: Oak stool\nlog: [{on: 2026-02-14, did: washed, mix: {paint: 1, Makes: 1 pint}}]\n",
        lambda refusal: refusal.message == "'makes' is a required property",
    ),
    SchemaAlone(
        "a letter stands in the midst of one measure of a size",
        "piece",
        "piece: Oak stool\nsize: 34 W 1/2 x 19 D x 30 H in\n",
        lambda refusal: where(refusal) == "size" and re.search("[WDHwdh]", str(refusal.instance)) is not None,
    ),
)  # fmt: skip


def told_of(text: str, problem: Problem) -> Told:
    """The problem with the text that it marks."""
    place = problem.place
    line = lines_of(text)[place.line - 1] if place.line else ""
    marked = line[place.column - 1 : place.end - 1]
    return Told(
        problem,
        marked.strip("\"'"),
        not marked.startswith(('"', "'")) and line[place.column - 2 : place.column - 1] not in ('"', "'"),
    )


def unexplained(kind: str, text: str) -> list[str]:
    """What one side refuses and the other does not, for no reason that is listed."""
    problems, refused = problems_of(kind, text), refusals(kind, text)
    if bool(problems) == bool(refused):
        return []
    if problems:
        reasons = [reason.explains for reason in REASONS if isinstance(reason, ReaderAlone)]
        all_told = [told_of(text, problem) for problem in problems]
        return [f"reader: {told}" for told in all_told if not any(explains(told) for explains in reasons)]
    why = [reason.explains for reason in REASONS if isinstance(reason, SchemaAlone)]
    return [f"schema: {where(each)}: {each.message[:200]}" for each in refused if not any(w(each) for w in why)]


@pytest.mark.parametrize("reason", REASONS, ids=[reason.why for reason in REASONS])
def test_each_reason_is_shown_by_a_file_that_one_side_takes_and_the_other_does_not(
    reason: ReaderAlone | SchemaAlone,
) -> None:
    problems, refused = problems_of(reason.kind, reason.shown_by), refusals(reason.kind, reason.shown_by)
    assert (bool(problems), bool(refused)) == (isinstance(reason, ReaderAlone), isinstance(reason, SchemaAlone))
    if isinstance(reason, ReaderAlone):
        assert [reason.explains(told_of(reason.shown_by, problem)) for problem in problems] == [True] * len(problems)
    else:
        assert [reason.explains(each) for each in refused] == [True] * len(refused)


@pytest.mark.parametrize("reason", REASONS, ids=[reason.why for reason in REASONS])
def test_no_reason_stands_for_another(reason: ReaderAlone | SchemaAlone) -> None:
    """Without it, what shows it would be a disagreement that nothing explains."""
    others = [other for other in REASONS if other is not reason and isinstance(other, type(reason))]
    if isinstance(reason, ReaderAlone):
        told = [told_of(reason.shown_by, problem) for problem in problems_of(reason.kind, reason.shown_by)]
        assert not any(other.explains(each) for other in others for each in told if isinstance(other, ReaderAlone))
    else:
        refused = refusals(reason.kind, reason.shown_by)
        assert not any(other.explains(each) for other in others for each in refused if isinstance(other, SchemaAlone))


TEXTS = [place for place in PLACES if isinstance(holder(BASES[place[0]][1], place[1])[place[1][-1]], Text)]


@pytest.mark.parametrize("form", FORMS)
def test_every_text_of_a_form_is_taken_by_both_or_by_neither(form: str) -> None:
    of_this_form = [place for place in TEXTS if form_of(place[1]) == form]
    assert of_this_form
    files = [file for place in (of_this_form[0], of_this_form[-1]) for file in forms_at(place)]
    # Whose tax rules there are is known when the books are made; of those the reader refuses none.
    refused_by = refusals if form == "rules" else problems_of
    assert {bool(refused_by(kind, text)) for kind, text in files} == {True, False}
    assert [(text, why) for kind, text in files if (why := unexplained(kind, text))] == []


@pytest.mark.parametrize("base", range(len(BASES)))
def test_every_key_in_another_shape_and_another_spelling_is_taken_by_both_or_by_neither(base: int) -> None:
    files = [file for place in PLACES if place[0] == base for file in shapes_at(place)]
    assert {bool(problems_of(kind, text)) for kind, text in files} == {True, False}
    assert [(text, why) for kind, text in files if (why := unexplained(kind, text))] == []


def test_a_thousand_files_are_taken_by_both_or_by_neither_but_for_the_reasons_listed() -> None:
    seen: Counter[tuple[bool, bool]] = Counter()
    place = cycle(PLACES)

    @given(chance=st.randoms(use_true_random=True))
    @settings(max_examples=FILES, derandomize=True, database=None, deadline=None, phases=[Phase.generate])
    def each(chance: random.Random) -> None:
        kind, text = file_from(next(place), chance)
        seen[not problems_of(kind, text), not refusals(kind, text)] += 1
        assert unexplained(kind, text) == [], text

    each()
    assert seen.total() >= FILES > 2 * len(PLACES)
    assert min(seen[True, True], seen[False, False]) > FILES // 4, seen
    assert seen[True, False] > 0 < seen[False, True]
