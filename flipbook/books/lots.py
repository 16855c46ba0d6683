"""Lots of a product: what was bought, what each use of it costs, and what is left.

Amounts and values are exact fractions. What a use costs in cents is the difference of the running total,
rounded half up, after and before it, so that the uses of a lot and what is left of it always sum to its
landed cost.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.measures.amounts import Amount, Unit
from flipbook.measures.rounding import ZERO, from_steps, half_up, half_up_ratio, to_steps
from flipbook.shop.problems import Place


@dataclass(slots=True, kw_only=True)
class Lot:
    """One purchase of a product, and how much of it has been taken; amounts are in the product's unit."""

    product: str
    day: date
    amount: Fraction
    landed: Decimal
    container: str
    container_size: Fraction
    place: Place
    is_opening: bool = False
    taken: Fraction = Fraction(0)
    spent: Decimal = ZERO
    """What `taken` cost: landed x taken / amount, half up to the cent."""

    @property
    def left(self) -> Fraction:
        return self.amount - self.taken

    def take(self, amount: Fraction) -> Decimal:
        """Take `amount` and say what it cost: the running total after it less the one before."""
        self.taken += amount
        top, bottom = self.taken.numerator * self.amount.denominator, self.taken.denominator * self.amount.numerator
        spent = from_steps(half_up_ratio(to_steps(self.landed) * top, bottom))
        cost = spent - self.spent
        self.spent = spent
        return cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """What left the shelf: for a step of a piece, or as waste when `piece` is empty."""

    day: date
    piece: str
    product: str
    amount: Fraction
    cost: Decimal
    place: Place
    left: Fraction
    """What stood on the shelf of the product after it, in the product's unit as `amount` is."""
    lots: tuple[Place, ...]
    """The lots it came out of, the oldest first; none where all of them are one, under `average`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnToSeller:
    """Stock given back to its seller: what it had cost, and what the seller gave over (or under) that."""

    day: date
    product: str
    amount: Fraction
    cost: Decimal
    gain: Decimal
    place: Place


def same_container(word: str, said: str) -> bool:
    """Whether a lot's container word is meant, alone or as a plural: can, cans; box, boxes."""
    return bool(word) and said in (word, f"{word}s", f"{word}es", word.removesuffix("y") + "ies")


@dataclass(slots=True, kw_only=True)
class ProductShelf:
    """All of one product: its name as first bought, its unit, its lots in order of day, and their sums."""

    name: str
    unit: Unit
    lots: list[Lot] = field(default_factory=list)
    arrived: int = 0
    """How many of the lots were there on the day that was last looked at."""
    oldest: int = 0
    """The first lot that may have something left; first in first out looks no further back."""
    bought: Fraction = Fraction(0)
    """How much of it had arrived by that day; after all is taken, everything that was bought."""
    wasted: Fraction = Fraction(0)
    left: Fraction = Fraction(0)
    value_in: Decimal = ZERO
    spent: Decimal = ZERO
    value_taken: Fraction = Fraction(0)
    """The exact value of all that was taken; kept under `average` only."""
    ratios: dict[str, Fraction] = field(default_factory=dict)
    """How many of the product's unit one of another is, by its name, for those that were asked for."""

    @property
    def used(self) -> Fraction:
        return self.bought - self.wasted - self.left

    def in_its_unit(self, amount: Amount) -> Fraction:
        """How many of the product's unit an amount is; the two are of one dimension."""
        ratio = self.ratios.get(amount.unit.name)
        if ratio is None:
            ratio = self.ratios[amount.unit.name] = amount.unit.size / self.unit.size
        return amount.number * ratio

    @property
    def value_left(self) -> Decimal:
        return self.value_in - self.spent

    def on(self, day: date) -> None:
        """Bring the shelf forward to `day`, that day's purchases included."""
        while self.arrived < len(self.lots) and self.lots[self.arrived].day <= day:
            lot = self.lots[self.arrived]
            self.bought += lot.amount
            self.left += lot.amount
            self.value_in += lot.landed
            self.arrived += 1

    def lots_there(self) -> Iterator[Lot]:
        """The lots that have arrived and may have something left, the oldest first."""
        return (self.lots[number] for number in range(self.oldest, self.arrived))

    def lots_for(self, amount: Fraction) -> tuple[Place, ...]:
        """The lots that `amount` comes out of, the oldest first."""
        places = []
        for lot in self.lots_there():
            if lot.left:
                places.append(lot.place)
                amount -= lot.left
            if amount <= 0:
                break
        return tuple(places)

    def take_oldest(self, amount: Fraction) -> Decimal:
        """First in first out: take `amount` and say what it cost."""
        cost = ZERO
        while amount:
            lot = self.lots[self.oldest]
            left = lot.left
            if amount < left:
                return cost + lot.take(amount)
            cost += lot.take(left)
            amount -= left
            self.oldest += 1
        return cost

    def take_at_average(self, amount: Fraction) -> Decimal:
        """Value on hand over amount on hand, times `amount`; to the cent by the product's running total."""
        before = half_up(self.value_taken)
        self.value_taken += (Fraction(self.value_in) - self.value_taken) * amount / self.left
        return half_up(self.value_taken) - before
