"""What a buyer may see. The templates of the portfolio are given these records and nothing else.

A record here holds public fields only, so that no template, ours or a shop's own, can name a cost, an
offer, a buyer, a private note, a receipt or a path of the shop.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from posixpath import normpath
from urllib.parse import quote

from flipbook.measures.amounts import Amount
from flipbook.measures.lengths import in_centimetres, in_inches
from flipbook.measures.money import show_money
from flipbook.measures.numerals import write_number
from flipbook.shop.facts import Facts, PieceFile
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Step
from flipbook.shop.records.uses import Mix
from flipbook.workshop.care import care_for
from flipbook.workshop.cautions import cautions_for

WORDS_OF_STATE = {
    "for sale": "For sale",
    "on the bench": "On the bench",
    "waiting": "Waiting its turn",
    "sold": "Sold",
    "kept": "Kept by the maker",
    "given": "Given away",
    "scrapped": "Not saved",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SizedPicture:
    """One size of a picture: where it is, from the page that shows it, and its pixels."""

    address: str
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicPicture:
    """A photograph, made anew in a few sizes, the smallest first; `alt` is never empty."""

    sizes: tuple[SizedPicture, ...]
    shows: str
    caption: str
    alt: str

    @property
    def small(self) -> SizedPicture:
        return self.sizes[0]

    @property
    def large(self) -> SizedPicture:
        return self.sizes[-1]

    @property
    def srcset(self) -> str:
        """The sizes, as the `srcset` of an `img` lists them."""
        return ", ".join(f"{size.address} {size.width}w" for size in self.sizes)

    def from_the_index(self, address: str) -> PublicPicture:
        """The same picture as the index page reaches it, through the folder of its piece."""
        sizes = tuple(
            SizedPicture(address=f"{address}/{s.address}", width=s.width, height=s.height) for s in self.sizes
        )
        return PublicPicture(sizes=sizes, shows=self.shows, caption=self.caption, alt=self.alt)


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicStep:
    """Something that was done, in the maker's words; `grits` and `mix` are empty when there were none."""

    words: str
    grits: str
    mix: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicProduct:
    """A product that is on the piece."""

    name: str
    type: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicShop:
    """Who sells; a field that was not given is empty."""

    name: str
    maker: str
    place: str
    contact: str
    contact_link: str
    """`mailto:` and the address, when the contact is one; else empty."""
    web: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicPiece:
    """A piece as a buyer meets it; a text that was not given is empty."""

    address: str
    """The folder's name as a link holds it."""
    title: str
    kind: str
    state: str
    state_words: str
    price: str
    """The price asked, with its sign; empty unless the piece is for sale."""
    size_inches: str
    """Width x depth x height, as `34 W x 19 D x 30 1/2 H in`."""
    size_centimetres: str
    wood: str
    built: str
    story: tuple[str, ...]
    """Paragraphs, each of lines joined by spaces."""
    flaws: tuple[str, ...]
    done: tuple[PublicStep, ...]
    products: tuple[PublicProduct, ...]
    finish: str
    """The product of the last coat that has a care of its own."""
    care: tuple[str, ...]
    cautions: tuple[str, ...]
    before: PublicPicture | None
    after: PublicPicture | None
    pictures: tuple[PublicPicture, ...]
    """Every picture, the main one first."""

    @property
    def main(self) -> PublicPicture | None:
        return self.pictures[0] if self.pictures else None

    @property
    def is_past(self) -> bool:
        """Whether it has left the shop."""
        return self.state in ("sold", "kept", "given")


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture to be made for buyers: the file in the piece's folder, and its public words."""

    file: str
    shows: str
    caption: str
    alt: str


def public_shop(facts: Facts) -> PublicShop:
    """The public fields of shop.yaml."""
    shop = facts.shop
    is_mail = re.fullmatch(r"[^@\s<>\"':/?#&%]+@[^@\s<>\"':/?#&%]+", shop.contact)
    return PublicShop(
        name=shop.shop,
        maker=shop.maker,
        place=shop.place,
        contact=shop.contact,
        contact_link=f"mailto:{quote(shop.contact, safe='@+')}" if is_mail else "",
        web=shop.web,
    )


def public_shots(filed: PieceFile) -> list[Shot]:
    """The pictures of a piece that buyers see, in order: those listed, else every one in photos/.

    A picture that only hidden steps show, that is the scan of a receipt, or whose name starts with `private`, is
    left out unless it is listed.
    """
    piece = filed.piece
    if piece.photos:
        return [
            Shot(
                p.file,
                folded(p.shows) or _first_word(p.file),
                p.caption,
                _alt(p.alt, p.caption, p.shows or _first_word(p.file), piece.piece),
            )
            for p in piece.photos
        ]
    steps = [(step, normpath(photo)) for step in piece.log for photo in step.photos]
    hidden = {photo for step, photo in steps if step.hide}
    captions = {photo: step.did for step, photo in steps if not step.hide}
    slips = (*(piece.found.scan if piece.found else ()), *(scan for receipt in piece.bought for scan in receipt.scan))
    kept_back = (hidden - captions.keys()) | {normpath(scan) for scan in slips}
    shown = [file for file in filed.pictures if file not in kept_back and _first_word(file) != "private"]
    return [
        Shot(
            file,
            _first_word(file),
            captions.get(file, ""),
            _alt("", captions.get(file, ""), _first_word(file), piece.piece),
        )
        for file in shown
    ]


# What cameras, phones and their programs start a picture's name with says nothing of what it shows.
_CAMERA_WORDS = frozenset(
    (
        "img",
        "image",
        "pxl",
        "dsc",
        "dscn",
        "dscf",
        "dcim",
        "p",
        "mvimg",
        "photo",
        "pic",
        "picture",
        "screenshot",
        "scan",
        "whatsapp",
    )
)


def _first_word(file: str) -> str:
    """What a picture's name says that it shows: `photos/after-front.jpg` shows `after`."""
    name = file.rpartition("/")[2].rpartition(".")[0] or file
    words = [word for word in re.split(r"[\W\d_]+", name.casefold()) if word]
    return next((word for word in words if word not in _CAMERA_WORDS), "picture")


def _alt(alt: str, caption: str, shows: str, title: str) -> str:
    return alt or (f"{title}: {caption}" if caption else f"{title}, {shows}")


def public_piece(filed: PieceFile, facts: Facts, pictures: Sequence[PublicPicture]) -> PublicPiece:
    """The public side of a piece; `pictures` are those of `public_shots` that could be made."""
    piece = filed.piece
    steps = [step for step in piece.log if not step.hide]
    products = list(_products(steps, facts))
    finish, care = care_for([(product.name, product.type) for product in products])
    ordered = _main_first(pictures)
    state = piece.state
    return PublicPiece(
        address=quote(filed.folder, safe=""),
        title=piece.piece,
        kind=piece.kind,
        state=state,
        state_words="Finished for its owner" if piece.customer and state == "sold" else WORDS_OF_STATE[state],
        price=show_money(piece.asking[-1].price, facts.shop.currency) if state == "for sale" else "",
        size_inches=_size(filed, in_inches, "in"),
        size_centimetres=_size(filed, in_centimetres, "cm"),
        wood=piece.wood,
        built=piece.built,
        story=tuple(" ".join(paragraph.split()) for paragraph in re.split(r"\n\s*\n", piece.tell) if paragraph.strip()),
        flaws=piece.flaws,
        done=tuple(PublicStep(words=step.did, grits=", ".join(step.grit), mix=_mix(step.mix)) for step in steps),
        products=tuple(products),
        finish=finish,
        care=(piece.care,) if piece.care else care,
        cautions=cautions_for(piece),
        before=next((p for p in pictures if p.shows == "before"), None),
        after=next((p for p in pictures if p.shows == "after"), None),
        pictures=ordered,
    )


def _main_first(pictures: Sequence[PublicPicture]) -> tuple[PublicPicture, ...]:
    """`after` pictures, then the others as they came, `before` last; it comes first while there is no `after`."""
    is_done = any(picture.shows == "after" for picture in pictures)
    rank = {"after": 0, "before": 2 if is_done else 0}
    return tuple(sorted(pictures, key=lambda p: rank.get(p.shows, 1)))


def _products(steps: list[Step], facts: Facts) -> Iterator[PublicProduct]:
    """Each product that went onto the piece, once, in the order of its last use.

    What is only ever counted out, as rags by the piece and abrasives by the sheet, does not stay on it.
    """
    last_use: dict[str, str] = {}
    for step in steps:
        for use in step.uses():
            if not (isinstance(use.taken, Amount) and use.taken.unit.dimension in ("count", "sheets")):
                name = folded(use.what)
                last_use.pop(name, None)
                last_use[name] = use.what
    for name, written in last_use.items():
        product = facts.products.get(name)
        yield PublicProduct(name=written, type=product.type if product else "")


def _size(filed: PieceFile, write: Callable[[Fraction], str], unit: str) -> str:
    size = filed.piece.size
    if size is None:
        return ""
    return f"{write(size.width)} W x {write(size.depth)} D x {write(size.height)} H {unit}"


def _mix(mix: Mix | None) -> str:
    """A mix in words: `1 part fog grey paint, 2 parts water`."""
    if mix is None:
        return ""
    return ", ".join(f"{write_number(number)} part{'' if number <= 1 else 's'} {what}" for what, number, _ in mix.parts)
