"""The map of the portfolio's pages, and the feed of what came up for sale: what is in them, and what never is."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from xml.etree import ElementTree

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import ShopWriter
from test_hostile_text import HOSTILE

from flipbook.portfolio.feeds import NEWEST, Offered, feed, offered_since, sitemap
from flipbook.portfolio.public import PublicPiece, PublicShop, public_piece, public_shop
from flipbook.shop.records.state import State

ATOM = "{http://www.w3.org/2005/Atom}"
MAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"

# What of the hostile words is not seen: control characters, overrides of direction, and what no text may hold.
UNSEEN = "[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f\u202a-\u202e\u2066-\u2069\ud800\ufffe]"

Records = tuple[PublicShop, PublicPiece]


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Records:
    """A shop on the web and a stool that is for sale."""
    shop = ShopWriter(tmp_path_factory.mktemp("feeds") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane\nmaker: Ada Sorrel\nweb: https://quillback.example/shop\ncurrency: USD\n"})  # fmt: skip
    shop.piece("size: 16 x 15 x 18 in\nasking: [{on: 2026-03-20, price: 60}, {on: 2026-03-27, price: 55}]\n")
    facts = shop.books().facts
    return public_shop(facts), public_piece(facts.pieces[0], facts, ())


def read(made: bytes | None) -> ElementTree.Element:
    """An XML document, parsed by the standard library."""
    assert made is not None
    return ElementTree.XML(made)


def test_the_map_has_the_first_page_and_each_piece_that_it_links(records: Records) -> None:
    shop, piece = records
    states = [State(word) for word in ("for sale", "on the bench", "waiting", "sold", "kept", "given", "scrapped")]
    pieces = [replace(piece, address=f"piece-{number}", state=state) for number, state in enumerate(states)]
    found = [entry.findtext(f"{MAP}loc") for entry in read(sitemap(shop, pieces))]
    assert found == [
        "https://quillback.example/shop/",
        *(f"https://quillback.example/shop/piece-{number}/index.html" for number in range(6)),
    ]


def test_a_feed_tells_of_each_piece_once_the_newest_first(records: Records) -> None:
    shop, piece = records
    days = [date(2026, 1, 31), date(2026, 3, 20), date(2025, 12, 1)]
    offered = [Offered(piece=replace(piece, address=f"p{number}"), since=day) for number, day in enumerate(days)]
    found = read(feed(shop, offered))
    ids = [entry.findtext(f"{ATOM}id") for entry in found.iter(f"{ATOM}entry")]
    assert ids == [f"https://quillback.example/shop/p{number}/index.html" for number in (1, 0, 2)]
    assert found.findtext(f"{ATOM}id") == "https://quillback.example/shop/feed.xml"
    assert found.findtext(f"{ATOM}updated") == "2026-03-20T00:00:00Z"
    assert found.findtext(f"{ATOM}author/{ATOM}name") == "Ada Sorrel"
    first = found.find(f"{ATOM}entry")
    assert first is not None
    assert {child.tag.removeprefix(ATOM): child.text for child in first if child.text} == {
        "id": "https://quillback.example/shop/p1/index.html",
        "title": "Oak stool",
        "published": "2026-03-20T00:00:00Z",
        "updated": "2026-03-20T00:00:00Z",
        "summary": "$55.00, 16 W x 15 D x 18 H in.",
    }


def test_a_feed_holds_the_newest_thirty(records: Records) -> None:
    shop, piece = records
    offered = [
        Offered(piece=replace(piece, address=f"p{day}"), since=date(2026, 1, 1) + timedelta(day)) for day in range(45)
    ]
    ids = [entry.findtext(f"{ATOM}id") or "" for entry in read(feed(shop, offered)).iter(f"{ATOM}entry")]
    assert [re.findall(r"/p(\d+)/", one)[0] for one in ids] == [str(day) for day in range(44, 14, -1)]
    assert NEWEST == 30


def test_what_is_not_for_sale_is_in_no_feed(records: Records) -> None:
    shop, piece = records
    gone = replace(piece, price="", state=State.SOLD)
    found = read(feed(shop, [Offered(piece=gone, since=date(2026, 3, 20))]))
    assert list(found.iter(f"{ATOM}entry")) == []
    assert found.findtext(f"{ATOM}updated") == "1970-01-01T00:00:00Z"
    assert "2026" not in ElementTree.tostring(found, "unicode")


def test_the_first_price_asked_is_what_makes_a_piece_public(shop: ShopWriter) -> None:
    shop.piece("asking: [{on: 2026-03-20, price: 60}, {on: 2026-03-27, price: 55}]\n")
    (filed,) = shop.books().facts.pieces
    assert offered_since(filed.piece) == date(2026, 3, 20)
    (filed,) = shop.piece().books().facts.pieces
    assert offered_since(filed.piece) is None


@pytest.mark.parametrize("web", ["", "https://quillback.example/?a=b"])
def test_without_a_base_nothing_is_made(records: Records, web: str) -> None:
    shop, piece = records
    assert sitemap(replace(shop, web=web), [piece]) is None
    assert feed(replace(shop, web=web), [Offered(piece=piece, since=date(2026, 3, 20))]) is None


def test_the_order_given_breaks_a_tie_and_the_bytes_are_the_same_each_time(records: Records) -> None:
    shop, piece = records
    offered = [Offered(piece=replace(piece, address=name), since=date(2026, 3, 20)) for name in "bac"]
    made = feed(shop, offered)
    assert [entry.findtext(f"{ATOM}id", "")[-12] for entry in read(made).iter(f"{ATOM}entry")] == ["b", "a", "c"]
    assert made == feed(shop, list(offered))


@pytest.mark.parametrize("words", [*HOSTILE.values(), "]]>", "\x00\x0b\ud800\ufffe"], ids=[*HOSTILE, "end", "control"])
def test_hostile_words_stay_words(records: Records, words: str) -> None:
    shop, piece = records
    hostile = replace(piece, title=words, wood=words, story=(words,))
    by = replace(shop, name=words, maker=words)
    found = read(feed(by, [Offered(piece=hostile, since=date(2026, 3, 20))]))
    plain = read(feed(shop, [Offered(piece=piece, since=date(2026, 3, 20))]))
    assert [one.tag for one in found.iter()] == [one.tag for one in plain.iter()]
    seen = " ".join(re.sub(UNSEEN, "", words).split())
    assert found.findtext(f"{ATOM}entry/{ATOM}title") == (seen or "Piece of furniture")
    assert found.findtext(f"{ATOM}author/{ATOM}name") == seen


@settings(max_examples=examples(100))
@given(words=st.text())
def test_any_words_make_a_well_formed_feed(records: Records, words: str) -> None:
    shop, piece = records
    offered = Offered(piece=replace(piece, title=words, story=(words,), wood=words), since=date(2026, 3, 20))
    assert len(list(read(feed(replace(shop, name=words), [offered])).iter(f"{ATOM}entry"))) == 1
