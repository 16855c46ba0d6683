"""`flipbook ask`: the price that is asked for a piece from a day on."""

from __future__ import annotations

import argparse

from flipbook.cli.ending import DONE, shop_at

PAGE = """\
flipbook ask PIECE PRICE [--on DAY] [--shop DIR]

Writes what is asked for a piece from a day on, among the prices asked before.
PIECE is any part of its folder's name or its title that fits no other piece.

  flipbook ask washstand 425
  flipbook ask washstand 395 --on yesterday

  --on DAY  the day; left out, today. Or yesterday, -2d, 2026-03-20
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("piece", nargs="?", metavar="PIECE")
    parser.add_argument("price", nargs="?", metavar="PRICE")
    parser.add_argument("--on", metavar="DAY")
    parser.add_argument("--shop", metavar="DIR")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.entering import Entering, after_its_day, write_down
    from flipbook.entry.said import money_reader, piece_said, short_money, wanted, when_said
    from flipbook.shop.editing import appended
    from flipbook.shop.reading import currency_of
    from flipbook.shop.records.piece import Piece

    root = shop_at(arguments.shop)
    day = when_said(arguments.on).day
    chosen = piece_said(root, arguments.piece, PAGE)
    read = money_reader(currency_of(root))
    price = wanted(arguments.price, read, what="the price", question="What is asked for it?", page=PAGE)
    file = chosen.piece.file

    def edit(data: bytes) -> bytes:
        entry = {"on": str(day), "price": short_money(price)}
        before = after_its_day(data, ["asking"], day)
        return appended(file, data, ["asking"], entry, before=before, keys=tuple(Piece.keys.values()))

    ended = write_down(root, Entering(file=file, edit=edit), chosen.note)
    return ended if isinstance(ended, int) else DONE
