"""The whole way: a shop's folder in, books and portfolio out, whole or not at all."""

from __future__ import annotations

import gc
import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from flipbook.books.reckon import Books, reckon
from flipbook.books.seal import broken_seal
from flipbook.memory import Memory
from flipbook.remembering import Remember, afresh
from flipbook.shop.facts import Facts
from flipbook.shop.folder import ShopFolder
from flipbook.shop.marks import Look
from flipbook.shop.problems import Problem, in_order
from flipbook.shop.reading import pinned, read_folder
from flipbook.shop.sealing import FOLDER as YEARS
from flipbook.shop.sealing import SealsRead, read_seals
from flipbook.trade.cautions import problems_of
from flipbook.unchanged import Said, marks_and_digests, may_be_output, note_in, put_note

if TYPE_CHECKING:
    from flipbook.writing import AsLeft

__all__ = [
    "Compiler", "Outcome", "Tick", "check_shop", "compile_shop", "may_be_output", "no_tick", "said_of",
]  # fmt: skip

Tick = Callable[[str, int, int], None]
"""Told what is being done, how many of it are done, and of how many."""


def no_tick(what: str, done: int, of: int) -> None:
    """Tells nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a check or a compile came to; without books there was an error, and nothing was written.

    `changed` are the files of the output, as paths below it, that were written anew or taken away; a file that would
    have got the bytes that it had is left alone and is none of them.
    """

    books: Books | None
    problems: list[Problem] = field(default_factory=list)
    pages: int = 0
    tables: int = 0
    pictures: int = 0
    changed: tuple[str, ...] = ()


def check_shop(root: Path, tick: Tick = no_tick, instead: Mapping[str, bytes] | None = None) -> Outcome:
    """Read, reckon, hold the sealed years against the books, and write nothing.

    Files of `instead` are taken in place of those on the disk: the shop as it would be after an edit.
    Raises BooksDoNotFoot, a fault of this program.
    """
    with _collecting_no_garbage():
        return _checked(ShopFolder(root, instead), tick, None)


def compile_shop(root: Path, out: Path, tick: Tick = no_tick) -> Outcome:
    """Make `out/books` and `out/portfolio`. Raises BooksDoNotFoot, and OSError when `out` cannot be written."""
    return Compiler(root, out, again=False).compile(tick)


class Compiler:
    """Makes `out/books` and `out/portfolio` of the shop at `root`, again and again.

    What one compile read, reckoned and made is kept for the next, which works out only what changed since; what it
    writes is the same to the byte as what a first compile would write. Without `again` nothing is kept.
    """

    def __init__(self, root: Path, out: Path, *, again: bool = True) -> None:
        self.root = root
        self.out = out
        self._memory = Memory() if again else None
        self._left: AsLeft | None = None
        self._looks: dict[str, Look] = {}
        self._names: list[str] = []
        self._outcome: Outcome | None = None

    def compile(self, tick: Tick = no_tick) -> Outcome:
        """Bring the output up to date. Raises BooksDoNotFoot, and OSError when `out` cannot be written."""
        with _collecting_no_garbage(for_good=self._left is None):
            self._outcome = None
            memory = self._memory
            folder = ShopFolder(self.root, before=memory.files.listings if memory else None)
            checked = _checked(folder, tick, memory)
            if checked.books is None:
                return checked
            self._outcome = self._written(checked, checked.books, folder, tick)
        return self._outcome

    def _written(self, checked: Outcome, books: Books, folder: ShopFolder, tick: Tick) -> Outcome:
        # Checking needs no templates and no pictures, so these are not imported above.
        from flipbook.portfolio.portfolio import write_portfolio
        from flipbook.reports.books import write_books
        from flipbook.writing import AsLeft, Output

        memory = self._memory
        if self._left is None and (note := note_in(self.out)):
            self._left = AsLeft(*marks_and_digests(note))
        remember = memory.answers if memory else afresh
        pictures = memory.pictures if memory else {}
        output = Output(self.out, self._left, again=memory is not None)
        try:
            pieces, found = write_portfolio(books.facts, folder, output, partial(tick, "pictures"), remember, pictures)
            if not all(problem.warning for problem in found):  # in a template of the shop's own; what is there stays
                output.discard()
                return Outcome(books=None, problems=in_order([*checked.problems, *found]))
            write_books(books, pieces, output, remember)
            output.publish()
        except BaseException:
            output.discard()
            raise
        if memory:
            memory.answers.turn()
        self._left, self._looks, self._names = output.left, folder.looks, folder.top_names
        return Outcome(
            books=books,
            problems=in_order([*checked.problems, *found]),
            pages=output.count("portfolio", ".html") + output.count("books", ".html"),
            tables=output.count("books", ".csv"),
            pictures=output.count("portfolio", ".jpg"),
            changed=output.changed,
        )

    def leave_note(self) -> None:
        """Leave a note by which another process can tell that nothing has changed since the last compile.

        It is only ever a help: where it cannot be written, or no compile was done, nothing happens.
        """
        if self._outcome is None or self._outcome.books is None or self._left is None or not self._left.is_whole:
            return
        put_note(
            self.root,
            self.out,
            said_of(self._outcome, self._outcome.books),
            [json.dumps([p.name, *p.place, p.says, p.label, p.help]) for p in self._outcome.problems],
            self._looks,
            self._names,
            self._left.marks,
            self._left.digests,
        )


def said_of(outcome: Outcome, books: Books) -> Said:
    """What is said of a compile that was done."""
    proof = books.proof
    return Said(
        pieces=len(books.sheets),
        receipts=proof.receipts,
        currency=books.facts.shop.currency,
        money_in=f"{proof.money_in:,.2f}",
        money_out=f"{proof.money_out:,.2f}",
        proof=proof.words,
        pages=outcome.pages,
        tables=outcome.tables,
        pictures=outcome.pictures,
    )


@contextmanager
def _collecting_no_garbage(*, for_good: bool = False) -> Iterator[None]:
    """Python looks for no cyclic garbage meanwhile: hardly any is made, and looking for it takes a fifth of the time.

    With `for_good` what was made meanwhile is not looked through later either.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if for_good:
            gc.freeze()
        if was_on:
            gc.enable()


def _checked(folder: ShopFolder, tick: Tick, memory: Memory | None) -> Outcome:
    read = read_folder(folder, partial(tick, "reading"), memory.files if memory else None)
    kept = _seals(folder, memory)
    if memory:
        memory.files = read.files
    if read.facts is None:
        return Outcome(books=None, problems=in_order([*read.problems, *kept.problems]))
    remember = memory.answers if memory else afresh
    books, found = reckon(read.facts)
    if books is not None:
        found = [*found, *(problem for seal in kept.seals for problem in broken_seal(seal, books))]
        found += _cautions(read.facts, remember)
    problems = in_order([*read.problems, *kept.problems, *pinned(found, folder)])
    return Outcome(books=books if all(problem.warning for problem in problems) else None, problems=problems)


def _cautions(facts: Facts, remember: Remember) -> Iterator[Problem]:
    """The cautions that each piece calls for; those of one hang on nothing of another."""
    for filed in facts.pieces:
        alone = Facts(shop=facts.shop, products=facts.products, pieces=(filed,))
        yield from remember(("cautions", filed.folder), problems_of, alone)


def _seals(folder: ShopFolder, memory: Memory | None) -> SealsRead:
    """The sealed years; those of the last compile, while every file of years/ bears the mark that it had."""
    names = folder.names(YEARS)
    for name in [] if isinstance(names, Problem) else names:
        folder.read(f"{YEARS}/{name}")
    looks = {path: look for path, look in folder.looks.items() if path == YEARS or path.startswith(f"{YEARS}/")}
    marks = {path: look.mark for path, look in looks.items()}
    if memory and memory.seals and memory.seals[0] == marks:
        return memory.seals[1]
    seals = read_seals(folder)
    if memory:
        memory.seals = None if any(look.is_young for look in looks.values()) else (marks, seals)
    return seals
