"""The shelf: lots put up as they were bought, and uses, returns and counts taken from them day by day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import islice
from operator import itemgetter

from flipbook.books.landed import LandedPart
from flipbook.books.lots import Lot, ProductShelf, ReturnToSeller, Withdrawal, same_container
from flipbook.books.terms import RowKind
from flipbook.measures.amounts import Amount, Unit
from flipbook.measures.numerals import write_number
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import choices, folded, nearest
from flipbook.shop.problems import MOST_TOLD, Place, Problem, at_most
from flipbook.shop.records.piece import Step
from flipbook.shop.records.receipts import Counted, OpeningLot
from flipbook.shop.records.setup import AVERAGE
from flipbook.shop.records.uses import Rest, Share, Use


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """The whole shelf after all that is logged; products in the order of their names, withdrawals as they came."""

    products: dict[str, ProductShelf]
    withdrawals: tuple[Withdrawal, ...]
    returns: tuple[ReturnToSeller, ...]
    problems: tuple[Problem, ...]

    def value_on(self, day: date) -> Decimal:
        """What the shelf held at the end of `day` had cost."""
        lots = sum((lot.landed for product in self.products.values() for lot in product.lots if lot.day <= day), ZERO)
        went_back = sum((returned.cost for returned in self.returns if returned.day <= day), ZERO)
        return (
            lots - went_back - sum((withdrawal.cost for withdrawal in self.withdrawals if withdrawal.day <= day), ZERO)
        )

    @property
    def opening(self) -> Decimal:
        """What the stock owned before the log began had cost."""
        return sum((lot.landed for product in self.products.values() for lot in product.lots if lot.is_opening), ZERO)


Event = Use | LandedPart | Counted
Turn = tuple[date, int, str, Place]
"""When something changes a shelf: its day; its turn in that day, a use before what goes back and a count; folder, place."""
Dated = tuple[Turn, Event]
Purchase = LandedPart | OpeningLot


def stock_shelf(facts: Facts, parts: Iterable[LandedPart]) -> Shelf:
    """Put every lot on the shelf and take every use from it, in order of day, then folder, then place.

    What happens to one product changes nothing of another, so that each is reckoned by itself.
    """
    bought: dict[str, list[Purchase]] = defaultdict(list)
    events: dict[str, list[Dated]] = defaultdict(list)
    for filed in facts.pieces:
        for product, use in _uses(filed.folder, filed.piece.log):
            events[product].append(use)
    for part in parts:
        if part.kind is RowKind.SHELF:
            if part.line.got_back is None:
                bought[folded(part.what)].append(part)
            else:
                events[folded(part.what)].append(((part.day, 1, "", part.place), part))
    for _, content in facts.receipts:
        for opening in content.opening:
            bought[folded(opening.what)].append(opening)
        for counted in content.counts:
            events[folded(counted.what)].append(((counted.on, 2, "", counted.spot), counted))
    average = facts.shop.costing == AVERAGE
    stocked = [
        _stocked(average, lots, sorted(events.pop(name, ()), key=_turn)) for name, lots in sorted(bought.items())
    ]
    products = {name: one.product for name, one in zip(sorted(bought), stocked, strict=True)}
    told = [told for one in stocked for told in one.problems]
    told += _never_bought(sorted((event for of_one in events.values() for event in of_one), key=_turn), products)
    return Shelf(
        products=products,
        withdrawals=_in_order([one.withdrawals for one in stocked]),
        returns=tuple(back for one in stocked for back in one.returns),
        problems=tuple(at_most(problem for _, problem in sorted(told, key=_turn))),
    )


_turn = itemgetter(0)


def _in_order(withdrawals: Iterable[Iterable[Withdrawal]]) -> tuple[Withdrawal, ...]:
    """What was taken of all products, in the order of the turns."""
    every = (withdrawal for of_one in withdrawals for withdrawal in of_one)
    return tuple(
        sorted(every, key=lambda withdrawal: (withdrawal.day, not withdrawal.piece, withdrawal.piece, withdrawal.place))
    )


def _uses(folder: str, log: Iterable[Step]) -> tuple[tuple[str, Dated], ...]:
    """Each use of a piece's log, with the name of its product."""
    return tuple((folded(use.what), ((step.on.day, 0, folder, use.place), use)) for step in log for use in step.uses())


@dataclass(frozen=True, slots=True)
class _Stocked:
    """One product after all that is logged of it; each problem with the turn it was met in."""

    product: ProductShelf
    withdrawals: tuple[Withdrawal, ...]
    returns: tuple[ReturnToSeller, ...]
    problems: tuple[tuple[Turn, Problem], ...]


def _stocked(average: bool, bought: Iterable[Purchase], events: Iterable[Dated]) -> _Stocked:
    lots = sorted(map(_lot_of, bought), key=lambda lot: (lot[0].day, lot[0].place))
    _, name, unit = lots[0]
    stocker = _Stocker(ProductShelf(name=name, unit=unit), average=average)
    for lot, _, unit in lots:
        stocker.put_up(lot, unit)
    for turn, event in events:
        stocker.turn = turn
        if isinstance(event, Use):
            stocker.use(turn[0], turn[2], event)
        elif isinstance(event, Counted):
            stocker.count(event)
        else:
            stocker.give_back(event)
        if len(stocker.problems) > MOST_TOLD:
            break
    stocker.product.on(date.max)
    return _Stocked(stocker.product, tuple(stocker.withdrawals), tuple(stocker.returns), tuple(stocker.problems))


def _lot_of(bought: Purchase) -> tuple[Lot, str, Unit]:
    """A lot with its product's name and unit as written; amounts still in the unit of the line."""
    if isinstance(bought, OpeningLot):
        return _lot(
            bought.what,
            bought.on,
            bought.amount,
            bought.cost,
            bought.container,
            bought.container_size,
            bought.spot,
            is_opening=True,
        )
    line = bought.line
    return _lot(bought.what, bought.day, line.amount, bought.landed, line.container, line.container_size, bought.place)


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


class _Stocker:
    """The shelf of one product while it is being filled and emptied."""

    def __init__(self, product: ProductShelf, *, average: bool) -> None:
        self.product = product
        self.average = average
        self.withdrawals: list[Withdrawal] = []
        self.returns: list[ReturnToSeller] = []
        self.turn: Turn = (date.min, 0, "", Place(""))
        self.problems: list[tuple[Turn, Problem]] = []

    def tell(self, problem: Problem) -> None:
        self.problems.append((self.turn, problem))

    def put_up(self, lot: Lot, unit: Unit) -> None:
        """Add a lot, in the unit of the product's first."""
        product, self.turn = self.product, (date.min, 0, "", lot.place)
        if unit.dimension != product.unit.dimension:
            says = (
                f"`{product.name[:60]}` was first bought by {product.unit.dimension}, in {product.unit}, "
                f"and this lot is in {unit}"
            )
            self.tell(
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
        amount = self._amount(day, use)
        if amount is None:
            return
        self.withdrawals.append(self._withdrawal(day, folder, amount, use.place))

    def count(self, counted: Counted) -> None:
        """Write off what a count did not find."""
        product = self.product
        product.on(counted.on)
        if counted.left.unit.dimension != product.unit.dimension:
            self.tell(replace(_wrong_unit(product, counted.left.unit, counted.spot), key=("left",)))
            return
        missing = product.left - product.in_its_unit(counted.left)
        if missing < 0:
            says = f"{counted.left} was counted, and only {Amount(product.left, product.unit)} can be there"
            write = "look for a use that was logged too large, or a purchase that was not logged"
            self.tell(counted.problem("counted-too-much", says, write, "left"))
            return
        if missing:
            product.wasted += missing
            self.withdrawals.append(self._withdrawal(counted.on, "", missing, counted.spot))

    def give_back(self, part: LandedPart) -> None:
        """Take what went back to its seller off the newest lot, at what that lot cost; under `average` at the average.

        At the lot's own cost an average shelf could be left with nothing on it and a value.
        """
        product, line, got = self.product, part.line, -part.landed
        product.on(part.day)
        size = line.amount
        if size.unit.dimension != product.unit.dimension:
            self.tell(_wrong_unit(product, size.unit, part.place))
            return
        amount = product.in_its_unit(size)
        newest = product.lots[product.arrived - 1] if product.arrived else None
        if newest is None or amount > newest.left or amount > product.left:
            left = Amount(newest.left if newest else Fraction(0), product.unit)
            says = f"{size} of `{product.name}` went back, and {left} of the newest lot was there on {part.day}"
            self.tell(line.problem("over-what-is-left", says, "check the amount, and the uses before that day", "size"))
            return
        cost = product.take_at_average(amount) if self.average else newest.take(amount)
        product.spent += cost
        product.bought -= amount
        product.left -= amount
        self.returns.append(
            ReturnToSeller(
                day=part.day, product=product.name, amount=amount, cost=cost, gain=got - cost, place=part.place
            )
        )

    def _withdrawal(self, day: date, folder: str, amount: Fraction, place: Place) -> Withdrawal:
        """Take an amount off the shelf, for a piece or as waste."""
        product = self.product
        lots = () if self.average else product.lots_for(amount)
        cost = product.take_at_average(amount) if self.average else product.take_oldest(amount)
        product.spent += cost
        product.left -= amount
        return Withdrawal(
            day=day,
            piece=folder,
            product=product.name,
            amount=amount,
            cost=cost,
            place=place,
            left=product.left,
            lots=lots,
        )

    def _amount(self, day: date, use: Use) -> Fraction | None:
        """How much a use took, in the product's unit; None, with a problem, when it cannot be had."""
        product, taken, place = self.product, use.taken, use.place
        product.on(day)
        left = product.left
        if not product.arrived:
            if not product.lots:
                return None  # its only lot was refused, and that is told
            first = product.lots[0].day
            says = f"`{product.name}` was used on {day} and first bought on {first}"
            self.tell(
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
                self.tell(
                    Problem(
                        name="nothing-left",
                        place=place,
                        says=says,
                        help="take the use out, or log what was bought since",
                    )
                )
                return None
        elif isinstance(taken, Share):
            amount = self._share(taken, place)
        elif taken.unit.dimension == product.unit.dimension:
            amount = product.in_its_unit(taken)
        elif taken.unit.name == "sheet" and any(same_container(lot.container, "sheet") for lot in product.lots_there()):
            amount = self._share(Share(taken.number, "sheet"), place)
        else:
            self.tell(_wrong_unit(product, taken.unit, place))
            return None
        if amount is not None and amount > left:
            self.tell(_too_much(day, use, product, amount, left))
            return None
        return amount

    def _share(self, taken: Share, place: Place) -> Fraction | None:
        """A share of one container: of the oldest lot of that container with something left, under `average` of the newest."""
        product = self.product
        newest_first = (product.lots[number] for number in reversed(range(product.arrived)))
        for lot in newest_first if self.average else product.lots_there():
            if same_container(lot.container, taken.container) and (self.average or lot.left):
                return taken.number * lot.container_size
        there = product.lots[: product.arrived]
        if any(same_container(lot.container, taken.container) for lot in there):
            says = f"no {taken.container} of `{product.name}` has anything left"
            self.tell(
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
        self.tell(
            Problem(
                name="no-such-container",
                place=place,
                says=f"`{product.name}` was not bought by the {taken.container}",
                help=write,
            )
        )
        return None


NEAREST_TOLD = 20


def _never_bought(events: Iterable[Dated], products: Mapping[str, ProductShelf]) -> Iterator[tuple[Turn, Problem]]:
    """What was used, counted or given back under a name that is on no receipt."""
    for number, (turn, event) in enumerate(islice(events, MOST_TOLD + 1)):
        use = event if isinstance(event, Use) else Use(event.what or "", Rest(), turn[3])
        # Names are compared one by one; past the first problems that would take longer than it helps.
        near = nearest(folded(use.what), products) if number < NEAREST_TOLD else None
        problem = _not_on_the_shelf(use, products, near)
        yield turn, replace(problem, key=("what",)) if isinstance(event, Counted) else problem


def _not_on_the_shelf(use: Use, products: Mapping[str, ProductShelf], near: str | None) -> Problem:
    name = folded(use.what)
    help = "log the purchase with `for: shelf`, or write the product's name as its receipt has it"
    if near is not None:
        product = products[near]
        help = (
            f"write `{product.name}`, bought at {product.lots[0].place.exact}"
            if product.lots
            else f"write `{product.name}`"
        )
    if isinstance(use.taken, Share) and folded(f"{use.taken.container} {name}") in products:
        whole = products[folded(f"{use.taken.container} {name}")].name
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
