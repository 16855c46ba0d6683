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
    return write_price(Spoken(arguments), "asking", "What is asked for it?")


def write_price(said: Spoken, key: str, question: str, *options: str) -> int:
    """Write a price of a day into a list of the piece, with the words that `options` say. Raises Misused and Ended."""
    day = said.when.day
    chosen = said.piece()
    entry = {"on": str(day), "price": short_money(said.price(question)), **said.words(*options)}
    edit = partial(with_entry, chosen.piece.file, path=[key], entry=entry, day=day, of=Piece)
    write_down(said.root, Entering(file=chosen.piece.file, edit=edit), chosen.note)
    return DONE
