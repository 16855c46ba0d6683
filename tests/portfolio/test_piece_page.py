"""What a piece's page says: the work by stage, its pictures in order, the day it is hard, what is for sale and what not."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from pictures_with_metadata import busy_jpeg
from PIL import Image

from flipbook.compile import Outcome, compile_shop

PRODUCTS = """\
products:
  fig blue paint: {type: waterborne paint, cure: 21 d}
  satin clear coat: {type: waterborne clear coat, cure: 28 d}
  slow oil: {type: oil finish, cure: 36 h}
  wax: {type: wax}
"""
SHELF = """\
- {on: 2026-01-02, from: Harbour Hardware, what: fig blue paint, size: 1 quart, cost: 9, for: shelf}
- {on: 2026-01-02, from: Harbour Hardware, what: satin clear coat, size: 1 quart, cost: 9, for: shelf}
- {on: 2026-01-02, from: Harbour Hardware, what: slow oil, size: 1 quart, cost: 9, for: shelf}
- {on: 2026-01-02, from: Harbour Hardware, what: wax, size: 8 oz, cost: 9, for: shelf}
"""
WORK = """\
log:
  - 2026-01-06 took the drawers out
  - 2026-01-07 washed with dish soap
  - {on: 2026-01-08, did: sanded the top, grit: "120, 180"}
  - {on: 2026-01-09, did: first coat of paint, mix: {fig blue paint: 1, water: 2, makes: 3 fl oz}}
  - {on: 2026-01-10, did: sanded a drip out of the side, grit: 220}
  - {on: 2026-01-11, did: two coats of clear coat, used: [4 fl oz satin clear coat]}
  - {on: 2026-01-12, did: a secret coat of paint, used: [4 fl oz fig blue paint], hide: yes}
"""


def compiled(shop: Any, more: str = "", folder: str = "oak-stool", **pictures: tuple[int, int]) -> Outcome:
    """The shop compiled; each picture is `name=(width, height)`, named `after_front` for after-front.jpg."""
    shop.write({"products.yaml": PRODUCTS}).receipts(SHELF)
    shop.piece(more, folder)
    for name, size in pictures.items():
        shop.write({f"pieces/{folder}/photos/{name.replace('_', '-')}.jpg": busy_jpeg((60, 90, 30), size)})
    outcome = compile_shop(shop.root, shop.root / "out")
    assert outcome.books is not None, outcome.problems
    return outcome


def page_of(shop: Any, folder: str = "oak-stool") -> str:
    return Path(shop.root / "out" / "portfolio" / folder / "index.html").read_text("utf-8")


def words_of(page: str) -> str:
    """What a reader sees of a page."""
    body = re.sub(r"<script.*?</script>|<head>.*?</head>", "", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_steps_are_gathered_by_stage_and_those_without_one_come_last(shop: Any) -> None:
    compiled(shop, WORK)
    told = words_of(page_of(shop))
    for part in (
        "Cleaning washed with dish soap",
        "Sanding sanded the top Grit 120, 180 sanded a drip out of the side Grit 220",
        "Colour first coat of paint Mix: 1 part fig blue paint, 2 parts water",
        "Finish two coats of clear coat",
        "And besides took the drawers out",
    ):
        assert part in told
    heads = [told.index(f" {head} ") for head in ("Cleaning", "Sanding", "Colour", "Finish", "And besides")]
    assert heads == sorted(heads)
    assert "secret" not in told


def test_a_log_without_any_stage_has_no_headings_in_it(shop: Any) -> None:
    compiled(shop, "log:\n  - 2026-01-06 looked it over\n")
    assert "What was done looked it over" in words_of(page_of(shop))


# By the calendar: 11 January and 28 days is 8 February, 9 January and 21 days is 30 January; 36 h end on the second day.
CURED = {
    "the last coat to harden": (WORK, "8 February 2026"),
    "paint alone": (
        "log: [{on: 2026-01-09, did: painted, used: [1 fl oz fig blue paint]}]\n",
        "30 January 2026",
    ),
    "a cure of a day and a half": ("log: [{on: 2026-02-27, did: oiled, used: [1 fl oz slow oil]}]\n", "1 March 2026"),
    "over a leap day": ("log: [{on: 2028-02-10, did: painted, used: [1 fl oz fig blue paint]}]\n", "2 March 2028"),
}


@pytest.mark.parametrize(("log", "day"), CURED.values(), ids=CURED)
def test_the_day_on_which_it_is_hard_is_told_in_words(shop: Any, log: str, day: str) -> None:
    compiled(shop, log)
    page = page_of(shop)
    assert f"Fully hard by {day}, counted from its last coat." in page
    assert f"goes on hardening until {day}: until then no wet wipes" in page
    assert "21 to 30 days" not in page
    assert not re.search(r"\d{4}-\d\d-\d\d", page)


def test_without_a_known_cure_the_usual_days_are_told(shop: Any) -> None:
    compiled(shop, "log: [{on: 2026-01-09, did: waxed, used: [1 oz wax]}]\n")
    assert "21 to 30 days" in page_of(shop)
    assert "Fully hard" not in page_of(shop)


def test_a_makers_own_care_stands_alone(shop: Any) -> None:
    compiled(shop, WORK + "care: Dust it.\n")
    page = page_of(shop)
    assert "Dust it." in page
    assert "no wet wipes" not in page
    assert "Fully hard by 8 February 2026" in page


STATES = {
    "for sale": ("asking: [{on: 2026-02-01, price: 425}]\n", ["For sale", "$425.00", "Ask about this piece"], ["Held"]),
    "held": (
        "asking: [{on: 2026-02-01, price: 425}]\ndeposits: [{on: 2026-02-03, amount: 81.37, from: Zelda}]\n",
        ["For sale", "$425.00", "Held for somebody"],
        ["Zelda", "81.37"],
    ),
    "a deposit given back": (
        "asking: [{on: 2026-02-01, price: 425}]\n"
        "deposits: [{on: 2026-02-03, amount: 81.37, from: Zelda, back: {on: 2026-02-04}}]\n",
        ["For sale", "$425.00"],
        ["Held", "Zelda", "81.37"],
    ),
    "a deposit that went into a sale which came back": (
        "asking: [{on: 2026-02-01, price: 425}]\n"
        "deposits: [{on: 2026-02-03, amount: 81.37, from: Zelda}]\n"
        "sold: {on: 2026-02-05, price: 400, returned: {on: 2026-02-09, refund: 400}}\n",
        ["For sale", "$425.00"],
        ["Held", "Zelda", "81.37"],
    ),
    "sold": (
        "asking: [{on: 2026-02-01, price: 425}]\nsold: {on: 2026-02-05, price: 377.41, at: porch sale, buyer: Zelda}\n",
        ["Sold"],
        ["425", "377", "Zelda", "Ask about", "For sale", "Held"],
    ),
    "waiting": ("", ["Waiting its turn"], ["Ask about", "$", "For sale"]),
}


@pytest.mark.parametrize(("more", "there", "not_there"), STATES.values(), ids=STATES)
def test_a_page_says_what_is_for_sale_held_and_sold(
    shop: Any, more: str, there: list[str], not_there: list[str]
) -> None:
    text = (shop.root / "shop.yaml").read_text("utf-8")
    shop.write({"shop.yaml": text + "contact: hello@quillback.example\n"})
    compiled(shop, more)
    told = words_of(page_of(shop))
    assert [words for words in there if words not in told] == []
    assert [words for words in not_there if words in told] == []


@pytest.mark.parametrize(
    ("built", "told"), [("about 1935", "Built about 1935"), ("1930s", "Built 1930s"), ("unknown", "Built not known")]
)
def test_the_age_is_told_as_it_is_known_and_no_further(shop: Any, built: str, told: str) -> None:
    compiled(shop, f"built: {built}\n")
    assert told in words_of(page_of(shop))


def order_of(page: str) -> list[str]:
    """The words of the pictures of the gallery, in order."""
    gallery = page.partition('<div class="gallery">')[2].partition("</section>")[0]
    return [html.unescape(alt) for alt in re.findall(r'alt="([^"]*)"', gallery)]


def test_the_gallery_goes_through_the_work_in_its_order(shop: Any) -> None:
    log = """\
log:
  - {on: 2026-01-07, did: washed with soap, photos: [photos/during-z.jpg]}
  - {on: 2026-01-08, did: sanded the top, photos: [photos/during-a.jpg]}
"""
    sizes = dict.fromkeys(("detail_pull", "after_front", "during_a", "during_z", "during_b", "before_front"), (120, 80))
    compiled(shop, log, **sizes)
    assert order_of(page_of(shop)) == [
        "Oak stool, before",
        "Oak stool, being cleaned: washed with soap",
        "Oak stool, being sanded: sanded the top",
        "Oak stool, during",
        "Oak stool, after",
        "Oak stool, detail",
    ]


PICTURES = {
    "none": ({}, 0, False),
    "one": ({"after_front": (120, 80)}, 1, False),
    "one from before": ({"before_front": (120, 80)}, 1, False),
    "a pair": ({"before_front": (120, 80), "after_front": (80, 120)}, 2, True),
    "forty": ({f"after_{n:02}": (120, 80) for n in range(39)} | {"before": (60, 200)}, 42, True),
}


@pytest.mark.parametrize(("pictures", "count", "compares"), PICTURES.values(), ids=PICTURES)
def test_a_page_holds_any_number_of_pictures(
    shop: Any, pictures: dict[str, tuple[int, int]], count: int, compares: bool
) -> None:
    compiled(shop, **pictures)
    page = page_of(shop)
    assert page.count("<img ") == page.count('<source type="image/webp"') == count
    assert ("compare.js" in page) == ("script-src 'self'" in page) == compares
    for tag in re.findall(r"<img [^>]*>", page):
        assert re.search(r' width="\d+" height="\d+"', tag)
        assert ('loading="lazy"' in tag) != ('fetchpriority="high"' in tag)
    for address in re.findall(r'(?:src|href)="(picture-[^"]*)"', page):
        assert (shop.root / "out/portfolio/oak-stool" / address).is_file()
    for listed in re.findall(r'srcset="([^"]*)"', page):
        for size in listed.split(", "):
            assert (shop.root / "out/portfolio/oak-stool" / size.split()[0]).is_file()


def test_a_long_title_and_a_story_of_twenty_thousand_words_are_there_whole(shop: Any) -> None:
    title = "Very " * 60 + "long sideboard"
    story = "\n\n".join(" ".join(f"word{n}" for n in range(start, start + 200)) for start in range(0, 20000, 200))
    shop.write({"pieces/long/piece.yaml": f"piece: {title}\nfound: {{on: 2026-01-05, cost: 1}}\ntell: |\n"
                + "".join(f"  {line}\n" if line else "\n" for line in story.split("\n"))})  # fmt: skip
    compiled(shop)
    page = page_of(shop, "long")
    assert f">{title}</h1>" in page
    assert page.count('<p dir="auto">word') == 100
    assert "word19999" in page


WORDS = {
    "neither": ("", True),
    "an alt": ("photos: [{file: photos/after.jpg, alt: A stool.}]\n", False),
    "a caption": ("photos: [{file: photos/after.jpg, caption: Done.}]\n", False),
    "a step's words": ("log: [{on: 2026-01-06, did: waxed it, photos: [photos/after.jpg]}]\n", False),
}


@pytest.mark.parametrize(("more", "is_told"), WORDS.values(), ids=WORDS)
def test_a_main_picture_without_words_is_told_when_the_piece_is_for_sale(shop: Any, more: str, is_told: bool) -> None:
    for asking in ("", "asking: [{on: 2026-02-01, price: 425}]\n"):
        found = compiled(shop, more + asking, after=(120, 80), before=(120, 80)).problems
        names = [(problem.name, problem.warning) for problem in found if problem.place.file.endswith(".jpg")]
        assert names == ([("no-words-for-a-picture", True)] if is_told and asking else [])


def test_a_piece_is_drawn_to_scale_where_its_size_is_known(shop: Any) -> None:
    compiled(shop, "size: 34 x 19 x 30 1/2 in\n")
    assert page_of(shop).count("<svg") == 1
    compiled(shop)
    assert "<svg" not in page_of(shop)


def files_of(shop: Any) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (shop.root / "out/portfolio/oak-stool").iterdir()}


def test_a_picture_taller_than_a_webp_may_be_is_brought_down(shop: Any) -> None:
    """A side has 14 bits in a WebP (RFC 6386, section 9.1), which is 16383 pixels."""
    compiled(shop, after=(30, 20000), before=(1, 30000))
    for path in (shop.root / "out/portfolio/oak-stool").glob("picture-*"):
        with Image.open(path) as opened:
            assert opened.height <= 16383
            assert opened.width == (24 if opened.width > 1 else 1)


@pytest.mark.parametrize("ending", [".webp", ".jpg"])
def test_a_picture_of_which_a_form_was_lost_is_made_again_and_the_others_stand(shop: Any, ending: str) -> None:
    compiled(shop, after=(1000, 700), before=(700, 500))
    whole = files_of(shop)
    assert len(whole) == 1 + 2 * (3 + 2)
    lost = next(name for name in sorted(whole) if name.endswith(f"-1000{ending}"))
    (shop.root / "out/portfolio/oak-stool" / lost).unlink()
    kept = {path: path.stat().st_mtime_ns for path in (shop.root / "out").rglob("picture-*-700.*")}
    compiled(shop)
    assert files_of(shop) == whole
    assert {path: path.stat().st_mtime_ns for path in kept} == kept


def test_the_webp_of_a_photograph_weighs_less_than_its_jpeg(shop: Any) -> None:
    demo = Path(__file__).resolve().parents[2] / "demo_shop/pieces/ladder-back-rocker/photos/after-front.jpg"
    compiled(shop.write({"pieces/oak-stool/photos/after.jpg": demo.read_bytes()}))
    made = files_of(shop)
    weights = {end: sum(len(data) for name, data in made.items() if name.endswith(end)) for end in (".webp", ".jpg")}
    assert 0 < weights[".webp"] < 0.8 * weights[".jpg"]
