"""`flipbook sums`: the workshop's sums."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module

from flipbook.cli.ending import DONE
from flipbook.cli.table import Command
from flipbook.sums.words import ANSWERED_BY, SUMS

_LIST = "\n".join(f"  {name:12}{one.says}" for name, one in SUMS.items())

COMMAND = Command(
    name="sums",
    says="the workshop's sums: mixes, coats, grits, trim, holes",
    also=("[SUM] [WORDS...] [--piece PIECE] [--jot] [--json] [--shop DIR]",),
    about=f"""\
The workshop's sums, each with its working; without a SUM, this list of them:

{_LIST}
""",
    examples="""\
  flipbook sums mix black milk paint 3, water 1 --makes "8 fl oz"
  flipbook sums coats --piece rocker --product "black milk paint" --coats 2
""",
    after="""\
With --piece a sum reads the piece's size, its log and the shelf; --jot writes
the answer into its log, as each sum's page says. `flipbook sums SUM --help`
says more of one. Amounts are US ones: `oz` is a weight, `fl oz` a volume.
""",
    inner=tuple(SUMS.values()),
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    if arguments.inner is None:
        sys.stdout.write(f"{_LIST}\n\nSay `flipbook sums SUM --help` for more about one of them.\n")
        return DONE
    from flipbook.sums.told import carry_out_sum

    module, function = ANSWERED_BY[arguments.inner]
    return carry_out_sum(getattr(import_module(module), function), arguments, SUMS[arguments.inner].usage)
