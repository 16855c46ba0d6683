"""`flipbook history`: a piece's job through its git history."""

from __future__ import annotations

import argparse
import gc
import sys
from shutil import get_terminal_size

from rich.text import Text

from flipbook.cli.ending import DONE, Misused, shop_at
from flipbook.cli.terminal import console, show_json
from flipbook.entry.said import piece_said
from flipbook.looking.git import NoHistory
from flipbook.looking.history import history_of
from flipbook.looking.past_screen import history_lines
from flipbook.measures.plain_data import as_data

_STYLES = {"head": "bold", "changed": "yellow", "gone": "red", "note": "italic"}


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    piece = piece_said(root, arguments.piece, arguments.usage, open_first=False).piece
    gc.disable()  # thousands of small trees, and no cyclic garbage among them
    try:
        history = history_of(root, piece.folder)
    except NoHistory as fault:
        raise Misused(str(fault)) from None
    finally:
        gc.enable()
    if arguments.json:
        show_json(as_data(history))
        return DONE
    out = console(sys.stdout)
    for role, line in history_lines(history, get_terminal_size().columns or 80):
        out.print(Text(line, style=_STYLES.get(role, "")))
    return DONE
