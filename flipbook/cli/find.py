"""`flipbook find`: words looked for in all that was written down."""

from __future__ import annotations

import argparse
import gc
import sys
from shutil import get_terminal_size

from rich.text import Text

from flipbook.cli.commands import FOUND_SHOWN
from flipbook.cli.ending import DONE, Misused, many, shop_at
from flipbook.cli.terminal import console, show_json
from flipbook.looking.past_screen import hit_data, hit_lines, number_of
from flipbook.looking.telling import wrapped
from flipbook.looking.words import Matches, NotAWord, Word, counted, look_for
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem, visible

_STYLES = {"head": "bold", "place": "cyan"}


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    try:
        words = [Word(said) for said in dict.fromkeys(arguments.words)]
    except NotAWord as fault:
        raise Misused(
            f"`{fault}` has no letter and no digit in it; say what to look for, as `flipbook find wash`"
        ) from None
    gc.disable()  # thousands of small trees, and no cyclic garbage among them
    try:
        matches = look_for(words, ShopFolder(root))
    finally:
        gc.enable()
    if arguments.json:
        answer = {
            "words": [word.said for word in words],
            "hits": [hit_data(hit) for hit in matches.hits],
            "apart": matches.apart,
            "nearest": matches.near,
            "unread": [problem.as_data() for problem in matches.unread],
        }
        show_json(answer)
        return DONE
    _show(matches, words, None if arguments.all else FOUND_SHOWN)
    _tell_unread(matches.unread)
    return DONE


def _show(matches: Matches, words: list[Word], most: int | None) -> None:
    out = console(sys.stdout)
    room = get_terminal_size().columns or 80
    for hit in matches.hits[:most]:
        for role, line in hit_lines(hit, words, room):
            out.print(Text(line, style=_STYLES.get(role, "")))
        out.print()
    shown = len(matches.hits[:most])
    if not matches.hits:
        says = _nothing(matches, words)
    elif shown < len(matches.hits):
        left = ", ".join(number_of(kind, number) for kind, number in counted(matches.hits[most:]).most_common())
        says = f"{shown} of {len(matches.hits):,} entries shown; left out: {left}. Say more words, or --all."
    else:
        says = "1 entry." if shown == 1 else f"{shown:,} entries."
    sys.stdout.write("\n".join(wrapped(says, room)) + "\n")


def _nothing(matches: Matches, words: list[Word]) -> str:
    """Why nothing was found, and what to say instead."""
    if matches.near:
        missing = ", ".join(
            f"`{said}` stands nowhere" + (f", and `{near}` does" if near else "") for said, near in matches.near.items()
        )
        return f"Nothing was found: {missing}."
    if len(words) == 1:
        return f"Nothing was found: `{words[0].said}` stands in {many(matches.apart[words[0].said], 'file')}, but in no entry."
    apart = ", ".join(f"`{said}` stands in {many(number, 'file')}" for said, number in matches.apart.items())
    return f"No entry holds all of it together: {apart}."


def _tell_unread(unread: list[Problem]) -> None:
    if unread:
        files = list(dict.fromkeys(problem.place.file for problem in unread))
        others = f" and {many(len(files) - 1, 'other file')}" if len(files) > 1 else ""
        sys.stderr.write(
            f"flipbook: {visible(str(unread[0].place))}{others} could not be read in full; `flipbook check` shows why.\n"
        )
