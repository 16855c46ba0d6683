"""The command line: which command is meant, and how it ended; each command is a file of `commands/`."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module
from types import ModuleType
from typing import Any, NoReturn

from flipbook import __version__
from flipbook.cli.ending import DONE, MISUSED, PROBLEMS, Misused, reason
from flipbook.measures.unreadable import shown

COMMANDS = (
    "compile",
    "check",
    "watch",
    "bench",
    "begin",
    "jot",
    "spend",
    "ask",
    "offer",
    "sell",
    "price",
    "year",
    "find",
    "history",
    "again",
    "sums",
    "complete",
)
"""Every command, by the name of its module."""

_HELP = """\
flipbook keeps the books of a furniture refinisher from plain text files: a folder for
each piece, a YAML log in it, and one command that makes a ledger, the totals of each tax
year and a page for buyers.

  flipbook compile [SHOP] [--out DIR]   make everything: books for you, pages for buyers
  flipbook check [SHOP]                 read and reckon, write nothing
  flipbook watch [SHOP] [--show PORT]   make everything again whenever a file is saved
  flipbook bench [SHOP]                 what is drying, what comes next, what is for sale
  flipbook begin "TITLE"                start a new piece: a folder, ready to write in
  flipbook jot PIECE WORDS...           what was done, into the piece's log
  flipbook spend WHAT... --cost MONEY   a receipt, for a piece, the shelf or the shop
  flipbook ask PIECE PRICE              the price that is asked from today on
  flipbook offer PIECE PRICE            what somebody offered, and the answer
  flipbook sell PIECE PRICE             the sale, and what it leaves
  flipbook price PIECE [OFFER]          floor, break-even, what an offer would leave
  flipbook year YEAR                    the totals of a tax year
  flipbook find WORDS...                words found again in all that was written down
  flipbook history PIECE                a piece's job through its git history
  flipbook again PAST NEW [WORDS...]    a past mix or schedule planned for another piece
  flipbook sums [SUM]                   the workshop's sums: mixes, coats, grits, trim, holes
  flipbook complete [SHELL]             the tab key completes words, once this is set up

SHOP is the folder that holds shop.yaml. Left out, it is the folder you are in or the
nearest one above it. Commands that take other words take it as --shop DIR.

Say `flipbook COMMAND --help` for more about one of them. A command ends with 0 when it
is done, 1 when the files have problems (all of them are shown, and nothing is written),
and 2 when it was not understood.
"""


class _Parser(argparse.ArgumentParser):
    """A parser whose help is a page written by hand."""

    def __init__(self, *args: Any, page: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.page = page

    def format_help(self) -> str:
        return self.page

    def format_usage(self) -> str:
        usage = self.page.partition("\n\n")[0].rstrip()
        return usage if "keeps the books" not in usage else "flipbook COMMAND; `flipbook --help` shows them all"

    def error(self, message: str) -> NoReturn:
        sys.stderr.write(f"flipbook: {message}\n{self.format_usage()}\n")
        raise SystemExit(MISUSED)


class _Command(_Parser):
    """The parser of one command; its options may stand before, between and after its other words."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        words = sys.argv[1:] if args is None else list(args)
        return super().parse_known_args(words if _is_completing() else self._options_first(words), namespace)

    def _options_first(self, words: list[str]) -> list[str]:
        """The same words with each option and its value in one (`--on=-2d`), and before all others."""
        if any(
            a.nargs not in (None, 0, "?") and (a.option_strings or a.nargs not in ("*", "+")) for a in self._actions
        ):
            return words
        options, others, number = [], [], 0
        while number < len(words):
            word, number = words[number], number + 1
            if word == "--":
                others += words[number:]
                break
            name, equals, _ = word.partition("=")
            action = self._option_string_actions.get(name)
            if action is None:
                self._refuse_unknown(word)
                others.append(word)
            elif equals or action.nargs == 0:
                options.append(word)
            elif not self._is_value(action, words[number : number + 1]):
                if action.const is None:
                    self.error(f"{word} wants a word behind it")
                options.append(f"{word}={action.const}")
            else:
                options.append(f"{word}={words[number]}")
                number += 1
        return [*options, *(["--"] if any(word.startswith("-") for word in others) else []), *others]

    def _is_value(self, action: argparse.Action, word: list[str]) -> bool:
        """Whether the word that follows an option is its value; one that need not have a value takes a number."""
        if not word or word[0] == "--" or word[0] in self._option_string_actions:
            return False
        return action.nargs is None or word[0].isdecimal()

    def _refuse_unknown(self, word: str) -> None:
        """A word with a dash before it is an option, but for a sum less than nothing and words in quotes."""
        if len(word) < 2 or word[0] != "-" or word[1].isdecimal() or " " in word:
            return
        near = get_close_matches(word.partition("=")[0], self._option_string_actions, n=1)
        write = f"did you mean `{near[0]}`" if near else "words that start with a dash go after `--`"
        self.error(f"unrecognized option `{shown(word)}`; {write}{'?' if near else ''}")


def _is_completing() -> bool:
    """Whether a shell asks what may follow, and not for a command to be carried out."""
    return "_ARGCOMPLETE" in os.environ


def _module(command: str) -> ModuleType:
    return import_module(f"flipbook.cli.{command}")


def parser(only: str | None = None) -> argparse.ArgumentParser:
    """The parser of every command, or of `only` one: then no other is loaded."""
    whole = _Parser(prog="flipbook", page=_HELP, allow_abbrev=False)
    whole.add_argument("--version", action="version", version=f"flipbook {__version__}")
    commands = whole.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Command)
    for command in COMMANDS if only is None else (only,):
        module = _module(command)
        module.take_words(commands.add_parser(command, page=module.PAGE, allow_abbrev=False))
    return whole


def main(words: Sequence[str] | None = None) -> int:
    """Carry out one command and say how it ended."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        given = sys.argv[1:] if words is None else words
        named = given[0] if given and given[0] in COMMANDS and not _is_completing() else None
        whole = parser(named)
        if _is_completing():
            import_module("flipbook.entry.completing").complete(whole)
        arguments = whole.parse_args(words)
    except SystemExit as said:
        return _closed(said.code)
    try:
        ended: int = _module(arguments.command).carry_out(arguments)
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
