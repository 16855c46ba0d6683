"""How a command writes into the shop: edit, check the shop as it would be, and only then write."""

from __future__ import annotations

import re
import sys
import textwrap
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from difflib import SequenceMatcher
from pathlib import Path

from flipbook.books.footing import BooksDoNotFoot
from flipbook.cli.ending import PROBLEMS, Ended, fault_of_ours, many
from flipbook.cli.terminal import ProgressBar, show_problems
from flipbook.compile import Outcome, Tick, check_shop, no_tick
from flipbook.measures.dates import read_when
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.composing import Block, Items, Node, Scalar, compose
from flipbook.shop.editing import CannotEdit, Entry, appended
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem, in_order, lines_of, visible
from flipbook.shop.reading import source_lines
from flipbook.shop.records.base import Record, name_of_key
from flipbook.shop.saving import ChangedMeanwhile, NotSaved, at_the_desk, copy_in, put_back

TRIES = 3
"""How often an entry is made again when its file was saved by another program meanwhile."""

MOST_SHOWN = 12
"""Lines of an entry that are shown after it was written."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Entering:
    """What is to be written: into which file of the shop, by which edit of its bytes (b"" when there is no file yet).

    `copies` are pictures and scans that come along, each with its place in the shop. `edit` raises CannotEdit, or
    Unfit when what stands in the file already does not allow it.
    """

    file: str
    edit: Callable[[bytes], bytes]
    copies: tuple[tuple[Path, str], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Entered:
    """What was written: the new lines of the file, the first of them at `line`."""

    file: str
    line: int
    lines: tuple[str, ...]
    outcome: Outcome
    """The shop with the entry in it."""
    warnings: tuple[Problem, ...] = ()
    """What the entry gives reason to look at."""
    stand: tuple[Problem, ...] = ()
    """The errors of other files that were there before, and still are."""


class Refused(list[Problem]):
    """The problems that keep an entry out; nothing was written. `lines_in` gives the lines that they are marked in."""

    def __init__(self, problems: Sequence[Problem], lines_in: Callable[[str], Sequence[str]]) -> None:
        super().__init__(problems)
        self.lines_in = lines_in


class Unfit(Exception):
    """What stands in a file already does not allow the edit."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__()
        self.problems = problems


def enter(root: Path, entering: Entering, tick: Tick = no_tick) -> Entered | Refused:
    """Write an entry, under the shop's lock, unless the shop would have a problem by it that it had not before.

    An error in the very file keeps the entry out as well; those of other files do not. Raises NotSaved when the file
    cannot be written, CannotEdit when it cannot be edited, and BooksDoNotFoot.
    """
    with at_the_desk(root):
        for left in reversed(range(TRIES)):
            try:
                return _enter_once(root, entering, tick)
            except ChangedMeanwhile:
                if not left:
                    raise
    raise AssertionError("the last try returns or raises")


def _enter_once(root: Path, entering: Entering, tick: Tick) -> Entered | Refused:
    file, folder = entering.file, ShopFolder(root)
    is_new, is_home_new = not folder.exists(file), not (root / file).parent.exists()
    if is_new:
        # A check finds its files on the disk, so a new one is begun with nothing in it, which is no problem by itself.
        put_back(root, file, None, b"")
    entered: Entered | Refused | None = None
    try:
        entered = _enter_into(root, entering, folder.read(file), tick)
    finally:
        if is_new and not isinstance(entered, Entered):
            _take_away_again(root / file, is_home_new)
    return entered


def _take_away_again(begun: Path, is_home_new: bool) -> None:
    """Take away a file that was begun for nothing, unless somebody wrote into it, and the folder that was made for it."""
    with suppress(OSError):
        if not begun.read_bytes():
            begun.unlink()
        if is_home_new:
            begun.parent.rmdir()


def _enter_into(root: Path, entering: Entering, before: bytes | Problem, tick: Tick) -> Entered | Refused:
    file = entering.file
    if isinstance(before, Problem):
        return Refused([before], source_lines(root))
    try:
        after = entering.edit(before)
    except Unfit as unfit:
        return Refused(unfit.problems, source_lines(root))
    except CannotEdit as fault:
        if fault.problem is None:
            raise
        return Refused([fault.problem], source_lines(root))
    instead = {**{to: b"" for _, to in entering.copies}, file: after}
    outcome = check_shop(root, tick, instead)
    errors = [problem for problem in outcome.problems if not problem.warning]
    number, lines = _new_lines(before, after)
    if errors:
        already = [problem for problem in check_shop(root).problems if not problem.warning]
        added = _added(errors, already, file, range(number, number + len(lines)))
        if added:
            return Refused(added, source_lines(root, instead))
        if any(problem.place.file == file for problem in errors):
            return Refused([problem for problem in already if problem.place.file == file], source_lines(root))
    _write(root, entering, before, after)
    warnings = (problem for problem in outcome.problems if problem.warning and problem.place.file == file)
    return Entered(
        file=file,
        line=number,
        lines=lines,
        outcome=outcome,
        warnings=tuple(problem for problem in warnings if number <= problem.place.line < number + len(lines)),
        stand=tuple(errors),
    )


def _write(root: Path, entering: Entering, before: bytes, after: bytes) -> None:
    """Copies first, so that no file names a picture that is not there; they go again when the file cannot be written."""
    copied = []
    try:
        for source, to in entering.copies:
            copy_in(root, source, to)
            copied.append(to)
        put_back(root, entering.file, before, after)
    except BaseException:
        for to in copied:
            (root / to).unlink(missing_ok=True)
        raise


def _new_lines(before: bytes, after: bytes) -> tuple[int, tuple[str, ...]]:
    """The first run of lines that an edit put in, and the number of the first of them."""
    old, new = (lines_of(data.decode("utf-8-sig")) for data in (before, after))
    start = 0
    while start < min(len(old), len(new)) and old[start] == new[start]:
        start += 1
    end = 0
    while end < min(len(old), len(new)) - start and old[-1 - end] == new[-1 - end]:
        end += 1
    middle = new[start : len(new) - end]
    for kind, _, _, first, last in SequenceMatcher(None, old[start : len(old) - end], middle).get_opcodes():
        if kind in ("insert", "replace"):
            return start + first + 1, tuple(middle[first:last])
    return start + 1, ()


def _is_above(line: str, below: str) -> bool:
    """Whether a line only leads to an entry: space, a comment, or the key of the list that the entry is first of."""
    text = line.strip()
    return not text or text.startswith("#") or (text.endswith(":") and below.strip().startswith("- "))


def _added(errors: list[Problem], already: list[Problem], file: str, new_lines: range) -> list[Problem]:
    """The errors that were not there before; lines of the edited file have moved, so these are told by their words."""
    moved = re.compile(rf"{re.escape(file)}:[0-9]+(?::[0-9]+)?")

    def words(problem: Problem) -> tuple[str, ...]:
        said = (problem.says, problem.label, problem.help)
        line = "" if problem.place.file == file else str(problem.place.line)
        return problem.name, problem.place.file, line, *(moved.sub(file, text) for text in said)

    left = Counter(map(words, already))
    added = []
    # Of several that read alike, those on the new lines are the new ones.
    for problem in sorted(errors, key=lambda p: p.place.file == file and p.place.line in new_lines):
        if left[words(problem)]:
            left[words(problem)] -= 1
        else:
            added.append(problem)
    return in_order(added)


def write_down(root: Path, entering: Entering, note: str = "") -> Entered:
    """Enter, and say on the terminal what was written and where, or what keeps it out.

    `note` is said above it. Raises Ended when nothing was written.
    """
    try:
        with ProgressBar() as bar:
            ended = enter(root, entering, bar.tick)
    except BooksDoNotFoot as fault:
        raise Ended(fault_of_ours(fault)) from None
    except (CannotEdit, NotSaved) as fault:
        sys.stderr.write(f"flipbook: {fault.says}; {fault.write}\n")
        raise Ended(PROBLEMS) from None
    if isinstance(ended, Refused):
        show_problems(ended, ended.lines_in, sys.stderr)
        raise Ended(PROBLEMS)
    if note:
        sys.stdout.write(f"{note}\n")
    _say(ended, root)
    return ended


def _say(entered: Entered, root: Path) -> None:
    out = sys.stdout
    number, lines = entered.line, list(entered.lines)
    while len(lines) > 1 and _is_above(lines[0], lines[1]):
        number, lines = number + 1, lines[1:]
    out.write(f"Written at {visible(entered.file)}:{number}\n")
    shown = textwrap.dedent("\n".join(lines)).rstrip("\n").split("\n")
    for line in shown[:MOST_SHOWN]:
        text = visible(line)
        out.write(f"  {text if len(text) <= 76 else text[:75] + '…'}\n")
    if len(shown) > MOST_SHOWN:
        out.write(f"  and {many(len(shown) - MOST_SHOWN, 'line')} more\n")
    if entered.warnings:
        show_problems(entered.warnings, source_lines(root), out)
    if entered.stand:
        files = list(dict.fromkeys(problem.place.file for problem in entered.stand))
        where = visible(files[0]) + (f" and {many(len(files) - 1, 'other file')}" if len(files) > 1 else "")
        out.write(
            f"The shop has {many(len(entered.stand), 'problem')} besides, in {where}; what was written could not be\n"
            "held against the rest. `flipbook check` shows them.\n"
        )


def with_entry(file: str, data: bytes, path: Sequence[str], entry: Entry, day: date | None, of: type[Record]) -> bytes:
    """The file with an entry in one of its lists, below the last one that is not of a later day; `of` knows its keys."""
    before = after_its_day(data, path, day) if day is not None else None
    return appended(file, data, path, entry, before=before, keys=tuple(of.keys.values()))


def after_its_day(data: bytes, path: Sequence[str], day: date) -> Callable[[Node], bool] | None:
    """Where an entry of `day` goes in the list at `path`: after the last one whose day is not later.

    The answer fits `before` of an appending edit; None is the end of the list.
    """
    node = compose("", data)
    for step in path:
        pairs = node.pairs if isinstance(node, Block) else []
        node = next((value for key, value in pairs if name_of_key(key.text) == name_of_key(step)), None)
    items = node.items if isinstance(node, Items) else []
    place = len(items)
    while place and (_day_of(items[place - 1]) or day) > day:
        place -= 1
    if place == len(items):
        return None
    start = (items[place].start.line, items[place].start.column)
    return lambda item: (item.start.line, item.start.column) == start


def _day_of(node: Node) -> date | None:
    """The day of an entry, however it is written; None when none can be read."""
    if isinstance(node, Block):
        node = next((value for key, value in node.pairs if key.text.strip() == "on"), node)
    try:
        return read_when(node.text.strip()[:10]).day if isinstance(node, Scalar) else None
    except Unreadable:
        return None
