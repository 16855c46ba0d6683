"""Rectangles of fabric, cane, paper or veneer out of a roll or a sheet: how many, where, and how long a roll to buy.

What is tried: rows of pieces upright, rows of pieces turned, and one block of each, with the strip left beside a
block filled with pieces turned the other way. The best of those is taken. It is not proved that no other layout
does better; cutting that is not in rows sometimes does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from flipbook.cli.ending import Misused, many
from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, bench_length, tell_inches
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable
from flipbook.sums.answer import Answer, Data, length_data, telling
from flipbook.sums.coats import read_lengths
from flipbook.sums.fronts import read_fronts

if TYPE_CHECKING:
    from flipbook.sums.at_hand import AtHand

MOST_PIECES = 2_000
CLAIM = "the best of rows upright, rows turned and a block of each; not proved to be the most there can be"

_NOTHING = Fraction(0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Panel:
    """A piece to cut, in exact millimetres: its width runs across the roll, its height along it.

    `margin` is added on every side (a seam, a turning, a trim). A pattern that has a direction may not be turned;
    one that repeats has a direction too, and every piece then starts at the same place of the pattern:
    `repeat_along` is the repeat down the roll, `repeat_across` the one across it, 0 where there is none.
    """

    width: Fraction
    height: Fraction
    margin: Fraction = _NOTHING
    one_way: bool = False
    repeat_along: Fraction = _NOTHING
    repeat_across: Fraction = _NOTHING


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """One piece as cut, its margin with it, in exact inches from the left edge and the start of the roll or sheet."""

    left: Fraction
    start: Fraction
    width: Fraction
    height: Fraction
    turned: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """Pieces laid out on one roll or sheet; lengths in exact millimetres, what is placed in exact inches.

    `length` is what the pieces take of the roll or sheet, `to_buy` that rounded up to what is sold; `used` is the
    share of the whole that ends up in pieces, their margins left out. `claim` says what was tried.
    """

    pieces: tuple[Placed, ...]
    width: Fraction
    length: Fraction
    to_buy: Fraction
    used: Fraction
    sheets: int  # how many sheets the pieces wanted take; 1 of a roll
    claim: str
    working: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Block:
    """Rows of pieces of one way, and the strip beside them filled with pieces of the other way."""

    width: Fraction  # of one piece
    height: Fraction
    across: int
    pitch_across: Fraction
    pitch_along: Fraction
    turned: bool
    beside: int  # pieces of the other way abreast in the strip

    def length(self, rows: int) -> Fraction:
        return (rows - 1) * self.pitch_along + self.height if rows else _NOTHING

    def stacked(self, rows: int) -> int:
        """Rows of the other way in the strip."""
        return int(self.length(rows) // self.width) if self.beside else 0

    def holds(self, rows: int) -> int:
        return rows * self.across + self.beside * self.stacked(rows)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Rows:
    upright: int
    turned: int


def from_sheet(
    panel: Panel, *, width: Fraction, length: Fraction, wanted: int | None = None, tell: Tell = tell_inches
) -> Layout:
    """The most pieces that these layouts get from one sheet, or a roll of known length; `wanted` says how many sheets.

    Raises Unreadable for sizes that can't be cut, and when not one piece fits.
    """
    upright, turned = _blocks(panel, width, tell)
    bench_length("the sheet's length", length)
    _refuse_number(wanted)
    if width * length > MOST_PIECES * panel.width * panel.height:
        raise Unreadable(f"a sheet could hold over {MOST_PIECES:,} pieces", "check the sizes and their units")
    tried = [
        _Rows(upright=rows, turned=_rows_in(turned, length - upright.length(rows) if upright else length))
        for rows in range(_rows_in(upright, length) + 1)
    ]
    best = max(tried, key=lambda rows: (_holds(upright, turned, rows), -_long(upright, turned, rows)))
    number = _holds(upright, turned, best)
    if number == 0:
        raise Unreadable(
            f"not one piece fits on a sheet {tell(length)} long", "write a longer sheet or a smaller piece"
        )
    pieces = tuple(_placed(upright, turned, best))
    sheets = -(-wanted // number) if wanted is not None else 1
    used = number * panel.width * panel.height / (width * length)
    every = (
        f" {wanted} / {number} = {write_decimal(Fraction(wanted, number), places=2)}, so {sheets} sheets."
        if wanted is not None
        else ""
    )
    return Layout(
        pieces=pieces,
        width=width,
        length=_long(upright, turned, best),
        to_buy=length,
        used=used,
        sheets=sheets,
        claim=CLAIM,
        working=(
            _piece_line(panel, tell),
            *_block_lines(upright, turned, best, width, tell),
            f"{number} from a sheet {tell(width)} by {tell(length)}, {write_decimal(used * 100, places=1)}% of it.{every}",
        ),
    )


def from_roll(
    panel: Panel,
    *,
    width: Fraction,
    wanted: int,
    sold_by: Fraction = _NOTHING,
    tell: Tell = tell_inches,
) -> Layout:
    """The shortest length of a roll that these layouts cut `wanted` pieces from.

    `sold_by` is the step in which it is sold (a yard, half a yard), 0 for any length. A pattern that repeats may
    start anywhere on the roll: then one more repeat makes sure of it, and the length to buy has it in.

    Raises Unreadable for sizes that can't be cut, and when not one piece fits across.
    """
    upright, turned = _blocks(panel, width, tell)
    bench_length("the step it is sold by", sold_by, zero=True)
    _refuse_number(wanted)
    rows = _Rows(upright=-(-wanted // upright.across) if upright else 0, turned=0)
    tried = [rows] if upright else []
    for number in range(1, -(-wanted // turned.across) + 1 if turned else 0):
        # One row more of the turned ones: as many rows fewer of the upright ones as that lets go.
        rows = _Rows(upright=rows.upright, turned=number)
        while (
            rows.upright and _holds(upright, turned, fewer := _Rows(upright=rows.upright - 1, turned=number)) >= wanted
        ):
            rows = fewer
        if _holds(upright, turned, rows) >= wanted:
            tried.append(rows)
    best = min(tried, key=lambda rows: (_long(upright, turned, rows), -_holds(upright, turned, rows)))
    length = bench_length("the length of roll", _long(upright, turned, best))
    with_start = length + panel.repeat_along
    to_buy = ceil(with_start / sold_by) * sold_by if sold_by else with_start
    pieces = sorted(_placed(upright, turned, best), key=lambda each: (each.start, each.left))[:wanted]
    used = wanted * panel.width * panel.height / (width * to_buy)
    start = f" + {tell(panel.repeat_along)} to find the pattern's start" if panel.repeat_along else ""
    bought = f" Sold by {tell(sold_by)}: buy {tell(to_buy)}." if sold_by else f" Buy {tell(to_buy)}." if start else ""
    return Layout(
        pieces=tuple(pieces),
        width=width,
        length=length,
        to_buy=to_buy,
        used=used,
        sheets=1,
        claim=CLAIM,
        working=(
            _piece_line(panel, tell),
            *_block_lines(upright, turned, best, width, tell),
            f"{wanted} pieces take {tell(length)} of the roll{start}.{bought}",
        ),
    )


def _blocks(panel: Panel, width: Fraction, tell: Tell) -> tuple[_Block | None, _Block | None]:
    """The upright block and the turned one; None where a piece does not fit across that way or may not lie so."""
    bench_length("the piece's width", panel.width)
    bench_length("the piece's height", panel.height)
    bench_length("the margin", panel.margin, zero=True)
    bench_length("the repeat along", panel.repeat_along, zero=True)
    bench_length("the repeat across", panel.repeat_across, zero=True)
    bench_length("the width of the roll or sheet", width)
    across, along = panel.width + 2 * panel.margin, panel.height + 2 * panel.margin
    repeats = bool(panel.repeat_along or panel.repeat_across)
    may_turn = not (panel.one_way or repeats or across == along)
    upright = _block(across, along, width, panel, may_turn=may_turn) if across <= width else None
    turned = _block(along, across, width, panel, may_turn=True, turned=True) if may_turn and along <= width else None
    if upright is None and turned is None:
        why = "" if may_turn or across == along else ", and it may not be turned"
        raise Unreadable(
            f"a piece of {tell(across)} by {tell(along)} with its margins is wider than {tell(width)}{why}",
            "write a wider roll or sheet, or make the piece of two",
        )
    return upright, turned


def _block(
    across: Fraction, along: Fraction, width: Fraction, panel: Panel, *, may_turn: bool, turned: bool = False
) -> _Block:
    pitch_across = _up_to(across, panel.repeat_across)
    number = int((width - across) // pitch_across) + 1
    left = width - (number - 1) * pitch_across - across
    return _Block(
        width=across,
        height=along,
        across=number,
        pitch_across=pitch_across,
        pitch_along=_up_to(along, panel.repeat_along),
        turned=turned,
        beside=int(left // along) if may_turn else 0,
    )


def _up_to(size: Fraction, repeat: Fraction) -> Fraction:
    """From the start of one piece to the start of the next: whole repeats, where the pattern repeats."""
    return ceil(size / repeat) * repeat if repeat else size


def _rows_in(block: _Block | None, length: Fraction) -> int:
    if block is None or length < block.height:
        return 0
    return int((length - block.height) // block.pitch_along) + 1


def _holds(upright: _Block | None, turned: _Block | None, rows: _Rows) -> int:
    return (upright.holds(rows.upright) if upright else 0) + (turned.holds(rows.turned) if turned else 0)


def _long(upright: _Block | None, turned: _Block | None, rows: _Rows) -> Fraction:
    return (upright.length(rows.upright) if upright else _NOTHING) + (
        turned.length(rows.turned) if turned else _NOTHING
    )


def _placed(upright: _Block | None, turned: _Block | None, rows: _Rows) -> Iterator[Placed]:
    start = _NOTHING
    for block, number in ((upright, rows.upright), (turned, rows.turned)):
        if block is None:
            continue
        for row in range(number):
            for column in range(block.across):
                yield _inches(
                    column * block.pitch_across,
                    start + row * block.pitch_along,
                    block.width,
                    block.height,
                    block.turned,
                )
        edge = (block.across - 1) * block.pitch_across + block.width
        for row in range(block.stacked(number)):
            for column in range(block.beside):
                yield _inches(
                    edge + column * block.height, start + row * block.width, block.height, block.width, not block.turned
                )
        start += block.length(number)


def _inches(left: Fraction, start: Fraction, width: Fraction, height: Fraction, turned: bool) -> Placed:
    return Placed(left=left / INCH, start=start / INCH, width=width / INCH, height=height / INCH, turned=turned)


def _refuse_number(wanted: int | None) -> None:
    if wanted is not None and not 1 <= wanted <= MOST_PIECES:
        raise Unreadable(f"{wanted} pieces can't be laid out", f"write a number from 1 to {MOST_PIECES:,}")


def _piece_line(panel: Panel, tell: Tell) -> str:
    across, along = panel.width + 2 * panel.margin, panel.height + 2 * panel.margin
    margin = f" with {tell(panel.margin)} all round" if panel.margin else ""
    line = f"A piece is {tell(panel.width)} by {tell(panel.height)}{margin}: {tell(across)} by {tell(along)} to cut"
    if panel.repeat_along or panel.repeat_across:
        pitch = []
        if panel.repeat_along:
            pitch.append(f"{tell(_up_to(along, panel.repeat_along))} along")
        if panel.repeat_across:
            pitch.append(f"{tell(_up_to(across, panel.repeat_across))} across")
        return f"{line}, never turned. In whole repeats it starts every {' and '.join(pitch)}."
    return f"{line}{', never turned' if panel.one_way else ''}."


def _block_lines(
    upright: _Block | None, turned: _Block | None, rows: _Rows, width: Fraction, tell: Tell
) -> tuple[str, ...]:
    told = []
    for block, number, way in ((upright, rows.upright, "upright"), (turned, rows.turned, "turned")):
        if block is None or not number:
            continue
        beside = block.beside * block.stacked(number)
        strip = f" and {beside} the other way in the strip beside them" if beside else ""
        told.append(
            f"{number} row{'' if number == 1 else 's'} of {block.across} {way} in {tell(width)}{strip}: "
            f"{block.holds(number)} in {tell(block.length(number))}"
        )
    return (f"{'; '.join(told)}.",)


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums panels`."""
    tell = telling(at_hand.words, *map(at_hand.text, ("--roll", "--sheet")))
    svg = at_hand.file("--svg", ".svg")
    fronts = at_hand.of_words(lambda words: read_fronts(words, at_hand.size), "the piece to cut")
    if len(fronts) > 1:
        raise Unreadable("one size of piece is laid out at a time", "say the others in a sum of their own")
    roll = at_hand.length("--roll", None)
    sheet = at_hand.said("--sheet", lambda text: read_lengths(text, text, 2), None)
    piece = fronts[0]
    wanted = at_hand.number("--count", piece.count)
    panel = Panel(
        width=piece.width,
        height=piece.height,
        margin=at_hand.length("--margin", _NOTHING),
        one_way=at_hand.arguments.one_way,
        repeat_along=at_hand.length("--repeat", _NOTHING),
        repeat_across=at_hand.length("--repeat-across", _NOTHING),
    )
    name = f"{tell(piece.width)} by {tell(piece.height)}"
    pieces = f"{many(wanted, 'piece')} of {name}"
    if roll is not None and sheet is None:
        layout = from_roll(panel, width=roll, wanted=wanted, sold_by=at_hand.length("--sold-by", _NOTHING), tell=tell)
        answer = f"{pieces}: buy {tell(layout.to_buy)} of a roll {tell(roll)} wide."
        cut_from = f"{tell(layout.to_buy)} of a roll {tell(roll)} wide"
    elif sheet is not None and roll is None:
        if at_hand.text("--sold-by") is not None:
            raise Unreadable("--sold-by goes with a roll", "a sheet is bought whole")
        layout = from_sheet(panel, width=sheet[0], length=sheet[1], wanted=wanted, tell=tell)
        answer = f"{len(layout.pieces)} from a sheet; {pieces}: buy {many(layout.sheets, 'sheet')}."
        cut_from = f"{many(layout.sheets, 'sheet')} of {tell(sheet[0])} by {tell(layout.to_buy)}"
    else:
        raise Misused('cut from what? say --roll "54 in" for its width, or --sheet "24 x 48 in"')
    files = []
    if svg is not None:
        from flipbook.sums.drawing import layout_drawing

        files.append((svg, layout_drawing(layout, name, tell, is_sheet=roll is None), "a drawing, not to scale"))
    return Answer(
        lines=[answer, f"{write_decimal(layout.used * 100, places=0)}% ends up in pieces; {layout.claim}."],
        working=layout.working,
        data=_layout_data(layout),
        planned=[{"did": f"cut {pieces} from {cut_from}"}],
        files=files,
    )


def _layout_data(layout: Layout) -> Data:
    return {
        "length_mm": length_data(layout.length),
        "to_buy_mm": length_data(layout.to_buy),
        "sheets": layout.sheets,
        "used": write_decimal(layout.used),
        "claim": layout.claim,
        "pieces": [
            {
                "left_in": write_decimal(each.left),
                "start_in": write_decimal(each.start),
                "width_in": write_decimal(each.width),
                "height_in": write_decimal(each.height),
                "turned": each.turned,
            }
            for each in layout.pieces
        ],
    }
