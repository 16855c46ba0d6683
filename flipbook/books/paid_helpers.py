"""Helpers paid: contract labour by party and calendar year, and whether a form to them may be due."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from flipbook.books.ledger import Movement
from flipbook.books.rulebook import NotPublished, rule
from flipbook.books.terms import RowKind
from flipbook.measures.rounding import ZERO
from flipbook.shop.nearest import folded

HELPERS_NOTE = (
    "Counted is what was paid as `contract-labour`, by the day it was paid. Most companies, and what was paid by "
    "card or through a payment app, are left out of such forms."  # both from memory
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HelperPaid:
    """What one party was paid as contract labour in one calendar year, in the shop's currency.

    `paid` is before `got_back`, so that a remark is rather made once too often. `remark` is empty when nothing is
    to be said; `may_be_due` is None where the shop's tax rules have no such form or no figure is published.
    """

    party: str
    year: int
    paid: Decimal
    got_back: Decimal
    rows: tuple[Movement, ...]
    at_or_over: Decimal | None
    source: str
    may_be_due: bool | None
    remark: str


def helpers_paid(ledger: Iterable[Movement], threshold: str) -> tuple[HelperPaid, ...]:
    """Each party paid as contract labour, by calendar year and then name.

    `threshold` names the rule of the sum at which a form to them may be due; empty where there is no such form.
    A party is one whatever the case and spacing of its name, and is shown as it was written first.
    """
    by_party: dict[tuple[int, str], list[Movement]] = defaultdict(list)
    for row in ledger:
        if row.kind is RowKind.CONTRACT_LABOUR:
            by_party[row.day.year, folded(row.party)].append(row)
    return tuple(_helper(year, rows, threshold) for (year, _), rows in sorted(by_party.items()))


def _helper(year: int, rows: list[Movement], threshold: str) -> HelperPaid:
    paid = sum((row.money_out for row in rows), ZERO)
    got_back = sum((row.money_in for row in rows), ZERO)
    party = rows[0].party
    at_or_over: Decimal | None = None
    source = remark = ""
    may_be_due: bool | None = None
    if threshold:
        try:
            # The figure of the year of payment (26 USC 6041(a)), whatever year the work was done in.
            figure = rule(threshold).figure_on(max(row.day for row in rows))
        except NotPublished as fault:
            remark = f"{fault.says}; {fault.write}"
        else:
            at_or_over, source = figure.value, figure.source
            may_be_due = paid >= at_or_over
            if may_be_due:
                back = f", of which {got_back:,.2f} came back" if got_back else ""
                remark = (
                    f"{party} was paid {paid:,.2f} in {year}{back}: at or over {at_or_over:,.2f}, "
                    "so a form to them and the tax office may be due."
                )
    return HelperPaid(
        party=party,
        year=year,
        paid=paid,
        got_back=got_back,
        rows=tuple(rows),
        at_or_over=at_or_over,
        source=source,
        may_be_due=may_be_due,
        remark=remark,
    )
