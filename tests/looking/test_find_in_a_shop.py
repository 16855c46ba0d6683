"""What is found in a shop's files, whose it is, and what comes first."""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter

from flipbook.looking.words import Matches, Word, look_for
from flipbook.shop.folder import ShopFolder

WORKSTAND = """\
piece: Bow-front oak washbench
kind: washbench
wood: oak, oak veneer on the drawers
built: about 1935
tell: |
  It stood in a cellar for years.

  The grain was too good to bury, so it got a thin wash.
flaws:
  - Sand-through on the lower rail.
  - A ring in the top.
care: Wipe it with a damp cloth.
private: Bring the short straps.
found: {on: 2026-02-14, from: Mill Road estate sale, cost: 40.00, private: two steps at the door}
bought:
  - on: 2026-02-20
    from: Harbour Hardware
    lines:
      - {what: brass cup hook, count: 6, each: 6.99}
      - {what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
    total: 66.44
    private: asked for a discount, got none
log:
  - 2026-02-15 40 min washed with dish soap
  - on: 2026-02-17
    did: first wash coat
    mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}
    private: the second half of the can was thicker
  - {on: 2026-02-28, did: sealed it, used: [1/4 can satin clear coat]}
planned:
  - rub the top with paste wax
trips:
  - {on: 2026-02-14, miles: 22, to: Mill Road, why: collect it}
photos:
  - {file: photos/after-front.jpg, caption: Finished and dry., alt: A washbench by a window.}
offers:
  - {on: 2026-03-24, price: 300, from: Rosamund, answer: no}
sold: {on: 2026-04-11, price: 380.00, buyer: "Mortimer, up the hill"}
"""
CHEST = """\
piece: Blanket chest
kind: chest
wood: pine
found: {on: 2026-05-01, from: Farm clearance, cost: 20.00}
log:
  - 2026-05-02 washed with dish soap
  - {on: 2026-05-03, did: stained, mix: {walnut stain: 1, spirits: 3, makes: 8 fl oz}}
"""
MIRROR = "piece: Oval mirror\nwood: oak\nfound: {on: 2026-06-01, cost: 5.00}\n"
RECEIPTS = """\
opening:
  - {on: 2026-01-01, what: paste wax, size: 12 oz, cost: 9.00}
receipts:
  - {on: 2026-03-01, from: Bellwether Mutual, what: insurance for the year, cost: 172.00, for: insurance}
  - {on: 2026-05-02, from: Harbour Hardware, what: iron hinge, cost: 7.25, for: {blanket-chest: 1, oval-mirror: 1}}
counts:
  - {on: 2026-12-31, what: fig blue paint, left: 3 fl oz}
income:
  - {on: 2026-07-01, from: Evening school, what: a class on finishes, amount: 90.00}
"""
FILES = {
    "pieces/oak-washbench/piece.yaml": WORKSTAND,
    "pieces/blanket-chest/piece.yaml": CHEST,
    "pieces/oval-mirror/piece.yaml": MIRROR,
    "receipts/2026.yaml": RECEIPTS,
    "products.yaml": "products:\n  fig blue paint: {type: waterborne paint, private: stir it long}\n",
    "tools.yaml": "tools:\n  - {tool: random-orbit sander, on: 2026-01-10, cost: 129.00, write off: at once}\n",
    "trips.yaml": "trips:\n  - {on: 2026-03-03, miles: 14, to: supply house, why: abrasives}\n",
}
OAK, PINE, OVAL = "pieces/oak-washbench/piece.yaml", "pieces/blanket-chest/piece.yaml", "pieces/oval-mirror/piece.yaml"
BOOK = "receipts/2026.yaml"

# Words, and every place that is to be told for them, the best first.
FOUND = [
    ("soap", [("step", f"{PINE}:6"), ("step", f"{OAK}:24")]),
    ("first wash", [("mix", f"{OAK}:25")]),
    ("stain spirits", [("mix", f"{PINE}:7")]),
    ("satin", [("used", f"{OAK}:29")]),
    ("thicker", [("mix", f"{OAK}:25")]),
    ("rub", [("planned", f"{OAK}:31")]),
    ("cup hook", [("bought", f"{OAK}:19")]),
    ("discount", [("receipt", f"{OAK}:16")]),
    ("cellar", [("story", f"{OAK}:5")]),
    ("ring top", [("flaw", f"{OAK}:11")]),
    ("damp", [("care", f"{OAK}:12")]),
    ("straps", [("note", f"{OAK}:13")]),
    ("door", [("found", f"{OAK}:14")]),
    ("finished", [("photo", f"{OAK}:35")]),
    ("window", [("photo", f"{OAK}:35")]),
    ("rosamund", [("offer", f"{OAK}:37")]),
    ("mortimer", [("sold", f"{OAK}:38")]),
    ("collect", [("trip", f"{OAK}:33")]),
    ("insurance", [("bought", f"{BOOK}:4")]),
    ("evening", [("income", f"{BOOK}:9")]),
    ("sander", [("tool", "tools.yaml:2")]),
    ("abrasives", [("trip", "trips.yaml:2")]),
    ("waterborne", [("product", "products.yaml:2")]),
    ("stir", [("product", "products.yaml:2")]),
    ("hinge", [("bought", f"{BOOK}:5")]),
    # A word may name the piece: its title, kind, wood, age or folder.
    ("chest soap", [("step", f"{PINE}:6")]),
    ("pine soap", [("step", f"{PINE}:6")]),
    ("1935 soap", [("step", f"{OAK}:24")]),
    ("blanket-chest soap", [("step", f"{PINE}:6")]),
    ("oval hinge", [("bought", f"{BOOK}:5")]),
    ("pine hinge", [("bought", f"{BOOK}:5")]),
    ("washbench hinge", []),
    # Work before what was bought, that before words, and words before the rest; whole words first, then the newest.
    ("fig blue", [("mix", f"{OAK}:25"), ("counted", f"{BOOK}:7"), ("bought", f"{OAK}:20"), ("product", "products.yaml:2")]),
    ("paste", [("planned", f"{OAK}:31"), ("opening", f"{BOOK}:2")]),
    ("2026-05-02", [("step", f"{PINE}:6"), ("bought", f"{BOOK}:5")]),
    ("harbour", [("bought", f"{BOOK}:5"), ("bought", f"{OAK}:20"), ("bought", f"{OAK}:19")]),
    # When the words name the piece alone, its work is told in order, and what was bought for it elsewhere; a piece
    # with no work is told itself.
    ("blanket chest", [("step", f"{PINE}:6"), ("mix", f"{PINE}:7"), ("bought", f"{BOOK}:5")]),
    ("oval mirror", [("piece", f"{OVAL}:1"), ("bought", f"{BOOK}:5")]),
    ("wash oak", [("mix", f"{OAK}:25"), ("step", f"{OAK}:24"), ("story", f"{OAK}:5"), ("photo", f"{OAK}:35"),
                  ("step", f"{OAK}:29"), ("planned", f"{OAK}:31")]),
]  # fmt: skip


def find(shop: ShopWriter, said: str) -> Matches:
    """Each word of `said` by itself."""
    return look_for([Word(one) for one in said.split()], ShopFolder(shop.root))


@pytest.mark.parametrize(("said", "places"), FOUND, ids=[said for said, _ in FOUND])
def test_words_find_their_entries(shop: ShopWriter, said: str, places: list[tuple[str, str]]) -> None:
    shop.write(FILES)
    matches = find(shop, said)
    assert [(hit.kind, str(hit.entry.place)) for hit in matches.hits] == places
    assert not matches.unread


def test_an_entry_says_which_pieces_it_is_of(shop: ShopWriter) -> None:
    shop.write(FILES)
    (hinge,) = find(shop, "hinge").hits
    assert (hinge.folders, hinge.titles) == (("blanket-chest", "oval-mirror"), ("Blanket chest", "Oval mirror"))
    (insurance,) = find(shop, "insurance").hits
    assert insurance.folders == ()


BROKEN = [
    ("half a list", CHEST + "offers: [\n"),
    ("a tab", CHEST.replace("  - 2026-05-02", "\t- 2026-05-02")),
    ("an alias", CHEST + "care: *same\n"),
    ("not UTF-8", CHEST.encode() + b"care: caf\xe9\n"),
]


@pytest.mark.parametrize("broken", [text for _, text in BROKEN], ids=[name for name, _ in BROKEN])
def test_a_half_typed_file_is_searched_line_by_line_and_told(shop: ShopWriter, broken: str | bytes) -> None:
    shop.write(FILES | {PINE: broken})
    matches = find(shop, "soap")
    assert [(hit.kind, str(hit.entry.place), hit.titles) for hit in matches.hits] == [
        ("step", f"{OAK}:24", ("Bow-front oak washbench",)),
        ("line", f"{PINE}:6", ("Blanket chest",)),
    ]
    assert [problem.place.file for problem in matches.unread] == [PINE]
    by_name = find(shop, "blanket soap")
    assert [str(hit.entry.place) for hit in by_name.hits] == [f"{PINE}:6"]
    shared = find(shop, "blanket hinge")
    assert [str(hit.entry.place) for hit in shared.hits] == [f"{BOOK}:5"]


def test_a_value_that_the_books_refuse_and_an_unknown_key_hide_nothing(shop: ShopWriter) -> None:
    shop.write(
        {PINE: CHEST.replace("cost: 20.00", "cost: twenty") + "mood: hopeful\n", OAK: WORKSTAND.replace("40 min", "40")}
    )
    assert [str(hit.entry.place) for hit in find(shop, "soap").hits] == [f"{PINE}:6", f"{OAK}:24"]
    assert [str(hit.entry.place) for hit in find(shop, "twenty").hits] == [f"{PINE}:4"]
    assert not find(shop, "soap").unread


def test_a_file_that_cannot_be_opened_is_told_whatever_is_looked_for(shop: ShopWriter) -> None:
    shop.write(FILES)
    (shop.root / "pieces" / "gone").mkdir()
    (shop.root / "pieces" / "gone" / "piece.yaml").symlink_to("nothing")
    matches = find(shop, "soap")
    assert len(matches.hits) == 2
    assert [problem.place.file for problem in matches.unread] == ["pieces/gone/piece.yaml"]


NOT_FOUND = [
    (["claer"], {"claer": "clear"}),
    (["washbnech"], {"washbnech": "washbench"}),
    (["satin claer coat"], {"satin claer coat": "satin clear coat"}),
    (["xqzwv"], {"xqzwv": ""}),
    (["claer", "soap"], {"claer": "clear"}),
    (["hinge", "cellar"], {}),
]


@pytest.mark.parametrize(("said", "near"), NOT_FOUND, ids=[" ".join(said) for said, _ in NOT_FOUND])
def test_a_word_that_stands_nowhere_is_told_with_the_nearest_that_does(
    shop: ShopWriter, said: list[str], near: dict[str, str]
) -> None:
    shop.write(FILES)
    matches = look_for([Word(one) for one in said], ShopFolder(shop.root))
    assert (matches.hits, matches.near) == ([], near)
    assert {one for one, files in matches.apart.items() if not files} == set(near)
