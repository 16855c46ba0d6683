"""Words of the command line to calls, and answers to the terminal; no sums are done here."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from flipbook import __version__

if TYPE_CHECKING:
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.books.reckon import Books, YearBooks
    from flipbook.shop.sealing import YearRecord

DONE, PROBLEMS, MISUSED, FAULT = 0, 1, 2, 3

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
flipbook year YEAR [--shop DIR] [--json] [--pack FILE.zip]

Shows the totals of one tax year: income, cost of goods sold, expenses by kind and profit.
A tax year is named after the calendar year in which it starts. It is a record for the
person who files and whoever prepares the return; it is not tax advice.

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

    def __init__(self, *args: object, page: str = "", **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
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
    year.add_argument("--pack", metavar="FILE")
    year.add_argument("--seal", action="store_true")
    year.add_argument("--unseal", action="store_true")
    year.add_argument("--because", metavar="WHY")
    return parser


class Misused(Exception):
    """The command cannot be carried out as it was given; the text says why and what to do."""


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
        sys.stderr.write(f"flipbook: the answer cannot be written: {_reason(fault)}\n")
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


def _shop(given: str | None) -> Path:
    """The folder of the shop. Raises Misused when there is none."""
    from flipbook.measures.unreadable import shown
    from flipbook.shop.folder import shop_above

    if given is None:
        try:
            found = shop_above(Path.cwd())
        except FileNotFoundError:
            raise Misused("the folder you are in is gone; go to your shop's folder, or name it") from None
        if found is None:
            raise Misused("there is no shop.yaml in this folder or above it; go to your shop's folder, or name it")
        return found
    root = Path(given)
    try:
        is_there = root.is_dir()
    except (OSError, ValueError):
        is_there = False
    if not is_there:
        raise Misused(f"there is no folder {shown(given)}")
    if not os.path.lexists(root / "shop.yaml"):
        raise Misused(f"{given} holds no shop.yaml, so it is not a shop's folder")
    return root


def _compile(arguments: argparse.Namespace) -> int:
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.compile import compile_shop, may_be_output
    from flipbook.shop.reading import source_lines
    from flipbook.terminal import ProgressBar, show_problems

    started = time.monotonic()
    root = _shop(arguments.shop)
    out = Path(arguments.out) if arguments.out else root / "out"
    why_not = may_be_output(root, out)
    if why_not:
        raise Misused(f"{out} cannot take the output: {why_not}")
    try:
        with ProgressBar() as bar:
            outcome = compile_shop(root, out, bar.tick)
    except BooksDoNotFoot as fault:
        return _fault(fault)
    except OSError as fault:
        sys.stderr.write(
            f"flipbook: the output cannot be written to {out}: {_reason(fault)}; what was there before stays as it was\n"
        )
        return PROBLEMS
    show_problems(outcome.problems, source_lines(root), sys.stderr)
    books = outcome.books
    if books is None:
        return PROBLEMS
    proof, currency = books.proof, books.facts.shop.currency
    seconds = time.monotonic() - started
    sys.stdout.write(
        f"{_many(len(books.sheets), 'piece')} and {_many(proof.receipts, 'receipt')} read; "
        f"{currency} {proof.money_in:,.2f} came in and {proof.money_out:,.2f} went out.\n"
        f"{proof.words}\n"
        f"Wrote {_many(outcome.pages, 'page')}, {_many(outcome.tables, 'table')} and {_many(outcome.pictures, 'picture')} "
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

    root = _shop(arguments.shop)
    try:
        with ProgressBar() as bar:
            outcome = check_shop(root, bar.tick)
    except BooksDoNotFoot as fault:
        return _fault(fault)
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
            sys.stdout.write(f"{_many(len(outcome.books.sheets), 'piece')} read. {outcome.books.proof.words}\n")
    return DONE if good else PROBLEMS


def _begin(arguments: argparse.Namespace) -> int:
    from flipbook.measures.dates import read_when
    from flipbook.measures.money import read_money
    from flipbook.measures.unreadable import Unreadable
    from flipbook.shipped import templates_folder
    from flipbook.shop.reading import currency_of
    from flipbook.shop.starting import folder_name, start_piece, starter_text

    root = _shop(arguments.shop)
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
        raise Misused(f"the folder pieces/{folder} cannot be made: {_reason(fault)}") from None
    sys.stdout.write(f"Write in   {file}\nPictures   {file.parent / 'photos'}\n")
    if cost is None:
        sys.stdout.write("Not yet said: how the piece came and what it cost (`found:`).\n")
    return DONE


def _year(arguments: argparse.Namespace) -> int:
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.compile import check_shop
    from flipbook.pages.tables import TAX_NOTE
    from flipbook.shop.reading import source_lines
    from flipbook.terminal import show_json, show_problems, show_year

    if not (arguments.year.isascii() and arguments.year.isdigit() and len(arguments.year) == 4):
        raise Misused(f"`{arguments.year[:20]}` is not a year; write it as 2026")
    if (arguments.seal or arguments.unseal) and (arguments.json or arguments.pack is not None):
        raise Misused("seal or open the year first, then ask for its figures")
    if arguments.seal and arguments.unseal:
        raise Misused("say one of `--seal` and `--unseal`")
    if arguments.because is not None and not arguments.unseal:
        raise Misused("`--because` says why a sealed year is opened; write it with `--unseal`")
    root = _shop(arguments.shop)
    if arguments.unseal:
        return _unseal(root, int(arguments.year), arguments.because, date.today())
    try:
        outcome = check_shop(root)
    except BooksDoNotFoot as fault:
        return _fault(fault)
    if outcome.books is None:
        show_problems(outcome.problems, source_lines(root), sys.stderr)
        return PROBLEMS
    books = outcome.books
    found = next((year for year in books.years if year.year.name == int(arguments.year)), None)
    if found is None:
        known = [str(year.year.name) for year in books.years]
        there = f"the shop's log has {', '.join(known)}" if known else "the shop's log is empty"
        raise Misused(f"nothing is logged in the tax year {arguments.year}; {there}")
    if arguments.seal:
        return _seal(books, found, root, date.today())
    if arguments.pack is not None:
        return _pack(books, found, root, Path(arguments.pack))
    if arguments.json:
        show_json(_year_data(found, books.facts.shop.currency))
    else:
        show_year(found, books.facts.shop.currency, TAX_NOTE)
    return DONE


def _seal(books: Books, year: YearBooks, root: Path, today: date) -> int:
    from flipbook.books.seal import holds_nothing, seal_of
    from flipbook.shop.sealing import YearRecord, read_seals

    name = year.year.name
    if today <= year.year.end:
        raise Misused(f"the tax year {year.year.title} ends on {year.year.end}; it can be sealed from the day after")
    kept = read_seals(root).records.get(name)
    if kept is not None and kept.seal is not None:
        sys.stdout.write(f"The tax year {name} was sealed on {kept.seal.sealed_on}, and no figure has changed since.\n")
        return DONE
    seal = seal_of(books, year, today)
    if holds_nothing(seal):
        raise Misused(f"nothing is logged in the tax year {name}, so there is nothing to seal")
    record = YearRecord(year=name, seal=seal, opened=kept.opened if kept else ())
    return _keep(root, record, f"Sealed the tax year {name}: its figures cannot change unnoticed.")


def _unseal(root: Path, year: int, because: str | None, today: date) -> int:
    from flipbook.shop.reading import source_lines
    from flipbook.shop.sealing import opened_again, read_seals
    from flipbook.terminal import show_problems

    read = read_seals(root)
    if year not in read.records:
        broken = [problem for problem in read.problems if problem.place.file == f"years/{year}.yaml"]
        if broken:
            show_problems(broken, source_lines(root), sys.stderr)
            return PROBLEMS
    record = read.records.get(year)
    if record is None or record.seal is None:
        raise Misused(f"the tax year {year} is not sealed")
    if because is None and sys.stdin.isatty():
        sys.stderr.write(f"Why is the tax year {year} opened again? ")
        sys.stderr.flush()
        because = sys.stdin.readline()
    if because is None or not because.strip():
        raise Misused('say why the year is opened, as `--unseal --because "a receipt turned up"`')
    return _keep(
        root,
        opened_again(record, today, because.strip()),
        f"Opened the tax year {year}; seal it again when it is right.",
    )


def _keep(root: Path, record: YearRecord, done: str) -> int:
    from flipbook.shop.sealing import SealNotWritten, write_record

    try:
        file = write_record(root, record)
    except SealNotWritten as fault:
        raise Misused(str(fault)) from None
    except OSError as fault:
        raise Misused(f"years/{record.year}.yaml cannot be written: {_reason(fault)}; what was there stays") from None
    sys.stdout.write(f"{done}\nKept in    {file}\n")
    return DONE


def _pack(books: Books, year: YearBooks, root: Path, to: Path) -> int:
    from flipbook.pages.pack import ScanGone, write_pack

    if to.suffix.lower() != ".zip":
        raise Misused(f"the folder for the preparer is a zip file; name it as {to.stem or year.year.name}.zip")
    if not os.path.isdir(to.parent):
        raise Misused(f"there is no folder {to.parent} to put {to.name} in")
    try:
        packed = write_pack(books, year, root, to)
    except FileExistsError:
        raise Misused(
            f"{to} is there already and stays as it is; give the file another name, or move it away"
        ) from None
    except ScanGone as fault:
        sys.stderr.write(f"flipbook: {fault}; {to} was not written\n")
        return PROBLEMS
    except OSError as fault:
        sys.stderr.write(f"flipbook: {to} cannot be written: {_reason(fault)}; nothing was left there\n")
        return PROBLEMS
    sys.stdout.write(
        f"Wrote {_many(packed.tables, 'table')} and {_many(packed.scans, 'scan')} of the tax year {year.year.title} to {to}.\n"
        + (
            f"{_many(packed.no_receipt, 'payment')} with no scan: see no-receipt-{year.year.name}.csv in it.\n"
            if packed.no_receipt
            else ""
        )
    )
    return DONE


def _year_data(year: YearBooks, currency: str) -> dict[str, object]:
    from flipbook.measures.money import write_money
    from flipbook.pages.tables import TAX_NOTE

    return {
        "year": year.year.name,
        "from": year.year.start.isoformat(),
        "to": year.year.end.isoformat(),
        "currency": currency,
        "lines": [
            {
                "form": line.form,
                "line": line.line,
                "caption": line.caption,
                "amount": write_money(line.amount),
                "whole": str(line.whole),
            }
            for line in year.lines
        ],
        "money_in": write_money(year.money_in),
        "money_out": write_money(year.money_out),
        "note": TAX_NOTE,
    }


def _fault(fault: BooksDoNotFoot) -> int:
    sys.stderr.write(
        f"flipbook: the books do not foot, which is a fault of flipbook and not of your files.\n  {fault}\n"
        "Nothing was written. Please report it with the shop's files, or the smallest part of them that shows it.\n"
    )
    return FAULT


def _reason(fault: OSError) -> str:
    return (fault.strerror or str(fault)).lower()


def _many(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"
