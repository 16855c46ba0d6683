"""A seal that was edited by hand, damaged or misplaced: a problem in its place, and nothing half written."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from sealed_shop import FILES, edited, seal_again, sealed
from shop_writer import Ran, ShopWriter

SEAL = "years/2025.yaml"
STOOL = "pieces/oak-stool/piece.yaml"
DIGEST_OF_LINE = "amount: 435.00\n    digest: "

# what stands there, what it becomes, the problem's name, the text that the problem's line starts with
EDITS = {
    "a figure": ("    amount: 435.00", "    amount: 480.00", "seal-edited", '- key: "1"'),
    "a fact's sum": ("Oak stool, amount: 380.00", "Oak stool, amount: 425.00", "seal-edited", '- key: "1"'),
    "a fact's day": ("{on: 2025-07-01, kind: refund", "{on: 2025-07-02, kind: refund", "seal-edited", '- key: "2"'),
    "a caption": ("caption: Gross receipts or sales", "caption: Receipts", "seal-edited", '- key: "1"'),
    "stock at the end": ("Pine chest, amount: 75.75", "Pine chest, amount: 57.75", "seal-edited", "digest:"),
    "the day it was sealed": ("  sealed: 2026-02-03", "  sealed: 2026-02-04", "seal-edited", "digest:"),
    "a use": ('taken: "1/4 pint"', 'taken: "1/2 pint"', "seal-edited", "digest:"),
    "a figure that is none": ("    amount: 435.00", "    amount: many", "seal-figure", "amount: many"),
    "a figure without cents": ("    amount: 435.00", "    amount: 435", "seal-figure", "amount: 435"),
    "a figure with a mark": ("    amount: 435.00", '    amount: "1,435.00"', "seal-figure", 'amount: "1,435.00"'),
    "a figure that is not a number": ("    amount: 435.00", "    amount: nan", "seal-figure", "amount: nan"),
    "a figure in other digits": ("    amount: 435.00", "    amount: ٤٣٥.00", "seal-figure", "amount: ٤٣٥.00"),
    "a day that is none": ("{on: 2025-07-01, kind: refund", "{on: 2025-07-32, kind: refund", "date", "- {on: 2025-07-32"),
    "a digest that is none": ("year: 2025\n", "year: 2025\n'digest' : 12\n", "duplicate-key", "digest:"),
    "an unknown key": ("  currency: USD", "  currency: USD\n  currancy: USD", "unknown-key", "currancy: USD"),
    "a missing key": ("  currency: USD\n", "", "missing-key", "sealed:"),
    "another year": ("\nyear: 2025\n", "\nyear: 2024\n", "seal-year", "year: 2024"),
    "a year that is none": ("\nyear: 2025\n", "\nyear: MMXXV\n", "seal-year", "year: MMXXV"),
    "a broken bracket": ("  lines:\n", "  lines: [\n", "yaml-bracket", None),
    "an anchor": ("year: 2025\n", "year: &y 2025\n", "anchor", "year: &y"),
    "a tag": ("    amount: 435.00", "    amount: !!float 435.00", "tag", "amount: !!float"),
    "a text in place of the lines": ("  lines:\n", "  settings: none\n  lines:\n", "duplicate-key", None),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "name", "line"), EDITS.values(), ids=EDITS)
def test_an_edit_is_a_problem_in_its_place(shop: ShopWriter, old: str, new: str, name: str, line: str | None) -> None:
    path = sealed(shop).root / SEAL
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    problems = shop.problems()
    assert name in {p.name for p in problems}
    assert {(p.place.file, p.warning) for p in problems} == {(SEAL, False)}
    first = next(p for p in problems if p.name == name)
    assert first.place.line > 0
    if line is not None:
        assert path.read_text("utf-8").splitlines()[first.place.line - 1].lstrip().startswith(line)
    assert shop.check().books is None


WHOLE = {
    "empty": (b"", "seal-broken"),
    "a list": (b"- year: 2025\n", "seal-broken"),
    "a text": (b"sealed\n", "wrong-kind"),
    "cut off": (b"year: 2025\ndigest: '0", "yaml-quote"),
    "not UTF-8": (b"year: 2025\xff\n", "not-utf-8"),
    "brackets": (b"[" * 100_000, "too-deep"),
    "too large": (b"#" * (2 * 1024 * 1024 + 1), "too-large"),
    "a record of nothing": (b"year: 2025\n", "missing-key"),
}


@pytest.mark.parametrize(("data", "name"), WHOLE.values(), ids=WHOLE)
def test_a_file_that_is_no_seal_is_a_problem(
    flipbook: Callable[..., Ran], shop: ShopWriter, data: bytes, name: str
) -> None:
    sealed(shop).write({SEAL: data})
    assert [p.name for p in shop.problems()] == [name]
    for words in (["--seal"], ["--unseal", "--because", "why"], []):
        ran = flipbook("year", "2025", *words, "--shop", shop.root)
        assert ran.code == 1
        assert f"[{name}]" in ran.err
        assert (shop.root / SEAL).read_bytes() == data


def test_a_comment_or_an_indent_in_a_seal_is_no_edit(shop: ShopWriter) -> None:
    path = sealed(shop).root / SEAL
    text = path.read_text("utf-8")
    path.write_bytes(("# kept by M.\n" + text.replace("year: 2025", "year:   2025")).replace("\n", "\r\n").encode())
    assert shop.problems() == []


def test_the_history_of_a_seal_is_kept_from_edits_too(flipbook: Callable[..., Ran], shop: ShopWriter) -> None:
    sealed(shop)
    assert flipbook("year", "2025", "--unseal", "--because", "a slip turned up", "--shop", shop.root).code == 0
    (problem,) = edited(shop, SEAL, "a slip turned up", "nothing much")
    assert problem.name == "seal-edited"


def test_a_broken_seal_is_told_beside_the_problems_of_other_files(shop: ShopWriter) -> None:
    sealed(shop).write({SEAL: "year: [\n", STOOL: "piece: [\n"})
    assert [p.place.file for p in shop.problems()] == [STOOL, SEAL]


def test_a_seal_under_the_name_of_another_year_is_named(shop: ShopWriter) -> None:
    sealed(shop)
    (shop.root / SEAL).rename(shop.root / "years/2024.yaml")
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file) == ("seal-year", "years/2024.yaml")
    assert problem.says == "the file holds the year 2025, and its name says 2024"


@pytest.mark.parametrize("name", ["notes.yaml", "2025.yml", "2025 copy.yaml"])
def test_another_file_in_years_is_pointed_out(shop: ShopWriter, name: str) -> None:
    (problem,) = sealed(shop).write({f"years/{name}": "year: 2025\n"}).problems()
    assert (problem.name, problem.warning, problem.place.file) == ("not-read", True, f"years/{name}")


def test_a_folder_in_place_of_a_seal_is_named(shop: ShopWriter) -> None:
    sealed(shop)
    (shop.root / "years/2024.yaml").mkdir()
    assert [(p.name, p.place.file) for p in shop.problems()] == [("not-a-file", "years/2024.yaml")]


def test_every_edit_of_one_digit_is_noticed(shop: ShopWriter) -> None:
    """Turn each digit of the sealed figures and facts in turn; none passes."""
    path = shop.write(FILES) and seal_again(shop)
    text = path.read_text("utf-8")
    start = text.index("seal:")
    digits = [at for at in range(start, len(text)) if text[at].isdigit()]
    for at in digits[:: max(1, len(digits) // 60)]:
        turned = str((int(text[at]) + 1) % 10)
        path.write_text(text[:at] + turned + text[at + 1 :], "utf-8")
        assert any(not p.warning for p in shop.problems()), text[at - 30 : at + 1]
