"""Words completed in the shell, by the protocol of argcomplete run as a shell runs it.

The protocol is that of argcomplete's own documentation and shell code: `_ARGCOMPLETE` set, the line in `COMP_LINE`, the
cursor in `COMP_POINT`, the answer on the file descriptor 8, parted by `_ARGCOMPLETE_IFS`.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from shop_writer import GOOD_PIECE, PATIENCE, ShopWriter, flipbook_environment, run_flipbook

from flipbook.shop.records.expenses import EXPENSE_KINDS

SHELF = """\
receipts:
  - {on: 2026-01-03, from: H., what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf, container: can}
  - {on: 2026-01-03, from: H., what: stamps, cost: 8.00, for: office}
  - on: 2026-01-04
    from: H.
    for: shelf
    lines: [{what: Satin  clear coat, size: 1 quart, cost: 31.00}, {what: hooks, cost: 3.00, for: supplies}]
    total: 34.00
opening:
  - {on: 2026-01-01, what: brown wax, size: 8 oz, cost: 9.00}
"""
LOADED = """
import os, sys
os._exit = lambda code: (os.write(2, repr(sorted({name.partition(".")[0] for name in sys.modules})).encode()), os.kill(os.getpid(), 9))
from flipbook.cli.main import main
main()
"""


@pytest.fixture
def many(shop: ShopWriter) -> ShopWriter:
    """A shop with three pieces and three products on the shelf, one of them named in a piece's own receipts."""
    shop.piece().receipts(SHELF)
    shop.write({"pieces/elm-bench/piece.yaml": GOOD_PIECE.replace("Oak stool", "Elm bench")})
    own = "bought: [{on: 2026-01-09, from: H., what: wood glue, size: 8 fl oz, cost: 7.00, for: shelf}]\n"
    return shop.write({"pieces/oak-workstand/piece.yaml": GOOD_PIECE + own})


def asked(shop: ShopWriter | Path, line: str, program: tuple[str, ...] = ("-m", "flipbook")) -> tuple[list[str], str]:
    """What a shell is offered for a line with the cursor at its end, and all that was said otherwise."""
    root = shop if isinstance(shop, Path) else shop.root
    reads, writes = os.pipe()

    def to_eight() -> None:
        os.dup2(writes, 8)

    more = {
        "_ARGCOMPLETE": "1",
        "_ARGCOMPLETE_IFS": "\013",
        "COMP_LINE": line,
        "COMP_POINT": str(len(line.encode())),
    }
    with os.fdopen(reads, "rb") as answer:
        ran = subprocess.run(
            [sys.executable, *program],
            cwd=root,
            env=flipbook_environment(more),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            pass_fds=(8,),
            preexec_fn=to_eight,
            timeout=PATIENCE,
            check=False,
        )
        os.close(writes)
        offered = answer.read().decode("utf-8")
    return offered.split("\013") if offered else [], (ran.stdout + ran.stderr).decode("utf-8")


def offered(shop: ShopWriter | Path, line: str) -> list[str]:
    """As `asked`, where nothing else may be said; the space behind a single answer is taken off."""
    words, said = asked(shop, line)
    assert said == ""
    return [word.rstrip(" ") for word in words]


def test_commands_are_offered(many: ShopWriter) -> None:
    from flipbook.cli.commands import COMMANDS

    assert set(COMMANDS) <= set(offered(many, "flipbook "))
    assert offered(many, "flipbook jo") == ["jot"]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("flipbook jot oak", ["oak-stool", "oak-workstand"]),
        ("flipbook jot e", ["elm-bench"]),
        ("flipbook ask oak-w", ["oak-workstand"]),
        ("flipbook offer oak-w", ["oak-workstand"]),
        ("flipbook sell oak-w", ["oak-workstand"]),
        ("flipbook jot --took '1 h' oak-w", ["oak-workstand"]),
        ("flipbook jot xyz", []),
    ],
)
def test_pieces_are_offered_by_their_folders(many: ShopWriter, line: str, words: list[str]) -> None:
    assert offered(many, line) == words


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("flipbook jot oak-stool --to", "--took"),
        ("flipbook spend --paid", "--paid-with"),
        ("flipbook sell oak-stool 380 --sales", "--sales-tax"),
        ("flipbook begin --sc", "--scan"),
    ],
)
def test_options_are_offered(many: ShopWriter, line: str, word: str) -> None:
    assert offered(many, line) == [word]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("flipbook sell oak-stool 380 --at ", ["antiques\\ hall", "porch\\ sale"]),
        ("flipbook sell oak-stool 380 --at po", ["porch\\ sale"]),
        ("flipbook sell oak-stool 380 --at 'po", ["porch sale"]),
        ('flipbook sell oak-stool 380 --at "porch s', ["porch sale"]),
    ],
)
def test_outlets_are_offered(many: ShopWriter, line: str, words: list[str]) -> None:
    assert sorted(word.rstrip("'\"") for word in offered(many, line)) == words


@pytest.mark.parametrize(
    ("line", "products"),
    [
        ("flipbook jot oak-stool --used '1/4 can ", ["brown wax", "fig blue paint", "Satin clear coat", "wood glue"]),
        ("flipbook jot oak-stool --used '1/4 can sat", ["Satin clear coat"]),
        ("flipbook jot oak-stool --used '1/4 can fig bl", ["fig blue paint"]),
        ("flipbook jot oak-stool --used 'wo", ["wood glue"]),
        ("flipbook jot oak-stool --mix 'fig blue paint 1, bro", ["brown wax"]),
        ("flipbook spend 'fi", ["fig blue paint"]),
        ("flipbook spend --line 'br", ["brown wax"]),
    ],
)
def test_products_are_offered_behind_the_amount(many: ShopWriter, line: str, products: list[str]) -> None:
    before = line.rpartition("'")[2]
    words = [word.rstrip("'") for word in offered(many, line)]
    assert words
    for word, product in zip(words, products, strict=True):
        assert word.casefold().endswith(product.casefold())
        assert word.startswith(before)


def test_what_a_receipt_may_be_for_is_offered(many: ShopWriter) -> None:
    words = offered(many, "flipbook spend stamps --for ")
    assert {*EXPENSE_KINDS, "shelf", "oak-stool", "elm-bench", "oak-workstand"} <= set(words)
    assert offered(many, "flipbook spend stamps --for sof") == ["software"]


def test_another_shop_is_looked_into_when_it_is_named(many: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    assert offered(tmp_path / "elsewhere", f"flipbook jot --shop {many.root} oak-w") == ["oak-workstand"]
    assert offered(tmp_path / "elsewhere", "flipbook jot oak-w") == []


def test_files_are_offered_for_a_picture(many: ShopWriter) -> None:
    (many.root / "slip.jpg").write_bytes(b"")
    assert offered(many, "flipbook jot oak-stool --photo sl") == ["slip.jpg"]


@pytest.mark.parametrize(
    "files",
    [
        {"shop.yaml": "shop: [\n"},
        {"shop.yaml": b"\xff\xfe\x00"},
        {"receipts/2026.yaml": "receipts: {\n"},
        {"receipts/2026.yaml": "receipts:\n  - shelf\n  - {for: {shelf: 1}, what: [a]}\n  - {lines: shelf}\n"},
        {"receipts/2026.yaml": "- {for: shelf}\n- shelf\n"},
        {"pieces/oak-stool/piece.yaml": "bought: shelf\nlog: shelf\n"},
    ],
)
def test_a_shop_with_errors_is_completed_as_far_as_it_can_be(many: ShopWriter, files: dict[str, str | bytes]) -> None:
    many.write(files)
    assert offered(many, "flipbook jot oak-w") == ["oak-workstand"]
    for line in ("flipbook jot oak-stool --used '1 ", "flipbook sell oak-stool 3 --at ", "flipbook spend --for "):
        offered(many, line)


@pytest.mark.parametrize(
    "line", ["flipbook jot ", "flipbook sell a 3 --at ", "flipbook spend --for ", "flipbook jot a --used '1 "]
)
def test_outside_of_a_shop_nothing_is_said(tmp_path: Path, line: str) -> None:
    offered(tmp_path, line)


@pytest.mark.parametrize("line", ["flipbook ", "flipbook jot oak", "flipbook jot --", "flipbook sell oak"])
def test_commands_options_and_folders_load_nothing_heavy(many: ShopWriter, line: str) -> None:
    words, said = asked(many, line, ("-c", LOADED))
    assert words
    loaded = set(json.loads(said.replace("'", '"')))
    assert "argcomplete" in loaded
    assert not loaded & {"pydantic", "ruamel", "PIL", "rich", "jinja2", "watchdog", "filelock"}


def test_nothing_is_carried_out_and_nothing_written_while_completing(many: ShopWriter) -> None:
    before = {path: path.read_bytes() for path in many.root.rglob("*") if path.is_file()}
    offered(many, "flipbook jot oak-stool washed it --took '40 min'")
    offered(many, "flipbook begin Oak chair ")
    assert {path: path.read_bytes() for path in many.root.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(("shell", "word"), [("bash", "complete "), ("zsh", "compdef"), ("fish", "complete ")])
def test_what_a_shell_is_told_names_the_command(shell: str, word: str) -> None:
    ran = run_flipbook("complete", shell)
    assert (ran.code, ran.err) == (0, "")
    assert word in ran.out
    assert "flipbook" in ran.out


def test_a_shell_that_is_not_known_is_misuse() -> None:
    ran = run_flipbook("complete", "csh")
    assert ran.code == 2
    assert "bash" in ran.err


def test_the_shell_of_the_person_is_meant_when_none_is_named() -> None:
    assert run_flipbook("complete", env={"SHELL": "/usr/bin/fish"}).out == run_flipbook("complete", "fish").out
    assert run_flipbook("complete", env={"SHELL": ""}).out == run_flipbook("complete", "bash").out


BASH = shutil.which("bash")


def test_a_shell_completes_with_what_it_was_told(many: ShopWriter, tmp_path: Path) -> None:
    assert BASH is not None
    program = tmp_path / "bin" / "flipbook"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec {sys.executable} -m flipbook "$@"\n')
    program.chmod(0o755)
    script = """
    eval "$(flipbook complete bash)"
    COMP_LINE='flipbook jot oak-w' COMP_POINT=18 COMP_TYPE=9 COMP_WORDS=(flipbook jot oak-w) COMP_CWORD=2
    "$(complete -p flipbook | sed -E 's/.*-F ([^ ]+).*/\\1/')" flipbook oak-w jot
    printf '%s\\n' "${COMPREPLY[@]}"
    """
    env = flipbook_environment({"PATH": f"{program.parent}{os.pathsep}{os.environ['PATH']}"})
    ran = subprocess.run([BASH, "-c", script], cwd=many.root, env=env, capture_output=True, text=True, timeout=PATIENCE, check=False)  # fmt: skip
    assert ran.stdout.strip() == "oak-workstand", ran
