"""Pulls and knobs, at any size: small on a drawer, large in a picture of their own."""

from typing import Literal

from drawing.sheet import Colour, Point, Sheet, curve, ellipse, mixed, rectangle

Pull = Literal["bin", "knob", "ring", "drop", "bar", "holes", "none"]

BRASS: Colour = (196, 156, 88)
OLD_BRASS: Colour = (126, 104, 70)
IRON: Colour = (58, 56, 58)
MAPLE: Colour = (214, 172, 118)
PALE: Colour = (255, 246, 222)
NIGHT: Colour = (30, 22, 18)


def pull(sheet: Sheet, kind: Pull, middle: Point, s: float, metal: Colour) -> None:
    """Fit one pull; `s` is 1 on a drawer of ordinary size."""
    x, y = middle
    match kind:
        case "bin":
            _bin(sheet, x, y, s, metal)
        case "knob":
            _knob(sheet, x, y, s, metal)
        case "ring":
            _ring(sheet, x, y, s, metal)
        case "drop":
            _drop(sheet, x, y, s, metal)
        case "bar":
            _bar(sheet, x, y, s, metal)
        case "holes":
            for side in (-1, 1):
                sheet.oval((x + side * 16 * s - 3 * s, y - 3 * s, 6 * s, 6 * s), NIGHT, 0.9)
        case "none":
            pass


def _bin(sheet: Sheet, x: float, y: float, s: float, metal: Colour) -> None:
    cup = [
        *ellipse(x - 30 * s, y - 18 * s, 60 * s, 46 * s, 180, 360),
        (x + 30 * s, y + 10 * s),
        *curve((x + 30 * s, y + 10 * s), (x, y + 17 * s), (x - 30 * s, y + 10 * s)),
    ]
    sheet.glow([(px + 4 * s, py + 7 * s) for px, py in cup], NIGHT, 0.5, 5 * s)
    for side in (-1, 1):
        lug = ellipse(x + side * 32 * s - 8 * s, y - 6 * s, 16 * s, 14 * s)
        sheet.fill(lug, mixed(metal, NIGHT, 0.12))
        sheet.line(lug, mixed(metal, NIGHT, 0.65), 0.5 + 0.5 * s, closed=True)
        sheet.oval((x + side * 34 * s - 2.5 * s, y - 1.5 * s, 5 * s, 5 * s), mixed(metal, NIGHT, 0.5))
    sheet.fill(cup, metal)
    sheet.glow(ellipse(x - 24 * s, y - 1 * s, 48 * s, 12 * s), mixed(metal, NIGHT, 0.7), 0.55, 5 * s)
    sheet.glow(ellipse(x - 20 * s, y - 14 * s, 26 * s, 7 * s), PALE, 0.85, 3.4 * s)
    sheet.line(cup, mixed(metal, NIGHT, 0.65), 0.6 + 0.5 * s, closed=True)
    lip = curve((x - 30 * s, y + 10 * s), (x, y + 17 * s), (x + 30 * s, y + 10 * s))
    sheet.line(lip, mixed(metal, PALE, 0.45), 1.2 * s)


def _knob(sheet: Sheet, x: float, y: float, s: float, metal: Colour) -> None:
    sheet.glow(ellipse(x - 10 * s, y - 7 * s, 28 * s, 28 * s), NIGHT, 0.5, 5 * s)
    sheet.oval((x - 13 * s, y - 13 * s, 26 * s, 26 * s), mixed(metal, NIGHT, 0.55))
    sheet.oval((x - 12 * s, y - 12 * s, 24 * s, 24 * s), metal)
    sheet.glow(ellipse(x - 2 * s, y, 13 * s, 11 * s), mixed(metal, NIGHT, 0.6), 0.5, 4 * s)
    sheet.line(
        ellipse(x - 8 * s, y - 8 * s, 16 * s, 16 * s),
        mixed(metal, NIGHT, 0.35),
        0.6 * s,
        closed=True,
        alpha=0.7,
    )
    sheet.glow(ellipse(x - 7 * s, y - 8 * s, 8 * s, 6 * s), PALE, 0.85, 2.4 * s)


def _ring(sheet: Sheet, x: float, y: float, s: float, metal: Colour) -> None:
    sheet.glow(ellipse(x - 12 * s, y - 4 * s, 32 * s, 36 * s), NIGHT, 0.35, 6 * s)
    sheet.oval((x - 11 * s, y - 15 * s, 22 * s, 22 * s), mixed(metal, NIGHT, 0.4))
    sheet.oval((x - 9.5 * s, y - 13.5 * s, 19 * s, 19 * s), metal)
    ring = ellipse(x - 14 * s, y - 4 * s, 28 * s, 30 * s)
    sheet.line(ring, mixed(metal, NIGHT, 0.5), 5.4 * s, closed=True)
    sheet.line(ring, mixed(metal, PALE, 0.08), 3.6 * s, closed=True)
    sheet.line(ellipse(x - 14 * s, y - 4 * s, 28 * s, 30 * s, 110, 215), mixed(metal, PALE, 0.55), 1.2 * s)
    sheet.oval((x - 5 * s, y - 9 * s, 10 * s, 10 * s), mixed(metal, PALE, 0.15))
    sheet.glow(ellipse(x - 4 * s, y - 8 * s, 4 * s, 4 * s), PALE, 0.8, 1.4 * s)


def _drop(sheet: Sheet, x: float, y: float, s: float, metal: Colour) -> None:
    plate = [
        *curve((x - 24 * s, y - 6 * s), (x - 12 * s, y - 16 * s), (x, y - 14 * s)),
        *curve((x, y - 14 * s), (x + 12 * s, y - 16 * s), (x + 24 * s, y - 6 * s)),
        *curve((x + 24 * s, y - 6 * s), (x + 10 * s, y + 6 * s), (x, y + 5 * s)),
        *curve((x, y + 5 * s), (x - 10 * s, y + 6 * s), (x - 24 * s, y - 6 * s)),
    ]
    sheet.glow([(px + 3 * s, py + 5 * s) for px, py in plate], NIGHT, 0.45, 4 * s)
    sheet.fill(plate, mixed(metal, NIGHT, 0.1))
    sheet.line(plate, mixed(metal, NIGHT, 0.6), 0.6 + 0.3 * s, closed=True)
    bail = curve(
        (x - 15 * s, y - 5 * s),
        (x - 17 * s, y + 19 * s),
        (x, y + 17 * s),
        (x + 17 * s, y + 19 * s),
        (x + 15 * s, y - 5 * s),
    )
    sheet.line([(px + 2 * s, py + 4 * s) for px, py in bail], NIGHT, 3.6 * s, alpha=0.3)
    sheet.line(bail, mixed(metal, NIGHT, 0.5), 4.6 * s)
    sheet.line(bail, mixed(metal, PALE, 0.2), 2.8 * s)
    for side in (-1, 1):
        sheet.oval((x + side * 15 * s - 4 * s, y - 9 * s, 8 * s, 8 * s), mixed(metal, PALE, 0.3))


def _bar(sheet: Sheet, x: float, y: float, s: float, metal: Colour) -> None:
    sheet.glow(rectangle(x - 34 * s, y + 2 * s, 70 * s, 10 * s), NIGHT, 0.45, 5 * s)
    sheet.fill(rectangle(x - 34 * s, y - 5 * s, 68 * s, 10 * s), metal)
    sheet.line([(x - 34 * s, y - 3 * s), (x + 34 * s, y - 3 * s)], mixed(metal, PALE, 0.5), 1.4 * s)
    sheet.line(
        rectangle(x - 34 * s, y - 5 * s, 68 * s, 10 * s),
        mixed(metal, NIGHT, 0.6),
        0.6 + 0.3 * s,
        closed=True,
    )
