"""What is refused in shop.yaml, products.yaml, tools.yaml and trips.yaml, which FORMAT.md gives a heading each."""

from __future__ import annotations

import pytest
from marked import expect_one, unmarked
from shop_writer import GOOD_SHOP, ShopWriter

NAMED = "shop: Quillback Lane Refinishing\ncurrency: USD\n"
SANDER = "- {tool: sander, on: 2026-01-10, cost: 129.00, write off: at once}\n"
DRIVE = "- {on: 2026-03-03, miles: 14, to: supply house}\n"

REFUSED = [
    # shop.yaml
    ("shop.yaml", "«currency»: USD\n", "missing-key", "add a line `shop: …`"),
    ("shop.yaml", "«shop»: Quillback Lane\n", "missing-key", "add a line `currency: …`"),
    ("shop.yaml", "«shop»:\ncurrency: USD\n", "missing-key", "add a line `shop: …`"),
    ("shop.yaml", "shop: «\"\"»\ncurrency: USD\n", "empty", "a few words"),
    ("shop.yaml", "shop: Quillback Lane\ncurrency: «usd»\n", "currency", "write `USD`"),
    ("shop.yaml", "shop: Quillback Lane\ncurrency: «$»\n", "currency", "`USD`"),
    ("shop.yaml", "shop: Quillback Lane\ncurrency: «dollars»\n", "currency", "`USD`"),
    ("shop.yaml", NAMED + "tax: {rules: «american»}\n", "rules", "`plain`, `uk` or `us`"),
    ("shop.yaml", NAMED + "tax: «us»\n", "wrong-kind", "`rules`"),
    ("shop.yaml", NAMED + "tax: {rules: plain, year starts: «02-29»}\n", "month-and-day", "`04-06`"),
    ("shop.yaml", NAMED + "tax: {rules: plain, year starts: «31-12»}\n", "month-and-day", "`04-06`"),
    ("shop.yaml", NAMED + "tax: {rules: plain, year starts: «April 6»}\n", "month-and-day", "`04-06`"),
    ("shop.yaml", NAMED + "tax: {rules: us, year starts: «01-01»}\n", "year-is-fixed", "take `year starts` out"),
    ("shop.yaml", NAMED + "tax: {rules: us, home workshop: «180»}\n", "amount", "write it with one"),
    ("shop.yaml", NAMED + "tax: {rules: us, home workshop: «180 ft»}\n", "home-workshop", "`180 sq ft`"),
    ("shop.yaml", NAMED + "time is worth: «24 per hour»\n", "money", "write `24`"),
    ("shop.yaml", NAMED + "costing: «fifo»\n", "costing", "`first in first out` or `average`"),
    ("shop.yaml", NAMED + "costing: «averge»\n", "costing", "write `average`"),
    ("shop.yaml", NAMED + "price steps: {hold: «7», drop: 5%}\n", "time-taken", "`7 min`"),
    ("shop.yaml", NAMED + "price steps: {hold: 7 d, «dropp»: 5%}\n", "unknown-key", "write `drop`"),
    ("shop.yaml", NAMED + "outlets: «[porch sale]»\n", "wrong-kind", "`porch sale: {}`"),
    ("shop.yaml", NAMED + "outlets: {porch sale: «12%»}\n", "wrong-kind", "`takes`"),
    ("shop.yaml", NAMED + "outlets: {porch sale: {«take»: 12%}}\n", "unknown-key", "write `takes`"),
    ("shop.yaml", NAMED + "outlets: {porch sale: {}, «Porch  Sale»: {}}\n", "duplicate-key", "keep one"),
    ("shop.yaml", NAMED + "web: «quillback.example»\n", "web-address", "`https://quillback.example/`"),
    ("shop.yaml", NAMED + "web: «javascript:alert(1)»\n", "web-address", "`https://quillback.example/`"),
    # products.yaml
    ("products.yaml", "products: {wax: {covers: «75 sq ft»}}\n", "coverage", "`75 sq ft per pint`"),
    ("products.yaml", "products: {wax: {covers: «1 pint per 75 sq ft»}}\n", "coverage", "`75 sq ft per pint`"),
    ("products.yaml", "products: {wax: {recoat: «4»}}\n", "time-taken", "`4 min` or `4 h`"),
    ("products.yaml", "products: {wax: {«cures»: 4 h}}\n", "unknown-key", "write `cure`"),
    ("products.yaml", "products: {wax: {}, «WAX»: {}}\n", "duplicate-key", "keep one"),
    ("products.yaml", "«product»: {wax: {}}\n", "unknown-key", "write `products`"),
    # tools.yaml
    ("tools.yaml", SANDER.replace("at once", "«3 years»"), "write-off", "write `"),
    ("tools.yaml", SANDER.replace("at once", "«slowly»"), "write-off", "`section 179`"),
    ("tools.yaml", "- «{tool: sander, on: 2026-01-10, cost: 9}»\n", "missing-key", "add a line `write off: …`"),
    ("tools.yaml", "- «{on: 2026-01-10, cost: 9, write off: at once}»\n", "missing-key", "add a line `tool: …`"),
    ("tools.yaml", SANDER.replace("}", ", sold: {on: «2026-01-09», price: 5}}"), "dates-run-backwards", "both dates"),
    # trips.yaml
    ("trips.yaml", "- «{on: 2026-03-03, to: supply house}»\n", "distance", "`miles: 22` or `km: 35`"),
    ("trips.yaml", DRIVE.replace("14", "14, km: «22»"), "distance", "`miles: 22` or `km: 35`"),
    ("trips.yaml", "- «{on: 2026-03-03, miles: 14}»\n", "missing-key", "add a line `to: …`"),
    ("trips.yaml", DRIVE.replace("}", ", for: «supplies»}"), "trip-for", "leave `for` out"),
    ("trips.yaml", DRIVE.replace("}", ", for: «oak-stol»}"), "no-such-piece", "write `oak-stool`"),
    ("trips.yaml", DRIVE.replace("}", ", for: {oak-stool: 1, «oak-stol»: 1}}"), "no-such-piece", "write `oak-stool`"),
    ("trips.yaml", DRIVE.replace("}", ", for: {oak-stool: «0»}}"), "share", "greater than 0"),
    ("trips.yaml", "trips: «{on: 2026-03-03}»\n", "wrong-kind", "`- `"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "marked", "name", "hint"), REFUSED)
def test_what_the_shops_own_files_cannot_say_is_refused(
    shop: ShopWriter, file: str, marked: str, name: str, hint: str
) -> None:
    text, expected = unmarked(marked)
    shop.piece().write({file: text})
    expect_one(shop.problems(), file, text, expected, name, hint)


def test_a_misread_currency_is_the_one_problem_told_of_the_sums_below_it(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": "shop: Quillback Lane\ncurrency: POUNDS\n"}).piece(
        "asking:\n  - {on: 2026-03-01, price: £40}\n"
    )
    assert [(p.place.file, p.name) for p in shop.problems()] == [("shop.yaml", "currency")]


def test_home_workshop_outside_the_us_rules_is_told_and_not_passed_over(shop: ShopWriter) -> None:
    text, expected = unmarked(NAMED + "tax: {rules: plain, home workshop: «180 sq ft»}\n")
    shop.write({"shop.yaml": text})
    assert [(p.place.line, p.place.column) for p in shop.problems()] == [(expected.line, expected.column)]


@pytest.mark.parametrize("folder", ["shelf", "supplies", "Selling Fees", "selling_fees", "other", "SHELF"])
def test_a_piece_may_not_be_named_by_a_word_that_for_knows(shop: ShopWriter, folder: str) -> None:
    shop.piece(folder=folder)
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("folder-name", f"pieces/{folder}")
    assert "rename the folder" in problem.help
    assert shop.check().books is None


def test_a_good_shop_has_no_problem(shop: ShopWriter) -> None:
    assert shop.write({"tools.yaml": SANDER, "trips.yaml": DRIVE, "shop.yaml": GOOD_SHOP}).piece().problems() == []
