"""Where the furniture stands: the yard shed before, the bench room during, the house after."""

from random import Random

from drawing.sheet import Colour, Finish, Point, Sheet, curve, ellipse, mixed, noise, rectangle

FLOOR = Finish(light=(201, 171, 134), dark=(176, 141, 104), figure=0.55)
SLATS = Finish(light=(158, 147, 133), dark=(126, 115, 103), figure=0.9)
CONCRETE: Colour = (150, 146, 140)
CANVAS: Colour = (214, 204, 184)


def house(sheet: Sheet, floor: float, wall: Colour) -> None:
    """A plastered wall, a skirting board, planks and the light of a window from the left."""
    _plaster(sheet, floor, wall)
    w, h = sheet.width, sheet.height
    for shift in (0.0, 0.155):
        x = w * (0.1 + shift)
        pane = [
            (x, h * 0.06),
            (x + w * 0.13, h * 0.02),
            (x + w * 0.24, floor * 0.74),
            (x + w * 0.11, floor * 0.78),
        ]
        sheet.glow(pane, (255, 246, 222), 0.42, 10)
    sheet.fill(rectangle(0, floor - 30, w, 30), mixed(wall, (255, 255, 255), 0.5))
    sheet.line([(0, floor - 30), (w, floor - 30)], mixed(wall, (60, 50, 44), 0.45), 1.2)
    y, tall = floor, 34.0
    while y < h:
        sheet.board(rectangle(-10, y, w + 20, tall), FLOOR, ink=0)
        sheet.line([(0, y), (w, y)], (128, 96, 70), 1.0, alpha=0.7)
        joint = sheet.rng.uniform(0.1, 0.9) * w
        sheet.line([(joint, y), (joint + (joint - w / 2) * 0.03, y + tall)], (128, 96, 70), 1.0, alpha=0.7)
        y, tall = y + tall, tall * 1.3
    sheet.glow(rectangle(-40, floor - 4, w + 80, 16), (70, 48, 34), 0.35, 12)
    sheet.glow(
        [(w * 0.22, floor + 40), (w * 0.5, floor + 30), (w * 0.66, h), (w * 0.3, h)],
        (255, 240, 206),
        0.2,
        26,
    )


def shed(sheet: Sheet, floor: float) -> None:
    """A shed of old boards with a concrete floor, cool and a little dark."""
    w, h = sheet.width, sheet.height
    x = -20.0
    while x < w:
        wide = sheet.rng.uniform(88, 128)
        sheet.board(
            rectangle(x, -4, wide, floor + 8),
            SLATS,
            upright=True,
            shade=sheet.rng.uniform(0.94, 1.06),
            ink=0,
        )
        sheet.line([(x, 0), (x, floor)], (74, 66, 58), 2.4, alpha=0.75)
        x += wide
    _ground(sheet, floor, CONCRETE)
    sheet.line([(0, floor), (w, floor)], (74, 68, 62), 2.0)
    for _ in range(3):
        sx, sy = sheet.rng.uniform(0, w), sheet.rng.uniform(floor + 40, h)
        sheet.glow(ellipse(sx, sy, 190, 30), (92, 86, 80), 0.4, 14)
    sheet.glow(rectangle(-60, floor - 14, w + 120, 30), (40, 34, 30), 0.45, 18)


def bench_room(sheet: Sheet, floor: float) -> None:
    """The shop: a pale wall, a tool rail, and a canvas sheet on the floor."""
    _plaster(sheet, floor, (206, 207, 198))
    w, h = sheet.width, sheet.height
    rail = floor * 0.16
    sheet.board(rectangle(-10, rail, w + 20, 18), Finish(light=(196, 164, 124), dark=(164, 130, 92)))
    for i, x in enumerate(range(int(w * 0.06), int(w * 0.97), 96)):
        _tool(sheet, x, rail + 14, i)
    _ground(sheet, floor, (168, 158, 144))
    sheet.line([(0, floor), (w, floor)], (110, 98, 86), 1.6)
    cloth = [
        (w * 0.05, floor + 26),
        *curve((w * 0.06, floor + 22), (w * 0.5, floor + 40), (w * 0.95, floor + 20)),
        (w * 0.99, h - 30),
        *curve((w * 0.99, h - 26), (w * 0.5, h - 60), (w * 0.01, h - 22)),
    ]
    sheet.glow([(x, y + 7) for x, y in cloth], (60, 50, 40), 0.35, 8)
    sheet.fill(cloth, CANVAS)
    for _ in range(7):
        fx = sheet.rng.uniform(0.08, 0.9) * w
        fy = sheet.rng.uniform(floor + 50, h - 60)
        sheet.line(curve((fx, fy), (fx + 60, fy - 14), (fx + 150, fy + 8)), (176, 164, 142), 2.0, alpha=0.7)
    for _ in range(26):
        fx, fy = sheet.rng.uniform(0.08, 0.92) * w, sheet.rng.uniform(floor + 46, h - 50)
        r = sheet.rng.uniform(2, 6)
        tint = sheet.rng.choice([(122, 138, 132), (92, 110, 134), (176, 120, 92), (236, 232, 222)])
        sheet.oval((fx, fy, r * 2, r), tint, 0.7)


def _plaster(sheet: Sheet, floor: float, wall: Colour) -> None:
    clouds = noise(sheet.image.size, (700, 500), Random(7))
    sheet.image.paste(wall, (0, 0, *sheet.image.size))
    pale = mixed(wall, (255, 255, 250), 0.35)
    sheet.image.paste(pale, (0, 0, *sheet.image.size), clouds.point([v // 2 for v in range(256)]))
    sheet.glow(rectangle(-80, floor - 90, sheet.width + 160, 90), mixed(wall, (60, 46, 40), 0.5), 0.16, 60)


def _ground(sheet: Sheet, floor: float, colour: Colour) -> None:
    sheet.fill(rectangle(0, floor, sheet.width, sheet.height - floor), colour)
    sheet.glow(
        rectangle(-60, floor + 90, sheet.width + 120, sheet.height),
        mixed(colour, (255, 255, 255), 0.5),
        0.35,
        60,
    )


def _tool(sheet: Sheet, x: float, y: float, which: int) -> None:
    """A tool hung from the rail: a scraper, a brush, a clamp or a square."""
    steel, handle = (138, 142, 144), ((168, 104, 72), (92, 108, 116), (196, 158, 104))[which % 3]
    sheet.glow(rectangle(x + 6, y, 16, 120), (90, 86, 78), 0.35, 10)
    sheet.line([(x + 8, y - 6), (x + 8, y + 6)], (90, 80, 70), 2.0)
    kind = which % 4
    if kind == 0:
        sheet.fill(rectangle(x + 2, y + 4, 12, 66), handle)
        sheet.fill([(x + 4, y + 70), (x + 12, y + 70), (x + 24, y + 108), (x - 8, y + 108)], steel)
    elif kind == 1:
        sheet.fill([(x + 3, y), (x + 13, y), (x + 16, y + 60), (x, y + 60)], handle)
        sheet.fill(rectangle(x - 4, y + 58, 24, 20), steel)
        sheet.fill([(x - 4, y + 78), (x + 20, y + 78), (x + 16, y + 112), (x, y + 112)], (108, 88, 66))
    elif kind == 2:
        sheet.line([(x + 8, y), (x + 8, y + 128)], steel, 5)
        sheet.line([(x - 14, y + 14), (x + 8, y + 14)], steel, 8)
        sheet.line([(x - 14, y + 84), (x + 8, y + 84)], steel, 8)
        sheet.fill(rectangle(x - 20, y + 74, 8, 42), handle)
    else:
        sheet.line([(x + 8, y), (x + 8, y + 90)], steel, 6)
        sheet.fill(rectangle(x + 2, y + 80, 52, 12), handle)


def shadow(sheet: Sheet, left: float, right: float, ground: float, depth: float = 0.0) -> None:
    """The soft shade under a piece and the longer one to its right."""
    low: list[Point] = [
        (left - 6, ground - 10),
        (right + depth, ground - 12 - depth * 0.3),
        (right + depth + 90, ground + 4),
        (right + 60, ground + 26),
        (left + 10, ground + 16),
    ]
    sheet.glow(low, (44, 30, 22), 0.5, 18)
    sheet.glow(
        [(left, ground - 6), (right, ground - 6), (right, ground + 7), (left, ground + 7)],
        (30, 20, 16),
        0.55,
        6,
    )


def cast(sheet: Sheet, x: float, y: float, w: float, h: float) -> None:
    """The shade a piece throws on the wall behind it."""
    sheet.glow(rectangle(x + 34, y + 16, w + 8, h), (70, 54, 46), 0.24, 26)


def vase(sheet: Sheet, x: float, base: float, clay: Colour, size: float = 1.0) -> None:
    """A jar with a few stems."""
    s, leaf = size, (122, 138, 104)
    mouth = base - 70 * s
    for lean, tall in ((-46, 150), (-18, 190), (14, 170), (44, 138)):
        stem = curve(
            (x, mouth + 4 * s),
            (x + lean * 0.2 * s, mouth - tall * 0.5 * s),
            (x + lean * s, mouth - tall * s),
        )
        sheet.line(stem, mixed(leaf, (60, 60, 40), 0.3), 1.8 * s)
        for i in range(5, 17, 2):
            px, py = stem[i]
            side = s if i % 4 == 1 else -s
            tip = (px + side * 22, py - 13 * s)
            blade = [
                *curve((px, py), (px + side * 6, py - 15 * s), tip),
                *curve(tip, (px + side * 15, py + s), (px, py)),
            ]
            sheet.fill(blade, mixed(leaf, (232, 228, 196), 0.05 * (i - 5)))
    body = [
        *curve((x - 13 * s, mouth), (x - 44 * s, base - 44 * s), (x - 20 * s, base)),
        *curve((x + 20 * s, base), (x + 44 * s, base - 44 * s), (x + 13 * s, mouth)),
    ]
    sheet.glow([(px + 14 * s, py + 2) for px, py in body], (50, 38, 30), 0.25, 8 * s)
    sheet.fill(body, clay)
    sheet.glow(ellipse(x - 26 * s, base - 56 * s, 15 * s, 36 * s), (255, 250, 238), 0.5, 7 * s)
    sheet.glow(
        ellipse(x + 6 * s, base - 52 * s, 24 * s, 50 * s),
        mixed(clay, (30, 20, 16), 0.6),
        0.4,
        8 * s,
    )
    sheet.line(body, mixed(clay, (40, 28, 22), 0.6), 1.4, closed=True)


def books(sheet: Sheet, x: float, base: float, covers: tuple[Colour, ...], wide: float = 96) -> None:
    """A few books lying on one another."""
    y = base
    for i, cover in enumerate(covers):
        w, tall = wide - 9 * i, 15 + 4 * (i % 2)
        y -= tall
        sheet.fill(rectangle(x + 5 * i, y, w, tall), cover)
        sheet.fill(rectangle(x + 5 * i, y + tall * 0.7, w, tall * 0.3), mixed(cover, (20, 16, 14), 0.22))
        for band in (0.1, 0.16, 0.84):
            sheet.fill(rectangle(x + 5 * i + w * band, y, 3, tall), mixed(cover, (250, 236, 200), 0.6))
        sheet.line(rectangle(x + 5 * i, y, w, tall), mixed(cover, (30, 24, 20), 0.6), 1.2, closed=True)


def picture(sheet: Sheet, x: float, y: float, w: float, h: float) -> None:
    """A small landscape in a frame."""
    sheet.glow(rectangle(x + 10, y + 10, w, h), (70, 54, 46), 0.3, 10)
    sheet.board(rectangle(x, y, w, h), Finish(light=(150, 112, 76), dark=(112, 80, 54)))
    sheet.fill(rectangle(x + 10, y + 10, w - 20, h - 20), (244, 239, 228))
    ix, iy, iw, ih = x + 24, y + 24, w - 48, h - 48
    sheet.fill(rectangle(ix, iy, iw, ih), (205, 214, 212))
    sheet.fill(
        [
            (ix, iy + ih * 0.55),
            *curve((ix, iy + ih * 0.55), (ix + iw * 0.4, iy + ih * 0.3), (ix + iw, iy + ih * 0.6)),
            (ix + iw, iy + ih),
            (ix, iy + ih),
        ],
        (150, 164, 148),
    )
    sheet.fill(
        [
            (ix, iy + ih * 0.8),
            *curve((ix, iy + ih * 0.8), (ix + iw * 0.6, iy + ih * 0.55), (ix + iw, iy + ih * 0.78)),
            (ix + iw, iy + ih),
            (ix, iy + ih),
        ],
        (196, 172, 126),
    )


def paint_can(sheet: Sheet, x: float, base: float, colour: Colour) -> None:
    """An open tin with a run of paint down its side."""
    sheet.glow(ellipse(x, base - 8, 92, 20), (40, 32, 26), 0.45, 8)
    sheet.fill(
        [
            (x, base - 74),
            (x + 76, base - 74),
            (x + 76, base - 6),
            *ellipse(x, base - 14, 76, 14, 0, 180),
            (x, base - 6),
        ],
        (176, 178, 176),
    )
    sheet.fill(rectangle(x, base - 54, 76, 36), (226, 220, 206))
    sheet.fill(rectangle(x + 12, base - 44, 52, 16), colour)
    sheet.glow(rectangle(x + 54, base - 72, 22, 66), (60, 60, 60), 0.35, 8)
    sheet.oval((x, base - 82, 76, 16), (120, 122, 120))
    sheet.oval((x + 4, base - 80, 68, 12), colour)
    sheet.fill(
        [
            (x + 14, base - 70),
            *curve((x + 14, base - 70), (x + 18, base - 20), (x + 24, base - 70)),
        ],
        colour,
    )
