"""Marketplace forms: the gross that a payer reported of a calendar year, held against what buyers paid through it.

The gross of such a form is before fees, refunds and the like (IRS, "What to do with Form 1099-K"), so nothing
is taken off here either; whether sales tax is in it differs from payer to payer (from memory), so both are shown.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.profile import MarketplaceForms
from flipbook.books.rulebook import NotPublished, rule
from flipbook.books.sales import Received
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import folded
from flipbook.shop.records.receipts import ReportedForm

DUTY_NOTE = (
    "A processor of payment cards has no such minimum, a state may have a lower one, "
    "and the income counts whether or not a form comes."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidThrough:
    """One payment by a buyer through an outlet, and the piece that it was for; `piece` is a folder."""

    piece: str
    title: str
    received: Received

    @property
    def amount(self) -> Decimal:
        """All that was paid, sales tax counted in."""
        return self.received.income + self.received.sales_tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """Whether a marketplace must report a year: only when its gross and its number are both over the rule's.

    `must_report` is None when that cannot be said: no figure is published for the year, or it turns on whether
    sales tax is in the gross.
    """

    must_report: bool | None
    says: str


@dataclass(slots=True, kw_only=True)
class SoldThrough:
    """What went through one outlet in one calendar year.

    `fees` (by the day of the sale) and `refunds` (by the day given back, sales tax included) are inside the gross
    and are never taken off it.
    """

    payments: list[PaidThrough] = field(default_factory=list)
    fees: Decimal = ZERO
    refunds: Decimal = ZERO


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletYear:
    """A calendar year of one outlet by the ledger, and the form that was reported of it, if one is written.

    `all_reported` are the grosses of every form of that outlet and year.
    """

    outlet: str
    year: int
    form: ReportedForm | None
    all_reported: tuple[Decimal, ...]
    through: SoldThrough
    rules: MarketplaceForms | None
    """The rules of the duty to report, None where the shop's tax rules have no such duty."""

    @property
    def payments(self) -> tuple[PaidThrough, ...]:
        """By day, then as they are written."""
        return tuple(sorted(self.through.payments, key=lambda paid: (paid.received.day, paid.received.place)))

    @property
    def fees(self) -> Decimal:
        return self.through.fees

    @property
    def refunds(self) -> Decimal:
        return self.through.refunds

    @property
    def for_piece(self) -> Decimal:
        return sum((payment.received.for_piece for payment in self.through.payments), ZERO)

    @property
    def delivery(self) -> Decimal:
        return sum((payment.received.delivery for payment in self.through.payments), ZERO)

    @property
    def sales_tax(self) -> Decimal:
        return sum((payment.received.sales_tax for payment in self.through.payments), ZERO)

    @property
    def duty(self) -> Duty | None:
        if self.rules is None:
            return None
        number = len(self.through.payments)
        return duty_to_report(self.rules, self.year, self.with_sales_tax, self.without_sales_tax, number)

    @property
    def without_sales_tax(self) -> Decimal:
        """The gross that the ledger expects when the payer leaves sales tax out."""
        return self.for_piece + self.delivery

    @property
    def with_sales_tax(self) -> Decimal:
        """The gross that the ledger expects when the payer counts sales tax in."""
        return self.without_sales_tax + self.sales_tax

    @property
    def difference_with(self) -> Decimal | None:
        """Reported less what buyers paid, sales tax counted in; None without a form."""
        return self.form.gross - self.with_sales_tax if self.form else None

    @property
    def difference_without(self) -> Decimal | None:
        """Reported less what buyers paid, sales tax left out; None without a form."""
        return self.form.gross - self.without_sales_tax if self.form else None

    @property
    def agrees(self) -> bool:
        """Whether the form says what the ledger says, with or without sales tax, to the cent."""
        return self.form is not None and ZERO in (self.difference_with, self.difference_without)

    @property
    def says(self) -> tuple[str, ...]:
        """What came of it, a sentence each."""
        if self.form is None:
            return (
                f"No form of {self.outlet} for {self.year} is written in receipts; "
                f"by the ledger buyers paid {_sum(self.with_sales_tax)} through it.",
            )
        sentences = (self._gross(self.form), self._looks_net(), self._number(self.form), self._several())
        return tuple(sentence for sentence in sentences if sentence)

    def _gross(self, form: ReportedForm) -> str:
        taxed, untaxed = form.gross - self.with_sales_tax, form.gross - self.without_sales_tax
        reported = f"The form reports {_sum(form.gross)}"
        tax = f" with the sales tax of {_sum(self.sales_tax)}" if self.sales_tax else ""
        for difference, how in ((taxed, "counted in"), (untaxed, "left out")):
            if difference == 0:
                return f"{reported}, which is what buyers paid by the ledger{tax and f'{tax} {how}'}."
        paid = f"{reported} and by the ledger buyers paid {_sum(self.with_sales_tax)}"
        if not tax:
            return f"{paid}: {_off(taxed)}."
        return f"{paid}{tax} counted in, {_off(taxed)}, or {_sum(self.without_sales_tax)} without it, {_off(untaxed)}."

    def _looks_net(self) -> str:
        """A difference that is the fees or refunds to the cent: then the figure is likely what was paid out."""
        if self.agrees:
            return ""
        for amount, what in (
            (self.fees, "the fees"),
            (self.refunds, "the refunds"),
            (self.fees + self.refunds, "the fees and refunds together"),
        ):
            if amount and -amount in (self.difference_with, self.difference_without):
                return (
                    f"It is less by {what}, {_sum(amount)}, to the cent: a gross figure is before those, "
                    "so look whether this one was copied from what was paid out."
                )
        return ""

    def _number(self, form: ReportedForm) -> str:
        number = len(self.payments)
        if form.payments is None or form.payments == number:
            return ""
        return f"The form counts {_many(form.payments)}, and the ledger {_many(number)}."

    def _several(self) -> str:
        if len(self.all_reported) < 2:
            return ""
        return (
            f"{len(self.all_reported)} forms of {self.outlet} are written for {self.year}; "
            f"together they report {_sum(sum(self.all_reported, ZERO))}."
        )


def outlet_years(facts: Facts, sheets: Iterable[CostSheet], of: MarketplaceForms | None) -> tuple[OutletYear, ...]:
    """Every form, and every calendar year of an outlet through which buyers paid and that has no form.

    By year, then outlet, then as the forms are written. `of` names the rules of the duty to report, where there is one.
    """
    through = _through(sheets)
    forms: dict[tuple[int, str], list[ReportedForm]] = defaultdict(list)
    for _, content in facts.receipts:
        for form in content.forms:
            forms[form.year, folded(form.from_)].append(form)
    paid = {key for key, gathered in through.items() if gathered.payments}
    return tuple(
        OutletYear(
            outlet=outlet,
            year=year,
            form=form,
            all_reported=tuple(one.gross for one in forms.get((year, outlet), ())),
            through=through.get((year, outlet), SoldThrough()),
            rules=of,
        )
        for year, outlet in sorted(paid.union(forms))
        for form in forms.get((year, outlet), (None,))
    )


def _through(sheets: Iterable[CostSheet]) -> Mapping[tuple[int, str], SoldThrough]:
    """What went through each outlet in each calendar year.

    A payment belongs to the year of its own day, a deposit included, whenever the sale was.
    """
    through: dict[tuple[int, str], SoldThrough] = defaultdict(SoldThrough)
    for sheet in sheets:
        for sold in sheet.sales:
            if sold.sale.at is None:
                continue
            outlet = folded(sold.sale.at)
            title = sheet.filed.piece.piece
            for received in sold.received:
                if received.income or received.sales_tax:
                    payment = PaidThrough(piece=sheet.folder, title=title, received=received)
                    through[received.day.year, outlet].payments.append(payment)
            through[sold.sale.on.year, outlet].fees += sold.fees
            for back in sold.refunds:
                through[back.day.year, outlet].refunds += back.amount
    return through


def duty_to_report(
    of: MarketplaceForms, year: int, with_sales_tax: Decimal, without_sales_tax: Decimal, number: int
) -> Duty:
    """Whether a marketplace or payment app must report a calendar year (26 USC 6050W(e)).

    Both its gross, in dollars, and its number of payments must be over the year's figure; either one exactly on
    it is not over.
    """
    last = date(year, 12, 31)
    try:
        gross_over, number_over = (rule(name).figure_on(last) for name in (of.gross, of.number))
    except NotPublished as fault:
        says = f"{fault.says[0].upper()}{fault.says[1:]}. {DUTY_NOTE}"
        return Duty(must_report=None, says=says)
    over = [gross > gross_over.value and number > number_over.value for gross in (with_sales_tax, without_sales_tax)]
    past = f"over {_sum(gross_over.value)}" + (
        f" and over {_many(int(number_over.value))}" if number_over.value else ", whatever the number of payments"
    )
    counted = f"By the ledger {_sum(with_sales_tax)} in {_many(number)}"
    if over[0] and over[1]:
        says = f"{counted} is past the figures of {year} at which a marketplace or payment app must report: {past}."
    elif over[0] or over[1]:
        says = (
            f"{counted}, or {_sum(without_sales_tax)} without sales tax: whether a marketplace or payment app "
            f"must report {year} turns on whether it counts sales tax in; it must when it is {past}."
        )
    else:
        says = (
            f"{counted} is not past the figures of {year} at which a marketplace or payment app must report ({past}); "
            "it may report all the same."
        )
    return Duty(must_report=over[0] if over[0] == over[1] else None, says=f"{says} {DUTY_NOTE}")


def _sum(amount: Decimal) -> str:
    return f"{amount:,.2f}"


def _off(difference: Decimal) -> str:
    return f"{_sum(abs(difference))} {'more' if difference > 0 else 'less'} on the form"


def _many(number: int) -> str:
    return f"{number:,} payment{'' if number == 1 else 's'}"
