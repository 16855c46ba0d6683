"""`flipbook offer`: what somebody offered for a piece, and the answer."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from flipbook.cli.ending import DONE, shop_at

if TYPE_CHECKING:
    from flipbook.shop.editing import Entry

PAGE = """\
flipbook offer PIECE PRICE [--from WHO] [--answer no|yes|"counter 350"]
               [--on DAY] [--private WORDS] [--shop DIR]

Writes an offer for a piece and how it was answered. Offers are never published.
PIECE is any part of its folder's name or its title that fits no other piece.

  flipbook offer washstand 300 --from "R., by phone" --answer no
  flipbook offer washstand 365 --from M. --answer "counter 380"

  --on DAY  the day; left out, today. Or yesterday, -2d, 2026-03-24

An offer that was taken becomes a sale with `flipbook sell`.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("piece", nargs="?", metavar="PIECE")
    parser.add_argument("price", nargs="?", metavar="PRICE")
    parser.add_argument("--from", dest="came_from", metavar="WHO")
    parser.add_argument("--answer", metavar="ANSWER")
    parser.add_argument("--private", metavar="WORDS")
    parser.add_argument("--on", metavar="DAY")
    parser.add_argument("--shop", metavar="DIR")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.entering import Entering, after_its_day, write_down
    from flipbook.entry.said import money_reader, piece_said, read_or_refuse, read_words, short_money, wanted, when_said
    from flipbook.shop.editing import appended
    from flipbook.shop.reading import currency_of
    from flipbook.shop.records.piece import Piece

    root = shop_at(arguments.shop)
    day = when_said(arguments.on).day
    chosen = piece_said(root, arguments.piece, PAGE)
    read = money_reader(currency_of(root))
    price = wanted(arguments.price, read, what="the price", question="What was offered?", page=PAGE)
    entry: dict[str, Entry] = {"on": str(day), "price": short_money(price)}
    for key, text in (("from", arguments.came_from), ("answer", arguments.answer), ("private", arguments.private)):
        if text is not None:
            entry[key] = read_or_refuse(text, read_words, f"--{key}")
    file = chosen.piece.file

    def edit(data: bytes) -> bytes:
        before = after_its_day(data, ["offers"], day)
        return appended(file, data, ["offers"], entry, before=before, keys=tuple(Piece.keys.values()))

    ended = write_down(root, Entering(file=file, edit=edit), chosen.note)
    return ended if isinstance(ended, int) else DONE
