"""Which picture each piece has, and how it is drawn."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from drawing import furniture as made
from drawing import marks, parts, rooms
from drawing.parts import BRASS, RAW, Look, Pull
from drawing.sheet import Colour, Finish, Point, Sheet, ellipse, rectangle

Step = Callable[[Sheet], None]

CREAM: Colour = (229, 220, 202)
SAGE: Colour = (205, 211, 196)
BLUSH: Colour = (230, 211, 198)
MIST: Colour = (208, 214, 216)
STRAW: Colour = (234, 222, 190)
RUST: Colour = (176, 108, 78)
TEAL: Colour = (96, 128, 130)
OCHRE: Colour = (202, 164, 92)
SMOKE: Colour = (128, 126, 130)
MARSH: Colour = (106, 126, 98)
INKY: Colour = (52, 74, 104)
BONE: Colour = (238, 232, 218)
CLAY: Colour = (229, 219, 205)
BARN: Colour = (142, 58, 46)
BLACK: Colour = (48, 46, 46)
OLD_BRASS: Colour = (126, 104, 70)
IRON: Colour = (58, 56, 58)
TURNED_MAPLE: Colour = (214, 172, 118)
PALE_RING: Colour = (238, 230, 214)

OAK = Finish(light=(212, 176, 126), dark=(178, 136, 88), figure=1.0)
PINE = Finish(light=(230, 198, 146), dark=(206, 164, 110))
NUT = Finish(light=(146, 98, 64), dark=(102, 64, 42), figure=1.0)
BIRCH = Finish(light=(224, 190, 142), dark=(204, 164, 116))
MAPLE = Finish(light=(232, 204, 162), dark=(212, 178, 132))
RED_WOOD = Finish(light=(134, 68, 48), dark=(96, 42, 32))
BEECH = Finish(light=(220, 180, 134), dark=(198, 152, 108))
BROWN = Finish(light=(140, 96, 62), dark=(100, 64, 42), figure=1.0)
CORE = Finish(light=(206, 180, 138), dark=(170, 140, 100), grime=0.4)

RED_CHAIR = replace(MAPLE, paint=(150, 56, 44), wear=0.34, grime=0.3)
BLACK_CHAIR = replace(Finish(light=BARN, dark=(118, 46, 38)), paint=BLACK, wear=0.37)
RED_CHEST = replace(PINE, paint=(136, 66, 52), wear=0.5, grime=0.45)
GREEN = replace(Finish(light=BARN, dark=(122, 54, 42)), paint=MARSH, wear=0.14)
INK_BLUE = replace(MAPLE, paint=INKY)
WHITE = replace(RED_WOOD, paint=BONE)
CLAYED = replace(PINE, paint=CLAY)
CLOUDED = replace(RED_WOOD, light=(162, 118, 98), dark=(130, 88, 72)).worn(0.45, 0.35)
VINYL = Finish(light=(92, 70, 58), dark=(80, 60, 50), wear=0.12, figure=0.4)


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """One photograph to be: how its paper stands, what is drawn on it in turn, and how near it is seen."""

    steps: tuple[Step, ...]
    tall: bool = False
    orientation: int = 1  # as a camera held sideways would note it
    zoom: float = 1.0
    at: Point = (0.0, 0.0)


def _look(finish: Finish, pull: Pull = "none", metal: Colour = BRASS, *, top: Finish | None = None) -> Look:
    return Look(case=finish, top=top or finish, fronts=finish, pull=pull, metal=metal)


def _wide(room: Step, build: made.Builder, look: Look, *marked: Step) -> Picture:
    return Picture(steps=(room, lambda sheet: build(sheet, look), *marked))


def _tall(room: Step, build: made.Builder, look: Look, *marked: Step, orientation: int = 1) -> Picture:
    return replace(_wide(room, build, look, *marked), tall=True, orientation=orientation)


def _near(picture: Picture, x: float, y: float, zoom: float, *marked: Step) -> Picture:
    """The same piece from a hand's breadth, `x` and `y` in the left top corner of what is seen."""
    return replace(picture, steps=(*picture.steps, *marked), tall=False, orientation=1, zoom=zoom, at=(x, y))


def _house(wall: Colour, floor: float = 648.0) -> Step:
    return partial(rooms.house, floor=floor, wall=wall)


def _vase(x: float, base: float, clay: Colour, size: float = 1.0) -> Step:
    return partial(rooms.vase, x=x, base=base, clay=clay, s=size)


def _books(x: float, base: float, *covers: Colour) -> Step:
    return lambda sheet: rooms.books(sheet, x, base, *covers)


def _can(x: float, base: float, colour: Colour) -> Step:
    return partial(rooms.can, x=x, base=base, colour=colour)


def _rings(tone: Colour, *middles: Point) -> Step:
    return lambda sheet: marks.rings(sheet, tone, *middles)


def _patch(x: float, y: float, w: float, h: float, tone: Colour, alpha: float = 0.9) -> Step:
    return partial(marks.patch, box=(x, y, w, h), tone=tone, alpha=alpha)


def _lines(tone: Colour, width: float, *paths: tuple[Point, ...]) -> Step:
    return lambda sheet: marks.lines(sheet, tone, width, *paths)


SHED: Step = partial(rooms.shed, floor=640.0)
TALL_SHED: Step = partial(rooms.shed, floor=950.0)
BENCH: Step = partial(rooms.bench_room, floor=640.0)
TALL_BENCH: Step = partial(rooms.bench_room, floor=950.0)

ROCKER: made.Builder = partial(made.chair, rocker=True)
RUSHED = replace(_look(BLACK_CHAIR), cover="rush")
ROCKER_BEFORE = _tall(
    TALL_SHED,
    ROCKER,
    replace(_look(RED_CHAIR), cover=Finish(light=(74, 62, 54), dark=(60, 50, 44))),
    _lines((176, 92, 70), 12, ((300, 918), (548, 872))),
)
ROCKER_AFTER = _tall(
    _house(CREAM, 960.0), ROCKER, RUSHED, lambda sheet: sheet.board(rectangle(322, 896, 246, 15), BEECH)
)  # the later rung
CHEST = _look(GREEN)
CHEST_BEFORE = _wide(SHED, made.blanket_chest, _look(RED_CHEST))
TALLBOY = replace(_look(MAPLE, "knob", TURNED_MAPLE), fronts=INK_BLUE)
BARE_TALLBOY = _wide(BENCH, made.built(made.CHEST_OF_DRAWERS), _look(MAPLE))
LONG = made.built(made.SIDEBOARD)
NIGHTSTAND = made.built(made.NIGHTSTAND)
OLD_NIGHT = _look(RED_WOOD.worn(0.42, 0.4), "knob", OLD_BRASS)
NIGHT = _look(WHITE, "ring", IRON, top=BROWN)
NIGHT_AFTER = _wide(_house(MIST), NIGHTSTAND, NIGHT, _books(470, 280, INKY, OCHRE), _vase(690, 276, SMOKE))
PAIR = tuple(partial(made.case, look=NIGHT, of=replace(made.NIGHTSTAND, middle=at)) for at in (0.3, 0.7))
DESK = replace(_look(BROWN, "drop"), inside=replace(OAK, paint=MARSH))
BOOKCASE = made.built(made.BOOKCASE)
SHELVES = replace(_look(CLAYED), inside=CLAYED, cover="leaves")
OLD_SHELVES = replace(PINE, light=(206, 212, 178), dark=(190, 200, 164), paint=(112, 84, 62), wear=0.42, grime=0.4)
CUPBOARD = _tall(TALL_SHED, made.corner_cupboard, _look(replace(PINE, paint=(126, 146, 142), wear=0.44, grime=0.4)))
RADIO = _tall(
    TALL_SHED,
    made.radio,
    replace(_look(NUT.worn(0.3, 0.5)), inside=rooms.SLATS),
    lambda sheet: sheet.board([(216, 720), (262, 740), (244, 820), (290, 930), (216, 1010)], CORE, upright=True),
    partial(marks.specks, box=(218, 750, 44, 220), tone=(58, 42, 30), count=40, r=5.0),
)
DRESSING = made.built(made.DRESSING_CHEST)
SEATED = _tall(_house(CREAM, 960.0), made.chair, replace(_look(NUT), cover="cane"))


def _woven(sheet: Sheet, rail: Finish, cover: parts.Cover, count: int) -> None:
    """A seat from above, with the rail in front of it."""
    parts.covered(sheet, rectangle(-60, -40, 1320, 780), cover, count)
    sheet.board(rectangle(-20, 740, 1240, 200), rail)
    sheet.glow(rectangle(-20, 735, 1240, 18), parts.NIGHT, 0.5, 10)


PICTURES: dict[str, Picture] = {
    "ladder-back-rocker/before-front": ROCKER_BEFORE,
    "ladder-back-rocker/during-black": _near(
        ROCKER_BEFORE,
        250,
        190,
        2.6,
        partial(marks.worked, box=(250, 330, 150, 70), after=replace(RED_CHAIR, paint=BLACK, wear=0.0)),
        partial(marks.worked, box=(290, 214, 300, 66), after=replace(RED_CHAIR, paint=BLACK, wear=0.0)),
        partial(marks.brush, at=(404, 366), paint=BLACK, s=0.42),
    ),
    "ladder-back-rocker/after-front": ROCKER_AFTER,
    "ladder-back-rocker/detail-rush": Picture(steps=(partial(_woven, rail=BLACK_CHAIR, cover="rush", count=34),)),
    "ladder-back-rocker/detail-rung": _near(ROCKER_AFTER, 250, 690, 2.8),
    "pine-blanket-chest/before-front": CHEST_BEFORE,
    "pine-blanket-chest/during-sanding": _near(
        CHEST_BEFORE,
        420,
        470,
        2.6,
        partial(marks.worked, box=(440, 540, 250, 110), after=replace(RED_CHEST, wear=0.8, grime=0.0)),
        partial(marks.block, at=(660, 550), s=0.8),
    ),
    "pine-blanket-chest/after-front": _wide(
        _house(STRAW), made.blanket_chest, CHEST, _books(380, 458, RUST, SMOKE, OCHRE)
    ),
    "pine-blanket-chest/after-open": _wide(_house(STRAW), made.blanket_chest, replace(CHEST, opened=True, inside=PINE)),
    "pine-blanket-chest/detail-edge": _near(
        _wide(_house(STRAW), made.blanket_chest, CHEST),
        240,
        430,
        4.4,
        _patch(270, 484, 90, 8, BARN),
        _patch(278, 500, 8, 70, BARN, 0.8),
    ),
    "maple-chest-of-drawers/before-front": _wide(
        SHED,
        made.built(made.CHEST_OF_DRAWERS),
        replace(
            _look(replace(MAPLE, light=(190, 142, 88), dark=(156, 108, 62)).worn(0.3, 0.5), "knob", OLD_BRASS),
            lost=frozenset({2, 7}),
        ),
    ),
    "maple-chest-of-drawers/detail-sand-through": _near(
        BARE_TALLBOY, 340, 330, 3.6, _patch(388, 386, 120, 46, (176, 132, 86)), _patch(412, 398, 66, 22, (150, 106, 66))
    ),
    "maple-chest-of-drawers/during-brush": _near(
        BARE_TALLBOY,
        360,
        300,
        2.6,
        partial(marks.worked, box=(380, 363, 190, 98), after=INK_BLUE),
        partial(marks.brush, at=(575, 412), paint=INKY, s=0.5),
    ),
    "maple-chest-of-drawers/after-front": _wide(
        _house(MIST),
        made.built(made.CHEST_OF_DRAWERS),
        TALLBOY,
        _vase(740, 208, OCHRE, 0.72),
        _books(410, 212, TEAL, RUST),
    ),
    "side-table/before-front": _wide(
        SHED,
        made.side_table,
        _look(BIRCH.worn(0.2, 0.45)),
        _rings(PALE_RING, (486, 322), (560, 300), (618, 330), (680, 302), (724, 322)),
        _lines((58, 44, 36), 3, ((684, 396), (740, 406))),
    ),
    "side-table/after-front": _wide(
        _house(BLUSH), made.side_table, _look(BIRCH, top=BROWN), _vase(660, 322, TEAL), _books(480, 330, OCHRE, RUST)
    ),
    "walnut-sideboard/before-front": _wide(
        SHED,
        LONG,
        replace(_look(NUT.worn(0.3, 0.5), "knob", OLD_BRASS), cover=VINYL),
        lambda sheet: sheet.glow(rectangle(180, 340, 200, 290), (226, 196, 150), 0.26, 60),
    ),
    "walnut-sideboard/after-front": _wide(
        _house(SAGE),
        LONG,
        replace(_look(NUT, "knob"), cover="grass"),
        _vase(320, 352, CREAM),
        _books(720, 352, TEAL, RUST, OCHRE),
    ),
    "walnut-sideboard/detail-grass-paper": Picture(
        steps=(
            lambda sheet: parts.covered(sheet, rectangle(250, -20, 980, 960), "grass", 74),
            lambda sheet: sheet.board(rectangle(-10, -10, 270, 940), NUT, upright=True),
            lambda sheet: sheet.glow(rectangle(258, -20, 26, 940), parts.NIGHT, 0.55, 12),
            lambda sheet: sheet.fill(ellipse(90, 280, 90, 340), (58, 40, 30)),
        )
    ),
    "nightstand-left/before-front": _wide(SHED, NIGHTSTAND, OLD_NIGHT),
    "nightstand-left/during-bleed": _wide(
        BENCH,
        NIGHTSTAND,
        _look(replace(RED_WOOD, paint=(236, 218, 208), cover=0.9), "holes", top=RED_WOOD),
        partial(marks.bled, box=(436, 324, 320, 200)),
        _can(880, 790, BONE),
    ),
    "nightstand-left/after-front": NIGHT_AFTER,
    "nightstand-left/detail-pull": _near(NIGHT_AFTER, 490, 310, 5.0),
    "nightstand-right/before-front": _wide(
        SHED,
        NIGHTSTAND,
        replace(OLD_NIGHT, lost=frozenset({0})),
        lambda sheet: sheet.board([(750, 284), (762, 274), (792, 272), (792, 308), (770, 308)], CORE, upright=True),
    ),
    "nightstand-right/after-pair": Picture(
        steps=(_house(MIST), *PAIR, _vase(300, 276, SMOKE), _books(780, 280, RUST, CREAM, INKY))
    ),
    "secretary-desk/before-front": _wide(
        SHED,
        made.secretary,
        replace(
            _look(replace(OAK, light=(196, 128, 66), dark=(158, 94, 44)).worn(0.3, 0.4), "drop", OLD_BRASS),
            lost=frozenset({1, 4}),
        ),
    ),
    "secretary-desk/during-pigeonholes": _wide(
        BENCH,
        made.secretary,
        replace(_look(OAK, "holes"), inside=replace(OAK, paint=MARSH), opened=True, cover=RAW),
        _can(900, 790, MARSH),
    ),
    "secretary-desk/after-front": _wide(_house(STRAW), made.secretary, DESK),
    "secretary-desk/after-open": _wide(_house(STRAW), made.secretary, replace(DESK, opened=True)),
    "tall-bookcase/before-front": _tall(
        TALL_SHED, BOOKCASE, replace(_look(OLD_SHELVES), inside=replace(BROWN, light=(150, 118, 84), grime=0.8))
    ),
    "tall-bookcase/during-first-coat": _tall(
        TALL_BENCH,
        BOOKCASE,
        replace(
            _look(replace(OLD_SHELVES, paint=CLAY, cover=0.85, wear=0.0, grime=0.0)), inside=replace(BROWN, grime=0.4)
        ),
        _can(730, 1110, CLAY),
    ),
    "tall-bookcase/after-front": _tall(
        _house(SAGE, 960.0),
        BOOKCASE,
        SHELVES,
        _vase(330, 345, RUST, 0.5),
        _books(470, 349, TEAL, OCHRE, INKY),
        _books(300, 505, RUST, SMOKE),
        _books(450, 661, MARSH, OCHRE, SMOKE),
        _vase(360, 815, CREAM, 0.5),
        orientation=6,
    ),
    "tall-bookcase/detail-paper": Picture(
        steps=(
            lambda sheet: parts.covered(sheet, rectangle(0, 0, 1200, 900), "leaves", 9),
            _lines((190, 182, 162), 1.4, ((408, 0), (408, 700))),  # the seam
            lambda sheet: sheet.board(rectangle(-20, 760, 1240, 160), CLAYED),
            lambda sheet: sheet.glow(rectangle(-20, 735, 1240, 30), parts.NIGHT, 0.4, 16),
        )
    ),
    "spindle-chair/before-front": _tall(
        TALL_SHED,
        made.chair,
        _look(replace(BEECH, light=(140, 90, 52), dark=(108, 66, 38)).worn(0.3, 0.5)),
        _lines((120, 112, 100), 2, *(((420 + i * 6, 894), (424 + i * 6, 912)) for i in range(5))),
        orientation=8,
    ),
    "spindle-chair/during-second-coat": _tall(
        TALL_BENCH,
        made.chair,
        _look(replace(BEECH, paint=BARN, cover=0.93), top=replace(BEECH, paint=BARN, cover=0.72)),
        _can(700, 1120, BARN),
    ),
    "corner-cupboard/before-front": CUPBOARD,
    "corner-cupboard/detail-hinge": _near(
        CUPBOARD,
        490,
        240,
        4.6,
        _patch(590, 262, 36, 70, (188, 152, 108)),
        _lines((40, 30, 24), 5, *(((606, y), (607, y)) for y in (276, 297, 318))),
    ),
    "oval-mirror/before-front": _tall(
        TALL_SHED, made.mirror, _look(replace(OAK, light=(126, 88, 56), dark=(92, 60, 38)))
    ),
    "oval-mirror/after-front": _tall(_house(BLUSH, 960.0), made.mirror, _look(OAK)),
    "radio-cabinet/before-front": RADIO,
    "radio-cabinet/detail-beetle": _near(RADIO, 200, 730, 4.6),
    "mahogany-chest/before-front": _wide(
        SHED, DRESSING, replace(_look(CLOUDED, "knob", OLD_BRASS), lost=frozenset({2}))
    ),
    "mahogany-chest/after-front": _wide(
        _house(SAGE),
        DRESSING,
        _look(RED_WOOD, "drop", top=BROWN),
        _vase(470, 344, CREAM),
        _books(690, 346, OCHRE, MARSH),
    ),
    "cane-chair/before-front": _tall(
        TALL_BENCH,
        made.chair,
        replace(_look(NUT.worn(0.12, 0.2)), cover="cane"),
        _patch(390, 668, 110, 26, parts.NIGHT, 1.0),
    ),
    "cane-chair/detail-cane": Picture(steps=(partial(_woven, rail=NUT, cover="cane", count=9),)),
    "cane-chair/after-front": SEATED,
    "step-stool/before-front": _wide(
        SHED, made.step_stool, _look(replace(PINE, paint=(192, 178, 120), wear=0.5, grime=0.4))
    ),
    "step-stool/after-front": _wide(
        _house(CREAM), made.step_stool, _look(replace(PINE, paint=BLACK)), _vase(930, 790, RUST)
    ),
}
