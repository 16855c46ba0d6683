"""Pictures that are huge, broken or none at all: bounded in memory, told, and the page is made without them."""

from __future__ import annotations

import io
import os
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pictures_with_metadata import busy_jpeg, exif
from PIL import Image

RED = (220, 20, 20)
MEMORY = 500 * 1024 * 1024


def saved(picture: Image.Image, kind: str, **how: Any) -> bytes:
    stream = io.BytesIO()
    picture.save(stream, kind, **how)
    return stream.getvalue()


def published(shop: Any) -> list[Path]:
    """The pictures of the piece, the narrowest first."""
    made = (shop.root / "out" / "portfolio" / "oak-stool").glob("*.jpg")
    return sorted(made, key=lambda path: int(path.stem.rpartition("-")[2]))


MEASURED = """
import sys
from flipbook.cli.main import main
code = main(["compile", sys.argv[1]])
with open("/proc/self/status") as status:
    peak = next(line.split()[1] for line in status if line.startswith("VmHWM"))
print("PEAK", int(peak) * 1024)
sys.exit(code)
"""


def compile_in_bounds(shop: Any) -> subprocess.CompletedProcess[str]:
    """Compile in a process of its own, which may hold no more memory at any time than is promised."""
    ran = subprocess.run(
        [sys.executable, "-c", MEASURED, str(shop.root)],
        env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert "Traceback" not in ran.stderr, ran.stderr
    peak = int(ran.stdout.rpartition("PEAK ")[2])
    assert peak < MEMORY, f"{peak // 2**20} MiB"
    return ran


def png_of(width: int, height: int) -> bytes:
    """A PNG that is small as a file, and says that it is so wide and high."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    rows = zlib.compressobj(9)
    body = b"".join(rows.compress(bytes(1 + (width + 7) // 8)) for _ in range(min(height, 2000))) + rows.flush()
    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


HUGE = {
    "a JPEG of 108 megapixels": ("jpg", lambda: saved(Image.new("L", (12000, 9000), 110), "JPEG"), (1600, 1200)),
    "a progressive JPEG of 50 megapixels, turned by the camera": (
        "jpg",
        lambda: saved(Image.new("RGB", (8660, 5773), RED), "JPEG", progressive=True, exif=exif(6)),
        (1600, 2400),
    ),
    "a PNG of 24 megapixels": ("png", lambda: saved(Image.new("RGB", (6000, 4000), RED), "PNG"), (1600, 1067)),
}


@pytest.mark.parametrize(("ending", "make", "size"), HUGE.values(), ids=HUGE)
def test_huge_pictures_are_shown_within_bounds(
    shop: Any, ending: str, make: Callable[[], bytes], size: tuple[int, int]
) -> None:
    shop.piece()
    for name in ("after", "before"):
        shop.write({f"pieces/oak-stool/photos/{name}.{ending}": make()})
    ran = compile_in_bounds(shop)
    assert (ran.returncode, ran.stderr) == (0, "")
    with Image.open(published(shop)[-1]) as opened:
        assert abs(opened.width - size[0]) + abs(opened.height - size[1]) <= 1


@pytest.mark.parametrize("mode", ["RGBA", "P"])
def test_pictures_of_63_megapixels_are_shown_or_refused_within_bounds(shop: Any, mode: str) -> None:
    data = saved(Image.new(mode, (7900, 8000), 90), "PNG", compress_level=1)
    shop.piece().write({f"pieces/oak-stool/photos/{name}.png": data for name in ("after", "before")})
    ran = compile_in_bounds(shop)
    assert ran.returncode == 0
    assert bool(published(shop)) != ("no-picture" in ran.stderr)


BROKEN = {
    "a PNG of 900 megapixels": lambda: png_of(30000, 30000),
    "a PNG of 4 thousand million pixels": lambda: png_of(65535, 65535),
    "a JPEG that ends too soon": lambda: busy_jpeg(RED, (900, 700))[:-2000],
    "a JPEG's first bytes": lambda: busy_jpeg(RED)[:20],
    "a text": lambda: b"not a picture at all\n",
    "a page": lambda: b"<!DOCTYPE html><script>alert(1)</script>",
    "a drawing in XML": lambda: b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "nothing": lambda: b"",
    "zeros": lambda: bytes(4096),
    "a PostScript program": lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 100 100\nshowpage\n",
}


def test_a_file_that_is_no_picture_is_a_warning_and_the_page_goes_without(shop: Any) -> None:
    for number, make in enumerate(BROKEN.values()):
        folder = f"piece-{number}"
        shop.piece(folder=folder).write({f"pieces/{folder}/photos/after-front.jpg": make()})
        shop.write({f"pieces/{folder}/photos/before.jpg": saved(Image.new("RGB", (240, 160), RED), "JPEG")})
    ran = compile_in_bounds(shop)
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr.count(": look at: this picture cannot be shown [no-picture]") == len(BROKEN)
    for number, what in enumerate(BROKEN):
        assert f"pieces/piece-{number}/photos/after-front.jpg" in ran.stderr, what
        page = shop.root / "out" / "portfolio" / f"piece-{number}" / "index.html"
        assert page.read_text("utf-8").count("<img") == len([*page.parent.glob("*.jpg")]) == 1, what
