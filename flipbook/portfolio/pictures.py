"""Photographs for buyers, made anew: turned as the camera says, in web sizes, without any metadata."""

from __future__ import annotations

import hashlib
import io
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from PIL import Image, ImageCms, ImageOps

from flipbook.portfolio.public import PublicPicture, Shot, SizedPicture
from flipbook.shop.folder import ShopFolder
from flipbook.writing import Output

WIDTHS = (480, 960, 1600)
QUALITY = 82
# Measured on the demo's pictures at 1600 pixels: a third of the JPEG's weight. Method 2 takes two fifths of the time of
# the usual 4, and its files are a fifteenth heavier.
WEBP_QUALITY = 80
TALLEST = 16_000
"""What a WebP has room for is 16383 either way."""
MOST_BYTES = 200 * 1024 * 1024
# What a picture may come to once decoded, and half of it when it is see-through, which takes a copy to bring down;
# a larger JPEG is decoded at a fraction of its size and still fits.
MOST_PIXELS = 64_000_000
_FORMATS = ("JPEG", "PNG", "WEBP", "GIF", "TIFF", "BMP")
_KINDS = "a JPEG, PNG, WebP, GIF, TIFF or BMP picture"

# A large picture is decoded alone, so that two of them are never in memory together.
LARGE = 12_000_000
_ONE_LARGE = Lock()

Image.MAX_IMAGE_PIXELS = None  # MOST_PIXELS is looked at after a JPEG's size was brought down


class NoPicture(Exception):
    """A file that cannot be shown as a picture; the text says why."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A picture to be made: its source, and the page's folder that it goes into, both relative."""

    source: str
    folder: str
    shot: Shot


@dataclass(frozen=True, slots=True)
class PictureMade:
    """What was made of a source that bore a mark: its sizes in the page's folder, or why there is no picture."""

    mark: str
    folder: str
    made: tuple[SizedPicture, ...] | NoPicture


PicturesMade = dict[str, PictureMade]
"""The pictures of a shop, by their source."""


def make_pictures(
    shop: ShopFolder,
    wanted: Sequence[Wanted],
    output: Output,
    tick: Callable[[int, int], None],
    made_before: PicturesMade | None = None,
) -> list[PublicPicture | NoPicture]:
    """Each picture wanted, or why there is none, in the order wanted; two cores decode and encode at once.

    One of `made_before` is not even read when its source bears the same mark and its sizes stand as they were left;
    what was made is put there for the next time.
    """
    before = made_before or {}
    made = []
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        for number, picture in enumerate(pool.map(lambda one: _made(shop, one, output, before), wanted), 1):
            made.append(picture)
            tick(number, len(wanted))
    if made_before is not None:
        made_before.clear()
        made_before |= {one.source: picture for one, picture in zip(wanted, made, strict=True) if picture.mark}
    return [_public(one.shot, picture.made) for one, picture in zip(wanted, made, strict=True)]


def _public(shot: Shot, made: tuple[SizedPicture, ...] | NoPicture) -> PublicPicture | NoPicture:
    if isinstance(made, NoPicture):
        return made
    return PublicPicture(sizes=made, shows=shot.shows, caption=shot.caption, alt=shot.alt, step=shot.step)


def _made(shop: ShopFolder, wanted: Wanted, output: Output, before: PicturesMade) -> PictureMade:
    look, folder = shop.look(wanted.source), wanted.folder
    known = before.get(wanted.source)
    if known is not None and (known.mark, known.folder) == (look.mark, folder) and _stands(known, output):
        return known
    made: tuple[SizedPicture, ...] | NoPicture
    try:
        data = _read(shop.root / wanted.source)
        shop.saw(wanted.source, data)
        name = hashlib.sha256(data).hexdigest()[:16]
        made = _made_before(name, folder, output) or _make(data, name, folder, output)
    except NoPicture as fault:
        made = NoPicture(str(fault))  # without the frames that it was raised through, which hold the whole picture
    return PictureMade("" if look.is_young else look.mark, folder, made)


def _stands(known: PictureMade, output: Output) -> bool:
    """Whether every size of a picture stands as it was left; then it is kept."""
    files = [] if isinstance(known.made, NoPicture) else [f"{known.folder}/{file}" for file in _files(known.made)]
    if not all(output.is_as_left(file) for file in files):
        return False
    for file in files:
        output.keep(file)
    return True


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise NoPicture("the picture is over 200 MiB")
        return path.read_bytes()
    except OSError as fault:
        raise NoPicture((fault.strerror or "it cannot be read").lower()) from None


def _files(sizes: Sequence[SizedPicture]) -> list[str]:
    """Every file of a picture, in its page's folder."""
    return [file for size in sizes for file in (size.address, size.webp)]


def _made_before(name: str, folder: str, output: Output) -> tuple[SizedPicture, ...]:
    """The sizes of a picture made by an earlier compile from the same bytes, kept as they are; else nothing."""
    files = output.made_before(folder, f"picture-{name}-")
    sizes = []
    for file in sorted((file for file in files if file.endswith(".jpg")), key=_width):
        try:
            with Image.open(output.out / folder / file) as picture:
                sizes.append(SizedPicture(address=file, width=picture.width, height=picture.height))
        except OSError:
            return ()
    if sorted(_files(sizes)) != sorted(files):
        return ()
    for file in files:
        output.keep(f"{folder}/{file}")
    return tuple(sizes)


def _width(file: str) -> int:
    digits = file.rpartition("-")[2].partition(".")[0]
    return int(digits) if digits.isascii() and digits.isdigit() else 0


def _make(data: bytes, name: str, folder: str, output: Output) -> tuple[SizedPicture, ...]:
    picture = _decoded(data)
    widest = min(picture.width, WIDTHS[-1], max(1, TALLEST * picture.width // picture.height))
    sizes = []
    for width in [*(width for width in WIDTHS if width < widest), widest]:
        height = min(max(1, round(picture.height * width / picture.width)), TALLEST)
        is_whole = (width, height) == picture.size
        sized = picture if is_whole else picture.resize((width, height), Image.Resampling.LANCZOS)
        size = SizedPicture(address=f"picture-{name}-{width}.jpg", width=width, height=height)
        jpeg, webp = io.BytesIO(), io.BytesIO()
        sized.save(jpeg, "JPEG", quality=QUALITY, optimize=True, progressive=True)
        sized.save(webp, "WEBP", quality=WEBP_QUALITY, method=2)
        output.write_picture(f"{folder}/{size.address}", jpeg.getvalue())
        output.write_picture(f"{folder}/{size.webp}", webp.getvalue())
        sizes.append(size)
    return tuple(sizes)


def _decoded(data: bytes) -> Image.Image:
    """The picture upright, in sRGB, on white where it was see-through, no wider than it need be decoded.

    Raises NoPicture.
    """
    try:
        with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
            if opened.format == "JPEG":
                longest = max(WIDTHS) * max(opened.size) // max(1, min(opened.size)) if min(opened.size) else 1
                opened.draft("RGB", (longest, longest))
            pixels = opened.width * opened.height
            most = MOST_PIXELS // 2 if opened.mode in ("RGBA", "LA", "PA") else MOST_PIXELS
            if pixels > most:
                raise NoPicture(f"the picture is over {most // 1_000_000} megapixels")
            with _ONE_LARGE if pixels > LARGE else nullcontext():
                return _on_white(_in_srgb(ImageOps.exif_transpose(_no_larger_than_needed(opened))))
    except NoPicture:
        raise
    except Exception:  # Pillow's readers raise as many kinds as there are ways to break a file
        raise NoPicture(f"it is not {_KINDS}, or it is damaged") from None


def _no_larger_than_needed(opened: Image.Image) -> Image.Image:
    """The picture decoded, and brought down at once when it is several times larger than any size wanted."""
    opened.load()
    factor = min(opened.size) // max(WIDTHS)
    if factor < 2:
        return opened
    if opened.mode in ("P", "PA", "1"):  # a palette's numbers cannot be averaged
        return opened.resize((opened.width // factor, opened.height // factor), Image.Resampling.NEAREST)
    small = opened.reduce(factor)
    small.info = opened.info
    small.getexif().update(opened.getexif())
    return small


def _in_srgb(picture: Image.Image) -> Image.Image:
    profile = picture.info.get("icc_profile")
    if not profile or picture.mode not in ("RGB", "CMYK", "L"):
        return picture
    try:
        srgb = ImageCms.createProfile("sRGB")
        turned = ImageCms.profileToProfile(
            picture, ImageCms.ImageCmsProfile(io.BytesIO(profile)), srgb, outputMode="RGB"
        )
    except (ImageCms.PyCMSError, OSError):
        return picture
    return turned or picture


def _on_white(picture: Image.Image) -> Image.Image:
    """An RGB picture that carries nothing of the file it came from."""
    see_through = picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info
    if see_through:
        layered = picture.convert("RGBA")
        plain = Image.new("RGB", layered.size, "white")
        plain.paste(layered, mask=layered.getchannel("A"))
        return plain
    if picture.mode.startswith("I"):  # sixteen bits a pixel
        picture = picture.point(lambda value: value / 256).convert("L")
    plain = picture.convert("RGB")
    plain.info = {}
    return plain
