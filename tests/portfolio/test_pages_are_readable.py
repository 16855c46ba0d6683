"""Contrast, focus and order, and what the pages say of themselves."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest


def luminance(colour: tuple[float, ...]) -> float:
    """Relative luminance, WCAG 2.2."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    """Contrast ratio, WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [((0, 0, 0), (255, 255, 255), 21.0), ((119, 119, 119), (255, 255, 255), 4.48), ((255, 0, 0), (0, 0, 255), 2.15)],
)
def test_contrast_is_reckoned_as_published(one: tuple[int, ...], other: tuple[int, ...], ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01)


# Every text that is seen, with its colour and the first solid ground below it.
TEXTS = """() => {
    const found = [];
    const solid = (c) => !/(, 0\\)|\\/ 0\\)|transparent)$/.test(c);
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const element = walker.currentNode.parentElement;
        if (!walker.currentNode.data.trim() || !element.checkVisibility() || element.closest(".skip, .unseen, script")) continue;
        const own = getComputedStyle(element);
        let ground = element;
        while (ground && !solid(getComputedStyle(ground).backgroundColor)) ground = ground.parentElement;
        found.push({ text: walker.currentNode.data.trim().slice(0, 40), ink: own.color, size: parseFloat(own.fontSize),
                     weight: Number(own.fontWeight), ground: ground ? getComputedStyle(ground).backgroundColor : "rgb(255, 255, 255)" });
    }
    return found;
}"""


def rgb(colour: str) -> tuple[float, ...]:
    found = re.fullmatch(r"rgb\((\d+), (\d+), (\d+)\)", colour)
    assert found, colour
    return tuple(map(float, found.groups()))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_stands_out_from_its_ground(
    folder_site: Any, buyers_pages: list[str], books_pages: list[str], scheme: str
) -> None:
    with folder_site.visit(color_scheme=scheme) as visit:
        for name in [*buyers_pages, *books_pages]:
            page = visit.go(name)
            texts = page.evaluate(TEXTS)
            assert texts, name
            for text in texts:
                is_large = text["size"] >= 24 or (text["size"] >= 18.66 and text["weight"] >= 700)
                ratio = contrast(rgb(text["ink"]), rgb(text["ground"]))
                assert ratio >= (3 if is_large else 4.5), (name, text, round(ratio, 2))
            paper = luminance(rgb(page.evaluate("getComputedStyle(document.body).backgroundColor")))
            assert (paper > 0.7) if scheme == "light" else (paper < 0.1), name


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


def test_every_page_has_one_main_heading_a_language_and_a_title(
    folder_site: Any, buyers_pages: list[str], books_pages: list[str]
) -> None:
    titles = []
    with folder_site.visit() as visit:
        for name in [*buyers_pages, *books_pages]:
            page = visit.go(name)
            assert page.locator("h1").count() == 1, name
            assert page.locator("main").count() == 1, name
            assert page.get_attribute("html", "lang") == "en", name
            levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map((h) => Number(h.localName[1]))")
            assert all(after - before <= 1 for before, after in pairwise(levels)), (name, levels)
            ids = page.evaluate("[...document.querySelectorAll('[id]')].map((e) => e.id)")
            assert len(ids) == len(set(ids)), name
            titles.append(page.title())
    assert len(titles) == len(set(titles))
    assert all(titles)


def test_the_buyers_pages_name_no_private_page(folder_site: Any, buyers_pages: list[str]) -> None:
    with folder_site.visit() as visit:
        for name in buyers_pages:
            text = visit.go(name).content()
            assert "books/" not in text, name
            assert "ledger" not in text.casefold(), name
            # What a buyer's browser runs is the comparison alone; the other element is data for machines.
            scripts = re.findall(r"<script[^>]*>", text)
            assert set(scripts) <= {'<script src="../compare.js">', '<script type="application/ld+json">'}, name
            assert ('<script src="../compare.js">' in scripts) == ('class="frame"' in text), name


def test_the_demos_drawings_are_said_to_be_drawings(folder_site: Any, buyers_pages: list[str]) -> None:
    with folder_site.visit() as visit:
        for name in buyers_pages:
            page = visit.go(name)
            if page.locator("img").count():
                assert page.get_by_text("drawings").first.is_visible(), name


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
