"""`flipbook ask`: the price that is asked for a piece from a day on."""

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
    entry = {"on": str(day), "price": short_money(said.price("What is asked for it?"))}
    file = chosen.piece.file
    edit = partial(with_entry, file, path=["asking"], entry=entry, day=day, of=Piece)
    write_down(said.root, Entering(file=file, edit=edit), chosen.note)
    return DONE
