"""Fixtures shared by all tests: a shop's folder to write in, and the command line, called or run."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from how_many import QUICK
from hypothesis import settings

# Any test may `from shop_writer import ...`; a second conftest.py would hide names kept in this one.
sys.path.insert(0, str(Path(__file__).with_name("shop")))

from shop_writer import Ran, ShopWriter, run_flipbook, run_process

settings.load_profile(QUICK)  # pytest --hypothesis-profile=long takes its place

# A browser, and the demo shop compiled once for all that look at it.
pytest_plugins = ["browsing"]


@pytest.fixture
def shop(tmp_path: Path) -> ShopWriter:
    """A shop's folder to write in."""
    return ShopWriter(tmp_path / "my_shop")


@pytest.fixture
def flipbook() -> Callable[..., Ran]:
    """The command line, called in this process: `flipbook("check", shop.root)`."""
    return run_flipbook


@pytest.fixture
def flipbook_process() -> Callable[..., Ran]:
    """The command line in a process of its own, for what a call cannot show."""
    return run_process
