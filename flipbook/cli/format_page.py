"""FORMAT.md: its tables are made from the records, the commands and the names of problems, between markers in the page.

`python -m flipbook.cli.format_page` writes them anew; a test fails while the page has others.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

from flipbook.cli.commands import COMMANDS
from flipbook.cli.ending import STATUSES
from flipbook.shop.keys import KeyEntry, entries
from flipbook.shop.problem_names import PROBLEM_NAMES

PAGE = Path(__file__).parents[1] / "shop" / "FORMAT.md"

_MADE = re.compile(r"(<!-- (keys|commands|problems): (.+?) -->\n).*?(<!-- made until here -->)", re.DOTALL)


def page(text: str) -> str:
    """The page with every table between two markers made anew; all else stays. Raises KeyError for an unknown place."""
    makers: dict[str, Callable[[str], str]] = {
        "keys": table_of_keys,
        "commands": table_of_commands,
        "problems": table_of_problems,
    }
    return _MADE.sub(lambda found: f"{found[1]}\n{makers[found[2]](found[3])}\n{found[4]}", text)


def table_of_keys(place: str) -> str:
    """The keys of the mapping at a place, as `shop.yaml:tax`."""
    found = [entry for entry in entries() if any(_home(at) == place for at in entry.places)]
    if not found:
        raise KeyError(place)
    rows = (
        (f"`{entry.key}`", entry.words, entry.form, _left_out(entry), "public" if entry.public else "private",
         entry.since, f"`{entry.snippet}`")
        for entry in found
    )  # fmt: skip
    return _table(("key", "what it says", "written as", "left out", "seen by", "since", "example"), rows)


def _home(place: str) -> str:
    """The mapping that a key stands in."""
    file, _, keys = place.partition(":")
    above = keys.rpartition(".")[0]
    return f"{file}:{above}" if above else file


def _left_out(entry: KeyEntry) -> str:
    return "must be written" if entry.required else f"`{entry.left_out}`" if entry.left_out else "may be"


def table_of_commands(_: str) -> str:
    """Every command, and how it may end."""
    rows = ((f"`{one.short}`", one.says, ", ".join(map(str, one.ends))) for one in COMMANDS.values())
    ends = _table(("status", "says"), ((str(status), said) for status, said in STATUSES.items()))
    return f"{ends}\n{_table(('command', 'does', 'may end with'), rows)}"


def table_of_problems(_: str) -> str:
    """Every name that a problem can bear."""
    return _table(("name", "what it tells of"), ((f"`{name}`", told) for name, told in PROBLEM_NAMES.items()))


def _table(heads: tuple[str, ...], rows: Iterator[tuple[str, ...]]) -> str:
    lines = [heads, ("---",) * len(heads), *rows]
    return "".join(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in line)} |\n" for line in lines)


def main() -> None:
    """Write the page's tables anew."""
    PAGE.write_text(page(PAGE.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    main()
