"""The first page, and the pages to pick by: every piece in its group, links that lead somewhere, names that never meet."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from flipbook.compile import Outcome, compile_shop
from flipbook.portfolio.picking import MANY, slugs_of
from flipbook.shop.nearest import folded

SOLD = "asking: [{on: 2026-02-01, price: 425}]\nsold: {on: 2026-02-05, price: 400, at: porch sale}\n"
FOR_SALE = "asking: [{on: 2026-02-01, price: 425}]\n"


def compiled(shop: Any) -> Path:
    outcome: Outcome = compile_shop(shop.root, shop.root / "out")
    assert outcome.books is not None, outcome.problems
    return Path(shop.root / "out" / "portfolio")


def links_of(page: Path) -> list[str]:
    return [html.unescape(link) for link in re.findall(r'<a href="([^"]*)"', page.read_text("utf-8"))]


def test_what_is_for_sale_comes_first_then_past_work_then_the_others(shop: Any) -> None:
    kinds = {
        "a-bench": "log: [2026-01-06 washed]\n",
        "b-sold": SOLD,
        "c-waiting": "",
        "d-kept": "kept: {on: 2026-02-01}\n",
        "e-for-sale": FOR_SALE,
        "f-scrapped": "scrapped: {on: 2026-02-01}\n",
    }
    for folder, more in kinds.items():
        shop.piece(more, folder)
    links = [link.partition("/")[0] for link in links_of(compiled(shop) / "index.html") if link.endswith("/index.html")]
    assert links == ["e-for-sale", "b-sold", "a-bench", "c-waiting", "d-kept"]


def test_each_kind_has_a_page_with_its_pieces_and_no_other(shop: Any) -> None:
    kinds = {"a": "sideboard", "b": "Chair", "c": "chair", "d": "CHAIR ", "e": "שידה"}
    for folder, kind in kinds.items():
        shop.piece(f"kind: {kind!r}\n", folder)
    out = compiled(shop)
    pages = {path.name for path in out.glob("kind-*.html")}
    assert len(pages) == 3
    (other,) = pages - {"kind-chair.html", "kind-sideboard.html"}
    assert re.fullmatch(r"kind-[0-9a-f]{10}\.html", other)
    index = (out / "index.html").read_text("utf-8")
    assert re.search(r'href="kind-chair.html"><bdi>Chair</bdi></a> <span>3</span>', index)
    for name, folders in (("kind-chair.html", "bcd"), ("kind-sideboard.html", "a")):
        found = [link.partition("/")[0] for link in links_of(out / name) if link.endswith("/index.html")]
        assert "".join(found) == folders
        page = (out / name).read_text("utf-8")
        assert page.count('aria-current="page"') == 1
        assert f'href="{name}"' not in page


def test_one_kind_alone_is_no_choice(shop: Any) -> None:
    shop.piece("kind: chair\n", "a").piece("kind: chair\n", "b")
    assert list(compiled(shop).glob("kind-*")) == []


def test_of_many_kinds_those_of_one_piece_are_left_out(shop: Any) -> None:
    for number in range(MANY + 2):
        shop.piece(f"kind: kind {number}\n", f"piece-{number}")
    shop.piece("kind: chair\n", "x").piece("kind: chair\n", "y").piece("kind: desk\n", "z").piece("kind: desk\n", "w")
    assert sorted(path.name for path in compiled(shop).glob("kind-*")) == ["kind-chair.html", "kind-desk.html"]


def test_a_page_of_a_kind_that_is_gone_is_taken_away(shop: Any) -> None:
    shop.piece("kind: chair\n", "a").piece("kind: desk\n", "b")
    assert len(list(compiled(shop).glob("kind-*"))) == 2
    shop.piece("kind: chair\n", "b")
    assert list(compiled(shop).glob("kind-*")) == []


@settings(max_examples=examples(300))
@given(st.lists(st.text(min_size=1, max_size=12).map(folded).filter(bool), unique=True))
def test_pages_names_never_meet_and_are_plain(names: list[str]) -> None:
    slugs = slugs_of(names)
    assert list(slugs) == names
    assert len({slug.casefold() for slug in slugs.values()}) == len(names)
    assert all(re.fullmatch(r"[a-z0-9]+(?:-[a-z0-9]+)*", slug) for slug in slugs.values())


@given(
    st.lists(st.sampled_from(["é", "e", "E\u0301", "a b", "a-b", "a  b", "ﬁ", "fi", "ß", "ss", "…", "—"]), unique=True)
)
def test_names_that_come_to_the_same_letters_get_pages_of_their_own(names: list[str]) -> None:
    assert len(set(slugs_of(names).values())) == len(names)


def test_the_name_of_a_page_does_not_hang_on_the_order(shop: Any) -> None:
    names = ["a b", "a-b", "chair", "…"]
    assert slugs_of(names) == slugs_of(names[::-1])


COLLIDING = {
    "capitals": ("Oak-Stool", "oak-stool"),
    "a letter written two ways": ("caf\u00e9", "cafe\u0301"),
    "both": ("CAF\u00c9", "cafe\u0301"),
    "a sharp s": ("stra\u00dfe", "strasse"),
}


@pytest.mark.parametrize(("one", "other"), COLLIDING.values(), ids=COLLIDING)
def test_folders_that_a_host_takes_for_one_are_refused(shop: Any, one: str, other: str) -> None:
    shop.piece(folder=one).piece(folder=other)
    if len(list((shop.root / "pieces").iterdir())) < 2:
        return  # this disk takes them for one itself
    (problem,) = shop.problems()
    assert (problem.name, problem.warning) == ("folder-name", False)
    assert problem.place.file in (f"pieces/{one}", f"pieces/{other}")


@pytest.mark.parametrize("folder", ["index.html", "style.css", "kind-chair.html", "feed.xml", "Compare.JS"])
def test_a_folder_named_as_a_page_is_refused(shop: Any, folder: str) -> None:
    shop.piece(folder=folder)
    (problem,) = shop.problems()
    assert (problem.name, problem.warning, problem.place.file) == ("folder-name", False, f"pieces/{folder}")
