"""Which picture each piece has, and how it is drawn."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from drawing import chests, rooms, small, tallcases
from drawing import closeups as near
from drawing.hardware import BRASS, IRON, MAPLE, OLD_BRASS, Pull
from drawing.joinery import FRONT, RAW, TURNED, Builder, Look, View
from drawing.sheet import Colour, Finish, Sheet

Extra = Callable[[Sheet], None]

CREAM: Colour = (229, 220, 202)
SAGE: Colour = (205, 211, 196)
BLUSH: Colour = (230, 211, 198)
MIST: Colour = (208, 214, 216)
STRAW: Colour = (234, 222, 190)
FOG: Colour = (182, 190, 190)
MARSH: Colour = (106, 126, 98)
INKY: Colour = (52, 74, 104)
BONE: Colour = (238, 232, 218)
CLAY: Colour = (229, 219, 205)
BARN: Colour = (142, 58, 46)

OAK = Finish(light=(212, 176, 126), dark=(178, 136, 88), figure=1.0)
OLD_OAK = Finish(light=(126, 88, 56), dark=(92, 60, 38), wear=0.32, grime=0.75)
PINE = Finish(light=(230, 198, 146), dark=(206, 164, 110))
NUT = Finish(light=(146, 98, 64), dark=(102, 64, 42), figure=1.0)
BIRCH = Finish(light=(224, 190, 142), dark=(204, 164, 116))
SUGAR = Finish(light=(232, 204, 162), dark=(212, 178, 132))
RED_WOOD = Finish(light=(134, 68, 48), dark=(96, 42, 32))
BEECH = Finish(light=(220, 180, 134), dark=(198, 152, 108))
BROWN = Finish(light=(140, 96, 62), dark=(100, 64, 42), figure=1.0)

WASHED = replace(OAK, light=(214, 190, 152), dark=(150, 118, 84), paint=FOG, cover=0.62)
RED_CHEST = replace(PINE, paint=(136, 66, 52), wear=0.5, grime=0.45)
GREEN = replace(Finish(light=(146, 70, 54), dark=(122, 54, 42)), paint=MARSH, wear=0.14)
WHITE = replace(RED_WOOD, paint=BONE)
CLAYED = replace(PINE, paint=CLAY)


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """One photograph to be: where its paper stands up, and what is drawn on it in turn."""

    steps: tuple[Extra, ...]
    tall: bool = False
    orientation: int = 1  # as a camera held sideways would note it


def _plain(finish: Finish, pull: Pull = "none", metal: Colour = BRASS, *odd: str, **other: Finish) -> Look:
    return Look(
        case=finish,
        top=other.get("top", finish),
        fronts=other.get("fronts", finish),
        inside=other.get("inside", RAW),
        pull=pull,
        metal=metal,
        odd=frozenset(odd),
    )


def _shot(
    room: Extra,
    build: Builder,
    look: Look,
    *extras: Extra,
    view: View = FRONT,
    tall: bool = False,
    orientation: int = 1,
) -> Picture:
    def piece(sheet: Sheet) -> None:
        build(sheet, look, view)

    return Picture(steps=(room, piece, *extras), tall=tall, orientation=orientation)


def _close(draw: Extra, *, tall: bool = False) -> Picture:
    return Picture(steps=(draw,), tall=tall)


def _in(wall: Colour, *, tall: bool = False) -> Extra:
    return partial(rooms.house, floor=960.0 if tall else 648.0, wall=wall)


SHED: Extra = partial(rooms.shed, floor=640.0)
TALL_SHED: Extra = partial(rooms.shed, floor=950.0)
BENCH: Extra = partial(rooms.bench_room, floor=640.0)
TALL_BENCH: Extra = partial(rooms.bench_room, floor=950.0)


def _vase(x: float, base: float, clay: Colour, size: float = 1.0) -> Extra:
    return partial(rooms.vase, x=x, base=base, clay=clay, size=size)


def _books(x: float, base: float, *covers: Colour, wide: float = 96) -> Extra:
    return partial(rooms.books, x=x, base=base, covers=covers, wide=wide)


def _can(x: float, base: float, colour: Colour) -> Extra:
    return partial(rooms.paint_can, x=x, base=base, colour=colour)


def _frame(x: float, y: float, w: float = 170, h: float = 200) -> Extra:
    return partial(rooms.picture, x=x, y=y, w=w, h=h)


RUST: Colour = (176, 108, 78)
TEAL: Colour = (96, 128, 130)
OCHRE: Colour = (202, 164, 92)
SMOKE: Colour = (128, 126, 130)

STAND = _plain(WASHED, "bin", BRASS, "bead")
CHEST = _plain(GREEN, inside=PINE)
TALLBOY = _plain(SUGAR, "knob", MAPLE, fronts=replace(SUGAR, paint=INKY))
LONG = _plain(NUT, "bar", BRASS, "grass")
NIGHT = _plain(WHITE, "ring", IRON, top=BROWN)
DESK = _plain(BROWN, "drop", BRASS, inside=replace(OAK, paint=MARSH))
SHELVES = _plain(CLAYED, "none", BRASS, "leaf paper", inside=CLAYED)
STRIPPED_RED = replace(RED_WOOD, paint=(236, 218, 208), cover=0.9)
OLD_NIGHT = _plain(RED_WOOD.worn(0.42, 0.4), "knob", OLD_BRASS)

PICTURES: dict[str, Picture] = {
    "oak-washstand/before-front": _shot(
        SHED,
        chests.washstand,
        _plain(OLD_OAK, "holes", BRASS, "rings"),
        _can(900, 764, (96, 90, 84)),
    ),
    "oak-washstand/during-wash": _close(partial(near.brushing, before=OAK, after=WASHED, wet_paint=(190, 198, 198))),
    "oak-washstand/after-front": _shot(
        _in(CREAM), chests.washstand, STAND, _vase(720, 350, RUST), _books(400, 350, TEAL, OCHRE)
    ),
    "oak-washstand/after-side": _shot(_in(CREAM), chests.washstand, STAND, _vase(470, 336, RUST), view=TURNED),
    "oak-washstand/detail-pull": _close(
        partial(near.pull_on_front, rail=WASHED, face=WASHED, kind="bin", metal=BRASS, bead=True)
    ),
    "oak-washstand/detail-sand-through": _close(partial(near.sand_through, face=OAK, case=OAK, ground=(236, 214, 174))),
    "pine-blanket-chest/before-front": _shot(SHED, chests.blanket_chest, _plain(RED_CHEST)),
    "pine-blanket-chest/during-sanding": _close(partial(near.sanding, before=RED_CHEST, after=PINE)),
    "pine-blanket-chest/after-front": _shot(
        _in(STRAW),
        chests.blanket_chest,
        CHEST,
        _frame(800, 120),
        _books(350, 438, RUST, SMOKE, OCHRE, wide=110),
    ),
    "pine-blanket-chest/after-open": _shot(_in(STRAW), chests.blanket_chest, replace(CHEST, odd=frozenset({"open"}))),
    "pine-blanket-chest/detail-edge": _close(
        partial(near.worn_edge, paint=replace(GREEN, wear=0.0), under=(142, 62, 48))
    ),
    "maple-chest-of-drawers/before-front": _shot(
        SHED,
        chests.chest_of_drawers,
        _plain(
            replace(SUGAR, light=(190, 142, 88), dark=(156, 108, 62), wear=0.3, grime=0.5),
            "knob",
            OLD_BRASS,
            "pull 2.1 lost",
            "pull 4.2 lost",
        ),
    ),
    "maple-chest-of-drawers/detail-sand-through": _close(
        partial(near.sand_through, face=SUGAR, case=SUGAR, ground=(176, 132, 86))
    ),
    "maple-chest-of-drawers/during-brush": _close(
        partial(
            near.brushing,
            before=replace(SUGAR, paint=(232, 230, 224), cover=0.95),
            after=replace(SUGAR, paint=INKY),
            wet_paint=INKY,
        )
    ),
    "maple-chest-of-drawers/after-front": _shot(
        _in(MIST),
        chests.chest_of_drawers,
        TALLBOY,
        _vase(740, 208, OCHRE, 0.72),
        _books(410, 212, TEAL, RUST),
    ),
    "maple-chest-of-drawers/after-side": _shot(
        _in(MIST), chests.chest_of_drawers, TALLBOY, _vase(500, 196, OCHRE, 0.7), view=TURNED
    ),
    "maple-chest-of-drawers/detail-knob": _close(
        partial(
            near.knob_row,
            face=replace(SUGAR, paint=INKY),
            case=SUGAR,
            knobs=(MAPLE, (184, 138, 88)),
        )
    ),
    "side-table/before-front": _shot(
        SHED, small.side_table, _plain(BIRCH.worn(0.2, 0.45), "none", BRASS, "rings", "loose leg")
    ),
    "side-table/before-rings": _close(partial(near.rings_on_top, top=BIRCH.worn(0.1, 0.35))),
    "side-table/after-front": _shot(
        _in(BLUSH),
        small.side_table,
        _plain(BIRCH, top=BROWN),
        _vase(660, 322, TEAL),
        _books(480, 330, OCHRE, RUST),
    ),
    "walnut-sideboard/before-front": _shot(
        SHED, chests.sideboard, _plain(NUT.worn(0.3, 0.5), "bar", OLD_BRASS, "vinyl", "sun")
    ),
    "walnut-sideboard/during-scraping": _close(
        partial(
            near.scraping,
            before=replace(NUT, light=(112, 84, 64), dark=(86, 62, 48), wear=0.4, grime=0.5),
            after=replace(NUT, light=(186, 134, 92), dark=(140, 94, 62)),
        )
    ),
    "walnut-sideboard/after-front": _shot(
        _in(SAGE),
        chests.sideboard,
        LONG,
        _vase(320, 352, CREAM),
        _books(720, 362, TEAL, RUST, OCHRE),
        _frame(520, 96, 220, 170),
    ),
    "walnut-sideboard/after-side": _shot(_in(SAGE), chests.sideboard, LONG, _vase(300, 344, CREAM), view=TURNED),
    "walnut-sideboard/detail-grass-paper": _close(partial(near.grass_paper, wood=NUT)),
    "nightstand-left/before-front": _shot(SHED, chests.nightstand, OLD_NIGHT),
    "nightstand-left/during-bleed": _shot(
        BENCH,
        chests.nightstand,
        _plain(STRIPPED_RED, "holes", BRASS, "bleed", top=RED_WOOD),
        _can(880, 790, BONE),
    ),
    "nightstand-left/after-front": _shot(
        _in(MIST), chests.nightstand, NIGHT, _books(470, 280, INKY, OCHRE), _vase(690, 276, SMOKE)
    ),
    "nightstand-left/detail-pull": _close(partial(near.pull_on_front, rail=WHITE, face=WHITE, kind="ring", metal=IRON)),
    "nightstand-right/before-front": _shot(
        SHED, chests.nightstand, replace(OLD_NIGHT, odd=frozenset({"pull 1.1 lost", "corner gone"}))
    ),
    "nightstand-right/after-pair": _shot(
        _in(MIST),
        chests.two_nightstands,
        NIGHT,
        _vase(300, 276, SMOKE),
        _books(760, 280, RUST, CREAM, INKY),
    ),
    "nightstand-right/detail-corner": _close(partial(near.filled_corner, top=BROWN, case=WHITE)),
    "secretary-desk/before-front": _shot(
        SHED,
        tallcases.secretary,
        _plain(
            replace(OAK, light=(196, 128, 66), dark=(158, 94, 44)).worn(0.3, 0.4),
            "drop",
            OLD_BRASS,
            "pull 1.2 lost",
            "pull 3.1 lost",
        ),
    ),
    "secretary-desk/during-pigeonholes": _shot(
        BENCH,
        tallcases.secretary,
        replace(
            _plain(OAK, "holes", inside=replace(OAK, paint=MARSH)),
            odd=frozenset({"open", "half painted"}),
        ),
        _can(900, 790, MARSH),
    ),
    "secretary-desk/after-front": _shot(_in(STRAW), tallcases.secretary, DESK, _frame(930, 150)),
    "secretary-desk/after-open": _shot(
        _in(STRAW),
        tallcases.secretary,
        replace(DESK, odd=frozenset({"open", "letters"})),
        _frame(930, 150),
    ),
    "secretary-desk/detail-drawer": _close(partial(near.dovetails, side=OAK, face=BROWN)),
    "tall-bookcase/before-front": _shot(
        TALL_SHED,
        tallcases.bookcase,
        _plain(
            replace(
                PINE,
                light=(206, 212, 178),
                dark=(190, 200, 164),
                paint=(112, 84, 62),
                wear=0.42,
                grime=0.4,
            ),
            inside=replace(BROWN, light=(150, 118, 84), grime=0.8),
        ),
        tall=True,
    ),
    "tall-bookcase/during-first-coat": _shot(
        TALL_BENCH,
        tallcases.bookcase,
        _plain(
            replace(PINE, light=(168, 186, 156), dark=(150, 170, 140), paint=CLAY, cover=0.8),
            inside=replace(BROWN, grime=0.4),
        ),
        _can(730, 1110, CLAY),
        tall=True,
    ),
    "tall-bookcase/after-front": _shot(
        _in(SAGE, tall=True),
        tallcases.bookcase,
        SHELVES,
        _vase(330, 362, RUST, 0.52),
        _books(470, 362, TEAL, OCHRE, INKY),
        _books(300, 524, RUST, SMOKE),
        _books(450, 686, MARSH, OCHRE, SMOKE, wide=130),
        _vase(360, 848, CREAM, 0.52),
        tall=True,
        orientation=6,
    ),
    "tall-bookcase/detail-paper": _close(partial(near.printed_back, shelf=CLAYED)),
    "spindle-chair/before-front": _shot(
        TALL_SHED,
        small.chair,
        _plain(
            replace(BEECH, light=(140, 90, 52), dark=(108, 66, 38)).worn(0.3, 0.5),
            "none",
            BRASS,
            "wire",
        ),
        tall=True,
        orientation=8,
    ),
    "spindle-chair/during-glue-up": _shot(
        TALL_BENCH,
        small.chair,
        _plain(
            replace(BEECH, light=(150, 98, 58), dark=(118, 74, 42)).worn(0.2, 0.2),
            "none",
            BRASS,
            "cord",
        ),
        tall=True,
    ),
    "spindle-chair/during-second-coat": _shot(
        TALL_BENCH,
        small.chair,
        _plain(replace(BEECH, paint=BARN, cover=0.93), top=replace(BEECH, paint=BARN, cover=0.72)),
        _can(700, 1120, BARN),
        tall=True,
    ),
    "corner-cupboard/before-front": _shot(
        TALL_SHED,
        tallcases.corner_cupboard,
        _plain(replace(PINE, paint=(126, 146, 142), wear=0.44, grime=0.4)),
        tall=True,
    ),
    "corner-cupboard/detail-hinge": _close(
        partial(near.empty_hinge, case=replace(PINE, paint=(126, 146, 142), wear=0.3, grime=0.25))
    ),
    "oval-mirror/before-front": _shot(TALL_SHED, small.mirror, _plain(OLD_OAK), tall=True),
    "oval-mirror/after-front": _shot(_in(BLUSH, tall=True), small.mirror, _plain(OAK), tall=True),
    "radio-cabinet/before-front": _shot(TALL_SHED, small.radio_cabinet, _plain(NUT.worn(0.3, 0.5)), tall=True),
    "radio-cabinet/detail-beetle": _close(partial(near.beetle, veneer=NUT.worn(0.2, 0.3))),
    "mahogany-chest/before-front": _shot(
        SHED,
        chests.washstand,
        _plain(
            replace(RED_WOOD, light=(158, 112, 92), dark=(128, 84, 68)).worn(0.45, 0.35),
            "knob",
            OLD_BRASS,
            "pull 2.1 lost",
        ),
    ),
    "mahogany-chest/during-scraping": _close(
        partial(
            near.scraping,
            before=replace(RED_WOOD, light=(166, 124, 104), dark=(134, 94, 78)).worn(0.5, 0.3),
            after=RED_WOOD,
        )
    ),
    "mahogany-chest/after-front": _shot(
        _in(SAGE),
        chests.washstand,
        _plain(RED_WOOD, "drop", BRASS, top=BROWN),
        _vase(470, 350, CREAM),
        _books(690, 350, OCHRE, MARSH),
    ),
    "cane-chair/before-front": _shot(
        TALL_BENCH, small.chair, _plain(NUT.worn(0.12, 0.2), "none", BRASS, "torn cane"), tall=True
    ),
    "cane-chair/detail-cane": _close(partial(near.cane, rail=NUT)),
    "cane-chair/after-front": _shot(_in(CREAM, tall=True), small.chair, _plain(NUT, "none", BRASS, "cane"), tall=True),
    "step-stool/before-front": _shot(
        SHED, small.step_stool, _plain(replace(PINE, paint=(192, 178, 120), wear=0.5, grime=0.4))
    ),
    "step-stool/after-front": _shot(
        _in(CREAM), small.step_stool, _plain(replace(PINE, paint=FOG)), _vase(930, 790, RUST)
    ),
}
