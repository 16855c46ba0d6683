"""`flipbook offer`: what somebody offered for a piece, and the answer."""

from __future__ import annotations

import argparse
from functools import partial

from flipbook.cli.ending import DONE
from flipbook.cli.table import PIECE, PRIVATE, SHOP, Command, Option, Slot, on_day

COMMAND = Command(
    name="offer",
    says="what somebody offered, and the answer",
    words=(PIECE, Slot("PRICE", asked=True)),
    options=(
        Option("--from WHO", "who offered"),
        Option("--answer ANSWER", 'no, yes, or "counter 352"'),
        PRIVATE,
        on_day("2026-03-24"),
        SHOP,
    ),
    about="Writes an offer for a piece and how it was answered. Offers are never published.",
    examples="""\
  flipbook offer rocker 302 --from "R., by phone" --answer no
  flipbook offer rocker 367 --from M. --answer "counter 382"
""",
    after="An offer that was taken becomes a sale with `flipbook sell`.",
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.entering import Entering, with_entry, write_down
    from flipbook.entry.said import Spoken, short_money
    from flipbook.shop.records.piece import Piece

    said = Spoken(arguments, COMMAND.usage)
    day = said.when.day
    chosen = said.piece()
    price = said.price("What was offered?")
    entry = {"on": str(day), "price": short_money(price), **said.words("--from", "--answer", "--private")}
    file = chosen.piece.file
    edit = partial(with_entry, file, path=["offers"], entry=entry, day=day, of=Piece)
    write_down(said.root, Entering(file=file, edit=edit), chosen.note)
    return DONE
