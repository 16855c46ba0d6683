"""`flipbook price`: floor and break-even, what an offer leaves, and what may be paid for a find."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from decimal import Decimal

from flipbook.books.reckon import Books
from flipbook.cli.ending import DONE, Misused
from flipbook.cli.read_books import books_of
from flipbook.cli.terminal import show_json
from flipbook.entry.said import Spoken, money_reader, read_or_refuse
from flipbook.measures.money import show_money
from flipbook.measures.plain_data import as_data as plain
from flipbook.measures.rounding import ZERO
from flipbook.selling.answers import before_buying_lines, offer_answer, price_lines, pricing_data
from flipbook.selling.floor import left_of
from flipbook.selling.past import Sold, kind_of_past, of_kind, past_sales
from flipbook.selling.pricing import RECENT, pricing_of
from flipbook.shop.nearest import choices, folded, write_instead


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    said = Spoken(arguments)
    read = money_reader(said.currency, zero=True)
    sums = {
        name: None if text is None else read_or_refuse(text, read, f"`{text[:20]}`")
        for name in ("offer", "delivery", "asking", "found")
        for text in (getattr(arguments, name),)
    }
    before_buying = arguments.found is not None or arguments.kind is not None
    if before_buying and (arguments.piece is not None or arguments.kind is None):
        raise Misused("before buying, say what it is: `flipbook price --found 61 --kind chest`")
    if sums["delivery"] is not None and sums["offer"] is None:
        raise Misused("`--delivery` goes with an offer: `flipbook price rocker 302 --delivery 25`")
    folder = "" if before_buying else said.piece().piece.folder
    books = books_of(said.root)
    if before_buying:
        return _before_buying(books, arguments.kind, sums["found"], as_data=arguments.json)
    return _of_a_piece(books, folder, sums, arguments.at, as_data=arguments.json)


def _past(books: Books) -> tuple[Sold, ...]:
    return past_sales(books.sheets, lambda filed: "")


def _before_buying(books: Books, kind: str, found: Decimal | None, *, as_data: bool) -> int:
    shop = books.facts.shop
    past = _past(books)
    like = of_kind(past, kind)[:RECENT]
    kinds = sorted({folded(filed.piece.kind) for filed in books.facts.pieces if filed.piece.kind})
    if folded(kind) not in kinds:
        known = write_instead(folded(kind), kinds, f"write {choices(kinds)}") if kinds else "no piece has a `kind:` yet"
        raise Misused(f"no piece is of the kind `{kind[:40]}`; {known}")
    said = kind_of_past(like, shop.time_is_worth)
    if as_data:
        show_json({"kind": folded(kind), "found": plain(found), "past": plain(said)})
    else:
        for line in before_buying_lines(said, like, found, folded(kind), shop.time_is_worth, shop.currency):
            sys.stdout.write(f"{line}\n")
    return DONE


def _of_a_piece(
    books: Books, folder: str, said: dict[str, Decimal | None], outlet: str | None, *, as_data: bool
) -> int:
    shop, today = books.facts.shop, date.today()
    at = folded(outlet or "")
    if outlet is not None and at not in shop.outlets:
        known = (
            write_instead(at, shop.outlets, f"write {choices(shop.outlets)}")
            if shop.outlets
            else "shop.yaml names none"
        )
        raise Misused(f"there is no outlet `{outlet[:40]}` in shop.yaml; {known}")
    sheet = next(sheet for sheet in books.sheets if sheet.folder == folder)
    piece = sheet.filed.piece
    if piece.customer:
        raise Misused(f"{folder} is a customer's own piece, and not for sale")
    pricing = pricing_of(sheet, shop, _past(books), today, at=at, thought_of=said["asking"])
    through = next((row for row in pricing.through if row.outlet == at), pricing.through[0])
    offer = said["offer"]
    left = left_of(offer, through.fee, pricing.stand, said["delivery"] or ZERO) if offer is not None else None
    if as_data:
        show_json(pricing_data(pricing, shop.currency) | ({"offer": plain(left)} if left else {}))
        return DONE
    sale = piece.standing_sale
    if sale is not None:
        sys.stdout.write(
            f"It was sold on {sale.on} for {show_money(sale.price, shop.currency)}; this is as if it had not been.\n"
        )
    if left is not None:
        sys.stdout.write(f"{offer_answer(left, through, pricing, shop.time_is_worth, shop.currency)}\n")
        return DONE
    for line in price_lines(pricing, shop.time_is_worth, shop.currency, today):
        sys.stdout.write(f"{line}\n")
    return DONE
