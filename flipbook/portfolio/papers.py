"""What is made of a piece for sale besides its page: words to paste, a price tag and a care card, among the private books."""

from __future__ import annotations

from collections.abc import Sequence

from flipbook.portfolio.labels import cards_page, days_to_harden, tags_page
from flipbook.portfolio.listings import Lengths, lengths_of, listing, listing_text
from flipbook.portfolio.public import PublicPiece, PublicShop, public_shop
from flipbook.rendering import shipped_file
from flipbook.shop.facts import Facts
from flipbook.writing import Output


def write_papers(facts: Facts, pieces: Sequence[PublicPiece], output: Output, home: str) -> None:
    """Make listings/, and labels/ with a page of tags and one of care cards, in the folder `home`."""
    shop, lengths = public_shop(facts), lengths_of(facts.shop)
    tags: list[PublicPiece] = []
    cards: list[tuple[PublicPiece, int | None]] = []
    for filed, piece in zip(facts.pieces, pieces, strict=True):
        if piece.is_for_sale:
            output.make(f"{home}/listings/{filed.folder}.txt", _listing, shop, piece, lengths)
            tags.append(piece)
            cards.append((piece, days_to_harden([step for step in filed.piece.log if not step.hide], facts.products)))
    output.make(f"{home}/labels/tags.html", tags_page, shop, tags)
    output.make(f"{home}/labels/cards.html", cards_page, shop, cards)
    output.write(f"{home}/labels/style.css", shipped_file("labels/style.css"))


def _listing(shop: PublicShop, piece: PublicPiece, lengths: Lengths) -> bytes:
    return listing_text(listing(shop, piece, lengths), lengths).encode()
