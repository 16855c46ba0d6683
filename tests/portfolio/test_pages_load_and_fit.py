"""Every page loads whole, asks nobody else for anything, and fits the screen it is seen on."""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import unquote, urldefrag, urlsplit

import pytest

WIDTHS = (360, 390, 1280)


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


def test_every_page_loads_whole_and_asks_no_other_host(
    site: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    with site.visit() as visit:
        for name in [*buyers_pages, *books_pages]:
            visit.complaints.clear()
            visit.asked.clear()
            page = visit.go(name)
            scrolled_through(page)
            widths = page.evaluate("[...document.images].map((img) => img.naturalWidth)")
            assert all(width > 0 for width in widths), name
            assert page.evaluate("getComputedStyle(document.querySelector('.skip')).position") == "absolute", name
            assert page.evaluate("document.compatMode") == "CSS1Compat", name
            assert visit.complaints == [], name
            assert {address.startswith((site.base + "/", "data:,")) for address in visit.asked} == {True}, name
        assert visit.go("portfolio/index.html").evaluate("document.images.length") >= 8


def test_every_link_leads_somewhere(
    folder_site: Any, output: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    with folder_site.visit(java_script_enabled=False) as visit:
        for name in [*buyers_pages, *books_pages]:
            page = visit.go(name)
            found = [
                (link.evaluate("a => a.href"), link.get_attribute("href")) for link in page.query_selector_all("a")
            ]
            assert found, name
            ids = {element.get_attribute("id") for element in page.query_selector_all("[id]")}
            for address, written in found:
                parts = urlsplit(address)
                if parts.scheme == "file":
                    path = unquote(urldefrag(address)[0]).removeprefix(output.as_uri() + "/")
                    assert (output / path).is_file(), (name, written)
                    assert path != name or parts.fragment in ids, (name, written)
                else:
                    assert parts.scheme in ("mailto", "http", "https"), (name, written)
                    assert "quillback.example" in address, (name, written)


def test_every_link_is_answered_by_a_web_server(browser: Any, served: str, buyers_pages: list[str]) -> None:
    context = browser.new_context()
    page = context.new_page()
    for name in buyers_pages:
        page.goto(f"{served}/{name}")
        for address in page.evaluate("[...document.links].map((link) => link.href)"):
            if address.startswith(served):
                assert context.request.head(address).status == 200, (name, address)
    context.close()


@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_is_wider_than_the_screen(
    folder_site: Any, buyers_pages: list[str], books_pages: list[str], width: int
) -> None:
    with folder_site.visit(viewport={"width": width, "height": 800}) as visit:
        for name in [*buyers_pages, *books_pages]:
            page = visit.go(name)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, name


def test_pictures_say_what_they_show_and_are_shown_whole(folder_site: Any, buyers_pages: list[str]) -> None:
    with folder_site.visit() as visit:
        for name in buyers_pages:
            page = visit.go(name)
            scrolled_through(page)
            for picture in page.evaluate(
                """[...document.images].map((i) => ({
                    alt: i.alt, width: i.getAttribute("width"), height: i.getAttribute("height"),
                    ratio: i.naturalWidth / i.naturalHeight, shown: i.clientWidth / i.clientHeight,
                    fit: getComputedStyle(i).objectFit }))"""
            ):
                assert picture["alt"].strip(), name
                said = int(picture["width"]) / int(picture["height"])
                assert picture["ratio"] == pytest.approx(said, rel=0.01), name
                assert picture["fit"] == "contain" or picture["shown"] == pytest.approx(said, rel=0.02), name


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


def test_a_page_reads_the_same_without_script(
    folder_site: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    with folder_site.visit() as live, folder_site.visit(java_script_enabled=False) as plain:
        for name in [*buyers_pages, *books_pages]:
            texts = [visit.go(name).inner_text("body").split() for visit in (live, plain)]
            assert len(texts[0]) > 10, name
            assert texts[0] == texts[1], name
