"""`flipbook begin`: a folder with a safe name, and a file that checks and says the title as it was given."""

from __future__ import annotations

import tempfile
from contextlib import redirect_stdout
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import ShopWriter, run_flipbook

from flipbook.cli.main import main

TITLES = [
    ("Bow-front oak workstand", "bow-front-oak-workstand"),
    ("Égérie's café stool", "egerie-s-cafe-stool"),
    ("Oak stool 🪑", "oak-stool"),
    ("🪑", "piece"),
    ("日本の椅子", "piece"),
    ('"Queen" chair', "queen-chair"),
    ("'quoted'", "quoted"),
    ("Chair: the sequel", "chair-the-sequel"),
    ("Chair #4", "chair-4"),
    ("#4 chair", "4-chair"),
    ("- a chair", "a-chair"),
    ("? chair", "chair"),
    ("{chair}", "chair"),
    ("[chair]", "chair"),
    ("*chair & !stool", "chair-stool"),
    ("chair \\ stool", "chair-stool"),
    ("chair: ", "chair"),
    ("~", "piece"),
    ("null", "null"),
    ("yes", "yes"),
    ("1935", "1935"),
    ("...", "piece"),
    ("---", "piece"),
    ("../../etc", "etc"),
    ("/etc/passwd", "etc-passwd"),
    ("  Oak   stool  ", "oak-stool"),
    ("@TITLE@ @DAY@ @FOUND@", "title-day-found"),
    ("shelf", "shelf-piece"),
    ("Shelf!", "shelf-piece"),
    ("Selling fees", "selling-fees-piece"),
    ("Other", "other-piece"),
    ("x" * 500, "x" * 60),
    ("a" * 59 + " b", "a" * 59),
]


@pytest.mark.parametrize(
    ("title", "folder"), TITLES, ids=[folder[:30] + str(n) for n, (_, folder) in enumerate(TITLES)]
)
def test_a_title_makes_a_safe_folder_and_reads_back_as_it_was_given(shop: ShopWriter, title: str, folder: str) -> None:
    ran = run_flipbook("begin", "--shop", shop.root, "--cost", "40", "--from", "Mill Road: M. & Co. #2", "--", title)
    assert (ran.code, ran.err) == (0, "")
    assert sorted(path.name for path in (shop.root / "pieces").iterdir()) == [folder]
    assert sorted(path.name for path in (shop.root / "pieces" / folder).iterdir()) == ["photos", "piece.yaml"]
    assert f"pieces/{folder}/piece.yaml" in ran.out
    (filed,) = shop.books().facts.pieces
    assert shop.problems() == []
    assert filed.piece.piece == " ".join(title.split())
    assert filed.piece.found is not None
    assert (filed.piece.found.from_, str(filed.piece.found.cost)) == ("Mill Road: M. & Co. #2", "40.00")


printable = st.text(alphabet=st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=40).filter(
    str.strip
)


@given(title=printable, seller=printable)
@settings(max_examples=examples(150))
def test_any_title_and_any_seller_read_back_as_they_were_given(title: str, seller: str) -> None:
    with tempfile.TemporaryDirectory() as folder, redirect_stdout(StringIO()):
        shop = ShopWriter(Path(folder) / "my_shop")
        assert main(["begin", f"--shop={shop.root}", "--cost=40", f"--from={seller}", "--", title]) == 0
        (filed,) = shop.books().facts.pieces
        assert shop.problems() == []
        assert filed.piece.piece == " ".join(title.split())
        assert filed.piece.found is not None
        assert filed.piece.found.from_ == " ".join(seller.split())
        assert filed.folder.isascii()
        assert filed.folder.replace("-", "").isalnum()


def test_a_folder_that_is_there_already_is_refused_and_left_as_it_was(shop: ShopWriter) -> None:
    shop.piece("private: mine\n")
    before = (shop.root / "pieces/oak-stool/piece.yaml").read_bytes()
    ran = run_flipbook("begin", "Oak stool", "--shop", shop.root)
    assert ran.code == 2
    assert "pieces/oak-stool already" in ran.err
    assert (shop.root / "pieces/oak-stool/piece.yaml").read_bytes() == before
    assert [path.name for path in (shop.root / "pieces/oak-stool").iterdir()] == ["piece.yaml"]


@pytest.mark.parametrize("stand_in", ["file", "link"])
def test_whatever_bears_the_name_of_the_folder_is_left_as_it_was(shop: ShopWriter, stand_in: str) -> None:
    path = shop.root / "pieces" / "oak-stool"
    path.parent.mkdir()
    path.write_text("mine") if stand_in == "file" else path.symlink_to("gone")
    ran = run_flipbook("begin", "Oak stool", "--shop", shop.root)
    assert ran.code == 2
    assert path.read_text() == "mine" if stand_in == "file" else path.is_symlink()


def test_without_a_cost_the_file_checks_with_one_thing_to_look_at(shop: ShopWriter) -> None:
    ran = run_flipbook("begin", "Oak stool", "--shop", shop.root)
    assert ran.code == 0
    assert "`found:`" in ran.out
    checked = run_flipbook("check", shop.root)
    assert checked.code == 0
    assert "[how-it-came]" in checked.out


def test_the_day_the_seller_and_the_cost_are_written_as_they_were_said(shop: ShopWriter) -> None:
    words = ("begin", "Oak stool", "--on", "2026-02-14", "--from", "Mill Road estate sale", "--cost", "1,240.5")
    shop.run(*words)
    (filed,) = shop.books().facts.pieces
    found = filed.piece.found
    assert found is not None
    assert (found.on, found.from_, str(found.cost)) == (date(2026, 2, 14), "Mill Road estate sale", "1240.50")


def test_a_free_find_costs_nothing(shop: ShopWriter) -> None:
    shop.run("begin", "Kerbside chair", "--cost", "0")
    assert shop.problems() == []
    assert [str(sheet.cost) for sheet in shop.books().sheets] == ["0.00"]


def test_a_sum_in_the_shops_own_sign_is_read_and_in_anothers_refused(shop: ShopWriter) -> None:
    shop.write({"shop.yaml": "shop: Quillback Lane\ncurrency: GBP\n"})
    shop.run("begin", "Oak stool", "--cost", "$40", code=2)
    assert not (shop.root / "pieces").exists()
    shop.run("begin", "Oak stool", "--cost", "£40")
    assert [str(sheet.cost) for sheet in shop.books().sheets] == ["40.00"]


def test_the_first_piece_of_a_shop_makes_the_folder_of_pieces(shop: ShopWriter) -> None:
    assert not (shop.root / "pieces").exists()
    shop.run("begin", "Oak stool")
    assert (shop.root / "pieces" / "oak-stool" / "piece.yaml").is_file()


def test_a_file_in_the_place_of_the_folder_of_pieces_is_told_as_that(shop: ShopWriter) -> None:
    ran = run_flipbook("begin", "Oak stool", cwd=shop.write({"pieces": "mine\n"}).root)
    assert ran.code in (1, 2)
    assert "title that tells it apart" not in ran.err
    assert "pieces" in ran.err
