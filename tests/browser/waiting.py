"""Waiting for a page whose own policy forbids the browser's driver to evaluate a text inside it."""

from __future__ import annotations

import time

from playwright.sync_api import Page


def until(page: Page, expression: str, seconds: float = 20) -> None:
    """Return when `expression` holds on the page; `wait_for_function` would be refused by the page's policy."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < end, expression
        page.wait_for_timeout(50)
