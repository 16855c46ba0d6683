"""`flipbook find`: words looked for in all that was written down."""

from __future__ import annotations

import argparse
import gc
import sys
from shutil import get_terminal_size
from typing import TYPE_CHECKING

from flipbook.cli.ending import DONE, MISUSED, Misused, many, shop_at
from flipbook.cli.table import JSON, SHOP, Command, Option, Slot

if TYPE_CHECKING:
    from flipbook.looking.words import Matches, Word
    from flipbook.shop.problems import Problem

SHOWN = 20
"""Entries that are shown of many."""
_STYLES = {"head": "bold", "place": "cyan"}

COMMAND = Command(
    name="find",
    says="words found again in all that was written down",
    words=(Slot("WORDS..."),),
    options=(Option("--all", f"show every entry, and not the first {SHOWN} alone"), SHOP, JSON),
    about="""\
Looks for words in everything that was written down: steps, mixes, products
used, what is planned, receipts, stories, flaws, captions and private notes,
of every piece and of the shop. Every word must be there, in any order, as a
word or the start of one; capitals, accents and hyphens do not matter. Words in
quotes stand together: "clear coat".

A word may also name the piece, by its title, kind, wood, age or folder:
""",
    examples="""\
  flipbook find oak wash

finds the washes on anything of oak. When all the words name a piece, and none
is found in its entries, what was done on it is shown, in order. A mix is
written out so that it can be mixed again.
""",
    after="""\
The best come first: entries that hold a word themselves, work before receipts
and receipts before stories, whole words before starts of words, then the
newest.

A file with a mistake in it is searched as well, line by line if need be. To
find nothing is an answer too, told with the nearest words that do stand there;
the status is 0.
""",
    statuses=(DONE, MISUSED),
)


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.cli.terminal import show_json
    from flipbook.looking.past_screen import hit_data
    from flipbook.looking.words import NotAWord, Word, look_for
    from flipbook.shop.folder import ShopFolder

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
    _show(matches, words, None if arguments.all else SHOWN)
    _tell_unread(matches.unread)
    return DONE


def _show(matches: Matches, words: list[Word], most: int | None) -> None:
    from rich.text import Text

    from flipbook.cli.terminal import console
    from flipbook.looking.past_screen import hit_lines, number_of
    from flipbook.looking.telling import wrapped
    from flipbook.looking.words import counted

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
    from flipbook.shop.problems import visible

    if unread:
        files = list(dict.fromkeys(problem.place.file for problem in unread))
        others = f" and {many(len(files) - 1, 'other file')}" if len(files) > 1 else ""
        sys.stderr.write(
            f"flipbook: {visible(str(unread[0].place))}{others} could not be read in full; `flipbook check` shows why.\n"
        )
