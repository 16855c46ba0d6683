"""Tables and sentences that fit a terminal: widths are in cells, so that wide characters keep the columns straight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len, set_cell_size

GAP = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table. One of a `share` over 0 is cut to its part of the width; the others are shown whole."""

    head: str
    cells: Sequence[str]
    share: int = 0
    is_right: bool = False

    @property
    def natural(self) -> int:
        return max(map(cell_len, (self.head, *self.cells)))


def table(columns: Sequence[Column], width: int) -> list[str]:
    """The heads and the rows, in lines of at most `width` cells; columns with a share give way to the others."""
    free = width - GAP * (len(columns) - 1) - sum(column.natural for column in columns if not column.share)
    widths = _widths(columns, max(free, 0))
    lines = []
    for cells in ([column.head for column in columns], *zip(*(column.cells for column in columns), strict=True)):
        fitted = [
            _padded(shortened(cell, wide), wide, is_right=column.is_right)
            for cell, column, wide in zip(cells, columns, widths, strict=True)
        ]
        lines.append((" " * GAP).join(fitted).rstrip())
    return lines


def _widths(columns: Sequence[Column], free: int) -> list[int]:
    """How wide each column is: one that needs less than its share leaves the rest to the others."""
    widths = [0 if column.share else column.natural for column in columns]
    open_ones = [number for number, column in enumerate(columns) if column.share]
    while open_ones:
        shares = sum(columns[number].share for number in open_ones)
        small = [n for n in open_ones if columns[n].natural * shares <= free * columns[n].share]
        for number in small or open_ones:
            widths[number] = columns[number].natural if small else free * columns[number].share // shares
        if not small:
            widths[open_ones[-1]] += free - sum(widths[number] for number in open_ones)
            break
        free -= sum(widths[number] for number in small)
        open_ones = [number for number in open_ones if number not in small]
    return widths


def shortened(text: str, width: int) -> str:
    """`text` in at most `width` cells, cut between words where that leaves most of it, and then ended by `…`."""
    if cell_len(text) <= width:
        return text
    if width < 1:
        return ""
    cut = set_cell_size(text, width - 1).rstrip()
    words = cut.rpartition(" ")[0]
    if not text[len(cut) :].startswith(" ") and cell_len(words) * 5 >= width * 4:
        cut = words
    return cut.rstrip(" ,;:.(–-") + "…"


def _padded(text: str, width: int, *, is_right: bool) -> str:
    space = " " * (width - cell_len(text))
    return space + text if is_right else text + space


def ends_apart(left: str, right: str, width: int) -> str:
    """Two texts at the two ends of a line of `width` cells; the left one gives way."""
    left = shortened(left, width - cell_len(right) - GAP)
    return left + " " * (width - cell_len(left) - cell_len(right)) + right


def wrapped(text: str, width: int) -> Iterator[str]:
    """`text` in lines of at most `width` cells, broken between words."""
    line = ""
    for word in text.split():
        if line and cell_len(line) + 1 + cell_len(word) > width:
            yield line
            line = ""
        line = shortened(f"{line} {word}".strip(), width)
    if line:
        yield line
