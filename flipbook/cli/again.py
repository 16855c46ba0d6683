"""`flipbook again`: a past mix or finish schedule, planned for another piece."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from shutil import get_terminal_size
from typing import TYPE_CHECKING

from flipbook.cli.ending import DONE, PROBLEMS, Misused, many, shop_at
from flipbook.cli.table import SHOP, Command, Option, Slot

if TYPE_CHECKING:
    from flipbook.looking.entries import LogEntry
    from flipbook.shop.choosing import Known
    from flipbook.shop.manner import Entry as Written

MOST = 100
"""Steps that are planned at once."""

COMMAND = Command(
    name="again",
    says="a past mix or schedule planned for another piece",
    words=(Slot("PAST"), Slot("NEW"), Slot("[WORDS...]")),
    options=(Option("--look", "show the steps, and write nothing"), SHOP),
    about="""\
Plans for one piece what was done on another: the steps of PAST come into the
`planned:` of NEW, in their order, with what was done, the grits, the time
taken, the mix, the products used and the drying time, in the words they were
written in, and `like:` says the piece and the day they come from. With WORDS,
only the steps that hold every word in what was done, mixed or used. No day,
photo or private note comes along, and nothing is taken off the shelf.
""",
    examples="""\
  flipbook again rocker bookcase           the whole schedule
  flipbook again rocker bookcase wash      the wash coats and their mixes
  flipbook again rocker bookcase --look    show them, and write nothing
""",
    after=f"""\
PAST and NEW are any part of a folder's name or a title that fits no other
piece. PAST may be sold; NEW may not have left the shop. A step that is planned
already, like the same day of the same piece, is not planned twice; {MOST} are
planned at most. The whole shop is checked as it would be: when the plan brings
a problem, it is shown and nothing is written.
""",
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.said import piece_said
    from flipbook.looking.again import is_planned, planned_like

    root = shop_at(arguments.shop)
    past = piece_said(root, arguments.past, COMMAND.usage, open_first=False).piece
    chosen = piece_said(root, arguments.new, COMMAND.usage)
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
    from flipbook.entry.entering import Entering, write_down
    from flipbook.shop.editing import appended
    from flipbook.shop.records.piece import Piece

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
    from flipbook.cli.terminal import show_problems
    from flipbook.looking.entries import entries_of
    from flipbook.shop.composing import compose
    from flipbook.shop.folder import ShopFolder
    from flipbook.shop.problems import Problem
    from flipbook.shop.reading import source_lines
    from flipbook.shop.records.piece import Piece

    data = ShopFolder(root).read(piece.file)
    node = data if isinstance(data, Problem) else compose(piece.file, data)
    if isinstance(node, Problem):
        show_problems([node], source_lines(root), sys.stderr)
        return None
    return entries_of(piece.file, node, Piece)


def _chosen_steps(entries: list[LogEntry], past: Known, said: list[str]) -> list[LogEntry]:
    """The steps that are to be planned. Raises Misused when there are none, or too many."""
    from flipbook.looking.again import steps_with
    from flipbook.looking.words import NotAWord, Word

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
    if len(steps) > MOST:
        raise Misused(f"that would be {len(steps):,} steps, and {MOST} are planned at once; say words of those meant")
    return steps


def _show(steps: list[LogEntry], past: Known, new: Known) -> None:
    from flipbook.looking.telling import said_by, wrapped

    width = get_terminal_size().columns or 80
    for number, step in enumerate(steps, 1):
        for line, text in enumerate(said_by(step, private=False)):
            lead = f"{number:>3}  " if not line else "     "
            sys.stdout.write("\n".join(wrapped(text, width, lead, "     ")) + "\n")
    sys.stdout.write(
        f"{many(len(steps), 'step')} of {past.folder} would be planned in {new.file}; nothing was written.\n"
    )
