"""The pages' own policy: what is injected into them does not run, loads nothing and sends nothing."""

from __future__ import annotations

import re
from typing import Any

import pytest

POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')
PAGES = ["portfolio/ladder-back-rocker/index.html", "books/index.html"]
INJECTED = {
    "a script": "<script>window.ran = 1</script>",
    "a picture's handler": '<img src="missing.jpg" onerror="window.ran = 1">',
    "a drawing's handler": '<svg onload="window.ran = 1"></svg>',
    "a page in the page": '<iframe srcdoc="&lt;script&gt;parent.ran = 1&lt;/script&gt;"></iframe>',
    "a link": '<a id="press" href="javascript:window.ran = 1">press</a>',
}
FETCHED = {
    "a script from elsewhere": '<script src="https://elsewhere.example/x.js"></script>',
    "a picture from elsewhere": '<img src="https://elsewhere.example/x.png">',
    "a stylesheet": '<link rel="stylesheet" href="https://elsewhere.example/x.css">',
    "a style": '<div style="background: url(https://elsewhere.example/x.png)">x</div>',
    "a frame": '<iframe src="https://elsewhere.example/"></iframe>',
    "a form": '<form id="f" action="https://elsewhere.example/"><input name="a" value="b"></form><script>f.submit()</script>',
}


def with_injection(browser: Any, served: str, path: str, injected: str, keep_policy: bool) -> tuple[bool, list[str]]:
    """Whether a script ran in a page that had something injected, and which other hosts were reached for."""
    context = browser.new_context()
    page = context.new_page()
    outside: list[str] = []

    def elsewhere(route: Any) -> None:
        outside.append(route.request.url)
        route.abort()

    def inject(route: Any) -> None:
        answer = route.fetch()
        body = answer.text()
        assert "</body>" in body
        assert len(POLICY.findall(body)) == 1
        body = body.replace("</body>", f"{injected}</body>")
        route.fulfill(response=answer, body=body if keep_policy else POLICY.sub("", body))

    page.route("https://elsewhere.example/**", elsewhere)
    page.route(f"**/{path}", inject)
    page.goto(f"{served}/{path}")
    if page.locator("#press").count():
        page.evaluate("document.getElementById('press').click()")
    page.wait_for_timeout(60)
    ran = page.evaluate("window.ran") is not None
    context.close()
    return ran, outside


@pytest.mark.parametrize("path", PAGES)
def test_nothing_that_was_injected_runs_or_reaches_another_host(browser: Any, served: str, path: str) -> None:
    everything = "".join([*INJECTED.values(), *FETCHED.values()])
    assert with_injection(browser, served, path, everything, keep_policy=True) == (False, [])


@pytest.mark.parametrize("injected", [*INJECTED.values(), *FETCHED.values()], ids=[*INJECTED, *FETCHED])
def test_without_the_policy_each_of_them_would(browser: Any, served: str, injected: str) -> None:
    ran, outside = with_injection(browser, served, PAGES[0], injected, keep_policy=False)
    assert ran if injected in INJECTED.values() else outside


def test_every_page_has_the_policy_before_anything_it_could_load(
    output: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    for name in [*buyers_pages, *books_pages]:
        text = (output / name).read_text("utf-8")
        found = POLICY.search(text)
        assert found, name
        assert found.start() < min(text.index("<link"), text.index("<title"), text.index("<body")), name
        allowed = dict(part.strip().partition(" ")[::2] for part in found[1].split(";"))
        assert allowed["default-src"] == allowed["base-uri"] == allowed["form-action"] == "'none'", name
        assert set(allowed.values()) <= {"'none'", "'self'"}, name
        # A page may run a script where it has one: to sort a table by, or to lay before over after.
        assert ("script-src" in allowed) == ("<script src=" in text), name
