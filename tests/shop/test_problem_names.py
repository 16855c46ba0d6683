"""The table of problem names is whole: each name that the program gives stands in it, and each in it is raised by a test."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from shop_writer import GOOD_PIECE, GOOD_SHOP, ShopWriter

import flipbook
from flipbook.shop import composing
from flipbook.shop.problem_names import PROBLEM_NAMES
from flipbook.trade.cautions import CAUTIONS

PACKAGE, TESTS = Path(flipbook.__file__).parent, Path(__file__).parents[1]
PIECE = "pieces/oak-stool/piece.yaml"
US = {"shop.yaml": GOOD_SHOP.replace("rules: plain", "rules: us")}

# The argument of a call that is a name, counted from 0.
NAMED_BY = {"problem": 0, "_problem": 0, "PathFault": 0, "measure": 0, "in_currency": 0, "one_of": 0, "refuse": 1, "problem_of": 1, "tell": 1, "unreadable": 3, "refusal": 2}  # fmt: skip

# Names that no other test has in words.
RAISED = {
    "more-problems": {PIECE: GOOD_PIECE + "".join(f"bogus{number}: 1\n" for number in range(101))},
    "not-a-folder": {"receipts": "a file"},
    "too-many": {PIECE: GOOD_PIECE + f"flaws: [{'a,' * 250_000}]\n"},
    "yaml-tag": {PIECE: GOOD_PIECE + "wood: !no!tag oak\n"},
    "no-purpose": {**US, "trips.yaml": "- {on: 2026-01-05, miles: 3, to: M.}\n"},
    "seal-digest": {"years/2025.yaml": "sealed: 2026-01-05\nyear: 2025\ndigest: short\n"},
    "stage": {PIECE: GOOD_PIECE + "log:\n  - {on: 2026-02-01, did: washed, stage: nowhere}\n"},
    "oily-rags": {PIECE: GOOD_PIECE + "log:\n  - 2026-02-01 wiped linseed oil on\n"},
}


def names_given() -> Iterator[str]:
    """Every name that the program's text gives a problem."""
    for path in PACKAGE.rglob("*.py"):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(call, ast.Call):
                continue
            called = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
            place = NAMED_BY.get(called)
            given = [k.value for k in call.keywords if k.arg == "name"] if called == "Problem" else []
            given += call.args[place : place + 1] if place is not None else []
            yield from (
                one.value
                for one in given
                if isinstance(one, ast.Constant) and isinstance(one.value, str) and " " not in one.value
            )
    yield from (f"yaml-{name}" for name, *_ in composing._SAID)
    yield from (caution.name.replace(" ", "-") for caution in CAUTIONS)


def test_the_table_has_every_name_and_no_other() -> None:
    assert set(names_given()) == set(PROBLEM_NAMES)


def test_each_name_is_told_in_a_sentence_of_its_own() -> None:
    assert len(set(PROBLEM_NAMES.values())) == len(PROBLEM_NAMES)
    assert all(told[0].isupper() or told[0] == "`" for told in PROBLEM_NAMES.values())
    assert all(told.endswith(".") for told in PROBLEM_NAMES.values())


@pytest.mark.parametrize("name", PROBLEM_NAMES)
def test_each_name_is_raised_by_a_test(name: str, shop: ShopWriter) -> None:
    if name in RAISED:
        shop.piece().write(RAISED[name])
        assert name in {problem.name for problem in shop.problems()}
    else:
        texts = (path.read_text("utf-8") for path in TESTS.rglob("test_*.py") if path.name != Path(__file__).name)
        assert any(f'"{name}"' in text or f"[{name}]" in text for text in texts)
