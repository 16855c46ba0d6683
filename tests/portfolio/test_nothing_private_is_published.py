"""No private value of a shop is found in any byte below out/portfolio.

`private_shop/` beside this file writes every private key with a value that is found nowhere else. Which keys
there are is asked of the records themselves, so that a new key which nobody has called public or private, or
a private one that `private_shop/` does not write, makes a test fail.
"""

from __future__ import annotations

import csv
import html
import io
import re
import shutil
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from urllib.parse import quote, unquote

import pytest
from pictures_with_metadata import COLOURS, MARKS, busy_jpeg, busy_png, segments
from PIL import Image

from flipbook.compile import check_shop
from flipbook.shop.facts import Facts
from flipbook.shop.keys import mark_of
from flipbook.shop.records import base, piece, receipts, sale, setup, uses

GIVEN = Path(__file__).with_name("private_shop")

# What a buyer may see, by record. `log`, `photos` and the like hold records that have rows of their own.
PUBLIC = {
    "Shop": "shop maker place contact web notice currency",
    "Product": "type",
    "ProductFile": "products",
    "Piece": "piece kind size wood built tell flaws care log photos asking",
    "Step": "did grit mix used stage",
    "UseMapping": "what",
    "Photo": "shows caption alt",
    "Asking": "price",
}
PRIVATE = {
    "Shop": "tax time_is_worth costing price_steps listing outlets",
    "Tax": "rules year_starts home_workshop",
    "PriceSteps": "hold drop",
    "ListingLengths": "title body",
    "Outlet": "takes",
    "Product": "covers recoat cure private",
    "Tool": "tool on from cost write_off scan sold private",
    "ToolSold": "on price",
    "ToolFile": "tools",
    "Trip": "on miles km to why private",
    "SharedTrip": "on miles km to why private for",
    "TripFile": "trips",
    "Stocked": "size count container",
    "Bought": "size count container what cost each for as got_back",
    "Line": "size count container what cost each for as got_back",
    "Receipt": "size count container what cost each for as got_back on from scan lines discount tax shipping total paid_with private",
    "Counted": "on what left private",
    "OpeningLot": "size count container on what cost private",
    "Income": "on from what amount for scan private",
    "ReportedForm": "from year gross form payments months scan private",
    "ReceiptFile": "receipts counts opening income forms",
    "Piece": "private customer found bought plan planned seen_to trips offers deposits sold kept given scrapped",
    "Step": "on took dries photos hide private",
    "Plan": "price hours materials private",
    "Planned": "did grit took mix used dries stage like private",
    "UseMapping": "amount",
    "Own": "cost worth",
    "Found": "on from cost tax scan own private",
    "Photo": "file",
    "Asking": "on",
    "Offer": "on price from answer private",
    "Payment": "on amount private",
    "Back": "on",
    "Deposit": "on amount from back private",
    "Refund": "on refund private",
    "Sale": "on price at delivery sales_tax fees payments buyer returned allowed private",
    "Kept": "on private",
    "Given": "on to private",
    "Scrapped": "on why private",
}
# Marked public, since the picture or the day is; the text that is written there is not.
SHOWN_OTHERWISE = {("Step", "photos"), ("Photo", "file"), ("Asking", "on")}
# The feed names the day on which a piece for sale was first offered; no page does, and no other day is in it.
FEED, FIRST_OFFERED = "feed.xml", {"2026-03-20"}
# What machines read of the portfolio, beside its pages.
FOR_MACHINES = {FEED, "sitemap.xml"}
# Records that stand for a mapping while it is read, or that others are made of; no facts hold one.
IN_NO_FACTS = {"Record", "Stocked", "Bought", "UseMapping", "ProductFile", "ToolFile", "TripFile"}
# Keys that the reader refuses; the test below fails on the day that it takes them.
REFUSED = {
    ("Line", "got_back"): ("receipts/2026.yaml", "{what: zqpairwhat, cost:", "{what: zqpairwhat, got back:"),
}
# A day and how long a thing took, as another hand might write them.
OTHER_FORMS = {
    "2261": ("37 h 41", "37:41", "37.68", "37.6833"),
    "2269": ("37 h 49", "37:49", "37.82", "37.8167"),
    "3331": ("55 h 31", "2 d 7 h 31"),
    "7 years": ("7 years", "write off", "section 179"),
    "costing": ("average", "first in first out"),
}

PUBLIC_PICTURES = {
    "pieces/for-sale/photos/during-wash.jpg": "wash",
    "pieces/for-sale/photos/detail-pull.png": "pull",
    "pieces/came-back/photos/after-zqpath.jpg": "front",
}
PRIVATE_PICTURES = {
    "pieces/for-sale/photos/zqhidden.jpg": "a hidden step's",
    "pieces/for-sale/photos/zqdotted.jpg": "a hidden step's, written ./photos/",
    "pieces/for-sale/photos/zqdoubled.jpg": "a hidden step's, written photos//",
    "pieces/for-sale/photos/zqscan-among-photos.jpg": "a scan kept in photos/",
    "pieces/for-sale/photos/private-zqback.jpg": "named private",
    "pieces/for-sale/photos/PRIVATE_zqmaker.jpg": "named PRIVATE",
    "pieces/came-back/photos/before-zqnotlisted.jpg": "not among the pictures listed",
    "pieces/for-sale/receipts/zqslip.jpg": "a slip in receipts/",
}


@pytest.fixture(scope="module")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop of private things, with its pictures."""
    root = tmp_path_factory.mktemp("private") / "zqshopfolder"
    shutil.copytree(GIVEN, root)
    for file, colour in {**PUBLIC_PICTURES, **PRIVATE_PICTURES}.items():
        (root / file).parent.mkdir(parents=True, exist_ok=True)
        make = busy_png if file.endswith(".png") else busy_jpeg
        (root / file).write_bytes(make(COLOURS[colour]))
    return root


@pytest.fixture(scope="module")
def portfolio(shop_folder: Path) -> Path:
    """The public folder, as the command line made it."""
    from flipbook.cli.main import main

    assert main(["compile", str(shop_folder)]) == 0
    return shop_folder / "out" / "portfolio"


def all_files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def facts_of(root: Path) -> Facts:
    outcome = check_shop(root)
    assert outcome.books is not None, outcome.problems
    return outcome.books.facts


def record_classes() -> dict[str, type[base.Record]]:
    """Every record of flipbook.shop.records by its name."""
    found = {}
    for module in (piece, receipts, sale, setup, uses):
        for value in vars(module).values():
            if isinstance(value, type) and issubclass(value, base.Record) and value is not base.Record:
                found[value.__name__] = value
    return found


def keys_of(record: type[base.Record]) -> set[str]:
    return {field.alias or name for name, field in record.model_fields.items() if name != "spot"}


def written(value: object) -> Iterator[tuple[str, str]]:
    """Each record and key that somebody wrote, found by walking through the facts."""
    if isinstance(value, base.Record):
        for name in value.model_fields_set - {"spot"}:
            field = type(value).model_fields[name]
            yield type(value).__name__, field.alias or name
        for name in type(value).model_fields:
            yield from written(getattr(value, name))
    elif isinstance(value, dict):
        for inner in value.values():
            yield from written(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from written(inner)


@pytest.mark.parametrize("record", record_classes().values(), ids=record_classes())
def test_every_key_is_called_public_or_private(record: type[base.Record]) -> None:
    public = set(PUBLIC.get(record.__name__, "").split())
    private = set(PRIVATE.get(record.__name__, "").split())
    assert public | private == keys_of(record)
    assert not public & private


def test_the_marks_of_the_records_say_the_same() -> None:
    marked = {
        (name, info.alias or field)
        for name, record in record_classes().items()
        for field, info in record.model_fields.items()
        if mark_of(info).public
    }
    shown = {(name, key) for name, keys in PUBLIC.items() if name not in IN_NO_FACTS for key in keys.split()}
    assert marked == shown | SHOWN_OTHERWISE


def test_every_private_key_is_written_in_the_shop_of_private_things(shop_folder: Path) -> None:
    facts = facts_of(shop_folder)
    holders = [facts.shop, facts.products, facts.tools, facts.trips]
    holders += [content for _, content in facts.receipts]
    holders += [filed.piece for filed in facts.pieces]
    wanted = {
        (name, key) for name, keys in PRIVATE.items() if name not in IN_NO_FACTS for key in keys.split()
    } - REFUSED.keys()
    assert wanted - set(written(holders)) == set()


@pytest.mark.parametrize(("file", "old", "new"), REFUSED.values(), ids=[" ".join(key) for key in REFUSED])
def test_a_key_left_out_of_that_shop_is_refused(
    shop_folder: Path, tmp_path: Path, file: str, old: str, new: str
) -> None:
    shutil.copytree(shop_folder, tmp_path / "shop", ignore=shutil.ignore_patterns("out"))
    text = (tmp_path / "shop" / file).read_text("utf-8")
    assert old in text
    (tmp_path / "shop" / file).write_text(text.replace(old, new), "utf-8")
    assert check_shop(tmp_path / "shop").books is None


def private_values() -> list[str]:
    """Every value in the shop's files that the README beside them calls private, as it is written there."""
    text = "\n".join(path.read_text("utf-8") for path in all_files(GIVEN) if path.suffix == ".yaml")
    names = [part for path in all_files(GIVEN) for part in path.parts]
    names += [part for file in (*PUBLIC_PICTURES, *PRIVATE_PICTURES) for part in file.split("/")]
    words = set(re.findall(r"zq[a-z]+", f"{text} {' '.join(names)} zqshopfolder"))
    days = set(re.findall(r"\d{4}-\d\d-\d\d", text))
    rest = re.sub(r"\d{4}-\d\d-\d\d", "", text)
    clock = set(re.findall(r"\b\d\d:\d\d\b", rest))
    numbers = set(re.findall(r"\b\d+\.\d+(?=%)|\b\d{4,}(?:\.\d\d)?\b", rest))
    return sorted(words | days | clock | numbers)


def forms_of(value: str) -> set[str]:
    """A value as it is, with thousands separators, in cents, as a whole number, and as others may write it."""
    forms = {value, quote(value, safe=""), html.escape(value), *OTHER_FORMS.get(value, ())}
    if re.fullmatch(r"\d+\.\d\d", value):
        forms |= {f"{float(value):,.2f}", value.replace(".", ""), value.replace(".", ",")}
    if re.fullmatch(r"\d{4,}(\.\d\d)?", value):
        forms |= {value.partition(".")[0], f"{int(value.partition('.')[0]):,}"}
    return forms


# The one day that a page tells: the paint of 2026-01-17 cures for 5557 min, which is three days and a part of one.
CURED_BY = ("Fully hard by 21 January 2026", "hardening until 21 January 2026")


@cache
def searched(path: Path) -> str:
    """All that a file says: its bytes, and for text also what they stand for, case folded."""
    text = path.read_bytes().decode("latin-1")
    if path.suffix in (".html", ".css", ".js", ".xml"):
        plain = path.read_text("utf-8")
        text += plain + html.unescape(plain) + unquote(plain) + unquote(html.unescape(plain))
    if path.name == "index.html":
        text = re.sub("|".join(CURED_BY), "", text)
    if path.name == FEED:
        text = re.sub("|".join(FIRST_OFFERED), "", text)
    return text.casefold()


@cache
def without_names_of_pictures(path: Path, portfolio: Path) -> str:
    text = searched(path)
    for picture in published_pictures(portfolio):
        text = text.replace(picture.stem.split("-")[1], "")
    return text


@pytest.mark.parametrize("value", [*private_values(), *OTHER_FORMS])
def test_no_private_value_is_in_any_byte(portfolio: Path, value: str) -> None:
    forms = {form.casefold() for form in forms_of(value)}
    if value == "costing":
        forms = {form.casefold() for form in OTHER_FORMS[value]}
    for path in all_files(portfolio):
        # Digits alone could be met by chance in a picture; there they are looked for with their point.
        # So they could in the name of a picture, which is a digest of its file.
        text = without_names_of_pictures(path, portfolio)
        sought = forms if path.suffix in (".html", ".xml") else {form for form in forms if not form.isdigit()}
        assert not [form for form in sought if form in text], path


def test_no_name_of_a_public_file_or_folder_is_private(portfolio: Path) -> None:
    names = " ".join(str(path.relative_to(portfolio)) for path in portfolio.rglob("*")).casefold()
    assert "for-sale/index.html" in names
    assert [value for value in private_values() if value.casefold() in names and not value.isdigit()] == []


def test_there_are_many_private_values_to_look_for() -> None:
    assert len(private_values()) > 150


def test_what_is_public_is_there(portfolio: Path) -> None:
    page = (portfolio / "for-sale" / "index.html").read_text("utf-8")
    for words in ("Bow-front workstand", "$425.00", "washed with thin paint", "fig blue paint", "waterborne paint"):
        assert words in page


def test_no_figure_of_the_books_is_public(portfolio: Path) -> None:
    pages = "".join(path.read_text("utf-8") for path in all_files(portfolio) if path.suffix in (".html", ".xml"))
    figures = set()
    for table in (portfolio.parent / "books").glob("*.csv"):
        for row in csv.reader(io.StringIO(table.read_bytes().decode(), newline="")):
            figures |= {cell.lstrip("-") for cell in row if re.fullmatch(r"-?\d{3,}\.\d+", cell)}
    assert len(figures) > 60
    assert [figure for figure in sorted(figures) if figure in pages or f"{float(figure):,.2f}" in pages] == []


def test_no_day_and_no_path_is_public(portfolio: Path, shop_folder: Path) -> None:
    for path in all_files(portfolio):
        text = searched(path)
        for hint in (
            str(shop_folder).casefold(),
            tempfile.gettempdir(),
            "piece.yaml",
            ".yaml",
            "photos/",
            "receipts/",
            "file:",
        ):
            assert hint not in text, (path, hint)
        if path.suffix in (".html", ".xml"):
            days = set(re.findall(r"\d{4}-\d\d-\d\d", path.read_text("utf-8")))
            assert days <= (FIRST_OFFERED if path.name == FEED else set()), path


def test_the_day_that_the_feed_may_name_is_the_first_asking_day_of_what_is_for_sale(shop_folder: Path) -> None:
    asked = [filed.piece.asking for filed in facts_of(shop_folder).pieces if filed.piece.state == "for sale"]
    assert {str(min(asking.on for asking in prices)) for prices in asked} == FIRST_OFFERED
    assert len({str(asking.on) for prices in asked for asking in prices}) > len(FIRST_OFFERED)


def test_the_public_folder_holds_pages_a_stylesheet_and_pictures_alone(portfolio: Path) -> None:
    assert {path.suffix for path in all_files(portfolio)} - {".xml"} == {".html", ".css", ".js", ".jpg", ".webp"}
    assert [path.name for path in all_files(portfolio) if path.suffix == ".js"] == ["compare.js"]
    assert {path.name for path in all_files(portfolio) if path.suffix == ".xml"} <= FOR_MACHINES
    assert not [path for path in portfolio.rglob("*") if path.is_symlink()]


def published_pictures(portfolio: Path) -> list[Path]:
    return [path for path in all_files(portfolio) if path.suffix in (".jpg", ".webp")]


def nearest_colour(path: Path) -> str:
    with Image.open(path) as picture:
        middle = picture.convert("RGB").getpixel((picture.width // 2, picture.height // 2))
    return min(COLOURS, key=lambda name: sum((a - b) ** 2 for a, b in zip(COLOURS[name], middle, strict=True)))


@pytest.mark.parametrize("why", PRIVATE_PICTURES.values())
def test_a_private_picture_is_not_published(portfolio: Path, why: str) -> None:
    assert why not in {nearest_colour(path) for path in published_pictures(portfolio)}


@pytest.mark.parametrize("name", PUBLIC_PICTURES.values())
def test_a_public_picture_is_published(portfolio: Path, name: str) -> None:
    assert name in {nearest_colour(path) for path in published_pictures(portfolio)}


def test_pictures_carry_nothing_of_the_camera(portfolio: Path) -> None:
    pictures = list(portfolio.rglob("*.jpg"))
    assert len(pictures) >= len(PUBLIC_PICTURES)
    for path in pictures:
        data = path.read_bytes()
        assert not [mark for mark in MARKS if mark.encode() in data or mark.encode("utf-16-be") in data], path
        assert [name for name in segments(data) if name not in ("DQT", "SOF", "DHT", "SOS")] == ["APP0"], path
        with Image.open(path) as picture:
            assert not picture.getexif()
            assert set(picture.info) <= {
                "jfif",
                "jfif_version",
                "jfif_unit",
                "jfif_density",
                "progressive",
                "progression",
            }


def test_every_picture_is_there_as_a_jpeg_and_as_a_webp(portfolio: Path) -> None:
    stems = {ending: sorted(p.with_suffix("") for p in portfolio.rglob(f"*{ending}")) for ending in (".jpg", ".webp")}
    assert stems[".jpg"] == stems[".webp"]
    for path in portfolio.rglob("*.webp"):
        assert nearest_colour(path) == nearest_colour(path.with_suffix(".jpg"))


def chunks(webp: bytes) -> Iterator[bytes]:
    """The names of a WebP's chunks."""
    assert (webp[:4], webp[8:12]) == (b"RIFF", b"WEBP")
    assert int.from_bytes(webp[4:8], "little") + 8 == len(webp), "bytes after the end of the picture"
    at = 12
    while at < len(webp):
        yield webp[at : at + 4]
        size = int.from_bytes(webp[at + 4 : at + 8], "little")
        at += 8 + size + size % 2


def test_webp_pictures_carry_nothing_of_the_camera(portfolio: Path) -> None:
    """A file holds chunks (RFC 9649, section 2): VP8 alone is the picture, and no EXIF, XMP or ICCP stands beside it."""
    pictures = list(portfolio.rglob("*.webp"))
    assert len(pictures) >= len(PUBLIC_PICTURES)
    for path in pictures:
        data = path.read_bytes()
        assert not [mark for mark in MARKS if mark.encode() in data or mark.encode("utf-16-be") in data], path
        assert list(chunks(data)) == [b"VP8 "], path
        with Image.open(path) as picture:
            assert not picture.getexif()
            assert not {"exif", "icc_profile", "xmp"} & set(picture.info)
