"""Price tags and care cards: what stands on them, and that the code of a tag leads to the piece's page."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from datetime import date

import pytest
import zxingcpp
from PIL import Image, ImageDraw
from shop_writer import ShopWriter, flipbook_environment
from test_hostile_text import HOSTILE, Parsed

from flipbook.portfolio.labels import (
    CARE_TOLD,
    TAGS_OF_A_SHEET,
    Code,
    card_of,
    cards_page,
    code_of,
    days_to_harden,
    tag_of,
    tags_page,
)
from flipbook.portfolio.product_data import canonical
from flipbook.portfolio.public import PublicPiece, PublicShop, public_piece, public_shop
from flipbook.shop.records.state import State
from flipbook.trade.care import ALWAYS, NEW
from flipbook.trade.cautions import CAUTIONS

SHOP = """\
shop: Quillback Lane Refinishing
place: Port Ellery
contact: hello@quillback.example
web: https://quillback.example/shop
currency: USD
"""
CHEST = """\
piece: Pine blanket chest
size: 38 x 18 x 20 1/2 in
wood: pine
built: about 1900
found: {on: 2026-01-05, from: Mill Road estate sale, cost: 40.00}
log:
  - {on: 2026-02-01, did: painted, used: 4 fl oz fig blue paint}
  - {on: 2026-02-03, did: clear coat, used: 2 fl oz satin clear coat}
asking: [{on: 2026-03-20, price: 1425}]
"""
SHELF = """\
- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 9, for: shelf}
- {on: 2026-01-02, from: Harbour Hardware, what: satin clear coat, size: 1 pint, cost: 9, for: shelf}
"""
PRODUCTS = "products:\n  fig blue paint: {cure: 30 d}\n  satin clear coat: {cure: 21 d}\n"

Records = tuple[PublicShop, PublicPiece]


def records_of(shop: ShopWriter, products: str = PRODUCTS, piece: str = CHEST) -> Records:
    """The shop and its chest, as buyers may see them."""
    shop.write({"shop.yaml": SHOP, "products.yaml": products, "receipts/2026.yaml": SHELF})
    shop.write({"pieces/pine-blanket-chest/piece.yaml": piece})
    facts = shop.books().facts
    return public_shop(facts), public_piece(facts.pieces[0], facts, ())


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Records:
    return records_of(ShopWriter(tmp_path_factory.mktemp("labels") / "my_shop"))


def picture_of(code: Code) -> Image.Image:
    """The code as a printer would put it on paper, eight dots to a module."""
    picture = Image.new("L", (code.side * 8, code.side * 8), 255)
    draw = ImageDraw.Draw(picture)
    runs = re.findall(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z", code.path)
    assert "".join(f"M{x} {y}h{w}v1h-{w}z" for x, y, w, _ in runs) == code.path
    for x, y, width, back in ((int(x), int(y), int(w), int(b)) for x, y, w, b in runs):
        assert width == back
        draw.rectangle((x * 8, y * 8, (x + width) * 8 - 1, y * 8 + 7), fill=0)
    return picture


ADDRESSES = [
    "https://quillback.example/",
    "https://quillback.example/pine-blanket-chest/index.html",
    "http://quillback.example:8080/a%20b/%D7%A9%D7%99%D7%93%D7%94/index.html",
    "https://xn--bcher-kva.example/it's(a)+long,path;of=signs&more@all:of$them!/index.html",
    "https://quillback.example/" + "a-long-folder-name-" * 12 + "/index.html",
]


@pytest.mark.parametrize("address", ADDRESSES)
def test_another_reader_reads_the_address_in_a_code(address: str) -> None:
    code = code_of(address)
    assert code is not None
    (read,) = zxingcpp.read_barcodes(picture_of(code))
    assert read.text == address
    assert read.format == zxingcpp.BarcodeFormat.QRCode


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_code_has_its_quiet_zone_and_modules_that_paper_shows(address: str) -> None:
    code = code_of(address)
    assert code is not None
    # ISO/IEC 18004: four modules of nothing on every side, and 17 + 4 x version modules between, from memory.
    assert (code.side - 8 - 17) % 4 == 0
    dark = [(x, y, x + 1) for x, y in re.findall(r"M(\d+) (\d+)h", code.path) for x, y in [(int(x), int(y))]]
    ends = [int(x) + int(w) for x, w in re.findall(r"M(\d+) \d+h(\d+)", code.path)]
    assert min(x for x, _, _ in dark) == min(y for _, y, _ in dark) == 4
    assert max(ends) == max(y for _, y, _ in dark) + 1 == code.side - 4
    assert 28 / code.side >= 0.35


@pytest.mark.parametrize(
    "address", ["", "https://quillback.example/" + "a" * 400, "https://quillback.example/" + "a" * 5000]
)
def test_no_code_is_better_than_one_that_nobody_can_read(address: str) -> None:
    assert code_of(address) is None


def test_a_tag_says_what_a_buyer_asks_for(records: Records) -> None:
    tag = tag_of(*records)
    assert (tag.title, tag.price, tag.wood, tag.built, tag.finish) == (
        "Pine blanket chest", "$1,425.00", "pine", "about 1900", "satin clear coat",
    )  # fmt: skip
    assert (tag.size_inches, tag.size_centimetres) == ("38 W x 18 D x 20 1/2 H in", "96.5 W x 45.5 D x 52 H cm")
    assert (tag.shop, tag.contact) == ("Quillback Lane Refinishing", "hello@quillback.example")
    assert tag.code is not None
    (read,) = zxingcpp.read_barcodes(picture_of(tag.code))
    assert read.text == canonical(*records) == "https://quillback.example/shop/pine-blanket-chest/index.html"


def test_without_an_address_on_the_web_there_is_no_code_and_its_library_is_not_imported(records: Records) -> None:
    shop, piece = records
    assert tag_of(replace(shop, web=""), piece).code is None
    assert "<svg" not in tags_page(replace(shop, web=""), [piece]).decode()
    program = "import sys, flipbook.portfolio.labels as labels; labels.code_of(''); print('segno' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", program], env=flipbook_environment(), capture_output=True, text=True, check=True)  # fmt: skip
    assert ran.stdout == "False\n"


@pytest.mark.parametrize(("count", "sheets"), [(0, 0), (1, 1), (6, 1), (7, 2), (13, 3)])
def test_six_tags_stand_on_a_sheet(records: Records, count: int, sheets: int) -> None:
    shop, piece = records
    page = tags_page(shop, [piece] * count).decode()
    assert page.count('<article class="tag">') == count
    assert page.count('<section class="sheet"') == sheets
    assert TAGS_OF_A_SHEET == 6
    assert ("no tags" in page) == (count == 0)


def test_what_is_not_for_sale_gets_no_paper(records: Records) -> None:
    shop, piece = records
    gone = replace(piece, price="", state=State.SOLD, state_words="Sold")
    assert "Pine blanket chest" not in tags_page(shop, [gone]).decode()
    assert "Pine blanket chest" not in cards_page(shop, [(gone, None)]).decode()


# Painted 1 February with 30 days: 3 March. Clear coat 3 February with 21 days: 24 February. Reckoned on a calendar.
@pytest.mark.parametrize(
    ("products", "days", "until"),
    [
        (PRODUCTS, 30, "3 March 2026, 30 days after its last coat"),
        (PRODUCTS.replace("30 d", "10 d"), 21, "24 February 2026, 21 days after its last coat"),
        (PRODUCTS.replace("30 d", "23 d"), 21, "24 February 2026, 21 days after its last coat"),
        (PRODUCTS.replace("30 d", "1 h").replace("21 d", "20 h"), 1, "4 February 2026, 1 day after its last coat"),
        ("products: {satin clear coat: {recoat: 2 h}}\n", None, ""),
    ],
)
def test_a_card_says_until_when_the_finish_hardens(
    shop: ShopWriter, products: str, days: int | None, until: str
) -> None:
    public, piece = records_of(shop, products)
    facts = shop.books().facts
    assert days_to_harden(facts.pieces[0].piece.log, facts.products) == days
    care = card_of(public, piece, days).care
    if until:
        assert f"The finish goes on hardening until {until}{NEW[NEW.index(':') :]}" in care
        assert NEW not in care
        assert len(care) == 3
    else:
        assert NEW in care
    assert care[-1] == ALWAYS


def test_a_card_with_the_makers_own_care_says_until_when_too(shop: ShopWriter) -> None:
    public, piece = records_of(shop, piece=CHEST + "care: Dust it.\n")
    first, until = card_of(public, piece, 30).care
    assert first == "Dust it."
    assert until.startswith("The finish goes on hardening until 3 March 2026, 30 days after its last coat: until then")
    assert date(2026, 2, 1).toordinal() + 30 == date(2026, 3, 3).toordinal()


def test_a_card_gives_every_caution_whole(records: Records) -> None:
    shop, piece = records
    cautions = tuple(caution.buyer for caution in CAUTIONS if caution.buyer)
    page = Parsed(cards_page(shop, [(replace(piece, cautions=cautions), None)]).decode())
    assert len(cautions) >= 4
    for text in (*cautions, "hello@quillback.example", "Port Ellery", "Quillback Lane Refinishing"):
        assert text in page.text


def test_care_without_end_is_cut_and_says_so(records: Records) -> None:
    shop, piece = records
    for care in ("Dust it. " * 500, "x" * 5000):
        (told,) = card_of(shop, replace(piece, care=(care,), cured_by="")).care
        assert told.endswith("… There is more to its care; please ask.")
        assert CARE_TOLD / 2 < len(told) < CARE_TOLD + 50


def test_a_piece_of_no_known_finish_gets_a_careful_word(records: Records) -> None:
    shop, piece = records
    page = cards_page(shop, [(replace(piece, care=(), cured_by=""), None)]).decode()
    assert "ask us before anything wet or oily goes on it" in page


@pytest.mark.parametrize("words", [*HOSTILE.values(), "\x07bell\x00", "W" * 300], ids=[*HOSTILE, "control", "long"])
def test_hostile_words_change_no_element_of_a_page(records: Records, words: str) -> None:
    shop, piece = records

    def pages(text: str) -> list[Parsed]:
        said = replace(
            piece, title=text, wood=text, built=text, finish=text, care=(text,), cautions=(text,), cured_by=""
        )
        by = replace(shop, name=text, place=text, contact=text)
        return [Parsed(tags_page(by, [said]).decode()), Parsed(cards_page(by, [(said, None)]).decode())]

    for hostile, plain in zip(pages(words), pages("harmless"), strict=True):
        assert hostile.shape == plain.shape
        assert hostile.links == plain.links
        assert hostile.unguarded == []
        assert plain.text.count("harmless") >= 6


def test_the_pages_have_the_policy_of_the_books_and_no_style_of_their_own(records: Records) -> None:
    shop, piece = records
    for page in (tags_page(shop, [piece]).decode(), cards_page(shop, [(piece, None)]).decode()):
        assert "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'" in page
        assert '<link rel="stylesheet" href="style.css">' in page
        assert not re.search(r"<style|\sstyle=|<script|\son\w+=", page)
        assert [link for link in Parsed(page).links if link[0] != "#"] == ["style.css", "../index.html"]
