"""The proof that the books foot: the same money, summed in several ways, comes to the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.landed import LandedPart
from flipbook.books.ledger import Row
from flipbook.books.shelf import Shelf
from flipbook.books.stock import StockYear
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts


class BooksDoNotFoot(Exception):
    """A fault of this program, never of the shop's files: two sums of the same money differ."""

    def __init__(self, what: str, one: Decimal, other: Decimal) -> None:
        super().__init__(f"{what}: {one:.2f} against {other:.2f}, a difference of {one - other:.2f}")


@dataclass(frozen=True, slots=True)
class Proof:
    """What was held against what, and came to the same to the cent."""

    rows: int
    receipts: int
    money_in: Decimal
    money_out: Decimal
    cost_of_goods_sold: Decimal

    @property
    def words(self) -> str:
        """The proof in one line."""
        return (
            f"The books foot: {self.rows} movements come to the same by kind, piece, month and year; the parts of "
            f"{self.receipts} receipts to their totals; cost of goods sold to {self.cost_of_goods_sold:,.2f} by the form and by the pieces."
        )


def prove(
    facts: Facts,
    parts: Sequence[LandedPart],
    sheets: Sequence[CostSheet],
    shelf: Shelf,
    rows: Sequence[Row],
    stock: Sequence[StockYear],
) -> Proof:
    """Raise BooksDoNotFoot for the first pair of sums that differ; else say what was proved."""
    slips = list(facts.slips())
    for what, one, other in _pairs(facts, parts, sheets, shelf, rows, stock):
        if one != other:
            raise BooksDoNotFoot(what, one, other)
    return Proof(
        rows=len(rows),
        receipts=len(slips),
        money_in=_sum(row.money_in for row in rows),
        money_out=_sum(row.money_out for row in rows),
        cost_of_goods_sold=_sum(year.by_pieces for year in stock),
    )


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, ZERO)


def _pairs(
    facts: Facts,
    parts: Sequence[LandedPart],
    sheets: Sequence[CostSheet],
    shelf: Shelf,
    rows: Sequence[Row],
    stock: Sequence[StockYear],
) -> Iterator[tuple[str, Decimal, Decimal]]:
    moved_in, moved_out = _sum(row.money_in for row in rows), _sum(row.money_out for row in rows)
    groupings: dict[str, Callable[[Row], object]] = {
        "kind": lambda row: row.kind,
        "piece": lambda row: row.piece,
        "month": lambda row: (row.day.year, row.day.month),
        "year": lambda row: next((year.year for year in stock if row.day in year.year), None),
    }
    for name, key in groupings.items():
        grouped: dict[object, list[Decimal]] = defaultdict(lambda: [ZERO, ZERO])
        for row in rows:
            group = grouped[key(row)]
            group[0] += row.money_in
            group[1] += row.money_out
        grouped.pop(None, None)  # a row that falls in no year is missing from the years' sum
        yield f"money in by {name} and in all", _sum(pair[0] for pair in grouped.values()), moved_in
        yield f"money out by {name} and in all", _sum(pair[1] for pair in grouped.values()), moved_out

    by_receipt: dict[tuple[str, int, int], Decimal] = defaultdict(lambda: ZERO)
    place_of_line = {}
    for slip in facts.slips():
        place_of_line.update({line.spot[:3]: slip.receipt.spot[:3] for line in slip.receipt.bought})
    for part in parts:
        by_receipt[place_of_line[part.place[:3]]] += part.landed
    for slip in facts.slips():
        paid = slip.receipt.paid if slip.receipt.got_back is None else -slip.receipt.got_back
        yield f"the parts of the receipt at {slip.receipt.spot} and its total", by_receipt[slip.receipt.spot[:3]], paid

    own = _sum(
        sheet.filed.piece.found.basis for sheet in sheets if sheet.filed.piece.found and sheet.filed.piece.found.own
    )
    on_sheets = _sum(cost.amount for sheet in sheets for cost in sheet.costs if cost.column in ("found", "material"))
    in_ledger = _sum(row.money_out - row.money_in for row in rows if row.kind in ("found", "material"))
    yield "found and material costs on the cost sheets and in the ledger", on_sheets - own, in_ledger
    used = _sum(cost.amount for sheet in sheets for cost in sheet.costs if cost.column == "shelf")
    wasted = _sum(taking.cost for taking in shelf.takings if not taking.piece)
    gained = _sum(returned.gain for returned in shelf.returned)
    left = _sum(product.value_left for product in shelf.products.values())
    shelved = _sum(row.money_out - row.money_in for row in rows if row.kind == "shelf")
    yield (
        "what was bought for the shelf and what was used, wasted and left",
        shelved + shelf.opening + gained,
        used + wasted + left,
    )
    takings = _sum(sheet.takings for sheet in sheets)
    tax_back = _sum(back.amount - back.income for sheet in sheets for back in sheet.given_back)
    from_buyers = _sum(row.money_in for row in rows if row.piece and row.kind in ("sale", "delivery"))
    refunds = _sum(row.money_out for row in rows if row.kind == "refund")
    yield "takings on the cost sheets and in the ledger", takings, from_buyers - refunds + tax_back
    for year in stock:
        yield (
            f"cost of goods sold in {year.year.title} by the form and by the pieces",
            year.cost_of_goods_sold,
            year.by_pieces,
        )
