"""A piece in the words that machines read: its address, schema.org's Product, and the Open Graph.

All of it comes from the public records, and says what the piece's page says. Nothing here names a day.
"""

from __future__ import annotations

import json
import re
from urllib.parse import quote, urlsplit

from flipbook.measures.amounts import INCH, UNITS
from flipbook.measures.lengths import Size, read_size
from flipbook.measures.unreadable import Unreadable
from flipbook.portfolio.listings import cut_words, one_line
from flipbook.portfolio.public import PublicPicture, PublicPiece, PublicShop
from flipbook.shop.records.state import State

IN_STOCK, RESERVED, SOLD_OUT = (f"https://schema.org/{word}" for word in ("InStock", "Reserved", "SoldOut"))
# A piece that was worked over by hand is still used: "refurbished" promises a thing put back into working order as good
# as new, often with a warranty (schema.org defines it no further; shopping sites do), which nobody here can promise.
USED = "https://schema.org/UsedCondition"
# UN/ECE Recommendation 20: INH inch, CMT centimetre.
INCHES, CENTIMETRES = "INH", "CMT"
STORY_TOLD = 600
"""How many characters of the story a description tells."""
IN_A_LINE = 200
"""How many characters a description on one line has."""

# What of a URL's path stands for itself (RFC 3986, section 3.3), and a percent sign of what is encoded already.
_IN_A_PATH = "/-._~!$&'()*+,;=:@%"
_DEFAULT_PORTS = {"http": 80, "https": 443}
# Written so, none of these can end a script element, start a comment in it, or end a line of a script.
_ESCAPES = {ord(sign): f"\\u{ord(sign):04x}" for sign in "<>&\u2028\u2029"}


def canonical_base(shop: PublicShop) -> str:
    """The address of the folder that the portfolio's first page lies in, a slash at its end; empty when there is none.

    It is `web`: its scheme and host in small letters, without the scheme's own port, its path encoded (RFC 3986, 3.3 and
    6.2); where `web` names a page, the folder of that page. An address with a query, a fragment, or a name and password
    in it is no address of a folder.
    """
    try:
        parts = urlsplit(shop.web)
        host, port = parts.hostname or "", parts.port
        host = host if ":" in host else host.encode("idna").decode("ascii")
    except ValueError:
        return ""
    if (
        not re.fullmatch(r"[a-z0-9._:-]+", host)
        or parts.scheme not in _DEFAULT_PORTS
        or "@" in parts.netloc
        or "?" in shop.web
        or "#" in shop.web
    ):
        return ""
    authority = f"[{host}]" if ":" in host else host
    if port is not None and port != _DEFAULT_PORTS[parts.scheme]:
        authority += f":{port}"
    path = re.sub(r"%(?![0-9A-Fa-f]{2})", "%25", quote(one_line(parts.path), safe=_IN_A_PATH))
    folder, _, last = path.rpartition("/")
    path = f"{folder}/" if re.search(r"\.html?$", last, re.IGNORECASE) else f"{path.rstrip('/')}/"
    return f"{parts.scheme}://{authority}{path}"


def canonical(shop: PublicShop, piece: PublicPiece) -> str:
    """The one address of a piece's page on the web; empty without a base. It is the page that the first page links to."""
    base = canonical_base(shop)
    return f"{base}{piece.address}/index.html" if base else ""


def name_of(piece: PublicPiece) -> str:
    """What a piece is called; never empty, though its title be nothing but unseen characters."""
    return one_line(piece.title) or one_line(piece.kind) or "Piece of furniture"


def picture_address(shop: PublicShop, piece: PublicPiece, picture: PublicPicture) -> str:
    """The address of a picture's largest size on the web; empty without a base."""
    base = canonical_base(shop)
    return f"{base}{piece.address}/{picture.large.address}" if base else ""


def json_ld(shop: PublicShop, piece: PublicPiece, currency: str) -> str:
    """A schema.org Product as JSON-LD, for a script element of type application/ld+json; it needs no escaping there.

    `currency` is the shop's, by ISO 4217. An offer is made for a piece that is for sale or was sold, without a price
    in the latter case.
    """
    data = json.dumps(_product(shop, piece, currency), ensure_ascii=False, separators=(",", ":"))
    return data.translate(_ESCAPES)


def _product(shop: PublicShop, piece: PublicPiece, currency: str) -> dict[str, object]:
    page = canonical(shop, piece)
    told: dict[str, object] = {
        "@context": "https://schema.org",
        "@type": "Product",
        "@id": page,
        "name": name_of(piece),
        "description": _description(piece),
        "url": page,
        "image": [picture_address(shop, piece, picture) for picture in piece.pictures] if page else [],
        "category": one_line(piece.kind),
        "material": one_line(piece.wood),
        **_measures(piece),
        "offers": _offer(shop, piece, currency),
    }
    return {key: value for key, value in told.items() if value}


def _offer(shop: PublicShop, piece: PublicPiece, currency: str) -> dict[str, object]:
    """What a piece is offered for; nothing unless it is for sale or was sold. A customer's own piece is neither."""
    amount = price_in_figures(piece)
    was_sold = piece.state is State.SOLD and piece.state_words == State.SOLD.public
    if not amount and not was_sold:
        return {}
    told: dict[str, object] = {
        "@type": "Offer",
        "url": canonical(shop, piece),
        "price": amount,
        "priceCurrency": currency if amount else "",
        "availability": SOLD_OUT if not amount else RESERVED if piece.is_held else IN_STOCK,
        "itemCondition": USED,
        "seller": {"@type": "Organization", "name": one_line(shop.name)},
    }
    return {key: value for key, value in told.items() if value}


def price_in_figures(piece: PublicPiece) -> str:
    """The price asked, as `1240.00`; empty unless the piece is for sale."""
    return re.sub(r"[^0-9.]", "", piece.price)


def size_shown(text: str) -> Size | None:
    """The size that a piece's page shows, in exact millimetres; None where it shows none, or a measure of nothing."""
    try:
        return read_size(text) if text else None
    except Unreadable:
        return None


def _measures(piece: PublicPiece) -> dict[str, object]:
    """Width, depth and height as they are shown, in inches and in centimetres."""
    shown = (
        (size_shown(piece.size_inches), INCH, INCHES),
        (size_shown(piece.size_centimetres), UNITS["cm"].size, CENTIMETRES),
    )
    return {
        side: [
            # Sixteenths and halves are exact in binary.
            {"@type": "QuantitativeValue", "value": _plain(float(getattr(size, side) / unit)), "unitCode": code}
            for size, unit, code in shown
            if size is not None
        ]
        for side in ("width", "depth", "height")
    }


def _plain(value: float) -> float | int:
    return int(value) if value.is_integer() else value


def _description(piece: PublicPiece) -> str:
    """The story, shortened, and every flaw."""
    story = cut_words(one_line(" ".join(piece.story)), STORY_TOLD)
    flaws = [text if text[-1] in ".!?" else f"{text}." for text in map(one_line, piece.flaws) if text]
    told = [story, f"Flaws: {' '.join(flaws)}" if flaws else ""]
    return " ".join(filter(None, told)) or name_of(piece)


def in_a_line(piece: PublicPiece) -> str:
    """A piece in a line of at most IN_A_LINE characters: its price or state, size and wood, and how its story starts."""
    facts = [piece.price or piece.state_words, piece.size_inches, cut_words(one_line(piece.wood), 60)]
    line = ", ".join(filter(None, facts)) + "."
    return cut_words(f"{line} {one_line(' '.join(piece.story))}".strip(), IN_A_LINE) or line


def open_graph(shop: PublicShop, piece: PublicPiece) -> tuple[tuple[str, str], ...]:
    """The properties of the Open Graph for a piece's page, for `meta` elements, in order; none without a base.

    The type is `website`: ogp.me knows no product, and what it knows no page of a piece is. The four that it asks of
    every page are title, type, url and image; a piece without a picture has no image, so it has the other three.
    """
    page = canonical(shop, piece)
    if not page:
        return ()
    properties = [
        ("og:title", name_of(piece)),
        ("og:type", "website"),
        ("og:url", page),
        ("og:site_name", one_line(shop.name)),
        ("og:description", in_a_line(piece)),
    ]
    if piece.main is not None:
        properties += [
            ("og:image", picture_address(shop, piece, piece.main)),
            ("og:image:width", str(piece.main.large.width)),
            ("og:image:height", str(piece.main.large.height)),
            ("og:image:alt", one_line(piece.main.alt)),
        ]
    return tuple((name, content) for name, content in properties if content)
