"""What each command takes, in one table: its parser, its help and its completion are all made from it."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Collection, Iterable, Iterator, Sequence
from difflib import get_close_matches
from typing import NamedTuple, NoReturn

from flipbook.cli.ending import FAULT, MISUSED, PROBLEMS, STATUSES, Misused
from flipbook.measures.unreadable import shown

WIDTH = 80
"""Columns of a page of help."""
_LEAD = 20
"""Columns of the longest word or option that what is said of it stands beside."""


class Slot(NamedTuple):
    """A word that stands by its place: `PIECE`, `[SHOP]` that may be left out, `WORDS...` of which there may be many.

    One that is `asked` for may be left out by a person at a terminal. `key` names it among the arguments.
    """

    form: str
    says: str = ""
    asked: bool = False
    choices: tuple[str, ...] | None = None
    key: str = ""

    @property
    def name(self) -> str:
        return self.form.strip("[].")

    def add_to(self, parser: argparse.ArgumentParser) -> None:
        is_free, has_many = self.asked or self.form.startswith("["), "..." in self.form
        nargs = ("*" if is_free else "+") if has_many else ("?" if is_free else None)
        key = self.key or self.name.lower()
        parser.add_argument(key, metavar=self.name, nargs=nargs, choices=self.choices)


class Option(NamedTuple):
    """An option: `--on DAY`, `--hide` that takes no value, `--used USE...` that may be said again.

    `--planned [N]` may stand without its value, and is `alone` then. One that is `asked` for is shown as needed. `key`
    names it among the arguments where that is not its own name.
    """

    form: str
    says: str = ""
    asked: bool = False
    choices: tuple[str, ...] | None = None
    key: str = ""
    alone: str | None = None
    usual: str | None = None

    @property
    def name(self) -> str:
        return self.form.partition(" ")[0]

    @property
    def value(self) -> str:
        return self.form.partition(" ")[2].strip("[].")

    @property
    def usage(self) -> str:
        once = self.form.removesuffix("...")
        return once if self.asked else f"[{once}]{'...' if once != self.form else ''}"

    def add_to(self, parser: argparse.ArgumentParser) -> None:
        key = self.key or self.name.lstrip("-").replace("-", "_")
        if not self.value:
            parser.add_argument(self.name, dest=key, action="store_true")
        elif self.form.endswith("..."):
            parser.add_argument(self.name, dest=key, metavar=self.value, action="append", default=[])
        else:
            nargs = None if self.alone is None else "?"
            parser.add_argument(
                self.name,
                dest=key,
                metavar=self.value,
                nargs=nargs,
                const=self.alone,
                choices=self.choices,
                default=self.usual,
            )


PIECE = Slot("PIECE", "any part of its folder's name or its title that fits no other piece", asked=True)
SHOP = Option("--shop DIR", "the shop's folder; left out, the one you are in or the nearest above it")
SHOP_FOLDER = Slot("[SHOP]", "the shop's folder; left out, the one you are in or the nearest above it")
JSON = Option("--json", "the answer for a program")
OUT = Option("--out DIR", "write to DIR instead of SHOP/out")
PRIVATE = Option("--private WORDS", "a note of your own, never published")


def on_day(example: str) -> Option:
    """The day of an entry."""
    return Option("--on DAY", f"the day; left out, today. Or yesterday, -2d, {example}")


class Command(NamedTuple):
    """A command: how it is written, and what its page of help says.

    `says` is its line in the list of commands. `also` are other ways to write it, without its name. `about`, `examples`
    and `after` are shown as they are written. `inner` are the commands that it holds, as `sums` holds `mix`.
    """

    name: str
    says: str
    about: str
    words: tuple[Slot, ...] = ()
    options: tuple[Option, ...] = ()
    also: tuple[str, ...] = ()
    examples: str = ""
    after: str = ""
    statuses: tuple[int, ...] = (0, PROBLEMS, MISUSED, FAULT)
    inner: tuple[Command, ...] = ()

    @property
    def short(self) -> str:
        """How it is begun: its name and its words."""
        words = [word.form for word in self.words] or [form.partition(" ")[0] for form in self.also]
        return " ".join(("flipbook", self.name, *words))

    @property
    def usage(self) -> str:
        """How it is written, on lines that fit."""
        lead = f"flipbook {self.name} "
        forms = [word.form for word in self.words] + [option.usage for option in self.options]
        ways = [forms] if forms else []
        return "\n".join(_filled(way, lead) for way in (*ways, *(form.split(" ") for form in self.also)))

    @property
    def page(self) -> str:
        """Its page of help."""
        rows = [(of.form, of.says) for of in self._taken if of.says]
        lead = max((len(form) for form, _ in rows if len(form) <= _LEAD), default=0)
        options = "\n".join(_row(form, says, lead) for form, says in rows)
        parts = (self.usage, self.about, self.examples, options, self.after)
        return "\n\n".join(part.strip("\n") for part in parts if part) + "\n"

    @property
    def ends(self) -> dict[int, str]:
        """Each exit status that it may have, and what that says."""
        return {status: STATUSES[status] for status in self.statuses}

    @property
    def _taken(self) -> Iterator[Slot | Option]:
        yield from self.words
        yield from self.options

    def add_to(self, parser: argparse.ArgumentParser) -> None:
        """Tell a parser what may follow the command."""
        for of in self._taken:
            of.add_to(parser)
        if self.inner:
            add_commands(parser, self.inner)

    def arguments(self, words: Sequence[str]) -> argparse.Namespace:
        """What was said behind its name, its `usage` beside it. Raises Misused, and SystemExit when help was asked for."""
        inner = next((one for one in self.inner if words and one.name == f"{self.name} {words[0]}"), None)
        if inner is not None:
            arguments = inner.arguments(words[1:])
            arguments.inner = words[0]
            return arguments
        if self.inner and words and words[0] not in _HELP:
            names = [one.name.rpartition(" ")[2] for one in self.inner]
            raise Misused(f"{not_among(words[0], names, f'flipbook {self.name} has')}\n{self.usage}")
        parser = Parser(self)
        if not self.inner:
            self.add_to(parser)
        return parser.parse_args(self._options_first(words))

    def _options_first(self, words: Sequence[str]) -> list[str]:
        """The same words with each option and its value in one (`--on=-2d`), and before all others."""
        known = {option.name: option for option in self.options}
        taken = {"--", *_HELP, *known}
        options: list[str] = []
        others: list[str] = []
        left = list(words)
        while left:
            word = left.pop(0)
            name, equals, _ = word.partition("=")
            option = known.get(name)
            if word == "--":
                others += left
                break
            if word in _HELP:
                return [word]
            if option is None:
                self._refuse_unknown(word, taken)
                others.append(word)
            elif equals or not option.value:
                options.append(word)
            elif left and left[0] not in taken and (option.alone is None or left[0].isdecimal()):
                options.append(f"{word}={left.pop(0)}")
            elif option.alone is not None:
                options.append(f"{word}={option.alone}")
            else:
                raise Misused(f"{word} wants a word behind it\n{self.usage}")
        return [*options, *(["--"] if any(word.startswith("-") for word in others) else []), *others]

    def _refuse_unknown(self, word: str, known: Iterable[str]) -> None:
        """A word with a dash before it is an option, but for a sum less than nothing and words in quotes."""
        if len(word) < 2 or word[0] != "-" or word[1].isdecimal() or " " in word:
            return
        near = get_close_matches(word.partition("=")[0], known, n=1)
        write = f"did you mean `{near[0]}`?" if near else "words that start with a dash go after `--`"
        raise Misused(f"unrecognized option `{shown(word)}`; {write}\n{self.usage}")


_HELP = ("-h", "--help")


class Parser(argparse.ArgumentParser):
    """A parser whose help is the page of its command, and whose refusals are told like any other misuse."""

    def __init__(self, command: Command, **_: object) -> None:
        super().__init__(prog="flipbook", allow_abbrev=False)
        self.command = command
        self.set_defaults(inner=None, usage=command.usage)

    def format_help(self) -> str:
        return self.command.page

    def error(self, message: str) -> NoReturn:
        raise Misused(f"{message}\n{self.command.usage}")


def add_commands(parser: argparse.ArgumentParser, commands: Iterable[Command]) -> None:
    """Put commands under a parser, for completion: a shell is offered all that may follow."""
    below = parser.add_subparsers(parser_class=Parser)
    for command in commands:
        command.add_to(below.add_parser(command.name.rpartition(" ")[2], command=command))


def not_among(word: str, names: Collection[str], where: str) -> str:
    """That a word is none of the names, and the nearest of them."""
    near = get_close_matches(word[:80], names, n=1)
    return f"{where} no `{shown(word)}`; " + (f"did you mean `{near[0]}`?" if near else f"it has {', '.join(names)}")


def _filled(forms: Sequence[str], lead: str) -> str:
    """Parts of a command's usage, none of them broken, on lines that fit."""
    lines, line = [], lead
    for form in forms:
        if len(line) + len(form) > WIDTH and line.strip() and line != lead:
            lines.append(line.rstrip())
            line = " " * len(lead)
        line += f"{form} "
    return "\n".join((*lines, line.rstrip()))


def _row(form: str, says: str, lead: int) -> str:
    """A word or an option, and what is said of it beside it."""
    indent = " " * (lead + 4)
    return textwrap.fill(
        says, WIDTH, initial_indent=f"  {form:{lead}}  ", subsequent_indent=indent, break_on_hyphens=False
    )
