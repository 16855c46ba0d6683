"""What is not needed is not loaded: help and mistakes in the words are answered at once."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

REPOSITORY = Path(__file__).resolve().parents[1]
HEAVY = {"jinja2", "PIL", "pydantic", "rich", "ruamel", "watchdog"}
ASKED = """
import json, sys
before = set(sys.modules)
from flipbook.cli.main import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
sys.stderr.write("\\nLOADED " + json.dumps(sorted({name.partition(".")[0] for name in set(sys.modules) - before})))
"""


def loaded_by(*words: str | Path) -> set[str]:
    """The top-level modules that a command loads."""
    ran = subprocess.run(
        [sys.executable, "-c", ASKED, *map(str, words)],
        env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
        capture_output=True,
        text=True,
        timeout=20,
        check=True,
    )
    return set(json.loads(ran.stderr.rpartition("LOADED ")[2]))


@pytest.mark.parametrize(
    "words", [["--help"], ["--version"], ["compile", "--help"], ["year", "--help"], ["complie"], []]
)
def test_help_and_mistakes_load_nothing_heavy(words: list[str]) -> None:
    loaded = loaded_by(*words)
    assert "flipbook" in loaded
    assert not loaded & HEAVY


def test_compile_loads_what_it_needs_and_with_nothing_changed_nothing_heavy(shop: Any) -> None:
    assert {"pydantic", "jinja2", "PIL", "ruamel"} <= loaded_by("compile", shop.piece().root)
    loaded = loaded_by("compile", shop.root)
    assert "flipbook" in loaded
    assert not loaded & HEAVY


def test_with_nothing_changed_the_warnings_are_shown_without_what_makes_pages(shop: Any) -> None:
    shop.piece().write({"tool.yaml": ""})
    assert "jinja2" in loaded_by("compile", shop.root)
    assert not loaded_by("compile", shop.root) & {"jinja2", "PIL"}
