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

from flipbook.pages.public import PublicPicture, Shot, SizedPicture
from flipbook.pages.writing import Output

WIDTHS = (480, 960, 1600)
QUALITY = 82
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


def make_pictures(
    root: Path, wanted: Sequence[Wanted], output: Output, tick: Callable[[int, int], None]
) -> list[PublicPicture | NoPicture]:
    """Each picture wanted, or why there is none, in the order wanted; two cores decode and encode at once."""
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        made = []
        for number, picture in enumerate(pool.map(lambda one: _made(root, one, output), wanted), 1):
            made.append(picture)
            tick(number, len(wanted))
    return made


def _made(root: Path, wanted: Wanted, output: Output) -> PublicPicture | NoPicture:
    try:
        data = _read(root / wanted.source)
        name = hashlib.sha256(data).hexdigest()[:16]
        sizes = _made_before(name, wanted.folder, output) or _make(data, name, wanted.folder, output)
    except NoPicture as fault:
        return fault
    return PublicPicture(sizes=sizes, shows=wanted.shot.shows, caption=wanted.shot.caption, alt=wanted.shot.alt)


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise NoPicture("the picture is over 200 MiB")
        return path.read_bytes()
    except OSError as fault:
        raise NoPicture((fault.strerror or "it cannot be read").lower()) from None


def _file(name: str, width: int) -> str:
    return f"picture-{name}-{width}.jpg"


def _made_before(name: str, folder: str, output: Output) -> tuple[SizedPicture, ...]:
    """The sizes of a picture made by an earlier compile from the same bytes, kept as they are; else nothing."""
    sizes = []
    for file in sorted(output.made_before(folder, f"picture-{name}-"), key=lambda f: int(f.rpartition("-")[2][:-4])):
        try:
            with Image.open(output.out / folder / file) as picture:
                sizes.append(SizedPicture(address=file, width=picture.width, height=picture.height))
        except OSError:
            return ()
    for size in sizes:
        output.keep(f"{folder}/{size.address}")
    return tuple(sizes)


def _make(data: bytes, name: str, folder: str, output: Output) -> tuple[SizedPicture, ...]:
    picture = _decoded(data)
    widths = [width for width in WIDTHS if width < picture.width] + [min(picture.width, WIDTHS[-1])]
    widths = sorted(set(widths))
    sizes = []
    for width in widths:
        height = max(1, round(picture.height * width / picture.width))
        sized = picture if width == picture.width else picture.resize((width, height), Image.Resampling.LANCZOS)
        stream = io.BytesIO()
        sized.save(stream, "JPEG", quality=QUALITY, optimize=True, progressive=True)
        output.write(f"{folder}/{_file(name, width)}", stream.getvalue())
        sizes.append(SizedPicture(address=_file(name, width), width=width, height=height))
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
