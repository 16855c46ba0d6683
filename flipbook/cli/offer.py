"""`flipbook offer`: what somebody offered for a piece, and the answer."""

from __future__ import annotations

import argparse
from functools import partial

from flipbook.cli.ending import DONE
from flipbook.entry.entering import Entering, with_entry, write_down
from flipbook.entry.said import Spoken, short_money
from flipbook.shop.records.piece import Piece


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    said = Spoken(arguments, arguments.usage)
    day = said.when.day
    chosen = said.piece()
    price = said.price("What was offered?")
    entry = {"on": str(day), "price": short_money(price), **said.words("--from", "--answer", "--private")}
    file = chosen.piece.file
    edit = partial(with_entry, file, path=["offers"], entry=entry, day=day, of=Piece)
    write_down(said.root, Entering(file=file, edit=edit), chosen.note)
    return DONE
