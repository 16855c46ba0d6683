"""Tall case pieces: the secretary desk, the bookcase and the corner cupboard."""

from drawing.hardware import BRASS, NIGHT, PALE, pull
from drawing.joinery import GROUND, LOW, RAW, Look, View, drawers, front, hollow, solid
from drawing.rooms import cast, shadow
from drawing.sheet import Box, Point, Sheet, curve, ellipse, mixed, rectangle


def secretary(sheet: Sheet, look: Look, view: View) -> None:
    """A slant-front desk over three drawers; the fall may be let down."""
    x, y, w, h = 366.0, 436.0, 464.0, 270.0
    cast(sheet, x, y - 220, w, h + 220)
    shadow(sheet, x, x + w, GROUND, view.right)
    top = y - 236
    for side in (x, x + w - 46):
        foot = [
            (side, y + h),
            (side + 46, y + h),
            (side + 40, y + h + 22),
            (side + 34, GROUND),
            (side + 12, GROUND),
            (side + 4, y + h + 22),
        ]
        sheet.board(foot, look.case, upright=True)
    solid(sheet, (x, y, w, h), view, look.case)
    opened = "open" in look.odd
    drawers(
        sheet,
        (x + 24, y + 20 if not opened else y + 30, w - 48, h - 40),
        ((0.85, 1), (1, 1), (1.1, 1)),
        look,
    )
    slope = [(x, y), (x + w, y), (x + w - 26, top + 16), (x + 26, top + 16)]
    if opened:
        sheet.board([(x, y), (x + w, y), (x + w - 16, top), (x + 16, top)], look.inside, shade=0.7)
        _pigeonholes(sheet, (x + 34, top + 44, w - 68, 150), look)
        for side in (x + 10, x + w - 34):
            sheet.board(rectangle(side, y + 22, 22, 22), look.case, shade=0.8)
        desk = [(x + 6, y - 6), (x + w - 6, y - 6), (x + w + 26, y + 22), (x - 26, y + 22)]
        sheet.glow([(px, py + 26) for px, py in desk], NIGHT, 0.5, 12)
        sheet.board(desk, look.top, shade=1.08)
        sheet.board(rectangle(x - 26, y + 22, w + 52, 12), look.top, shade=0.85)
    else:
        sheet.board(slope, look.fronts, shade=1.06)
        inner = [(x + 40, y - 22), (x + w - 40, y - 22), (x + w - 58, top + 46), (x + 58, top + 46)]
        sheet.line(inner, NIGHT, 1.4, closed=True, alpha=0.35)
        sheet.line([(px + 2, py + 2) for px, py in inner], PALE, 1.2, closed=True, alpha=0.35)
        sheet.glow(
            [(x + 90, y - 20), (x + 210, y - 20), (x + 220, top + 40), (x + 130, top + 40)],
            PALE,
            0.25,
            24,
        )
        sheet.oval((x + w / 2 - 7, top + 54, 14, 18), look.metal)
        sheet.oval((x + w / 2 - 2, top + 58, 4, 9), NIGHT)
        solid(sheet, (x - 6, y - 8, w + 12, 12), View(right=0, up=0), look.case)
    solid(
        sheet,
        (x + 12, top, w - 24, 20),
        View(right=view.right * 0.5, up=20, narrower=14 if not view.right else 0),
        look.top,
    )
    rail = [
        (x + 30, top - 20),
        *curve((x + 30, top - 40), (x + w / 2, top - 74), (x + w - 30, top - 40)),
        (x + w - 30, top - 20),
    ]
    sheet.board(rail, look.case)


def _pigeonholes(sheet: Sheet, box: Box, look: Look) -> None:
    x, y, w, h = box
    inside = look.inside
    sheet.board(rectangle(x - 8, y - 8, w + 16, h + 16), inside)
    wide = (w - 5 * 8) / 6
    for i in range(6):
        cx = x + i * (wide + 8)
        half = "half painted" in look.odd and i >= 3
        tone = RAW.dark if half else inside.paint or inside.dark
        arch = [
            (cx, y + h * 0.62),
            (cx, y + 20),
            *ellipse(cx, y, wide, 40, 180, 360),
            (cx + wide, y + h * 0.62),
        ]
        sheet.fill(arch, mixed(tone, NIGHT, 0.5))
        sheet.glow([(cx, y), (cx + wide, y), (cx + wide, y + 20), (cx, y + 20)], NIGHT, 0.5, 10)
        if half:
            sheet.fill(rectangle(cx - 6, y - 8, 6, h + 16), RAW.light)
        sheet.line(arch, width=1.2, closed=True)
        box_front = (cx, y + h * 0.7, wide, h * 0.3)
        front(sheet, box_front, look.fronts if not half else RAW)
        pull(sheet, "knob", (cx + wide / 2, y + h * 0.85), 0.32, BRASS)
    if "letters" in look.odd:
        for i, lean in ((1, 4), (4, -4)):
            lx = x + i * (wide + 8) + 8
            for j in range(3):
                sheet.fill(
                    [
                        (lx + j * 12, y + h * 0.62),
                        (lx + 8 + j * 12, y + h * 0.62),
                        (lx + 8 + lean + j * 12, y + 32),
                        (lx + lean + j * 12, y + 32),
                    ],
                    (242, 234, 214),
                )


def bookcase(sheet: Sheet, look: Look, view: View) -> None:
    """A tall case of five shelves; drawn on a sheet that is higher than wide."""
    x, y, w, h = 214.0, 176.0, 470.0, LOW - 176.0
    cast(sheet, x, y, w, h)
    shadow(sheet, x, x + w, LOW, view.right)
    solid(sheet, (x, y, w, h), view, look.case, upright=True)
    sheet.board(rectangle(x + 26, y + 34, w - 52, h - 100), look.inside, upright=True, shade=0.88)
    if "leaf paper" in look.odd:
        leaves(sheet, (x + 26, y + 34, w - 52, h - 100), 1.0)
    sheet.glow(rectangle(x + 26, y + 34, 26, h - 100), NIGHT, 0.35, 20)
    sheet.glow(rectangle(x + w - 50, y + 34, 24, h - 100), NIGHT, 0.2, 16)
    step = (h - 100) / 5
    for i in range(6):
        sy = y + 34 + step * i
        if i:
            ledge = [
                (x + 26, sy - 4),
                (x + w - 26, sy - 4),
                (x + w - 44, sy - 24),
                (x + 44, sy - 24),
            ]
            sheet.board(ledge, look.case, shade=0.98)
        if 0 < i < 5:
            sag = 5 if i == 2 else 0
            edge = [
                (x + 26, sy - 4),
                *curve((x + 26, sy - 4), (x + w / 2, sy - 4 + sag), (x + w - 26, sy - 4)),
                (x + w - 26, sy + 14),
                *curve((x + w - 26, sy + 14), (x + w / 2, sy + 14 + sag), (x + 26, sy + 14)),
            ]
            sheet.board(edge, look.case)
            sheet.glow(rectangle(x + 30, sy + 16, w - 60, 20), NIGHT, 0.4, 10)
    sheet.glow(rectangle(x + 26, y + 36, w - 52, 20), NIGHT, 0.45, 12)
    kick = [
        (x, LOW - 70),
        (x + w, LOW - 70),
        (x + w, LOW),
        (x + w - 60, LOW),
        *curve((x + w - 60, LOW), (x + w / 2, LOW - 50), (x + 60, LOW)),
        (x, LOW),
    ]
    sheet.board(kick, look.case)
    solid(sheet, (x - 14, y - 14, w + 28, 24), view, look.top)


def leaves(sheet: Sheet, box: Box, s: float) -> None:
    """A paper printed with small leaves in grey and ochre."""
    x, y, w, h = box
    sheet.fill(rectangle(x, y, w, h), (232, 226, 208))
    row, down = 0, y + 12 * s
    while down < y + h - 16 * s:
        across = x + (14 if row % 2 else 34) * s
        while across < x + w - 20 * s:
            tone = (142, 150, 140) if (row + int(across)) % 3 else (204, 164, 92)
            sheet.line([(across, down + 24 * s), (across + 6 * s, down)], mixed(tone, NIGHT, 0.2), 1.1 * s)
            for side in (-1, 1):
                tip = (across + 4 * s + side * 14 * s, down + 2 * s)
                root = (across + 2 * s, down + 16 * s)
                sheet.fill(
                    [
                        *curve(root, (root[0] + side * 4 * s, root[1] - 14 * s), tip),
                        *curve(tip, (root[0] + side * 14 * s, root[1] - 1 * s), root),
                    ],
                    tone,
                )
            across += 40 * s
        row, down = row + 1, down + 36 * s


def corner_cupboard(sheet: Sheet, look: Look, view: View) -> None:
    """A tall cupboard with a panelled door that hangs by one hinge."""
    x, y, w, h = 246.0, 154.0, 404.0, LOW - 154.0
    cast(sheet, x, y, w, h)
    shadow(sheet, x, x + w, LOW, view.right)
    solid(sheet, (x, y, w, h), view, look.case, upright=True)
    opening = (x + 56, y + 70, w - 112, h * 0.56)
    hollow(sheet, opening)
    for i in (1, 2):
        sheet.fill(rectangle(opening[0], opening[1] + opening[3] * i / 3, opening[2], 10), (120, 100, 78))
    ox, oy, ow, oh = opening
    tilt = 26.0
    door: list[Point] = [
        (ox + 6, oy + 2),
        (ox + ow + 4, oy + tilt),
        (ox + ow - 14, oy + oh + tilt),
        (ox - 12, oy + oh + 4),
    ]
    sheet.glow([(px + 10, py + 10) for px, py in door], NIGHT, 0.5, 10)
    sheet.board(door, look.fronts, upright=True)
    for a, b in ((0.06, 0.46), (0.53, 0.94)):
        panel = [_on(door, u, v) for u, v in ((0.15, a), (0.85, a), (0.85, b), (0.15, b))]
        sheet.board(panel, look.fronts, upright=True, shade=0.9)
        sheet.line(panel[1:3] + panel[3:4], PALE, 2, alpha=0.5)
    sheet.oval((door[1][0] - 34, oy + oh * 0.5, 16, 22), (84, 74, 62))
    front(sheet, (x + 56, y + h * 0.72, w - 112, h * 0.19), look.fronts, upright=True)
    sheet.oval((x + w - 92, y + h * 0.8, 16, 16), (84, 74, 62))
    solid(sheet, (x - 22, y - 20, w + 44, 34), view, look.top)
    sheet.glow(rectangle(x, y + 14, w, 14), NIGHT, 0.4, 8)


def _on(quad: list[Point], u: float, v: float) -> Point:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = quad
    return (
        (ax * (1 - u) + bx * u) * (1 - v) + (dx * (1 - u) + cx * u) * v,
        (ay * (1 - u) + by * u) * (1 - v) + (dy * (1 - u) + cy * u) * v,
    )
