"""WCAG 2.2 A and AA as far as axe-core can tell: every kind of page, light and dark, on a phone and on a desk.

axe-core (Deque Systems, MPL-2.0) comes with the package axe-playwright-python; nothing is fetched.
"""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import pytest

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
FOR_BUYERS = [*RULES, "best-practice"]
# Each with one of the two lights; that every text stands out in both is reckoned in test_pages_load_and_fit.
SCREENS = [({"width": 390, "height": 844}, "light"), ({"width": 1440, "height": 900}, "dark")]
LOOK = """(tags) => axe.run(document, { runOnly: { type: "tag", values: tags }, resultTypes: ["violations"] }).then((found) => ({
    passes: found.passes.length,
    violations: found.violations.map((v) => [v.id, v.help, v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160))]) }))"""


def kinds_of(pages: list[str]) -> list[str]:
    """One page of each kind, and every page of a piece that is unlike the others in its pictures or its state."""
    portfolio = [
        f"portfolio/{name}/index.html"
        for name in ("ladder-back-rocker", "tall-bookcase", "corner-cupboard", "cane-chair")
    ]
    picked = [next(name for name in pages if name.startswith(f"portfolio/{what}-")) for what in ("kind", "finish")]
    books: dict[str, str] = {}
    for name in pages:
        if name.startswith("books/"):
            books.setdefault(
                "".join(sign for sign in name if not sign.isdigit()).replace("/pieces/", "/pieces/*").split("*")[0],
                name,
            )
    return ["portfolio/index.html", *portfolio, *picked, *books.values()]


@pytest.mark.parametrize(("screen", "scheme"), SCREENS, ids=["phone", "desk"])
def test_axe_finds_no_violation(
    browser: Any, output: Any, buyers_pages: list[str], books_pages: list[str], screen: dict[str, int], scheme: str
) -> None:
    axe = files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
    pages = kinds_of([*buyers_pages, *books_pages])
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
    """That the check above can fail: a picture without words and a grey on grey are found."""
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.goto((output / "portfolio/ladder-back-rocker/index.html").as_uri())
    page.evaluate("document.images[0].removeAttribute('alt')")
    page.add_style_tag(content=":root { --ink: #aaa !important; --paper: #bbb !important }")
    page.evaluate(files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8"))
    names = {violation[0] for violation in page.evaluate(LOOK, RULES)["violations"]}
    context.close()
    assert {"image-alt", "color-contrast"} <= names
