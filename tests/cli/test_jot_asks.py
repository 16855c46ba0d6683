"""What was not said is asked for where a person sits at the terminal, and nowhere else."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import pytest
from shop_writer import GOOD_PIECE, PATIENCE, ShopWriter, flipbook_environment, run_flipbook

FILE = "pieces/oak-stool/piece.yaml"
ENDED = "\x04"


@dataclass(frozen=True)
class Talked:
    """How a command on a terminal ended, what it said there, and what it wrote to its output."""

    code: int
    said: str
    out: str


def talk(root: Path, *words: str, answers: list[str | signal.Signals]) -> Talked:
    """Run a command on a terminal of its own; each answer is typed when the one before it was taken up by a question."""
    controller, terminal = pty.openpty()
    running = subprocess.Popen(
        [sys.executable, "-m", "flipbook", *words], cwd=root, env=flipbook_environment({"TERM": "dumb"}),
        stdin=terminal, stdout=subprocess.PIPE, stderr=terminal, start_new_session=True,
    )  # fmt: skip
    os.close(terminal)
    said, waiting, until = "", list(answers), time.monotonic() + PATIENCE
    while time.monotonic() < until:
        ready, _, _ = select.select([controller], [], [], 0.2)
        if ready:
            try:
                said += os.read(controller, 4096).decode("utf-8", "replace")
            except OSError:  # the other end is closed
                break
        if waiting and said.rstrip(" ").endswith("?"):
            answer = waiting.pop(0)
            if isinstance(answer, signal.Signals):
                running.send_signal(answer)
            else:
                os.write(controller, (answer if answer == ENDED else f"{answer}\n").encode())
            said += "|"
    assert running.stdout is not None
    out = running.stdout.read().decode("utf-8")
    code = running.wait(PATIENCE)
    os.close(controller)
    assert "Traceback" not in said + out, said
    assert not waiting, said
    return Talked(code, said, out)


def text_of(shop: ShopWriter, file: str = FILE) -> str:
    return (shop.root / file).read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "answers", "written"),
    [
        (["jot", "--on", "2026-02-15"], ["stool", "washed it: twice"], "washed it: twice"),
        (["jot", "stool", "--on", "2026-02-15"], ["washed it"], "- 2026-02-15 washed it"),
        (["ask", "stool", "--on", "2026-03-20"], ["425"], "425"),
        (["ask", "--on", "2026-03-20"], ["oak", "$425"], "425"),
        (["offer", "stool"], ["300"], "300"),
        (["sell", "stool", "--on", "2026-04-11"], ["380"], "380.00"),
    ],
)
def test_a_needed_thing_is_asked_for(shop: ShopWriter, words: list[str], answers: list[str], written: str) -> None:
    talked = talk(shop.piece().root, *words, answers=list(answers))
    assert talked.code == 0, talked
    assert written in text_of(shop)
    assert "Written at" in talked.out
    assert "?" not in talked.out


def test_all_of_a_receipt_is_asked_for(shop: ShopWriter) -> None:
    answers = ["brass cup hook", "41.94", "Harbour Hardware", "stool"]
    talked = talk(shop.piece().root, "spend", "--on", "2026-02-20", answers=list(answers))
    assert talked.code == 0, talked
    (slip,) = shop.books().facts.slips()
    assert (slip.file, slip.receipt.what, str(slip.receipt.cost), slip.receipt.from_) == (
        FILE,
        "brass cup hook",
        "41.94",
        "Harbour Hardware",
    )


def test_the_title_of_a_new_piece_is_asked_for(shop: ShopWriter) -> None:
    assert talk(shop.root, "begin", answers=["Oak stool"]).code == 0
    assert (shop.root / FILE).is_file()


@pytest.mark.parametrize(
    ("words", "answers", "says"),
    [
        (["ask", "stool"], ["forty", "", "0", "40"], "not a sum"),
        (["ask"], ["chair", "stool", "40"], "no piece is named like"),
        (["jot", "stool"], ["", "  ", "washed it"], "nothing was said"),
        (["spend", "a", "--cost", "1", "--from", "P"], ["", "office"], "nothing was said"),
    ],
)
def test_an_answer_that_cannot_be_read_is_asked_for_again(
    shop: ShopWriter, words: list[str], answers: list[str], says: str
) -> None:
    talked = talk(shop.piece().root, *words, answers=list(answers))
    assert talked.code == 0, talked
    assert says in talked.said


def test_of_several_pieces_the_choices_are_shown_before_it_is_asked_again(shop: ShopWriter) -> None:
    shop.piece().write({"pieces/oak-bench/piece.yaml": GOOD_PIECE.replace("Oak stool", "Oak bench")})
    talked = talk(shop.root, "ask", answers=["oak", "oak-stool", "40"])
    assert talked.code == 0
    assert "oak-bench" in talked.said
    assert "price: 40" in text_of(shop)


@pytest.mark.parametrize(("answer", "code"), [(ENDED, 2), (signal.SIGINT, 130)])
@pytest.mark.parametrize("words", [["jot"], ["jot", "stool"], ["ask", "stool"], ["spend"], ["begin"]])
def test_the_end_of_input_or_a_break_at_a_question_writes_nothing(
    shop: ShopWriter, words: list[str], answer: str | signal.Signals, code: int
) -> None:
    before = {path: path.read_bytes() for path in shop.piece().root.rglob("*.yaml")}
    talked = talk(shop.root, *words, answers=[answer])
    assert talked.code == code, talked
    assert talked.out == ""
    assert {path: path.read_bytes() for path in shop.root.rglob("*.yaml")} == before


def test_in_a_pipe_nothing_is_asked(shop: ShopWriter) -> None:
    ran = run_flipbook("ask", "stool", cwd=shop.piece().root)
    assert (ran.code, ran.out) == (2, "")
    assert "What is asked" not in ran.err
    assert "flipbook ask PIECE PRICE" in ran.err
