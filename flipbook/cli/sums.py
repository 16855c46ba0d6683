"""`flipbook sums`: the workshop's sums."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module

from flipbook.cli.ending import DONE
from flipbook.sums.words import SUMS

_LIST = """\
  mix         parts to volumes and back; a past mix made larger or smaller
  coats       how large a piece is to the brush, and how much paint that takes
  grits       a ladder of grits, by the size of their grains
  drying      a timetable of the steps that are left, and a calendar file
  trim        a cut list of mitred trim, and how it lies in sticks
  panels      how pieces lie on a roll or a sheet
  holes       where the holes of pulls go, and a drilling template
  movement    how much wood swells or shrinks
  fasteners   which nail holds; which drill a screw wants
  cautions    what a piece calls for caution about, and whose word that is
"""

PAGE = f"""\
flipbook sums [SUM] [WORDS...] [--piece PIECE] [--jot] [--json] [--shop DIR]

The workshop's sums, each with its working; without a SUM, this list of them:

{_LIST}
  flipbook sums mix fog grey paint 1, water 2 --makes "12 fl oz"
  flipbook sums coats --piece washstand --product "fog grey paint" --coats 2

With --piece a sum reads the piece's size, its log and the shelf; --jot writes
the answer into its log, as each sum's page says. `flipbook sums SUM --help`
says more of one. Amounts are US ones: `oz` is a weight, `fl oz` a volume.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    sums = parser.add_subparsers(dest="sum", metavar="SUM", parser_class=type(parser))
    for name, one in SUMS.items():
        of_sum = sums.add_parser(name, page=one.page, allow_abbrev=False)
        one.take_words(of_sum)
        of_sum.add_argument("--piece", metavar="PIECE")
        of_sum.add_argument("--shop", metavar="DIR")
        of_sum.add_argument("--json", action="store_true")
        of_sum.add_argument("--jot", action="store_true")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    if arguments.sum is None:
        sys.stdout.write(f"{_LIST}\nSay `flipbook sums SUM --help` for more about one of them.\n")
        return DONE
    from flipbook.sums.answer import carry_out_sum

    one = SUMS[arguments.sum]
    sum_of = getattr(import_module(one.module), one.function)
    for name, usual in (("measured", "outside"), ("paper", "letter")):
        if getattr(arguments, name, "") is None:
            setattr(arguments, name, usual)
    return carry_out_sum(sum_of, arguments, one.page)
