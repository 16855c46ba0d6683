"""How each command ends and what it says: FORMAT.md, "Commands, and how they end"."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from shop_writer import GOOD_PIECE, Ran, ShopWriter, flipbook_environment

from flipbook import __version__
from flipbook.cli.commands import COMMANDS
from flipbook.cli.table import Command

DONE, PROBLEMS, MISUSED = 0, 1, 2
Flipbook = Callable[..., Ran]

INNER = {inner.name: inner for command in COMMANDS.values() for inner in command.inner}


def tree(root: Path) -> dict[str, bytes]:
    """Every file below a folder, by its path."""
    return {str(path.relative_to(root)): path.read_bytes() for path in sorted(root.rglob("*")) if path.is_file()}


def positions(frames: str) -> list[str]:
    """The `file:line:column` of each frame on the terminal."""
    heads = (re.match(r"(\S.*?): (?:to mend|look at): ", line) for line in frames.splitlines())
    return [head[1] for head in heads if head]


@pytest.fixture
def good(shop: ShopWriter) -> ShopWriter:
    """A shop with a sale in 2026 and nothing wrong."""
    return shop.piece("asking: [{on: 2026-03-20, price: 425}]\nsold: {on: 2026-04-11, price: 380, at: antiques hall}\n")


@pytest.fixture
def bad(good: ShopWriter) -> ShopWriter:
    """A shop with an error and a warning."""
    return good.write({"pieces/pine-chest/piece.yaml": "piece: Pine chest\nkind: chest\nsize: big\n", "tool.yaml": ""})


def test_check_of_a_good_shop_says_how_much_was_read_and_writes_nothing(flipbook: Flipbook, good: ShopWriter) -> None:
    before = tree(good.root)
    ran = flipbook("check", good.root)
    assert (ran.code, ran.err) == (DONE, "")
    assert ran.out.startswith("1 piece read.")
    assert tree(good.root) == before


def test_check_of_a_shop_with_problems_shows_every_one_and_ends_with_1(flipbook: Flipbook, bad: ShopWriter) -> None:
    before = tree(bad.root)
    ran = flipbook("check", bad.root)
    assert ran.code == PROBLEMS
    assert positions(ran.out) == ["pieces/pine-chest/piece.yaml:3:7", "tool.yaml"]
    assert "1 problem to mend; nothing was written. 1 more to look at." in ran.out
    assert tree(bad.root) == before


def test_a_warning_alone_does_not_spoil_the_check(flipbook: Flipbook, good: ShopWriter) -> None:
    ran = flipbook("check", good.write({"pieces/notes.yaml": ""}).root)
    assert ran.code == DONE
    assert positions(ran.out) == ["pieces/notes.yaml"]
    assert "1 thing to look at." in ran.out
    assert "1 piece read." in ran.out


def test_check_as_json_says_the_same_as_the_text(flipbook: Flipbook, bad: ShopWriter) -> None:
    text, ran = flipbook("check", bad.root), flipbook("check", bad.root, "--json")
    answer = json.loads(ran.out)
    assert (ran.code, answer["good"], answer["pieces"]) == (PROBLEMS, False, None)
    said = [p["file"] + (f":{p['line']}:{p['column']}" if p["line"] else "") for p in answer["problems"]]
    assert said == positions(text.out)
    for problem in answer["problems"]:
        kind = {"error": "to mend", "warning": "look at"}[problem["severity"]]
        assert f": {kind}: {problem['says']} [{problem['name']}]" in text.out
        assert f"\n\n    {problem['help'][0].upper()}{problem['help'][1:]}.\n" in text.out


def test_check_of_a_good_shop_as_json(flipbook: Flipbook, good: ShopWriter) -> None:
    ran = flipbook("check", good.root, "--json")
    assert (ran.code, json.loads(ran.out)) == (DONE, {"good": True, "pieces": 1, "problems": []})


def test_the_year_as_json_says_the_same_as_the_table(flipbook: Flipbook, good: ShopWriter) -> None:
    text, ran = flipbook("year", "2026", "--shop", good.root), flipbook("year", "2026", "--shop", good.root, "--json")
    assert (text.code, ran.code) == (DONE, DONE)
    answer = json.loads(ran.out)
    assert (answer["year"], answer["from"], answer["to"]) == (2026, "2026-01-01", "2026-12-31")
    assert (answer["money_in"], answer["money_out"], answer["currency"]) == ("380.00", "55.60", "USD")
    assert len(answer["lines"]) > 3
    table = " ".join(text.out.split())
    for line in answer["lines"]:
        shown = f"{abs(float(line['amount'])):,.2f}"
        assert f"{line['caption']} " in table
        assert shown in table


def test_a_year_of_a_shop_with_problems_shows_them_and_ends_with_1(flipbook: Flipbook, bad: ShopWriter) -> None:
    for words in (("year", "2026"), ("year", "2026", "--json")):
        ran = flipbook(*words, "--shop", bad.root)
        assert (ran.code, ran.out) == (PROBLEMS, "")
        assert "pieces/pine-chest/piece.yaml:3:7" in ran.err


MISUSES = [
    ((), "required"),
    (("bake",), "there is no `bake`"),
    (("chek",), "did you mean `check`?"),
    (("sums", "mx"), "did you mean `mix`?"),
    (("check", "one", "two"), "unrecognized"),
    (("check", "--jsn"), "unrecognized"),
    (("check", "nowhere"), "no folder nowhere"),
    (("check", "file.txt"), "no folder file.txt"),
    (("check", "empty"), "no shop.yaml"),
    (("check", "a" * 5000), "no folder"),
    (("compile", "nowhere"), "no folder nowhere"),
    (("compile", "empty"), "no shop.yaml"),
    (("compile", "my_shop", "--out"), "--out wants a word behind it"),
    (("compile", "my_shop", "--out", "--help"), "--out wants a word behind it"),
    (("check", "my_shop", "--hlep"), "did you mean `--help`?"),
    (("sums", "--jot"), "has no `--jot`"),
    (("compile", "my_shop", "--out", "file.txt"), "file of that name"),
    (("compile", "my_shop", "--out", "my_shop/pieces"), "pieces"),
    (("compile", "my_shop", "--out", "my_shop/receipts/2026"), "receipts"),
    (("begin",), "TITLE"),
    (("begin", "", "--shop", "my_shop"), "say what the piece is"),
    (("begin", "  \t ", "--shop", "my_shop"), "say what the piece is"),
    (("begin", "a\x1b[31m", "--shop", "my_shop"), "say what the piece is"),
    (("begin", "Pine chest", "--shop", "nowhere"), "no folder nowhere"),
    (("begin", "Pine chest", "--shop", "empty"), "no shop.yaml"),
    (("begin", "Pine chest", "--shop", "my_shop", "--on", "14/02/2026"), "`2026-02-14`"),
    (("begin", "Pine chest", "--shop", "my_shop", "--cost", "40.005"), "to the cent"),
    (("begin", "Pine chest", "--shop", "my_shop", "--cost", "£40"), "currency"),
    (("begin", "Pine chest", "--shop", "my_shop", "--from", "M."), "--cost"),
    (("begin", "Oak stool", "--shop", "my_shop"), "pieces/oak-stool already"),
    (("year",), "YEAR"),
    (("year", "26", "--shop", "my_shop"), "write it as 2026"),
    (("year", "２０２６", "--shop", "my_shop"), "write it as 2026"),
    (("year", "next", "--shop", "my_shop"), "write it as 2026"),
    (("year", "2019", "--shop", "my_shop"), "the shop's log has 2026"),
    (("year", "2026", "--shop", "nowhere"), "no folder nowhere"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), MISUSES, ids=[" ".join(words)[:50] or "nothing" for words, _ in MISUSES])
def test_a_misused_command_says_what_is_wrong_ends_with_2_and_touches_nothing(
    flipbook: Flipbook, good: ShopWriter, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file.txt").write_text("")
    before = tree(tmp_path)
    ran = flipbook(*words, cwd=tmp_path)
    assert (ran.code, ran.out) == (MISUSED, "")
    assert ran.err.startswith("flipbook: ")
    assert said in ran.err
    assert tree(tmp_path) == before


def test_outside_any_shop_a_command_says_where_to_go(flipbook: Flipbook, tmp_path: Path) -> None:
    for words in (("check",), ("compile",), ("begin", "Pine chest"), ("year", "2026")):
        ran = flipbook(*words, cwd=tmp_path)
        assert ran.code == MISUSED
        assert "go to your shop's folder" in ran.err


def test_a_folder_that_is_gone_is_no_place_to_run_in_and_that_is_said(good: ShopWriter, tmp_path: Path) -> None:
    gone = "mkdir gone && cd gone && rmdir ../gone && exec " + f"{sys.executable} -m flipbook check"
    ran = subprocess.run(
        ["sh", "-c", gone], cwd=tmp_path, env=flipbook_environment(), capture_output=True, timeout=20, check=False
    )
    assert b"Traceback" not in ran.stderr
    assert ran.returncode == MISUSED
    assert ran.stderr.startswith(b"flipbook: ")


def test_a_year_of_an_empty_shop_says_that_the_log_is_empty(flipbook: Flipbook, shop: ShopWriter) -> None:
    ran = flipbook("year", "2026", "--shop", shop.root)
    assert ran.code == MISUSED
    assert "the shop's log is empty" in ran.err


@pytest.mark.parametrize("inner", [".", "pieces", "pieces/oak-stool", "receipts/scans/2026"])
def test_the_shop_is_found_upward_from_any_folder_in_it(flipbook: Flipbook, good: ShopWriter, inner: str) -> None:
    (good.root / inner).mkdir(parents=True, exist_ok=True)
    ran = flipbook("check", cwd=good.root / inner)
    assert ran.code == DONE
    assert ran.out.startswith("1 piece read.")


def test_a_shop_may_be_named_by_a_path_of_any_form(flipbook: Flipbook, good: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(good.root)
    for named in (good.root, "my_shop", "my_shop/", "./my_shop/../my_shop", "link"):
        assert flipbook("check", named, cwd=tmp_path).code == DONE, named


@pytest.mark.parametrize("name", [*COMMANDS, *INNER])
@pytest.mark.parametrize("ask", ["--help", "-h"])
def test_the_help_of_a_command_names_all_that_it_takes(flipbook: Flipbook, name: str, ask: str) -> None:
    ran = flipbook(*name.split(), ask)
    command = (COMMANDS | INNER)[name]
    assert (ran.code, ran.err) == (DONE, "")
    assert ran.out.startswith(f"flipbook {name} ")
    assert [of.form for of in (*command.words, *command.options) if of.form.removesuffix("...") not in ran.out] == []
    assert all(len(line) <= 100 for line in ran.out.splitlines())


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS)
def test_an_option_is_taken_before_between_and_after_the_words(command: Command) -> None:
    """The three places, for every command with an option that takes a value; the words are those of its table."""
    option = next((one for one in command.options if one.value and one.choices is None), None)
    words = [slot.choices[0] if slot.choices else f"w{n}" for n, slot in enumerate(command.words)]
    if option is None or not words:
        assert not [one for one in command.options if one.value and one.choices is None] or command.inner
        return
    said = [option.name, "-2d"]
    first = vars(command.arguments([*said, *words]))
    for place in range(1, len(words) + 1):
        assert vars(command.arguments([*words[:place], *said, *words[place:]])) == first
    assert "-2d" in str(first.values())


def test_the_first_help_names_every_command_and_every_exit_status(flipbook: Flipbook) -> None:
    ran = flipbook("--help")
    assert ran.code == DONE
    for command in COMMANDS:
        assert f"  flipbook {command} " in ran.out
    for status in ("0", "1", "2"):
        assert status in ran.out


def test_the_version_is_said(flipbook: Flipbook) -> None:
    ran = flipbook("--version")
    assert (ran.code, ran.out) == (DONE, f"flipbook {__version__}\n")


def test_compile_makes_both_folders_and_says_where(flipbook: Flipbook, good: ShopWriter) -> None:
    ran = flipbook("compile", good.root)
    assert ran.code == DONE, ran.err
    made = tree(good.root / "out")
    assert {"books/index.html", "books/ledger.csv", "portfolio/index.html"} <= set(made)
    for folder in ("books", "portfolio"):
        assert os.path.join("out", folder, "index.html") in ran.out


def test_compile_elsewhere_leaves_the_shop_as_it_was(flipbook: Flipbook, good: ShopWriter, tmp_path: Path) -> None:
    before = tree(good.root)
    assert flipbook("compile", good.root, "--out", tmp_path / "made").code == DONE
    assert tree(good.root) == before
    assert "books/ledger.csv" in tree(tmp_path / "made")


def test_compile_of_a_shop_with_problems_leaves_the_last_good_output(flipbook: Flipbook, good: ShopWriter) -> None:
    assert flipbook("compile", good.root).code == DONE
    before = tree(good.root / "out")
    good.write({"pieces/oak-stool/piece.yaml": GOOD_PIECE + "size: big\n"})
    ran = flipbook("compile", good.root)
    assert (ran.code, ran.out) == (PROBLEMS, "")
    assert positions(ran.err) == ["pieces/oak-stool/piece.yaml:3:7"]
    assert tree(good.root / "out") == before


def test_a_picture_that_is_a_pipe_does_not_hold_compile_up(flipbook: Flipbook, good: ShopWriter) -> None:
    photos = good.root / "pieces" / "oak-stool" / "photos"
    photos.mkdir()
    os.mkfifo(photos / "after-front.jpg")
    assert flipbook("compile", good.root).code in (DONE, PROBLEMS)
