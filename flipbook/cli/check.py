"""`flipbook check`: read and reckon, write nothing."""

from __future__ import annotations

import argparse
import sys

from flipbook.cli.ending import DONE, PROBLEMS, many, shop_at
from flipbook.cli.read_books import checked
from flipbook.cli.terminal import show_json, show_problems
from flipbook.shop.reading import source_lines


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    outcome = checked(root)
    good = outcome.books is not None
    if arguments.json:
        answer = {
            "good": good,
            "pieces": len(outcome.books.sheets) if outcome.books else None,
            "problems": [problem.as_data() for problem in outcome.problems],
        }
        show_json(answer)
    else:
        show_problems(outcome.problems, source_lines(root), sys.stdout)
        if outcome.books is not None:
            sys.stdout.write(f"{many(len(outcome.books.sheets), 'piece')} read. {outcome.books.proof.words}\n")
    return DONE if good else PROBLEMS
