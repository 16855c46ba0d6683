"""Marketplace forms: the gross that a payer reported of a calendar year, held against what buyers paid through it.

The gross of such a form is before fees, refunds and the like (IRS, "What to do with Form 1099-K"), so nothing
is taken off here either; whether sales tax is in it differs from payer to payer (from memory), so both are shown.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.profile import MarketplaceForms
from flipbook.books.rulebook import NotPublished, rule
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place
from flipbook.shop.records.receipts import ReportedForm

DUTY_NOTE = (
    "A processor of payment cards has no such minimum, a state may have a lower one, "
    "and the income counts whether or not a form comes."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidThrough:
    """One payment by a buyer through an outlet, split as the ledger splits it; `piece` is a folder."""

    day: date
    piece: str
    title: str
    for_piece: Decimal
    delivery: Decimal
    sales_tax: Decimal
    is_deposit: bool
    place: Place

    @property
    def amount(self) -> Decimal:
        """All that was paid, sales tax counted in."""
        return self.for_piece + self.delivery + self.sales_tax


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthHeld:
    """One month of a form that was split by month, against the ledger; `month` is 1 to 12."""

    month: int
    reported: Decimal
    with_sales_tax: Decimal
    without_sales_tax: Decimal

    @property
    def difference_with(self) -> Decimal:
        """Reported less what buyers paid, sales tax counted in."""
        return self.reported - self.with_sales_tax

    @property
    def difference_without(self) -> Decimal:
        """Reported less what buyers paid, sales tax left out."""
        return self.reported - self.without_sales_tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """Whether a marketplace must report a year: only when its gross and its number are both over the rule's.

    `must_report` is None when that cannot be said: no figure is published for the year, or it turns on whether
    sales tax is in the gross. `gross_over` and `number_over` are dollars and payments, None when not published.
    """

    must_report: bool | None
    gross_over: Decimal | None
    number_over: Decimal | None
    says: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletYear:
    """A calendar year of one outlet by the ledger, and the form that was reported of it, if one is written.

    `fees` (by the day of the sale) and `refunds` (by the day given back, sales tax included) are inside the gross
    and are never taken off it. `all_reported` is the gross of every form of that outlet and year together.
    `duty` is None where the shop's tax rules have no such duty.
    """

    outlet: str
    year: int
    form: ReportedForm | None
    number_of_forms: int
    all_reported: Decimal
    payments: tuple[PaidThrough, ...]
    fees: Decimal
    refunds: Decimal
    months: tuple[MonthHeld, ...]
    duty: Duty | None

    @property
    def for_piece(self) -> Decimal:
        return sum((payment.for_piece for payment in self.payments), ZERO)

    @property
    def delivery(self) -> Decimal:
        return sum((payment.delivery for payment in self.payments), ZERO)

    @property
    def sales_tax(self) -> Decimal:
        return sum((payment.sales_tax for payment in self.payments), ZERO)

    @property
    def number_of_payments(self) -> int:
        return len(self.payments)

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
        sentences = (self._gross(self.form), self._looks_net(self.form), self._number(self.form), self._several())
        return tuple(sentence for sentence in sentences if sentence)

    def _gross(self, form: ReportedForm) -> str:
        how = f"the sales tax of {_sum(self.sales_tax)}"
        reported = f"The form reports {_sum(form.gross)}"
        if not self.sales_tax:
            if self.difference_with == 0:
                return f"{reported}, which is what buyers paid by the ledger."
            return (
                f"{reported} and by the ledger buyers paid {_sum(self.with_sales_tax)}: {_off(self.difference_with)}."
            )
        if self.difference_with == 0:
            return f"{reported}, which is what buyers paid by the ledger with {how} counted in."
        if self.difference_without == 0:
            return f"{reported}, which is what buyers paid by the ledger with {how} left out."
        return (
            f"{reported} and by the ledger buyers paid {_sum(self.with_sales_tax)} with {how} counted in, "
            f"{_off(self.difference_with)}, or {_sum(self.without_sales_tax)} without it, {_off(self.difference_without)}."
        )

    def _looks_net(self, form: ReportedForm) -> str:
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
        if form.payments is None or form.payments == self.number_of_payments:
            return ""
        return f"The form counts {_many(form.payments)}, and the ledger {_many(self.number_of_payments)}."

    def _several(self) -> str:
        if self.number_of_forms < 2:
            return ""
        return (
            f"{self.number_of_forms} forms of {self.outlet} are written for {self.year}; "
            f"together they report {_sum(self.all_reported)}."
        )


@dataclass(slots=True)
class _Through:
    """What went through one outlet in one calendar year, while it is gathered."""

    payments: list[PaidThrough] = field(default_factory=list)
    fees: Decimal = ZERO
    refunds: Decimal = ZERO


def outlet_years(facts: Facts, sheets: Iterable[CostSheet], of: MarketplaceForms | None) -> tuple[OutletYear, ...]:
    """Every form, and every calendar year of an outlet through which buyers paid and that has no form.

    By year, then outlet, then as the forms are written. `of` names the rules of the duty to report, where there is one.
    """
    gathered = _gathered(sheets)
    forms: dict[tuple[int, str], list[ReportedForm]] = defaultdict(list)
    for _, content in facts.receipts:
        for form in content.forms:
            forms[form.year, folded(form.from_)].append(form)
    paid = {key for key, through in gathered.items() if through.payments}
    return tuple(
        _held(key, form, forms.get(key, []), gathered, of)
        for key in sorted(paid.union(forms))
        for form in forms.get(key, (None,))
    )


def _gathered(sheets: Iterable[CostSheet]) -> Mapping[tuple[int, str], _Through]:
    """What went through each outlet in each calendar year.

    A payment belongs to the year of its own day, a deposit included, whenever the sale was.
    """
    through: dict[tuple[int, str], _Through] = defaultdict(_Through)
    for sheet in sheets:
        for sold in sheet.sales:
            if sold.sale.at is None:
                continue
            outlet = folded(sold.sale.at)
            for received in sold.received:
                payment = PaidThrough(
                    day=received.day,
                    piece=sheet.folder,
                    title=sheet.filed.piece.piece,
                    for_piece=received.for_piece,
                    delivery=received.delivery,
                    sales_tax=received.sales_tax,
                    is_deposit=received.is_deposit,
                    place=received.place,
                )
                if payment.amount:
                    through[received.day.year, outlet].payments.append(payment)
            through[sold.sale.on.year, outlet].fees += sold.fees
            for back in sold.refunds:
                through[back.day.year, outlet].refunds += back.amount
    return through


def _held(
    key: tuple[int, str],
    form: ReportedForm | None,
    forms: Sequence[ReportedForm],
    gathered: Mapping[tuple[int, str], _Through],
    of: MarketplaceForms | None,
) -> OutletYear:
    year, outlet = key
    through = gathered.get(key, _Through())
    payments = tuple(sorted(through.payments, key=lambda payment: (payment.day, payment.place)))
    with_tax = sum((payment.amount for payment in payments), ZERO)
    tax = sum((payment.sales_tax for payment in payments), ZERO)
    return OutletYear(
        outlet=outlet,
        year=year,
        form=form,
        number_of_forms=len(forms),
        all_reported=sum((one.gross for one in forms), ZERO),
        payments=payments,
        fees=through.fees,
        refunds=through.refunds,
        months=_months(form, payments) if form else (),
        duty=duty_to_report(of, year, with_tax, with_tax - tax, len(payments)) if of else None,
    )


def _months(form: ReportedForm, payments: Iterable[PaidThrough]) -> tuple[MonthHeld, ...]:
    with_tax = [ZERO] * 12
    without = [ZERO] * 12
    for payment in payments:
        with_tax[payment.day.month - 1] += payment.amount
        without[payment.day.month - 1] += payment.amount - payment.sales_tax
    return tuple(
        MonthHeld(month=number, reported=reported, with_sales_tax=taxed, without_sales_tax=untaxed)
        for number, (reported, taxed, untaxed) in enumerate(zip(form.by_month, with_tax, without, strict=False), 1)
    )


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
        return Duty(must_report=None, gross_over=None, number_over=None, says=says)
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
    return Duty(
        must_report=over[0] if over[0] == over[1] else None,
        gross_over=gross_over.value,
        number_over=number_over.value,
        says=f"{says} {DUTY_NOTE}",
        sources=tuple(dict.fromkeys((gross_over.source, number_over.source))),
    )


def _sum(amount: Decimal) -> str:
    return f"{amount:,.2f}"


def _off(difference: Decimal | None) -> str:
    assert difference is not None
    return f"{_sum(abs(difference))} {'more' if difference > 0 else 'less'} on the form"


def _many(number: int) -> str:
    return f"{number:,} payment{'' if number == 1 else 's'}"
