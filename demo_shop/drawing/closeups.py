"""Details, seen from a hand's breadth away: a pull, a joint, a brush, a fault."""

from drawing.hardware import NIGHT, PALE, Pull, pull
from drawing.joinery import front
from drawing.sheet import Colour, Finish, Point, Sheet, curve, ellipse, mixed, rectangle
from drawing.tallcases import leaves

STEEL: Colour = (176, 178, 178)
GLUE: Colour = (198, 160, 100)


def pull_on_front(sheet: Sheet, rail: Finish, face: Finish, kind: Pull, metal: Colour, *, bead: bool = False) -> None:
    """One pull on its drawer front, with the rail above and below."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), rail)
    front(sheet, (-30, 130, w + 60, h - 260), face)
    sheet.glow(rectangle(-40, 126, w + 80, 24), NIGHT, 0.4, 12)
    if bead:
        for y in (158.0, h - 190):
            sheet.board(rectangle(-30, y, w + 60, 26), rail, shade=1.05)
            sheet.line([(0, y + 5), (w, y + 5)], PALE, 3, alpha=0.5)
            sheet.glow(rectangle(-30, y + 25, w + 60, 10), NIGHT, 0.35, 6)
    sheet.glow(ellipse(w * 0.14, h * 0.24, w * 0.5, h * 0.34), PALE, 0.2, 70)
    pull(sheet, kind, (w / 2, h / 2 - 20), 6.2, metal)


def sand_through(sheet: Sheet, face: Finish, case: Finish, ground: Colour) -> None:
    """The corner of a drawer front where the veneer was sanded away."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), case)
    front(sheet, (230, -40, w, h - 170), face)
    cx, cy = 246.0, h - 224.0
    for grow, tone, alpha in (
        (1.0, mixed(face.light, ground, 0.4), 0.8),
        (0.8, mixed(ground, PALE, 0.25), 0.9),
        (0.58, ground, 0.95),
    ):
        blot = [
            (cx, cy - 250 * grow),
            *curve(
                (cx, cy - 250 * grow),
                (cx + 170 * grow, cy - 236 * grow),
                (cx + 210 * grow, cy - 120 * grow),
                (cx + 400 * grow, cy - 90 * grow),
                (cx + 420 * grow, cy + 90),
            ),
            (cx, cy + 90),
        ]
        ragged = [(x + sheet.rng.uniform(-9, 9), y + sheet.rng.uniform(-7, 7)) for x, y in blot]
        clipped = [(max(232.0, x), min(h - 212.0, y)) for x, y in ragged]
        sheet.glow(clipped, tone, alpha, 5)
        sheet.line(clipped[1:-2], mixed(tone, NIGHT, 0.35), 1.6, alpha=0.5)
    for i in range(30):
        y = cy - 210 + i * 7.2
        reach = 130 + 150 * (i / 30) ** 2
        sheet.line(
            [(cx + sheet.rng.uniform(0, 30), y), (cx + reach * sheet.rng.uniform(0.5, 0.9), y + 2)],
            mixed(ground, NIGHT, 0.3),
            1.2,
            alpha=0.3,
        )
    sheet.glow(rectangle(230, h - 211, w, 16), NIGHT, 0.35, 8)


def brushing(sheet: Sheet, before: Finish, after: Finish, wet_paint: Colour) -> None:
    """A brush at the edge of its coat, on a drawer front."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), before, shade=0.9)
    front(sheet, (-30, 110, w + 60, h - 230), before)
    wet = [(-30.0, 112.0), (w * 0.5, 112.0)]
    y, drift = 112.0, 0.0
    while y < h - 126:
        drift = max(-60.0, min(60.0, drift + sheet.rng.uniform(-16, 16)))
        reach = w * 0.5 + drift + sheet.rng.uniform(-22, 22)
        wet += [(reach, y), (reach + 3, y + 3)]
        y += 5
    wet += [(w * 0.48, h - 122), (-30, h - 122)]
    sheet.board(wet, after, ink=0)
    for _ in range(26):
        sy = sheet.rng.uniform(120, h - 140)
        sx = sheet.rng.uniform(0, w * 0.36)
        sheet.line([(sx, sy), (sx + sheet.rng.uniform(60, 190), sy + 1)], PALE, 1.6, alpha=0.28)
    _brush(sheet, w * 0.5, h * 0.44, wet_paint, (92, 72, 54))


def _brush(sheet: Sheet, x: float, y: float, paint: Colour, bristle: Colour) -> None:
    hair = [
        (x - 20, y - 84),
        (x + 118, y - 66),
        (x + 118, y + 66),
        (x - 20, y + 84),
        *curve((x - 20, y + 84), (x - 44, y), (x - 20, y - 84)),
    ]
    sheet.glow(
        [(px + 16, py + 28) for px, py in hair] + [(x + 520, y + 80), (x + 520, y + 30)],
        NIGHT,
        0.4,
        16,
    )
    sheet.fill(hair, bristle)
    for i in range(40):
        by = y - 80 + i * 4
        sheet.line(
            [(x - 26 + abs(by - y) * 0.05, by), (x + 116, y + (by - y) * 0.8)],
            mixed(bristle, PALE, sheet.rng.uniform(0.0, 0.4)),
            1.4,
            alpha=0.7,
        )
    loaded = [
        (x - 20, y - 84),
        *curve(
            (x - 20, y - 84),
            (x + 60, y - 90),
            (x + 40, y - 40),
            (x + 70, y),
            (x + 34, y + 46),
            (x + 60, y + 84),
            (x - 20, y + 84),
        ),
        *curve((x - 20, y + 84), (x - 44, y), (x - 20, y - 84)),
    ]
    sheet.fill(loaded, paint)
    sheet.line(curve((x - 8, y - 70), (x - 24, y), (x - 8, y + 70)), mixed(paint, PALE, 0.5), 3, alpha=0.7)
    band = rectangle(x + 116, y - 72, 92, 144)
    sheet.fill(band, STEEL)
    sheet.glow(rectangle(x + 116, y - 62, 92, 34), PALE, 0.8, 10)
    sheet.glow(rectangle(x + 116, y + 30, 92, 44), (70, 70, 72), 0.6, 12)
    for nx in (x + 130, x + 194):
        sheet.line([(nx, y - 72), (nx, y + 72)], (110, 112, 112), 2)
    sheet.line(band, width=2, closed=True)
    handle = [
        (x + 208, y - 58),
        *curve(
            (x + 208, y - 58),
            (x + 290, y - 62),
            (x + 340, y - 24),
            (x + 520, y - 34),
            (x + 740, y - 20),
        ),
        *curve(
            (x + 740, y + 34),
            (x + 520, y + 40),
            (x + 340, y + 24),
            (x + 290, y + 62),
            (x + 208, y + 58),
        ),
    ]
    sheet.board(handle, Finish(light=(206, 148, 92), dark=(176, 116, 66)))
    sheet.glow(
        [
            (x + 230, y - 40),
            (x + 330, y - 16),
            (x + 640, y - 16),
            (x + 640, y - 8),
            (x + 330, y - 4),
            (x + 230, y - 22),
        ],
        PALE,
        0.55,
        8,
    )


def dovetails(sheet: Sheet, side: Finish, face: Finish) -> None:
    """The corner of a drawer pulled out, with the joint it was made with."""
    w, h = sheet.width, sheet.height
    sheet.board(
        rectangle(-10, -10, w + 20, h + 20),
        Finish(light=(112, 84, 60), dark=(84, 62, 44)),
        shade=0.8,
    )
    sheet.glow(rectangle(-20, -20, w, 150), NIGHT, 0.5, 60)
    sheet.glow(rectangle(120, 660, w, 70), NIGHT, 0.6, 24)
    sheet.board([(330, 150), (w + 30, 110), (w + 30, 690), (330, 690)], side)
    sheet.board(
        [(330, 150), (w + 30, 110), (w + 30, 84), (300, 128), (150, 128), (160, 150)],
        side,
        shade=1.12,
    )
    end = [(150, 150), (330, 150), (330, 690), (150, 690)]
    sheet.board(end, face, upright=True, shade=0.86)
    for i in range(4):
        y = 172 + i * 130
        tail = [(330.0, y + 24.0), (214.0, y), (214.0, y + 112.0), (330.0, y + 88.0)]
        sheet.board(tail, side, shade=0.97)
        sheet.line(tail, NIGHT, 2.2, closed=True, alpha=0.55)
        sheet.line([(330, y + 25), (330, y + 87)], side.light, 3.0)
    sheet.line([(212, 160), (212, 684)], NIGHT, 1.2, alpha=0.4)  # the scribed line
    sheet.board(rectangle(96, 128, 60, 574), face, upright=True, shade=1.05)
    sheet.glow(rectangle(150, 140, 16, 550), NIGHT, 0.35, 8)
    sheet.line([(345, 628), (w, 640)], NIGHT, 5, alpha=0.55)
    sheet.line([(420, 470), (560, 430), (566, 470), (520, 486)], (88, 80, 76), 2.2, alpha=0.55)  # a pencilled 4
    sheet.glow([(500, 150), (760, 140), (900, 680), (640, 680)], PALE, 0.14, 50)


def knob_row(sheet: Sheet, face: Finish, case: Finish, knobs: tuple[Colour, Colour]) -> None:
    """Two knobs on two fronts, one a shade darker."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), case)
    for y in (-120.0, h / 2 + 16):
        front(sheet, (-30, y, w + 60, h / 2 + 104), face)
    pull(sheet, "knob", (w * 0.46, h * 0.24), 6.0, knobs[0])
    pull(sheet, "knob", (w * 0.46, h * 0.77), 6.0, knobs[1])


def worn_edge(sheet: Sheet, paint: Finish, under: Colour) -> None:
    """The corner of a chest: dovetails, and red at the edge where the green is rubbed back."""
    w, h = sheet.width, sheet.height
    sheet.board(
        rectangle(-10, -10, w + 20, h + 20),
        Finish(light=FLOORING, dark=mixed(FLOORING, NIGHT, 0.2)),
        shade=0.9,
    )
    sheet.board(rectangle(-20, 200, w - 300, h), paint)
    sheet.board([(w - 320, 200), (w - 120, 150), (w - 120, h + 20), (w - 320, h + 20)], paint, shade=0.7)
    for i in range(4):
        y = 270.0 + i * 170
        tail = [(w - 320, y), (w - 420, y - 22), (w - 420, y + 102), (w - 320, y + 80)]
        sheet.line(tail, NIGHT, 2.4, alpha=0.55)
        sheet.line([(a + 2, b + 3) for a, b in tail], PALE, 1.6, alpha=0.25)
    _rub(sheet, (w - 320, 204), (w - 320, h), under)
    lid = [(-20, 96), (w - 270, 96), (w - 60, 44), (-20, 20)]
    sheet.board(lid, paint, shade=1.1)
    sheet.board(rectangle(-20, 96, w - 250, 100), paint)
    sheet.board([(w - 270, 96), (w - 60, 44), (w - 60, 142), (w - 270, 196)], paint, shade=0.74)
    sheet.glow(rectangle(-20, 196, w - 300, 40), NIGHT, 0.5, 16)
    _rub(sheet, (-10, 97), (w - 268, 97), under)
    _rub(sheet, (-10, 194), (w - 270, 194), under)
    _rub(sheet, (w - 270, 97), (w - 270, 196), under)


FLOORING: Colour = (190, 158, 122)


def _rub(sheet: Sheet, start: Point, end: Point, under: Colour) -> None:
    """Wear an edge through from start to end: wide here, not at all there."""
    steps = int(max(abs(end[0] - start[0]), abs(end[1] - start[1])) / 5)
    upright = abs(end[1] - start[1]) > abs(end[0] - start[0])
    for reach, tone in ((1.0, under), (0.45, mixed(under, (214, 176, 128), 0.6))):
        wide, near, far = 5.0, [], []
        for i in range(steps + 1):
            wide = max(-3.0, min(17.0, wide + sheet.rng.uniform(-3.4, 3.3)))
            x, y = start[0] + (end[0] - start[0]) * i / steps, start[1] + (end[1] - start[1]) * i / steps
            before, after = (max(0.0, wide * reach + sheet.rng.uniform(-2, 2)) for _ in range(2))
            near.append((x - before, y) if upright else (x, y - before))
            far.append((x + after * 0.7, y) if upright else (x, y + after * 0.7))
        sheet.glow([*near, *reversed(far)], tone, 0.92, 1.2)


def rings_on_top(sheet: Sheet, top: Finish) -> None:
    """A round table top from above with the marks of its cups."""
    w = sheet.width
    sheet.image.paste((146, 138, 128), (0, 0, *sheet.image.size))
    sheet.glow(ellipse(120, 60, w - 180, w - 180), NIGHT, 0.5, 30)
    sheet.board(ellipse(90, 30, w - 180, w - 180), top, ink=3)
    sheet.line(ellipse(112, 52, w - 224, w - 224), NIGHT, 2, closed=True, alpha=0.3)
    for x, y, r in (
        (440, 210, 92),
        (330, 380, 104),
        (640, 180, 92),
        (720, 420, 100),
        (360, 650, 98),
        (580, 640, 90),
        (860, 300, 84),
    ):
        start = sheet.rng.uniform(0, 360)
        sheet.line(ellipse(x - r, y - r, 2 * r, 2 * r, start, start + 300), (240, 232, 216), 9, alpha=0.5)
        sheet.line(
            ellipse(x - r + 6, y - r + 4, 2 * r - 10, 2 * r - 10, start, start + 250),
            (240, 232, 216),
            4,
            alpha=0.45,
        )
    sheet.glow(ellipse(480, 420, 130, 90), (60, 36, 20), 0.45, 22)


def grass_paper(sheet: Sheet, wood: Finish) -> None:
    """The weave on a sliding door, beside its walnut edge."""
    w, h = sheet.width, sheet.height
    sheet.fill(rectangle(0, 0, w, h), (202, 184, 142))
    x = 300.0
    while x < w:
        wide = sheet.rng.uniform(7, 15)
        tone = sheet.rng.choice([(186, 166, 122), (224, 210, 174), (172, 154, 118), (212, 196, 150), (198, 178, 128)])
        sheet.line([(x, -5), (x + sheet.rng.uniform(-4, 4), h * 0.5), (x, h + 5)], tone, wide)
        sheet.line([(x + wide / 2, -5), (x + wide / 2, h + 5)], (122, 102, 70), 1.2, alpha=0.5)
        x += wide + 1
    for i in range(16):
        y = 20 + i * 60.0 + sheet.rng.uniform(-8, 8)
        sheet.line([(300, y), (w * 0.6, y + 3), (w, y)], (236, 224, 192), 1.6, alpha=0.6)
    sheet.board(rectangle(-10, -10, 290, h + 20), wood, upright=True)
    sheet.line([(270, 0), (270, h)], PALE, 3, alpha=0.4)
    sheet.glow(rectangle(278, -20, 26, h + 40), NIGHT, 0.55, 12)
    sheet.oval((100, h * 0.3, 96, h * 0.4), mixed(wood.dark, NIGHT, 0.65))
    sheet.line(ellipse(100, h * 0.3, 96, h * 0.4, 90, 270), mixed(wood.light, PALE, 0.3), 4, alpha=0.7)


def filled_corner(sheet: Sheet, top: Finish, case: Finish) -> None:
    """The rebuilt corner of a table top, a shade darker than the rest."""
    w, h = sheet.width, sheet.height
    sheet.image.paste((226, 218, 204), (0, 0, *sheet.image.size))
    sheet.glow(rectangle(-40, h * 0.1, w, h), (200, 186, 166), 0.5, 60)
    sheet.board(rectangle(-20, 470, 860, h), case, upright=True)
    sheet.board([(840, 470), (945, 260), (945, h + 20), (840, h + 20)], case, upright=True, shade=0.78)
    sheet.board([(-20, 150), (1000, 150), (880, 390), (-20, 390)], top, shade=1.1)
    sheet.board(rectangle(-20, 390, 900, 76), top)
    sheet.board([(880, 390), (1000, 150), (1000, 226), (880, 466)], top, shade=0.74)
    patch = [(700, 390), *curve((700, 390), (730, 310), (830, 330), (925, 300)), (880, 390)]
    sheet.fill(patch, (74, 50, 36), 0.42)
    sheet.fill(
        [(700, 390), (880, 390), (880, 464), *curve((880, 464), (780, 440), (700, 390))],
        (70, 48, 34),
        0.45,
    )
    sheet.line(patch[:-1], NIGHT, 1.6, alpha=0.4)
    sheet.glow(rectangle(-20, 468, 880, 40), NIGHT, 0.45, 16)
    sheet.glow([(120, 380), (420, 380), (540, 160), (320, 160)], PALE, 0.35, 24)


def printed_back(sheet: Sheet, shelf: Finish) -> None:
    """The papered back between two shelves."""
    w, h = sheet.width, sheet.height
    leaves(sheet, (0, 0, w, h), 3.6)
    sheet.line([(w * 0.34, 0), (w * 0.34, h)], (190, 182, 162), 2.0, alpha=0.8)  # the seam
    sheet.glow(rectangle(-40, -40, w + 80, 120), NIGHT, 0.45, 50)
    sheet.glow(rectangle(-60, -60, 110, h + 120), NIGHT, 0.35, 50)
    sheet.board([(-20, h - 230), (w + 20, h - 230), (w + 20, h - 120), (-20, h - 120)], shelf, shade=0.98)
    sheet.glow(rectangle(-20, h - 240, w + 40, 24), NIGHT, 0.35, 14)
    sheet.board(rectangle(-20, h - 122, w + 40, 140), shelf)
    sheet.line([(0, h - 118), (w, h - 118)], PALE, 4, alpha=0.8)


def empty_hinge(sheet: Sheet, case: Finish) -> None:
    """Three screw holes and the clean shape where a hinge was."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w * 0.52, h + 20), case, upright=True)
    sheet.board(rectangle(w * 0.55, -10, w * 0.5, h + 20), case, upright=True, shade=0.93)
    sheet.fill(rectangle(w * 0.51, -10, w * 0.04, h + 20), (36, 28, 24))
    ghost = [
        (w * 0.51, h * 0.26),
        *curve((w * 0.51, h * 0.26), (w * 0.22, h * 0.22), (w * 0.16, h * 0.5)),
        *curve((w * 0.16, h * 0.5), (w * 0.22, h * 0.78), (w * 0.51, h * 0.74)),
    ]
    sheet.fill(ghost, (176, 138, 96))
    sheet.board(ghost, Finish(light=(196, 160, 116), dark=(160, 124, 84), grime=0.3), upright=True, ink=2)
    sheet.line(ghost, (92, 66, 44), 5, alpha=0.5)
    for x, y in ((0.26, 0.5), (0.4, 0.35), (0.4, 0.65)):
        sheet.glow(ellipse(w * x - 26, h * y - 22, 56, 50), (120, 66, 34), 0.6, 8)
        sheet.oval((w * x - 15, h * y - 15, 30, 30), (30, 22, 18))
        sheet.line(ellipse(w * x - 15, h * y - 15, 30, 30, 20, 160), (214, 180, 136), 3)


def beetle(sheet: Sheet, veneer: Finish) -> None:
    """Veneer lifted from a core that is holes and powder."""
    w, h = sheet.width, sheet.height
    sheet.board(
        rectangle(-10, -10, w + 20, h + 20),
        Finish(light=(214, 188, 146), dark=(180, 150, 108), grime=0.35),
        upright=True,
    )
    for _ in range(90):
        x, y = sheet.rng.uniform(w * 0.34, w * 0.98), sheet.rng.uniform(0, h)
        r = sheet.rng.uniform(7, 12)
        sheet.oval((x, y, r, r * 0.92), (54, 38, 26))
        sheet.line(ellipse(x, y, r, r * 0.92, 20, 150), (232, 212, 174), 1.4)
    for _ in range(8):
        x, y = sheet.rng.uniform(w * 0.4, w * 0.8), sheet.rng.uniform(40, h - 120)
        sheet.line(
            curve((x, y), (x + 50, y + 70), (x - 20, y + 120), (x + 30, y + 190)),
            (132, 100, 64),
            7,
            alpha=0.5,
        )
    curl = [
        (-20, -20),
        (w * 0.36, -20),
        *curve((w * 0.36, -20), (w * 0.24, h * 0.3), (w * 0.42, h * 0.6), (w * 0.28, h + 20)),
        (-20, h + 20),
    ]
    sheet.glow([(x + 40, y + 14) for x, y in curl], NIGHT, 0.6, 24)
    sheet.board(curl, veneer, upright=True, ink=2.5)
    sheet.glow(
        [(x - 46, y) for x, y in curl[2:19]] + [(x, y) for x, y in reversed(curl[2:19])],
        PALE,
        0.5,
        12,
    )
    for _ in range(60):
        x, y = sheet.rng.uniform(w * 0.3, w), h - abs(sheet.rng.gauss(0, 34))
        sheet.oval((x, y, 6, 5), (232, 210, 168), 0.9)


def scraping(sheet: Sheet, before: Finish, after: Finish) -> None:
    """A scraper on a board, with the shavings it has taken."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), before)
    clean = [(-10, h * 0.2), (w * 0.56, h * 0.22), (w * 0.6, h * 0.72), (-10, h * 0.76)]
    sheet.board(clean, after, ink=0)
    sheet.glow(
        [(w * 0.56, h * 0.22), (w * 0.6, h * 0.22), (w * 0.64, h * 0.72), (w * 0.6, h * 0.72)],
        NIGHT,
        0.4,
        10,
    )
    blade = [(w * 0.57, h * 0.16), (w * 0.74, h * 0.1), (w * 0.78, h * 0.66), (w * 0.61, h * 0.78)]
    sheet.glow([(x + 24, y + 30) for x, y in blade], NIGHT, 0.5, 18)
    sheet.fill(blade, STEEL)
    sheet.glow(
        [(w * 0.62, h * 0.18), (w * 0.68, h * 0.16), (w * 0.72, h * 0.66), (w * 0.66, h * 0.7)],
        PALE,
        0.6,
        14,
    )
    sheet.line(blade, width=2.4, closed=True)
    for _ in range(15):
        x, y = sheet.rng.uniform(w * 0.44, w * 0.6), sheet.rng.uniform(h * 0.2, h * 0.74)
        r = sheet.rng.uniform(18, 44)
        sheet.line(ellipse(x + 5, y + 8, r, r * 0.7, 0, 300), NIGHT, 5, alpha=0.25)
        sheet.line(ellipse(x, y, r, r * 0.7, 0, 300), mixed(after.light, PALE, 0.4), 6)
        sheet.line(ellipse(x + 4, y + 3, r * 0.7, r * 0.5, 20, 280), mixed(after.dark, PALE, 0.1), 3)


def sanding(sheet: Sheet, before: Finish, after: Finish) -> None:
    """A sanding block, wet, and the red it has loosened."""
    w, h = sheet.width, sheet.height
    sheet.board(rectangle(-10, -10, w + 20, h + 20), before)
    swept = [
        (120, h * 0.34),
        *curve((120, h * 0.34), (w * 0.4, h * 0.26), (w * 0.62, h * 0.32)),
        (w * 0.64, h * 0.7),
        *curve((w * 0.64, h * 0.7), (w * 0.4, h * 0.76), (140, h * 0.68)),
    ]
    sheet.glow(swept, mixed(after.light, (120, 60, 44), 0.3), 0.85, 16)
    sheet.board([(x * 0.92 + 40, y * 0.86 + 64) for x, y in swept], after, ink=0)
    for _ in range(24):
        x, y = sheet.rng.uniform(120, w * 0.7), sheet.rng.uniform(h * 0.3, h * 0.76)
        sheet.line(
            curve((x, y), (x + 60, y - 8), (x + 140, y + 2)),
            (128, 62, 48),
            sheet.rng.uniform(2, 6),
            alpha=0.3,
        )
    block = [(w * 0.52, h * 0.36), (w * 0.8, h * 0.3), (w * 0.84, h * 0.56), (w * 0.56, h * 0.64)]
    sheet.glow([(x + 14, y + 44) for x, y in block], NIGHT, 0.5, 18)
    sheet.fill([(x - 2, y + 26) for x, y in block], (86, 74, 64))
    sheet.board(
        [(w * 0.56, h * 0.64), (w * 0.84, h * 0.56), (w * 0.84, h * 0.62), (w * 0.56, h * 0.7)],
        Finish(light=(196, 156, 104), dark=(168, 126, 78)),
        shade=0.85,
    )
    sheet.board(block, Finish(light=(206, 168, 116), dark=(180, 138, 88)))
    for _ in range(34):
        x, y = sheet.rng.uniform(60, w - 60), sheet.rng.uniform(60, h - 60)
        r = sheet.rng.uniform(4, 13)
        sheet.oval((x, y, r, r * 0.8), (226, 232, 232), 0.4)
        sheet.oval((x + r * 0.2, y + r * 0.15, r * 0.35, r * 0.3), (255, 255, 255), 0.8)


def cane(sheet: Sheet, rail: Finish) -> None:
    """A woven seat, its diagonals half way over, with the rail it is pegged to."""
    w, h = sheet.width, sheet.height
    sheet.image.paste((74, 58, 46), (0, 0, *sheet.image.size))
    straw: Colour = (230, 202, 146)
    step = 150.0
    for i in range(9):
        x = 30.0 + i * step
        for shift in (0.0, 34.0):
            _strand(sheet, (x + shift, -20), (x + shift, h), straw, 22)
    for i in range(7):
        y = 20.0 + i * step
        for shift in (0.0, 34.0):
            _strand(sheet, (-20, y + shift), (w + 20, y + shift), mixed(straw, PALE, 0.18), 22)
    for i in range(-9, 25):
        x = 122.0 + i * step
        _strand(sheet, (x, -20), (x + h + 40, h + 20), mixed(straw, (206, 164, 96), 0.35), 25)
    for i in range(8):
        x = 122.0 + i * step
        if x < w * 0.62:  # the last pass has come this far
            _strand(sheet, (x, -20), (x - h - 40, h + 20), mixed(straw, PALE, 0.3), 25)
    sheet.glow(rectangle(-40, h - 216, w + 80, 50), NIGHT, 0.55, 18)
    sheet.board(rectangle(-20, h - 190, w + 40, 220), rail)
    sheet.glow(rectangle(-20, h - 186, w + 40, 18), PALE, 0.4, 8)
    for i in range(9):
        x = 46.0 + i * step
        sheet.oval((x - 15, h - 128, 30, 28), (38, 28, 22))
        sheet.line([(x, h - 114), (x + 4, h - 200)], straw, 22)
        if i % 3 == 1:
            sheet.oval((x - 11, h - 126, 22, 22), (206, 166, 110))


def _strand(sheet: Sheet, start: Point, end: Point, colour: Colour, wide: float) -> None:
    """One strand of cane, with its shadow and its shine."""
    (ax, ay), (bx, by) = start, end
    sheet.line([(ax + 5, ay + 7), (bx + 5, by + 7)], NIGHT, wide, alpha=0.3)
    sheet.line([start, end], mixed(colour, NIGHT, 0.28), wide)
    sheet.line([start, end], mixed(colour, PALE, sheet.rng.uniform(0.0, 0.3)), wide - 4)
