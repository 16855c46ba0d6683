"""`flipbook offer`: what somebody offered for a piece, and the answer."""

from __future__ import annotations

import argparse

from flipbook.cli.ask import write_price
from flipbook.entry.said import Spoken


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    return write_price(Spoken(arguments), "offers", "What was offered?", "--from", "--answer", "--private")
