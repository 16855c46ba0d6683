"""`flipbook find`, `history` and `again` as processes: what they say, how wide, and how they end."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from repository_writer import RepositoryWriter
from shop_writer import REPOSITORY, Ran, ShopWriter

from flipbook.cli import again, find, history

DEMO = REPOSITORY / "demo_shop"
PAST = """\
log:
  - 2026-02-15 40 min washed with dish soap
  - on: 2026-02-17
    did: first wash coat
    mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}
    took: 1 h 15 min
    dries: 4 h
    private: the second half of the can was thicker
  - {on: 2026-02-28, did: sealed it, used: [3 fl oz satin clear coat]}
"""
SHELF = """\
- on: 2026-01-05
  from: Harbour Hardware
  for: shelf
  lines:
    - {what: fig blue paint, size: 1 quart, cost: 24.50}
    - {what: satin clear coat, size: 1 quart, cost: 31.00}
  total: 55.50
"""
NEW = "piece: Ash stool   # a comment that stays\nfound: {on: 2026-03-01, from: Farm clearance, cost: 5.00}\n"
NEW_FILE = "pieces/ash-stool/piece.yaml"
Command = Callable[..., Ran]


@pytest.fixture
def two(shop: ShopWriter) -> ShopWriter:
    """A shop with a past piece, `oak-stool`, and a new one, `ash-stool`."""
    return shop.piece(PAST).receipts(SHELF).write({NEW_FILE: NEW})


@pytest.mark.parametrize("module", [find, history, again])
def test_the_page_of_help_fits_eighty_columns_and_starts_with_the_usage(flipbook: Command, module: object) -> None:
    name = str(getattr(module, "__name__", "")).rpartition(".")[2]
    ran = flipbook(name, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"flipbook {name} ")
    assert max(map(len, ran.out.splitlines())) <= 80


def test_a_mix_is_written_out_so_that_it_can_be_mixed_again(two: ShopWriter, flipbook: Command) -> None:
    # 12 fl oz of 1 part to 2 are 4 and 8.
    assert flipbook("find", "first", "wash", "--shop", two.root).out == (
        "2026-02-17 mix · Oak stool\n"
        "  first wash coat\n"
        "  1 part fig blue paint, 2 parts water; makes 12 fl oz\n"
        "  that is 4 fl oz fig blue paint, 8 fl oz water\n"
        "  took 1 h 15 min, dries 4 h\n"
        "  private: the second half of the can was thicker\n"
        "  pieces/oak-stool/piece.yaml:5\n"
        "\n"
        "1 entry.\n"
    )


def test_the_coats_on_the_rocker_are_found_in_the_demo_shop(flipbook: Command) -> None:
    """Two steps of its file speak of a coat, newest first, then a caption and its story: four entries."""
    ran = flipbook("find", "coat", "rocker", "--shop", DEMO)
    assert (ran.code, ran.err) == (0, "")
    second, first, photo, story, count = ran.out.strip("\n").split("\n\n")
    title = "Ladder-back rocker, black over red"
    assert second.startswith(f"2026-01-26 step · {title}\n  second coat of the black")
    assert first.startswith(f"2026-01-25 15:30 mix · {title}\n  black milk paint over the red, first coat")
    assert photo.startswith(f"photo · {title}\n")
    assert story.startswith(f"story · {title}\n")
    assert count == "4 entries."


def test_more_than_a_screen_of_entries_is_cut_and_counted(flipbook: Command) -> None:
    shown = flipbook("find", "coat", "--shop", DEMO).out
    everything = flipbook("find", "coat", "--all", "--shop", DEMO).out.strip("\n").split("\n\n")
    assert len(everything) > 21
    assert everything[-1] == f"{len(everything) - 1} entries."
    assert f"20 of {len(everything) - 1} entries shown" in shown


@pytest.mark.parametrize("columns", [40, 80, 132])
def test_lines_are_as_wide_as_the_terminal_and_no_wider(two: ShopWriter, flipbook: Command, columns: int) -> None:
    long = "strip " + "the old thick varnish with a card scraper held at a low angle " * 4 + "x" * 200
    two.write({NEW_FILE: NEW + f"log:\n  - 2026-03-02 {long}\n"})
    ran = flipbook("find", "varnish", "--shop", two.root, env={"COLUMNS": str(columns)})
    widths = [len(line) for line in ran.out.splitlines() if NEW_FILE not in line]
    assert columns - 12 < max(widths) <= columns
    assert "".join(ran.out.split()).count("x" * 200) == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["claer"], "Nothing was found: `claer` stands nowhere, and `clear` does.\n"),
        (["xqzwv"], "Nothing was found: `xqzwv` stands nowhere.\n"),
        (
            ["soap", "sealed"],
            "No entry holds all of it together: `soap` stands in 1 file, `sealed` stands in 1\nfile.\n",
        ),
    ],
)
def test_finding_nothing_is_an_answer(two: ShopWriter, flipbook: Command, words: list[str], says: str) -> None:
    ran = flipbook("find", *words, "--shop", two.root)
    assert (ran.code, ran.out, ran.err) == (0, says, "")


def test_a_word_of_signs_is_misuse(two: ShopWriter, flipbook: Command) -> None:
    ran = flipbook("find", "--shop", two.root, "--", "--")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("flipbook: `--` has no letter and no digit in it; say what to look for")


def test_a_half_typed_file_is_told_on_the_other_stream(two: ShopWriter, flipbook: Command) -> None:
    two.write({NEW_FILE: NEW + "log:\n  - 2026-03-02 washed it\noffers: [\n"})
    ran = flipbook("find", "washed", "--shop", two.root)
    assert ran.code == 0
    assert ran.err == f"flipbook: {NEW_FILE}:5 could not be read in full; `flipbook check` shows why.\n"
    assert f"line · Ash stool\n  - 2026-03-02 washed it\n  {NEW_FILE}:4\n" in ran.out
    assert "step · Oak stool" in ran.out


def test_what_was_found_can_be_read_by_a_program(two: ShopWriter, flipbook: Command) -> None:
    ran = flipbook("find", "first", "wash", "--json", "--shop", two.root)
    assert json.loads(ran.out) == {
        "words": ["first", "wash"],
        "hits": [
            {
                "kind": "mix",
                "date": "2026-02-17",
                "pieces": [{"folder": "oak-stool", "title": "Oak stool"}],
                "says": {
                    "on": "2026-02-17",
                    "did": "first wash coat",
                    "mix": "1 part fig blue paint, 2 parts water; makes 12 fl oz",
                    "took": "1 h 15 min",
                    "dries": "4 h",
                    "private": "the second half of the can was thicker",
                },
                "receipt": {},
                "mix": {"fig blue paint": "4 fl oz", "water": "8 fl oz"},
                "file": "pieces/oak-stool/piece.yaml",
                "line": 5,
            }
        ],
        "apart": {},
        "nearest": {},
        "unread": [],
    }


def test_signs_in_a_log_move_nothing_on_the_terminal(two: ShopWriter, flipbook: Command) -> None:
    two.write({NEW_FILE: NEW + 'log:\n  - {on: 2026-03-02, did: "washed \\e[31mred\\a \\u202e on"}\n'})
    ran = flipbook("find", "washed", "--shop", two.root)
    assert "washed ·[31mred· · on" in ran.out
    assert all(character == "\n" or character.isprintable() for character in ran.out)


def test_a_schedule_is_planned_for_another_piece(two: ShopWriter, flipbook: Command) -> None:
    ran = flipbook("again", "oak", "ash", "--shop", two.root)
    assert (ran.code, ran.err) == (0, "")
    assert (two.root / NEW_FILE).read_text("utf-8") == NEW + (
        "planned:\n"
        "  - did: washed with dish soap\n"
        "    took: 40 min\n"
        "    like: oak-stool, 2026-02-15\n"
        "  - did: first wash coat\n"
        "    took: 1 h 15 min\n"
        "    mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}\n"
        "    dries: 4 h\n"
        "    like: oak-stool, 2026-02-17\n"
        "  - did: sealed it\n"
        "    used: [3 fl oz satin clear coat]\n"
        "    like: oak-stool, 2026-02-28\n"
    )
    assert f"Written at {NEW_FILE}:4\n" in ran.out
    assert ran.out.endswith(f"3 steps planned like oak-stool. Without lines 3 to 14 of {NEW_FILE} it is as it was.\n")
    assert [step.like for step in two.books().facts.pieces[0].piece.planned] == [
        f"oak-stool, 2026-02-{day}" for day in (15, 17, 28)
    ]


def test_the_lines_that_are_told_are_those_to_take_out_again(two: ShopWriter, flipbook: Command) -> None:
    before = NEW + "planned:\n- rub it down\ntrips: []\n"
    two.write({NEW_FILE: before})
    ran = flipbook("again", "oak", "ash", "wash", "--shop", two.root)
    assert ran.out.endswith(f"2 steps planned like oak-stool. Without lines 5 to 12 of {NEW_FILE} it is as it was.\n")
    lines = (two.root / NEW_FILE).read_text("utf-8").splitlines(keepends=True)
    assert "".join(lines[:4] + lines[12:]) == before


def test_looking_first_writes_nothing(two: ShopWriter, flipbook: Command) -> None:
    ran = flipbook("again", "oak", "ash", "wash", "--look", "--shop", two.root)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out == (
        "  1  washed with dish soap\n"
        "     took 40 min\n"
        "  2  first wash coat\n"
        "     1 part fig blue paint, 2 parts water; makes 12 fl oz\n"
        "     that is 4 fl oz fig blue paint, 8 fl oz water\n"
        "     took 1 h 15 min, dries 4 h\n"
        f"2 steps of oak-stool would be planned in {NEW_FILE}; nothing was written.\n"
    )
    assert (two.root / NEW_FILE).read_text("utf-8") == NEW


def test_a_step_is_not_planned_twice(two: ShopWriter, flipbook: Command) -> None:
    assert flipbook("again", "oak", "ash", "first", "--shop", two.root).code == 0
    once = (two.root / NEW_FILE).read_bytes()
    again_first = flipbook("again", "oak", "ash", "first", "--shop", two.root)
    assert (again_first.code, again_first.out) == (
        0,
        "All of it is planned for ash-stool already; nothing was written.\n",
    )
    assert (two.root / NEW_FILE).read_bytes() == once
    whole = flipbook("again", "oak", "ash", "--shop", two.root)
    assert "2 steps planned like oak-stool, and 1 planned before." in whole.out
    assert (two.root / NEW_FILE).read_text("utf-8").count("like: oak-stool") == 3


SOLD = "sold: {on: 2026-04-11, price: 380.00}\n"
MISUSED = [
    ("itself", {}, ["oak", "oak"], "`oak-stool` cannot be its own pattern; name another piece as PAST or as NEW"),
    (
        "a piece that is gone",
        {NEW_FILE: NEW + SOLD},
        ["oak", "ash"],
        "`ash-stool` is sold, so nothing is left to plan for it; name a piece in the shop",
    ),
    (
        "no such step",
        {},
        ["oak", "ash", "varnish", "thick"],
        "no step of `oak-stool` holds `varnish`, `thick`; leave words out, or look with `flipbook find`",
    ),
    ("no step at all", {}, ["ash", "oak"], "`ash-stool` has no step in its log, so there is nothing to plan from it"),
    (
        "a word of signs",
        {},
        ["oak", "ash", "…"],
        "`…` has no letter and no digit in it; say words of the steps that are meant",
    ),
    (
        "too many steps",
        {"pieces/long/piece.yaml": NEW + "log:\n" + "  - 2026-03-02 dusted\n" * 101},
        ["long", "oak"],
        "that would be 101 steps, and 100 are planned at once; say words of those meant",
    ),
]


@pytest.mark.parametrize(("files", "words", "says"), [case[1:] for case in MISUSED], ids=[case[0] for case in MISUSED])
def test_what_cannot_be_planned_is_said(
    two: ShopWriter, flipbook: Command, files: dict[str, str], words: list[str], says: str
) -> None:
    two.write(files)
    before = {path: path.read_bytes() for path in two.root.rglob("*.yaml")}
    ran = flipbook("again", "--shop", two.root, "--", *words)
    assert (ran.code, ran.out, ran.err) == (2, "", f"flipbook: {says}\n")
    assert {path: path.read_bytes() for path in two.root.rglob("*.yaml")} == before


def test_a_past_piece_may_be_sold(two: ShopWriter, flipbook: Command) -> None:
    two.piece(PAST + SOLD)
    assert flipbook("again", "oak", "ash", "--shop", two.root).code == 0


BAD_FILES = [
    ("the past one cannot be read", "pieces/oak-stool/piece.yaml", "piece: Oak stool\nlog: [\n"),
    ("the new one cannot be read", NEW_FILE, NEW + "offers: [\n"),
    ("the new one has an error", NEW_FILE, NEW + "kept: yesterday\n"),
]


@pytest.mark.parametrize(("file", "text"), [case[1:] for case in BAD_FILES], ids=[case[0] for case in BAD_FILES])
def test_a_file_with_an_error_in_it_is_not_planned_from_or_into(
    two: ShopWriter, flipbook: Command, file: str, text: str
) -> None:
    two.write({file: text})
    before = {path: path.read_bytes() for path in two.root.rglob("*.yaml")}
    ran = flipbook("again", "--shop", two.root, "oak", "ash")
    assert ran.code == 1
    assert f"{file}:" in ran.err
    assert {path: path.read_bytes() for path in two.root.rglob("*.yaml")} == before


def test_a_plan_that_the_shop_would_refuse_is_not_written(two: ShopWriter, flipbook: Command) -> None:
    two.piece(PAST.replace("3 fl oz satin clear coat", "some satin clear coat"))
    ran = flipbook("again", "oak", "ash", "sealed", "--shop", two.root)
    assert ran.code == 1
    assert f"{NEW_FILE}:" in ran.err
    assert (two.root / NEW_FILE).read_text("utf-8") == NEW


@pytest.mark.parametrize("name", ["--json", "-x", "--", "oak stool", "Égérie's", "a: b", "#4"])
def test_a_folder_of_any_name_can_be_named(shop: ShopWriter, flipbook: Command, name: str) -> None:
    shop.piece(PAST, name).receipts(SHELF).write({NEW_FILE: NEW})
    ran = flipbook("again", "--shop", shop.root, "--", name, "ash-stool", "soap")
    assert (ran.code, ran.err) == (0, "")
    (planned,) = next(one for one in shop.books().facts.pieces if one.folder == "ash-stool").piece.planned
    assert planned.like == f"{name}, 2026-02-15"
    RepositoryWriter(shop.root).commit({}, said="All of it")
    told = flipbook("history", "--shop", shop.root, "--", name)
    assert (told.code, told.err) == (0, "")
    assert "new      step, 2026-02-15: washed with dish soap; took 40 min" in told.out


def test_a_history_can_be_read_by_a_program_and_on_the_terminal(shop: ShopWriter, flipbook: Command) -> None:
    repository = RepositoryWriter(shop.piece(PAST).root)
    repository.commit({}, "2026-03-01", "Begun")
    shop.piece(PAST.replace("1 h 15 min", "1 h 30 min"))
    repository.commit({}, "2026-03-02", "On")
    told = json.loads(flipbook("history", "oak", "--json", "--shop", shop.root).out)
    names = [(one.name, one.short, one.day) for one in repository.log("--reverse")]
    assert [(one["commit"], one["short"], one["date"]) for one in told["versions"]] == names
    assert {key: told[key] for key in ("piece", "title", "notes")} == {
        "piece": "oak-stool", "title": "Oak stool", "notes": [],
    }  # fmt: skip
    assert told["versions"][1]["told"] == [
        {
            "how": "changed",
            "kind": "step",
            "about": "step, 2026-02-17 (first wash coat)",
            "key": "took",
            "was": "1 h 15 min",
            "is": "1 h 30 min",
        }
    ]
    assert flipbook("history", "oak", "--shop", shop.root).out.endswith(
        f"\n2026-03-02  {names[1][1]}  On\n"
        "  changed  step, 2026-02-17 (first wash coat): took was 1 h 15 min, now 1 h 30\n"
        "           min\n"
    )
