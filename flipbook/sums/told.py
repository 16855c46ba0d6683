"""An answer told on the terminal or to a program, its files written, and its steps jotted into a piece's log."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from shutil import get_terminal_size

from flipbook.books.footing import BooksDoNotFoot
from flipbook.cli.ending import DONE, Misused, fault_of_ours, reason
from flipbook.cli.terminal import show_json
from flipbook.entry.entering import Entering, after_its_day, write_down
from flipbook.looking.telling import wrapped
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.editing import appended
from flipbook.shop.records.piece import Piece
from flipbook.sums.answer import Answer, Row
from flipbook.sums.at_hand import AtHand

WIDEST = 80


def carry_out_sum(sum_of: Callable[[AtHand], Answer], arguments: argparse.Namespace, page: str) -> int:
    """Ask a sum, and tell its answer; what it refuses is a misuse of the command. Raises Misused."""
    at_hand = AtHand(arguments, page)
    try:
        return _tell(sum_of(at_hand), at_hand)
    except Unreadable as fault:
        raise Misused(f"{fault.says}; {fault.write}") from None
    except BooksDoNotFoot as fault:
        return fault_of_ours(fault)


def _tell(answer: Answer, at_hand: AtHand) -> int:
    """Say an answer, write the files that go with it, and jot it down when that was asked."""
    arguments = at_hand.arguments
    if arguments.jot and arguments.json:
        raise Misused("--json answers a program and --jot writes into a log; say one of the two")
    if arguments.jot:
        _refuse_jot(answer, at_hand)
    written = [_write(path, data, what) for path, data, what in answer.files]
    if arguments.json:
        piece = at_hand.chosen.piece.folder if at_hand.chosen else None
        show_json(
            {
                "sum": arguments.inner,
                "piece": piece,
                **answer.data,
                "warnings": list(answer.warnings),
                "working": list(answer.working),
                "files": [str(path) for path, _, _ in answer.files],
            }
        )
        return DONE
    width = min(get_terminal_size().columns or WIDEST, WIDEST)
    if at_hand.chosen is not None and at_hand.chosen.note:
        _put(at_hand.chosen.note, width)
    for told in answer.lines:
        if isinstance(told, Row):
            _put(told.words, width, first=told.lead, rest=" " * len(told.lead))
        else:
            _put(told, width)
    for line in answer.warnings:
        _put(line, width, first="! ")
    for line in at_hand.said_of_shelf:
        _put(line, width)
    for line in answer.working:
        _put(line, width, first="  ", rest="    ")
    for line in written:
        _put(line, width)
    return _jot(answer, at_hand) if arguments.jot else DONE


def _put(line: str, width: int, first: str = "", rest: str = "  ") -> None:
    sys.stdout.write("\n".join(wrapped(line, width, first, rest)) + "\n")


def _refuse_jot(answer: Answer, at_hand: AtHand) -> None:
    if at_hand.chosen is None:
        raise Misused("--jot writes into a piece's log; say which with `--piece PIECE`")
    if not answer.planned and answer.step is None:
        raise Misused(answer.cannot_jot or "there is nothing in this to write into a log")
    if answer.planned and at_hand.chosen.has_left:
        folder = at_hand.chosen.piece.folder
        raise Misused(
            f"`{folder}` is {at_hand.chosen.state}, so nothing is left to plan for it; name a piece in the shop"
        )


def _jot(answer: Answer, at_hand: AtHand) -> int:
    """Write the answer into the piece's file."""
    assert at_hand.chosen is not None
    assert at_hand.root is not None
    file = at_hand.chosen.piece.file
    keys = tuple(Piece.keys.values())

    def edit(data: bytes) -> bytes:
        for entry in answer.planned:
            data = appended(file, data, ["planned"], entry, keys=keys)
        if answer.step is not None:
            before = after_its_day(data, ["log"], answer.day) if answer.day is not None else None
            data = appended(file, data, ["log"], answer.step, before=before, keys=keys)
        return data

    write_down(at_hand.root, Entering(file=file, edit=edit))
    return DONE


def _write(path: Path, data: bytes, what: str) -> str:
    """Write a file beside the shop's; one that is something else is left alone. Raises Misused."""
    try:
        if path.exists():
            start = path.read_bytes()[:40] if path.is_file() else b""
            if start[:12] != data[:12]:
                raise Misused(f"{path} is there already, and is another kind of file; say another name")
        path.write_bytes(data)
    except OSError as fault:
        raise Misused(f"{path} cannot be written: {reason(fault)}; say another place") from None
    return f"Written: {path}, {what}."
