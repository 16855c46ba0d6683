"""Charts as numbers: where bars, marks and lines stand, for a template that draws them as SVG without a script.

Coordinates are in units of the drawing, from its upper left, as texts with one decimal, so that the same sums always
make the same bytes. Beside every chart stands a table with its numbers; a chart only shows their shape.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, log10

Figure = Decimal | Fraction | int

WIDTH, HEIGHT = 640, 220
LEFT, RIGHT, TOP, BOTTOM = 64, 8, 20, 28
ROW = 30
NAMES = 170
SHORTEST_NAME_ROOM = 20
"""Letters of a name that fit beside a row."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: where it stands, and what it says."""

    at: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A bar, and the words at its foot and at its head."""

    x: str
    y: str
    width: str
    height: str
    middle: str
    name: str
    words: str
    is_under: bool
    """Whether it stands for less than nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarChart:
    """Bars over a line of nothing, or, lying, beside it."""

    width: int
    height: int
    zero: str
    bars: tuple[Bar, ...]
    ticks: tuple[Tick, ...]
    left: str
    right: str
    names_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A point in time with a sum, its words, and whether it was taken up."""

    x: str
    y: str
    words: str
    is_taken: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceChart:
    """Prices asked as a stair, offers and the sale as marks, the floor as a line."""

    width: int
    height: int
    stair: str
    """The points of a `polyline`."""
    marks: tuple[Mark, ...]
    ticks: tuple[Tick, ...]
    days: tuple[Tick, ...]
    left: str
    right: str
    floor: str
    """Where the floor stands; empty when there is none in sight."""


def _at(value: Figure | float) -> str:
    text = f"{float(value):.1f}"
    return "0.0" if text == "-0.0" else text


def ticks_between(least: Figure, most: Figure, about: int = 4) -> list[Fraction]:
    """Round numbers from `least` to `most`, both within the first and the last: steps of 1, 2 or 5 of a power of ten."""
    low, high = Fraction(least), Fraction(most)
    if high <= low:
        high = low + 1
    rough = float(high - low) / about
    power = Fraction(10) ** floor(log10(rough))
    step = next((power * times for times in (1, 2, 5) if float(power * times) >= rough), power * 10)
    first, last = floor(low / step), ceil(high / step)
    return [step * number for number in range(first, last + 1)]


def standing_bars(figures: Sequence[tuple[str, Figure, str]]) -> BarChart:
    """Bars side by side, for what comes one after the other: a name, a figure, and its words."""
    ticks = ticks_between(
        min([0, *(figure for _, figure, _ in figures)]), max([0, *(figure for _, figure, _ in figures)])
    )
    low, high = ticks[0], ticks[-1]
    floor_at = HEIGHT - BOTTOM

    def y(figure: Figure) -> Fraction:
        return floor_at - (Fraction(figure) - low) * (floor_at - TOP) / (high - low)

    room = Fraction(WIDTH - LEFT - RIGHT, max(1, len(figures)))
    wide = min(room * 3 / 4, Fraction(56))
    every = ceil(len(figures) * 52 / (WIDTH - LEFT - RIGHT)) if figures else 1
    bars = []
    for number, (name, figure, words) in enumerate(figures):
        middle = LEFT + room * number + room / 2
        top, foot = sorted((y(figure), y(0)))
        bars.append(
            Bar(
                x=_at(middle - wide / 2), y=_at(top), width=_at(wide), height=_at(foot - top), middle=_at(middle),
                name=name if number % every == 0 else "", words=words, is_under=figure < 0,
            )
        )  # fmt: skip
    return BarChart(
        width=WIDTH, height=HEIGHT, zero=_at(y(0)), bars=tuple(bars), left=_at(LEFT), right=_at(WIDTH - RIGHT),
        ticks=tuple(Tick(_at(y(tick)), _number(tick)) for tick in ticks), names_at=_at(HEIGHT - 8),
    )  # fmt: skip


def lying_bars(figures: Sequence[tuple[str, Figure, str]]) -> BarChart:
    """Bars one below the other, for what has a name: the name, a figure, and its words at the bar's end."""
    least, most = (bound([0, *(figure for _, figure, _ in figures)]) for bound in (min, max))
    low, high = Fraction(least), Fraction(most) if most > least else Fraction(least) + 1
    end = WIDTH - 96
    start = NAMES + (64 if low < 0 else 0)

    def x(figure: Figure) -> Fraction:
        return start + (Fraction(figure) - low) * (end - start) / (high - low)

    bars = []
    for number, (name, figure, words) in enumerate(figures):
        left, right = sorted((x(figure), x(0)))
        short = name if len(name) <= SHORTEST_NAME_ROOM else f"{name[: SHORTEST_NAME_ROOM - 1].rstrip()}…"
        bars.append(
            Bar(
                x=_at(left), y=_at(ROW * number + 7), width=_at(right - left), height=_at(16), middle=_at(ROW * number + 19),
                name=short, words=words, is_under=figure < 0,
            )
        )  # fmt: skip
    return BarChart(
        width=WIDTH, height=ROW * len(figures) + 4, zero=_at(x(0)), bars=tuple(bars), ticks=(), left=_at(NAMES),
        right=_at(end), names_at=_at(NAMES - 8),
    )  # fmt: skip


def prices_over_time(
    asked: Sequence[tuple[date, Decimal]],
    offers: Sequence[tuple[date, Decimal, str, bool]],
    until: date,
    floor_at: Decimal | None = None,
) -> PriceChart:
    """The prices asked, each until the next, and what was offered or paid, with words and whether it was taken.

    `until` is the last day shown. `asked` is in the order of its days and not empty.
    """
    days = [day for day, _ in asked] + [day for day, _, _, _ in offers] + [until]
    first, last = min(days), max(days)
    span = max(1, (last - first).days)
    sums = [price for _, price in asked] + [price for _, price, _, _ in offers]
    if floor_at is not None:
        sums.append(floor_at)
    ticks = ticks_between(min(sums), max(sums))
    low, high = ticks[0], ticks[-1]
    foot, right = HEIGHT - BOTTOM, WIDTH - RIGHT - 60

    def x(day: date) -> str:
        return _at(LEFT + Fraction((day - first).days * (right - LEFT), span))

    def y(price: Figure) -> str:
        return _at(foot - (Fraction(price) - low) * (foot - TOP) / (high - low))

    points = []
    for number, (day, price) in enumerate(asked):
        following = asked[number + 1][0] if number + 1 < len(asked) else last
        points += [f"{x(day)},{y(price)}", f"{x(max(following, day))},{y(price)}"]
    return PriceChart(
        width=WIDTH,
        height=HEIGHT,
        stair=" ".join(points),
        marks=tuple(Mark(x=x(day), y=y(price), words=words, is_taken=taken) for day, price, words, taken in offers),
        ticks=tuple(Tick(y(tick), _number(tick)) for tick in ticks),
        days=(Tick(x(first), first.isoformat()), Tick(x(last), last.isoformat()))
        if first != last
        else (Tick(x(first), first.isoformat()),),
        left=_at(LEFT),
        right=_at(right),
        floor=y(floor_at) if floor_at is not None else "",
    )


def _number(value: Fraction) -> str:
    """A round number on an axis: thousands marked, a true minus."""
    text = f"{abs(value.numerator) // value.denominator:,}" if value.denominator == 1 else f"{float(abs(value)):,.1f}"
    return f"−{text}" if value < 0 else text
