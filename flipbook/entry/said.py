"""What was said on the command line, read; and what was not said and is needed, asked for where a person is there."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from flipbook.cli.ending import Misused, shop_at
from flipbook.measures.dates import When, read_day_said
from flipbook.measures.money import read_money, write_money
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.choosing import Chosen, NotChosen, choose
from flipbook.shop.reading import currency_of

T = TypeVar("T")

_UNWRITABLE = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


def read_words(text: str) -> str:
    """Words on one line, spaces and line breaks between them folded. Raises Unreadable."""
    words = " ".join(text.split())
    if not words:
        raise Unreadable("nothing was said", "write a few words")
    if _UNWRITABLE.search(words):
        raise Unreadable("there is a control character in the words", "say them again without it")
    return words


def money_reader(currency: str | None, *, zero: bool = False) -> Callable[[str], Decimal]:
    """A reader of sums in the shop's currency; nothing is refused unless `zero`."""

    def read(text: str) -> Decimal:
        sum_said = read_money(text, currency)
        if not sum_said and not zero:
            raise Unreadable("the sum is nothing", "write a sum over 0")
        return sum_said

    return read


def short_money(value: Decimal) -> str:
    """A price as it is written in a list of prices: `210`, or `210.50`."""
    text = write_money(value)
    return text.removesuffix(".00")


def line_said(text: str) -> str:
    """A text on one line, once it has been read as what it says."""
    return " ".join(text.split())


def read_or_refuse(text: str, read: Callable[[str], T], what: str) -> T:
    """What `text` says. Raises Misused, naming `what` was misread."""
    try:
        return read(text)
    except Unreadable as fault:
        raise Misused(f"{what}: {fault.says}; {fault.write}") from None


def when_said(text: str | None, what: str = "--on") -> When:
    """The day of an entry, today when none was named. Raises Misused."""
    today = date.today()
    return When(today) if text is None else read_or_refuse(text, lambda said: read_day_said(said, today), what)


def is_attended() -> bool:
    """Whether a person is there to be asked."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def asked(question: str, read: Callable[[str], T]) -> T:
    """The answer to a question on the terminal, asked again until it can be read. Raises Misused at the end of input."""
    while True:
        sys.stderr.write(f"{question} ")
        sys.stderr.flush()
        try:
            line = sys.stdin.readline()
        except UnicodeDecodeError:
            line = "\0"
        if not line:
            sys.stderr.write("\n")
            raise Misused("no answer was given, and nothing was written")
        try:
            return read(line.strip())
        except Unreadable as fault:
            sys.stderr.write(f"  {fault.says}; {fault.write}\n")


def piece_said(root: Path, text: str | None, usage: str, *, open_first: bool = True) -> Chosen:
    """The piece that was named; see `choose`. Raises Misused with the pieces to choose from."""
    if text is not None and text.strip():
        chosen = choose(root, text, open_first=open_first)
        if isinstance(chosen, NotChosen):
            raise Misused(str(chosen))
        return chosen
    if not is_attended():
        raise Misused(f"the piece is not said\n{usage}")
    while True:
        chosen = choose(root, asked("Which piece?", read_words), open_first=open_first)
        if isinstance(chosen, Chosen):
            return chosen
        sys.stderr.write(f"{chosen}\n")


class Spoken:
    """What was said to a command, each part read when it is wanted. Every reading raises Misused."""

    def __init__(self, arguments: argparse.Namespace) -> None:
        self.arguments = arguments
        self.usage: str = arguments.usage
        self.root = shop_at(arguments.shop)

    @cached_property
    def currency(self) -> str | None:
        return currency_of(self.root)

    @cached_property
    def when(self) -> When:
        """The day of the entry, by --on, and its hour where that was said."""
        return when_said(self.arguments.on)

    def text(self, option: str) -> str | None:
        """What stands behind an option, as it was said."""
        said: str | None = getattr(self.arguments, option.lstrip("-").replace("-", "_"))
        return said

    def read(self, option: str, read: Callable[[str], T]) -> T | None:
        """What an option says; None when it was not said."""
        text = self.text(option)
        return None if text is None else read_or_refuse(text, read, option)

    def written(self, options: Iterable[str], read: Callable[[str], T]) -> dict[str, T]:
        """What options say, by the key of the file that is named like the option; those that were not said are left out."""
        values = {option.lstrip("-").replace("-", " "): self.read(option, read) for option in options}
        return {key: value for key, value in values.items() if value is not None}

    def money(self, *options: str) -> dict[str, Decimal]:
        """Sums that options say, by their keys; nothing is a sum too."""
        return self.written(options, money_reader(self.currency, zero=True))

    def words(self, *options: str) -> dict[str, str]:
        """Words that options say, by their keys."""
        return self.written(options, read_words)

    def wanted(self, text: str | None, read: Callable[[str], T], what: str, question: str) -> T:
        """What `text` says; when nothing was said, the answer to `question`, and in a pipe the usage."""
        if text is not None and text.strip():
            return read_or_refuse(text, read, what)
        if is_attended():
            return asked(question, read)
        raise Misused(f"{what} is not said\n{self.usage}")

    def price(self, question: str) -> Decimal:
        """The price that stands behind the piece, which is not nothing."""
        return self.wanted(self.arguments.price, money_reader(self.currency), "the price", question)

    def piece(self) -> Chosen:
        """The piece that the entry is for."""
        return piece_said(self.root, self.arguments.piece, self.usage)
