"""Words of the command line to calls, and answers to the terminal; no sums are done here."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any, NoReturn

from flipbook import __version__
from flipbook.ending import DONE, MISUSED, PROBLEMS, Misused, fault_of_ours, many, reason, shop_at

_HELP = """\
flipbook keeps the books of a furniture refinisher from plain text files: a folder for
each piece, a YAML log in it, and one command that makes a ledger, the totals of each tax
year and a page for buyers.

  flipbook compile [SHOP] [--out DIR]   make everything: books for you, pages for buyers
  flipbook check [SHOP]                 read and reckon, write nothing
  flipbook begin "TITLE"                start a new piece: a folder, ready to write in
  flipbook year YEAR                    the totals of a tax year

SHOP is the folder that holds shop.yaml. Left out, it is the folder you are in or the
nearest one above it; `begin` and `year` take it as --shop DIR.

Say `flipbook COMMAND --help` for more about one of them. A command ends with 0 when it
is done, 1 when the files have problems (all of them are shown, and nothing is written),
and 2 when it was not understood.
"""

_COMPILE = """\
flipbook compile [SHOP] [--out DIR]

Reads every file of the shop and makes two folders in SHOP/out (or in DIR):

  books/       for you: the ledger, what each piece cost and earned, the shelf, and each
               tax year, as pages to read and as CSV files
  portfolio/   for buyers: a page for each piece with its pictures, and nothing private

When a file has a problem, all problems are shown and the last good output stays as it is.
"""

_CHECK = """\
flipbook check [SHOP] [--json]

Reads every file, does all the sums and writes nothing. Shows every problem with its file,
line and column, and what to write instead. With --json, the same for a program.
"""

_BEGIN = """\
flipbook begin "TITLE" [--on DATE] [--from WHO] [--cost MONEY] [--shop DIR]

Makes a folder under pieces/ with a piece.yaml that explains each key, and a photos/
folder beside it. Say what the piece cost now, or fill it in later.

  flipbook begin "Bow-front oak washstand" --from "Mill Road estate sale" --cost 40
"""

_YEAR = """\
flipbook year YEAR [--shop DIR] [--wages MONEY] [--json] [--pack FILE.zip]

Shows the totals of one tax year: income, cost of goods sold, expenses by kind and profit.
A tax year is named after the calendar year in which it starts. It is a record for the
person who files and whoever prepares the return; it is not tax advice.

Under `rules: us` an estimate of self-employment tax follows, and the days on which estimated
tax falls due; --wages MONEY says what other work paid that bore social security tax already.

With --pack FILE.zip, writes the year's tables, their pages and every scan behind them into
one file for whoever prepares the return. A file that is there already is left as it is.

flipbook year YEAR --seal
flipbook year YEAR --unseal [--because "WHY"]

With --seal, keeps the figures of a year that has been filed in years/YEAR.yaml. From then on
`check` and `compile` refuse any change to them and show the line that made it. With --unseal,
opens the year again; the reason is kept, and asked for when it is not given.
"""


class _Parser(argparse.ArgumentParser):
    """A parser whose help is a page written by hand."""

    def __init__(self, *args: Any, page: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.page = page

    def format_help(self) -> str:
        return self.page

    def format_usage(self) -> str:
        first, _, _ = self.page.partition("\n")
        return (
            first
            if first.startswith("flipbook ") and "keeps" not in first
            else "flipbook COMMAND; `flipbook --help` shows them all"
        )

    def error(self, message: str) -> NoReturn:
        sys.stderr.write(f"flipbook: {message}\n{self.format_usage()}\n")
        raise SystemExit(MISUSED)


def _parser() -> _Parser:
    parser = _Parser(prog="flipbook", page=_HELP, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"flipbook {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Parser)
    compiling = commands.add_parser("compile", page=_COMPILE, allow_abbrev=False)
    compiling.add_argument("shop", nargs="?", metavar="SHOP")
    compiling.add_argument("--out", metavar="DIR")
    checking = commands.add_parser("check", page=_CHECK, allow_abbrev=False)
    checking.add_argument("shop", nargs="?", metavar="SHOP")
    checking.add_argument("--json", action="store_true")
    beginning = commands.add_parser("begin", page=_BEGIN, allow_abbrev=False)
    beginning.add_argument("title", metavar="TITLE")
    beginning.add_argument("--on", metavar="DATE")
    beginning.add_argument("--from", dest="came_from", metavar="WHO", default="")
    beginning.add_argument("--cost", metavar="MONEY")
    beginning.add_argument("--shop", metavar="DIR")
    year = commands.add_parser("year", page=_YEAR, allow_abbrev=False)
    year.add_argument("year", metavar="YEAR")
    year.add_argument("--shop", metavar="DIR")
    year.add_argument("--json", action="store_true")
    year.add_argument("--wages", metavar="MONEY")
    year.add_argument("--pack", metavar="FILE")
    year.add_argument("--seal", action="store_true")
    year.add_argument("--unseal", action="store_true")
    year.add_argument("--because", metavar="WHY")
    return parser


def main(words: Sequence[str] | None = None) -> int:
    """Carry out one command and say how it ended."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        arguments = _parser().parse_args(words)
    except SystemExit as said:
        return _closed(said.code)
    commands: dict[str, Callable[[argparse.Namespace], int]] = {
        "compile": _compile,
        "check": _check,
        "begin": _begin,
        "year": _year,
    }
    try:
        ended = commands[arguments.command](arguments)
        sys.stdout.flush()
        return ended
    except Misused as fault:
        sys.stderr.write(f"flipbook: {fault}\n")
        return MISUSED
    except BrokenPipeError:
        return _closed(DONE)
    except OSError as fault:
        sys.stderr.write(f"flipbook: the answer cannot be written: {reason(fault)}\n")
        return _closed(PROBLEMS)
    except KeyboardInterrupt:
        sys.stderr.write("flipbook: stopped; what was there before stays as it was\n")
        return 130


def _closed(ended: str | int | None) -> int:
    """End with nothing left to say: a reader that went away, or a full disk, is not written to again."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return ended if isinstance(ended, int) else DONE


def _compile(arguments: argparse.Namespace) -> int:
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


def _check(arguments: argparse.Namespace) -> int:
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.compile import check_shop
    from flipbook.shop.reading import source_lines
    from flipbook.terminal import ProgressBar, show_json, show_problems

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


def _begin(arguments: argparse.Namespace) -> int:
    from flipbook.measures.dates import read_when
    from flipbook.measures.money import read_money
    from flipbook.measures.unreadable import Unreadable
    from flipbook.shipped import templates_folder
    from flipbook.shop.reading import currency_of
    from flipbook.shop.starting import folder_name, start_piece, starter_text

    root = shop_at(arguments.shop)
    title = " ".join(arguments.title.split())
    if not title or not title.isprintable():
        raise Misused('say what the piece is, as `flipbook begin "Bow-front oak washstand"`')
    try:
        day = read_when(arguments.on).day if arguments.on else date.today()
        cost = read_money(arguments.cost, currency_of(root)) if arguments.cost is not None else None
    except Unreadable as fault:
        raise Misused(f"{fault.says}; {fault.write}") from None
    if arguments.came_from and cost is None:
        raise Misused("`--from` wants `--cost` beside it; write `--cost 0` for a free find")
    folder = folder_name(title)
    template = (templates_folder() / "starter" / "piece.yaml").read_text(encoding="utf-8")
    came_from = " ".join(arguments.came_from.split())
    try:
        file = start_piece(root, folder, starter_text(template, title, day, came_from, cost))
    except FileExistsError:
        raise Misused(
            f"there is a folder pieces/{folder} already; give the piece a title that tells it apart"
        ) from None
    except OSError as fault:
        raise Misused(f"the folder pieces/{folder} cannot be made: {reason(fault)}") from None
    sys.stdout.write(f"Write in   {file}\nPictures   {file.parent / 'photos'}\n")
    if cost is None:
        sys.stdout.write("Not yet said: how the piece came and what it cost (`found:`).\n")
    return DONE


def _year(arguments: argparse.Namespace) -> int:
    from flipbook.tax_year import show_tax_year

    return show_tax_year(arguments)
