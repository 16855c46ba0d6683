"""Paper that goes with a piece: a price tag while it is for sale, and a card on its care for the buyer.

Several stand on a sheet, with lines to cut along; a sheet fits A4 and US Letter alike. They hold public facts alone. When
the portfolio has an address on the web, a tag has a QR code (ISO/IEC 18004) of its page.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from itertools import accumulate, groupby
from unicodedata import combining, east_asian_width

from flipbook.portfolio.listings import cut_words, one_line
from flipbook.portfolio.product_data import canonical
from flipbook.portfolio.public import PublicPiece, PublicShop
from flipbook.rendering import renderer
from flipbook.shop.records.piece import Step
from flipbook.shop.records.setup import Product
from flipbook.trade.care import NEW
from flipbook.trade.drying import hard_on

TAGS_OF_A_SHEET = 6
# The room of each field in ems, the height of its letters: as many lines as the stylesheet leaves it, less what is lost
# where a line breaks.
_TITLE, _WOOD, _BUILT, _FINISH, _SHOP, _CONTACT = 42, 26, 13, 22, 24, 27
CARE_TOLD = 1000
"""How many characters of care a card has room for, so that it keeps to one sheet."""
# The modules of the code at their smallest: a code of 28 mm has them 0.35 mm wide, which a telephone still reads from
# paper (common practice, no source). A longer address has no code.
_MOST_MODULES, _QUIET = 79, 4
# What an address takes of a code is known before it is made; this is more than any code of so few modules holds.
_LONGEST = 400

# What not to do meanwhile, as the usual care says it.
_UNTIL_THEN = NEW[NEW.index(":") :]


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A QR code: how many modules a side has, with the quiet zone around it, and its dark ones as path data."""

    side: int
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """A price tag, every text as short as it has room for; a text that was not given is empty."""

    title: str
    price: str
    size_inches: str
    size_centimetres: str
    wood: str
    built: str
    finish: str
    shop: str
    contact: str
    code: Code | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A card on the care of a piece."""

    title: str
    finish: str
    care: tuple[str, ...]
    cautions: tuple[str, ...]
    shop: str
    reach: tuple[str, ...]
    """The lines of the shop's contact."""


@lru_cache(maxsize=1024)
def code_of(address: str) -> Code | None:
    """The QR code of an address; None when there is no address, or one too long for the code on a tag."""
    if not address or len(address) > _LONGEST:
        return None
    # Imported here, since that takes 45 ms and a shop without an address on the web never needs it.
    made = import_module("segno").make_qr(address, error="m", boost_error=False)
    matrix: Sequence[bytes] = made.matrix
    if len(matrix) > _MOST_MODULES - 2 * _QUIET:
        return None
    path = []
    for y, row in enumerate(matrix, _QUIET):
        x = _QUIET
        for is_dark, run in groupby(row):
            length = len(list(run))
            path.append(f"M{x} {y}h{length}v1h-{length}z" if is_dark else "")
            x += length
    return Code(side=len(matrix) + 2 * _QUIET, path="".join(path))


def days_to_harden(steps: Iterable[Step], products: Mapping[str, Product]) -> int | None:
    """How many days after its last coat a finish is fully hard, by the `cure` of its product; None when none is known.

    It is the coat that is hard last. `products` are by folded name, as `Facts.products` has them.
    """
    days = [(day, (day - step.on.day).days) for step in steps if (day := hard_on([step], products)) is not None]
    return min((after for day, after in days if day == max(days)[0]), default=None)


def tag_of(shop: PublicShop, piece: PublicPiece) -> Tag:
    """The price tag of a piece."""
    return Tag(
        title=_short(piece.title, _TITLE),
        price=piece.price,
        size_inches=piece.size_inches,
        size_centimetres=piece.size_centimetres,
        wood=_short(piece.wood, _WOOD),
        built=_short(piece.built, _BUILT),
        finish=_short(piece.finish, _FINISH),
        shop=_short(shop.name, _SHOP),
        contact=_short(shop.contact or shop.place, _CONTACT),
        code=code_of(canonical(shop, piece)),
    )


def card_of(shop: PublicShop, piece: PublicPiece, days: int | None = None) -> Card:
    """The care card of a piece; `days` is how long its last coat takes to be fully hard, where that is known."""
    return Card(
        title=_short(piece.title, _TITLE),
        finish=_short(piece.finish, _FINISH),
        care=tuple(_fitting(_care(piece, days))),
        cautions=piece.cautions,
        shop=_short(shop.name, _SHOP),
        reach=tuple(_short(text, _CONTACT) for text in (shop.place, shop.contact, shop.web) if text),
    )


def _care(piece: PublicPiece, days: int | None) -> Sequence[str]:
    """The care of a piece; where the day is known on which its finish is hard, with the day, and not the usual time."""
    if not piece.cured_by:
        return piece.care
    hardens = f"The finish goes on hardening until {piece.cured_by}"
    after = "" if days is None else f", {days} day{'' if days == 1 else 's'} after its last coat"
    care = [text for text in piece.care if text != NEW and not text.startswith(hardens)]
    return (*care[:1], f"{hardens}{after}{_UNTIL_THEN}", *care[1:])


def _fitting(care: Sequence[str]) -> Iterable[str]:
    """The care as far as a card has room for it; what is missing is said to be."""
    room = CARE_TOLD
    for text in map(one_line, care):
        if len(text) > room:
            yield f"{cut_words(text, room) or f'{text[:room]}…'} There is more to its care; please ask."
            return
        room -= len(text)
        yield text


def _short(text: str, most: float) -> str:
    """A text on one line within `most` ems: cut at a word, or within a word that has no room by itself."""
    line = one_line(text)
    if sum(map(_width, line)) <= most:
        return line
    fitting = sum(1 for width in accumulate(map(_width, line)) if width <= most - 1)
    whole = line[: line.rfind(" ", 0, fitting + 1)] if " " in line[: fitting + 1] else ""
    return f"{whole} …" if whole else f"{line[:fitting]}…"


def _width(letter: str) -> float:
    """About how wide a letter is, in ems, rather too wide than too narrow."""
    if combining(letter):
        return 0
    if letter in "MWmw@%" or east_asian_width(letter) in "WF" or letter > "\u2e80":
        return 1
    return 0.8 if letter.isupper() else 0.58


def tags_page(shop: PublicShop, pieces: Sequence[PublicPiece]) -> bytes:
    """The page of the price tags of the pieces that are for sale, sheet by sheet."""
    tags = [tag_of(shop, piece) for piece in pieces if piece.price]
    sheets = [tags[start : start + TAGS_OF_A_SHEET] for start in range(0, len(tags), TAGS_OF_A_SHEET)]
    return renderer("labels/tags.html")(shop_name=shop.name, sheets=sheets).encode()


def cards_page(shop: PublicShop, pieces: Sequence[tuple[PublicPiece, int | None]]) -> bytes:
    """The page of the care cards of the pieces that are for sale, each with its `days_to_harden`."""
    cards = [card_of(shop, piece, days) for piece, days in pieces if piece.price]
    return renderer("labels/cards.html")(shop_name=shop.name, cards=cards).encode()
