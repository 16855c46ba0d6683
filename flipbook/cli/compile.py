"""`flipbook compile`: everything the shop's files make."""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from flipbook.cli.ending import DONE, PROBLEMS, Misused, fault_of_ours, many, reason, shop_at

if TYPE_CHECKING:
    from flipbook.unchanged import Said


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.unchanged import as_it_was, may_be_output

    started = time.monotonic()
    root = shop_at(arguments.shop)
    out = Path(arguments.out) if arguments.out else root / "out"
    found = as_it_was(root, out, _digest_of)
    if found is not None and _shown_again(root, found[1]):
        said = found[0]
        _say(said, out, f"Nothing had changed: {_counted(said)} in {out} are as they were")
        return DONE
    why_not = may_be_output(root, out)
    if why_not:
        raise Misused(f"{out} cannot take the output: {why_not}")
    return _compile(root, out, started)


def _compile(root: Path, out: Path, started: float) -> int:
    from flipbook.books.footing import BooksDoNotFoot
    from flipbook.cli.terminal import ProgressBar, show_problems
    from flipbook.compile import Compiler, said_of
    from flipbook.shop.reading import source_lines

    compiler = Compiler(root, out, again=False)
    try:
        with ProgressBar() as bar:
            outcome = compiler.compile(bar.tick)
    except BooksDoNotFoot as fault:
        return fault_of_ours(fault)
    except OSError as fault:
        sys.stderr.write(
            f"flipbook: the output cannot be written to {out}: {reason(fault)}; what was there before stays as it was\n"
        )
        return PROBLEMS
    show_problems(outcome.problems, source_lines(root), sys.stderr)
    if outcome.books is None:
        return PROBLEMS
    said = said_of(outcome, outcome.books)
    _say(said, out, f"Wrote {_counted(said)} to {out} in {time.monotonic() - started:.1f} s")
    compiler.leave_note()
    return DONE


def _counted(said: Said) -> str:
    return f"{many(said.pages, 'page')}, {many(said.tables, 'table')} and {many(said.pictures, 'picture')}"


def _say(said: Said, out: Path, ended: str) -> None:
    sys.stdout.write(
        f"{many(said.pieces, 'piece')} and {many(said.receipts, 'receipt')} read; "
        f"{said.currency} {said.money_in} came in and {said.money_out} went out.\n"
        f"{said.proof}\n"
        f"{ended}.\n"
        f"  for you     {out / 'books' / 'index.html'}\n"
        f"  for buyers  {out / 'portfolio' / 'index.html'}\n"
    )


def _shown_again(root: Path, warned: str) -> bool:
    """Show the warnings of a compile that is not done again; False when they cannot be read."""
    if not warned:
        return True
    import json

    from flipbook.cli.terminal import show_problems
    from flipbook.shop.folder import ShopFolder, lines_in
    from flipbook.shop.problems import Place, Problem

    problems = []
    for line in warned.split("\n"):
        try:
            fields = json.loads(line)
        except (ValueError, RecursionError):
            return False
        if not isinstance(fields, list) or list(map(type, fields)) != [str, str, int, int, int, str, str, str]:
            return False
        name, file, number, column, end, says, label, help = fields
        place = Place(file, number, column, end)
        problems.append(Problem(name=name, place=place, says=says, label=label, help=help, warning=True))
    show_problems(problems, lines_in(ShopFolder(root)), sys.stderr)
    return True


def _digest_of(path: str) -> str:
    from hashlib import sha256

    return sha256(Path(path).read_bytes()).hexdigest()
