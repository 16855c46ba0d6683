"""What a buyer may see. The templates of the portfolio are given these records and nothing else.

A record here holds public fields only, so that no template, ours or a shop's own, can name a cost, an
offer, a buyer, a private note, a receipt or a path of the shop.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from posixpath import normpath
from urllib.parse import quote

from flipbook.measures.lengths import in_centimetres, in_inches
from flipbook.measures.money import show_money
from flipbook.portfolio.outline import Outline, outline
from flipbook.portfolio.work_shown import (
    PublicStage,
    PublicStep,
    alt_words,
    care_shown,
    cured_by,
    is_held,
    step_shown,
    steps_of_pictures,
    work_by_stage,
)
from flipbook.shop.facts import Facts, PieceFile
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place, Problem
from flipbook.shop.records.setup import Product
from flipbook.shop.records.state import State
from flipbook.trade.care import finish_of, put_on, usual_care
from flipbook.trade.cautions import cautions_for


@dataclass(frozen=True, slots=True, kw_only=True)
class SizedPicture:
    """One size of a picture: where its JPEG is, from the page that shows it, and its pixels."""

    address: str
    width: int
    height: int

    @property
    def webp(self) -> str:
        """Where the same size is as a WebP, which weighs less."""
        return f"{self.address.removesuffix('.jpg')}.webp"


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicPicture:
    """A photograph, made anew in a few sizes, the smallest first; `alt` is never empty."""

    sizes: tuple[SizedPicture, ...]
    shows: str
    """`before`, `during`, `after`, `detail`, or another word of the maker's."""
    caption: str
    alt: str
    step: int = -1
    """The place of its step among those that are shown; -1 when it is of none."""

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

    @property
    def srcset_webp(self) -> str:
        """The same sizes as WebP, for the `source` of a `picture`."""
        return ", ".join(f"{size.webp} {size.width}w" for size in self.sizes)

    @property
    def shape(self) -> str:
        """`lying`, `standing`, or `square` where neither side is a tenth longer than the other."""
        wide, high = self.large.width, self.large.height
        return "lying" if wide * 10 > high * 11 else "standing" if high * 10 > wide * 11 else "square"

    def from_the_index(self, address: str) -> PublicPicture:
        """The same picture as the index page reaches it, through the folder of its piece."""
        sizes = tuple(
            SizedPicture(address=f"{address}/{s.address}", width=s.width, height=s.height) for s in self.sizes
        )
        return replace(self, sizes=sizes)


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
    state: State
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
    """The product of the last coat that is a finish."""
    care: tuple[str, ...]
    cautions: tuple[str, ...]
    before: PublicPicture | None
    after: PublicPicture | None
    pictures: tuple[PublicPicture, ...]
    """Every picture, the main one first."""
    gallery: tuple[PublicPicture, ...] = ()
    """Every picture in the order of the work: before, during by its step, after, detail."""
    work: tuple[PublicStage, ...] = ()
    """What was done, gathered by stage; the same steps as `done`."""
    cured_by: str = ""
    """The day on which the last coat is fully hard, as `15 April 2026`; empty when that is not known."""
    is_held: bool = False
    """Whether somebody laid money down for it."""
    outline: Outline | None = None
    """It drawn to scale; None when its size is not known."""

    @property
    def main(self) -> PublicPicture | None:
        return self.pictures[0] if self.pictures else None

    @property
    def is_past(self) -> bool:
        """Whether it has left the shop, and somebody has it."""
        return self.state.is_ending and self.state.is_shown

    @property
    def is_for_sale(self) -> bool:
        return self.state is State.FOR_SALE


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture to be made for buyers: the file in the piece's folder, and its public words."""

    file: str
    shows: str
    caption: str
    alt: str
    step: int = -1


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


def public_shots(filed: PieceFile, products: Mapping[str, Product]) -> list[Shot]:
    """The pictures of a piece that buyers see, in order: those listed, else every one in photos/.

    A picture that only hidden steps show, that is the scan of a receipt, or whose name starts with `private`, is
    left out unless it is listed. `products` are by folded name, as `Facts.products` has them.
    """
    piece = filed.piece
    of_steps = steps_of_pictures([step for step in piece.log if not step.hide], products)
    if piece.photos:
        listed = [(p.file, folded(p.shows) or _first_word(p.file), p.caption, p.alt) for p in piece.photos]
    else:
        hidden = {normpath(photo) for step in piece.log if step.hide for photo in step.photos}
        scans = (
            *(piece.found.scan if piece.found else ()),
            *(scan for receipt in piece.bought for scan in receipt.scan),
        )
        kept_back = (hidden - of_steps.keys()) | {normpath(scan) for scan in scans}
        listed = [
            (file, _first_word(file), of_steps[file].words if file in of_steps else "", "")
            for file in filed.pictures
            if file not in kept_back and _first_word(file) != "private"
        ]
    shots = []
    for file, shows, caption, alt in listed:
        pictured = of_steps.get(normpath(file))
        words = alt or alt_words(piece.piece, shows, caption, pictured)
        shots.append(Shot(file, shows, caption, words, pictured.place if pictured else -1))
    return shots


def without_words(filed: PieceFile, shots: Sequence[Shot]) -> Problem | None:
    """A warning where the picture that leads the page of a piece for sale is not said in words by anybody."""
    piece = filed.piece
    lead = min(shots, key=_rank(shots), default=None)
    if lead is None or piece.state is not State.FOR_SALE or lead.caption:
        return None
    if any(photo.alt for photo in piece.photos if photo.file == lead.file):
        return None
    return Problem(
        name="no-words-for-a-picture",
        place=Place(f"pieces/{filed.folder}/{lead.file}"),
        says="the main picture of a piece for sale has no words with it",
        help=f"list it under `photos:`, as `- {{file: {lead.file}, alt: …}}`, and say what it shows to who cannot see it",
        warning=True,
    )


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


def public_piece(filed: PieceFile, facts: Facts, pictures: Sequence[PublicPicture]) -> PublicPiece:
    """The public side of a piece; `pictures` are those of `public_shots` that could be made."""
    piece = filed.piece
    steps = [step for step in piece.log if not step.hide]
    on_it = put_on(steps, facts.products)
    finish = finish_of(on_it)
    cured = cured_by(steps, facts.products)
    state = piece.state
    return PublicPiece(
        address=quote(filed.folder, safe=""),
        title=piece.piece,
        kind=piece.kind,
        state=state,
        state_words="Finished for its owner" if piece.customer and state is State.SOLD else state.public,
        price=show_money(piece.asking[-1].price, facts.shop.currency) if state is State.FOR_SALE else "",
        size_inches=_size(filed, in_inches, "in"),
        size_centimetres=_size(filed, in_centimetres, "cm"),
        wood=piece.wood,
        built=piece.built,
        story=tuple(" ".join(paragraph.split()) for paragraph in re.split(r"\n\s*\n", piece.tell) if paragraph.strip()),
        flaws=piece.flaws,
        done=tuple(step_shown(step) for step in steps),
        products=tuple(_public_product(one.name, facts.products) for one in on_it),
        finish=finish.name if finish is not None else "",
        care=care_shown(piece, usual_care(finish), cured),
        cautions=cautions_for(piece),
        before=next((p for p in pictures if p.shows == "before"), None),
        after=next((p for p in pictures if p.shows == "after"), None),
        pictures=tuple(sorted(pictures, key=_rank(pictures))),
        gallery=tuple(sorted(pictures, key=_in_order_of_the_work)),
        work=work_by_stage(steps, facts.products),
        cured_by=cured,
        is_held=is_held(piece),
        outline=outline(piece.size),
    )


def _public_product(name: str, products: Mapping[str, Product]) -> PublicProduct:
    known = products.get(folded(name))
    return PublicProduct(name=name, type=known.type if known is not None else "")


def _rank(pictures: Sequence[PublicPicture | Shot]) -> Callable[[PublicPicture | Shot], int]:
    """`after` pictures, then the others as they came, `before` last; it comes first while there is no `after`."""
    is_done = any(picture.shows == "after" for picture in pictures)
    rank = {"after": 0, "before": 2 if is_done else 0}
    return lambda picture: rank.get(picture.shows, 1)


_PARTS_OF_THE_WORK = {"before": 0, "during": 1, "after": 2, "detail": 4}


def _in_order_of_the_work(picture: PublicPicture) -> tuple[int, int]:
    """What shows neither is told by its step, where it has one; else it stands after the finished piece."""
    part = _PARTS_OF_THE_WORK.get(picture.shows, 1 if picture.step >= 0 else 3)
    return part, picture.step if part == 1 and picture.step >= 0 else 1 << 30


def _size(filed: PieceFile, write: Callable[[Fraction], str], unit: str) -> str:
    size = filed.piece.size
    if size is None:
        return ""
    return f"{write(size.width)} W x {write(size.depth)} D x {write(size.height)} H {unit}"
