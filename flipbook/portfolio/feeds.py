"""What the portfolio tells machines as a whole: which pages it has, and which pieces came up for sale.

`sitemap` follows the protocol of sitemaps.org, `feed` RFC 4287. Neither is made unless shop.yaml has a `web` that can be
the base of addresses. The day on which a piece was first offered is public in the feed and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from flipbook.portfolio.listings import one_line
from flipbook.portfolio.product_data import canonical, canonical_base, in_a_line, name_of
from flipbook.portfolio.public import PublicPiece, PublicShop
from flipbook.shop.records.piece import Piece

SITEMAP, FEED = "sitemap.xml", "feed.xml"
NEWEST = 30
"""How many pieces the feed holds."""
# What one file may have by the protocol: addresses, bytes, and characters of an address.
MOST_ADDRESSES, MOST_BYTES, LONGEST_ADDRESS = 50_000, 52_428_800, 2_047

_XML = '<?xml version="1.0" encoding="UTF-8"?>\n'
_NEVER = "1970-01-01T00:00:00Z"
"""The day of a feed with nothing in it: RFC 4287 4.1.1 asks for one, and any other would have to be told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """A piece for sale, and the day on which it was first offered. No page is given this record."""

    piece: PublicPiece
    since: date


def offered_since(piece: Piece) -> date | None:
    """The day from which the first asking price was asked; None when none was."""
    return min((asking.on for asking in piece.asking), default=None)


def sitemap(shop: PublicShop, pieces: Iterable[PublicPiece]) -> bytes | None:
    """The addresses of the first page and of the pieces' pages, in the order given; None without a base.

    A piece that was not saved is left out, as the first page leaves it out. There are no days in it: when a page changed
    is the shop's own business.
    """
    base = canonical_base(shop)
    if not base:
        return None
    opening, closing = f'{_XML}<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n', "</urlset>\n"
    entries: list[str] = []
    size = len(opening) + len(closing)
    for address in (base, *(canonical(shop, piece) for piece in pieces if piece.state.is_shown)):
        entry = f"<url><loc>{escape(address)}</loc></url>\n"
        if len(address) > LONGEST_ADDRESS:
            continue
        size += len(entry)
        if len(entries) == MOST_ADDRESSES or size > MOST_BYTES:
            break
        entries.append(entry)
    return "".join((opening, *entries, closing)).encode()


def feed(shop: PublicShop, offered: Iterable[Offered]) -> bytes | None:
    """The newest pieces for sale as an Atom feed, the newest first; None without a base.

    Published and updated are the day on which a piece was first offered, at midnight UTC: of that day no more is known,
    and a new price is no new piece. The id of an entry is the address of its page.
    """
    base = canonical_base(shop)
    if not base:
        return None
    newest = sorted((one for one in offered if one.piece.price), key=lambda one: one.since, reverse=True)[:NEWEST]
    return "".join(_feed_lines(shop, base, newest)).encode()


def _feed_lines(shop: PublicShop, base: str, newest: Sequence[Offered]) -> Iterator[str]:
    yield f'{_XML}<feed xmlns="http://www.w3.org/2005/Atom">\n'
    yield _element("id", f"{base}{FEED}")
    yield _element("title", one_line(shop.name))
    yield _element("subtitle", "Pieces for sale, the newest first")
    yield _element("updated", _moment(newest[0].since) if newest else _NEVER)
    yield f'<link rel="self" type="application/atom+xml" href="{escape(base)}{FEED}"/>\n'
    yield f'<link rel="alternate" type="text/html" href="{escape(base)}"/>\n'
    yield f"<author>\n{_element('name', one_line(shop.maker or shop.name))}{_element('uri', base)}</author>\n"
    for one in newest:
        page, piece = canonical(shop, one.piece), one.piece
        yield "<entry>\n"
        yield _element("id", page)
        yield _element("title", name_of(piece))
        yield _element("published", _moment(one.since))
        yield _element("updated", _moment(one.since))
        yield f'<link rel="alternate" type="text/html" href="{escape(page)}"/>\n'
        yield _element("summary", in_a_line(piece))
        yield "</entry>\n"
    yield "</feed>\n"


def _element(name: str, text: str) -> str:
    return f"<{name}>{escape(text, quote=False)}</{name}>\n"


def _moment(day: date) -> str:
    """The start of a day as RFC 3339 writes it; years are four digits."""
    return f"{day.isoformat()}T00:00:00Z"
