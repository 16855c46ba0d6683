"""`flipbook year`: a tax year on the terminal, its seal, and the folder for the preparer."""

from __future__ import annotations

import argparse

from flipbook.cli.table import JSON, SHOP, Command, Option, Slot

COMMAND = Command(
    name="year",
    says="the totals of a tax year",
    words=(Slot("YEAR"),),
    options=(
        Option("--wages MONEY", "what other work paid that bore social security tax already"),
        Option("--pack FILE", "writes the year for the preparer into a new zip file"),
        Option("--seal", "keeps the figures of a year that has been filed"),
        Option("--unseal", "opens the year again"),
        Option("--because WHY", "why it is opened"),
        JSON,
        SHOP,
    ),
    about="""\
Shows the totals of one tax year: income, cost of goods sold, expenses by kind and profit.
A tax year is named after the calendar year in which it starts. It is a record for the
person who files and whoever prepares the return; it is not tax advice.

Under `rules: us` an estimate of self-employment tax follows, and the days on which estimated
tax falls due; --wages counts in it.

With --pack FILE.zip, writes the year's tables, their pages and every scan behind them into
one file for whoever prepares the return. A file that is there already is left as it is.

With --seal, keeps the figures of a year that has been filed in years/YEAR.yaml. From then on
`check` and `compile` refuse any change to them and show the line that made it. With --unseal,
opens the year again; the reason is kept, and asked for when it is not given.
""",
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.cli.tax_year import show_tax_year

    return show_tax_year(arguments)
