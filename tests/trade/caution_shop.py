"""A shop with one piece, and what its file calls for caution about."""

from __future__ import annotations

from shop_writer import ShopWriter

from flipbook.shop.facts import Facts
from flipbook.shop.problems import Problem
from flipbook.shop.reading import read_shop
from flipbook.trade.cautions import bench_cautions, problems_of

SANDED = "log:\n  - 2026-01-06 sanded the top\n"
SHELF = """\
- on: 2026-01-03
  from: Harbour Hardware
  lines:
{lines}
  total: {total}.00
"""


def facts_of(shop: ShopWriter, more: str, products: str = "", shelf: tuple[str, ...] = ()) -> Facts:
    """The facts of a shop with one piece, and the products named on its shelf, a quart of each."""
    if products:
        shop.write({"products.yaml": f"products:\n{products}"})
    if shelf:
        lines = "\n".join(f"    - {{what: {name}, size: 1 quart, cost: 10.00, for: shelf}}" for name in shelf)
        shop.receipts(SHELF.format(lines=lines, total=10 * len(shelf)))
    read = read_shop(shop.piece(more).root)
    assert read.facts is not None, read.problems
    return read.facts


def names(shop: ShopWriter, more: str, products: str = "", shelf: tuple[str, ...] = ()) -> list[str]:
    facts = facts_of(shop, more, products, shelf)
    return [caution.name for caution in bench_cautions(facts.pieces[0].piece, facts.products)]


def raised(shop: ShopWriter, more: str, products: str = "", shelf: tuple[str, ...] = ()) -> list[Problem]:
    return problems_of(facts_of(shop, more, products, shelf))
