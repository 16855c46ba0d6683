"""Output that goes to a closed pipe, a full disk, a poor terminal or a program: said or not, never a crash."""

from __future__ import annotations

import json
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from shop_writer import PATIENCE, ShopWriter, flipbook_environment, run_flipbook

POOR = [
    {"LC_ALL": "C", "LANG": "C"},
    {"PYTHONIOENCODING": "ascii"},
    {"PYTHONIOENCODING": "latin-1"},
    {"TERM": "dumb", "COLUMNS": "5"},
    {"COLUMNS": "0"},
    {"NO_COLOR": "1"},
]


@pytest.fixture
def accented(shop: ShopWriter) -> ShopWriter:
    """A shop whose words and problems go past ASCII."""
    shop.piece("asking: [{on: 2026-03-20, price: 425}]\nsold: {on: 2026-04-11, price: 380}\n")
    return shop.piece("wood: orme 日本 🪑\nbuilt: époque 🪑\n", folder="égérie")


def run_raw(words: list[str | Path], env: dict[str, str]) -> tuple[int, bytes, bytes]:
    """How a command ends and what it writes; what Python itself reads as it starts is read by a process alone."""
    if not {"LC_ALL", "PYTHONIOENCODING"} & env.keys():
        called = run_flipbook(*words, env=env)
        return called.code, called.out.encode(), called.err.encode()
    ran = subprocess.run(
        [sys.executable, "-m", "flipbook", *map(str, words)],
        env=flipbook_environment(env),
        capture_output=True,
        timeout=PATIENCE,
        check=False,
    )
    return ran.returncode, ran.stdout, ran.stderr


@pytest.mark.parametrize("env", POOR, ids=[" ".join(env) for env in POOR])
def test_a_poor_terminal_gets_the_answer_in_what_signs_it_has(accented: ShopWriter, env: dict[str, str]) -> None:
    code, out, err = run_raw(["check", accented.root], env)
    assert code == 1
    assert b"piece.yaml:4:8" in out
    assert b"Traceback" not in err


@pytest.mark.parametrize("env", POOR, ids=[" ".join(env) for env in POOR])
def test_json_parses_and_says_the_same_on_any_terminal(accented: ShopWriter, env: dict[str, str]) -> None:
    _, out, _ = run_raw(["check", accented.root, "--json"], env)
    (problem,) = json.loads(out.decode(env.get("PYTHONIOENCODING", "utf-8")))["problems"]
    assert unicodedata.normalize("NFC", problem["file"]) == "pieces/égérie/piece.yaml"
    assert "époque 🪑" in problem["says"]


@pytest.mark.parametrize("env", POOR, ids=[" ".join(env) for env in POOR])
def test_the_year_and_the_help_fit_any_terminal(shop: ShopWriter, env: dict[str, str]) -> None:
    shop.piece("sold: {on: 2026-04-11, price: 5}\n")  # a loss, which is shown with a true minus
    for words in (["year", "2026", "--shop", shop.root], ["year", "2026", "--shop", shop.root, "--json"], ["--help"]):
        code, _, err = run_raw(words, env)
        assert (code, err) == (0, b""), words


@pytest.mark.parametrize(
    "words",
    [["check"], ["check", "--json"], ["year", "2026", "--json"], ["year", "2026"], ["--help"], ["check", "--help"]],
)
@pytest.mark.parametrize("pieces", [1, 400])
def test_a_reader_that_goes_away_ends_the_command_without_a_word(
    shop: ShopWriter, words: list[str], pieces: int
) -> None:
    for number in range(pieces):
        shop.piece("size: big\n" if words[0] == "check" and pieces > 1 else "", folder=f"stool-{number}")
    process = subprocess.Popen(
        [sys.executable, "-m", "flipbook", *words],
        cwd=shop.root,
        env=flipbook_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()
    code = process.wait(timeout=20)
    assert said == b""
    assert code in (0, 1, 141)


@pytest.mark.parametrize("words", [["check"], ["check", "--json"], ["year", "2026"]])
def test_a_disk_that_is_full_is_told_and_is_not_success(shop: ShopWriter, words: list[str]) -> None:
    shop.piece()
    with open("/dev/full", "wb") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "flipbook", *words],
            cwd=shop.root,
            env=flipbook_environment(),
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=20,
            check=False,
        )
    assert ran.returncode in (1, 2, 3)
    assert b"Traceback" not in ran.stderr
    assert b"Exception" not in ran.stderr
    assert ran.stderr.startswith(b"flipbook: ")


def test_nothing_on_the_terminal_moves_the_cursor_or_turns_the_text(shop: ShopWriter) -> None:
    sly = '"\\e[2J\\u202egnp.lairt\\x07\\r\\na:1:1: to mend: none\\u2028"'
    shop.piece(
        f"built: {sly}\nsize: {sly}\n{sly}: 1\nlog: [{sly}]\noffers: [{{on: {sly}, price: {sly}, answer: {sly}}}]\n"
    )
    ran = run_flipbook("check", shop.root)
    assert ran.code == 1
    odd = [ascii(sign) for sign in ran.out if sign != "\n" and unicodedata.category(sign) in ("Cc", "Cf", "Zl", "Zp")]
    assert odd == []
    assert "\na:1:1: to mend: none" not in ran.out


def test_without_a_terminal_nothing_is_coloured(shop: ShopWriter) -> None:
    ran = run_flipbook("check", shop.piece("size: big\n").root)
    assert "\x1b" not in ran.out + ran.err
