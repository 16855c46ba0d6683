"""`flipbook bench`: what is drying, what comes next, what is for sale and since when, what is short."""

from __future__ import annotations

import argparse
import sys

from flipbook.cli.ending import DONE, PROBLEMS, many, shop_at
from flipbook.cli.table import JSON, SHOP_FOLDER, Command

COMMAND = Command(
    name="bench",
    says="what is drying, what comes next, what is for sale",
    words=(SHOP_FOLDER,),
    options=(JSON,),
    about="""\
Shows the day at the bench on one screen, from the log alone:

- each piece on the bench or waiting: what was done last, what may come next,
  days since it was found, and the money in it so far. The first step of
  `planned:` comes next; without one, what usually follows the last step, where
  its words tell which stage it was. While it dries, until when: by the step's
  `dries:`, else by the longest `recoat:` that products.yaml has for what the
  step used. A step without a time of day is known to the day alone; log it as
  `2026-02-17 15:30 second coat` to be told the hour.
- each piece for sale: its price and for how many days, days since it was found,
  offers that have no answer, and when the price may come down, and to what, by
  `price steps:` of shop.yaml: never under the floor (of the outlet that takes
  least), and not while a deposit or a taken offer holds the piece.
- what is short on the shelf: less is left than the plans need, or than the last
  three uses took on average, when it was used within 180 days.

With --json, the same for a program: `good`, which is false when the files have
problems, and then `problems`; else `warnings` (how many), `now`, `currency`,
and three lists. Days are ISO 8601, money is text with two decimals, and what is
not known or is not so is null.

  open      the pieces on the bench and waiting, and
  for_sale  those for sale, each with: piece, title, found_on, days, cost,
            planned, hard_on (the day it is fully cured, when that is to come);
            held: a list of on, amount, from; offers without an answer: a list
            of on, price, from; promised: the offer that was taken
  open      also: state; last: on, at, did, stage; drying: is (drying, perhaps
            or dry), earliest, latest, minutes, product (whose recoat it is);
            usually: what usually comes next
  for_sale  also: price, asked_on, days_at_price; next_price: on, price, written
            (in piece.yaml with a day to come); floor, at_floor
  short     product, unit, left, need, planned_for: a list of pieces
""",
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from datetime import datetime

    from rich.text import Text

    from flipbook.cli.read_books import checked
    from flipbook.cli.terminal import console, show_json, show_problems
    from flipbook.looking.bench import look_over
    from flipbook.looking.bench_screen import screen
    from flipbook.measures.plain_data import as_data
    from flipbook.shop.reading import source_lines

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
