"""The finish of a piece is the last coat on it that is one, and every paper and page tells the care of that one."""

from __future__ import annotations

from pathlib import Path

import pytest
from shop_writer import ShopWriter

from flipbook.compile import compile_shop
from flipbook.trade.care import ALWAYS, NEW, finish_of, put_on, usual_care

SHELF = """\
- on: 2026-01-03
  from: Harbour Hardware
  lines:
{lines}
  total: {total}.00
"""
LOG = "kind: stool\nbuilt: 2015\nlog:\n{steps}asking: [{{on: 2026-02-01, price: 91.00}}]\n"


def shop_with(shop: ShopWriter, used: list[str], products: str = "") -> ShopWriter:
    """A shop of one piece for sale, on which each of some products was used, a fluid ounce a step, in their order."""
    bought = dict.fromkeys(used)
    lines = "\n".join(f"    - {{what: {name}, size: 1 quart, cost: 10.00, for: shelf}}" for name in bought)
    steps = "".join(
        f"  - {{on: 2026-01-{day:02}, did: a coat, used: [2 fl oz {name}]}}\n" for day, name in enumerate(used, 10)
    )
    if products:
        shop.write({"products.yaml": f"products:\n{products}"})
    return shop.receipts(SHELF.format(lines=lines, total=10 * len(bought))).piece(LOG.format(steps=steps))


def finish(shop: ShopWriter, used: list[str], products: str = "") -> tuple[str, str]:
    """The finish, and the first line of its care."""
    facts = shop_with(shop, used, products).books().facts
    found = finish_of(put_on(facts.pieces[0].piece.log, facts.products))
    care = usual_care(found)
    assert care == () if found is None else care[1:] == (NEW, ALWAYS)
    return (found.name, care[0]) if found is not None else ("", "")


@pytest.mark.parametrize(
    ("used", "name", "care"),
    # The care of each, common practice, no source.
    [
        (["mustard milk paint"], "mustard milk paint", "Dust only"),
        (["mustard milk paint", "matte hardwax oil"], "matte hardwax oil", "Oil again once or twice a year"),
        (["matte hardwax oil", "mustard milk paint"], "mustard milk paint", "Dust only"),
        (["walnut gel stain", "wipe-on poly"], "wipe-on poly", "damp cloth and a drop of mild soap"),
        (["latex"], "latex", "damp cloth and a drop of mild soap"),
        (["fig blue paint", "french polish"], "french polish", "no ammonia or alkaline soap"),
        (["hemp oil", "brown wax"], "brown wax", "Wax again once a year"),
        (["fig blue paint", "wood glue", "mineral spirits", "furniture polish"], "fig blue paint", "damp cloth"),
        (["shellac primer", "walnut stain", "sanding sealer"], "", ""),
        (["brown wax", "satin clear coat", "brown wax"], "brown wax", "Wax again"),
    ],
    ids=" then ".join,
)
def test_the_finish_is_the_last_coat_that_is_one(shop: ShopWriter, used: list[str], name: str, care: str) -> None:
    found, told = finish(shop, used)
    assert found == name
    assert care in told


def test_the_type_in_products_yaml_tells_the_finish_and_its_care(shop: ShopWriter) -> None:
    name, care = finish(shop, ["fig blue paint", "number 7"], "  number 7: {type: hardwax oil}\n")
    assert (name, care[:21]) == ("number 7", "Dust with a dry cloth")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What is written of a stool painted with milk paint and then oiled."""
    root = tmp_path_factory.mktemp("oiled")
    shop = ShopWriter(root / "my_shop")
    shop_with(shop, ["mustard milk paint", "matte hardwax oil"])
    outcome = compile_shop(shop.root, root / "out")
    assert outcome.books is not None, outcome.problems
    return root / "out"


@pytest.mark.parametrize(
    ("file", "tells_care"),
    [
        ("portfolio/oak-stool/index.html", True),
        ("books/labels/tags.html", False),
        ("books/labels/cards.html", True),
        ("books/listings/oak-stool.txt", False),
    ],
)
def test_page_tag_card_and_listing_name_the_oil_and_not_the_paint_below_it(
    out: Path, file: str, tells_care: bool
) -> None:
    text = (out / file).read_text(encoding="utf-8")
    assert "matte hardwax oil" in text
    assert "Dust only" not in text
    assert ("Oil again once or twice a year" in text) == tells_care
    if "portfolio/oak-stool" not in file:  # the page lists all that is on the piece
        assert "milk paint" not in text
