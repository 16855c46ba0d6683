"""`flipbook sums`: the workshop's sums."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module

from flipbook.cli.commands import SUMS_LIST
from flipbook.cli.ending import DONE
from flipbook.sums.told import carry_out_sum
from flipbook.sums.words import ANSWERED_BY


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    if arguments.inner is None:
        sys.stdout.write(f"{SUMS_LIST}\n\nSay `flipbook sums SUM --help` for more about one of them.\n")
        return DONE
    module, function = ANSWERED_BY[arguments.inner]
    return carry_out_sum(getattr(import_module(module), function), arguments, arguments.usage)
