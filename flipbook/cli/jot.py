"""`flipbook jot`: a step into a piece's log."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Mapping
from pathlib import Path

from pydantic_core import PydanticCustomError

from flipbook.cli.ending import DONE, Misused
from flipbook.entry.bringing import Brought, photo
from flipbook.entry.entering import Entered, Entering, Unfit, with_entry, write_down
from flipbook.entry.said import Spoken, read_or_refuse, read_words
from flipbook.measures.amounts import read_amount
from flipbook.measures.dates import When
from flipbook.measures.numerals import NUMBER, read_number
from flipbook.measures.times import read_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.composing import NOTHING, At, Block, Items, Node, Scalar, compose
from flipbook.shop.editing import Entry, quoted, removed
from flipbook.shop.fields import Reading
from flipbook.shop.problems import Problem
from flipbook.shop.records.piece import Piece, Step

_ORDER = ("on", "did", "grit", "mix", "used", "took", "dries", "stage", "photos", "hide", "private")
"""The keys of a step as they are written below one another."""


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    said = Spoken(arguments)
    when = said.when
    step = _step_said(said)
    number = _number_said(arguments.planned)
    chosen = said.piece()
    folder, file = chosen.piece.folder, chosen.piece.file
    words = " ".join(arguments.words)
    if words.strip() or number is None:
        step["did"] = said.wanted(words, read_words, "what was done", "What was done?")
    brought = _photos(said.root, folder, arguments, when)
    if brought:
        step["photos"] = [one.path for one in brought]
    took_planned: list[str] = []

    def edit(data: bytes) -> bytes:
        planned = _planned(file, data, number) if number is not None else {}
        took_planned[:] = [str(planned["took"])] if "took" in planned and "took" not in step else []
        return _with_step(file, data, when, {**planned, **step}, number)

    copies = tuple(copy for one in brought for copy in one.copies)
    entered = write_down(said.root, Entering(file=file, edit=edit, copies=copies), chosen.note)
    for one in brought:
        sys.stdout.write(f"Picture    pieces/{folder}/{one.path}\n")
    if brought and _lists_its_photos(entered, folder):
        sys.stdout.write("Buyers see the pictures under `photos:` of the file alone; this one is not among them.\n")
    if took_planned:
        sys.stdout.write(f"It took {took_planned[0]} by the plan; say --took when it was otherwise.\n")
    return DONE


def _lists_its_photos(entered: Entered, folder: str) -> bool:
    """Whether the piece says which pictures buyers see, instead of showing all of them."""
    books = entered.outcome.books
    return books is not None and any(one.piece.photos for one in books.facts.pieces if one.folder == folder)


def _step_said(said: Spoken) -> dict[str, Entry]:
    """What the options say of a step. Raises Misused."""
    step: dict[str, Entry] = {}
    for option in ("--took", "--dries"):
        if said.read(option, read_time_taken) is not None:
            step[option.lstrip("-")] = " ".join((said.text(option) or "").split())
    grit, mix = said.read("--grit", read_words), said.read("--mix", _read_mix)
    if grit is not None:
        step["grit"] = ", ".join(grit.replace(",", " ").split())
    if mix is not None:
        step["mix"] = mix
    if said.arguments.used:
        step["used"] = [read_or_refuse(text, read_words, "--used") for text in said.arguments.used]
    if said.arguments.hide:
        step["hide"] = "yes"
    return {**step, **said.words("--private")}


def _number_said(text: str | None) -> int | None:
    if text is None:
        return None
    if not re.fullmatch("[1-9][0-9]{0,3}", text):
        raise Misused("--planned takes the number of a planned step, as `--planned 2`; alone it is the first")
    return int(text)


def _read_mix(text: str) -> dict[str, Entry]:
    """A mix as it is said: `black milk paint 3, water 1, makes 8 fl oz`. Raises Unreadable."""
    form = "write it as `black milk paint 3, water 1, makes 8 fl oz`"
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
    brought: list[Brought] = []
    for source in arguments.photo:
        named = [one.path for one in brought]
        brought.append(photo(root, folder, source, arguments.shows, when.day, named))
    return brought


def _planned(file: str, data: bytes, number: int) -> dict[str, Entry]:
    """What the piece's plan says of its step of that number, in the words it is written in. Raises Misused and Unfit."""
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
    if isinstance(node, Block):
        return {key.text.strip(): _entry_of(value) for key, value in node.pairs}
    if isinstance(node, Items):
        return [_entry_of(item) for item in node.items]
    return node.text.strip()


def _with_step(file: str, data: bytes, when: When, step: Mapping[str, Entry], planned: int | None) -> bytes:
    """The file with a step in its log, and off its plan when it was planned."""
    said = {"on": _when_text(when), **step}
    entry: Entry | None = _on_one_line(said)
    if entry is None:
        entry = {key: said[key] for key in _ORDER if said.get(key)}
    after = with_entry(file, data, ["log"], entry, when.day, Piece)
    return after if planned is None else removed(file, after, ["planned", planned - 1])


def _when_text(when: When) -> str:
    return f"{when.day} {when.clock:%H:%M}" if when.clock else f"{when.day}"


def _on_one_line(said: Mapping[str, Entry]) -> str | None:
    """The step as `DATE [TIME TAKEN] words`, where that reads back as what was said; else None."""
    if not said.keys() <= {"on", "took", "did"} or said.get("did") in NOTHING:
        return None
    text = " ".join(str(said[key]) for key in ("on", "took", "did") if said.get(key))
    try:
        block = Step.from_text(Scalar(text, At(0, 0), At(0, len(text)), True), Reading(""))
    except PydanticCustomError:
        return None
    read = {key.text: _entry_of(value) for key, value in block.pairs} if isinstance(block, Block) else {}
    return text if read == {key: value for key, value in said.items() if value} and quoted(text) == text else None
