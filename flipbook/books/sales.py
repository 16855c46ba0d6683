"""Sales: what buyers paid and when, and what came out of it for delivery, sales tax and fees."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.measures.rounding import ZERO, half_up
from flipbook.shop.checking import deposits_by_sale
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.sale import Deposit, Refund, Sale


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """One payment by a buyer, split; the three parts sum to what was paid."""

    day: date
    for_piece: Decimal
    delivery: Decimal
    sales_tax: Decimal
    place: Place
    is_deposit: bool = False

    @property
    def income(self) -> Decimal:
        """What is the shop's: the payment without the sales tax collected in it."""
        return self.for_piece + self.delivery


@dataclass(frozen=True, slots=True, kw_only=True)
class RefundToBuyer:
    """Money given back to a buyer; `income` is the part of it that had been income."""

    day: date
    amount: Decimal
    income: Decimal
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldFor:
    """One sale of a piece."""

    sale: Sale
    received: tuple[Received, ...]
    refunds: tuple[RefundToBuyer, ...]
    fees: Decimal


def sales_of(piece: Piece, facts: Facts) -> tuple[SoldFor, ...]:
    """The sums of each sale of a piece. Payments and deposits are known to agree with what was charged."""
    return tuple(
        _sold_for(sale, deposits, facts) for sale, deposits in zip(piece.sold, deposits_by_sale(piece), strict=True)
    )


def _sold_for(sale: Sale, deposits: list[Deposit], facts: Facts) -> SoldFor:
    paid = [(d.on, d.amount, d.spot, True) for d in deposits] + [(p.on, p.amount, p.spot, False) for p in sale.payments]
    rest = sale.charged - sum((amount for _, amount, _, _ in paid), ZERO)
    if rest:
        paid.append((sale.on, rest, sale.spot, False))
    paid.sort(key=lambda payment: payment[0])
    fees = sale.fees if sale.fees is not None else facts.fee_of(sale).on(sale.price + sale.delivery)
    return SoldFor(
        sale=sale,
        received=tuple(_split(paid, sale)),
        refunds=tuple(_refund(refund, sale) for refund in sale.refunds),
        fees=fees,
    )


def _split(paid: list[tuple[date, Decimal, Place, bool]], sale: Sale) -> Iterator[Received]:
    """Sales tax comes out of the last payment and then those before it; delivery out of what they have left."""
    left = [amount for _, amount, _, _ in paid]
    taxes, deliveries = (_from_the_last(sum_due, left) for sum_due in (sale.sales_tax, sale.delivery))
    for (day, _, place, is_deposit), rest, tax, delivery in zip(paid, left, taxes, deliveries, strict=True):
        yield Received(day=day, for_piece=rest, delivery=delivery, sales_tax=tax, place=place, is_deposit=is_deposit)


def _from_the_last(due: Decimal, left: list[Decimal]) -> list[Decimal]:
    """How much of `due` each payment bears, the last first; `left` is lowered by it."""
    parts = [ZERO] * len(left)
    for number in reversed(range(len(left))):
        parts[number] = min(due, left[number])
        left[number] -= parts[number]
        due -= parts[number]
    return parts


def _refund(refund: Refund, sale: Sale) -> RefundToBuyer:
    tax = half_up(Fraction(refund.refund) * Fraction(sale.sales_tax) / Fraction(sale.charged)) if sale.charged else ZERO
    return RefundToBuyer(day=refund.on, amount=refund.refund, income=refund.refund - tax, place=refund.spot)


def open_deposits(piece: Piece) -> list[Received]:
    """Deposits that no sale has taken up: income on their day, whether or not they went back since."""
    return [
        Received(day=d.on, for_piece=d.amount, delivery=ZERO, sales_tax=ZERO, place=d.spot, is_deposit=True)
        for d in _not_taken_up(piece)
    ]


def standing_deposits(piece: Piece) -> tuple[Deposit, ...]:
    """Deposits that hold a piece: they went neither into a sale nor back."""
    return tuple(deposit for deposit in _not_taken_up(piece) if deposit.back is None)


def _not_taken_up(piece: Piece) -> list[Deposit]:
    taken = {id(deposit) for deposits in deposits_by_sale(piece) for deposit in deposits}
    return [deposit for deposit in piece.deposits if id(deposit) not in taken]


def deposits_back(piece: Piece) -> list[RefundToBuyer]:
    """Deposits that were given back."""
    return [
        RefundToBuyer(day=d.back.on, amount=d.amount, income=d.amount, place=d.back.spot)
        for d in piece.deposits
        if d.back is not None
    ]
