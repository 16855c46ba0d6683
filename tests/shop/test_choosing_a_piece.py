"""Which piece is meant by a part of its name: the whole name first, then less and less of it, and never a guess."""

from __future__ import annotations

import pytest
from shop_writer import GOOD_PIECE, ShopWriter, run_flipbook

from flipbook.shop.choosing import Chosen, NotChosen, choose, plain

SOLD = "sold: {on: 2026-02-01, price: 80.00}\n"
PIECES = {
    "oak-workstand": "Bow-front oak workstand",
    "oak-stool": "Milking stool",
    "footstool": "Footstool with turned feet",
    "egerie": "Égérie's  café table",
    "stool-of-the-smithy": "Oak stool",
    "chest-1": "Six-board chest",
    "chest-10": "Blanket chest",
    "nightstand-left": "Nightstand",
    "nightstand-right": "Nightstand",
    "cane-chair": "Cane chair",
    "spindle-chair": "Spindle-back chair",
    "walnut-sideboard": "Walnut sideboard",
}
GONE = {"cane-chair": SOLD, "walnut-sideboard": "scrapped: {on: 2026-02-01}\n"}


@pytest.fixture
def many(shop: ShopWriter) -> ShopWriter:
    """A shop of a dozen pieces, two of which have left it."""
    for folder, title in PIECES.items():
        text = GOOD_PIECE.replace("Oak stool", title) + GONE.get(folder, "")
        shop.write({f"pieces/{folder}/piece.yaml": text})
    return shop


@pytest.mark.parametrize(
    ("said", "folder"),
    [
        ("oak-stool", "oak-stool"),  # a whole folder before a whole title, which `Oak stool` is
        ("Oak Stool", "oak-stool"),
        ("chest-1", "chest-1"),  # and before the start of another
        ("chest 1", "chest-1"),
        ("CHEST_10", "chest-10"),
        ("six-board", "chest-1"),
        ("milking stool", "oak-stool"),
        ("Égérie's café table", "egerie"),
        ("egeries cafe", "egerie"),
        ("ÉGÉRIE", "egerie"),
        ("cafe   TABLE", "egerie"),
        ("bow", "oak-workstand"),
        ("workstand", "oak-workstand"),
        ("front work", "oak-workstand"),
        ("work stand", "oak-workstand"),
        ("turned", "footstool"),
        ("left", "nightstand-left"),
        ("nightstand right", "nightstand-right"),
        ("right night", "nightstand-right"),
        ("smith", "stool-of-the-smithy"),
        ("mithy", "stool-of-the-smithy"),
        ("cane", "cane-chair"),
        ("walnut", "walnut-sideboard"),
        ("spindle", "spindle-chair"),
    ],
)
def test_what_fits_one_piece_means_it(many: ShopWriter, said: str, folder: str) -> None:
    chosen = choose(many.root, said)
    assert isinstance(chosen, Chosen), chosen
    assert chosen.piece.folder == folder
    assert bool(chosen.note) == (folder in GONE)
    assert chosen.piece.title == " ".join(PIECES[folder].split())


@pytest.mark.parametrize(
    ("said", "folders"),
    [
        ("nightstand", ["nightstand-left", "nightstand-right"]),  # one title, twice
        ("chair", ["cane-chair", "spindle-chair"]),
        ("chest", ["chest-1", "chest-10"]),
        ("stool", ["oak-stool", "stool-of-the-smithy"]),  # the start of a word before the inside of `footstool`
        ("oak", ["oak-stool", "oak-workstand", "stool-of-the-smithy"]),
        ("and", ["nightstand-left", "nightstand-right", "oak-workstand"]),
    ],
)
def test_what_fits_several_lists_them_and_chooses_none(many: ShopWriter, said: str, folders: list[str]) -> None:
    chosen = choose(many.root, said)
    assert isinstance(chosen, NotChosen)
    assert [line.split()[0] for line in chosen.listed] == folders
    assert f"fits {len(folders)} pieces" in chosen.says


@pytest.mark.parametrize(
    ("said", "nearest"),
    [("worckstand", "oak-workstand"), ("spindel", "spindle-chair"), ("mlking", "oak-stool"), ("walnuss", "walnut-sideboard")],
)  # fmt: skip
def test_what_fits_none_names_the_nearest(many: ShopWriter, said: str, nearest: str) -> None:
    chosen = choose(many.root, said)
    assert isinstance(chosen, NotChosen)
    assert nearest in [line.split()[0] for line in chosen.listed]
    assert "nearest" in chosen.says


@pytest.mark.parametrize("said", ["xyzzy", "---", "🪑", "x" * 10_000])
def test_what_is_like_no_name_lists_nothing(many: ShopWriter, said: str) -> None:
    chosen = choose(many.root, said)
    assert isinstance(chosen, NotChosen)
    assert chosen.listed == ()
    assert len(chosen.says) < 200


@pytest.mark.parametrize(("said", "folder", "passed_over"), [("chair", "spindle-chair", "cane-chair")])
def test_the_one_open_piece_is_meant_before_those_that_have_left(
    many: ShopWriter, said: str, folder: str, passed_over: str
) -> None:
    chosen = choose(many.root, said, open_first=True)
    assert isinstance(chosen, Chosen)
    assert chosen.piece.folder == folder
    assert folder in chosen.note
    assert passed_over in chosen.note


def test_an_open_piece_is_meant_before_one_that_is_gone_and_fits_better(many: ShopWriter) -> None:
    many.write({"pieces/rush-seat/piece.yaml": GOOD_PIECE.replace("Oak stool", "Rush seat") + SOLD})
    many.write({"pieces/bulrushes/piece.yaml": GOOD_PIECE.replace("Oak stool", "Screen of bulrushes")})
    plainly = choose(many.root, "rush")
    assert isinstance(plainly, Chosen)
    assert plainly.piece.folder == "rush-seat"
    for said, folder in (("rush", "bulrushes"), ("rush-seat", "rush-seat"), ("Rush seat", "rush-seat")):
        chosen = choose(many.root, said, open_first=True)
        assert isinstance(chosen, Chosen)
        assert chosen.piece.folder == folder


def test_a_piece_that_has_left_is_meant_when_no_open_one_fits(many: ShopWriter) -> None:
    chosen = choose(many.root, "walnut", open_first=True)
    assert isinstance(chosen, Chosen)
    assert (chosen.piece.folder, chosen.state) == ("walnut-sideboard", "scrapped")
    assert "it is scrapped" in chosen.note


def test_two_open_pieces_are_not_chosen_between(many: ShopWriter) -> None:
    many.write({"pieces/high-chair/piece.yaml": GOOD_PIECE.replace("Oak stool", "High chair")})
    chosen = choose(many.root, "chair", open_first=True)
    assert isinstance(chosen, NotChosen)
    assert len(chosen.listed) == 3


@pytest.mark.parametrize(
    "text",
    [
        "piece: Elm settle\nfound: {on: 2026-13-05, cost: ten}\n",  # records that cannot be read
        "piece: Elm settle\nlog: [\n",  # no YAML
        "piece: Elm settle\npiece: Elm settle\n",
        'found: 1\n"piece" : "Elm settle"   # as bought\n',
        "\ufeffpiece:   Elm  settle\r\nsold: soon\r\n",
    ],
)
def test_a_piece_whose_file_has_errors_is_still_known_by_its_names(shop: ShopWriter, text: str) -> None:
    shop.piece().write({"pieces/old-bench/piece.yaml": text})
    for said in ("old-bench", "bench", "settle", "Elm settle"):
        chosen = choose(shop.root, said)
        assert isinstance(chosen, Chosen), said
        assert (chosen.piece.folder, chosen.piece.title) == ("old-bench", "Elm settle")
        assert chosen.state is None


@pytest.mark.parametrize("text", ["", "just words\n", b"\xff\xfe", "- a list\n"])
def test_a_file_that_says_no_title_is_known_by_its_folder(shop: ShopWriter, text: str | bytes) -> None:
    chosen = choose(shop.write({"pieces/old-bench/piece.yaml": text}).root, "bench")
    assert isinstance(chosen, Chosen)
    assert (chosen.piece.folder, chosen.piece.title, chosen.state) == ("old-bench", "", None)


def test_a_title_written_over_several_lines_is_read_whole(shop: ShopWriter) -> None:
    shop.write({"pieces/old-bench/piece.yaml": "piece: |\n  Elm\n  settle\nfound: {on: 2026-01-05, cost: 1}\n"})
    chosen = choose(shop.root, "elm settle")
    assert isinstance(chosen, Chosen)
    assert chosen.piece.title == "Elm settle"


def test_a_shop_without_pieces_says_how_one_begins(shop: ShopWriter) -> None:
    chosen = choose(shop.root, "stool")
    assert isinstance(chosen, NotChosen)
    assert "flipbook begin" in chosen.says


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Égérie's  café", "egerie s cafe"),
        ("oak_stool-2", "oak stool 2"),
        ("STRAßE", "strasse"),
        ("ﬁne", "fine"),
        ("日本の椅子", "日本の椅子"),
        ("🪑", ""),
    ],
)
def test_names_are_compared_with_case_accents_and_spacing_folded(text: str, folded: str) -> None:
    assert plain(text) == folded


def test_the_list_of_choices_is_no_wider_than_a_terminal(shop: ShopWriter) -> None:
    for number in range(30):
        title = f"A very long title of a stool that goes on and on, number {number}"
        shop.write({f"pieces/stool-{number:02}/piece.yaml": GOOD_PIECE.replace("Oak stool", title)})
    ran = shop.run("ask", "stool", "40", code=2)
    lines = ran.err.splitlines()
    assert len(lines) <= 23
    assert max(map(len, lines)) <= 80
    assert "and 10 more" in lines[-1]


def test_on_the_command_line_several_and_none_are_misuse(many: ShopWriter) -> None:
    several = run_flipbook("ask", "nightstand", "40", cwd=many.root)
    assert (several.code, several.out) == (2, "")
    assert [line.split()[0] for line in several.err.splitlines()[1:]] == ["nightstand-left", "nightstand-right"]
    assert "waiting" in several.err
    none = run_flipbook("ask", "worckstand", "40", cwd=many.root)
    assert (none.code, none.out) == (2, "")
    assert "oak-workstand" in none.err


def test_what_is_written_to_a_piece_that_has_left_is_written_with_a_word_of_warning(many: ShopWriter) -> None:
    ran = many.run("jot", "walnut", "found", "a", "shard", "--on", "2026-02-02")
    assert "walnut-sideboard has left the shop: it is scrapped" in ran.out
    text = (many.root / "pieces/walnut-sideboard/piece.yaml").read_text()
    assert "2026-02-02 found a shard" in text
