"""Words without end, many pictures or none: the pages keep to the screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from flipbook.compile import compile_shop

LONG = "Unbreakableworkstandwithoutanyspace" * 12
SHOPS = {
    "long words": {
        "shop.yaml": f"shop: {LONG}\nmaker: {LONG}\nplace: {LONG}\ncontact: {LONG}\nweb: https://quillback.example/{LONG}\nnotice: {LONG}\ncurrency: USD\n",
        "products.yaml": f"products:\n  ? paint {LONG}\n  : {{type: {LONG}}}\n",
        "receipts/2026.yaml": f"- {{on: 2026-01-02, from: {LONG}, what: paint {LONG}, size: 1 pint, cost: 9999999.99, for: shelf}}\n",
        "pieces/long/piece.yaml": f"""\
piece: {LONG}
kind: {LONG}
wood: {LONG}
size: 134 15/16 x 119 15/16 x 130 15/16 in
built: about 1935
tell: {LONG}
flaws: [{LONG}]
care: {LONG}
found: {{on: 2026-01-03, from: {LONG}, cost: 5}}
log:
  - {{on: 2026-01-04, did: {LONG}, grit: "80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400", used: [{{what: paint {LONG}, amount: 1 fl oz}}]}}
asking: [{{on: 2026-01-05, price: 9999999.99}}]
""",
    },
    "words from right to left": {
        "shop.yaml": "shop: נגרייה\nplace: חיפה\ncontact: 555 0100\ncurrency: USD\n",
        "pieces/a/piece.yaml": "piece: שידה מאלון\nkind: שידה\ntell: שידה ישנה\nfound: {on: 2026-01-03, cost: 5}\n",
    },
    "nothing yet": {"shop.yaml": "shop: Quillback Lane\ncurrency: USD\n"},
    "one bare piece": {
        "shop.yaml": "shop: Quillback Lane\ncurrency: USD\n",
        "pieces/a/piece.yaml": "piece: Stool\nfound: {on: 2026-01-03, cost: 5}\n",
    },
}


@pytest.mark.parametrize("files", SHOPS.values(), ids=SHOPS)
def test_odd_shops_keep_to_the_screen(browser: Any, tmp_path: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    assert compile_shop(tmp_path, tmp_path / "out").books is not None
    page = browser.new_page()
    pages = sorted((tmp_path / "out").rglob("*.html"))
    assert len(pages) >= 4
    for path in pages:
        page.goto(path.as_uri())
        for width in (320, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path
            cut = page.evaluate(
                """() => [...document.querySelectorAll("h1, h2, h3, p, li, dd, dt")].filter(
                    (e) => e.checkVisibility() && !e.closest(".skip, .unseen, .region") && e.scrollWidth > e.clientWidth + 1
                           && getComputedStyle(e).display !== "inline").map((e) => e.outerHTML.slice(0, 60))"""
            )
            assert cut == [], path
    page.close()
