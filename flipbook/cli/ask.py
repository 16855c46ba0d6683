"""`flipbook ask`: the price that is asked for a piece from a day on."""

from __future__ import annotations

import argparse
from functools import partial

from flipbook.cli.ending import DONE
from flipbook.cli.table import PIECE, SHOP, Command, Slot, on_day

COMMAND = Command(
    name="ask",
    says="the price that is asked from today on",
    words=(PIECE, Slot("PRICE", asked=True)),
    options=(on_day("2026-03-20"), SHOP),
    about="Writes what is asked for a piece from a day on, among the prices asked before.",
    examples="""\
  flipbook ask rocker 427
  flipbook ask rocker 396 --on yesterday
""",
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.entering import Entering, with_entry, write_down
    from flipbook.entry.said import Spoken, short_money
    from flipbook.shop.records.piece import Piece

    said = Spoken(arguments, COMMAND.usage)
    day = said.when.day
    chosen = said.piece()
    entry = {"on": str(day), "price": short_money(said.price("What is asked for it?"))}
    file = chosen.piece.file
    edit = partial(with_entry, file, path=["asking"], entry=entry, day=day, of=Piece)
    write_down(said.root, Entering(file=file, edit=edit), chosen.note)
    return DONE
