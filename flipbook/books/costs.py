"""Cost sheets: what each piece cost, line by line, and what it earned."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from operator import attrgetter

from flipbook.books.driving import Driven
from flipbook.books.landed import LandedPart
from flipbook.books.lots import Withdrawal
from flipbook.books.sales import Received, RefundToBuyer, SoldFor, deposits_back, open_deposits, sales_of
from flipbook.books.terms import RowKind
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts, PieceFile
from flipbook.shop.problems import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """One cost of a piece: found, material (a receipt line) or off the shelf (a use)."""

    day: date
    column: RowKind
    what: str
    amount: Decimal
    place: Place


_day = attrgetter("day")


@dataclass(frozen=True, kw_only=True)
class CostSheet:
    """All the sums of one piece; costs, payments and what was given back stand in the order of their days."""

    filed: PieceFile
    found_on: date | None
    costs: tuple[Cost, ...]
    sales: tuple[SoldFor, ...]
    received: tuple[Received, ...]
    refunds: tuple[RefundToBuyer, ...]
    trips: tuple[Driven, ...]

    @property
    def folder(self) -> str:
        return self.filed.folder

    @cached_property
    def _sums(self) -> dict[RowKind, Decimal]:
        sums: dict[RowKind, Decimal] = defaultdict(lambda: ZERO)
        for cost in self.costs:
            sums[cost.column] += cost.amount
        return sums

    def sum_of(self, column: RowKind) -> Decimal:
        """What the piece cost under one of `found`, `material` and `shelf`."""
        return self._sums[column]

    @cached_property
    def cost(self) -> Decimal:
        """All that was laid out on the piece; never the maker's own hours."""
        return sum((cost.amount for cost in self.costs), ZERO)

    def cost_by(self, day: date) -> Decimal:
        """What had been laid out on the piece at the end of `day`."""
        return sum((cost.amount for cost in self.costs if cost.day <= day), ZERO)

    def costs_in(self, first: date, last: date) -> tuple[Cost, ...]:
        """The costs from one day to another, both included; they stand in the order of their days."""
        start = bisect_left(self.costs, first, key=_day)
        return self.costs[start : bisect_right(self.costs, last, lo=start, key=_day)]

    @cached_property
    def first_day(self) -> date | None:
        """The day the piece came: found, or first paid for; None while it has cost nothing and was not found."""
        days = [cost.day for cost in self.costs[:1]]
        return min([*days, self.found_on] if self.found_on else days, default=None)

    @cached_property
    def minutes(self) -> Fraction:
        return sum((step.took for step in self.filed.piece.log if step.took is not None), Fraction(0))

    @cached_property
    def hours(self) -> Fraction:
        return self.minutes / 60

    @cached_property
    def takings(self) -> Decimal:
        """Payments received, less sales tax collected and refunds (without their sales-tax part)."""
        return sum((r.income for r in self.received), ZERO) - sum((g.income for g in self.refunds), ZERO)

    @cached_property
    def fees(self) -> Decimal:
        return sum((sale.fees for sale in self.sales), ZERO)

    @cached_property
    def miles(self) -> Fraction:
        return sum((trip.miles for trip in self.trips), Fraction(0))

    @cached_property
    def driving(self) -> Decimal:
        return sum((trip.amount for trip in self.trips), ZERO)

    @cached_property
    def profit(self) -> Decimal:
        return self.takings - self.fees - self.cost - self.driving

    @cached_property
    def per_hour(self) -> Decimal | None:
        """Profit an hour, to the cent; None without hours."""
        return half_up(Fraction(self.profit) / self.hours) if self.minutes else None

    @cached_property
    def margin(self) -> Decimal | None:
        """Profit over takings, to four places; None without takings."""
        return half_up(Fraction(self.profit) / Fraction(self.takings), 4) if self.takings else None

    @cached_property
    def sold_on(self) -> date | None:
        """The day of the last sale that was not returned."""
        sale = self.filed.piece.standing_sale
        return sale.on if sale else None

    @cached_property
    def days(self) -> int | None:
        """Days from the find to the sale."""
        return (self.sold_on - self.found_on).days if self.sold_on and self.found_on else None


def cost_sheets(
    facts: Facts, parts: Iterable[LandedPart], withdrawals: Iterable[Withdrawal], trips: Iterable[Driven]
) -> list[CostSheet]:
    """A sheet for each piece, in the order of their folders."""
    bought: dict[str, list[LandedPart]] = defaultdict(list)
    for part in parts:
        if part.piece:
            bought[part.piece].append(part)
    used: dict[str, list[Withdrawal]] = defaultdict(list)
    for withdrawal in withdrawals:
        used[withdrawal.piece].append(withdrawal)
    driven: dict[str, list[Driven]] = defaultdict(list)
    for trip in trips:
        driven[trip.piece].append(trip)
    earned = _income_of_pieces(facts)
    return [
        _sheet(filed, facts, bought[folder], used[folder], driven[folder], earned[folder])
        for filed, folder in ((filed, filed.folder) for filed in facts.pieces)
    ]


def _sheet(
    filed: PieceFile,
    facts: Facts,
    bought: list[LandedPart],
    used: list[Withdrawal],
    trips: list[Driven],
    income: list[Received],
) -> CostSheet:
    piece = filed.piece
    costs = [
        Cost(
            day=part.day,
            column=RowKind.FOUND if part.kind is RowKind.FOUND else RowKind.MATERIAL,
            what=part.what,
            amount=part.landed,
            place=part.place,
        )
        for part in bought
    ]
    bought_whole = min((cost.day for cost in costs if cost.column is RowKind.FOUND), default=None)
    costs += [
        Cost(
            day=withdrawal.day,
            column=RowKind.SHELF,
            what=withdrawal.product,
            amount=withdrawal.cost,
            place=withdrawal.place,
        )
        for withdrawal in used
    ]
    if piece.found is not None:
        found = piece.found
        costs.append(Cost(day=found.on, column=RowKind.FOUND, what=piece.piece, amount=found.basis, place=found.spot))
    sales = sales_of(piece, facts)
    received = [*(r for sale in sales for r in sale.received), *open_deposits(piece), *income]
    refunds = [*(g for sale in sales for g in sale.refunds), *deposits_back(piece)]
    return CostSheet(
        filed=filed,
        found_on=piece.found.on if piece.found else bought_whole,
        costs=tuple(sorted(costs, key=lambda cost: (cost.day, cost.place))),
        sales=sales,
        received=tuple(sorted(received, key=lambda r: r.day)),
        refunds=tuple(sorted(refunds, key=lambda g: g.day)),
        trips=tuple(trips),
    )


def _income_of_pieces(facts: Facts) -> dict[str, list[Received]]:
    """Fees for work on customers' own pieces, logged as income of a piece."""
    earned: dict[str, list[Received]] = defaultdict(list)
    for _, content in facts.receipts:
        for income in content.income:
            shares = income.for_.shares
            if shares:
                for (piece, _), part in zip(shares, spread(income.amount, [share for _, share in shares]), strict=True):
                    earned[piece].append(
                        Received(day=income.on, for_piece=part, delivery=ZERO, sales_tax=ZERO, place=income.spot)
                    )
    return earned
