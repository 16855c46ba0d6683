"""What furniture is made of: boxes, drawers, legs, and how a piece looks at one moment."""

from collections.abc import Callable
from dataclasses import dataclass

from drawing.hardware import BRASS, NIGHT, PALE, Pull, pull
from drawing.sheet import Box, Colour, Finish, Point, Sheet, mixed, rectangle

GROUND = 772.0  # where feet stand in a picture that is wider than high
LOW = 1086.0  # and in one that is higher than wide
RAW = Finish(light=(228, 198, 154), dark=(204, 168, 122))


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """One piece at one moment: what covers it, what it is pulled by, what is odd about it."""

    case: Finish
    top: Finish
    fronts: Finish
    pull: Pull = "none"
    metal: Colour = BRASS
    inside: Finish = RAW
    odd: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """How far the back of a piece is shifted from its front."""

    right: float
    up: float
    narrower: float = 0.0


FRONT = View(right=0, up=24, narrower=18)
TURNED = View(right=96, up=50)

Builder = Callable[[Sheet, Look, View], None]


def solid(
    sheet: Sheet,
    box: Box,
    view: View,
    finish: Finish,
    *,
    top: Finish | None = None,
    deep: float = 1.0,
    upright: bool = False,
) -> None:
    """A box of boards: its side when turned, its top and its front."""
    x, y, w, h = box
    right, up, inset = view.right * deep, view.up * deep, view.narrower * deep
    if right:
        side = [(x + w, y), (x + w + right, y - up), (x + w + right, y + h - up), (x + w, y + h)]
        sheet.board(side, finish, upright=True, shade=0.72)
        sheet.glow([(px + 10, py) for px, py in side[1:3]] + [side[2], side[1]], NIGHT, 0.3, 14)
    lid = [(x, y), (x + w, y), (x + w + right - inset, y - up), (x + right + inset, y - up)]
    if up:
        sheet.board(lid, top or finish, shade=1.1)
        sheet.glow(
            [(x + w * 0.15, y), (x + w * 0.45, y), (x + w * 0.52, y - up), (x + w * 0.3, y - up)],
            PALE,
            0.35,
            8,
        )
    sheet.board(rectangle(x, y, w, h), finish, upright=upright)


def front(sheet: Sheet, box: Box, finish: Finish, *, bead: bool = False, upright: bool = False) -> None:
    """A drawer front or a door, set in its opening."""
    x, y, w, h = box
    sheet.fill(rectangle(x - 3, y - 3, w + 6, h + 6), mixed(finish.paint or finish.dark, NIGHT, 0.72))
    sheet.board(rectangle(x, y, w, h), finish, upright=upright)
    sheet.line([(x + 2, y + h - 2), (x + 2, y + 2), (x + w - 2, y + 2)], PALE, 1.6, alpha=0.4)
    sheet.line([(x + 2, y + h - 2), (x + w - 2, y + h - 2), (x + w - 2, y + 2)], NIGHT, 1.8, alpha=0.3)
    if bead:
        for gap, tone in ((8.0, NIGHT), (10.0, PALE)):
            sheet.line(
                rectangle(x + gap, y + gap, w - 2 * gap, h - 2 * gap),
                tone,
                1.2,
                closed=True,
                alpha=0.35,
            )


def hollow(sheet: Sheet, box: Box) -> None:
    """An opening with its drawer out."""
    x, y, w, h = box
    sheet.fill(rectangle(x - 3, y - 3, w + 6, h + 6), (46, 36, 30))
    sheet.glow(rectangle(x + w * 0.1, y + h * 0.55, w * 0.8, h * 0.5), (122, 96, 70), 0.5, 16)
    for side in (x, x + w - 14):
        sheet.fill(rectangle(side, y + h - 12, 14, 12), (112, 88, 64))


def drawers(
    sheet: Sheet,
    box: Box,
    rows: tuple[tuple[float, int], ...],
    look: Look,
    *,
    pulls: int = 2,
    rail: float = 12.0,
    bead: bool = False,
    size: float = 1.0,
) -> None:
    """Rows of drawers: each row is its share of the height and how many lie side by side."""
    x, y, w, h = box
    room = h - rail * (len(rows) - 1)
    total = sum(part for part, _ in rows)
    nth = 0
    for part, count in rows:
        tall = room * part / total
        wide = (w - rail * (count - 1)) / count
        for i in range(count):
            at = (x + i * (wide + rail), y, wide, tall)
            nth += 1
            if f"drawer {nth} out" in look.odd:
                hollow(sheet, at)
                continue
            finish = look.inside if f"drawer {nth} bare" in look.odd else look.fronts
            front(sheet, at, finish, bead=bead)
            spots = (0.5,) if count > 1 or pulls == 1 else (0.25, 0.75)
            for j, spot in enumerate(spots):
                lost = f"pull {nth}.{j + 1} lost" in look.odd
                pull(
                    sheet,
                    "holes" if lost else look.pull,
                    (at[0] + wide * spot, y + tall * 0.48),
                    size,
                    look.metal,
                )
        y += tall + rail


def leg(
    sheet: Sheet,
    box: Box,
    finish: Finish,
    *,
    foot: float = 0.55,
    shade: float = 1.0,
) -> None:
    """A leg that tapers to its foot."""
    x, y, w, h = box
    thin = w * (1 - foot) / 2
    sheet.board(
        [(x, y), (x + w, y), (x + w - thin, y + h), (x + thin, y + h)],
        finish,
        upright=True,
        shade=shade,
    )
    sheet.glow([(x + w * 0.6, y), (x + w, y), (x + w - thin, y + h), (x + w * 0.6, y + h)], NIGHT, 0.22, 4)


def turned(
    sheet: Sheet,
    head: Point,
    h: float,
    r: float,
    finish: Finish,
    *,
    shade: float = 1.0,
    lean: float = 0.0,
) -> None:
    """A turned leg of radius `r`; `lean` is how far its foot goes sideways."""
    x, y = head
    profile = (
        (0, 1),
        (0.1, 1),
        (0.13, 0.62),
        (0.17, 0.62),
        (0.2, 1.05),
        (0.26, 1.05),
        (0.3, 0.6),
        (0.5, 0.95),
        (0.72, 0.7),
        (0.88, 0.5),
        (0.9, 0.85),
        (0.94, 0.85),
        (0.97, 0.5),
        (1, 0.5),
    )
    left = [(x + lean * t - r * k, y + h * t) for t, k in profile]
    right = [(x + lean * t + r * k, y + h * t) for t, k in reversed(profile)]
    sheet.board([*left, *right], finish, upright=True, shade=shade)
    sheet.glow(
        [
            (x + lean * 0.1 + r * 0.3, y + 4),
            (x + r, y + 4),
            (x + lean + r * 0.6, y + h - 4),
            (x + lean + r * 0.2, y + h - 4),
        ],
        NIGHT,
        0.28,
        4,
    )
    for t, k in profile[2:12:3]:
        sheet.line(
            [(x + lean * t - r * k, y + h * t), (x + lean * t + r * k, y + h * t)],
            NIGHT,
            1.0,
            alpha=0.3,
        )
