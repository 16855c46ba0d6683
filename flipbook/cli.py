"""The command line: which command is meant, and how it ended; each command is a file of `commands/`."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from types import ModuleType
from typing import Any, NoReturn

from flipbook import __version__
from flipbook.ending import DONE, MISUSED, PROBLEMS, Misused, reason

COMMANDS = ("compile", "check", "begin", "year")
"""Every command, by the name of its module."""

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


def _module(command: str) -> ModuleType:
    return import_module(f"flipbook.commands.{command}")


def parser() -> argparse.ArgumentParser:
    """The parser of every command."""
    whole = _Parser(prog="flipbook", page=_HELP, allow_abbrev=False)
    whole.add_argument("--version", action="version", version=f"flipbook {__version__}")
    commands = whole.add_subparsers(dest="command", metavar="COMMAND", required=True, parser_class=_Parser)
    for command in COMMANDS:
        module = _module(command)
        module.take_words(commands.add_parser(command, page=module.PAGE, allow_abbrev=False))
    return whole


def main(words: Sequence[str] | None = None) -> int:
    """Carry out one command and say how it ended."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        arguments = parser().parse_args(words)
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
