"""Pieces that are no case of drawers: table, chair, mirror, radio cabinet and stool."""

from drawing.hardware import NIGHT, PALE, pull
from drawing.joinery import FRONT, GROUND, LOW, Look, View, solid, turned
from drawing.rooms import cast, shadow
from drawing.sheet import Finish, Sheet, curve, ellipse, mixed, rectangle


def side_table(sheet: Sheet, look: Look, _view: View) -> None:
    """A round table on three leaning legs."""
    x, y, w = 380.0, 330.0, 440.0
    cast(sheet, x + 60, y, w - 120, 330)
    shadow(sheet, x + 40, x + w - 40, GROUND - 4)
    turned(sheet, (x + w / 2, y + 40), GROUND - y - 74, 15, look.case, shade=0.68)
    for side, lean in ((0.24, -52.0), (0.76, 52.0)):
        turned(sheet, (x + w * side, y + 40), GROUND - y - 40, 17, look.case, lean=lean)
    if "loose leg" in look.odd:
        sheet.line([(x + w * 0.76 - 30, y + 66), (x + w * 0.76 + 26, y + 76)], NIGHT, 3, alpha=0.7)
    skirt = [
        (x + 62, y + 18),
        (x + w - 62, y + 18),
        (x + w - 66, y + 74),
        *curve((x + w - 66, y + 74), (x + w / 2, y + 92), (x + 66, y + 74)),
    ]
    sheet.board(skirt, look.case)
    sheet.glow(rectangle(x + 62, y + 26, w - 124, 18), NIGHT, 0.4, 8)
    sheet.board(ellipse(x, y - 34, w, 84), look.top, shade=0.78)
    sheet.board(ellipse(x, y - 48, w, 84), look.top, shade=1.06)
    if "rings" in look.odd:
        for rx, ry in ((80, 6), (150, -22), (210, 8), (268, -16), (310, 2)):
            sheet.line(ellipse(x + rx, y - 18 + ry, 56, 15), (238, 230, 214), 3, closed=True, alpha=0.75)
    else:
        sheet.glow(ellipse(x + 90, y - 32, 150, 26), PALE, 0.4, 12)


def chair(sheet: Sheet, look: Look, _view: View) -> None:
    """A spindle-back kitchen chair; drawn on a sheet that is higher than wide."""
    x, seat, ground = 270.0, 692.0, LOW
    shadow(sheet, x + 10, x + 380, ground - 6)
    for lean, at in ((-20.0, 96.0), (20.0, 268.0)):
        turned(sheet, (x + at, seat + 6), ground - seat - 52, 12, look.case, shade=0.7, lean=lean)
    sheet.board(
        [(x + 66, seat + 190), (x + 300, seat + 190), (x + 300, seat + 202), (x + 66, seat + 202)],
        look.case,
        shade=0.75,
    )
    for post, top in ((66.0, 36.0), (298.0, 328.0)):
        sheet.board(
            [
                (x + post - 10, seat - 4),
                (x + post + 10, seat - 4),
                (x + top + 9, 320),
                (x + top - 9, 320),
            ],
            look.case,
            upright=True,
        )
    for i in range(5):
        foot, head = 102 + i * 40, 86 + i * 48
        mid = ((foot + head) / 2, (seat + 340) / 2)
        sheet.board(
            [
                (x + foot - 5, seat - 4),
                (x + mid[0] - 9, mid[1]),
                (x + head - 5, 316),
                (x + head + 5, 316),
                (x + mid[0] + 9, mid[1]),
                (x + foot + 5, seat - 4),
            ],
            look.case,
            upright=True,
        )
    crest = [
        *curve((x + 12, 352), (x + 4, 290), (x + 30, 272)),
        *curve((x + 30, 272), (x + 182, 226), (x + 334, 272)),
        *curve((x + 334, 272), (x + 360, 290), (x + 352, 352)),
        *curve((x + 352, 352), (x + 182, 312), (x + 12, 352)),
    ]
    sheet.board(crest, look.case)
    sheet.glow(ellipse(x + 70, 276, 120, 22), PALE, 0.3, 12)
    for at, lean in ((46.0, -34.0), (318.0, 34.0)):
        turned(sheet, (x + at, seat + 20), ground - seat - 20, 14, look.case, lean=lean)
    sheet.board(
        [(x + 26, seat + 236), (x + 338, seat + 236), (x + 338, seat + 252), (x + 26, seat + 252)],
        look.case,
    )
    slab = [
        *curve((x + 8, seat + 8), (x + 26, seat - 34), (x + 60, seat - 36)),
        *curve((x + 304, seat - 36), (x + 338, seat - 34), (x + 356, seat + 8)),
        *curve((x + 356, seat + 8), (x + 356, seat + 36), (x + 330, seat + 36)),
        *curve((x + 330, seat + 36), (x + 182, seat + 50), (x + 34, seat + 36)),
        *curve((x + 34, seat + 36), (x + 8, seat + 36), (x + 8, seat + 8)),
    ]
    sheet.board(slab, look.top)
    sheet.glow(ellipse(x + 60, seat - 24, 240, 36), NIGHT, 0.18, 14)
    sheet.line(curve((x + 8, seat + 12), (x + 182, seat + 30), (x + 356, seat + 12)), PALE, 2, alpha=0.45)
    if "cane" in look.odd or "torn cane" in look.odd:
        _cane_seat(sheet, x + 58, seat - 28, torn="torn cane" in look.odd)
    if "wire" in look.odd:
        for i in range(5):
            sheet.line([(x + 150 + i * 6, seat + 234), (x + 154 + i * 6, seat + 254)], (120, 112, 100), 2)
    if "cord" in look.odd:
        for dy in (0, 9, 18):
            sheet.line([(x + 30, seat + 150 + dy), (x + 334, seat + 146 + dy)], (214, 196, 150), 4)
        sheet.line([(x + 180, seat + 96), (x + 190, seat + 210)], (150, 112, 74), 10)
        for jx in (46, 318):
            sheet.fill(rectangle(x + jx - 18, seat + 56, 34, 14), (226, 214, 170))


def _cane_seat(sheet: Sheet, x: float, y: float, *, torn: bool) -> None:
    """The woven part of a seat, as it is seen from the front."""
    w, h = 248.0, 42.0
    tone = (176, 140, 92) if torn else (232, 206, 150)
    panel = [(x + 20, y), (x + w - 20, y), (x + w, y + h), (x, y + h)]
    sheet.fill(panel, mixed(tone, NIGHT, 0.45))
    for i in range(25):
        t = i / 24
        sheet.line([(x + 20 + (w - 40) * t, y), (x + w * t, y + h)], tone, 2.6)
        sheet.line([(x + 20 + (w - 40) * t, y), (x + w * min(1, t + 0.2), y + h)], tone, 1.2)
        sheet.line([(x + 20 + (w - 40) * t, y), (x + w * max(0, t - 0.2), y + h)], tone, 1.2)
    for i in range(7):
        t = i / 6
        sheet.line([(x + 20 * (1 - t), y + h * t), (x + w - 20 * (1 - t), y + h * t)], tone, 2.2)
    if torn:
        hole = [
            *curve((x + 70, y + 16), (x + 116, y + 2), (x + 170, y + 14)),
            *curve((x + 170, y + 14), (x + 190, y + 30), (x + 120, y + 34), (x + 70, y + 16)),
        ]
        sheet.fill(hole, NIGHT)
        for i in range(8):
            at = x + 76 + i * 13
            sheet.line([(at, y + 14), (at + sheet.rng.uniform(-8, 8), y + 24 + sheet.rng.uniform(0, 10))], tone, 2)
    sheet.line(panel, mixed(tone, PALE, 0.2), 5, closed=True)


def mirror(sheet: Sheet, look: Look, _view: View) -> None:
    """An oval mirror, hung on the wall."""
    x, y, w, h = 228.0, 226.0, 444.0, 610.0
    sheet.glow(ellipse(x + 34, y + 26, w, h), (60, 46, 40), 0.4, 24)
    sheet.board(ellipse(x, y, w, h), look.case, upright=True)
    sheet.line(ellipse(x + 12, y + 12, w - 24, h - 24), NIGHT, 1.2, closed=True, alpha=0.3)
    sheet.line(ellipse(x + 8, y + 8, w - 16, h - 16, 150, 300), PALE, 3, alpha=0.45)
    glass = ellipse(x + 52, y + 52, w - 104, h - 104)
    sheet.fill(glass, (188, 200, 202))
    for shift, alpha in ((0.0, 0.55), (84.0, 0.4)):
        sheet.glow(
            [
                (x + 120 + shift, y + 130),
                (x + 172 + shift, y + 110),
                (x + 120 + shift, y + h - 150),
                (x + 90 + shift, y + h - 190),
            ],
            (246, 248, 244),
            alpha,
            10,
        )
    sheet.line(
        curve((x + 240, y + 90), (x + 262, y + 300), (x + 236, y + h - 90)),
        (222, 230, 230),
        5,
        alpha=0.6,
    )
    for i in range(11):
        sx = x + 150 + sheet.rng.uniform(0, 150)
        sy = y + h - 112 - abs(sx - x - 222) * 0.28 + sheet.rng.uniform(-10, 22)
        r = sheet.rng.uniform(3, 9) * (1.0 if i < 8 else 1.5)
        sheet.oval((sx, sy, r, r * 0.8), (112, 118, 118), 0.75)
    sheet.line(glass, width=2.2, closed=True)
    sheet.line(ellipse(x + 55, y + 56, w - 104, h - 104, 170, 280), NIGHT, 5, alpha=0.3)


def radio_cabinet(sheet: Sheet, look: Look, _view: View) -> None:
    """A round-shouldered cabinet with a cloth grille and four knobs."""
    x, y, w, base = 216.0, 330.0, 468.0, LOW
    cast(sheet, x, y, w, base - y)
    shadow(sheet, x, x + w, LOW)
    body = [
        (x, base),
        (x, y + 120),
        *ellipse(x, y, 240, 240, 180, 270),
        *ellipse(x + w - 240, y, 240, 240, 270, 360),
        (x + w, base),
    ]
    sheet.board(body, look.case, upright=True)
    for i in range(3):
        cx = x + 100 + i * 98
        slot = [
            (cx, y + 380),
            (cx, y + 120 - (24 if i == 1 else 0)),
            *ellipse(cx, y + 84 - (24 if i == 1 else 0), 72, 72, 180, 360),
            (cx + 72, y + 380),
        ]
        sheet.fill(slot, (122, 98, 66))
        for k in range(0, 300, 9):
            sheet.line(
                [(cx + 3, y + 110 + k * 0.9), (cx + 69, y + 110 + k * 0.9)],
                (164, 138, 96),
                1.6,
                alpha=0.5,
            )
        sheet.glow([(cx, y + 84), (cx + 72, y + 84), (cx + 72, y + 120), (cx, y + 120)], NIGHT, 0.5, 14)
        sheet.line(slot, width=1.8, closed=True)
    dial = rectangle(x + 124, y + 430, w - 248, 74)
    sheet.fill(dial, (214, 194, 140))
    for i in range(15):
        sheet.line(
            [(x + 138 + i * 14, y + 444), (x + 138 + i * 14, y + (470 if i % 3 == 0 else 456))],
            (84, 60, 40),
            1.4,
        )
    sheet.line([(x + 238, y + 436), (x + 238, y + 498)], (176, 58, 44), 2.2)
    sheet.line(dial, width=2, closed=True)
    for i in range(4):
        pull(sheet, "knob", (x + 100 + i * 89, y + 566), 1.3, (92, 60, 40))
    sheet.board(rectangle(x - 12, base - 64, w + 24, 64), look.case, shade=0.82)
    torn = [
        (x, y + 300),
        *curve((x, y + 300), (x + 86, y + 360), (x + 34, y + 430), (x + 70, y + 560), (x, y + 600)),
    ]
    sheet.board(torn, Finish(light=(206, 180, 138), dark=(170, 140, 100), grime=0.4), upright=True)
    for _ in range(30):
        hx, hy = x + sheet.rng.uniform(3, 36), y + sheet.rng.uniform(350, 560)
        sheet.oval((hx, hy, 4.5, 4.5), (58, 42, 30))


def step_stool(sheet: Sheet, look: Look, _view: View) -> None:
    """Two steps between two sides."""
    x, y, w = 400.0, 384.0, 396.0
    cast(sheet, x, y, w, GROUND - y)
    shadow(sheet, x, x + w, GROUND, 20)
    for side in (x + 14, x + w - 46):
        sheet.board(rectangle(side, y, 32, GROUND - y), look.case, upright=True, shade=0.92)
    sheet.fill(rectangle(x + 46, y + 24, w - 92, 150), NIGHT, 0.34)
    sheet.board(rectangle(x + 46, y + 132, w - 92, 46), look.case, shade=0.74)
    sheet.fill(rectangle(x + 46, y + 232, w - 92, 120), NIGHT, 0.34)
    lower = View(right=0, up=46, narrower=10)
    for side in (x - 4, x + w - 30):
        sheet.board(rectangle(side, y + 206, 34, GROUND - y - 206), look.case, upright=True)
    solid(sheet, (x, y, w, 24), FRONT, look.top)
    solid(sheet, (x - 18, y + 190, w + 36, 26), lower, look.top)
    sheet.glow(rectangle(x, y + 218, w, 12), NIGHT, 0.4, 7)
    sheet.line([(x + 250, y + 190), (x + 258, y + 164)], NIGHT, 2.4, alpha=0.7)
