"""The books that a command answers from: the shop is checked, and what keeps them from being made is shown."""

from __future__ import annotations

import sys
from pathlib import Path

from flipbook.books.footing import BooksDoNotFoot
from flipbook.books.reckon import Books
from flipbook.cli.ending import PROBLEMS, Ended, fault_of_ours
from flipbook.cli.terminal import ProgressBar, show_problems
from flipbook.compile import Outcome, check_shop
from flipbook.shop.reading import source_lines


def checked(root: Path) -> Outcome:
    """The shop, read and reckoned. Raises Ended when the books do not foot."""
    try:
        with ProgressBar() as bar:
            return check_shop(root, bar.tick)
    except BooksDoNotFoot as fault:
        raise Ended(fault_of_ours(fault)) from None


def books_of(root: Path) -> Books:
    """The shop's books. Raises Ended when its files have errors, which are shown."""
    outcome = checked(root)
    if outcome.books is None:
        show_problems(outcome.problems, source_lines(root), sys.stderr)
        raise Ended(PROBLEMS)
    return outcome.books
