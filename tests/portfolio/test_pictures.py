"""Pictures for buyers: upright, in web sizes, on white, and bounded whatever the file is."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from pictures_with_metadata import busy_jpeg, busy_png, exif, segments
from PIL import Image
from shop_writer import ShopWriter

from flipbook.compile import Outcome, compile_shop

RED, GREEN, BLUE, YELLOW, WHITE = (220, 20, 20), (20, 160, 20), (20, 20, 220), (220, 220, 20), (255, 255, 255)
CORNERS = ((0.1, 0.1), (0.9, 0.1), (0.1, 0.9), (0.9, 0.9))


def quarters(width: int = 240, height: int = 160) -> Image.Image:
    """Red, green, blue and yellow: top left, top right, bottom left, bottom right."""
    picture = Image.new("RGB", (width, height), YELLOW)
    picture.paste(RED, (0, 0, width // 2, height // 2))
    picture.paste(GREEN, (width // 2, 0, width, height // 2))
    picture.paste(BLUE, (0, height // 2, width // 2, height))
    return picture


def saved(picture: Image.Image, kind: str, **how: Any) -> bytes:
    stream = io.BytesIO()
    picture.save(stream, kind, **how)
    return stream.getvalue()


def compiled(shop: Any, **files: bytes) -> Outcome:
    """The shop compiled with pictures in its one piece; in a name `_` before the ending is a point."""
    for name, data in files.items():
        stem, _, ending = name.rpartition("_")
        shop.write({f"pieces/oak-stool/photos/{stem}.{ending}": data})
    outcome = compile_shop(shop.piece().root, shop.root / "out")
    assert outcome.books is not None
    return outcome


def published(shop: Any, folder: str = "oak-stool") -> list[Path]:
    """The pictures of the piece, the narrowest first."""
    made = (shop.root / "out" / "portfolio" / folder).glob("*.jpg")
    return sorted(made, key=lambda path: int(path.stem.rpartition("-")[2]))


def corners(path: Path) -> list[tuple[int, ...]]:
    with Image.open(path) as opened:
        picture = opened.convert("RGB")
    return [picture.getpixel((int(picture.width * x), int(picture.height * y))) for x, y in CORNERS]


def near(one: tuple[int, ...], other: tuple[int, ...], by: int = 24) -> bool:
    return all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


# What was done to the upright picture so that a camera writes that orientation (EXIF 2.32, 4.6.4 A, tag 274):
# where row 0 and column 0 of the file lie in the scene.
LYING = {
    1: [],
    2: [Image.Transpose.FLIP_LEFT_RIGHT],
    3: [Image.Transpose.ROTATE_180],
    4: [Image.Transpose.FLIP_TOP_BOTTOM],
    5: [Image.Transpose.TRANSPOSE],
    6: [Image.Transpose.ROTATE_90],
    7: [Image.Transpose.TRANSVERSE],
    8: [Image.Transpose.ROTATE_270],
}


def lying(orientation: int, kind: str) -> bytes:
    picture = quarters()
    for turn in LYING[orientation]:
        picture = picture.transpose(turn)
    assert (picture.size == (240, 160)) == (orientation < 5)
    return saved(picture, kind, exif=exif(orientation))


def made_of(tmp_path: Path, pictures: Mapping[str, tuple[str, bytes]]) -> tuple[dict[str, list[Path]], Outcome]:
    """A shop with a piece for each picture, given by its ending and bytes: what was published of each, narrowest first."""
    shop = ShopWriter(tmp_path / "shop")
    folders = {name: f"piece-{number}" for number, name in enumerate(pictures)}
    for name, (ending, data) in pictures.items():
        shop.piece(folder=folders[name]).write({f"pieces/{folders[name]}/photos/after.{ending}": data})
    outcome = compile_shop(shop.root, shop.root / "out")
    assert outcome.books is not None
    return {name: published(shop, folder) for name, folder in folders.items()}, outcome


def test_a_picture_comes_out_upright(tmp_path: Path) -> None:
    cases = {
        f"{kind} {number}": (kind.lower(), lying(number, kind))
        for kind in ("JPEG", "PNG", "TIFF", "WEBP")
        for number in LYING
    }
    for name, (made,) in made_of(tmp_path, cases)[0].items():
        with Image.open(made) as opened:
            assert opened.size == (240, 160), name
            assert not opened.getexif(), name
        wanted = (RED, GREEN, BLUE, YELLOW)
        assert all(near(got, colour) for got, colour in zip(corners(made), wanted, strict=True)), name


@pytest.mark.parametrize("name", ["after_jpg", "after_png", "after_webp", "after_tif", "after_gif"])
def test_no_metadata_is_left(shop: Any, name: str) -> None:
    kind = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP", "tif": "TIFF", "gif": "GIF"}[name[-3:].removeprefix("_").replace("ebp", "webp")]  # fmt: skip
    picture = quarters(700, 500)
    data = {
        "JPEG": lambda: busy_jpeg(RED, (700, 500)),
        "PNG": lambda: busy_png(RED, (700, 500)),
        "GIF": lambda: saved(picture, "GIF", comment=b"ZqJpegComment"),
    }.get(kind, lambda: saved(picture, kind, exif=exif()))()
    assert b"Zq" in data
    compiled(shop, **{name: data})
    made = published(shop)
    assert made
    for path in made:
        assert b"Zq" not in path.read_bytes()
        assert set(segments(path.read_bytes())) <= {"APP0", "DQT", "SOF", "DHT", "SOS"}
        with Image.open(path) as opened:
            assert not {"exif", "icc_profile", "comment", "xmp", "photoshop"} & set(opened.info)


SIZES = [
    ((240, 160), [(240, 160)]),
    ((480, 320), [(480, 320)]),
    ((481, 320), [(480, 319), (481, 320)]),
    ((960, 640), [(480, 320), (960, 640)]),
    ((1200, 800), [(480, 320), (960, 640), (1200, 800)]),
    ((1600, 900), [(480, 270), (960, 540), (1600, 900)]),
    ((3000, 1500), [(480, 240), (960, 480), (1600, 800)]),
    ((300, 900), [(300, 900)]),
    ((900, 2700), [(480, 1440), (900, 2700)]),
    ((1, 1), [(1, 1)]),
    ((4000, 1), [(480, 1), (960, 1), (1600, 1)]),
    ((1, 4000), [(1, 4000)]),
]


def test_a_picture_is_made_in_web_sizes_and_never_larger_than_it_was(tmp_path: Path) -> None:
    cases = {f"{size}": ("png", saved(Image.new("RGB", size, GREEN), "PNG")) for size, _ in SIZES}
    made, _ = made_of(tmp_path, cases)
    for size, wanted in SIZES:
        found = []
        for path in made[f"{size}"]:
            with Image.open(path) as opened:
                found.append(opened.size)
        assert found == wanted
        page = (made[f"{size}"][0].parent / "index.html").read_text("utf-8")
        assert f'width="{wanted[-1][0]}" height="{wanted[-1][1]}"' in page


def sixteen_bit() -> bytes:
    """A grey ramp of sixteen bits: black, a third, two thirds, white, each a column wide enough to be seen."""
    picture = Image.new("I;16", (240, 160))
    for column in range(240):
        for row in range(160):
            picture.putpixel((column, row), (column // 60) * 21845)
    return saved(picture, "PNG")


def half_see_through(mode: str) -> Image.Image:
    picture = Image.new("RGBA", (240, 160), (*RED, 255))
    picture.paste((0, 0, 0, 0), (0, 0, 120, 160))
    return picture.convert(mode) if mode != "P" else picture.quantize(8)


def see_through_palette() -> bytes:
    picture = Image.new("P", (240, 160), 1)
    picture.putpalette([0, 0, 0, *RED, *[0] * 762])
    picture.paste(0, (0, 0, 120, 160))
    return saved(picture, "PNG", transparency=0)


def see_through_rgb() -> bytes:
    picture = Image.new("RGB", (240, 160), RED)
    picture.paste((0, 0, 0), (0, 0, 120, 160))
    return saved(picture, "PNG", transparency=(0, 0, 0))


def moving() -> bytes:
    frames = [Image.new("P", (240, 160), 0) for _ in range(3)]
    for frame, colour in zip(frames, (GREEN, BLUE, RED), strict=True):
        frame.putpalette([*colour, *[0] * 765])
    return saved(frames[0], "GIF", save_all=True, append_images=frames[1:], duration=100)


GREY = (110, 110, 110)
KINDS = {
    "alpha": ("png", lambda: saved(half_see_through("RGBA"), "PNG"), WHITE, RED),
    "grey and alpha": ("png", lambda: saved(half_see_through("LA"), "PNG"), WHITE, None),
    "WebP with alpha": ("webp", lambda: saved(half_see_through("RGBA"), "WEBP", lossless=True), WHITE, RED),
    "a palette with transparency": ("png", see_through_palette, WHITE, RED),
    "one colour see-through": ("png", see_through_rgb, WHITE, RED),
    "palette": ("png", lambda: saved(quarters().quantize(8), "PNG"), RED, GREEN),
    "CMYK": ("jpg", lambda: saved(quarters().convert("CMYK"), "JPEG", quality=95), RED, GREEN),
    "grey": ("jpg", lambda: saved(Image.new("L", (240, 160), 110), "JPEG"), GREY, GREY),
    "one bit": ("png", lambda: saved(Image.new("1", (240, 160), 1), "PNG"), WHITE, WHITE),
    "sixteen bits": ("png", sixteen_bit, (0, 0, 0), WHITE),
    "an animated GIF": ("gif", moving, GREEN, GREEN),
    "BMP": ("bmp", lambda: saved(quarters(), "BMP"), RED, GREEN),
    "TIFF": ("tiff", lambda: saved(quarters(), "TIFF", compression="tiff_lzw"), RED, GREEN),
    "two pictures in one JPEG": (
        "jpg",
        lambda: saved(quarters(), "MPO", save_all=True, append_images=[Image.new("RGB", (240, 160), BLUE)]),
        RED,
        GREEN,
    ),
    "progressive": ("jpeg", lambda: saved(quarters(), "JPEG", progressive=True, quality=95), RED, GREEN),
    "a name in capitals": ("JPG", lambda: saved(quarters(), "JPEG", quality=95), RED, GREEN),
    "a PNG named as a JPEG": ("jpg", lambda: saved(quarters(), "PNG"), RED, GREEN),
}


def test_pictures_of_every_kind_are_shown(tmp_path: Path) -> None:
    made, outcome = made_of(tmp_path, {name: (ending, make()) for name, (ending, make, _, _) in KINDS.items()})
    assert outcome.problems == []
    for name, (_, _, left, right) in KINDS.items():
        (path,) = made[name]
        with Image.open(path) as opened:
            assert (opened.format, opened.mode, opened.size) == ("JPEG", "RGB", (240, 160)), name
        top_left, top_right, *_ = corners(path)
        assert near(top_left, left), name
        assert right is None or near(top_right, right), name


def test_a_picture_that_is_not_read_is_told(shop: Any) -> None:
    """Phones save HEIC; a maker whose pictures are left out has to be told."""
    outcome = compiled(shop, after_heic=b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(100))
    assert [problem.place.file for problem in outcome.problems] == ["pieces/oak-stool/photos/after.heic"]


@pytest.mark.parametrize("name", ["IMG_2031", "PXL_20260214_093011", "DSC00042", "20260214_093011", "2026-02-14"])
def test_a_cameras_own_name_is_not_read_out_to_a_buyer(shop: Any, name: str) -> None:
    compiled(shop, **{f"{name}_jpg": saved(quarters(), "JPEG")})
    page = (shop.root / "out" / "portfolio" / "oak-stool" / "index.html").read_text("utf-8").casefold()
    assert 'alt="oak stool' in page
    for word in ("img", "pxl", "dsc", "20260214"):
        assert f"oak stool, {word}" not in page


def stamps(shop: Any) -> dict[str, tuple[int, int]]:
    return {path.name: (path.stat().st_ino, path.stat().st_mtime_ns) for path in published(shop)}


def test_a_picture_that_changed_is_made_anew_and_the_old_one_goes(shop: Any) -> None:
    compiled(shop, after_jpg=saved(quarters(1200, 800), "JPEG"), before_jpg=busy_jpeg(BLUE))
    first = stamps(shop)
    compiled(shop, after_jpg=saved(Image.new("RGB", (500, 400), GREEN), "JPEG"))
    second = stamps(shop)
    kept = first.keys() & second.keys()
    assert {name: first[name] for name in kept} == {name: second[name] for name in kept}
    assert (len(kept), len(second)) == (1, 3)


def test_the_same_shop_gives_the_same_bytes(shop: Any, tmp_path: Path) -> None:
    compiled(shop, after_jpg=saved(quarters(1200, 800), "JPEG"), before_png=busy_png(BLUE), detail_gif=moving())
    compile_shop(shop.root, tmp_path / "elsewhere")
    first = {str(p.relative_to(shop.root / "out")): p.read_bytes() for p in (shop.root / "out").rglob("*") if p.is_file()}  # fmt: skip
    other = {str(p.relative_to(tmp_path / "elsewhere")): p.read_bytes() for p in (tmp_path / "elsewhere").rglob("*") if p.is_file()}  # fmt: skip
    assert first == other
    assert sum(name.endswith(".jpg") for name in first) == 5
