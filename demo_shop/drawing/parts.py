"""What furniture is made of: boxes, fronts, legs, pulls, and what is woven or printed."""

from dataclasses import dataclass
from typing import Literal

from drawing.sheet import NIGHT, PALE, Box, Colour, Finish, Point, Quad, Sheet, curve, ellipse, mixed, rectangle, within

Pull = Literal["knob", "ring", "drop", "holes", "none"]
Cover = Literal["rush", "cane", "grass", "leaves"]
RAW = Finish(light=(228, 198, 154), dark=(204, 168, 122))
BRASS: Colour = (196, 156, 88)


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """One piece at one moment: what covers it, what it is pulled by, and which of its marks show."""

    case: Finish
    top: Finish
    fronts: Finish
    inside: Finish = RAW
    pull: Pull = "none"
    metal: Colour = BRASS
    lost: frozenset[int] = frozenset()  # pulls that are gone, counted from the top left
    cover: Cover | Finish | None = None  # what a seat, a door or a back is covered with
    opened: bool = False


def solid(sheet: Sheet, box: Box, finish: Finish, *, deep: float = 1.0, upright: bool = False) -> None:
    """A box of boards, seen from in front and a little above."""
    x, y, w, h = box
    up, inset = 24 * deep, 18 * deep
    sheet.board([(x, y), (x + w, y), (x + w - inset, y - up), (x + inset, y - up)], finish, shade=1.1)
    shine = [(x + w * 0.15, y), (x + w * 0.45, y), (x + w * 0.52, y - up), (x + w * 0.3, y - up)]
    sheet.glow(shine, PALE, 0.35, 8)
    sheet.board(rectangle(x, y, w, h), finish, upright=upright)
    sheet.glow(rectangle(x + w * 0.88, y, w * 0.12, h), NIGHT, 0.16, 26)


def front(sheet: Sheet, box: Box, finish: Finish, *, upright: bool = False) -> None:
    """A drawer front or a door, set in its opening."""
    x, y, w, h = box
    sheet.fill(rectangle(x - 3, y - 3, w + 6, h + 6), mixed(finish.paint or finish.dark, NIGHT, 0.72))
    sheet.board(rectangle(x, y, w, h), finish, upright=upright)
    sheet.line([(x + 2, y + h - 2), (x + 2, y + 2), (x + w - 2, y + 2)], PALE, 1.6, alpha=0.4)
    sheet.line([(x + 2, y + h - 2), (x + w - 2, y + h - 2), (x + w - 2, y + 2)], NIGHT, 1.8, alpha=0.3)


def hollow(sheet: Sheet, box: Box, back: Finish) -> None:
    """An opening, dark toward its top and its sides."""
    x, y, w, h = box
    sheet.board(rectangle(x, y, w, h), back, upright=True, shade=0.86)
    sheet.glow(rectangle(x, y, w, 26), NIGHT, 0.5, 14)
    sheet.glow(rectangle(x, y, 16, h), NIGHT, 0.35, 16)
    sheet.glow(rectangle(x + w - 14, y, 14, h), NIGHT, 0.2, 14)


def leg(sheet: Sheet, box: Box, finish: Finish, *, foot: float = 0.55, lean: float = 0.0, shade: float = 1.0) -> None:
    """A leg that tapers to `foot` of its width and goes `lean` sideways."""
    x, y, w, h = box
    thin = w * (1 - foot) / 2
    outline = [(x, y), (x + w, y), (x + w - thin + lean, y + h), (x + thin + lean, y + h)]
    sheet.board(outline, finish, upright=True, shade=shade)
    sheet.glow([(x + w * 0.6, y), outline[1], outline[2], (x + w * 0.6 + lean, y + h)], NIGHT, 0.22, 4)


# Where a turned leg is thick and thin: a share of its length, and of its radius there.
TURNING = (
    *((0, 1), (0.1, 1), (0.13, 0.62), (0.17, 0.62), (0.2, 1.05), (0.26, 1.05), (0.3, 0.6), (0.5, 0.95)),
    *((0.72, 0.7), (0.88, 0.5), (0.9, 0.85), (0.94, 0.85), (0.97, 0.5), (1, 0.5)),
)


def turned(sheet: Sheet, head: Point, foot: Point, r: float, finish: Finish, *, shade: float = 1.0) -> None:
    """A turned leg or post of radius `r` from its head to its foot."""
    (x, y), (fx, fy) = head, foot

    def at(t: float, k: float) -> Point:
        return x + (fx - x) * t + r * k, y + (fy - y) * t

    sheet.board(
        [*(at(t, -k) for t, k in TURNING), *(at(t, k) for t, k in reversed(TURNING))], finish, upright=True, shade=shade
    )
    sheet.glow([at(0.02, 0.3), at(0.02, 1), at(0.97, 0.6), at(0.97, 0.2)], NIGHT, 0.28, 4)
    for t, k in TURNING[2:12:3]:
        sheet.line([at(t, -k), at(t, k)], NIGHT, 1.0, alpha=0.3)


def pull(sheet: Sheet, kind: Pull, middle: Point, metal: Colour, s: float = 1.0) -> None:
    """Fit one pull; `s` is 1 on a drawer of ordinary size."""
    x, y = middle
    dark, bright = mixed(metal, NIGHT, 0.55), mixed(metal, PALE, 0.45)
    match kind:
        case "knob":
            sheet.glow(ellipse(x - 10 * s, y - 7 * s, 28 * s, 28 * s), NIGHT, 0.5, 5 * s)
            sheet.oval((x - 13 * s, y - 13 * s, 26 * s, 26 * s), dark)
            sheet.oval((x - 12 * s, y - 12 * s, 24 * s, 24 * s), metal)
            sheet.glow(ellipse(x - 2 * s, y, 13 * s, 11 * s), dark, 0.5, 4 * s)
            sheet.line(ellipse(x - 8 * s, y - 8 * s, 16 * s, 16 * s), dark, 0.6 * s, alpha=0.5)
            sheet.glow(ellipse(x - 7 * s, y - 8 * s, 8 * s, 6 * s), PALE, 0.85, 2.4 * s)
        case "ring":
            sheet.glow(ellipse(x - 12 * s, y - 4 * s, 32 * s, 36 * s), NIGHT, 0.35, 6 * s)
            sheet.oval((x - 10 * s, y - 14 * s, 20 * s, 20 * s), metal)
            loop = ellipse(x - 14 * s, y - 4 * s, 28 * s, 30 * s)
            sheet.line(loop, dark, 5.4 * s)
            sheet.line(loop, mixed(metal, PALE, 0.08), 3.6 * s)
            sheet.line(loop[26:44], bright, 1.2 * s)
            sheet.oval((x - 5 * s, y - 9 * s, 10 * s, 10 * s), mixed(metal, PALE, 0.15))
        case "drop":
            plate = [
                *curve((x - 24 * s, y - 6 * s), (x, y - 24 * s), (x + 24 * s, y - 6 * s)),
                *curve((x + 24 * s, y - 6 * s), (x, y + 12 * s), (x - 24 * s, y - 6 * s)),
            ]
            sheet.glow([(px + 3 * s, py + 5 * s) for px, py in plate], NIGHT, 0.45, 4 * s)
            sheet.fill(plate, mixed(metal, NIGHT, 0.1))
            sheet.line(plate, dark, 0.6 + 0.3 * s)
            bail = curve(
                (x - 15 * s, y - 5 * s), (x - 18 * s, y + 30 * s), (x + 18 * s, y + 30 * s), (x + 15 * s, y - 5 * s)
            )
            sheet.line(bail, dark, 4.6 * s)
            sheet.line(bail, mixed(metal, PALE, 0.2), 2.8 * s)
            for side in (-15, 15):
                sheet.oval((x + (side - 4) * s, y - 9 * s, 8 * s, 8 * s), bright)
        case "holes":
            for side in (-16, 16):
                sheet.oval((x + (side - 3) * s, y - 3 * s, 6 * s, 6 * s), NIGHT, 0.9)
        case "none":
            pass


def strand(sheet: Sheet, path: list[Point], tone: Colour, wide: float) -> None:
    """One strand, with its shade and its shine."""
    sheet.line([(x + wide * 0.2, y + wide * 0.3) for x, y in path], NIGHT, wide, alpha=0.3)
    sheet.line(path, mixed(tone, NIGHT, 0.28), wide)
    sheet.line(path, mixed(tone, PALE, sheet.rng.uniform(0.0, 0.3)), wide * 0.8)


def covered(sheet: Sheet, quad: Quad, cover: Cover | Finish, count: int) -> None:
    """What covers a seat, a door or a back: woven of about `count` strands, printed with leaves, or boards."""
    wide = (quad[1][0] - quad[0][0]) / count
    if isinstance(cover, Finish):
        sheet.board(quad, cover, upright=True)
        return
    sheet.fill(quad, (232, 226, 208) if cover == "leaves" else (96, 76, 56))

    def across(ax: float, ay: float, bx: float, by: float, tone: Colour, part: float) -> None:
        strand(sheet, [within(quad, ax, ay), within(quad, bx, by)], tone, wide * part)

    steps = [(i + 0.5) / count for i in range(count)]
    tones: list[Colour] = [(214, 186, 132), (202, 172, 116), (226, 200, 150), (190, 164, 112)]
    match cover:
        case "grass":
            for t in steps:
                across(
                    t, 0, t + sheet.rng.uniform(-0.004, 0.004), 1, sheet.rng.choice(tones), sheet.rng.uniform(0.8, 1.3)
                )
        case "rush":  # from each rail to the seam that runs in from the corner
            for t in steps:
                reach = min(t, 1 - t)
                across(t, 0, t, reach, sheet.rng.choice(tones), 1.1)
                across(t, 1, t, 1 - reach, sheet.rng.choice(tones), 1.1)
                across(0, t, reach, t, sheet.rng.choice(tones), 0.9)
                across(1, t, 1 - reach, t, sheet.rng.choice(tones), 0.9)
        case "cane":  # two passes each way, then both diagonals
            for t in steps:
                for shift in (-0.16, 0.16):
                    at = t + shift / count
                    across(at, 0, at, 1, tones[2], 0.22)
                    across(0, at, 1, at, tones[0], 0.22)
            for i in range(-count, count):
                low, high = max(0.0, i / count), min(1.0, 1 + i / count)
                across(low, low - i / count, high, high - i / count, tones[1], 0.25)
                across(1 - low, low - i / count, 1 - high, high - i / count, tones[2], 0.25)
        case "leaves":
            tall = max(1, round((quad[3][1] - quad[0][1]) / wide))
            for row in range(tall):
                for i in range(count):
                    x, y = within(quad, (i + (0.3 if row % 2 else 0.7)) / count, (row + 0.9) / tall)
                    _leaf(sheet, x, y, wide, (204, 164, 92) if (row + i) % 3 == 0 else (142, 150, 140))


def _leaf(sheet: Sheet, x: float, y: float, s: float, tone: Colour) -> None:
    sheet.line([(x, y), (x + 0.15 * s, y - 0.65 * s)], mixed(tone, NIGHT, 0.2), 0.03 * s)
    for side in (-1, 1):
        tip, root = (x + (0.1 + side * 0.36) * s, y - 0.6 * s), (x + 0.05 * s, y - 0.2 * s)
        up, low = (root[0] + side * 0.1 * s, root[1] - 0.36 * s), (root[0] + side * 0.36 * s, root[1] - 0.03 * s)
        sheet.fill([*curve(root, up, tip), *curve(tip, low, root)], tone)
