"""Where the furniture stands: the yard shed before, the bench room during, the house after."""

from random import Random

from drawing.sheet import NIGHT, Box, Colour, Finish, Sheet, curve, ellipse, mixed, noise, rectangle

FLOOR = Finish(light=(201, 171, 134), dark=(176, 141, 104), figure=0.55)
SLATS = Finish(light=(158, 147, 133), dark=(126, 115, 103), figure=0.9)
CONCRETE: Colour = (150, 146, 140)
CANVAS: Colour = (196, 186, 168)
WHITE: Colour = (255, 255, 250)


def house(sheet: Sheet, floor: float, wall: Colour) -> None:
    """A plastered wall, a skirting board, planks and the light of a window from the left."""
    _plaster(sheet, floor, wall)
    w, h = sheet.width, sheet.height
    for x in (w * 0.1, w * 0.255):
        pane = [(x, h * 0.06), (x + w * 0.13, h * 0.02), (x + w * 0.24, floor * 0.74), (x + w * 0.11, floor * 0.78)]
        sheet.glow(pane, (255, 246, 222), 0.42, 10)
    sheet.fill(rectangle(0, floor - 30, w, 30), mixed(wall, WHITE, 0.5))
    sheet.line([(0, floor - 30), (w, floor - 30)], mixed(wall, NIGHT, 0.35), 1.2)
    y, tall = floor, 34.0
    while y < h:
        sheet.board(rectangle(-10, y, w + 20, tall), FLOOR, ink=0)
        sheet.line([(0, y), (w, y)], (128, 96, 70), 1.0, alpha=0.7)
        joint = sheet.rng.uniform(0.1, 0.9) * w
        sheet.line([(joint, y), (joint + (joint - w / 2) * 0.03, y + tall)], (128, 96, 70), 1.0, alpha=0.7)
        y, tall = y + tall, tall * 1.3
    sheet.glow(rectangle(-40, floor - 4, w + 80, 16), (70, 48, 34), 0.35, 12)
    sun = [(w * 0.22, floor + 40), (w * 0.5, floor + 30), (w * 0.66, h), (w * 0.3, h)]
    sheet.glow(sun, (255, 240, 206), 0.2, 26)


def shed(sheet: Sheet, floor: float) -> None:
    """A shed of old boards with a concrete floor, cool and a little dark."""
    w, h = sheet.width, sheet.height
    x = -20.0
    while x < w:
        wide = sheet.rng.uniform(88, 128)
        shade = sheet.rng.uniform(0.94, 1.06)
        sheet.board(rectangle(x, -4, wide, floor + 8), SLATS, upright=True, shade=shade, ink=0)
        sheet.line([(x, 0), (x, floor)], (74, 66, 58), 2.4, alpha=0.75)
        x += wide
    _ground(sheet, floor, CONCRETE)
    for _ in range(3):
        stain = ellipse(sheet.rng.uniform(0, w), sheet.rng.uniform(floor + 40, h), 190, 30)
        sheet.glow(stain, (92, 86, 80), 0.4, 14)
    sheet.glow(rectangle(-60, floor - 14, w + 120, 30), NIGHT, 0.45, 18)


def bench_room(sheet: Sheet, floor: float) -> None:
    """The shop: a pale wall, and a floor of canvas with drops of paint on it."""
    _plaster(sheet, floor, (206, 207, 198))
    w, h = sheet.width, sheet.height
    _ground(sheet, floor, CANVAS)
    for _ in range(36):
        r = sheet.rng.uniform(2, 6)
        tint = sheet.rng.choice([(122, 138, 132), (92, 110, 134), (176, 120, 92), (236, 232, 222)])
        sheet.oval((sheet.rng.uniform(0, w), sheet.rng.uniform(floor + 20, h), r * 2, r), tint, 0.7)


def _plaster(sheet: Sheet, floor: float, wall: Colour) -> None:
    clouds = noise(sheet.image.size, (700, 500), Random(7))
    sheet.image.paste(wall, (0, 0, *sheet.image.size))
    sheet.image.paste(mixed(wall, WHITE, 0.35), (0, 0, *sheet.image.size), clouds.point([v // 2 for v in range(256)]))
    sheet.glow(rectangle(-80, floor - 90, sheet.width + 160, 90), mixed(wall, NIGHT, 0.4), 0.16, 60)


def _ground(sheet: Sheet, floor: float, colour: Colour) -> None:
    sheet.fill(rectangle(0, floor, sheet.width, sheet.height - floor), colour)
    sheet.glow(rectangle(-60, floor + 90, sheet.width + 120, sheet.height), mixed(colour, WHITE, 0.5), 0.35, 60)
    sheet.line([(0, floor), (sheet.width, floor)], mixed(colour, NIGHT, 0.5), 2.0)


def standing(sheet: Sheet, box: Box) -> None:
    """The shade that a piece of this outline throws on the wall behind it, on the floor and to its right."""
    x, y, w, h = box
    foot = y + h
    sheet.glow(rectangle(x + 34, y + 16, w + 8, h - 40), (70, 54, 46), 0.24, 26)
    low = [(x - 6, foot - 10), (x + w, foot - 12), (x + w + 90, foot + 4), (x + w + 60, foot + 26), (x + 10, foot + 16)]
    sheet.glow(low, NIGHT, 0.5, 18)
    sheet.glow(rectangle(x, foot - 6, w, 13), NIGHT, 0.55, 6)


def vase(sheet: Sheet, x: float, base: float, clay: Colour, s: float = 1.0) -> None:
    """A jar with a few stems, `s` times as large as on a low chest."""
    leaf: Colour = (122, 138, 104)
    mouth = base - 70 * s
    for lean, tall in ((-46, 150), (-18, 190), (14, 170), (44, 138)):
        tip = (x + lean * s, mouth - tall * s)
        stem = curve((x, mouth + 4 * s), (x + lean * 0.2 * s, mouth - tall * 0.5 * s), tip)
        sheet.line(stem, mixed(leaf, NIGHT, 0.3), 1.8 * s)
        for i in range(5, 17, 2):
            px, py = stem[i]
            side = s if i % 4 == 1 else -s
            end = (px + side * 22, py - 13 * s)
            blade = [
                *curve((px, py), (px + side * 6, py - 15 * s), end),
                *curve(end, (px + side * 15, py + s), (px, py)),
            ]
            sheet.fill(blade, mixed(leaf, (232, 228, 196), 0.05 * (i - 5)))
    body = [
        *curve((x - 13 * s, mouth), (x - 44 * s, base - 44 * s), (x - 20 * s, base)),
        *curve((x + 20 * s, base), (x + 44 * s, base - 44 * s), (x + 13 * s, mouth)),
    ]
    sheet.glow([(px + 14 * s, py + 2) for px, py in body], NIGHT, 0.25, 8 * s)
    sheet.fill(body, clay)
    sheet.glow(ellipse(x - 26 * s, base - 56 * s, 15 * s, 36 * s), WHITE, 0.5, 7 * s)
    sheet.glow(ellipse(x + 6 * s, base - 52 * s, 24 * s, 50 * s), mixed(clay, NIGHT, 0.6), 0.4, 8 * s)
    sheet.line(body, mixed(clay, NIGHT, 0.6), 1.4, closed=True)


def books(sheet: Sheet, x: float, base: float, *covers: Colour) -> None:
    """A few books lying on one another."""
    y = base
    for i, cover in enumerate(covers):
        left, w, tall = x + 5 * i, 100 - 9 * i, 15 + 4 * (i % 2)
        y -= tall
        sheet.fill(rectangle(left, y, w, tall), cover)
        sheet.fill(rectangle(left, y + tall * 0.7, w, tall * 0.3), mixed(cover, NIGHT, 0.22))
        for band in (0.1, 0.16, 0.84):
            sheet.fill(rectangle(left + w * band, y, 3, tall), mixed(cover, (250, 236, 200), 0.6))
        sheet.line(rectangle(left, y, w, tall), mixed(cover, NIGHT, 0.6), 1.2, closed=True)


def can(sheet: Sheet, x: float, base: float, colour: Colour) -> None:
    """An open tin with a run of paint down its side."""
    sheet.glow(ellipse(x, base - 8, 92, 20), NIGHT, 0.45, 8)
    sheet.fill([(x, base - 74), (x + 76, base - 74), *ellipse(x, base - 14, 76, 14, 0, 180)], (176, 178, 176))
    sheet.fill(rectangle(x, base - 54, 76, 36), (226, 220, 206))
    sheet.fill(rectangle(x + 12, base - 44, 52, 16), colour)
    sheet.glow(rectangle(x + 54, base - 72, 22, 66), (60, 60, 60), 0.35, 8)
    sheet.oval((x, base - 82, 76, 16), (120, 122, 120))
    sheet.oval((x + 4, base - 80, 68, 12), colour)
    sheet.fill(curve((x + 14, base - 72), (x + 19, base - 10), (x + 24, base - 72)), colour)
