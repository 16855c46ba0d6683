"""`flipbook check`: read and reckon, write nothing."""

from __future__ import annotations

import argparse
import sys

from flipbook.cli.ending import DONE, PROBLEMS, fault_of_ours, many, shop_at

PAGE = """\
flipbook check [SHOP] [--json]

Reads every file, does all the sums and writes nothing. Shows every problem with its file,
line and column, and what to write instead. With --json, the same for a program.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("shop", nargs="?", metavar="SHOP")
    parser.add_argument("--json", action="store_true")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.cli.terminal import ProgressBar, show_json, show_problems
    from flipbook.compile import check_shop
    from flipbook.shop.reading import source_lines

    root = shop_at(arguments.shop)
    try:
        with ProgressBar() as bar:
            outcome = check_shop(root, bar.tick)
    except BooksDoNotFoot as fault:
        return fault_of_ours(fault)
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
