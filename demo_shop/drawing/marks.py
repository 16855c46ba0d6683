"""What a piece has come to, put on it when it is drawn: rings, worn places, holes, and the tool at work on it."""

from drawing.sheet import NIGHT, PALE, Box, Colour, Finish, Point, Sheet, curve, ellipse, mixed, rectangle

STEEL: Colour = (176, 178, 178)


def rings(sheet: Sheet, tone: Colour, *middles: Point, flat: float = 0.27) -> None:
    """The rings that cups and cans leave; `flat` is how a round one looks from the front."""
    for x, y in middles:
        start = sheet.rng.uniform(0, 360)
        sheet.line(ellipse(x - 28, y - 28 * flat, 56, 56 * flat, start, start + 320), tone, 2.6, alpha=0.7)


def patch(sheet: Sheet, box: Box, tone: Colour, alpha: float = 0.9, ragged: float = 0.12) -> None:
    """A place of another colour with an uneven edge: sanded through, filled, worn or bled."""
    x, y, w, h = box
    edge = [
        (px + sheet.rng.uniform(-ragged, ragged) * w, py + sheet.rng.uniform(-ragged, ragged) * h)
        for px, py in ellipse(x, y, w, h)[::3]
    ]
    sheet.glow(edge, tone, alpha, 2)
    sheet.glow(
        [(x + (px - x) * 0.7 + w * 0.15, y + (py - y) * 0.7 + h * 0.15) for px, py in edge],
        mixed(tone, PALE, 0.2),
        alpha,
        2,
    )


def specks(sheet: Sheet, box: Box, tone: Colour, count: int, r: float) -> None:
    """Holes, drops or crumbs, strewn in a box."""
    x, y, w, h = box
    for _ in range(count):
        size = sheet.rng.uniform(0.6, 1.2) * r
        sheet.oval((x + sheet.rng.uniform(0, w), y + sheet.rng.uniform(0, h), size, size * 0.9), tone)


def lines(sheet: Sheet, tone: Colour, width: float, *paths: tuple[Point, ...]) -> None:
    """Wire, cord, or a scratch."""
    for path in paths:
        sheet.line(path, NIGHT, width * 1.5, alpha=0.35)
        sheet.line(path, tone, width)


def bled(sheet: Sheet, box: Box) -> None:
    """Pink that has come through a white primer."""
    x, y, w, h = box
    for _ in range(60):
        blush = (
            x + sheet.rng.uniform(0, w - 40),
            y + sheet.rng.uniform(0, h),
            sheet.rng.uniform(16, 54),
            sheet.rng.uniform(4, 14),
        )
        sheet.glow(ellipse(*blush), mixed((206, 104, 96), (232, 176, 166), sheet.rng.random()), 0.4, 5)


def worked(sheet: Sheet, box: Box, after: Finish) -> None:
    """The part of a face that the work has got over, its right edge uneven."""
    x, y, w, h = box
    edge = [(x + w + sheet.rng.uniform(-0.07, 0.07) * w, y + h * i / 30) for i in range(31)]
    sheet.board([(x, y), *edge, (x, y + h)], after, ink=0)


def brush(sheet: Sheet, at: Point, paint: Colour, s: float = 1.0) -> None:
    """A brush coming in from the right, loaded at its tip."""
    x, y = at
    hair = [
        (x + 118 * s, y - 66 * s),
        (x + 118 * s, y + 66 * s),
        *curve((x - 20 * s, y + 84 * s), (x - 44 * s, y), (x - 20 * s, y - 84 * s)),
    ]
    wood = [
        *curve(
            (x + 208 * s, y - 58 * s), (x + 320 * s, y - 62 * s), (x + 340 * s, y - 20 * s), (x + 740 * s, y - 24 * s)
        ),
        *curve(
            (x + 740 * s, y + 24 * s), (x + 340 * s, y + 20 * s), (x + 320 * s, y + 62 * s), (x + 208 * s, y + 58 * s)
        ),
    ]
    sheet.glow([(px + 16 * s, py + 28 * s) for px, py in [*hair[:2], *wood, *hair[2:]]], NIGHT, 0.3, 14 * s)
    sheet.fill(hair, (92, 72, 54))
    for i in range(40):
        lift = (i - 20) * 4 * s
        sheet.line(
            [(x - 20 * s, y + lift), (x + 116 * s, y + lift * 0.8)],
            mixed((92, 72, 54), PALE, sheet.rng.uniform(0, 0.4)),
            1.4 * s,
        )
    tip = [
        *curve(
            (x - 20 * s, y - 84 * s),
            (x + 80 * s, y - 60 * s),
            (x + 30 * s, y),
            (x + 80 * s, y + 60 * s),
            (x - 20 * s, y + 84 * s),
        )
    ]
    sheet.fill([*tip, *hair[2:]], paint)
    band = rectangle(x + 116 * s, y - 72 * s, 92 * s, 144 * s)
    sheet.fill(band, STEEL)
    sheet.glow(rectangle(x + 116 * s, y - 62 * s, 92 * s, 34 * s), PALE, 0.8, 10 * s)
    sheet.glow(rectangle(x + 116 * s, y + 30 * s, 92 * s, 44 * s), (70, 70, 72), 0.6, 12 * s)
    sheet.line(band, width=2 * s, closed=True)
    sheet.board(wood, Finish(light=(206, 148, 92), dark=(176, 116, 66)))


def block(sheet: Sheet, at: Point, s: float = 1.0) -> None:
    """A sanding block, wet, with the drops round it."""
    x, y = at
    top = [(x, y), (x + 170 * s, y - 34 * s), (x + 196 * s, y + 62 * s), (x + 24 * s, y + 104 * s)]
    sheet.glow([(px + 8 * s, py + 34 * s) for px, py in top], NIGHT, 0.5, 12 * s)
    sheet.fill([(px, py + 22 * s) for px, py in top], (86, 74, 64))
    sheet.board(
        [top[3], top[2], (x + 196 * s, y + 80 * s), (x + 24 * s, y + 122 * s)],
        Finish(light=(196, 156, 104), dark=(168, 126, 78)),
        shade=0.8,
    )
    sheet.board(top, Finish(light=(206, 168, 116), dark=(180, 138, 88)))
    specks(sheet, (x - 250 * s, y - 60 * s, 560 * s, 230 * s), (226, 232, 232), 40, 7 * s)
