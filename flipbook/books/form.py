"""A tax year's lines: a profile's form filled from the year's flows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from flipbook.books.flow import Flow
from flipbook.books.flows import Flows
from flipbook.books.profile import FormLine, Profile, Signed
from flipbook.books.years import TaxYear
from flipbook.measures.rounding import ZERO, half_up


@dataclass(frozen=True, slots=True, kw_only=True)
class YearLine:
    """One line of a year: what the form calls it, the amount to the cent, and the flows or lines it is the sum of."""

    form: str
    key: str
    line: str
    caption: str
    amount: Decimal
    is_total: bool = False
    flows: tuple[Flow, ...] = ()
    working: str = ""
    """For a line made of lines: `1 - 2`."""

    @property
    def whole(self) -> Decimal:
        """The amount to the whole unit of money, half up after adding."""
        return half_up(self.amount, 0)


def filled(profile: Profile, year: TaxYear, flows: Flows) -> tuple[YearLine, ...]:
    """The lines of a year in the order of the form; lines with nothing are left out, totals are not."""
    return tuple(_Form(profile, year, flows).lines())


class _Form:
    """A form while it is filled: a line's amount may need one that stands below it."""

    def __init__(self, profile: Profile, year: TaxYear, flows: Flows) -> None:
        self.profile = profile
        self.year = year
        self.flows = flows
        self.by_key = {line.key: line for line in profile.lines}
        self.known: dict[str, Decimal] = {}
        self.sums = {term: sum((flow.amount for flow in of_term), ZERO) for term, of_term in flows.items()}

    def lines(self) -> Iterator[YearLine]:
        for line in self.profile.lines:
            amount = self.amount(line.key)
            if line.is_itemised:
                for part in line.terms:
                    yield from self.item(line, part)
            if amount or line.is_total:
                under = amount < 0
                yield YearLine(
                    form=self.profile.form,
                    key=line.key,
                    line=(under and line.label_under_nothing) or line.label(self.year.name),
                    caption=(under and line.caption_under_nothing) or line.caption,
                    amount=amount,
                    is_total=line.is_total,
                    flows=tuple(flow for part in line.terms for flow in self.flows_of(part)),
                    working=self.working(line),
                )

    def item(self, line: FormLine, part: Signed) -> Iterator[YearLine]:
        amount = self.sum_of(part)
        if amount:
            yield YearLine(
                form=self.profile.form,
                key=f"{line.key}-{part.term}",
                line=line.label(self.year.name),
                caption=part.term.replace("-", " "),
                amount=amount,
                flows=self.flows_of(part),
            )

    def flows_of(self, part: Signed) -> tuple[Flow, ...]:
        """The flows under a term, with their sign turned where it is taken off."""
        flows = self.flows.get(part.term, ())
        return tuple(flows) if part.sign > 0 else tuple(replace(flow, amount=-flow.amount) for flow in flows)

    def sum_of(self, part: Signed) -> Decimal:
        """What the flows under a term add to a line."""
        return part.sign * self.sums.get(part.term, ZERO)

    def amount(self, key: str) -> Decimal:
        if key not in self.known:
            line = self.by_key[key]
            amount = sum((self.sum_of(part) for part in line.terms), ZERO)
            amount += sum((self.amount(other) for other in line.plus), ZERO)
            amount -= sum((self.amount(other) for other in line.less), ZERO)
            if line.not_over:
                amount = max(ZERO, min(amount, self.amount(line.not_over)))
            self.known[key] = amount
        return self.known[key]

    def working(self, line: FormLine) -> str:
        """How a line is made of others, by their labels; a long sum names its ends."""
        plus = [self.by_key[key].label(self.year.name) or self.by_key[key].caption for key in line.plus]
        less = [self.by_key[key].label(self.year.name) or self.by_key[key].caption for key in line.less]
        added = f"{plus[0]} to {plus[-1]}" if len(plus) > 4 else " + ".join(plus)
        return " − ".join([added, *less]) if added else ""
