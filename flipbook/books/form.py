"""A tax year's lines: a profile's form filled from the year's flows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from flipbook.books.flow import Flow
from flipbook.books.flows import Flows
from flipbook.books.rulebook import FormLine, Profile
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
                for term in line.terms:
                    yield from self.item(line, term)
            if amount or line.is_total:
                under = amount < 0
                yield YearLine(
                    form=self.profile.form,
                    key=line.key,
                    line=(under and line.label_under_nothing) or line.label(self.year.name),
                    caption=(under and line.caption_under_nothing) or line.caption,
                    amount=amount,
                    is_total=line.is_total,
                    flows=tuple(flow for term in line.terms for flow in self.of_term(term)),
                    working=self.working(line),
                )

    def item(self, line: FormLine, term: str) -> Iterator[YearLine]:
        flows = self.of_term(term)
        amount = self.sum_of(term)
        if amount:
            caption = term.removeprefix("-").replace("-", " ")
            yield YearLine(
                form=self.profile.form,
                key=f"{line.key}-{term}",
                line=line.label(self.year.name),
                caption=caption,
                amount=amount,
                flows=tuple(flows),
            )

    def of_term(self, term: str) -> list[Flow]:
        """The flows under a term; a minus before it turns their sign."""
        if term.startswith("-"):
            return [Flow(f.term, f.day, f.piece, f.what, -f.amount, f.place) for f in self.flows.get(term[1:], ())]
        return list(self.flows.get(term, ()))

    def sum_of(self, term: str) -> Decimal:
        """What the flows under a term come to; a minus before it turns the sign."""
        return -self.sums.get(term[1:], ZERO) if term.startswith("-") else self.sums.get(term, ZERO)

    def amount(self, key: str) -> Decimal:
        if key not in self.known:
            line = self.by_key[key]
            amount = sum((self.sum_of(term) for term in line.terms), ZERO)
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
