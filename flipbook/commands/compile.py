"""`flipbook compile`: everything the shop's files make."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from flipbook.ending import DONE, PROBLEMS, Misused, fault_of_ours, many, reason, shop_at

PAGE = """\
flipbook compile [SHOP] [--out DIR]

Reads every file of the shop and makes two folders in SHOP/out (or in DIR):

  books/       for you: the ledger, what each piece cost and earned, the shelf, and each
               tax year, as pages to read and as CSV files
  portfolio/   for buyers: a page for each piece with its pictures, and nothing private

When a file has a problem, all problems are shown and the last good output stays as it is.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("shop", nargs="?", metavar="SHOP")
    parser.add_argument("--out", metavar="DIR")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.compile import compile_shop, may_be_output
    from flipbook.shop.reading import source_lines
    from flipbook.terminal import ProgressBar, show_problems

    started = time.monotonic()
    root = shop_at(arguments.shop)
    out = Path(arguments.out) if arguments.out else root / "out"
    why_not = may_be_output(root, out)
    if why_not:
        raise Misused(f"{out} cannot take the output: {why_not}")
    try:
        with ProgressBar() as bar:
            outcome = compile_shop(root, out, bar.tick)
    except BooksDoNotFoot as fault:
        return fault_of_ours(fault)
    except OSError as fault:
        sys.stderr.write(
            f"flipbook: the output cannot be written to {out}: {reason(fault)}; what was there before stays as it was\n"
        )
        return PROBLEMS
    show_problems(outcome.problems, source_lines(root), sys.stderr)
    books = outcome.books
    if books is None:
        return PROBLEMS
    proof, currency = books.proof, books.facts.shop.currency
    seconds = time.monotonic() - started
    sys.stdout.write(
        f"{many(len(books.sheets), 'piece')} and {many(proof.receipts, 'receipt')} read; "
        f"{currency} {proof.money_in:,.2f} came in and {proof.money_out:,.2f} went out.\n"
        f"{proof.words}\n"
        f"Wrote {many(outcome.pages, 'page')}, {many(outcome.tables, 'table')} and {many(outcome.pictures, 'picture')} "
        f"to {out} in {seconds:.1f} s.\n"
        f"  for you     {out / 'books' / 'index.html'}\n"
        f"  for buyers  {out / 'portfolio' / 'index.html'}\n"
    )
    return DONE
