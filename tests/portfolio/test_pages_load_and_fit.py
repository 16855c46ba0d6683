"""Every page loads whole, asks nobody else for anything, fits the screen, and can be read in light and in the dark.

A page of each kind is visited once, and everything that a browser can tell of it is asked then; the tests look at the
answers. That every page is whole HTML whose links lead somewhere is asked of the files.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import pytest
from browsing import Site
from test_wcag_contrast import contrast, luminance

WIDTHS = (360, 1280)


# Every kind of text that is seen, with its colour and the first solid ground below it; a table has each kind many times.
TEXTS = """() => {
    const found = new Map();
    const solid = (c) => !/(, 0\\)|\\/ 0\\)|transparent)$/.test(c);
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const element = walker.currentNode.parentElement;
        if (!walker.currentNode.data.trim() || !element.checkVisibility() || element.closest(".skip, .unseen, script")) continue;
        const own = getComputedStyle(element);
        let ground = element;
        while (ground && !solid(getComputedStyle(ground).backgroundColor)) ground = ground.parentElement;
        const kind = { ink: own.color, size: parseFloat(own.fontSize), weight: Number(own.fontWeight),
                       ground: ground ? getComputedStyle(ground).backgroundColor : "rgb(255, 255, 255)" };
        found.set(JSON.stringify(kind), { text: walker.currentNode.data.trim().slice(0, 40), ...kind });
    }
    return [...found.values()];
}"""


# What a page says of itself, and of its pictures and links.
TOLD = """() => ({
    title: document.title, lang: document.documentElement.lang, mode: document.compatMode,
    skip: getComputedStyle(document.querySelector(".skip")).position,
    h1: document.querySelectorAll("h1").length, main: document.querySelectorAll("main").length,
    levels: [...document.querySelectorAll("h1,h2,h3,h4")].map((h) => Number(h.localName[1])),
    ids: [...document.querySelectorAll("[id]")].map((e) => e.id),
    scripts: [...document.scripts].map((s) => s.getAttribute("src") ?? s.type),
    frames: document.querySelectorAll(".frame").length,
    text: document.body.innerText, source: document.documentElement.outerHTML,
    moving: document.getAnimations().length + [...document.querySelectorAll("*")].filter((e) => {
        const s = getComputedStyle(e);
        return s.animationName !== "none" || s.transitionDuration !== "0s" || s.scrollBehavior === "smooth"; }).length,
    pictures: [...document.images].map((i) => ({
        alt: i.alt, width: Number(i.getAttribute("width")), height: Number(i.getAttribute("height")), there: i.naturalWidth,
        ratio: i.naturalWidth / i.naturalHeight, shown: i.clientWidth / i.clientHeight, fit: getComputedStyle(i).objectFit })),
})"""


def rgb(colour: str) -> str:
    """As #rrggbb, of what a browser says of a colour without anything that shows through."""
    found = re.fullmatch(r"rgb\((\d+), (\d+), (\d+)\)", colour)
    assert found, colour
    return "#" + "".join(f"{int(part):02x}" for part in found.groups())


def scrolled_through(page: Any) -> None:
    """Bring every picture into view, so that the lazy ones are loaded too."""
    page.evaluate(
        """async () => {
            for (const img of document.images) {
                img.scrollIntoView();
                if (!img.complete) await new Promise((done) => { img.onload = img.onerror = done; });
                await img.decode().catch(() => {});
            }
        }"""
    )


@dataclass
class Seen:
    """One page as a browser saw it: what it told of itself, what went wrong, and how it looked in each light and width."""

    told: dict[str, Any]
    complaints: list[str]
    asked: list[str]
    widths: dict[int, int] = field(default_factory=dict)
    texts: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    paper: dict[str, float] = field(default_factory=dict)


@pytest.fixture(scope="module")
def seen(folder_site: Any, unlike_pages: list[str]) -> dict[str, Seen]:
    """A page of each kind, by its path in the output folder."""
    found = {}
    with folder_site.visit(viewport={"width": 1280, "height": 800}, reduced_motion="reduce") as visit:
        for name in unlike_pages:
            visit.complaints.clear()
            visit.asked.clear()
            page = visit.go(name)
            scrolled_through(page)
            one = found[name] = Seen(page.evaluate(TOLD), [], [])
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                one.texts[scheme] = page.evaluate(TEXTS)
                one.paper[scheme] = luminance(rgb(page.evaluate("getComputedStyle(document.body).backgroundColor")))
            for width in WIDTHS:
                page.set_viewport_size({"width": width, "height": 800})
                one.widths[width] = page.evaluate("document.documentElement.scrollWidth")
            page.set_viewport_size({"width": 1280, "height": 800})
            one.complaints, one.asked = list(visit.complaints), list(visit.asked)
    return found


def test_there_is_a_page_for_each_piece_and_each_table(
    output: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    pieces = [path.name for path in (output.parent / "pieces").iterdir()]
    assert len(pieces) >= 12
    to_pick_by = [name for name in buyers_pages if re.fullmatch(r"portfolio/(kind|finish)-[a-z0-9-]+\.html", name)]
    assert len(to_pick_by) >= 12
    pages = ["portfolio/index.html", *(f"portfolio/{name}/index.html" for name in pieces), *to_pick_by]
    assert buyers_pages == sorted(pages)
    tables = {path.stem for path in (output / "books").glob("*.csv")}
    at_the_top = {name for name in books_pages if name.count("/") == 1}
    assert {f"books/{name}.html" for name in (*tables, "index")} == at_the_top
    assert {f"books/pieces/{name}.html" for name in pieces} <= set(books_pages)


def test_every_page_loads_whole_and_asks_no_other_host(seen: dict[str, Seen], folder_site: Any) -> None:
    for name, page in seen.items():
        assert all(picture["there"] > 0 for picture in page.told["pictures"]), name
        assert (page.told["skip"], page.told["mode"]) == ("absolute", "CSS1Compat"), name
        assert page.complaints == [], name
        assert all(address.startswith((folder_site.base + "/", "data:,")) for address in page.asked), name
    assert len(seen["portfolio/index.html"].told["pictures"]) >= 8


def test_from_a_web_server_the_buyers_pages_load_whole_and_every_link_is_answered(
    browser: Any, served: str, buyers_pages: list[str], unlike_pages: list[str]
) -> None:
    with Site(browser, served).visit() as visit:
        answered: set[str] = set()
        for name in (name for name in unlike_pages if name in buyers_pages):
            page = visit.go(name)
            scrolled_through(page)
            assert page.evaluate("[...document.images].every((img) => img.naturalWidth > 0)"), name
            for address in page.evaluate("[...document.links].map((link) => link.href)"):
                if address.startswith(served) and address not in answered:
                    assert visit.page.context.request.head(address).status == 200, (name, address)
                    answered.add(address)
        assert visit.complaints == []
        assert all(address.startswith((served, "data:,")) for address in visit.asked)
    assert len(answered) >= len(buyers_pages) - 1


def test_no_page_is_wider_than_the_screen_and_none_moves_by_itself(seen: dict[str, Seen]) -> None:
    for name, page in seen.items():
        assert all(scrolled <= width for width, scrolled in page.widths.items()), (name, page.widths)
        assert page.told["moving"] == 0 or name.startswith("books/"), name


def test_pictures_say_what_they_show_and_are_shown_whole(seen: dict[str, Seen]) -> None:
    for name in (name for name in seen if name.startswith("portfolio/")):
        for picture in seen[name].told["pictures"]:
            assert picture["alt"].strip(), name
            said = picture["width"] / picture["height"]
            assert picture["ratio"] == pytest.approx(said, rel=0.01), name
            assert picture["fit"] == "contain" or picture["shown"] == pytest.approx(said, rel=0.02), name


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_out_from_its_ground(seen: dict[str, Seen], scheme: str) -> None:
    for name, page in seen.items():
        assert page.texts[scheme], name
        for text in page.texts[scheme]:
            is_large = text["size"] >= 24 or (text["size"] >= 18.66 and text["weight"] >= 700)
            ratio = contrast(rgb(text["ink"]), rgb(text["ground"]))
            assert ratio >= (3 if is_large else 4.5), (name, text, round(ratio, 2))
        assert (page.paper[scheme] > 0.7) if scheme == "light" else (page.paper[scheme] < 0.1), name


def test_every_page_has_one_main_heading_a_language_and_a_title(seen: dict[str, Seen], output: Any) -> None:
    for name, page in seen.items():
        assert (page.told["h1"], page.told["main"], page.told["lang"]) == (1, 1, "en"), name
        assert all(after - before <= 1 for before, after in pairwise(page.told["levels"])), (name, page.told["levels"])
        assert len(page.told["ids"]) == len(set(page.told["ids"])), name
    pages = [path.read_text("utf-8") for path in output.rglob("*.html")]
    titles = {found[1] for page in pages if (found := re.search(r"<title>([^<]+)</title>", page))}
    assert len(titles) == len(pages)


def test_the_buyers_pages_name_no_private_page_and_say_that_drawings_are_drawings(
    seen: dict[str, Seen],
) -> None:
    for name in (name for name in seen if name.startswith("portfolio/")):
        told = seen[name].told
        assert "books/" not in told["source"], name
        assert "ledger" not in told["source"].casefold(), name
        # What a buyer's browser runs is the comparison alone; the other element is data for machines.
        assert set(told["scripts"]) <= {"../compare.js", "application/ld+json"}, name
        assert ("../compare.js" in told["scripts"]) == bool(told["frames"]), name
        assert not told["pictures"] or "drawings" in told["text"], name


def test_a_page_reads_the_same_without_script(folder_site: Any, seen: dict[str, Seen]) -> None:
    with folder_site.visit(java_script_enabled=False, viewport={"width": 1280, "height": 800}) as plain:
        for name, page in seen.items():
            text = plain.go(name).inner_text("body").split()
            assert len(text) > 10, name
            assert text == page.told["text"].split(), name


def test_a_page_does_not_jump_while_its_pictures_load(browser: Any, served: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 800})
    heights = []
    for block in (True, False):
        page = context.new_page()
        if block:
            page.route(re.compile(r"\.(jpg|webp)$"), lambda route: route.abort())
        page.goto(f"{served}/portfolio/index.html")
        if not block:
            scrolled_through(page)
        heights.append(page.evaluate("document.querySelector('main').scrollHeight"))
    assert heights[0] == pytest.approx(heights[1], rel=0.02)
    context.close()


def test_the_tab_key_reaches_every_link_and_shows_where_it_is(folder_site: Any) -> None:
    seen = {"portfolio/index.html": 12, "portfolio/ladder-back-rocker/index.html": 6, "books/index.html": 20}
    for name, least in seen.items():
        with folder_site.visit() as visit:
            page = visit.go(name)
            page.evaluate(
                "() => { let n = 0; for (const e of document.querySelectorAll('a[href], button, input, [tabindex]')) e.dataset.stop = n++; }"
            )
            count = page.locator("[data-stop]").count()
            assert count >= least, name
            reached = []
            for _ in range(count):
                page.keyboard.press("Tab")
                reached.append(
                    page.evaluate(
                        """() => { const e = document.activeElement, b = e.getBoundingClientRect();
                        const rings = [getComputedStyle(e, "::after"), getComputedStyle(e, "::before")];
                        for (let at = e; at; at = at.parentElement) rings.push(getComputedStyle(at));
                        return { stop: Number(e.dataset.stop),
                                 ring: rings.some((s) => s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 1),
                                 seen: b.bottom > 0 && b.top < innerHeight && b.width > 0 }; }"""
                    )
                )
            assert [stop["stop"] for stop in reached] == list(range(count)), name
            assert [stop for stop in reached if not stop["ring"]] == [], name
            assert [stop for stop in reached if not stop["seen"]] == [], name


def test_print_shows_the_whole_of_a_piece_and_of_a_table(folder_site: Any) -> None:
    with folder_site.visit(viewport={"width": 794, "height": 1123}) as visit:
        page = visit.go("books/ledger.html")
        page.emulate_media(media="print")
        table = page.locator("table").first
        assert table.is_visible()
        rows = page.locator("tbody tr")
        assert rows.count() > 30
        assert all(rows.nth(number).is_visible() for number in (0, rows.count() - 1))
        hidden = page.evaluate(
            "[...document.querySelectorAll('.region')].filter((e) => !['visible', 'auto'].includes(getComputedStyle(e).overflowY)).length"
        )
        assert hidden == 0
        assert page.evaluate("getComputedStyle(document.querySelector('thead')).display") == "table-header-group"
        page = visit.go("portfolio/ladder-back-rocker/index.html")
        page.emulate_media(media="print")
        assert page.locator("h1").is_visible()
        assert page.locator("img").first.is_visible()
