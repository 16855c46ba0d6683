"""A shop of two hundred pieces for a test, written at once: ten pictures, taken in turns."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image


def two_hundred(root: Path) -> None:
    """Write the shop into a new folder."""
    (root / "pieces").mkdir(parents=True)
    (root / "shop.yaml").write_text("shop: Quillback Lane Refinishing\ncurrency: USD\noutlets: {porch sale: {}}\n")
    pictures = []
    for number in range(10):
        stream = io.BytesIO()
        size = (480, 360) if number % 3 else (300, 400)
        Image.new("RGB", size, (40 + 20 * number, 120, 90)).save(stream, "JPEG")
        pictures.append(stream.getvalue())
    for number in range(200):
        sold = "sold: {on: 2026-02-05, price: 400, at: porch sale}\n" if number >= 60 else ""
        folder = root / "pieces" / f"piece-{number:03}"
        (folder / "photos").mkdir(parents=True)
        (folder / "photos" / "after.jpg").write_bytes(pictures[number % 10])
        (folder / "piece.yaml").write_text(
            f"piece: Oak stool number {number}\nkind: {'stool' if number % 2 else 'bench'}\nsize: 14 x 14 x 18 in\n"
            "photos: [{file: photos/after.jpg, alt: A stool.}]\n"
            f"found: {{on: 2026-01-05, from: Mill Road, cost: 10}}\nasking: [{{on: 2026-02-01, price: 425}}]\n{sold}"
        )
