"""Draws the pictures and the till slips of the demo shop again.

    python demo_shop/draw.py            all of them
    python demo_shop/draw.py rocker     those with `rocker` in their path

The same program with the same Pillow writes the same bytes every time.
"""

import sys
from pathlib import Path

from drawing.pictures import PICTURES, Picture
from drawing.sheet import Sheet
from drawing.slips import slips
from PIL import Image

SHOP = Path(__file__).resolve().parent
ORIENTATION_TAG = 0x0112
LARGEST = 72_000  # bytes; a busy picture is saved a little more coarsely
SIDEWAYS = {6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


def draw_picture(key: str, picture: Picture, path: Path) -> None:
    """Draw one picture and write it as a JPEG, turned as its orientation says."""
    wide, high = (900, 1200) if picture.tall else (1200, 900)
    sheet = Sheet(wide, high, key, picture.zoom, picture.at)
    for step in picture.steps:
        step(sheet)
    image = sheet.finished()
    exif = Image.Exif()
    if picture.orientation != 1:
        image = image.transpose(SIDEWAYS[picture.orientation])
        exif[ORIENTATION_TAG] = picture.orientation
    path.parent.mkdir(parents=True, exist_ok=True)
    for quality in (80, 74, 68, 62):
        image.save(path, "JPEG", quality=quality, optimize=True, exif=exif)
        if path.stat().st_size <= LARGEST:
            break


def main(wanted: str = "") -> None:
    """Draw everything whose path has `wanted` in it."""
    for key, picture in PICTURES.items():
        folder, name = key.split("/")
        path = SHOP / "pieces" / folder / "photos" / f"{name}.jpg"
        if wanted in str(path.relative_to(SHOP)):
            draw_picture(key, picture, path)
    for path, slip in slips(SHOP):
        if wanted in str(path.relative_to(SHOP)):
            path.parent.mkdir(parents=True, exist_ok=True)
            slip.save(path, "PNG", optimize=True)


if __name__ == "__main__":
    main(*sys.argv[1:2])
