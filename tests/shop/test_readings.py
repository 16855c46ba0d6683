"""What FORMAT.md, "How things are written", settles: one meaning where a text could be taken two ways."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from fractions import Fraction

import pytest
from shop_writer import GOOD_PIECE, ShopWriter

from flipbook.measures.dates import When
from flipbook.shop.records.piece import Piece, Step

PIECE = "pieces/oak-stool/piece.yaml"


def only_piece(shop: ShopWriter) -> Piece:
    (filed,) = shop.books().facts.pieces
    return filed.piece


def step_of(shop: ShopWriter, line: str) -> Step:
    (step,) = only_piece(shop.piece(f"log:\n  - {line}\n")).log
    return step


DAY = date(2026, 2, 15)
ONE_LINE = [
    ("2026-02-15 washed", None, None, "washed"),
    ("2026-02-15 40 min washed", None, 40, "washed"),
    ("2026-02-15 1:15 sanded", time(1, 15), None, "sanded"),
    ("2026-02-15 15:30 sanded", time(15, 30), None, "sanded"),
    ("2026-02-15 15:30 40 min sanded", time(15, 30), 40, "sanded"),
    ("2026-02-15 1 h 15 min sanded", None, 75, "sanded"),
    ("2026-02-15 75 min sanded", None, 75, "sanded"),
    ("2026-02-15 1.5 h sanded", None, 90, "sanded"),
    ("2026-02-15 1 1/2 h sanded", None, 90, "sanded"),
    ("2026-02-15 45min sanded", None, 45, "sanded"),
    ("2026-02-15 2 d left to dry", None, 2880, "left to dry"),
    ("2026-02-15 2 hours of sanding", None, 120, "of sanding"),
    ("2026-02-15 2 coats of shellac", None, None, "2 coats of shellac"),
    ("2026-02-15 3 drawers numbered", None, None, "3 drawers numbered"),
    ("2026-02-15 4 hinges off", None, None, "4 hinges off"),
    ("2026-02-15 1/2 the top stripped", None, None, "1/2 the top stripped"),
    ("2026-02-15 40 min 2 coats of shellac", None, 40, "2 coats of shellac"),
    ("2026-02-15 120 grit on the top", None, None, "120 grit on the top"),
    ("2026-02-15 10 minute soak", None, 10, "soak"),
    ("2026-02-15   40 min   washed", None, 40, "washed"),
    ("2026-02-15 40 Min washed", None, 40, "washed"),
    ("2026-02-15 1 H 15 MIN, washed", None, 75, "washed"),
    ("2026-02-15 40 min; washed", None, 40, "washed"),
    ("2026-02-15 40 min.washed", None, None, "40 min.washed"),
    ("'2026-02-15 40 min note: rinse more'", None, 40, "note: rinse more"),
    ('"2026-02-15 washed, rinsed"', None, None, "washed, rinsed"),
]


@pytest.mark.parametrize(("line", "clock", "minutes", "did"), ONE_LINE)
def test_a_step_on_one_line_is_a_day_a_time_of_day_a_time_taken_and_words(
    shop: ShopWriter, line: str, clock: time | None, minutes: int | None, did: str
) -> None:
    step = step_of(shop, line)
    assert (step.on, step.took, step.did) == (When(DAY, clock), minutes, did)


def test_a_step_written_over_several_lines_is_read_whole(shop: ShopWriter) -> None:
    step = step_of(shop, "2026-02-15 40 min washed with dish soap,\n    rinsed and towelled dry")
    assert (step.took, step.did) == (40, "washed with dish soap, rinsed and towelled dry")


def test_a_time_of_day_does_not_change_the_order_of_uses(shop: ShopWriter) -> None:
    # Ten ounces for 1.00 and then ten for 9.00: the folder named first takes the cheap lot, late as its hour is.
    lot = "  - {{on: 2026-01-{:02}, from: M., what: wax, size: 10 oz, cost: {}, for: shelf}}\n"
    shop.receipts("receipts:\n" + lot.format(10, "1.00") + lot.format(11, "9.00"))
    use = 'log:\n  - {{on: "2026-02-01 {}", did: waxed, used: [10 oz wax]}}\n'
    shop.piece(use.format("23:00"), folder="a-chair").piece(use.format("6:00"), folder="b-chair")
    costs = {sheet.folder: sheet.cost for sheet in shop.books().sheets}
    assert costs == {"a-chair": Decimal("11.00"), "b-chair": Decimal("19.00")}


def costs_of_uses(shop: ShopWriter, used: str, lots: str, costing: str = "first in first out") -> list[Decimal]:
    shop.write({"shop.yaml": f"shop: Quillback Lane\ncurrency: USD\ncosting: {costing}\n"}).receipts(lots)
    shop.piece(f"log:\n  - {{on: 2026-02-01, did: worked, used: {used}}}\n")
    return [withdrawal.cost for withdrawal in shop.books().shelf.withdrawals]


TWO_CANS = "- {on: 2026-01-10, from: M., what: clear coat, count: 2, size: 16 fl oz, cost: 32.00, for: shelf, container: can}\n"
SMALL_THEN_LARGE = """\
- {on: 2026-01-10, from: M., what: clear coat, size: 8 fl oz, cost: 8.00, for: shelf, container: can}
- {on: 2026-01-11, from: M., what: clear coat, size: 32 fl oz, cost: 16.00, for: shelf, container: can}
"""
BOTTLE_THEN_CAN = SMALL_THEN_LARGE.replace("can}\n", "bottle}\n", 1)

SHARES = [
    # a share is of one container of the line, not of all of them: 1/4 of 16 fl oz at 1.00 the ounce
    ("[1/4 can clear coat]", TWO_CANS, "first in first out", ["4.00"]),
    ("[half a can clear coat]", TWO_CANS, "first in first out", ["8.00"]),
    ("[1 1/2 cans of clear coat]", TWO_CANS, "first in first out", ["24.00"]),
    ("[2 cans clear coat]", TWO_CANS, "first in first out", ["32.00"]),
    # first in first out: the oldest lot with that container and something left
    ("[1/2 can clear coat]", SMALL_THEN_LARGE, "first in first out", ["4.00"]),
    ("[8 fl oz clear coat, 1/2 can clear coat]", SMALL_THEN_LARGE, "first in first out", ["8.00", "8.00"]),
    # 6 of the 8 oz are gone: a small can's half is 4 oz, 2 from it at 1.00 and 2 of the next at 0.50
    ("[6 fl oz clear coat, 1/2 can clear coat]", SMALL_THEN_LARGE, "first in first out", ["6.00", "3.00"]),
    # the can is 32 fl oz, and its share is taken from the oldest lot first: 8 oz at 1.00 and 8 at 0.50
    ("[1/2 can clear coat]", BOTTLE_THEN_CAN, "first in first out", ["12.00"]),
    # average: the newest lot with that word; 24.00 for 40 fl oz is 0.60 the ounce
    ("[1/4 can clear coat]", SMALL_THEN_LARGE, "average", ["4.80"]),
    ("[1/2 bottle clear coat]", BOTTLE_THEN_CAN, "average", ["2.40"]),
    ("[8 fl oz clear coat, 1/4 can clear coat]", SMALL_THEN_LARGE, "average", ["4.80", "4.80"]),
    # rest is all that is left, of every lot
    ("[rest clear coat]", SMALL_THEN_LARGE, "first in first out", ["24.00"]),
    ("[6 fl oz clear coat, rest of the clear coat]", SMALL_THEN_LARGE, "first in first out", ["6.00", "18.00"]),
    ("[6 fl oz clear coat, rest clear coat]", SMALL_THEN_LARGE, "average", ["3.60", "20.40"]),
]  # fmt: skip


@pytest.mark.parametrize(("used", "lots", "costing", "costs"), SHARES)
def test_a_share_of_a_container_is_of_one_size_of_the_right_lot(
    shop: ShopWriter, used: str, lots: str, costing: str, costs: list[str]
) -> None:
    assert costs_of_uses(shop, used, lots, costing) == [Decimal(cost) for cost in costs]


def test_under_average_a_days_purchases_come_in_before_its_uses(shop: ShopWriter) -> None:
    lots = SMALL_THEN_LARGE.replace("2026-01-11", "2026-02-01")
    assert costs_of_uses(shop, "[10 fl oz clear coat]", lots, "average") == [Decimal("6.00")]


MIXES = [
    ("{paint: 1, water: 2, makes: 12 fl oz}", ["4.00"]),
    ("{paint: 1, Water: 2, makes: 12 fl oz}", ["4.00"]),
    ("{water: 1 1/2, PAINT: 1/2, makes: 1 cup}", ["2.00"]),
    ("{paint: 1, makes: 12 fl oz}", ["12.00"]),
    ("{paint: 1, glaze: 1, water: 2, makes: 8 fl oz}", ["2.00", "4.00"]),
    ("{water: 3, makes: 12 fl oz}", []),
]


@pytest.mark.parametrize(("mix", "costs"), MIXES)
def test_a_mix_counts_water_among_its_parts_and_takes_none_from_the_shelf(
    shop: ShopWriter, mix: str, costs: list[str]
) -> None:
    shop.receipts(
        "- {on: 2026-01-10, from: M., what: paint, size: 16 fl oz, cost: 16.00, for: shelf}\n"
        "- {on: 2026-01-10, from: M., what: glaze, size: 16 fl oz, cost: 32.00, for: shelf}\n"
    ).piece(f"log:\n  - {{on: 2026-02-01, did: washed over, mix: {mix}}}\n")
    assert [withdrawal.cost for withdrawal in shop.books().shelf.withdrawals] == [Decimal(cost) for cost in costs]


NUMBERS = [
    ("1 sheet sandpaper", Fraction(1)),
    ("2 sheets sandpaper", Fraction(2)),
    ("2 sheets of sandpaper", Fraction(2)),
    ("1/2 sheet sandpaper", Fraction(1, 2)),
    ("1 1/2 sheets sandpaper", Fraction(3, 2)),
    ("1-1/2 sheets sandpaper", Fraction(3, 2)),
    ("0.5 sheet sandpaper", Fraction(1, 2)),
    ("half a sheet sandpaper", Fraction(1, 2)),
    ("a sheet of sandpaper", Fraction(1)),
]


@pytest.mark.parametrize(("used", "sheets"), NUMBERS)
def test_numbers_and_plurals_are_read_as_they_are_written(shop: ShopWriter, used: str, sheets: Fraction) -> None:
    shop.receipts("- {on: 2026-01-10, from: M., what: sandpaper, size: 10 sheets, cost: 10, for: shelf}\n")
    shop.piece(f"log:\n  - {{on: 2026-02-01, did: sanded, used: [{used}]}}\n")
    assert [withdrawal.amount for withdrawal in shop.books().shelf.withdrawals] == [sheets]


def test_half_of_a_unit_is_half_of_it_and_never_half_of_another(shop: ShopWriter) -> None:
    shop.receipts("- {on: 2026-01-10, from: M., what: paint, size: 32 fl oz, cost: 32, for: shelf}\n")
    shop.piece("log:\n  - {on: 2026-02-01, did: painted, used: [half a pint paint]}\n")
    assert [withdrawal.cost for withdrawal in shop.books().shelf.withdrawals] == [Decimal("8.00")]


def test_sheets_and_each_are_not_taken_for_one_another(shop: ShopWriter) -> None:
    shop.receipts("- {on: 2026-01-10, from: M., what: sandpaper, count: 10, cost: 10, for: shelf}\n")
    shop.piece("log:\n  - {on: 2026-02-01, did: sanded, used: [1 sheet sandpaper]}\n")
    assert [problem.name for problem in shop.problems()] == ["unit-of-product"]


@pytest.mark.parametrize("key", ["sales tax", "sales-tax", "sales_tax", "sales  tax", '"sales tax"'])
def test_a_key_may_be_written_with_spaces_hyphens_or_underscores(shop: ShopWriter, key: str) -> None:
    shop.piece(f"sold: {{on: 2026-04-11, price: 380, {key}: 22.80}}\n")
    assert only_piece(shop).sold[0].sales_tax == Decimal("22.80")


@pytest.mark.parametrize("kind", ["contract-labour", "contract labour", "Contract  Labour", "CONTRACT_LABOUR"])
def test_kinds_fold_case_and_spacing(shop: ShopWriter, kind: str) -> None:
    shop.receipts(f"- {{on: 2026-01-10, from: M., what: stripping, cost: 60, for: {kind}}}\n")
    assert [row.kind for row in shop.books().ledger] == ["contract-labour"]


@pytest.mark.parametrize("outlet", ["antiques hall", "Antiques Hall", "ANTIQUES   HALL"])
def test_outlets_fold_case_and_spacing(shop: ShopWriter, outlet: str) -> None:
    shop.piece(f"sold: {{on: 2026-04-11, price: 100, at: {outlet}}}\n")
    assert [row.money_out for row in shop.books().ledger if row.kind == "selling-fees"] == [Decimal("12.00")]


@pytest.mark.parametrize("product", ["paste wax", "Paste Wax", "PASTE   WAX"])
def test_products_fold_case_and_spacing(shop: ShopWriter, product: str) -> None:
    shop.receipts("- {on: 2026-01-10, from: M., what: Paste wax, size: 8 oz, cost: 8, for: shelf}\n")
    shop.piece(f"log:\n  - {{on: 2026-02-01, did: waxed, used: [2 oz {product}]}}\n")
    assert [withdrawal.cost for withdrawal in shop.books().shelf.withdrawals] == [Decimal("2.00")]


ONE_OR_A_LIST = [
    ("flaws: a ring\n", "flaws: [a ring]\n", "flaws"),
    ("sold: {on: 2026-04-11, price: 380}\n", "sold:\n  - {on: 2026-04-11, price: 380}\n", "sold"),
]


@pytest.mark.parametrize(("one", "many", "key"), ONE_OR_A_LIST)
def test_one_and_a_list_of_one_are_the_same(shop: ShopWriter, one: str, many: str, key: str) -> None:
    said = []
    for written in (one, many):
        (value,) = getattr(only_piece(shop.piece(written)), key)
        said.append(value if isinstance(value, str) else value.model_dump(exclude={"spot"}))
    assert said[0] == said[1]


BARE = [
    ("tools.yaml", "tools", "- {tool: sander, on: 2026-01-10, cost: 9, write off: at once}\n"),
    ("trips.yaml", "trips", "- {on: 2026-03-03, miles: 14, to: supply house}\n"),
    ("receipts/2026.yaml", "receipts", "- {on: 2026-01-10, from: M., what: glue, cost: 1, for: supplies}\n"),
]


@pytest.mark.parametrize(("file", "key", "entry"), BARE)
def test_a_bare_list_is_read_as_the_mapping_with_the_one_key_of_its_name(
    shop: ShopWriter, file: str, key: str, entry: str
) -> None:
    bare = shop.write({file: entry}).books().ledger
    under = shop.write({file: f"{key}:\n{entry}"}).books().ledger
    assert [row.money_out for row in bare] == [row.money_out for row in under]
    assert bool(bare) is (key != "trips")
    facts = shop.books().facts
    assert len(facts.receipts[0][1].receipts if key == "receipts" else getattr(facts, key)) == 1


@pytest.mark.parametrize(
    ("word", "hidden"), [("yes", True), ("Yes", True), ("true", True), ("no", False), ("false", False), ("NO", False)]
)
def test_yes_and_no_are_words(shop: ShopWriter, word: str, hidden: bool) -> None:
    assert step_of(shop, f"{{on: 2026-02-15, did: washed, hide: {word}}}").hide is hidden


def test_on_is_a_key_and_no_and_yes_are_words_where_words_are_wanted(shop: ShopWriter) -> None:
    shop.piece("kind: no\nwood: on\nprivate: 012345\noffers: [{on: 2026-03-24, price: 300, answer: no}]\n")
    piece = only_piece(shop)
    assert (piece.kind, piece.wood, piece.private, piece.offers[0].answer) == ("no", "on", "012345", "no")
    assert piece.found is not None
    assert piece.found.on == date(2026, 1, 5)


def test_a_sum_is_read_from_its_text_and_not_through_a_float(shop: ShopWriter) -> None:
    cents = ["0.07", "0.57", "1.10", "4.35", "1005.01", "9007199.99"]
    shop.receipts("".join(f"- {{on: 2026-01-10, from: M., what: glue, cost: {c}, for: other}}\n" for c in cents))
    assert [str(row.money_out) for row in shop.books().ledger] == cents


def test_the_piece_of_the_other_tests_is_found_for_ten(shop: ShopWriter) -> None:
    assert GOOD_PIECE.count("cost: 10.00") == 1
    assert [sheet.cost for sheet in shop.piece().books().sheets] == [Decimal("10.00")]
