"""The illustration of IRS Publication 334, chapter 7, put through a shop.

Read as published for 2016 (the same figures stand in the editions of 2000, 2001 and 2008):

    Gross receipts                          400,000     Inventory at beginning of year            37,845
    Minus: Returns and allowances            14,940     Plus: Purchases                285,900
    Net receipts                            385,060     Minus: Items withdrawn           2,650   283,250
    Minus: Cost of goods sold               288,140     Goods available for sale                 321,095
    Gross profit                             96,920     Minus: Inventory at end of year           32,955
                                                        Cost of goods sold                       288,140
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

PUBLISHED = {
    "1": 400_000, "2": 14_940, "3": 385_060, "4": 288_140, "5": 96_920,
    "35": 37_845, "36": 283_250, "40": 321_095, "41": 32_955, "42": 288_140,
}  # fmt: skip


@pytest.fixture
def retailer(shop: ShopWriter) -> ShopWriter:
    """Purchases of 285,900 are 250,295 sold, 2,650 taken home and 32,955 left; the opening stock goes into what is sold."""
    assert 250_295 + 2_650 + 32_955 == 285_900
    return shop.write(
        {
            "shop.yaml": "shop: S\ncurrency: USD\ntax: {rules: us}\n",
            "receipts/opening.yaml": "opening: [{on: 2016-01-01, what: merchandise, size: 100 each, cost: 37845.00}]\n",
            "pieces/sold/piece.yaml": "piece: sold\nfound: {on: 2016-02-01, from: A., cost: 250295.00}\n"
            "log: [{on: 2016-02-02, did: sorted, used: [rest merchandise]}]\n"
            "sold: {on: 2016-06-01, price: 400000.00, allowed: {on: 2016-07-01, refund: 14940.00}}\n",
            "pieces/home/piece.yaml": "piece: home\nfound: {on: 2016-02-01, from: A., cost: 2650.00}\nkept: {on: 2016-08-01}\n",
            "pieces/left/piece.yaml": "piece: left\nfound: {on: 2016-02-01, from: A., cost: 32955.00}\n",
        }
    )


@pytest.mark.parametrize(("label", "published"), PUBLISHED.items())
def test_each_line_of_the_illustration(retailer: ShopWriter, label: str, published: int) -> None:
    (year,) = retailer.books().years
    (line,) = [line for line in year.lines if line.line == label]
    assert line.amount == published
    assert line.whole == published


def test_the_closing_inventory_opens_the_next_year(retailer: ShopWriter) -> None:
    retailer.receipts("- {on: 2017-01-05, from: A., what: rags, cost: 1.00, for: supplies}\n")
    after = {line.line: line.amount for line in retailer.books().years[1].lines}
    assert (after["35"], after["41"], after["42"]) == (32_955, 32_955, 0)
