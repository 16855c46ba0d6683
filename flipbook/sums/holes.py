"""Where the holes for pulls go: from the left and from the top edge of each front, the same on every drawer.

Holes are laid out from exact millimetres and each is rounded once, when it is told. Where pulls usually go is common
practice, no source; the shop's own eye comes first. Centre to centre is between the middles of the holes, not over all.
Multiples of 32 mm and whole inches are how pulls are made, and the inch labels are how they are sold: common practice,
no source. How far a label is off is reckoned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal, cast

from flipbook.measures.amounts import INCH
from flipbook.measures.lengths import Tell, bench_length, tell_inches, tell_millimetres
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import Answer, length_data, telling
from flipbook.sums.fronts import Front, read_fronts

if TYPE_CHECKING:
    from flipbook.sums.at_hand import AtHand

Spread = Literal["quarters", "sixths", "thirds"]

_MOST_FRONTS = 100


@dataclass(frozen=True, slots=True)
class PullSize:
    """The true centres in exact millimetres, and the inches on the label, in exact millimetres."""

    centres: Fraction
    label: Fraction


PULL_SIZES: Final = tuple(
    PullSize(Fraction(centres), Fraction(inches) * INCH)
    for centres, inches in (
        ("64", "2.5"),
        ("76.2", "3"),
        ("96", "3.75"),
        ("101.6", "4"),
        ("128", "5.0625"),
        ("160", "6.3125"),
        ("192", "7.5625"),
        ("224", "8.8125"),
        ("256", "10.0625"),
        ("288", "11.3125"),
        ("320", "12.625"),
    )
)

HOLE: Final = Fraction(3, 16) * INCH
"""For a #8-32 machine screw, 0.164 in over its thread: common practice, no source. The thread's size is from memory of ASME B1.1."""

WOOD_LEFT: Final = Fraction(3, 8) * INCH
"""The least wood between a hole's edge and the front's edge: common practice, no source."""

SPREADS: Final[dict[str, Fraction]] = {
    "quarters": Fraction(1, 4),
    "sixths": Fraction(1, 6),
    "thirds": Fraction(1, 3),
}
"""How far in from each end two pulls sit, as a share of the width: common practice, no source."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Pull:
    """A pull by its hole centres in exact millimetres, 0 for a knob of one hole; `note` tells of a label that is off.

    `overall` is its length from end to end, where it was measured, for the look whether it fits.
    """

    centres: Fraction
    note: str = ""
    overall: Fraction = Fraction(0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Hole:
    """The middle of a hole, in exact millimetres from the left edge and from the top edge of the front."""

    left: Fraction
    top: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class DrilledFront:
    """A front and its holes, from the left; `wood_left` is the least wood from a hole's edge to the front's edge."""

    front: Front
    holes: tuple[Hole, ...]
    wood_left: Fraction
    working: str


@dataclass(frozen=True, kw_only=True, slots=True)
class HoleLayout:
    """All fronts, in the order given."""

    fronts: tuple[DrilledFront, ...]
    hole: Fraction
    working: tuple[str, ...]


def pull_of(centres: Fraction, *, as_measured: bool = False, overall: Fraction = Fraction(0)) -> Pull:
    """The pull whose label says `centres`, in exact millimetres.

    A label in inches is often short for a size in millimetres: pulls sold as 3-3/4 in are 96 mm, and 3 3/4 in is
    95.25 mm. The true size is taken and told, unless the centres were `as_measured` on the pull.

    Raises Unreadable for centres that are no length.
    """
    bench_length("the distance of the holes", centres)
    bench_length("the pull's length", overall, zero=True)
    if overall and overall <= centres:
        raise Unreadable("the pull is no longer than its centres", "write its length from end to end, or leave it out")
    size = next((size for size in PULL_SIZES if size.label == centres), None)
    if as_measured or size is None or size.centres == centres:
        return Pull(centres=centres, overall=overall)
    off = size.centres - centres
    return Pull(
        centres=size.centres,
        overall=overall,
        note=f"A pull sold as {tell_inches(centres)} has its holes {tell_millimetres(size.centres)} apart, "
        f"{write_decimal(abs(off), places=2)} mm {'more' if off > 0 else 'less'} than the {write_decimal(centres, places=2)} mm "
        f"of its label (common practice, no source): measure one before drilling.",
    )


def pull_holes(
    fronts: Sequence[Front],
    *,
    pull: Pull,
    each: int = 1,
    spread: Spread | Fraction = "quarters",
    from_top: Fraction | None = None,
    one_axis: bool = False,
    hole: Fraction = HOLE,
    wood_left: Fraction = WOOD_LEFT,
    tell: Tell = tell_inches,
) -> HoleLayout:
    """The holes of one pull or of two on each front.

    One pull sits at the middle of the width. Two sit by `spread`: at a quarter, a sixth or a third of the width from
    each end, or with their middles a given length from each end. With `one_axis` the widest front settles how far
    the two sit from the middle, and all others follow, so that they line up down the case. Down the front they sit at
    the middle of its height, or `from_top` below its top edge.

    Raises Unreadable for fronts and pulls that can't be, for pulls that would touch, and where a hole would leave
    less than `wood_left` to an edge.
    """
    if not fronts:
        raise Unreadable("there are no fronts", "write the width and height of at least one")
    if len(fronts) > _MOST_FRONTS:
        raise Unreadable(f"those are over {_MOST_FRONTS} fronts", "write them in several lists")
    if each not in (1, 2):
        raise Unreadable(f"{each} pulls on a front", "write 1 or 2")
    bench_length("the hole", hole)
    bench_length("the wood left at an edge", wood_left, zero=True)
    if from_top is not None:
        bench_length("the distance from the top", from_top)
    if isinstance(spread, Fraction):
        bench_length("the distance from the ends", spread)
    elif spread not in SPREADS:
        raise Unreadable(
            f"`{shown(spread)}` is no way to spread two pulls", f"write a length, or one of {', '.join(SPREADS)}"
        )
    for front in fronts:
        bench_length(f"the width of `{front.name}`", front.width)
        bench_length(f"the height of `{front.name}`", front.height)
        if front.count < 1:
            raise Unreadable(f"`{front.name}` is wanted {front.count} times", "write how many, 1 or more")
    widest = max(fronts, key=lambda front: front.width)
    drilled = []
    for front in fronts:
        off_middle = _off_middle(widest if one_axis else front, each, spread)
        _refuse_touching(front, pull, off_middle, tell)
        top = front.height / 2 if from_top is None else from_top
        middles = sorted({front.width / 2 - off_middle, front.width / 2 + off_middle})
        lefts = [left for middle in middles for left in sorted({middle - pull.centres / 2, middle + pull.centres / 2})]
        wood = min(*(min(left, front.width - left) for left in lefts), top, front.height - top) - hole / 2
        if wood < wood_left:
            raise Unreadable(
                f"a hole in `{front.name}` would leave {'no wood' if wood <= 0 else tell(wood)} to its edge",
                f"write a smaller pull or another place; {tell(wood_left)} is the least asked for",
            )
        holes = tuple(Hole(left=left, top=top) for left in lefts)
        drilled.append(
            DrilledFront(front=front, holes=holes, wood_left=wood, working=_front_line(front, holes, pull, tell))
        )
    return HoleLayout(
        fronts=tuple(drilled),
        hole=hole,
        working=(
            _way_line(pull, each, spread, widest if one_axis else None, from_top, tell),
            *([pull.note] if pull.note else []),
            drilled[0].working,
        ),
    )


def _off_middle(front: Front, each: int, spread: Spread | Fraction) -> Fraction:
    """How far a pull's middle is from the middle of the front."""
    if each == 1:
        return Fraction(0)
    from_end = spread if isinstance(spread, Fraction) else front.width * SPREADS[spread]
    if 2 * from_end >= front.width:
        raise Unreadable(
            f"the two pulls of `{front.name}` would meet or cross",
            "write a distance from the ends under half its width",
        )
    return front.width / 2 - from_end


def _refuse_touching(front: Front, pull: Pull, off_middle: Fraction, tell: Tell) -> None:
    long = max(pull.centres, pull.overall)
    if off_middle and long >= 2 * off_middle:
        raise Unreadable(
            f"two pulls of {tell(long)} would touch on `{front.name}`, {tell(front.width)} wide",
            "write one pull for it, or a shorter pull",
        )
    if 2 * off_middle + long > front.width:
        raise Unreadable(
            f"the pulls reach past the ends of `{front.name}`, {tell(front.width)} wide",
            "write a shorter pull, or one pull",
        )


def _way_line(
    pull: Pull, each: int, spread: Spread | Fraction, widest: Front | None, from_top: Fraction | None, tell: Tell
) -> str:
    pulls = ("knob" if not pull.centres else "pull") + ("s" if each == 2 else "")
    centres = f" of {tell_millimetres(pull.centres)} centres" if pull.centres else ""
    if each == 1:
        across = f"One {pulls}{centres} at the middle of the width"
    else:
        share = tell(spread) if isinstance(spread, Fraction) else f"{SPREADS[spread]} of the width"
        across = f"Two {pulls}{centres} with their middles {share} from each end"
    axis = f", lined up with `{widest.name}`" if widest is not None and each == 2 else ""
    down = "at the middle of the height" if from_top is None else f"{tell(from_top)} below the top edge"
    return f"{across}{axis}, {down}."


def _front_line(front: Front, holes: Sequence[Hole], pull: Pull, tell: Tell) -> str:
    first = holes[0]
    middle = first.left + pull.centres / 2
    reckoned = (
        f"the first hole {tell(middle)} − {tell(pull.centres / 2)} = {tell(first.left)} from the left"
        if pull.centres
        else f"{tell(first.left)} from the left"
    )
    others = f", then {', '.join(tell(hole.left) for hole in holes[1:])}" if len(holes) > 1 else ""
    return f"`{front.name}`, {tell(front.width)} by {tell(front.height)}: {reckoned}{others}; {tell(first.top)} from the top."


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums holes`."""
    arguments = at_hand.arguments
    tell = telling(at_hand.words)
    template = at_hand.file("--template", ".svg")
    fronts = at_hand.of_words(lambda words: read_fronts(words, at_hand.size), "the fronts")
    centres = at_hand.length("--pull", None)
    if (centres is None) != arguments.knob:
        raise Unreadable(
            'say the pull by its centres, as --pull "3-3/4 in" or --pull "96 mm"', "or --knob for one hole"
        )
    overall = at_hand.length("--overall", Fraction(0))
    pull = (
        Pull(centres=Fraction(0), overall=overall)
        if centres is None
        else pull_of(centres, as_measured=arguments.as_measured, overall=overall)
    )
    word = (at_hand.text("--spread") or "quarters").strip().lower()
    layout = pull_holes(
        fronts,
        pull=pull,
        each=at_hand.number("--each", 1),
        spread=cast(Spread, word) if word in SPREADS else at_hand.length("--spread", Fraction(0)),
        from_top=at_hand.length("--from-top", None),
        one_axis=arguments.one_axis,
        hole=at_hand.length("--hole", HOLE),
        tell=tell,
    )
    lines = [each.working for each in layout.fronts]
    return Answer(
        lines=lines,
        warnings=["Measure one of the pulls before you drill, and try the template on a scrap."],
        working=[line for line in layout.working if line not in lines],
        data={
            "hole_mm": length_data(layout.hole),
            "fronts": [
                {
                    "name": each.front.name,
                    "count": each.front.count,
                    "holes": [
                        {"left_mm": length_data(hole.left), "top_mm": length_data(hole.top)} for hole in each.holes
                    ],
                    "wood_left_mm": length_data(each.wood_left),
                }
                for each in layout.fronts
            ],
        },
        planned=[{"did": f"drill for pulls: {' '.join(lines)}"}],
        files=_templates(at_hand, template, layout, tell) if template is not None else (),
    )


def _templates(at_hand: AtHand, template: Path, layout: HoleLayout, tell: Tell) -> list[tuple[Path, bytes, str]]:
    """A file for each page of the template, numbered where they are several."""
    from flipbook.sums.drawing import PAPERS, drilling_templates, paper_named

    paper = at_hand.said("--paper", paper_named, PAPERS["letter"])
    pages = drilling_templates(layout, paper, tell, to_a_pull=1 if at_hand.arguments.knob else 2)
    return [
        (
            template if len(pages) == 1 else template.with_stem(f"{template.stem}-{number}"),
            page,
            "a drilling template; print it at 100%, and check its bar with a rule",
        )
        for number, page in enumerate(pages, 1)
    ]
