"""The demo shop, compiled once and seen in a browser: from a folder, and from a web server on this machine."""

from __future__ import annotations

import contextlib
import http
import http.server
import os
import re
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from flipbook.compile import Outcome, compile_shop

REPOSITORY = Path(__file__).resolve().parents[1]
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-first-run",
)  # fmt: skip


def chromium_here() -> str | None:
    """The browser to drive: the one named by FLIPBOOK_CHROMIUM, else one that is installed."""
    named = os.environ.get("FLIPBOOK_CHROMIUM")
    return named or next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A Chromium without a window."""
    path = chromium_here()
    if path is None:
        reason = "no Chromium was found; install one, or name it in FLIPBOOK_CHROMIUM"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Outcome]:
    """The demo shop's folder away from the checkout, and what its compile came to; a test that writes takes a copy."""
    root = tmp_path_factory.mktemp("demo") / "demo_shop"
    shutil.copytree(REPOSITORY / "demo_shop", root, ignore=shutil.ignore_patterns("out"))
    outcome = compile_shop(root, root / "out")
    assert outcome.books is not None
    return root, outcome


@pytest.fixture(scope="session")
def output(demo: tuple[Path, Outcome]) -> Path:
    """The output folder of the demo shop."""
    return demo[0] / "out"


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def do_GET(self) -> None:
        """A file; and no icon, which a browser asks the root of a host for by itself."""
        if self.path == "/favicon.ico":
            self.send_response(http.HTTPStatus.NO_CONTENT)
            self.end_headers()
        else:
            super().do_GET()

    def log_message(self, *args: object) -> None:
        """Say nothing on the terminal."""


@pytest.fixture(scope="session")
def served(output: Path) -> Iterator[str]:
    """The address of a web server that has the output folder."""
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(output))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


@dataclass
class Visit:
    """A page that is open, and all that went wrong or was asked for since it was opened."""

    page: Page
    base: str
    complaints: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def go(self, name: str) -> Page:
        """Open a page of the output folder by its path there."""
        self.page.goto(f"{self.base}/{quote(name)}")
        return self.page


class Site:
    """One way to reach the pages: `base` is a folder's address or a server's."""

    def __init__(self, browser: Browser, base: str) -> None:
        self.browser = browser
        self.base = base

    @contextlib.contextmanager
    def visit(self, **how: Any) -> Iterator[Visit]:
        """A fresh visitor, without a memory of earlier ones."""
        context = self.browser.new_context(**how)
        try:
            page = context.new_page()
            visit = Visit(page, self.base)
            page.on("console", lambda m: visit.complaints.append(m.text) if m.type in ("error", "warning") else None)
            page.on("pageerror", lambda fault: visit.complaints.append(str(fault)))
            page.on("requestfailed", lambda request: visit.complaints.append(f"failed: {request.url}"))
            page.on("request", lambda request: visit.asked.append(request.url))
            yield visit
        finally:
            context.close()


@pytest.fixture(scope="session", params=["file", "http"])
def site(request: pytest.FixtureRequest, browser: Browser, output: Path) -> Site:
    """The pages, opened from a folder and from a web server."""
    return Site(browser, output.as_uri() if request.param == "file" else request.getfixturevalue("served"))


@pytest.fixture(scope="session")
def folder_site(browser: Browser, output: Path) -> Site:
    """The pages, opened from a folder."""
    return Site(browser, output.as_uri())


def _pages(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder.parent)) for path in folder.rglob("*.html"))


@pytest.fixture(scope="session")
def buyers_pages(output: Path) -> list[str]:
    """The pages for buyers, by their path in the output folder."""
    return _pages(output / "portfolio")


@pytest.fixture(scope="session")
def books_pages(output: Path) -> list[str]:
    """The private pages, by their path in the output folder."""
    return _pages(output / "books")


@pytest.fixture(scope="session")
def unlike_pages(buyers_pages: list[str], books_pages: list[str]) -> list[str]:
    """A page of each kind, and of the pieces those that differ in their pictures or their state."""
    pieces = ("ladder-back-rocker", "walnut-sideboard", "tall-bookcase", "corner-cupboard", "cane-chair")
    kinds = {}
    for name in [*buyers_pages, *books_pages]:
        if name.startswith("books/") or "/index.html" not in name.removeprefix("portfolio"):
            # Tables of several years are of one kind, and so are the sheets of all pieces, and what is picked by one thing.
            kind = re.sub(r"\d", "", re.sub(r"(pieces/|portfolio/\w+-).*", r"\1", name))
            kinds.setdefault(kind, name)
    return ["portfolio/index.html", *(f"portfolio/{name}/index.html" for name in pieces), *kinds.values()]


def until(page: Page, expression: str, seconds: float = 20) -> None:
    """Return when `expression` holds on the page; `wait_for_function` would be refused by the page's policy."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < end, expression
        page.wait_for_timeout(50)
