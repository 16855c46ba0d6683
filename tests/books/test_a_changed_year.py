"""A sealed year against the books: each way to change a figure is named where it was made; all else is silent."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from sealed_shop import FILES, edited, seal_again, sealed
from shop_writer import Ran, ShopWriter

STOOL, CHEST, BENCH, RACK = (
    f"pieces/{folder}/piece.yaml" for folder in ("oak-stool", "pine-chest", "elm-bench", "ash-rack")
)
BOOK, BEFORE = "receipts/2025.yaml", "receipts/2024.yaml"

# file, what stands there, what it becomes, where the problem points
CHANGES = {
    "a price": (STOOL, "price: 380.00", "price: 425.00", f"{STOOL}:7"),
    "a day of a sale, in the year": (STOOL, "on: 2025-04-11", "on: 2025-04-12", f"{STOOL}:7"),
    "a day of a sale, out of the year": (STOOL, "on: 2025-04-11", "on: 2026-04-11", STOOL),
    "an outlet": (STOOL, "at: antiques hall", "at: porch sale", STOOL),
    "fees given": (STOOL, "  buyer: R.", "  fees: 40.00", f"{STOOL}:7"),
    "sales tax out of a price": (STOOL, "price: 380.00", "price: 360.00\n  sales tax: 20.00", STOOL),
    "a find": (CHEST, "cost: 60.00", "cost: 61.00", f"{CHEST}:3"),
    "a day of a find": (CHEST, "{on: 2025-05-05, from", "{on: 2025-05-04, from", f"{CHEST}:3"),
    "a find of the year before": (RACK, "cost: 7.00", "cost: 8.00", f"{RACK}:2"),
    "a find of the year before, of a piece sold": (STOOL, "cost: 10.00", "cost: 12.00", f"{STOOL}:2"),
    "a use by a piece in hand": (CHEST, "1/2 can", "1/4 can", f"{CHEST}:6"),
    "a use by a piece sold": (STOOL, "1/4 can", "1/2 can", f"{STOOL}:5"),
    "a use of the year before": (STOOL, "2 sheets", "3 sheets", f"{STOOL}:4"),
    "a trip": (CHEST, "miles: 22", "miles: 23", f"{CHEST}:8"),
    "a trip of the shop": ("trips.yaml", "miles: 14", "miles: 15", "trips.yaml:1"),
    "a refund": (RACK, "refund: 50.00", "refund: 55.00", f"{RACK}:4"),
    "a return out of the year": (RACK, "{on: 2025-07-01, refund", "{on: 2026-01-02, refund", RACK),
    "scrapped in another year": (BENCH, "scrapped: {on: 2025-09-01", "scrapped: {on: 2026-02-01", BENCH),
    "kept, not scrapped": (BENCH, "scrapped: {on: 2025-09-01, why: worm}", "kept: {on: 2025-09-01}", f"{BENCH}:2"),
    "given the year after, not scrapped": (BENCH, "scrapped: {on: 2025-09-01, why: worm}", "given: {on: 2026-09-01, to: R.}", BENCH),
    "a supply": (BOOK, "cost: 23.31", "cost: 23.32", f"{BOOK}:2"),
    "a lot": (BOOK, "cost: 32.00", "cost: 33.00", f"{BOOK}:3"),
    "a lot of the year before": (BEFORE, "cost: 24.00", "cost: 26.00", BEFORE),
    "whose cost it was": (BOOK, "for: {oak-stool: 1, pine-chest: 3}", "for: {oak-stool: 3, pine-chest: 1}", f"{BOOK}:7"),
    "an expense of another kind": (BOOK, "for: rent", "for: repairs", f"{BOOK}:8"),
    "income": (BOOK, "amount: 45.00", "amount: 54.00", f"{BOOK}:11"),
    "a tool": ("tools.yaml", "cost: 129.00", "cost: 128.00", "tools.yaml:1"),
    "a tool written off over years": ("tools.yaml", "at once", "7 years", "tools.yaml:1"),
    "what an outlet takes": ("shop.yaml", "takes: 12%", "takes: 15%", "shop.yaml:7"),
    "the costing": ("shop.yaml", "first in first out", "average", "shop.yaml:4"),
    "the rules": ("shop.yaml", "rules: us", "rules: plain", "shop.yaml:3"),
    "a workshop at home": ("shop.yaml", "rules: us", "rules: us, home workshop: 100 sq ft", "shop.yaml"),
}  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "where"), CHANGES.values(), ids=CHANGES)
def test_a_change_of_a_figure_is_an_error_at_the_fact_that_made_it(
    shop: ShopWriter, file: str, old: str, new: str, where: str
) -> None:
    problems = edited(sealed(shop), file, old, new)
    assert problems
    assert {(p.name, p.warning) for p in problems} == {("sealed-year", False)}
    assert {p.place.file for p in problems} == {file}
    assert any(str(p.place) == where or (":" not in where and p.place.file == where) for p in problems)
    for problem in problems:
        assert "2025" in problem.says
        assert "flipbook year 2025 --unseal" in problem.help
        assert "put it back" in problem.help
    assert shop.check().books is None


def test_another_currency_is_told_at_its_key(shop: ShopWriter) -> None:
    shop.write(FILES | {"shop.yaml": FILES["shop.yaml"].replace("rules: us", "rules: plain")})
    seal_again(shop)
    (problem,) = edited(shop, "shop.yaml", "currency: USD", "currency: GBP")
    assert (problem.name, str(problem.place), problem.label) == ("sealed-year", "shop.yaml:2", "now GBP")


def test_the_old_and_the_new_figure_are_told(shop: ShopWriter) -> None:
    (problem,) = edited(sealed(shop), STOOL, "price: 380.00", "price: 425.00")
    assert problem.says == (
        "the tax year 2025 is sealed, and this changes its line 1, Gross receipts or sales, from 435.00 to 480.00"
    )
    assert problem.label == "sale: 380.00 when sealed, 425.00 now"
    # Fees of 12% of the 45.00 more: 45.00 - 5.40 = 39.60 more profit.
    was, now = problem.help.partition("its profit was ")[2].split(" and is ")
    assert (float(now) - float(was)) == pytest.approx(39.60)


def test_a_fact_that_is_gone_is_named_by_the_file_it_stood_in(shop: ShopWriter) -> None:
    (problem,) = edited(
        sealed(shop), BOOK, "  - {on: 2025-01-18, from: Harbour Hardware, what: dust masks, cost: 23.31, for: supplies}\n", ""
    )  # fmt: skip
    assert (problem.place.file, problem.place.line) == (BOOK, 0)
    assert problem.label == "dust masks: 23.31 (supplies) on 2025-01-18 is gone"
    assert "line 22, Supplies (not included in Part III), from 23.31 to 0.00" in problem.says


def test_a_fact_in_a_file_that_is_gone_is_named_by_that_file(shop: ShopWriter) -> None:
    sealed(shop)
    (shop.root / "trips.yaml").unlink()
    assert [str(p.place) for p in shop.problems()] == ["trips.yaml"]


def test_a_new_fact_is_named_by_its_line(shop: ShopWriter) -> None:
    sealed(shop).write(
        {
            "receipts/late.yaml": "# found in a coat\n- {on: 2025-07-07, from: M., what: wax, cost: 8.00, for: supplies}\n"
        }
    )
    (problem,) = shop.problems()
    assert str(problem.place) == "receipts/late.yaml:2"
    assert problem.label == "wax: 8.00 (supplies) on 2025-07-07 was not there when it was sealed"


def test_two_changes_that_come_to_the_same_total_are_both_told(shop: ShopWriter) -> None:
    sealed(shop)
    edited(shop, RACK, "price: 55.00", "price: 56.00")
    problems = edited(shop, STOOL, "price: 380.00", "price: 379.00")
    assert [p.place.file for p in problems] == [RACK, STOOL]
    assert "this changes a fact behind its line 1, Gross receipts or sales" in problems[0].says


def test_every_fact_of_the_year_gone_is_told_file_by_file(shop: ShopWriter) -> None:
    sealed(shop)
    for file in FILES:
        if file != "shop.yaml":
            (shop.root / file).unlink()
    places = [str(p.place) for p in shop.problems() if p.name == "sealed-year"]
    assert places == sorted(set(places))
    assert {BOOK, STOOL, CHEST, BENCH, RACK, "tools.yaml", "trips.yaml"} <= set(places)


def test_a_change_before_two_sealed_years_is_told_for_both(shop: ShopWriter) -> None:
    sealed(shop)
    seal_again(shop, 2024)
    problems = edited(shop, RACK, "cost: 7.00", "cost: 8.00")
    assert [str(p.place) for p in problems] == [f"{RACK}:2"] * 2
    assert sorted(p.says[:22] for p in problems) == ["the tax year 2024 is s", "the tax year 2025 is s"]


def test_a_year_that_starts_on_another_day_is_told_at_the_setting(shop: ShopWriter) -> None:
    shop.write({**FILES, "shop.yaml": FILES["shop.yaml"].replace("rules: us", "rules: plain, year starts: 01-01")})
    seal_again(shop)
    (problem,) = edited(shop, "shop.yaml", "01-01", "04-06")
    assert str(problem.place) == "shop.yaml:3"
    assert problem.label == "now from 2025-04-06 to 2026-04-05"


SILENT = {
    "a private note": (CHEST, "private: a note", "private: another note"),
    "a name": (STOOL, "piece: Oak stool", "piece: 'Oak: stool #4'"),
    "a buyer": (STOOL, "buyer: R.", "buyer: S."),
    "words of a step": (CHEST, "washed", "washed twice"),
    "hours of a step": (CHEST, "40 min", "50 min"),
    "a step without a use": (CHEST, "  - 2025-05-06 40 min washed\n", ""),
    "an asking price": (CHEST, "private: a note", "asking: [{on: 2025-12-01, price: 300}]"),
    "what a receipt bought": (BOOK, "dust masks", "box of masks"),
    "who was paid": (BOOK, "{on: 2025-01-18, from: Harbour Hardware", "{on: 2025-01-18, from: Harbour Hard"),
    "why a trip": ("trips.yaml", "why: paint", "why: paint and rags"),
    "a comment": (BOOK, "income:", "# the class was small\n\nincome:"),
    "the shop's name": ("shop.yaml", "Quillback Lane Refinishing", "Quillback Lane"),
    "another outlet": ("shop.yaml", "  porch sale: {}", "  porch sale: {}\n  web marketplace: {takes: 9%}"),
    "a fact of the next year": ("receipts/2026.yaml", "cost: 9.00", "cost: 11.00"),
    "a sale in the next year": (RACK, "price: 65.00", "price: 75.00"),
    "money in another form": (STOOL, "price: 380.00", 'price: "$380"'),
    "the lines of a receipt turned round": (
        BOOK,
        "      - {what: glides, count: 4, each: 1.25, for: {oak-stool: 1, pine-chest: 3}}\n"
        "      - {what: rent of a stall, cost: 75.00, for: rent}\n",
        "      - {what: rent of a stall, cost: 75.00, for: rent}\n"
        "      - {what: glides, count: 4, each: 1.25, for: {oak-stool: 1, pine-chest: 3}}\n",
    ),
}


@pytest.mark.parametrize(("file", "old", "new"), SILENT.values(), ids=SILENT)
def test_a_change_of_no_figure_is_silent(shop: ShopWriter, file: str, old: str, new: str) -> None:
    assert edited(sealed(shop), file, old, new) == []


def test_a_receipt_moved_to_another_file_is_silent(shop: ShopWriter) -> None:
    line = "- {on: 2025-01-18, from: Harbour Hardware, what: dust masks, cost: 23.31, for: supplies}\n"
    assert edited(sealed(shop), BOOK, f"  {line}", "") != []
    assert shop.write({"receipts/supplies.yaml": line}).problems() == []


def test_a_piece_moved_to_another_folder_is_silent(shop: ShopWriter) -> None:
    sealed(shop)
    (shop.root / "pieces/elm-bench").rename(shop.root / "pieces/elm-settle")
    assert shop.problems() == []


def test_a_photo_is_silent(shop: ShopWriter) -> None:
    sealed(shop).write({"pieces/pine-chest/photos/before.jpg": b"not looked at by check"})
    assert shop.problems() == []


def test_fees_written_out_answer_an_outlet_that_takes_more_now(shop: ShopWriter) -> None:
    assert edited(sealed(shop), "shop.yaml", "takes: 12%", "takes: 15%") != []
    # 12% of 380.00
    assert edited(shop, STOOL, "  buyer: R.", "  fees: 45.60") == []


def test_compile_refuses_and_leaves_the_last_good_output(flipbook: Callable[..., Ran], shop: ShopWriter) -> None:
    sealed(shop)
    assert flipbook("compile", shop.root).code == 0
    ledger = shop.root / "out/books/ledger.csv"
    before = ledger.read_bytes()
    edited(shop, STOOL, "price: 380.00", "price: 425.00")
    ran = flipbook("compile", shop.root)
    assert ran.code == 1
    assert "[sealed-year]" in ran.err
    assert f"{STOOL}:7:3: to mend: " in ran.err
    assert ledger.read_bytes() == before


def test_the_seal_is_no_output_and_compile_leaves_it_alone(flipbook: Callable[..., Ran], shop: ShopWriter) -> None:
    seal: Path = sealed(shop).root / "years/2025.yaml"
    before = seal.read_bytes()
    assert flipbook("compile", shop.root).code == 0
    assert seal.read_bytes() == before
