"""The README's five minutes, word for word: its files are written, its commands run, its figures looked up."""

from __future__ import annotations

import csv
import io
import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

REPOSITORY = Path(__file__).resolve().parents[1]
README = (REPOSITORY / "README.md").read_text("utf-8")
PIECE = "pieces/ladder-back-rocker/piece.yaml"


def blocks(kind: str) -> list[str]:
    """The README's code blocks of one kind, in order."""
    return re.findall(rf"^```{kind}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def commands(block: str) -> list[list[str]]:
    """The words of each `$ flipbook …` line, without the program's name."""
    lines = [shlex.split(line.removeprefix("$ ")) for line in block.splitlines() if line.startswith("$ ")]
    assert all(words[0] == "flipbook" for words in lines)
    return [words[1:] for words in lines]


@pytest.fixture
def followed(tmp_path: Path, flipbook: Callable[..., Any]) -> Path:
    """A shop made as the README says, up to its last command."""
    root = tmp_path / "my_shop"
    root.mkdir()
    shop, piece, receipt = blocks("yaml")
    begin, look_and_make, _ = blocks("console")
    (root / "shop.yaml").write_text(shop, "utf-8")
    for words in commands(begin):
        ran = flipbook(*words, cwd=root)
        assert (ran.code, ran.err) == (0, "")
    assert (root / PIECE).is_file()
    assert (root / PIECE).parent.joinpath("photos").is_dir()
    (root / PIECE).write_text(piece, "utf-8")
    assert "`receipts/2026.yaml`" in README
    (root / "receipts").mkdir(exist_ok=True)
    (root / "receipts" / "2026.yaml").write_text(receipt, "utf-8")
    for words in commands(look_and_make):
        ran = flipbook(*words, cwd=root)
        assert (ran.code, ran.err) == (0, "")
    return root


def table(root: Path, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((root / "out" / "books" / f"{name}.csv").read_bytes().decode(), newline="")))


def test_the_figures_are_those_of_the_books(followed: Path) -> None:
    """3 of 4 parts of 8 fl oz are 6 fl oz; 21.80 x 6/16 = 8.175, half up 8.18. The rush: 3 x 11.25 + 2.03 = 35.78.

    Found for 26.00 + 1.56 = 27.56; 27.56 + 35.78 + 8.18 = 71.52. Left of the pint: 10/16 = 0.625.
    """
    (row,) = table(followed, "pieces")
    assert (row["found"], row["receipts"], row["shelf"], row["cost"]) == ("27.56", "35.78", "8.18", "71.52")
    for stated in ("6 of the 16 fluid ounces", "8.18 of what the pint cost", "stands at 71.52"):
        assert stated in README
    (paint,) = table(followed, "shelf")
    assert (paint["product"], paint["left"]) == ("black milk paint", "0.625")


def test_the_mistake_is_shown_as_the_readme_shows_it(followed: Path, flipbook: Callable[..., Any]) -> None:
    (shown,) = blocks("text")
    text = (followed / PIECE).read_text("utf-8")
    assert text.count("{black milk paint") == 1
    (followed / PIECE).write_text(text.replace("{black milk", "{black mlik"), "utf-8")
    ran = flipbook("check", cwd=followed)
    assert ran.code == 1
    assert ran.out.startswith(shown.rstrip("\n") + "\n\n1 problem to mend")


def test_the_lines_for_the_terminal_write_what_they_say(followed: Path, flipbook: Callable[..., Any]) -> None:
    """10 x 0.40 = 4.00 is the shop's expense; 192.00 less 71.52 leaves 120.48; 35 min, 1 h 15 min and 40 min are 2.5 h."""
    before = (followed / PIECE).read_text("utf-8").splitlines()
    for words in commands(blocks("console")[2]):
        ran = flipbook(*words, cwd=followed)
        assert ran.code == 0, ran.err
    after = (followed / PIECE).read_text("utf-8").splitlines()
    kept = iter(after)
    assert all(line in kept for line in before), "a line of the maker's own changed"
    assert flipbook("compile", cwd=followed).code == 0
    (row,) = table(followed, "pieces")
    assert (row["state"], row["hours"], row["takings"], row["profit"]) == ("sold", "2.5", "192.00", "120.48")
    assert [row["out"] for row in table(followed, "ledger") if row["kind"] == "supplies"] == ["4.00"]


def test_what_it_says_is_made_is_made(followed: Path) -> None:
    books = followed / "out" / "books"
    named = re.findall(r"^\| (`[^|]+) \|", README, re.MULTILINE)
    names = [name for cell in named for name in re.findall(r"`([^`]+)`", cell)]
    assert len(names) >= 8
    for name in names:
        if "." in name:
            assert (books / name).is_file()
        else:
            assert (books / f"{name}.csv").is_file()
            assert (books / f"{name}.html").is_file()


def test_the_piece_as_it_was_begun_is_a_good_one(tmp_path: Path, flipbook: Callable[..., Any]) -> None:
    (tmp_path / "shop.yaml").write_text(blocks("yaml")[0], "utf-8")
    for words in commands(blocks("console")[0]):
        assert flipbook(*words, cwd=tmp_path).code == 0
    ran = flipbook("check", cwd=tmp_path)
    assert ran.code == 0
    assert ran.out.startswith("1 piece read.")


def test_the_readme_opens_with_one_paragraph() -> None:
    title, _, rest = README.partition("\n")
    assert title == "# flipbook"
    opening, heading, _ = rest.partition("\n## ")
    assert heading
    assert len(opening.strip().split("\n\n")) == 1
    assert opening.strip().startswith("flipbook ")


def test_the_two_first_commands_are_one_line_each() -> None:
    first, second = blocks("sh")
    assert first.count("\n") == second.count("\n") == 1
    assert first.rstrip().endswith("flipbook compile demo_shop")
    assert second.rstrip().endswith("-m pytest")


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "flipbook/shop/FORMAT.md", "templates/README.md"])  # fmt: skip
def test_every_link_in_a_page_of_ours_leads_to_a_file(page: str) -> None:
    folder = (REPOSITORY / page).parent
    text = (REPOSITORY / page).read_text("utf-8")
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert (folder / target).exists(), target
