"""`flipbook bench` as it is run: on terminals of any width, in a pipe, for a program, in a shop with problems."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from shop_writer import GOOD_SHOP, REPOSITORY, Ran, ShopWriter

Flipbook = Callable[..., Ran]
LONG = "Bow-front oak workstand with its marble, two towel rails and a drawer that was never opened"
WIDE = "日本の箪笥、引き出し三段、金具つき 🪑"


def cells(text: str) -> int:
    """Terminal cells by the East Asian width of Unicode (UAX #11), apart from the counting of the program."""
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text
    )


def ago(days: int) -> date:
    return date.today() - timedelta(days=days)


@pytest.fixture
def busy(shop: ShopWriter) -> ShopWriter:
    """A shop with something of everything, dated by today."""
    shop.receipts(
        f"- {{on: {ago(60)}, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 16.00, for: shelf}}\n"
    ).write(
        {
            "shop.yaml": GOOD_SHOP + "price steps: {hold: 7 d, drop: 5%}\n",
            "products.yaml": "products:\n  fig blue paint: {type: waterborne paint, recoat: 2 d, cure: 21 d}\n",
            "pieces/workstand/piece.yaml": f"""\
piece: {LONG}
found: {{on: {ago(50)}, cost: 40}}
log:
  - on: {ago(1)}
    did: first wash coat on the top, the sides and the drawer fronts, wiped back with the grain while it was wet
    used: [12 fl oz fig blue paint]
planned: [second wash coat]
""",
            "pieces/tansu/piece.yaml": f"piece: {WIDE}\nfound: {{on: {ago(20)}, cost: 1240}}\n",
            "pieces/table/piece.yaml": f"""\
piece: Round birch side table
found: {{on: {ago(30)}, cost: 5}}
asking: [{{on: {ago(10)}, price: 425}}]
offers: [{{on: {ago(2)}, price: 300, from: R.}}]
""",
        }
    )
    return shop


@pytest.mark.parametrize(
    ("env", "width"),
    [
        ({}, 80),  # in a pipe
        *(({"COLUMNS": str(width)}, width) for width in (60, 80, 120)),
        ({"COLUMNS": "5"}, 40),  # no narrower than lines can be read
        *((poor, 80) for poor in ({"COLUMNS": "0"}, {"PYTHONIOENCODING": "ascii"}, {"TERM": "dumb"}, {"LC_ALL": "C"})),
    ],
)
def test_every_line_fits_the_terminal(flipbook: Flipbook, busy: ShopWriter, env: dict[str, str], width: int) -> None:
    ran = flipbook("bench", busy.root, env=env)
    assert (ran.code, ran.err) == (0, "")
    assert "\x1b" not in ran.out
    assert max(map(cells, ran.out.splitlines())) <= width
    told = "".join(ran.out.split())
    assert "$404.00now,duesince" in told  # 425 x 0.95 = 403.75
    assert "offerof$300.00fromR." in told
    assert "Shortontheshelf" in told


@pytest.mark.parametrize(
    "shop_folder", [REPOSITORY / "demo_shop", REPOSITORY / "tests" / "books" / "worked_shop" / "given"]
)
@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_shops_that_come_along_fit(flipbook: Flipbook, shop_folder: Path, width: int) -> None:
    ran = flipbook("bench", shop_folder, env={"COLUMNS": str(width)})
    assert (ran.code, ran.err) == (0, "")
    assert "For sale" in ran.out
    assert max(map(cells, ran.out.splitlines())) <= width


def test_it_looks_in_the_shop_that_it_stands_in(flipbook: Flipbook, busy: ShopWriter) -> None:
    assert flipbook("bench", cwd=busy.root / "pieces").out == flipbook("bench", busy.root).out


def test_for_a_program_every_field_is_data(flipbook: Flipbook, busy: ShopWriter) -> None:
    answer = json.loads(flipbook("bench", busy.root, "--json").out)
    assert (answer["good"], answer["warnings"], answer["currency"]) == (True, 0, "USD")
    assert answer["now"].startswith(f"{date.today()}T")
    workstand, tansu = answer["open"]
    # 40.00 and 12 of 16 fl oz at 16.00, 12.00. Recoat of 2 d, done at some hour of yesterday: dry in the course of tomorrow.
    assert workstand == {
        "piece": "workstand",
        "title": LONG,
        "found_on": str(ago(50)),
        "days": 50,
        "cost": "52.00",
        "planned": "second wash coat",
        "hard_on": str(ago(-20)),
        "held": [],
        "offers": [],
        "promised": None,
        "state": "on the bench",
        "last": {
            "on": str(ago(1)),
            "at": None,
            "did": "first wash coat on the top, the sides and the drawer fronts, wiped back with the grain while it was wet",
            "stage": "colour",
        },
        "drying": {
            "is": "drying",
            "earliest": f"{ago(-1)}T00:00",
            "latest": f"{ago(-2)}T00:00",
            "minutes": "2880",
            "product": "fig blue paint",
        },
        "usually": "coat or finish",
    }
    assert (tansu["state"], tansu["last"], tansu["drying"], tansu["usually"]) == ("waiting", None, None, "cleaning")
    assert answer["for_sale"] == [
        {
            "piece": "table",
            "title": "Round birch side table",
            "found_on": str(ago(30)),
            "days": 30,
            "cost": "5.00",
            "planned": None,
            "hard_on": None,
            "held": [],
            "offers": [{"on": str(ago(2)), "price": "300.00", "from": "R."}],
            "promised": None,
            "price": "425.00",
            "asked_on": str(ago(10)),
            "days_at_price": 10,
            "next_price": {"on": str(ago(3)), "price": "404.00", "written": False},
            "floor": "5.00",
            "at_floor": False,
        }
    ]
    # One use took 12 fl oz, 3/4 of the pint; 1/4 is left.
    assert answer["short"] == [
        {"product": "fig blue paint", "unit": "pint", "left": "0.25", "need": "0.75", "planned_for": []}
    ]


def test_every_key_of_the_data_is_in_the_help(flipbook: Flipbook, busy: ShopWriter) -> None:
    page = flipbook("bench", "--help").out

    def keys(value: Any) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*map(keys, value.values()))
        return set().union(*map(keys, value)) if isinstance(value, list) else set()

    found = keys(json.loads(flipbook("bench", busy.root, "--json").out))
    assert len(found) > 40
    assert {key for key in found if not re.search(rf"\b{key}\b", page)} == set()


def test_a_shop_with_problems_shows_them_in_their_frames(flipbook: Flipbook, shop: ShopWriter) -> None:
    shop.piece("size: big\n")
    ran = flipbook("bench", shop.root)
    assert (ran.code, ran.err) == (1, "")
    assert ran.out == flipbook("check", shop.root).out
    assert "pieces/oak-stool/piece.yaml:3:7" in ran.out
    answer = json.loads(flipbook("bench", shop.root, "--json").out)
    assert answer["good"] is False
    assert [problem["line"] for problem in answer["problems"]] == [3]


def test_warnings_do_not_stop_it_and_are_counted(flipbook: Flipbook, shop: ShopWriter) -> None:
    shop.write({"pieces/chair/piece.yaml": "piece: Chair\nlog: [2026-01-06 washed it]\n"})
    ran = flipbook("bench", shop.root)
    assert ran.code == 0
    assert ran.out.endswith("\n1 thing to look at: see `flipbook check`.\n")
    assert json.loads(flipbook("bench", shop.root, "--json").out)["warnings"] == 1


def test_a_folder_that_is_no_shop_is_told(flipbook: Flipbook, tmp_path: Path) -> None:
    ran = flipbook("bench", tmp_path)
    assert (ran.code, ran.out) == (2, "")
    assert "holds no shop.yaml" in ran.err


def test_the_help_fits_80_columns(flipbook: Flipbook) -> None:
    ran = flipbook("bench", "--help")
    assert ran.out.startswith("flipbook bench [SHOP] [--json]\n")
    assert max(map(len, ran.out.splitlines())) <= 80
