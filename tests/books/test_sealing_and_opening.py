"""`flipbook year 2025 --seal` and `--unseal`: what is written, what is refused, and what is kept for good."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from sealed_shop import FILES, edited, seal_again, sealed
from shop_writer import PATIENCE, Ran, ShopWriter, flipbook_environment

from flipbook.books.seal import broken_seal
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import frame_text
from flipbook.shop.reading import source_lines
from flipbook.shop.records.sealed import Seal, YearRecord
from flipbook.shop.sealing import read_seals, text_of_record, write_record

DONE, PROBLEMS, MISUSED = 0, 1, 2
Flipbook = Callable[..., Ran]
SEAL = "years/2025.yaml"
STOOL = "pieces/oak-stool/piece.yaml"


@pytest.fixture
def open_shop(shop: ShopWriter) -> ShopWriter:
    """The invented shop, with no year sealed."""
    return shop.write(FILES)


def held(shop: ShopWriter, year: int = 2025) -> Seal:
    """The seal of a year, which must be there."""
    record = read_seals(ShopFolder(shop.root)).records[year]
    assert record.seal is not None
    return record.seal


def years(shop: ShopWriter) -> list[str]:
    """The names of all that is in years/."""
    return sorted(os.listdir(shop.root / "years")) if (shop.root / "years").exists() else []


def test_a_year_is_sealed_with_its_figures_its_facts_and_its_day(flipbook: Flipbook, open_shop: ShopWriter) -> None:
    ran = flipbook("year", "2025", "--seal", "--shop", open_shop.root)
    assert (ran.code, ran.err) == (DONE, "")
    assert years(open_shop) == ["2025.yaml"]
    text = (open_shop.root / SEAL).read_text("utf-8")
    assert f"  sealed: {date.today()}\n" in text
    assert "    amount: 435.00\n" in text
    fact = "{on: 2025-04-11, kind: sale, piece: oak-stool, what: Oak stool, amount: 380.00, file: pieces/oak-stool/piece.yaml}"
    assert f"        - {fact}\n" in text
    assert "    - {piece: pine-chest, what: Pine chest, amount: 75.75}\n" in text
    assert flipbook("check", open_shop.root).code == DONE


def test_the_seal_of_the_same_books_is_the_same_bytes(open_shop: ShopWriter) -> None:
    first = seal_again(open_shop).read_bytes()
    assert seal_again(open_shop).read_bytes() == first
    assert str(open_shop.root).encode() not in first


def test_sealing_an_unchanged_year_again_says_so_and_changes_nothing(flipbook: Flipbook, shop: ShopWriter) -> None:
    before = (sealed(shop).root / SEAL).read_bytes()
    ran = flipbook("year", "2025", "--seal", "--shop", shop.root)
    assert ran.code == DONE
    assert ran.out == "The tax year 2025 was sealed on 2026-02-03, and no figure has changed since.\n"
    assert (shop.root / SEAL).read_bytes() == before


@pytest.mark.parametrize(("file", "old", "new"), [
    (STOOL, "price: 380.00", "price: many"),
    ("receipts/2026.yaml", "cost: 9.00", "cost: 9.000"),
])  # fmt: skip
def test_a_shop_with_problems_is_not_sealed(
    flipbook: Flipbook, open_shop: ShopWriter, file: str, old: str, new: str
) -> None:
    edited(open_shop, file, old, new)
    ran = flipbook("year", "2025", "--seal", "--shop", open_shop.root)
    assert ran.code == PROBLEMS
    assert f"{file}:" in ran.err
    assert years(open_shop) == []


def test_a_changed_year_is_not_sealed_over(flipbook: Flipbook, shop: ShopWriter) -> None:
    before = (sealed(shop).root / SEAL).read_bytes()
    edited(shop, STOOL, "price: 380.00", "price: 425.00")
    ran = flipbook("year", "2025", "--seal", "--shop", shop.root)
    assert ran.code == PROBLEMS
    assert "[sealed-year]" in ran.err
    assert (shop.root / SEAL).read_bytes() == before


def test_a_year_with_no_facts_is_not_sealed(flipbook: Flipbook, open_shop: ShopWriter) -> None:
    ran = flipbook("year", "2019", "--seal", "--shop", open_shop.root)
    assert (ran.code, ran.out) == (MISUSED, "")
    assert "nothing is logged in the tax year 2019" in ran.err
    assert years(open_shop) == []


def test_an_empty_year_between_two_others_is_not_sealed(flipbook: Flipbook, shop: ShopWriter) -> None:
    line = "- {on: YEAR-01-20, from: M., what: brushes, cost: 9.00, for: supplies}\n"
    shop.write({"receipts/all.yaml": line.replace("YEAR", "2021") + line.replace("YEAR", "2023")})
    ran = flipbook("year", "2022", "--seal", "--shop", shop.root)
    assert ran.code == MISUSED
    assert "nothing is logged in the tax year 2022" in ran.err
    assert flipbook("year", "2023", "--seal", "--shop", shop.root).code == DONE


def test_a_year_that_only_carried_stock_over_can_be_sealed(flipbook: Flipbook, shop: ShopWriter) -> None:
    shop.write(
        {
            "pieces/a/piece.yaml": "piece: A\nfound: {on: 2021-01-05, from: M., cost: 9}\nsold: {on: 2023-01-05, price: 20}\n"
        }
    )
    assert flipbook("year", "2022", "--seal", "--shop", shop.root).code == DONE
    (problem,) = edited(shop, "pieces/a/piece.yaml", "cost: 9", "cost: 8")
    assert str(problem.place) == "pieces/a/piece.yaml:2"


def test_a_year_that_has_not_ended_is_not_sealed(flipbook: Flipbook, shop: ShopWriter) -> None:
    year = date.today().year
    shop.write({"receipts/now.yaml": f"- {{on: {year}-01-01, from: M., what: brushes, cost: 9.00, for: supplies}}\n"})
    ran = flipbook("year", str(year), "--seal", "--shop", shop.root)
    assert (ran.code, ran.out) == (MISUSED, "")
    assert f"the tax year {year} ends on {year}-12-31; it can be sealed from the day after" in ran.err
    assert years(shop) == []


def test_a_year_is_sealed_from_the_day_after_its_last(shop: ShopWriter) -> None:
    # A year of the shop's own that ended yesterday; 29 February starts no year.
    today = date.today()
    if (today.month, today.day) == (2, 29):
        today -= timedelta(days=1)
    shop.write({
        "shop.yaml": f"shop: Q.\ncurrency: USD\ntax: {{rules: plain, year starts: {today:%m-%d}}}\n",
        "receipts/a.yaml": f"- {{on: {today - timedelta(days=9)}, from: M., what: wax, cost: 9.00, for: supplies}}\n",
    })  # fmt: skip
    from shop_writer import run_flipbook

    assert run_flipbook("year", str(today.year - 1), "--seal", "--shop", shop.root).code == DONE


def test_opening_wants_a_reason(flipbook: Flipbook, shop: ShopWriter) -> None:
    before = (sealed(shop).root / SEAL).read_bytes()
    for words in ([], ["--because", ""], ["--because", " \n "]):
        ran = flipbook("year", "2025", "--unseal", *words, "--shop", shop.root)
        assert (ran.code, ran.out) == (MISUSED, "")
        assert "--because" in ran.err
        assert (shop.root / SEAL).read_bytes() == before


def test_on_a_terminal_the_reason_is_asked_for(shop: ShopWriter) -> None:
    sealed(shop)
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "flipbook", "year", "2025", "--unseal", "--shop", str(shop.root)],
        stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=flipbook_environment(),
    ) as running:  # fmt: skip
        os.close(theirs)
        os.write(ours, b"a slip fell out of a drawer\n")
        _, err = running.communicate(timeout=PATIENCE)
    os.close(ours)
    assert (running.returncode, err.decode()) == (DONE, "Why is the tax year 2025 opened again? ")
    assert read_seals(ShopFolder(shop.root)).records[2025].opened[0].why == "a slip fell out of a drawer"


def test_an_opened_year_may_change_and_its_seal_is_kept(flipbook: Flipbook, shop: ShopWriter) -> None:
    sealed(shop)
    edited(shop, STOOL, "price: 380.00", "price: 425.00")
    ran = flipbook("year", "2025", "--unseal", "--because", "a receipt turned up", "--shop", shop.root)
    assert (ran.code, ran.err) == (DONE, "")
    assert shop.problems() == []
    record = read_seals(ShopFolder(shop.root)).records[2025]
    assert record.seal is None
    (opening,) = record.opened
    assert (opening.why, opening.opened_on) == ("a receipt turned up", date.today())
    assert (opening.sealed_on, opening.lines[0].caption) == (date(2026, 2, 3), "Gross receipts or sales")
    assert str(opening.lines[0].amount) == "435.00"


def test_sealing_again_adds_to_what_is_kept(flipbook: Flipbook, shop: ShopWriter) -> None:
    sealed(shop)
    for number, why in enumerate(["first", "second"], 1):
        assert flipbook("year", "2025", "--unseal", "--because", why, "--shop", shop.root).code == DONE
        assert flipbook("year", "2025", "--seal", "--shop", shop.root).code == DONE
        record = read_seals(ShopFolder(shop.root)).records[2025]
        assert record.seal is not None
        assert len(record.opened) == number
    assert [opening.why for opening in record.opened] == ["first", "second"]
    assert len(edited(shop, STOOL, "price: 380.00", "price: 425.00")) == 1


@pytest.mark.parametrize("year", ["2024", "2019"])
def test_a_year_that_is_not_sealed_is_not_opened(flipbook: Flipbook, shop: ShopWriter, year: str) -> None:
    ran = flipbook("year", year, "--unseal", "--because", "why", "--shop", sealed(shop).root)
    assert (ran.code, ran.err) == (MISUSED, f"flipbook: the tax year {year} is not sealed\n")


def test_a_year_is_opened_once(flipbook: Flipbook, shop: ShopWriter) -> None:
    words = ("year", "2025", "--unseal", "--because", "why", "--shop", sealed(shop).root)
    assert flipbook(*words).code == DONE
    before = (shop.root / SEAL).read_bytes()
    assert flipbook(*words).code == MISUSED
    assert (shop.root / SEAL).read_bytes() == before


def test_a_year_can_be_opened_while_the_shop_has_problems(flipbook: Flipbook, shop: ShopWriter) -> None:
    sealed(shop).write({STOOL: "piece: ["})
    assert flipbook("year", "2025", "--unseal", "--because", "why", "--shop", shop.root).code == DONE


@pytest.mark.parametrize("words", [
    ("--seal", "--unseal"), ("--seal", "--because", "why"), ("--because", "why"), ("--seal", "--json"),
])  # fmt: skip
def test_words_that_do_not_go_together_are_refused(
    flipbook: Flipbook, open_shop: ShopWriter, words: tuple[str, ...]
) -> None:
    assert flipbook("year", "2025", *words, "--shop", open_shop.root).code == MISUSED
    assert years(open_shop) == []


def test_help_names_the_seal(flipbook: Flipbook) -> None:
    page = flipbook("year", "--help").out
    assert all(word in page for word in ("--seal", "--unseal", "--because"))


def test_a_seal_that_cannot_be_written_leaves_what_was_there(flipbook: Flipbook, open_shop: ShopWriter) -> None:
    open_shop.write({"years": "a file stands where the folder should be\n"})
    ran = flipbook("year", "2025", "--seal", "--shop", open_shop.root)
    assert ran.code == MISUSED
    assert "years/2025.yaml cannot be written" in ran.err
    assert (open_shop.root / "years").read_text() == "a file stands where the folder should be\n"


def test_a_seal_is_not_written_through_a_link_out_of_the_shop(
    flipbook: Flipbook, open_shop: ShopWriter, tmp_path: Path
) -> None:
    (tmp_path / "elsewhere").mkdir()
    (open_shop.root / "years").symlink_to(tmp_path / "elsewhere")
    ran = flipbook("year", "2025", "--seal", "--shop", open_shop.root)
    assert ran.code == MISUSED
    assert "outside the shop" in ran.err
    assert list((tmp_path / "elsewhere").iterdir()) == []


def test_a_write_that_breaks_off_leaves_the_seal_and_nothing_beside_it(
    shop: ShopWriter, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (sealed(shop).root / SEAL).read_bytes()

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_record(shop.root, YearRecord(year=2025, seal=None))
    assert years(shop) == ["2025.yaml"]
    assert (shop.root / SEAL).read_bytes() == before


def test_a_renamed_caption_of_the_rules_is_silent(shop: ShopWriter) -> None:
    from dataclasses import replace

    sealed(shop)
    books = shop.books()
    renamed = [
        replace(year, lines=tuple(replace(line, caption="Renamed", line="99") for line in year.lines))
        for year in books.years
    ]
    assert broken_seal(held(shop), replace(books, years=tuple(renamed))) == []


def test_a_seal_of_every_form_reads_back(shop: ShopWriter) -> None:
    for rules, currency in (("us", "USD"), ("uk", "GBP"), ("plain", "EUR")):
        settings = FILES["shop.yaml"].replace("rules: us", f"rules: {rules}").replace("USD", currency)
        shop.write({**FILES, "shop.yaml": settings})
        path = seal_again(shop, sealed_on=date(2026, 5, 1))
        assert shop.problems() == []
        record = read_seals(ShopFolder(shop.root)).records[2025]
        assert text_of_record(record).encode() == path.read_bytes()
        assert [p.place.file for p in edited(shop, STOOL, "price: 380.00", "price: 381.00")] == [STOOL]
        path.unlink()


def test_the_error_as_it_is_printed(shop: ShopWriter) -> None:
    (problem,) = edited(sealed(shop), "receipts/2025.yaml", "cost: 23.31", "cost: 32.31")
    assert frame_text(problem, source_lines(shop.root)).splitlines() == [
        "receipts/2025.yaml:2:5: to mend: the tax year 2025 is sealed, and this changes its line 22, "
        "Supplies (not included in Part III), from 23.31 to 32.31 [sealed-year]",
        "",
        "    2    - {on: 2025-01-18, from: Harbour Hardware, what: dust masks, cost: 32.31, for: supplies}",
        "           "
        + "~" * len("{on: 2025-01-18, from: Harbour Hardware, what: dust masks, cost: 32.31, for: supplies}")
        + " supplies: 23.31 when sealed, 32.31 now",
        "",
        "    Put it back, or open the year: `flipbook year 2025 --unseal`; its profit was 97.64 and is 88.64.",
    ]
