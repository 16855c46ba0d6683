"""`flipbook year`: a tax year on the terminal, its seal, and the folder for the preparer."""

from __future__ import annotations

import argparse

PAGE = """\
flipbook year YEAR [--shop DIR] [--wages MONEY] [--json] [--pack FILE.zip]

Shows the totals of one tax year: income, cost of goods sold, expenses by kind and profit.
A tax year is named after the calendar year in which it starts. It is a record for the
person who files and whoever prepares the return; it is not tax advice.

Under `rules: us` an estimate of self-employment tax follows, and the days on which estimated
tax falls due; --wages MONEY says what other work paid that bore social security tax already.

With --pack FILE.zip, writes the year's tables, their pages and every scan behind them into
one file for whoever prepares the return. A file that is there already is left as it is.

flipbook year YEAR --seal
flipbook year YEAR --unseal [--because "WHY"]

With --seal, keeps the figures of a year that has been filed in years/YEAR.yaml. From then on
`check` and `compile` refuse any change to them and show the line that made it. With --unseal,
opens the year again; the reason is kept, and asked for when it is not given.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("year", metavar="YEAR")
    parser.add_argument("--shop", metavar="DIR")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--wages", metavar="MONEY")
    parser.add_argument("--pack", metavar="FILE")
    parser.add_argument("--seal", action="store_true")
    parser.add_argument("--unseal", action="store_true")
    parser.add_argument("--because", metavar="WHY")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.cli.tax_year import show_tax_year

    return show_tax_year(arguments)
