"""What is short on the shelf, by what the log alone can tell.

A product is short when what is left of it is less than

- the planned steps of the pieces in hand need, as far as their amounts can be told in the product's unit; or
- its last three uses took on average (as many as there are, when fewer), if it was used in the last 180 days.

So a product that has run out is short while it is in use, and one that was given up is not. A product that a plan
names and that was never bought is short as well. `rest`, a container that no lot came in, and a unit of another
dimension tell no amount. Waste is no use.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from flipbook.books.lots import ProductShelf, Withdrawal, same_container
from flipbook.books.shelf import Shelf
from flipbook.measures.amounts import Amount
from flipbook.shop.facts import PieceFile
from flipbook.shop.nearest import folded
from flipbook.shop.records.uses import Share, Taken, Use

USES_LOOKED_AT = 3
RECENT = timedelta(days=180)


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """A product of which too little is left.

    `left` and `need` are in the product's unit; `left` is None for a product that was never bought, and `need` when
    its plan states no amount that can be told. `planned_for` are the pieces whose plans need it, by folder; when there
    is none, `need` is the average of the last uses.
    """

    product: str
    unit: str | None
    left: Amount | None
    need: Amount | None
    planned_for: tuple[str, ...]


def short_on(shelf: Shelf, in_hand: Iterable[PieceFile], today: date, *, is_average: bool) -> list[Short]:
    """What is short: what is planned first, in the order of the plans, then what was used last.

    `is_average` is whether the shop costs by the average, which decides the lot that a share of a container is of.
    """
    result = _planned(shelf.products, in_hand, is_average=is_average)
    planned = {short.product for short in result}
    uses: dict[str, list[Withdrawal]] = defaultdict(list)
    for withdrawal in shelf.withdrawals:
        if withdrawal.piece:
            uses[withdrawal.product].append(withdrawal)
    for product in sorted(shelf.products.values(), key=lambda p: _last_day(uses[p.name]), reverse=True):
        last = uses[product.name][-USES_LOOKED_AT:]
        if not last or last[-1].day < today - RECENT or product.name in planned:
            continue
        usual = sum((withdrawal.amount for withdrawal in last), Fraction(0)) / len(last)
        if product.left < usual:
            result.append(_short(product, usual))
    return result


def _short(product: ProductShelf, need: Fraction, planned_for: Iterable[str] = ()) -> Short:
    return Short(
        product=product.name,
        unit=product.unit.name,
        left=Amount(product.left, product.unit),
        need=Amount(need, product.unit),
        planned_for=tuple(planned_for),
    )


def _last_day(uses: list[Withdrawal]) -> date:
    return uses[-1].day if uses else date.min


def _planned(products: Mapping[str, ProductShelf], in_hand: Iterable[PieceFile], *, is_average: bool) -> list[Short]:
    """What the plans need and is not there."""
    needs: dict[str, Fraction] = defaultdict(Fraction)
    names: dict[str, str] = {}
    pieces: dict[str, dict[str, None]] = defaultdict(dict)
    for filed in in_hand:
        for step in filed.piece.planned:
            for use in (*step.used, *(step.mix.uses() if step.mix is not None else ())):
                key = folded(use.what)
                product = products.get(key)
                amount = _amount(use, product, is_average=is_average) if product is not None else None
                if product is None or amount is not None:
                    names.setdefault(key, product.name if product is not None else use.what)
                    needs[key] += amount or 0
                    pieces[key][filed.folder] = None
    result = []
    for key, need in needs.items():
        product = products.get(key)
        if product is None:
            result.append(Short(product=names[key], unit=None, left=None, need=None, planned_for=tuple(pieces[key])))
        elif product.left < need:
            result.append(_short(product, need, pieces[key]))
    return result


def _amount(use: Use, product: ProductShelf, *, is_average: bool) -> Fraction | None:
    """How much a planned use will take, in the product's unit; None when that cannot be told."""
    taken: Taken = use.taken
    if isinstance(taken, Amount):
        if taken.unit.dimension == product.unit.dimension:
            return taken.in_unit(product.unit)
        taken = Share(taken.number, taken.unit.name)
    if not isinstance(taken, Share):
        return None
    lots = [lot for lot in product.lots if same_container(lot.container, taken.container)]
    if not lots:
        return None
    of = lots[-1] if is_average else next((lot for lot in lots if lot.left), lots[-1])
    return taken.number * of.container_size
