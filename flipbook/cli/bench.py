"""`flipbook bench`: what is drying, what comes next, what is for sale and since when, what is short."""

from __future__ import annotations

import argparse
import sys
from datetime import datetime

from rich.text import Text

from flipbook.cli.ending import DONE, PROBLEMS, many, shop_at
from flipbook.cli.read_books import checked
from flipbook.cli.terminal import console, show_json, show_problems
from flipbook.looking.bench import look_over
from flipbook.looking.bench_screen import screen
from flipbook.measures.plain_data import as_data
from flipbook.shop.reading import source_lines


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    outcome = checked(root)
    if outcome.books is None:
        if arguments.json:
            show_json({"good": False, "problems": [problem.as_data() for problem in outcome.problems]})
        else:
            show_problems(outcome.problems, source_lines(root), sys.stdout)
        return PROBLEMS
    bench = look_over(outcome.books, datetime.now())
    if arguments.json:
        show_json({"good": True, "warnings": len(outcome.problems), **as_data(bench)})
        return DONE
    out = console(sys.stdout)
    styles = {"title": "bold", "heading": "bold", "note": "dim"}
    for role, text in screen(bench, out.width):
        out.print(Text(text, style=styles.get(role, "")))
    if outcome.problems:
        out.print(f"\n{many(len(outcome.problems), 'thing')} to look at: see `flipbook check`.")
    return DONE
