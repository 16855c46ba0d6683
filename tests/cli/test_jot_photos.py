"""`flipbook jot --photo`: a picture comes into the piece's photos/ under a name of its own, or nothing is written."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from shop_writer import Ran, ShopWriter, run_flipbook

FILE = "pieces/oak-stool/piece.yaml"
DAY = "2026-02-17"


def picture(path: Path, kind: str = "JPEG", colour: str = "tan") -> bytes:
    """A picture on the disk, and its bytes."""
    stream = BytesIO()
    Image.new("RGB", (40, 30), colour).save(stream, kind)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(stream.getvalue())
    return stream.getvalue()


def jot(shop: ShopWriter, *words: str | Path) -> Ran:
    return run_flipbook("jot", "oak-stool", "washed it", "--on", DAY, *words, cwd=shop.root)


def photos(shop: ShopWriter) -> list[str]:
    home = shop.root / "pieces" / "oak-stool" / "photos"
    return sorted(path.name for path in home.iterdir()) if home.exists() else []


def named(shop: ShopWriter) -> list[tuple[str, ...]]:
    (filed,) = shop.books().facts.pieces
    return [step.photos for step in filed.piece.log]


@pytest.mark.parametrize(
    ("source", "kind", "name"),
    [
        ("IMG_2034.JPG", "JPEG", f"during-{DAY}-img-2034.jpg"),
        ("First wash.jpeg", "JPEG", f"during-{DAY}-first-wash.jpeg"),
        ("during-wash.png", "PNG", f"during-{DAY}-wash.png"),
        ("Café: 'oak' #2.webp", "WEBP", f"during-{DAY}-cafe-oak-2.webp"),
        ("صورة.png", "PNG", f"during-{DAY}.png"),
        ("🪑.gif", "GIF", f"during-{DAY}.gif"),
        ("no ending", "JPEG", f"during-{DAY}-no-ending.jpg"),
        ("odd.dat", "PNG", f"during-{DAY}-odd.png"),
        ("-dash.bmp", "BMP", f"during-{DAY}-dash.bmp"),
        ("x" * 200 + ".tif", "TIFF", f"during-{DAY}-{'x' * 40}.tif"),
    ],
)
def test_a_picture_is_copied_under_a_name_that_says_what_it_shows(
    shop: ShopWriter, tmp_path: Path, source: str, kind: str, name: str
) -> None:
    data = picture(tmp_path / "phone" / source, kind)
    ran = jot(shop.piece(), "--photo", tmp_path / "phone" / source)
    assert (ran.code, ran.err) == (0, "")
    assert photos(shop) == [name]
    assert (shop.root / "pieces/oak-stool/photos" / name).read_bytes() == data
    assert (tmp_path / "phone" / source).read_bytes() == data
    assert named(shop) == [(f"photos/{name}",)]
    assert f"photos/{name}" in ran.out


def test_a_name_that_is_there_already_gets_a_number(shop: ShopWriter, tmp_path: Path) -> None:
    shop.piece()
    first, second = tmp_path / "a" / "1.jpg", tmp_path / "b" / "1.jpg"
    one, two = picture(first), picture(second, colour="navy")
    assert jot(shop, "--photo", first, "--photo", second).code == 0
    assert jot(shop, "--photo", first).code == 0
    names = [f"during-{DAY}-1{more}.jpg" for more in ("", "-2", "-3")]
    assert photos(shop) == sorted(names)
    home = shop.root / "pieces/oak-stool/photos"
    assert [(home / name).read_bytes() for name in names] == [one, two, one]
    assert named(shop) == [(f"photos/{names[0]}", f"photos/{names[1]}"), (f"photos/{names[2]}",)]


def test_a_piece_that_lists_its_pictures_is_told_that_buyers_do_not_see_this_one(
    shop: ShopWriter, tmp_path: Path
) -> None:
    picture(tmp_path / "1.jpg")
    assert "Buyers see" not in jot(shop.piece(), "--photo", tmp_path / "1.jpg").out
    picture(shop.root / "pieces/oak-stool/photos/after.jpg")
    shop.piece("photos: [{file: photos/after.jpg, shows: after}]\n")
    assert "Buyers see" in jot(shop, "--photo", tmp_path / "1.jpg").out


@pytest.mark.parametrize("shows", ["before", "during", "after", "detail"])
def test_what_it_shows_is_the_first_word_of_its_name(shop: ShopWriter, tmp_path: Path, shows: str) -> None:
    picture(tmp_path / "1.jpg")
    assert jot(shop.piece(), "--photo", tmp_path / "1.jpg", "--shows", shows).code == 0
    assert photos(shop) == [f"{shows}-{DAY}-1.jpg"]
    out = shop.root / "out"
    assert run_flipbook("compile", shop.root).code == 0
    assert list((out / "portfolio").rglob("*.jpg"))


def test_another_word_for_what_it_shows_is_misuse(shop: ShopWriter, tmp_path: Path) -> None:
    picture(tmp_path / "1.jpg")
    ran = jot(shop.piece(), "--photo", tmp_path / "1.jpg", "--shows", "middle")
    assert (ran.code, photos(shop)) == (2, [])
    assert "during" in ran.err


def test_a_picture_that_is_in_the_folder_already_is_named_and_not_copied(shop: ShopWriter) -> None:
    path = shop.piece().root / "pieces/oak-stool/photos/after-top.jpg"
    picture(path)
    assert jot(shop, "--photo", "pieces/oak-stool/photos/after-top.jpg").code == 0
    assert photos(shop) == ["after-top.jpg"]
    assert named(shop) == [("photos/after-top.jpg",)]


def test_a_picture_of_another_piece_is_copied(shop: ShopWriter) -> None:
    shop.piece()
    picture(shop.root / "pieces/elm/photos/after.jpg")
    assert jot(shop, "--photo", "pieces/elm/photos/after.jpg").code == 0
    assert photos(shop) == [f"during-{DAY}.jpg"]


def whole_and_cut(kind: str) -> bytes:
    stream = BytesIO()
    Image.effect_noise((200, 150), 90).convert("RGB").save(stream, kind)
    return stream.getvalue()[: len(stream.getvalue()) // 2]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is not a JPEG"),
        (b"these are words", "is not a JPEG"),
        (b"\xff\xd8\xff\xe0 but no more of it", "is not a JPEG"),
        (b"%PDF-1.4\n", "is not a JPEG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is not a JPEG"),
        (whole_and_cut("JPEG"), "damaged"),
        (whole_and_cut("PNG"), "damaged"),
        (None, "there is no file"),
    ],
)
def test_what_is_no_picture_is_refused_with_a_sentence(
    shop: ShopWriter, tmp_path: Path, content: bytes | None, says: str
) -> None:
    before = (shop.piece().root / FILE).read_bytes()
    if content is not None:
        (tmp_path / "1.jpg").write_bytes(content)
    ran = jot(shop, "--photo", tmp_path / "1.jpg")
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    assert ran.err.count("\n") == 1
    assert photos(shop) == []
    assert (shop.root / FILE).read_bytes() == before


def test_a_folder_is_no_picture(shop: ShopWriter, tmp_path: Path) -> None:
    ran = jot(shop.piece(), "--photo", tmp_path)
    assert ran.code == 2
    assert "there is no file" in ran.err


def test_one_bad_picture_of_two_keeps_both_out(shop: ShopWriter, tmp_path: Path) -> None:
    picture(tmp_path / "1.jpg")
    (tmp_path / "2.jpg").write_bytes(b"words")
    before = (shop.piece().root / FILE).read_bytes()
    assert jot(shop, "--photo", tmp_path / "1.jpg", "--photo", tmp_path / "2.jpg").code == 2
    assert photos(shop) == []
    assert (shop.root / FILE).read_bytes() == before


def test_a_refused_step_brings_no_picture(shop: ShopWriter, tmp_path: Path) -> None:
    picture(tmp_path / "1.jpg")
    before = (shop.piece().root / FILE).read_bytes()
    ran = jot(shop, "--photo", tmp_path / "1.jpg", "--used", "1 fl oz fig blue paint")
    assert ran.code == 1
    assert "[not-on-the-shelf]" in ran.err
    assert photos(shop) == []
    assert (shop.root / FILE).read_bytes() == before


def test_a_link_out_of_the_shop_takes_no_picture(shop: ShopWriter, tmp_path: Path) -> None:
    picture(tmp_path / "1.jpg")
    (tmp_path / "elsewhere").mkdir()
    (shop.piece().root / "pieces/oak-stool/photos").symlink_to(tmp_path / "elsewhere")
    before = (shop.root / FILE).read_bytes()
    ran = jot(shop, "--photo", tmp_path / "1.jpg")
    assert ran.code == 2
    assert "link" in ran.err
    assert list((tmp_path / "elsewhere").iterdir()) == []
    assert (shop.root / FILE).read_bytes() == before
