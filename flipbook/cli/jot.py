"""`flipbook jot`: a step into a piece's log."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from flipbook.cli.ending import DONE, Misused, shop_at

if TYPE_CHECKING:
    from flipbook.entry.bringing import Brought
    from flipbook.entry.entering import Entered
    from flipbook.measures.dates import When
    from flipbook.shop.composing import Node
    from flipbook.shop.editing import Entry

_ORDER = ("on", "did", "grit", "mix", "used", "took", "dries", "photos", "hide", "private")
"""The keys of a step as they are written below one another."""

PAGE = """\
flipbook jot PIECE WORDS... [--took TIME] [--on DAY] [--used USE]... [--mix MIX]
             [--grit GRITS] [--dries TIME] [--photo FILE]... [--shows WORD]
             [--hide] [--private WORDS] [--planned [N]] [--shop DIR]

Writes what was done into the log of a piece. PIECE is any part of its folder's
name or its title that fits no other piece. The words need no quotes.

  flipbook jot washstand washed with dish soap, rinsed --took "40 min"
  flipbook jot washstand clear coat --used "1/4 can satin clear coat"
  flipbook jot stool coat --mix "fog grey paint 1, water 2, makes 9 fl oz"

  --took TIME      how long it took: "40 min", "1 h 15 min", 1:15
  --on DAY         the day; left out, today. Or yesterday, -2d, 2026-02-14, and
                   with a time where that helps: 15:30, "yesterday 15:30"
  --used USE       what it took off the shelf, an amount and a product; again
                   for another product
  --mix MIX        what was stirred together, in parts, and how much that makes
  --grit GRITS     the grits gone through: 80,120,180
  --dries TIME     how long before the next step
  --photo FILE     copies a picture into the piece's photos/; again for another
  --shows WORD     what it shows: before, during (left out), after, detail
  --hide           keeps the step off the buyers' page
  --private WORDS  a note of your own, never published
  --planned [N]    does the first step, or step N, of the piece's `planned:`;
                   what else is said takes the place of what was planned

Words that start with a dash go after `--`: flipbook jot stool -- -and dried
The whole shop is checked as it would be. If the step brings a problem, that is
shown, and nothing is written.
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("piece", nargs="?", metavar="PIECE")
    parser.add_argument("words", nargs="*", metavar="WORDS")
    parser.add_argument("--on", metavar="DAY")
    parser.add_argument("--took", metavar="TIME")
    parser.add_argument("--grit", metavar="GRITS")
    parser.add_argument("--used", metavar="USE", action="append", default=[])
    parser.add_argument("--mix", metavar="MIX")
    parser.add_argument("--dries", metavar="TIME")
    parser.add_argument("--photo", metavar="FILE", action="append", default=[])
    parser.add_argument("--shows", metavar="WORD", choices=("before", "during", "after", "detail"), default="during")
    parser.add_argument("--hide", action="store_true")
    parser.add_argument("--private", metavar="WORDS")
    parser.add_argument("--planned", metavar="N", nargs="?", const="1")
    parser.add_argument("--shop", metavar="DIR")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.entry.entering import Entering, write_down
    from flipbook.entry.said import piece_said, read_words, wanted, when_said

    root = shop_at(arguments.shop)
    when = when_said(arguments.on)
    step = _step_said(arguments)
    number = _number_said(arguments.planned)
    chosen = piece_said(root, arguments.piece, PAGE)
    folder, file = chosen.piece.folder, chosen.piece.file
    words = " ".join(arguments.words)
    if words.strip() or number is None:
        step["did"] = wanted(words, read_words, what="what was done", question="What was done?", page=PAGE)
    brought = _photos(root, folder, arguments, when)
    if brought:
        step["photos"] = [one.path for one in brought]
    took_planned: list[str] = []

    def edit(data: bytes) -> bytes:
        planned = _planned(file, data, number) if number is not None else {}
        took_planned[:] = [str(planned["took"])] if "took" in planned and "took" not in step else []
        return _with_step(file, data, when, {**planned, **step}, number)

    copies = tuple(copy for one in brought for copy in one.copies)
    ended = write_down(root, Entering(file=file, edit=edit, copies=copies), chosen.note)
    if isinstance(ended, int):
        return ended
    for one in brought:
        sys.stdout.write(f"Picture    pieces/{folder}/{one.path}\n")
    if brought and _lists_its_photos(ended, folder):
        sys.stdout.write("Buyers see the pictures under `photos:` of the file alone; this one is not among them.\n")
    if took_planned:
        sys.stdout.write(f"It took {took_planned[0]} by the plan; say --took when it was otherwise.\n")
    return DONE


def _lists_its_photos(entered: Entered, folder: str) -> bool:
    """Whether the piece says which pictures buyers see, instead of showing all of them."""
    books = entered.outcome.books
    return books is not None and any(one.piece.photos for one in books.facts.pieces if one.folder == folder)


def _step_said(arguments: argparse.Namespace) -> dict[str, Entry]:
    """What the options say of a step. Raises Misused."""
    from flipbook.entry.said import read_or_refuse, read_words
    from flipbook.measures.times import read_time_taken

    step: dict[str, Entry] = {}
    for key in ("took", "dries"):
        text = getattr(arguments, key)
        if text is not None:
            read_or_refuse(text, read_time_taken, f"--{key}")
            step[key] = " ".join(text.split())
    if arguments.grit is not None:
        step["grit"] = ", ".join(read_or_refuse(arguments.grit, read_words, "--grit").replace(",", " ").split())
    if arguments.mix is not None:
        step["mix"] = read_or_refuse(arguments.mix, _read_mix, "--mix")
    if arguments.used:
        step["used"] = [read_or_refuse(text, read_words, "--used") for text in arguments.used]
    if arguments.hide:
        step["hide"] = "yes"
    if arguments.private is not None:
        step["private"] = read_or_refuse(arguments.private, read_words, "--private")
    return step


def _number_said(text: str | None) -> int | None:
    if text is None:
        return None
    if not re.fullmatch("[1-9][0-9]{0,3}", text):
        raise Misused("--planned takes the number of a planned step, as `--planned 2`; alone it is the first")
    return int(text)


def _read_mix(text: str) -> dict[str, Entry]:
    """A mix as it is said: `fog grey paint 1, water 2, makes 12 fl oz`. Raises Unreadable."""
    from flipbook.entry.said import read_words
    from flipbook.measures.amounts import read_amount
    from flipbook.measures.numerals import NUMBER, read_number
    from flipbook.measures.unreadable import Unreadable, shown

    form = "write it as `fog grey paint 1, water 2, makes 12 fl oz`"
    part = re.compile(
        rf"(?P<name>.+?):? +(?P<parts>{NUMBER})(?: +parts?)?|(?P<first>{NUMBER})(?: +parts?)? +(?P<then>.+)"
    )
    mix: dict[str, Entry] = {}
    for piece in re.split("[,;]", read_words(text)):
        words = piece.strip()
        makes = re.fullmatch(r"makes:? +(.+)", words, re.IGNORECASE)
        found = part.fullmatch(words)
        if makes is not None:
            read_amount(makes[1])
            name, amount = "makes", makes[1]
        elif found is not None:
            name, amount = found["name"] or found["then"], found["parts"] or found["first"]
            read_number(amount)
        else:
            raise Unreadable(f"`{shown(words)}` is no part of a mix", form)
        if name in mix:
            raise Unreadable(f"`{shown(name)}` is said twice", form)
        mix[name] = amount
    if "makes" not in mix or len(mix) < 2:
        raise Unreadable("a mix says its parts and how much they make", form)
    makes_last = mix.pop("makes")
    return {**mix, "makes": makes_last}


def _photos(root: Path, folder: str, arguments: argparse.Namespace, when: When) -> list[Brought]:
    if not arguments.photo:
        return []
    from flipbook.entry.bringing import photo

    brought: list[Brought] = []
    for source in arguments.photo:
        named = [one.path for one in brought]
        brought.append(photo(root, folder, source, arguments.shows, when.day, named))
    return brought


def _planned(file: str, data: bytes, number: int) -> dict[str, Entry]:
    """What the piece's plan says of its step of that number, in the words it is written in. Raises Misused and Unfit."""
    from flipbook.entry.entering import Unfit
    from flipbook.shop.composing import Block, Items, compose
    from flipbook.shop.problems import Problem

    top = compose(file, data)
    if isinstance(top, Problem):
        raise Unfit([top])
    pairs = top.pairs if isinstance(top, Block) else []
    plan = next((value for key, value in pairs if key.text.strip() == "planned"), None)
    steps = plan.items if isinstance(plan, Items) else []
    if number > len(steps):
        there = f"has {len(steps)} planned steps and no step {number}" if steps else "has nothing under `planned:`"
        raise Misused(f"{file} {there}")
    entry = _entry_of(steps[number - 1])
    if isinstance(entry, Mapping):
        return {key: value for key, value in entry.items() if key != "like"}
    return {"did": entry}


def _entry_of(node: Node) -> Entry:
    """A part of a file as the text that it was written in."""
    from flipbook.shop.composing import Block, Items

    if isinstance(node, Block):
        return {key.text.strip(): _entry_of(value) for key, value in node.pairs}
    if isinstance(node, Items):
        return [_entry_of(item) for item in node.items]
    return node.text.strip()


def _with_step(file: str, data: bytes, when: When, step: Mapping[str, Entry], planned: int | None) -> bytes:
    """The file with a step in its log, and off its plan when it was planned."""
    from flipbook.entry.entering import after_its_day
    from flipbook.shop.editing import appended, removed
    from flipbook.shop.records.piece import Piece

    said = {"on": _when_text(when), **step}
    entry: Entry | None = _on_one_line(said)
    if entry is None:
        entry = {key: said[key] for key in _ORDER if said.get(key)}
    before = after_its_day(data, ["log"], when.day)
    after = appended(file, data, ["log"], entry, before=before, keys=tuple(Piece.keys.values()))
    return after if planned is None else removed(file, after, ["planned", planned - 1])


def _when_text(when: When) -> str:
    return f"{when.day} {when.clock:%H:%M}" if when.clock else f"{when.day}"


def _on_one_line(said: Mapping[str, Entry]) -> str | None:
    """The step as `DATE [TIME TAKEN] words`, where that reads back as what was said; else None."""
    from pydantic_core import PydanticCustomError

    from flipbook.shop.composing import NOTHING, At, Block, Scalar
    from flipbook.shop.editing import quoted
    from flipbook.shop.fields import Reading
    from flipbook.shop.records.piece import Step

    if not said.keys() <= {"on", "took", "did"} or said.get("did") in NOTHING:
        return None
    text = " ".join(str(said[key]) for key in ("on", "took", "did") if said.get(key))
    try:
        block = Step.from_text(Scalar(text, At(0, 0), At(0, len(text)), True), Reading(""))
    except PydanticCustomError:
        return None
    read = {key.text: _entry_of(value) for key, value in block.pairs} if isinstance(block, Block) else {}
    return text if read == {key: value for key, value in said.items() if value} and quoted(text) == text else None
