"""The command line: which command is meant, and how it ended; each command is a file of this folder."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from flipbook import __version__
from flipbook.cli.commands import COMMANDS, whole_page
from flipbook.cli.ending import DONE, MISUSED, PROBLEMS, STOPPED, Ended, Misused, reason
from flipbook.cli.table import add_commands, not_among

USAGE = "flipbook COMMAND; `flipbook --help` shows them all"


def parser() -> argparse.ArgumentParser:
    """The parser of every command, for completion."""
    whole = argparse.ArgumentParser(prog="flipbook", allow_abbrev=False)
    whole.add_argument("--version", action="store_true")
    add_commands(whole, COMMANDS.values())
    return whole


def main(words: Sequence[str] | None = None) -> int:
    """Carry out one command and say how it ended."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        if "_ARGCOMPLETE" in os.environ:
            import_module("flipbook.entry.completing").complete(parser())
        ended = _carry_out(list(sys.argv[1:] if words is None else words))
        sys.stdout.flush()
        return ended
    except SystemExit:  # help was asked for, and shown
        return _closed(DONE)
    except Ended as told:
        return _closed(told.status)
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
        return STOPPED


def _carry_out(words: list[str]) -> int:
    if not words:
        raise Misused(f"a command is required\n{USAGE}")
    if words[0] in ("-h", "--help", "--version"):
        sys.stdout.write(f"flipbook {__version__}\n" if words[0] == "--version" else whole_page())
        return DONE
    if words[0] not in COMMANDS:
        raise Misused(f"{not_among(words[0], COMMANDS, 'there is')}\n{USAGE}")
    arguments = COMMANDS[words[0]].arguments(words[1:])
    ended: int = import_module(f"flipbook.cli.{words[0]}").carry_out(arguments)
    return ended


def _closed(ended: int) -> int:
    """End with nothing left to say: a reader that went away, or a full disk, is not written to again."""
    try:
        sys.stdout.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return ended
