"""A page of `flipbook watch --show` is loaded again by itself when what it shows has changed, and only then."""

from __future__ import annotations

import contextlib
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from browsing import until
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page
from shop_writer import ShopWriter
from watching import LONG, Watching, wait_until, watching

STORY = "tell: |\n" + "".join(f"  Paragraph {n} of a long story about a porch and its stool.\n\n" for n in range(80))
ASKED = "asking:\n  - {on: 2026-02-01, price: 95}\n"


@dataclass
class Shown:
    """A shop that is watched and shown, and a browser that visits it."""

    shop: ShopWriter
    watch: Watching
    context: BrowserContext
    complaints: list[str]

    def open(self, path: str) -> Page:
        """Open a page and mark it, so that a load can be told from none."""
        page = self.context.new_page()
        page.on(
            "console", lambda said: self.complaints.append(said.text) if said.type in ("error", "warning") else None
        )
        page.on("pageerror", lambda fault: self.complaints.append(str(fault)))
        with page.expect_response("**/-/changes?*"):
            page.goto(f"{self.watch.address()}{path}")
        mark(page)
        return page

    def save(self, text: str) -> None:
        """Save the stool's file, and wait until the watch has looked at it."""
        said = len(self.watch.lines)
        self.shop.piece(text)
        self.watch.says("saved ", said)


def mark(page: Page) -> None:
    page.evaluate("window.marked = true")


def is_as_it_was(page: Page) -> bool:
    return bool(page.evaluate("window.marked === true"))


def see(page: Page, is_seen: bool) -> None:
    """Bring the page to the front, or put another in front of it, as far as the page can tell."""
    page.evaluate(
        f"Object.defineProperty(document, 'hidden', {{configurable: true, get: () => {str(not is_seen).lower()}}});"
        "document.dispatchEvent(new Event('visibilitychange'))"
    )


def pass_over(page: Page) -> None:
    """Put another page in front of it for a moment; it asks what it missed."""
    see(page, False)
    with page.expect_response("**/-/changes?*"):
        see(page, True)


@pytest.fixture(scope="module")
def watched(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[ShopWriter, Watching]]:
    """A shop with a chest, watched and shown."""
    shop = ShopWriter(tmp_path_factory.mktemp("watched") / "my_shop").piece(folder="pine-chest")
    with watching(shop.root, "--show", "0") as watch:
        watch.ready()
        yield shop, watch


@pytest.fixture
def shown(watched: tuple[ShopWriter, Watching], browser: Browser) -> Iterator[Shown]:
    """The shop with a stool as it came, and a visitor without a memory of earlier ones."""
    shop, watch = watched
    said = len(watch.lines)
    shutil.rmtree(shop.root / "pieces" / "oak-stool", ignore_errors=True)
    shop.piece(f"{STORY}wood: elm, {said}\n")
    wait_until(lambda: f"elm, {said}" in page_of(shop, "oak-stool"), "the stool's page")
    watch.settled(0.4)
    with contextlib.closing(browser.new_context()) as context:
        context.set_default_timeout(LONG * 1000)
        shown = Shown(shop, watch, context, [])
        yield shown
        assert shown.complaints == []


def page_of(shop: ShopWriter, folder: str) -> str:
    file = shop.root / "out" / "portfolio" / folder / "index.html"
    return file.read_text("utf-8") if file.exists() else ""


def test_a_save_is_seen_without_a_word_and_the_page_stays_where_it_was_read(shown: Shown) -> None:
    page = shown.open("portfolio/oak-stool/index.html")
    page.evaluate("window.scrollTo(0, 1500)")
    until(page, "window.scrollY > 1400")
    before = page.evaluate("window.scrollY")
    shown.save(STORY + "wood: quarter-sawn oak\n")
    page.get_by_text("quarter-sawn oak").wait_for(state="attached")
    # The wood stands above; a page that keeps its place may move by what came in.
    until(page, f"Math.abs(window.scrollY - {before}) < 200")
    # And the page that was loaded again hears of the next save too.
    pass_over(page)
    shown.save(STORY + "wood: curly maple\n")
    page.get_by_text("curly maple").wait_for(state="attached")


def test_a_page_that_shows_nothing_of_it_is_left_alone(shown: Shown) -> None:
    stool, chest, books = (
        shown.open(path) for path in ("portfolio/oak-stool/", "portfolio/pine-chest/", "books/shelf.html")
    )
    index = shown.open("")
    shown.save(STORY + ASKED)
    stool.get_by_text("95").first.wait_for()
    index.get_by_text("95").first.wait_for()
    # The script of each has been told by now: it opens a new connection, and still stays.
    for page in (chest, books):
        pass_over(page)
        assert is_as_it_was(page)
    assert not is_as_it_was(stool)


def test_the_private_books_are_loaded_again_too_and_can_still_be_sorted(shown: Shown) -> None:
    page = shown.open("books/ledger.html")
    before = page.locator("tbody tr").count()
    shown.save("bought:\n  - {on: 2026-01-06, from: Harbour Hardware, what: felt feet, cost: 4.49}\n")
    page.get_by_text("felt feet").wait_for()
    assert page.locator("tbody tr").count() == before + 1
    page.locator("th button").first.click()
    assert page.locator("th[aria-sort]").count() == 1


def test_a_picture_dropped_in_appears(shown: Shown) -> None:
    page = shown.open("portfolio/oak-stool/index.html")
    assert page.locator("img").count() == 0
    photos = shown.shop.root / "pieces" / "oak-stool" / "photos"
    photos.mkdir()
    Image.new("RGB", (900, 600), (90, 60, 30)).save(photos / "after-front.jpg")
    page.locator("img").first.wait_for()
    until(page, "document.querySelector('img').naturalWidth > 0")


def test_a_page_out_of_sight_asks_nothing_and_catches_up_when_it_is_seen(shown: Shown) -> None:
    page = shown.open("portfolio/pine-chest/index.html")
    see(page, False)
    said = len(shown.watch.lines)
    shown.shop.piece("wood: pine\n", folder="pine-chest")
    shown.watch.says("saved ", said)
    page.wait_for_timeout(500)
    assert is_as_it_was(page)
    see(page, True)
    page.get_by_text("pine", exact=True).wait_for()


def test_a_problem_leaves_the_page_as_it_is_until_it_is_mended(shown: Shown) -> None:
    page = shown.open("portfolio/oak-stool/index.html")
    said = len(shown.watch.lines)
    shown.shop.piece("wood: [\n")
    shown.watch.says("to mend", said)
    page.wait_for_timeout(300)
    assert is_as_it_was(page)
    shown.shop.piece("wood: ash\n")
    page.get_by_text("ash", exact=True).wait_for()


def test_the_first_page_comes_by_itself_once_the_shop_is_mended(shop: ShopWriter, browser: Browser) -> None:
    shop.piece("wood: [\n")
    context = browser.new_context()
    with contextlib.closing(context), watching(shop.root, "--show", "0") as watch:
        watch.says("to mend")
        page = context.new_page()
        with page.expect_response("**/-/changes?*"):
            page.goto(watch.address())
        assert page.title() == "Nothing is made yet"
        shop.piece()
        page.get_by_text("Oak stool").first.wait_for(timeout=LONG * 1000)


def test_many_open_pages_do_not_keep_each_other_from_loading(shown: Shown) -> None:
    """A browser opens six connections to a host; pages behind others give theirs back."""
    pages = [shown.open("portfolio/oak-stool/index.html") for _ in range(5)]
    for page in pages:
        see(page, False)
    more = [shown.open("portfolio/pine-chest/index.html") for _ in range(4)]
    assert all(page.title().startswith("Oak stool") for page in more)


def test_the_files_hold_nothing_of_the_watch_and_buyers_pages_ask_this_machine_alone(shown: Shown) -> None:
    asked: list[str] = []
    page = shown.context.new_page()
    page.on("request", lambda request: asked.append(request.url))
    with page.expect_response("**/-/changes?*"):
        page.goto(shown.watch.address())
    assert asked
    assert all(url.startswith(shown.watch.address()) for url in asked)
    for file in (shown.shop.root / "out" / "portfolio").rglob("*.html"):
        assert not re.search("again[.]js|data-as-of|/-/", file.read_text("utf-8"))


INJECTED: dict[str, Callable[[str], str]] = {
    "a script": lambda body: body.replace("</body>", "<script>window.ran = 1</script></body>"),
    "a handler": lambda body: body.replace("</body>", '<img src="x" onerror="window.ran = 1"></body>'),
}


@pytest.mark.parametrize("inject", INJECTED.values(), ids=INJECTED)
def test_the_policy_of_a_shown_page_still_lets_no_injected_script_run(
    watched: tuple[ShopWriter, Watching], browser: Browser, inject: Callable[[str], str]
) -> None:
    with contextlib.closing(browser.new_context()) as context:
        page = context.new_page()

        def changed(route: Any) -> None:
            answer = route.fetch()
            route.fulfill(response=answer, body=inject(answer.text()))

        page.route("**/pine-chest/index.html", changed)
        with page.expect_response("**/-/changes?*"):
            page.goto(f"{watched[1].address()}portfolio/pine-chest/index.html")
        page.wait_for_timeout(100)
        assert page.evaluate("window.ran") is None
