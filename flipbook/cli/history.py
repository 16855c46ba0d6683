"""`flipbook history`: a piece's job through its git history."""

from __future__ import annotations

import argparse
import gc
import sys
from shutil import get_terminal_size

from flipbook.cli.ending import DONE, MISUSED, Misused, shop_at
from flipbook.cli.table import JSON, PIECE, SHOP, Command

COMMAND = Command(
    name="history",
    says="a piece's job through its git history",
    words=(PIECE._replace(asked=False),),
    options=(SHOP, JSON),
    about="""\
Shows when each step, receipt, price, offer and sale of a piece came into its
log, by the git history of the shop's folder, and what a later commit changed:
a cost, a time taken, a date, a price, the words of a step, each with what it
was and what it is now.

The oldest comes first. Renames of the folder are followed, and receipts in
receipts/ are told where they are for the piece. A version that does not read is
said to be so and passed over; what is not yet committed stands at the end.
Dates are those of the commits.

The installed git is asked for old versions and for nothing else, and nothing is
written. Without git, outside a repository and before the first commit there is
no history: that is said, and the status is 2.
""",
    statuses=(DONE, MISUSED),
)
_STYLES = {"head": "bold", "changed": "yellow", "gone": "red", "note": "italic"}


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from rich.text import Text

    from flipbook.cli.terminal import console, show_json
    from flipbook.entry.said import piece_said
    from flipbook.looking.git import NoHistory
    from flipbook.looking.history import history_of
    from flipbook.looking.past_screen import history_data, history_lines

    root = shop_at(arguments.shop)
    piece = piece_said(root, arguments.piece, COMMAND.usage, open_first=False).piece
    gc.disable()  # thousands of small trees, and no cyclic garbage among them
    try:
        history = history_of(root, piece.folder)
    except NoHistory as fault:
        raise Misused(str(fault)) from None
    finally:
        gc.enable()
    if arguments.json:
        show_json(history_data(history))
        return DONE
    out = console(sys.stdout)
    for role, line in history_lines(history, get_terminal_size().columns or 80):
        out.print(Text(line, style=_STYLES.get(role, "")))
    return DONE
