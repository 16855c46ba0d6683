"""Low case pieces: washstand, chests, sideboard and nightstands."""

from drawing.hardware import NIGHT, PALE, pull
from drawing.joinery import GROUND, RAW, Look, View, drawers, front, leg, solid, turned
from drawing.rooms import cast, shadow
from drawing.sheet import Box, Finish, Sheet, curve, ellipse, mixed, rectangle


def washstand(sheet: Sheet, look: Look, view: View) -> None:
    """A bow-front washstand: a low splash, two drawers above, two wide ones, turned feet."""
    x, y, w, h = 330.0, 372.0, 510.0, 316.0
    cast(sheet, x, y - 60, w, h + 60)
    shadow(sheet, x, x + w, GROUND, view.right)
    if view.right:
        leg(
            sheet,
            (x + w + view.right - 34, y + h - view.up, 30, GROUND - y - h),
            look.case,
            shade=0.6,
        )
    back = [
        (x + view.right + 20, y - 20 - view.up),
        (x + view.right + 20, y - 62 - view.up),
        *curve(
            (x + view.right + 20, y - 62 - view.up),
            (x + view.right + 90, y - 66 - view.up),
            (x + view.right + 140, y - 92 - view.up),
        ),
        *curve(
            (x + w + view.right - 140, y - 92 - view.up),
            (x + w + view.right - 90, y - 66 - view.up),
            (x + w + view.right - 20, y - 62 - view.up),
        ),
        (x + w + view.right - 20, y - 20 - view.up),
    ]
    sheet.board(back, look.case)
    solid(sheet, (x, y, w, h), view, look.case)
    drawers(
        sheet,
        (x + 30, y + 26, w - 60, h - 52),
        ((0.9, 2), (1, 1), (1.15, 1)),
        look,
        bead="bead" in look.odd,
    )
    for side in (x + 2, x + w - 36):
        turned(sheet, (side + 17, y + h), GROUND - y - h, 19, look.case)
    apron = [
        (x + 36, y + h),
        *curve((x + 36, y + h + 26), (x + w / 2, y + h - 14), (x + w - 36, y + h + 26)),
        (x + w - 36, y + h),
    ]
    sheet.board(apron, look.case)
    solid(sheet, (x - 16, y - 20, w + 32, 22), view, look.top)
    sheet.glow(rectangle(x, y + 2, w, 12), NIGHT, 0.32, 7)
    _bow(sheet, x, y, w, h)
    if "rings" in look.odd:
        for cx, cy in ((430, 344), (560, 340), (600, 348)):
            sheet.line(ellipse(cx, cy, 58, 12), (40, 30, 24), 2.2, closed=True, alpha=0.6)


def _bow(sheet: Sheet, x: float, y: float, w: float, h: float) -> None:
    sheet.glow(rectangle(x + w * 0.4, y + 8, w * 0.16, h - 12), PALE, 0.2, 50)
    sheet.glow(rectangle(x + w * 0.86, y, w * 0.14, h), NIGHT, 0.22, 34)


def blanket_chest(sheet: Sheet, look: Look, view: View) -> None:
    """A six-board chest, its ends cut to feet; the lid may stand open."""
    x, y, w, h = 275.0, 474.0, 646.0, 250.0
    cast(sheet, x, y - 30, w, h)
    shadow(sheet, x, x + w, GROUND, view.right)
    if "open" in look.odd:
        cast(sheet, x, y - 250, w, 230)
        lid = [(x - 8, y - 44), (x + w + 8, y - 44), (x + w - 2, y - 262), (x + 2, y - 262)]
        sheet.board(lid, look.inside)
        sheet.line([(x + w - 60, y - 150), (x + w - 90, y - 24)], (70, 64, 60), 4)
        for hx in (x + 90, x + w - 110):
            sheet.fill(rectangle(hx, y - 120, 14, 84), (66, 60, 58))
        well = [(x, y), (x + w, y), (x + w - 20, y - 46), (x + 20, y - 46)]
        sheet.fill(well, (120, 92, 62))
        sheet.glow(
            [(x + 30, y - 4), (x + w - 30, y - 4), (x + w - 40, y - 30), (x + 40, y - 30)],
            NIGHT,
            0.6,
            12,
        )
        sheet.line(well, width=1.6, closed=True)
        sheet.board(rectangle(x, y, w, h), look.case)
    else:
        solid(sheet, (x, y, w, h), view, look.case)
        solid(sheet, (x - 14, y - 24, w + 28, 26), view, look.top)
        sheet.glow(rectangle(x, y + 2, w, 14), NIGHT, 0.4, 7)
    base = [
        (x - 10, y + h - 44),
        (x + w + 10, y + h - 44),
        (x + w + 10, GROUND),
        (x + w - 84, GROUND),
        *curve((x + w - 84, GROUND), (x + w - 110, y + h - 6), (x + w - 170, y + h + 2)),
        *curve((x + 170, y + h + 2), (x + 110, y + h - 6), (x + 84, GROUND)),
        (x - 10, GROUND),
    ]
    sheet.fill(rectangle(x + 70, y + h - 2, w - 140, GROUND - y - h - 2), NIGHT, 0.35)
    sheet.board(base, look.case)
    sheet.line([(x - 10, y + h - 40), (x + w + 10, y + h - 40)], PALE, 2, alpha=0.4)
    for i in range(6):
        for left in (x, x + w - 22):
            py = y + 14 + i * 32
            tail = [(left, py), (left + 22, py + 5), (left + 22, py + 15), (left, py + 20)]
            sheet.line(tail, NIGHT, 1.2, closed=True, alpha=0.4)
    pull(sheet, look.pull, (x + w / 2, y + 46), 1.0, look.metal)


def chest_of_drawers(sheet: Sheet, look: Look, view: View) -> None:
    """A square chest of four wide drawers on short legs."""
    x, y, w, h = 346.0, 236.0, 500.0, 470.0
    cast(sheet, x, y, w, h)
    shadow(sheet, x, x + w, GROUND, view.right)
    if view.right:
        leg(
            sheet,
            (x + w + view.right - 46, y + h - view.up, 36, GROUND - y - h),
            look.case,
            shade=0.6,
        )
    for side in (x + 8, x + w - 50):
        leg(sheet, (side, y + h, 42, GROUND - y - h), look.case)
    solid(sheet, (x, y, w, h), view, look.case, upright=True)
    drawers(sheet, (x + 24, y + 22, w - 48, h - 44), ((0.8, 1), (0.95, 1), (1.05, 1), (1.15, 1)), look)
    solid(sheet, (x - 10, y - 18, w + 20, 20), view, look.top)
    sheet.glow(rectangle(x, y + 2, w, 12), NIGHT, 0.32, 7)


def sideboard(sheet: Sheet, look: Look, view: View) -> None:
    """A long low case: a sliding door at each end, three drawers between, tapered legs."""
    x, y, w, h = 150.0, 372.0, 840.0, 272.0
    cast(sheet, x, y, w, h)
    shadow(sheet, x + 40, x + w - 40, GROUND, view.right * 0.7)
    if view.right:
        leg(
            sheet,
            (x + w + view.right - 110, y + h - view.up + 10, 30, GROUND - y - h - 4),
            look.case,
            foot=0.45,
            shade=0.55,
        )
        leg(sheet, (x + 150, y + h - 10, 28, GROUND - y - h - 24), look.case, foot=0.45, shade=0.55)
    for side in (x + 62, x + w - 96):
        leg(sheet, (side, y + h, 34, GROUND - y - h), look.case, foot=0.45)
    solid(sheet, (x, y, w, h), view, look.case, top=look.top)
    sheet.fill(rectangle(x + 14, y + 14, w - 28, h - 28), mixed(look.case.dark, NIGHT, 0.6))
    third = (w - 28) / 3
    for i in (0, 2):
        dx = x + 14 + third * i
        front(sheet, (dx + 3, y + 17, third - 6, h - 34), look.case, upright=True)
        _door_face(sheet, (dx + 20, y + 34, third - 40, h - 68), look)
        grip = dx + (third - 44 if i == 0 else 26)
        sheet.oval((grip, y + h / 2 - 22, 18, 44), mixed(look.case.dark, NIGHT, 0.6))
    drawers(
        sheet,
        (x + 14 + third + 6, y + 19, third - 12, h - 38),
        ((0.8, 1), (1, 1), (1, 1)),
        look,
        pulls=1,
        rail=7,
    )
    sheet.glow(rectangle(x + 14, y + 14, w - 28, 10), NIGHT, 0.5, 8)
    if "sun" in look.odd:
        sheet.glow(rectangle(x, y - 10, 210, h + 6), (226, 196, 150), 0.26, 60)


def _door_face(sheet: Sheet, box: Box, look: Look) -> None:
    x, y, w, h = box
    if "vinyl" in look.odd:
        sheet.board(
            rectangle(x, y, w, h),
            Finish(light=(92, 70, 58), dark=(80, 60, 50), wear=0.12, figure=0.4),
        )
    elif "grass" in look.odd:
        sheet.fill(rectangle(x, y, w, h), (206, 190, 150))
        for i in range(int(w / 3)):
            tone = sheet.rng.choice([(182, 162, 118), (222, 208, 172), (168, 152, 116), (212, 194, 146)])
            sheet.line([(x + 2 + i * 3, y), (x + 2 + i * 3, y + h)], tone, sheet.rng.uniform(0.8, 2.0))
        sheet.line(rectangle(x, y, w, h), width=1.4, closed=True)
    else:
        sheet.board(rectangle(x, y, w, h), RAW, upright=True)


def nightstand(sheet: Sheet, look: Look, view: View) -> None:
    """A small case with two drawers above an open shelf."""
    _one_nightstand(sheet, 420.0, look, view)


def two_nightstands(sheet: Sheet, look: Look, view: View) -> None:
    """The pair, side by side."""
    _one_nightstand(sheet, 196.0, look, view)
    _one_nightstand(sheet, 656.0, look, view)


def _one_nightstand(sheet: Sheet, x: float, look: Look, view: View) -> None:
    y, w, h = 304.0, 350.0, 412.0
    cast(sheet, x, y, w, h)
    shadow(sheet, x, x + w, GROUND, view.right)
    if view.right:
        leg(
            sheet,
            (x + w + view.right - 36, y + h - view.up, 28, GROUND - y - h),
            look.case,
            shade=0.6,
        )
    solid(sheet, (x, y, w, h), view, look.case, upright=True)
    drawers(sheet, (x + 26, y + 26, w - 52, 206), ((0.9, 1), (1, 1)), look, pulls=1, size=1.15)
    nook = (x + 26, y + 250, w - 52, h - 276)
    sheet.fill(rectangle(*nook), mixed(look.case.paint or look.case.dark, NIGHT, 0.5))
    shelf = [
        (nook[0], nook[1] + nook[3]),
        (nook[0] + nook[2], nook[1] + nook[3]),
        (nook[0] + nook[2] - 26, nook[1] + nook[3] - 30),
        (nook[0] + 26, nook[1] + nook[3] - 30),
    ]
    sheet.board(shelf, look.case, shade=0.92)
    sheet.glow(rectangle(nook[0], nook[1], nook[2], 50), NIGHT, 0.5, 20)
    sheet.line(rectangle(*nook), width=1.4, closed=True)
    for side in (x + 4, x + w - 38):
        leg(sheet, (side, y + h, 34, GROUND - y - h), look.case)
    solid(sheet, (x - 12, y - 18, w + 24, 20), view, look.top)
    if "corner gone" in look.odd:
        gap = [
            (x + w - 26, y - 18),
            *curve((x + w - 26, y - 18), (x + w - 14, y - 30), (x + w + 6, y - 28)),
            (x + w + 12, y - 18),
            (x + w + 12, y + 2),
            (x + w - 12, y + 2),
        ]
        sheet.board(gap, Finish(light=(196, 140, 104), dark=(160, 104, 74), grime=0.2), upright=True)
    sheet.glow(rectangle(x, y + 2, w, 12), NIGHT, 0.32, 7)
    if "bleed" in look.odd:
        for _ in range(70):
            bx, by = (
                sheet.rng.uniform(6, w - 60),
                sheet.rng.choice((8, 60, 96, 150, 196, 226, 392)) + sheet.rng.uniform(0, 18),
            )
            tint = mixed((206, 104, 96), (232, 176, 166), sheet.rng.random())
            sheet.glow(
                ellipse(x + bx, y + by, sheet.rng.uniform(16, 54), sheet.rng.uniform(3, 12)),
                tint,
                0.4,
                5,
            )
