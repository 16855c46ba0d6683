"""`flipbook again`: a past mix or finish schedule, planned for another piece."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from shutil import get_terminal_size

from flipbook.cli.commands import MOST_PLANNED
from flipbook.cli.ending import DONE, PROBLEMS, Misused, many, shop_at
from flipbook.cli.terminal import show_problems
from flipbook.entry.entering import Entering, write_down
from flipbook.entry.said import piece_said
from flipbook.looking.again import is_planned, planned_like, steps_with
from flipbook.looking.entries import LogEntry, entries_of
from flipbook.looking.telling import said_by, wrapped
from flipbook.looking.words import NotAWord, Word
from flipbook.shop.choosing import Known
from flipbook.shop.composing import compose
from flipbook.shop.editing import appended
from flipbook.shop.folder import ShopFolder
from flipbook.shop.manner import Entry as Written
from flipbook.shop.problems import Problem
from flipbook.shop.reading import source_lines
from flipbook.shop.records.piece import Piece


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    past = piece_said(root, arguments.past, arguments.usage, open_first=False).piece
    chosen = piece_said(root, arguments.new, arguments.usage)
    new = chosen.piece
    if past.folder == new.folder:
        raise Misused(f"`{new.folder}` cannot be its own pattern; name another piece as PAST or as NEW")
    if chosen.has_left:
        raise Misused(f"`{new.folder}` is {chosen.state}, so nothing is left to plan for it; name a piece in the shop")
    before, there = _entries(root, past), _entries(root, new)
    if before is None or there is None:
        return PROBLEMS
    steps = _chosen_steps(before, past, arguments.words)
    plan = [(step, planned_like(step, past.folder)) for step in steps]
    fresh = [(step, planned) for step, planned in plan if not is_planned(planned, there)]
    if chosen.note:
        sys.stdout.write(f"{chosen.note}\n")
    if not fresh:
        sys.stdout.write(f"All of it is planned for {new.folder} already; nothing was written.\n")
        return DONE
    if arguments.look:
        _show([step for step, _ in fresh], past, new)
        return DONE
    return _plan([planned for _, planned in fresh], len(plan) - len(fresh), root, past, new)


def _plan(fresh: list[dict[str, Written]], before: int, root: Path, past: Known, new: Known) -> int:
    """Write the plan, and say what was written and how it is taken back."""

    def edit(data: bytes) -> bytes:
        for planned in fresh:
            data = appended(new.file, data, ["planned"], planned, keys=tuple(Piece.keys.values()))
        return data

    ended = write_down(root, Entering(file=new.file, edit=edit))
    last = ended.line + len(ended.lines) - 1
    where = f"line {last}" if last == ended.line else f"lines {ended.line} to {last}"
    sys.stdout.write(
        f"{many(len(fresh), 'step')} planned like {past.folder}"
        + (f", and {before} planned before" if before else "")
        + f". Without {where} of {new.file} it is as it was.\n"
    )
    return DONE


def _entries(root: Path, piece: Known) -> list[LogEntry] | None:
    """What a piece's file says; None when it cannot be read, which is shown."""
    data = ShopFolder(root).read(piece.file)
    node = data if isinstance(data, Problem) else compose(piece.file, data)
    if isinstance(node, Problem):
        show_problems([node], source_lines(root), sys.stderr)
        return None
    return entries_of(piece.file, node, Piece)


def _chosen_steps(entries: list[LogEntry], past: Known, said: list[str]) -> list[LogEntry]:
    """The steps that are to be planned. Raises Misused when there are none, or too many."""
    try:
        words = [Word(one) for one in said]
    except NotAWord as fault:
        raise Misused(f"`{fault}` has no letter and no digit in it; say words of the steps that are meant") from None
    steps = steps_with(words, entries)
    if not steps and not steps_with((), entries):
        raise Misused(f"`{past.folder}` has no step in its log, so there is nothing to plan from it")
    if not steps:
        asked = ", ".join(f"`{word.said}`" for word in words)
        raise Misused(f"no step of `{past.folder}` holds {asked}; leave words out, or look with `flipbook find`")
    if len(steps) > MOST_PLANNED:
        raise Misused(
            f"that would be {len(steps):,} steps, and {MOST_PLANNED} are planned at once; say words of those meant"
        )
    return steps


def _show(steps: list[LogEntry], past: Known, new: Known) -> None:
    width = get_terminal_size().columns or 80
    for number, step in enumerate(steps, 1):
        for line, text in enumerate(said_by(step, private=False)):
            lead = f"{number:>3}  " if not line else "     "
            sys.stdout.write("\n".join(wrapped(text, width, lead, "     ")) + "\n")
    sys.stdout.write(
        f"{many(len(steps), 'step')} of {past.folder} would be planned in {new.file}; nothing was written.\n"
    )
