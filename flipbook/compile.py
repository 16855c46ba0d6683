"""The whole way: a shop's folder in, books and portfolio out, whole or not at all."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from flipbook.books.reckon import Books, reckon
from flipbook.books.seal import broken_seal
from flipbook.shop.problems import Problem, in_order
from flipbook.shop.reading import pinned_in, read_shop
from flipbook.shop.sealing import read_seals

Tick = Callable[[str, int, int], None]
"""Told what is being done, how many of it are done, and of how many."""


def no_tick(what: str, done: int, of: int) -> None:
    """Tells nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a check or a compile came to; without books there was an error, and nothing was written."""

    books: Books | None
    problems: list[Problem] = field(default_factory=list)
    pages: int = 0
    tables: int = 0
    pictures: int = 0


def check_shop(root: Path, tick: Tick = no_tick, instead: Mapping[str, bytes] | None = None) -> Outcome:
    """Read, reckon, hold the sealed years against the books, and write nothing.

    Files of `instead` are taken in place of those on the disk: the shop as it would be after an edit.
    Raises BooksDoNotFoot, a fault of this program.
    """
    read = read_shop(root, lambda done, of: tick("reading", done, of), instead)
    kept = read_seals(root)
    if read.facts is None:
        return Outcome(books=None, problems=in_order([*read.problems, *kept.problems]))
    books, found = reckon(read.facts)
    if books is not None:
        found = [*found, *(problem for seal in kept.seals for problem in broken_seal(seal, books))]
    problems = in_order([*read.problems, *kept.problems, *pinned_in(root, found, instead)])
    return Outcome(books=books if all(problem.warning for problem in problems) else None, problems=problems)


def compile_shop(root: Path, out: Path, tick: Tick = no_tick) -> Outcome:
    """Make `out/books` and `out/portfolio` anew. Raises BooksDoNotFoot, and OSError when `out` cannot be written."""
    # Checking needs no templates and no pictures, so these are not imported above.
    from flipbook.pages.books import write_books
    from flipbook.pages.portfolio import write_portfolio
    from flipbook.pages.writing import Output

    # Nothing made here is cyclic garbage; looking for it takes a fifth of the time.
    gc.disable()
    try:
        checked = check_shop(root, tick)
        if checked.books is None:
            return checked
        output = Output(out)
        try:
            found = write_portfolio(checked.books.facts, root, output, lambda done, of: tick("pictures", done, of))
            write_books(checked.books, output)
            output.publish()
        except BaseException:
            output.discard()
            raise
    finally:
        gc.enable()
    return Outcome(
        books=checked.books,
        problems=in_order([*checked.problems, *found]),
        pages=output.count("portfolio", ".html") + output.count("books", ".html"),
        tables=output.count("books", ".csv"),
        pictures=output.count("portfolio", ".jpg"),
    )


def may_be_output(root: Path, out: Path) -> str | None:
    """Why `out` can't be the output folder of the shop at `root`, or None when it can."""
    real, shop = os.path.realpath(out), os.path.realpath(root)
    for name in ("pieces", "receipts", "years"):
        inner = os.path.join(shop, name)
        if real == inner or real.startswith(inner + os.sep):
            return f"the output would stand in `{name}/`, where the shop's own files are"
    if os.path.lexists(out) and not os.path.isdir(out):
        return "there is a file of that name"
    return None
