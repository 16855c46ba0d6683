"""The pieces: cases put together of one set of parts, seats on legs, and a few of their own shape."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Literal

from drawing.parts import BRASS, RAW, Look, covered, front, hollow, leg, pull, solid, turned
from drawing.rooms import standing
from drawing.sheet import NIGHT, PALE, Box, Sheet, curve, ellipse, mixed, rectangle, within

GROUND = 772.0  # where feet stand in a picture that is wider than high
LOW = 1086.0  # and in one that is higher than wide

Builder = Callable[[Sheet, Look], None]
Part = tuple[Literal["drawer", "door", "nook", "back", "grille", "panel"], float, float, float, float]


def rows(*tall: float, left: float = 0.05, right: float = 0.95, top: float = 0.06, low: float = 0.94) -> list[Part]:
    """Drawers below one another in a part of the front, each with its share of the height."""
    parts: list[Part] = []
    for share in tall:
        high = (low - top) * share / sum(tall)
        at = top + sum(part[4] - part[2] for part in parts)
        parts.append(("drawer", left, at, right, at + high))
    return parts


@dataclass(frozen=True, kw_only=True, slots=True)
class Case:
    """A case piece: its front, what stands in it (as shares of the front) and what it stands on."""

    wide: float
    high: float
    legs: float
    stand: Literal["square", "tapered", "turned", "base"] = "square"
    parts: tuple[Part, ...] = ()
    pulls: int = 2  # on each drawer
    over: float = 12.0  # how far the top reaches over
    tall: bool = False
    middle: float = 0.5  # of the sheet

    def front(self) -> Box:
        """Where its front is on the sheet."""
        sheet, ground = (900, LOW) if self.tall else (1200, GROUND)
        return sheet * self.middle - self.wide / 2, ground - self.legs - self.high, self.wide, self.high


def case(sheet: Sheet, look: Look, of: Case) -> None:
    """Draw a case piece."""
    x, y, w, h = of.front()
    foot = y + h
    standing(sheet, (x, y, w, h + of.legs))
    for side in () if of.stand == "base" else (x + 6, x + w - 46):
        if of.stand == "turned":
            turned(sheet, (side + 20, foot), (side + 20, foot + of.legs), 19, look.case)
        else:
            leg(sheet, (side, foot, 40, of.legs), look.case, foot=0.45 if of.stand == "tapered" else 0.8)
    solid(sheet, (x, y, w, h), look.case, upright=h > w * 0.8)
    pulls = 0
    for what, left, top, right, low in of.parts:
        box = (x + w * left + 5, y + h * top + 5, w * (right - left) - 10, h * (low - top) - 10)
        if what == "drawer":
            front(sheet, box, look.fronts)
            for spot in (0.25, 0.75) if of.pulls == 2 and right - left > 0.5 else (0.5,):
                kind = "holes" if pulls in look.lost else look.pull
                pull(sheet, kind, (box[0] + box[2] * spot, box[1] + box[3] * 0.48), look.metal)
                pulls += 1
        else:
            _other(sheet, what, box, look)
    if of.stand == "base":
        arch = curve((x + w - 70, foot + of.legs), (x + w / 2, foot + of.legs - 60), (x + 70, foot + of.legs))
        base = [(x - 8, foot - 44), (x + w + 8, foot - 44), (x + w + 8, foot + of.legs), *arch, (x - 8, foot + of.legs)]
        sheet.fill(rectangle(x + 60, foot, w - 120, of.legs - 4), NIGHT, 0.4)
        sheet.board(base, look.case)
        sheet.line([(x - 8, foot - 41), (x + w + 8, foot - 41)], PALE, 2, alpha=0.4)
    if of.over:
        solid(sheet, (x - of.over, y - 20, w + 2 * of.over, 22), look.top)
        sheet.glow(rectangle(x, y + 2, w, 12), NIGHT, 0.36, 7)


def _other(sheet: Sheet, what: str, box: Box, look: Look) -> None:
    """What is no drawer: a door, a nook, a back behind shelves, a panel, or the cloth of a radio."""
    x, y, w, h = box
    match what:
        case "door":
            front(sheet, box, look.case, upright=True)
            covered(sheet, rectangle(x + 18, y + 16, w - 36, h - 32), look.cover or look.fronts, 56)
            sheet.line(rectangle(x + 18, y + 16, w - 36, h - 32), width=1.4, closed=True)
            sheet.oval((x + w / 2 - 9, y + h / 2 - 22, 18, 44), mixed(look.case.dark, NIGHT, 0.6))
        case "nook":
            hollow(sheet, box, look.case)
            sheet.board(
                [(x, y + h), (x + w, y + h), (x + w - 26, y + h - 30), (x + 26, y + h - 30)], look.case, shade=0.92
            )
        case "back":
            hollow(sheet, box, look.inside)
            if look.cover:
                covered(sheet, rectangle(*box), look.cover, 11)
                sheet.glow(rectangle(x, y, 18, h), NIGHT, 0.4, 18)
            for i in range(1, 6):
                at, sag = y + h * i / 5, 5 if i == 2 else 0
                sheet.board([(x, at), (x + w, at), (x + w - 18, at - 20), (x + 18, at - 20)], look.case)
                edge = [*curve((x, at), (x + w / 2, at + sag), (x + w, at)), (x + w, at + 18), (x, at + 18)]
                sheet.board(edge, look.case)
                sheet.glow(rectangle(x + 4, at + 20, w - 8, 16 if i < 5 else 2), NIGHT, 0.45, 10)
        case "panel":
            front(sheet, box, look.fronts, upright=True)
            inner = rectangle(x + w * 0.14, y + h * 0.1, w * 0.72, h * 0.8)
            sheet.board(inner, look.fronts, upright=True, shade=0.9)
            sheet.line(inner[1:], PALE, 2, alpha=0.5)
        case "grille":
            for i in range(3):
                at, up = x + w * (0.04 + i * 0.34), 0.0 if i == 1 else h * 0.1
                slot = [*ellipse(at, y + up, w * 0.24, w * 0.24, 180, 360), (at + w * 0.24, y + h), (at, y + h)]
                sheet.fill(slot, (122, 98, 66))
                for k in range(int(y + up + 46), int(y + h), 8):
                    sheet.line([(at + 3, k), (at + w * 0.24 - 3, k)], (164, 138, 96), 1.6, alpha=0.5)
                sheet.line(slot, width=1.8, closed=True)


DRESSING_CHEST = Case(
    wide=520, high=320, legs=80, stand="turned",
    parts=(("drawer", 0.05, 0.06, 0.5, 0.34), ("drawer", 0.5, 0.06, 0.95, 0.34), *rows(1, 1.1, top=0.34)),
)  # fmt: skip
CHEST_OF_DRAWERS = Case(wide=500, high=470, legs=66, parts=tuple(rows(0.8, 0.95, 1.05, 1.15, top=0.04, low=0.96)))
SIDEBOARD = Case(
    wide=840, high=272, legs=128, stand="tapered", over=4.0, pulls=1,
    parts=(("door", 0.02, 0.05, 0.34, 0.95), *rows(0.8, 1, 1, left=0.34, right=0.66), ("door", 0.66, 0.05, 0.98, 0.95)),
)  # fmt: skip
NIGHTSTAND = Case(
    wide=350, high=412, legs=56, pulls=1, parts=(*rows(0.9, 1, low=0.56), ("nook", 0.07, 0.6, 0.93, 0.93))
)
SIX_BOARDS = Case(wide=646, high=238, legs=48, stand="base", over=14.0)
BOOKCASE = Case(wide=480, high=860, legs=60, stand="base", tall=True, parts=(("back", 0.05, 0.03, 0.95, 0.93),))
CORNER = Case(
    wide=404, high=900, legs=24, stand="base", tall=True, over=22.0,
    parts=(("back", 0.13, 0.08, 0.87, 0.62), ("panel", 0.13, 0.69, 0.87, 0.92)),
)  # fmt: skip
RADIO = Case(
    wide=468, high=640, legs=20, stand="base", tall=True, over=0.0, pulls=1,
    parts=(("grille", 0.16, 0.12, 0.84, 0.56), ("drawer", 0.2, 0.62, 0.8, 0.74)),
)  # fmt: skip
UNDER_DESK = Case(wide=464, high=250, legs=66, over=0.0, parts=tuple(rows(0.85, 1, 1.1, top=0.1)))


def blanket_chest(sheet: Sheet, look: Look) -> None:
    """A chest of six boards on a cut base; its lid may stand open."""
    x, y, w, h = SIX_BOARDS.front()
    case(sheet, look, SIX_BOARDS)
    for left in (x, x + w - 24):
        for py in range(int(y) + 12, int(y + h) - 60, 34):
            tail = [(left, py), (left + 24, py + 5), (left + 24, py + 17), (left, py + 22)]
            sheet.line(tail, NIGHT, 1.4, closed=True, alpha=0.45)
    if look.opened:
        sheet.board([(x - 14, y - 40), (x + w + 14, y - 40), (x + w - 4, y - 250), (x + 4, y - 250)], look.inside)
        for at in (x + 110, x + w - 130):
            sheet.fill(rectangle(at, y - 130, 16, 92), (66, 60, 58))
        well = [(x - 10, y), (x + w + 10, y), (x + w - 18, y - 46), (x + 18, y - 46)]
        sheet.board(well, look.inside, shade=0.55)
        sheet.glow(rectangle(x + 40, y - 34, w - 80, 22), NIGHT, 0.6, 12)
        sheet.board(rectangle(x - 10, y, w + 20, 14), look.top)
        sheet.line([(x + w - 70, y - 150), (x + w - 96, y - 14)], (70, 64, 60), 4)


def secretary(sheet: Sheet, look: Look) -> None:
    """A slant-front desk over three drawers; the fall may be let down on the pigeonholes."""
    case(sheet, look, UNDER_DESK)
    x, y, w, _ = UNDER_DESK.front()
    top = y - 226
    slope = [(x + 26, top), (x + w - 26, top), (x + w, y), (x, y)]
    sheet.board(slope, look.fronts if not look.opened else look.inside, shade=1.06 if not look.opened else 0.7)
    if look.opened:
        wide = (w - 110) / 6
        for i in range(6):
            left, base = x + 42 + i * (wide + 5), y - 74
            raw = look.cover is not None and i >= 3  # the painting has come half way
            inside = RAW if raw else look.inside
            hole = [*ellipse(left, top + 34, wide, 40, 180, 360), (left + wide, base), (left, base)]
            sheet.fill(hole, mixed(inside.paint or inside.dark, NIGHT, 0.5))
            sheet.line(hole, inside.light if raw else inside.paint or inside.light, 6, closed=True)
            front(sheet, (left, base + 10, wide, 44), RAW if raw else look.fronts)
            pull(sheet, "knob", (left + wide / 2, base + 32), BRASS, 0.32)
        desk = [(x + 6, y - 6), (x + w - 6, y - 6), (x + w + 26, y + 24), (x - 26, y + 24)]
        sheet.glow([(px, py + 26) for px, py in desk], NIGHT, 0.5, 12)
        sheet.board(desk, look.top, shade=1.08)
        sheet.board(rectangle(x - 26, y + 24, w + 52, 12), look.top, shade=0.85)
    else:
        inner = [within(slope, u, v) for u, v in ((0.1, 0.14), (0.9, 0.14), (0.9, 0.86), (0.1, 0.86))]
        sheet.line(inner, NIGHT, 1.4, closed=True, alpha=0.4)
        sheet.oval((x + w / 2 - 7, top + 46, 14, 18), look.metal)
        sheet.oval((x + w / 2 - 2, top + 50, 4, 9), NIGHT)
    rail = [*curve((x + 36, top - 20), (x + w / 2, top - 84), (x + w - 36, top - 20))]
    solid(sheet, (x + 14, top - 4, w - 28, 18), look.top, deep=0.7)
    sheet.board(rail, look.case)


def corner_cupboard(sheet: Sheet, look: Look) -> None:
    """A tall cupboard with a panelled door that hangs by one hinge."""
    case(sheet, look, CORNER)
    x, y, w, h = CORNER.front()
    left, top, wide, high = x + w * 0.14, y + h * 0.085, w * 0.72, h * 0.53
    door = [(left, top), (left + wide + 4, top + 26), (left + wide - 14, top + high + 26), (left - 16, top + high)]
    sheet.glow([(px + 10, py + 10) for px, py in door], NIGHT, 0.5, 10)
    sheet.board(door, look.fronts, upright=True)
    for a, b in ((0.06, 0.46), (0.53, 0.94)):
        panel = [within(door, u, v) for u, v in ((0.15, a), (0.85, a), (0.85, b), (0.15, b))]
        sheet.board(panel, look.fronts, upright=True, shade=0.9)
        sheet.line(panel[1:], PALE, 2, alpha=0.5)
    for px, py in (within(door, 0.92, 0.5), (x + w / 2, y + h * 0.8)):
        sheet.oval((px - 9, py - 10, 18, 20), (84, 74, 62))


def radio(sheet: Sheet, look: Look) -> None:
    """A cabinet with rounded shoulders, four knobs and a lit scale."""
    case(sheet, look, RADIO)
    x, y, w, h = RADIO.front()
    for corner, arc in ((x, (180.0, 270.0)), (x + w, (360.0, 270.0))):
        box = (corner if corner == x else corner - 200, y, 200.0, 200.0)
        sheet.board(
            [(corner, y - 26), (corner, y + 100), *ellipse(*box, *arc), (x + w / 2, y - 26)],
            look.inside,
            upright=True,
            ink=0,
        )
        sheet.line(ellipse(*box, *arc), width=2.0)
    scale = rectangle(x + w * 0.3, y + h * 0.645, w * 0.4, h * 0.07)
    sheet.fill(scale, (214, 194, 140))
    sheet.line(scale, width=2, closed=True)
    sheet.line([within(scale, 0.6, 0), within(scale, 0.6, 1)], (176, 58, 44), 2.2)
    for i in range(4):
        pull(sheet, "knob", (x + w * (0.26 + i * 0.16), y + h * 0.82), (92, 60, 40), 1.3)


def side_table(sheet: Sheet, look: Look) -> None:
    """A round table on three leaning legs."""
    x, y, w = 380.0, 330.0, 440.0
    standing(sheet, (x + 60, y, w - 120, GROUND - y))
    turned(sheet, (x + w / 2, y + 40), (x + w / 2, GROUND - 34), 15, look.case, shade=0.68)
    for side, foot in ((0.24, 0.12), (0.76, 0.88)):
        turned(sheet, (x + w * side, y + 40), (x + w * foot, GROUND), 17, look.case)
    skirt = [
        (x + 62, y + 18),
        (x + w - 62, y + 18),
        *curve((x + w - 66, y + 74), (x + w / 2, y + 92), (x + 66, y + 74)),
    ]
    sheet.board(skirt, look.case)
    sheet.glow(rectangle(x + 62, y + 26, w - 124, 18), NIGHT, 0.4, 8)
    sheet.board(ellipse(x, y - 34, w, 84), look.top, shade=0.78)
    sheet.board(ellipse(x, y - 48, w, 84), look.top, shade=1.06)
    sheet.glow(ellipse(x + 90, y - 32, 150, 26), PALE, 0.3, 12)


def step_stool(sheet: Sheet, look: Look) -> None:
    """Two steps between two sides."""
    x, y, w = 400.0, 384.0, 396.0
    standing(sheet, (x, y, w, GROUND - y))
    for side in (x + 14, x + w - 46):
        sheet.board(rectangle(side, y, 32, GROUND - y), look.case, upright=True, shade=0.9)
    for top, high in ((24, 160), (232, 120)):
        sheet.fill(rectangle(x + 46, y + top, w - 92, high), NIGHT, 0.34)
    sheet.board(rectangle(x + 46, y + 132, w - 92, 46), look.case, shade=0.74)
    for side in (x - 4, x + w - 30):
        sheet.board(rectangle(side, y + 206, 34, GROUND - y - 206), look.case, upright=True)
    solid(sheet, (x, y, w, 24), look.top)
    solid(sheet, (x - 18, y + 190, w + 36, 26), look.top, deep=1.9)
    sheet.line([(x + 250, y + 190), (x + 258, y + 154)], NIGHT, 2.4, alpha=0.7)  # the saw cut


def mirror(sheet: Sheet, look: Look) -> None:
    """An oval mirror, hung on the wall."""
    x, y, w, h = 228.0, 226.0, 444.0, 610.0
    sheet.glow(ellipse(x + 34, y + 26, w, h), NIGHT, 0.4, 24)
    sheet.board(ellipse(x, y, w, h), look.case, upright=True)
    sheet.line(ellipse(x + 8, y + 8, w - 16, h - 16, 150, 300), PALE, 3, alpha=0.45)
    glass = ellipse(x + 52, y + 52, w - 104, h - 104)
    sheet.fill(glass, (188, 200, 202))
    for at, alpha in ((120, 0.55), (204, 0.4)):
        gleam = [(x + at, y + 130), (x + at + 52, y + 110), (x + at, y + h - 150), (x + at - 30, y + h - 190)]
        sheet.glow(gleam, (246, 248, 244), alpha, 10)
    for _ in range(11):
        r = sheet.rng.uniform(3, 12)
        sheet.oval(
            (x + sheet.rng.uniform(150, 300), y + h - sheet.rng.uniform(90, 140), r, r * 0.8), (112, 118, 118), 0.75
        )
    sheet.line(glass, width=2.2)


def chair(sheet: Sheet, look: Look, *, rocker: bool = False) -> None:
    """A wooden chair, spindles or, on a rocker, slats at its back; on a sheet that is higher than wide."""
    x, seat, wood = 262.0, 700.0, look.case
    foot = LOW - (40 if rocker else 0)
    top = 210 if rocker else 316
    standing(sheet, (x + 10, seat, 370, LOW - seat - 4))
    for at, lean in ((96, -18.0), (268, 18.0)):
        leg(sheet, (x + at, seat + 10, 24, foot - seat - 44), wood, lean=lean, shade=0.7)
    sheet.board(rectangle(x + 80, seat + 190, 220, 12), wood, shade=0.75)
    for head, low in ((34, 62), (326, 298)):
        post = [(x + head - 11, top), (x + head + 11, top), (x + low + 12, seat), (x + low - 12, seat)]
        if rocker:
            sheet.board(ellipse(x + head - 11, top - 34, 22, 38), wood, upright=True)
        sheet.board(post, wood, upright=True)
    if rocker:
        for i in range(4):
            y, wide, left = top + 24 + i * 108, 284 - i * 14, x + 40 + i * 7
            slat = [*curve((left, y + 20), (left + wide / 2, y - 14), (left + wide, y + 20)), (left + wide, y + 64)]
            sheet.board([*slat, *curve((left + wide, y + 64), (left + wide / 2, y + 44), (left, y + 64))], wood)
    else:
        for i in range(5):
            turned(sheet, (x + 86 + i * 47, top), (x + 104 + i * 38, seat), 9, wood)
        crest = [
            *curve(
                (x + 8, top + 40), (x + 12, top - 64), (x + 180, top - 62), (x + 348, top - 64), (x + 352, top + 40)
            ),
            *curve((x + 352, top + 40), (x + 180, top), (x + 8, top + 40)),
        ]
        sheet.board(crest, wood)
    for at, lean in ((30, 0.0 if rocker else -26.0), (306, 0.0 if rocker else 26.0)):
        leg(
            sheet,
            (x + at, seat - (150 if rocker else -20), 26, foot - seat + (150 if rocker else -20)),
            wood,
            lean=lean,
        )
    for down in (110, 196) if rocker else (196,):
        sheet.board(rectangle(x + 34, seat + down, 292, 15), wood)
    quad = [(x + 52, seat - 40), (x + 308, seat - 40), (x + 356, seat + 16), (x + 4, seat + 16)]
    sheet.board(quad, look.top, shade=1.05)
    if look.cover:
        covered(
            sheet,
            [within(quad, u, v) for u, v in ((0.1, 0.06), (0.9, 0.06), (0.93, 0.94), (0.07, 0.94))],
            look.cover,
            26,
        )
    sheet.board(rectangle(x + 4, seat + 16, 352, 26), look.top)
    sheet.line([(x + 6, seat + 18), (x + 354, seat + 18)], PALE, 2, alpha=0.4)
    if rocker:
        for left, edge in ((x + 4, -1), (x + 316, 1)):
            arm = [
                *curve((left, seat - 160), (left + 20, seat - 182), (left + 44, seat - 160)),
                (left + 44 - 8 * edge, seat - 142),
                (left, seat - 142),
            ]
            sheet.board(arm, wood, shade=1.06)
        for left in (x - 4, x + 300):
            runner = [
                *curve((left - 46, LOW - 52), (left + 20, LOW + 22), (left + 84, LOW - 44)),
                *curve((left + 84, LOW - 60), (left + 20, LOW - 4), (left - 46, LOW - 70)),
            ]
            sheet.board(runner, wood)


def built(of: Case) -> Builder:
    """The builder of a plain case piece."""
    return partial(case, of=of)
