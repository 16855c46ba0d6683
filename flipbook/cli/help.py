"""`flipbook help KEY`: what a key of the shop's files says, how it is written, and who sees it."""

from __future__ import annotations

import argparse
import sys

from flipbook.cli.commands import COMMANDS
from flipbook.cli.ending import DONE, Misused
from flipbook.cli.terminal import show_json
from flipbook.measures.unreadable import shown
from flipbook.shop.keys import KeyEntry, entries, entries_named
from flipbook.shop.nearest import write_instead


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    key = " ".join(arguments.key)
    named = entries_named(key)
    if not named:
        raise Misused(f"no key is called `{shown(key)}`; {_nearest(key)}")
    if arguments.json:
        show_json([_as_data(entry) for entry in named])
    else:
        sys.stdout.write("\n".join(map(told, named)))
    return DONE


def told(entry: KeyEntry) -> str:
    """The entry of a key, as the terminal shows it."""
    left_out = "it must be written" if entry.required else f"{entry.left_out} then" if entry.left_out else "it may be"
    rows = {
        "stands in": ", ".join(place.replace(":", ": ") for place in entry.places),
        "written as": entry.form,
        "left out": left_out,
        "seen by": "buyers" if entry.public else "nobody but you",
        "since": entry.since,
        "example": entry.snippet,
    }
    lines = (f"  {label:12}{said}\n" for label, said in rows.items())
    return f"{entry.key}: {entry.words}\n\n{''.join(lines)}"


def _as_data(entry: KeyEntry) -> dict[str, object]:
    return {
        "key": entry.key,
        "places": list(entry.places),
        "words": entry.words,
        "form": entry.form,
        "required": entry.required,
        "left_out": entry.left_out or None,
        "public": entry.public,
        "since": entry.since,
        "example": entry.snippet,
    }


def _nearest(key: str) -> str:
    """The key that is most like one that is not known; of several words divided by dots, like the last."""
    if key in COMMANDS:
        return f"`flipbook {key} --help` tells of the command"
    known = dict.fromkeys(entry.key for entry in entries())
    return write_instead(key.rpartition(".")[2].strip(), known, "FORMAT.md lists them all")
