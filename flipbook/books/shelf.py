"""The shelf: lots put up as they were bought, and uses, returns and counts taken from them day by day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.landed import LandedPart
from flipbook.books.lots import Lot, ProductShelf, Returned, Taking
from flipbook.measures.amounts import Amount, Unit
from flipbook.measures.numerals import write_number
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import choices, folded, nearest
from flipbook.shop.problems import MOST_TOLD, Place, Problem, at_most
from flipbook.shop.records.receipts import Counted
from flipbook.shop.records.setup import AVERAGE
from flipbook.shop.records.uses import Rest, Share, Use


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """The whole shelf after all that is logged; products in the order of their names."""

    products: dict[str, ProductShelf]
    takings: tuple[Taking, ...]
    returned: tuple[Returned, ...]
    problems: tuple[Problem, ...]

    def value_on(self, day: date) -> Decimal:
        """What the shelf held at the end of `day` had cost."""
        lots = sum((lot.landed for product in self.products.values() for lot in product.lots if lot.day <= day), ZERO)
        went_back = sum((returned.cost for returned in self.returned if returned.day <= day), ZERO)
        return lots - went_back - sum((taking.cost for taking in self.takings if taking.day <= day), ZERO)

    @property
    def opening(self) -> Decimal:
        """What the stock owned before the log began had cost."""
        return sum((lot.landed for product in self.products.values() for lot in product.lots if lot.is_opening), ZERO)


def stock_shelf(facts: Facts, parts: Iterable[LandedPart]) -> Shelf:
    """Put every lot on the shelf and take every use from it, in order of day, then folder, then place."""
    parts = list(parts)
    stocker = _Stocker(average=facts.shop.costing == AVERAGE)
    for lot in sorted(_lots(facts, parts), key=lambda pair: (pair[0].day, pair[0].place)):
        stocker.put_up(*lot)
    # Within a day: uses, then what went back to a seller, then what was counted.
    uses = [
        (step.on.day, 0, filed.folder, use.place, use)
        for filed in facts.pieces
        for step in filed.piece.log
        for use in step.uses()
    ]
    backs = [
        (part.day, 1, "", part.place, part) for part in parts if part.kind == "shelf" and part.line.got_back is not None
    ]
    counts = [(counted.on, 2, "", counted.spot, counted) for _, content in facts.receipts for counted in content.counts]
    for day, _, folder, _, event in sorted([*uses, *backs, *counts], key=lambda e: e[:4]):
        if isinstance(event, Use):
            stocker.use(day, folder, event)
        elif isinstance(event, Counted):
            stocker.count(event)
        elif isinstance(event, LandedPart):
            stocker.give_back(event)
        if len(stocker.problems) > MOST_TOLD:
            break
    for product in stocker.products.values():
        product.on(date.max)
    return Shelf(
        products=dict(sorted(stocker.products.items())),
        takings=tuple(stocker.takings),
        returned=tuple(stocker.returned),
        problems=tuple(at_most(stocker.problems)),
    )


def _lots(facts: Facts, parts: Iterable[LandedPart]) -> Iterator[tuple[Lot, str, Unit]]:
    """Every lot with its product's name and unit as written; amounts still in the unit of the line."""
    for part in parts:
        if part.kind == "shelf" and part.line.got_back is None:
            yield _lot(
                part.what,
                part.day,
                part.line.amount,
                part.landed,
                part.line.container,
                part.line.container_size,
                part.place,
            )
    for _, content in facts.receipts:
        for opening in content.opening:
            yield _lot(
                opening.what,
                opening.on,
                opening.amount,
                opening.cost,
                opening.container,
                opening.container_size,
                opening.spot,
                is_opening=True,
            )


def _lot(
    what: str,
    day: date,
    amount: Amount,
    landed: Decimal,
    container: str | None,
    size: Amount,
    place: Place,
    *,
    is_opening: bool = False,
) -> tuple[Lot, str, Unit]:
    lot = Lot(
        product=folded(what),
        day=day,
        amount=amount.number,
        landed=landed,
        container=folded(container or ""),
        container_size=size.number,
        place=place,
        is_opening=is_opening,
    )
    return lot, " ".join(what.split()), amount.unit


NEAREST_TOLD = 20


class _Stocker:
    """The shelf while it is being filled and emptied."""

    def __init__(self, *, average: bool) -> None:
        self.average = average
        self.products: dict[str, ProductShelf] = {}
        self.takings: list[Taking] = []
        self.returned: list[Returned] = []
        self.problems: list[Problem] = []

    def put_up(self, lot: Lot, name: str, unit: Unit) -> None:
        """Add a lot, in the unit of the product's first."""
        product = self.products.setdefault(lot.product, ProductShelf(name=name, unit=unit))
        if unit.dimension != product.unit.dimension:
            says = f"`{name[:60]}` was first bought by {product.unit.dimension}, in {product.unit}, and this lot is in {unit}"
            self.problems.append(
                Problem(
                    name="unit-of-product",
                    place=lot.place,
                    says=says,
                    help=f"write the size in {product.unit}, or give the product a name of its own",
                )
            )
            return
        ratio = unit.size / product.unit.size
        lot.amount *= ratio
        lot.container_size *= ratio
        product.lots.append(lot)

    def use(self, day: date, folder: str, use: Use) -> None:
        """Take one use."""
        product = self.products.get(folded(use.what))
        if product is None:
            self.problems.append(self._not_on_the_shelf(use))
            return
        amount = self._amount(day, use, product)
        if amount is None:
            return
        cost = self._take(product, amount)
        product.used += amount
        product.left -= amount
        self.takings.append(
            Taking(day=day, piece=folder, product=product.name, amount=amount, cost=cost, place=use.place)
        )

    def count(self, counted: Counted) -> None:
        """Write off what a count did not find."""
        product = self.products.get(folded(counted.what))
        if product is None:
            unknown = self._not_on_the_shelf(Use(counted.what, Rest(), counted.spot))
            self.problems.append(replace(unknown, key=("what",)))
            return
        product.on(counted.on)
        if counted.left.unit.dimension != product.unit.dimension:
            self.problems.append(replace(_wrong_unit(product, counted.left.unit, counted.spot), key=("left",)))
            return
        missing = product.left - counted.left.in_unit(product.unit)
        if missing < 0:
            says = f"{counted.left} was counted, and only {Amount(product.left, product.unit)} can be there"
            write = "look for a use that was logged too large, or a purchase that was not logged"
            self.problems.append(counted.problem("counted-too-much", says, write, "left"))
            return
        if missing:
            cost = self._take(product, missing)
            product.wasted += missing
            product.left -= missing
            self.takings.append(
                Taking(day=counted.on, piece="", product=product.name, amount=missing, cost=cost, place=counted.spot)
            )

    def give_back(self, part: LandedPart) -> None:
        """Take what went back to its seller off the newest lot, at what that lot cost; under `average` at the average.

        At the lot's own cost an average shelf could be left with nothing on it and a value.
        """
        line, got = part.line, -part.landed
        product = self.products.get(folded(part.what))
        if product is None:
            self.problems.append(self._not_on_the_shelf(Use(part.what, Rest(), part.place)))
            return
        product.on(part.day)
        size = line.amount
        if size.unit.dimension != product.unit.dimension:
            self.problems.append(_wrong_unit(product, size.unit, part.place))
            return
        amount = size.in_unit(product.unit)
        newest = product.lots[product.arrived - 1] if product.arrived else None
        if newest is None or amount > newest.left or amount > product.left:
            left = Amount(newest.left if newest else Fraction(0), product.unit)
            says = f"{size} of `{product.name}` went back, and {left} of the newest lot was there on {part.day}"
            self.problems.append(
                line.problem("over-what-is-left", says, "check the amount, and the uses before that day", "size")
            )
            return
        cost = product.take_at_average(amount) if self.average else newest.take(amount)
        product.spent += cost
        product.bought -= amount
        product.left -= amount
        self.returned.append(
            Returned(day=part.day, product=product.name, amount=amount, cost=cost, gain=got - cost, place=part.place)
        )

    def _take(self, product: ProductShelf, amount: Fraction) -> Decimal:
        cost = product.take_at_average(amount) if self.average else product.take_oldest(amount)
        product.spent += cost
        return cost

    def _amount(self, day: date, use: Use, product: ProductShelf) -> Fraction | None:
        """How much a use took, in the product's unit; None, with a problem, when it cannot be had."""
        taken, place = use.taken, use.place
        product.on(day)
        left = product.left
        if not product.arrived:
            if not product.lots:
                return None  # its only lot was refused, and that is told
            first = product.lots[0].day
            says = f"`{product.name}` was used on {day} and first bought on {first}"
            self.problems.append(
                Problem(
                    name="used-before-bought",
                    place=place,
                    says=says,
                    label="not yet on the shelf",
                    help="check the date of the step and of the receipt",
                )
            )
            return None
        if isinstance(taken, Rest):
            amount: Fraction | None = left
            if not left:
                says = f"nothing is left of `{product.name}`"
                self.problems.append(
                    Problem(
                        name="nothing-left",
                        place=place,
                        says=says,
                        help="take the use out, or log what was bought since",
                    )
                )
                return None
        elif isinstance(taken, Share):
            amount = self._share(taken, product, place)
        elif taken.unit.dimension == product.unit.dimension:
            amount = taken.in_unit(product.unit)
        elif taken.unit.name == "sheet" and any(
            _same_container(lot.container, "sheet") for lot in product.lots_there()
        ):
            amount = self._share(Share(taken.number, "sheet"), product, place)
        else:
            self.problems.append(_wrong_unit(product, taken.unit, place))
            return None
        if amount is not None and amount > left:
            self.problems.append(_too_much(day, use, product, amount, left))
            return None
        return amount

    def _share(self, taken: Share, product: ProductShelf, place: Place) -> Fraction | None:
        """A share of one container: of the oldest lot of that container with something left, under `average` of the newest."""
        newest_first = (product.lots[number] for number in reversed(range(product.arrived)))
        for lot in newest_first if self.average else product.lots_there():
            if _same_container(lot.container, taken.container) and (self.average or lot.left):
                return taken.number * lot.container_size
        there = product.lots[: product.arrived]
        if any(_same_container(lot.container, taken.container) for lot in there):
            says = f"no {taken.container} of `{product.name}` has anything left"
            self.problems.append(
                Problem(
                    name="over-what-is-left",
                    place=place,
                    says=says,
                    help="write an amount of what is left, or log what was bought",
                )
            )
            return None
        words = list(dict.fromkeys(lot.container for lot in there if lot.container))
        number = write_number(taken.number)
        write = (
            f"write {choices(f'{number} {word}' for word in words)}"
            if words
            else f"write an amount, as `{number} {product.unit}`"
        )
        self.problems.append(
            Problem(
                name="no-such-container",
                place=place,
                says=f"`{product.name}` was not bought by the {taken.container}",
                help=write,
            )
        )
        return None

    def _not_on_the_shelf(self, use: Use) -> Problem:
        name = folded(use.what)
        # Names are compared one by one; past the first problems that would take longer than it helps.
        near = nearest(name, self.products) if len(self.problems) < NEAREST_TOLD else None
        help = "log the purchase with `for: shelf`, or write the product's name as its receipt has it"
        if near is not None:
            product = self.products[near]
            help = (
                f"write `{product.name}`, bought at {product.lots[0].place}"
                if product.lots
                else f"write `{product.name}`"
            )
        if isinstance(use.taken, Share) and folded(f"{use.taken.container} {name}") in self.products:
            whole = self.products[folded(f"{use.taken.container} {name}")].name
            help = f"write `{write_number(use.taken.number)} each {whole}`"
        return Problem(
            name="not-on-the-shelf",
            place=use.place,
            says="this was never bought for the shelf",
            label=f"no product named `{use.what[:60]}`",
            help=help,
        )


def _too_much(day: date, use: Use, product: ProductShelf, amount: Fraction, left: Fraction) -> Problem:
    later = any(lot.day > day for lot in product.lots)
    shown, there = Amount(amount, product.unit), Amount(left, product.unit)
    return Problem(
        name="over-what-is-left",
        place=use.place,
        says=f"{shown} of `{product.name}` was used, and {there} was left on {day}",
        label=f"only {there} left",
        help="more was bought later: check the dates"
        if later
        else "write `rest` for all that is left, or log what was bought",
    )


def _same_container(word: str, said: str) -> bool:
    """Whether a container word is meant, alone or as a plural: can, cans; box, boxes."""
    return bool(word) and said in (word, f"{word}s", f"{word}es", word.removesuffix("y") + "ies")


def _wrong_unit(product: ProductShelf, unit: Unit, place: Place) -> Problem:
    traps = {("volume", "weight"): "; `oz` is a weight, `fl oz` a volume"}
    trap = traps.get((product.unit.dimension, unit.dimension), "")
    return Problem(
        name="unit-of-product",
        place=place,
        says=f"{unit} is a {_measured(unit)}, and `{product.name}` was bought by {_measured(product.unit)}, in {product.unit}",
        help=f"write the amount in {product.unit} or another unit of {_measured(product.unit)}{trap}",
    )


def _measured(unit: Unit) -> str:
    return {"count": "count", "sheets": "sheet"}.get(unit.dimension, unit.dimension)
