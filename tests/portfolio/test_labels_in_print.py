"""Tags and cards as Chromium prints them, on A4 and on US Letter: nothing is cut, and nothing lies over two sheets."""

from __future__ import annotations

import io
import re
import shutil
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser
from shop_writer import REPOSITORY, ShopWriter

from flipbook.portfolio.labels import cards_page, tags_page
from flipbook.portfolio.product_data import canonical
from flipbook.portfolio.public import PublicPiece, PublicShop, public_piece, public_shop
from flipbook.trade.cautions import CAUTIONS

# ISO 216 and ANSI/ASME Y14.1, in millimetres, less margins of 10 mm.
SHEETS = {"A4": (210 - 20, 297 - 20), "Letter": (215.9 - 20, 279.4 - 20)}
DOTS_TO_A_MM = 96 / 25.4
WIDE = "W" * 300
FULL_WIDTH = "木の洗面台" * 60

MEASURE = """(kind) => [...document.querySelectorAll(kind)].map((one) => {
  const box = one.getBoundingClientRect();
  const out = [...one.querySelectorAll("h2, h3, p, svg, footer")].filter((part) => {
    const inner = part.getBoundingClientRect();
    return inner.right > box.right + 0.5 || inner.bottom > box.bottom + 0.5 || part.scrollWidth > part.clientWidth + 1;
  });
  const lines = [...one.children].map((part) => part.getBoundingClientRect());
  const over = lines.filter((line, i) => i && line.top < lines[i - 1].bottom - 0.5);
  return {width: box.width, height: box.height, out: out.map((part) => part.outerHTML.slice(0, 80)), over: over.length};
})"""


@dataclass(frozen=True)
class Measured:
    """A tag or card in print: its box in millimetres, and what stands outside of it or over what is above."""

    width: float
    height: float
    out: tuple[str, ...]
    over: int


@dataclass(frozen=True)
class Printed:
    """A page in print: its tags or cards, how many sheets it took by the paper's name, and the addresses in its codes."""

    parts: tuple[Measured, ...]
    sheets: dict[str, int]
    addresses: tuple[str, ...]


def print_all(browser: Browser, folder: Path) -> dict[str, Printed]:
    """Every page of a folder as it is printed."""
    printed = {}
    page = browser.new_page(viewport={"width": 718, "height": 1000}, device_scale_factor=2)
    page.emulate_media(media="print")
    for file in sorted(folder.glob("*.html")):
        page.goto(file.as_uri())
        kind = ".tag" if "tags" in file.name else ".card"
        parts = tuple(
            Measured(one["width"] / DOTS_TO_A_MM, one["height"] / DOTS_TO_A_MM, tuple(one["out"]), one["over"])
            for one in page.evaluate(MEASURE, kind)
        )
        codes: tuple[str, ...] = ()
        if kind == ".tag":
            seen = Image.open(io.BytesIO(page.screenshot(full_page=True)))
            codes = tuple(code.text for code in zxingcpp.read_barcodes(seen))
        # Chromium's PDF has an object of type Page for each.
        sheets = {paper: len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) for paper in SHEETS}
        printed[file.stem] = Printed(parts, sheets, codes)
    page.close()
    return printed


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> tuple[PublicShop, tuple[PublicPiece, ...]]:
    """A shop, and seven pieces that are much alike."""
    shop = ShopWriter(tmp_path_factory.mktemp("print") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane\nplace: Port Ellery\ncontact: hello@quillback.example\nweb: https://quillback.example/\ncurrency: SEK\n"})  # fmt: skip
    for number in range(7):
        more = "kind: chest of drawers\nsize: 34 x 19 x 30 1/2 in\nwood: oak, oak veneer on the drawer fronts\nbuilt: about 1935\nasking: [{on: 2026-03-20, price: 1425}]\n"
        shop.piece(more, folder=f"chest-{number}")
    facts = shop.books().facts
    return public_shop(facts), tuple(public_piece(filed, facts, ()) for filed in facts.pieces)


@pytest.fixture(scope="module")
def printed(records: tuple[PublicShop, tuple[PublicPiece, ...]], tmp_path_factory: pytest.TempPathFactory, browser: Browser) -> dict[str, Printed]:  # fmt: skip
    """Pages of usual words, of words without end, and of letters as wide as they come."""
    folder = tmp_path_factory.mktemp("sheets")
    shutil.copy(REPOSITORY / "templates" / "labels" / "style.css", folder)
    shop, pieces = records
    cautions = tuple(caution.buyer for caution in CAUTIONS if caution.buyer)
    for name, words in (("usual", ""), ("wide", WIDE), ("full-width", FULL_WIDTH)):
        made, by = list(pieces), shop
        if words:
            by = replace(shop, name=words, place=words, contact=words)
            most = "134 15/16 W x 119 15/16 D x 130 15/16 H in"
            made = [
                replace(piece, title=words, wood=words, built=words, finish=words, price="10,000,000.00 SEK", size_inches=most,
                        size_centimetres="342.5 W x 304.5 D x 332.5 H cm", care=(words * 20,), cautions=cautions)
                for piece in pieces
            ]  # fmt: skip
        (folder / f"tags {name}.html").write_bytes(tags_page(by, made))
        (folder / f"cards {name}.html").write_bytes(cards_page(by, [(piece, 28) for piece in made]))
    return print_all(browser, folder)


NAMES = ("usual", "wide", "full-width")


@pytest.mark.parametrize("kind", ["tags", "cards"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_stands_outside_of_its_paper(printed: dict[str, Printed], kind: str, name: str) -> None:
    parts = printed[f"{kind} {name}"].parts
    assert len(parts) == 7
    assert [part.out for part in parts if part.out] == []
    assert [part.over for part in parts if part.over] == []


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", SHEETS)
def test_six_tags_fill_a_sheet_and_the_seventh_begins_another(
    printed: dict[str, Printed], name: str, paper: str
) -> None:
    tags = printed[f"tags {name}"]
    wide, high = SHEETS[paper]
    for tag in tags.parts:
        assert tag.width * 2 <= wide
        assert tag.height * 3 <= high
    assert tags.sheets[paper] == 2


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("paper", SHEETS)
def test_a_card_keeps_to_one_sheet_and_three_usual_ones_share_it(
    printed: dict[str, Printed], name: str, paper: str
) -> None:
    cards = printed[f"cards {name}"]
    wide, high = SHEETS[paper]
    sheets, left = 1, high
    for card in cards.parts:
        assert card.width <= wide
        assert card.height <= high
        if card.height > left + 0.5:
            sheets, left = sheets + 1, high
        left -= card.height
    assert cards.sheets[paper] == sheets
    if name == "usual":
        assert sheets == 3


@pytest.mark.parametrize("name", NAMES)
def test_every_code_is_read_off_the_sheet(
    printed: dict[str, Printed], records: tuple[PublicShop, tuple[PublicPiece, ...]], name: str
) -> None:
    shop, pieces = records
    assert sorted(printed[f"tags {name}"].addresses) == sorted(canonical(shop, piece) for piece in pieces)
