"""A sum is reckoned without the terminal: its file loads measures, the trade and shop's records, and no way to ask or tell."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import flipbook.sums

# What asks and tells: the only files of the room that know the terminal, the books and how an entry is written.
ASKING = {"at_hand", "told", "asked_coatings", "asked_drying", "words"}
SUMS = [path for path in sorted(Path(flipbook.sums.__path__[0]).glob("*.py")) if path.stem not in ASKING]
MAY_LOAD = ("flipbook.measures.", "flipbook.trade.", "flipbook.shop.", "flipbook.sums.", "flipbook.cli.ending")


@pytest.mark.parametrize("path", SUMS, ids=lambda path: path.stem)
def test_a_sum_loads_nothing_of_the_terminal(path: Path) -> None:
    loaded = [node.module or "" for node in ast.parse(path.read_text("utf-8")).body if isinstance(node, ast.ImportFrom)]
    ours = [name for name in loaded if name.startswith("flipbook.")]
    assert [name for name in ours if not name.startswith(MAY_LOAD)] == []
    assert not {name.rpartition(".")[2] for name in ours} & ASKING
