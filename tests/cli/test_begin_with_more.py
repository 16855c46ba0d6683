"""`flipbook begin` with days as they are said, words without quotes, a scan, and schemas for an editor."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from shop_writer import Ran, ShopWriter, run_flipbook

from flipbook.measures.lengths import read_size

HOME = "pieces/oak-stool"
SLIP = b"%PDF-1.4\n%%EOF\n"


def begin(shop: ShopWriter, *words: str | Path, code: int = 0) -> Ran:
    return shop.run("begin", *words, code=code)


@pytest.mark.parametrize(
    "words", [["Oak", "stool"], ["Oak stool"], ["--cost", "4", "Oak", "stool"], ["Oak", "--on", "today", "stool"]]
)
def test_the_title_needs_no_quotes(shop: ShopWriter, words: list[str]) -> None:
    begin(shop, *words)
    assert shop.only().piece == "Oak stool"


@pytest.mark.parametrize(("said", "back"), [(None, 0), ("yesterday", 1), ("-3d", 3), ("2d ago", 2)])
def test_the_day_it_came_may_be_said(shop: ShopWriter, said: str | None, back: int) -> None:
    before = date.today()
    begin(shop, "Oak stool", "--cost", "4", *(["--on", said] if said else []))
    found = shop.only().found
    assert found is not None
    assert found.on in (before - timedelta(days=back), date.today() - timedelta(days=back))


def test_what_it_is_and_how_large_stand_in_the_file(shop: ShopWriter) -> None:
    begin(shop, "Oak stool", "--cost", "4", "--kind", "stool: low", "--size", "14 x 12 x 11 1/2 in")
    piece = shop.only()
    assert piece.kind == "stool: low"
    assert piece.size == read_size("14 x 12 x 11 1/2 in")
    assert "14 x 12 x 11 1/2 in" in (shop.root / HOME / "piece.yaml").read_text()


def test_a_scan_is_copied_in_and_named(shop: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "slip.pdf").write_bytes(SLIP)
    words = ("--cost", "40", "--from", "Mill Road: estate sale", "--on", "2026-02-14", "--scan", tmp_path / "slip.pdf")
    ran = begin(shop, "Oak stool", *words)
    path = "receipts/2026-02-14-mill-road-estate-sale.pdf"
    assert (shop.root / HOME / path).read_bytes() == SLIP
    found = shop.only().found
    assert found is not None
    assert (found.scan, str(found.cost)) == ((path,), "40.00")
    assert path in ran.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--scan", "gone.pdf", "--cost", "4"], "there is no file"),
        (["--scan", "shop.yaml", "--cost", "4"], "neither a PDF nor"),
        (["--scan", "shop.yaml"], "`--cost`"),
        (["--from", "M."], "`--cost`"),
        (["--cost", "-4"], "not negative"),
        (["--cost", "4", "--on", "monday"], "for the last one"),
        (["--size", "14 x 12"], "--size"),
        (["--kind", " "], "--kind"),
    ],
)
def test_what_is_misread_makes_no_folder(shop: ShopWriter, words: list[str], says: str) -> None:
    ran = begin(shop, "Oak stool", *words, code=2)
    assert says in ran.err
    assert not (shop.root / "pieces").exists()


def test_an_editor_finds_schemas_beside_the_shop(shop: ShopWriter) -> None:
    begin(shop, "Oak stool")
    schema = json.loads((shop.root / ".flipbook" / "piece.json").read_text("utf-8"))
    assert "log" in schema["properties"]
    assert shop.problems()[0].name == "how-it-came"
    assert len(shop.problems()) == 1


def test_a_file_in_the_place_of_the_schemas_keeps_no_piece_from_beginning(shop: ShopWriter) -> None:
    shop.write({".flipbook": "mine\n"})
    assert begin(shop, "Oak stool").err == ""
    assert (shop.root / ".flipbook").read_text() == "mine\n"


def test_where_the_pictures_go_is_said(shop: ShopWriter) -> None:
    ran = begin(shop, "Oak stool")
    assert f"{HOME}/photos" in ran.out
    assert (shop.root / HOME / "photos").is_dir()
    assert "photos/" in run_flipbook("begin", "--help").out
