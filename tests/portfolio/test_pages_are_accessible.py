"""WCAG 2.2 A and AA as far as axe-core can tell: every kind of page, light and dark, on a phone and on a desk.

axe-core (Deque Systems, MPL-2.0) comes with the package axe-playwright-python; nothing is fetched.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import pytest

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
FOR_BUYERS = [*RULES, "best-practice"]
# Each with one of the two lights. That every text stands out in both is reckoned in test_pages_load_and_fit, and much
# faster than axe does it.
SCREENS = [({"width": 390, "height": 844}, "light"), ({"width": 1440, "height": 900}, "dark")]
LOOK = """(tags) => axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"],
        rules: { "color-contrast": { enabled: false } } }).then((found) => ({
    passes: found.passes.length,
    violations: found.violations.map((v) => [v.id, v.help, v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160))]) }))"""


@pytest.mark.parametrize(("screen", "scheme"), SCREENS, ids=["phone", "desk"])
def test_axe_finds_no_violation(
    browser: Any, output: Any, unlike_pages: list[str], screen: dict[str, int], scheme: str
) -> None:
    axe = files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
    # What buyers see is looked at on both screens, and each table on the one or the other.
    turn = SCREENS.index((screen, scheme))
    pages = [name for n, name in enumerate(unlike_pages) if name.startswith("portfolio/") or n % 2 == turn]
    assert len(pages) > 12
    context = browser.new_context(viewport=screen, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    found = {}
    for name in pages:
        page.goto((output / name).as_uri())
        page.evaluate(axe)
        told = page.evaluate(LOOK, FOR_BUYERS if name.startswith("portfolio/") else RULES)
        assert told["passes"] > 10, name
        if told["violations"]:
            found[name] = told["violations"]
    context.close()
    assert found == {}


def test_axe_finds_what_is_wrong_where_something_is(browser: Any, output: Any) -> None:
    """That the check above can fail: a picture without words and a page without a language are found."""
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.goto((output / "portfolio/ladder-back-rocker/index.html").as_uri())
    page.evaluate("document.images[0].removeAttribute('alt')")
    page.evaluate("document.documentElement.removeAttribute('lang')")
    page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8"))
    names = {violation[0] for violation in page.evaluate(LOOK, RULES)["violations"]}
    context.close()
    assert {"image-alt", "html-has-lang"} <= names
