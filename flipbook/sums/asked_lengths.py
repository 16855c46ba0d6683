"""The command line of trim, panels and holes: their words read, their answers told."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import cast

from flipbook.cli.ending import Misused, many
from flipbook.measures.lengths import Size, Tell, read_length
from flipbook.measures.numerals import NUMBER, write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import (
    Answer,
    AtHand,
    Data,
    choice_said,
    file_named,
    length_data,
    length_said,
    number_said,
    reckoned,
    said,
    telling,
)
from flipbook.sums.coats import read_lengths
from flipbook.sums.drawing import drilling_templates, layout_drawing, paper_named
from flipbook.sums.fronts import Front
from flipbook.sums.holes import HoleLayout, Pull, Spread, pull_holes, pull_of
from flipbook.sums.nesting import Nesting, nest
from flipbook.sums.panels import Layout, Panel, from_roll, from_sheet
from flipbook.sums.trim import (
    Measured,
    MitredPart,
    TrimCuts,
    mitred_frames,
    mitred_ring,
    read_nominal,
)

_NOTHING = Fraction(0)
_FULL_KERF = Fraction("25.4") / 8


def read_fronts(text: str, size: Size | None) -> tuple[Front, ...]:
    """Fronts: `drawer 4 at 30 x 6 in, door 15 x 24 in`, width by height; `front`, `side`, `top`, `back` of the piece.

    Raises Unreadable.
    """
    fronts: list[Front] = []
    for number, piece in enumerate((" ".join(one.split()) for one in re.split("[,;]", text) if one.strip()), 1):
        alone = piece.casefold()
        if alone in ("front", "back", "side", "top"):
            if size is None:
                raise Unreadable(
                    f"the size of the piece is not said, and its {alone} is reckoned from it",
                    'say it with `--size "34 x 19 x 30 1/2 in"`, or write the two lengths',
                )
            width, height = {
                "front": (size.width, size.height),
                "back": (size.width, size.height),
                "side": (size.depth, size.height),
                "top": (size.width, size.depth),
            }[alone]
            fronts.append(Front(name=alone, width=width, height=height, count=1))
            continue
        found = re.fullmatch(
            rf"(?:(?P<name>[^\W\d][^\d]*?) +)?(?:(?P<count>[0-9]{{1,3}}) +(?:at|of) +)?(?P<size>{NUMBER}.*)", piece
        )
        if found is None:
            raise Unreadable(f"`{shown(piece)}` is no front", "write it as `4 at 30 x 6 in`, width by height")
        width, height = read_lengths(found["size"], piece, 2)
        name = found["name"] or f"front {number}"
        fronts.append(Front(name=name, width=width, height=height, count=int(found["count"] or 1)))
    if not fronts:
        raise Unreadable("no front was said", "write it as `4 at 30 x 6 in`, width by height")
    return tuple(fronts)


def trim(at_hand: AtHand) -> Answer:
    """`flipbook sums trim`."""
    arguments = at_hand.arguments
    words = " ".join(arguments.words)
    tell = telling(words, arguments.width, arguments.side, arguments.stick)
    if arguments.width is None:
        raise Misused('say how wide the trim is, as --width "1 in"; or by its nominal size, --width 1x4')
    width = said(arguments.width, _read_width, "--width")
    kerf = length_said(arguments.kerf, "--kerf") if arguments.kerf is not None else _FULL_KERF
    measured = choice_said(arguments.measured, ("outside", "inside", "middle", "panel"), "--measured")
    lap, set_in = length_said(arguments.lap, "--lap"), length_said(arguments.set_in, "--set-in")
    if arguments.sides is not None:
        cuts = _ring(at_hand, words, cast(Measured, measured), width, kerf, lap, tell)
    else:
        fronts = said(words, lambda text: read_fronts(text, at_hand.size), "the fronts")
        cuts = reckoned(
            lambda: mitred_frames(
                fronts,
                measured=cast(Measured, measured),
                trim_width=width,
                kerf=kerf,
                set_in=set_in,
                lap=lap,
                tell=tell,
            )
        )
    plan = _nested(at_hand, cuts, tell)
    lines = [
        *(_part_line(part, tell) for part in cuts.parts),
        f"In one row they take {tell(cuts.strip)} of trim.",
        *(_stick_lines(plan, tell) if plan else []),
    ]
    return Answer(
        lines=lines,
        warnings=[]
        if arguments.kerf is not None
        else [f"The kerf is taken for {tell(kerf)}; say --kerf for your blade."],
        working=[*cuts.working, *(plan.working if plan else [])],
        data={
            "parts": [
                {
                    "name": part.name,
                    "count": part.count,
                    "long_points_mm": length_data(part.long_points),
                    "short_points_mm": length_data(part.short_points),
                    "mitre_degrees": write_decimal(part.mitre),
                }
                for part in cuts.parts
            ],
            "strip_mm": length_data(cuts.strip),
            "sticks": _sticks_data(plan) if plan else None,
        },
        planned=[
            {"did": f"cut the trim, mitred: {'; '.join(_part_line(part, tell).rstrip('.') for part in cuts.parts)}"}
        ],
    )


def _ring(
    at_hand: AtHand, words: str, measured: Measured, width: Fraction, kerf: Fraction, lap: Fraction, tell: Tell
) -> TrimCuts:
    arguments = at_hand.arguments
    if words.strip():
        raise Misused("a frame of --sides has sides of one length, said with --side; leave the fronts out")
    if arguments.side is None:
        raise Misused('say how long a side is, as --side "10 in"')
    side = length_said(arguments.side, "--side")
    return reckoned(
        lambda: mitred_ring(
            sides=number_said(arguments.sides, "--sides"),
            side=side,
            measured=measured,
            trim_width=width,
            kerf=kerf,
            lap=lap,
            tell=tell,
        )
    )


def _nested(at_hand: AtHand, cuts: TrimCuts, tell: Tell) -> Nesting | None:
    arguments = at_hand.arguments
    if arguments.stick is None:
        if arguments.offcut:
            raise Misused('--offcut goes with the length that is bought, as --stick "8 ft"')
        return None
    stick = length_said(arguments.stick, "--stick")
    offcuts = [length_said(text, "--offcut") for text in arguments.offcut]
    return reckoned(lambda: nest(cuts.to_nest, stick=stick, kerf=cuts.kerf_along, offcuts=offcuts, tell=tell))


def _part_line(part: MitredPart, tell: Tell) -> str:
    return f"{part.count} x {part.name}: {tell(part.long_points)} long points, {tell(part.short_points)} short points, {write_decimal(part.mitre, places=2)} degrees."


def _stick_lines(plan: Nesting, tell: Tell) -> list[str]:
    from_shelf = len(plan.sticks) - plan.new_sticks
    head = f"Buy {many(plan.new_sticks, 'stick')}" + (f", and use {many(from_shelf, 'offcut')}" if from_shelf else "")
    proof = "; no plan has fewer." if plan.is_least else f"; at least {plan.least} are wanted, fewer may do."
    lines = [head + proof]
    for number, stick in enumerate(plan.sticks, 1):
        lengths: dict[str, int] = {}
        for cut in stick.cuts:
            lengths[tell(cut.length)] = lengths.get(tell(cut.length), 0) + 1
        parts = ", ".join(f"{count} at {length}" if count > 1 else length for length, count in lengths.items())
        kind = "offcut" if stick.from_shelf else "stick"
        left = f"; {tell(stick.offcut)} left" if stick.offcut else ""
        lines.append(f"{number}. {kind} {tell(stick.length)}: {parts}{left}.")
    return lines


def _sticks_data(plan: Nesting) -> Data:
    return {
        "new": plan.new_sticks,
        "least": plan.least,
        "cut": [
            {
                "length_mm": length_data(stick.length),
                "from_shelf": stick.from_shelf,
                "parts": [{"name": cut.name, "length_mm": length_data(cut.length)} for cut in stick.cuts],
                "offcut_mm": length_data(stick.offcut),
            }
            for stick in plan.sticks
        ],
    }


def panels(at_hand: AtHand) -> Answer:
    """`flipbook sums panels`."""
    arguments = at_hand.arguments
    words = " ".join(arguments.words)
    tell = telling(words, arguments.roll, arguments.sheet)
    svg = file_named(arguments.svg, ".svg", "--svg") if arguments.svg is not None else None
    fronts = said(words, lambda text: read_fronts(text, at_hand.size), "the piece to cut")
    if len(fronts) > 1:
        raise Misused("one size of piece is laid out at a time; say the others in a sum of their own")
    if (arguments.roll is None) == (arguments.sheet is None):
        raise Misused('cut from what? say --roll "54 in" for its width, or --sheet "24 x 48 in"')
    piece = fronts[0]
    wanted = number_said(arguments.count, "--count") if arguments.count is not None else piece.count
    panel = Panel(
        width=piece.width,
        height=piece.height,
        margin=length_said(arguments.margin, "--margin"),
        one_way=arguments.one_way,
        repeat_along=length_said(arguments.repeat, "--repeat"),
        repeat_across=length_said(arguments.repeat_across, "--repeat-across"),
    )
    if arguments.roll is not None:
        width = length_said(arguments.roll, "--roll")
        sold_by = length_said(arguments.sold_by, "--sold-by")
        layout = reckoned(lambda: from_roll(panel, width=width, wanted=wanted, sold_by=sold_by, tell=tell))
        answer = f"{many(wanted, 'piece')} of {tell(piece.width)} by {tell(piece.height)}: buy {tell(layout.to_buy)} of a roll {tell(width)} wide."
    else:
        if arguments.sold_by is not None:
            raise Misused("--sold-by goes with a roll; a sheet is bought whole")
        width, length = said(arguments.sheet, lambda text: read_lengths(text, text, 2), "--sheet")
        layout = reckoned(lambda: from_sheet(panel, width=width, length=length, wanted=wanted, tell=tell))
        answer = f"{len(layout.pieces)} from a sheet; {many(wanted, 'piece')} of {tell(piece.width)} by {tell(piece.height)}: buy {many(layout.sheets, 'sheet')}."
    name = f"{tell(piece.width)} by {tell(piece.height)}"
    return Answer(
        lines=[answer, f"{write_decimal(layout.used * 100, places=0)}% ends up in pieces; {layout.claim}."],
        working=layout.working,
        data=_layout_data(layout),
        planned=[{"did": f"cut {many(wanted, 'piece')} of {name} " + _cut_from(at_hand, layout, width, tell)}],
        files=[(svg, layout_drawing(layout, name, tell, is_sheet=arguments.roll is None), "a drawing, not to scale")]
        if svg
        else (),
    )


def _cut_from(at_hand: AtHand, layout: Layout, width: Fraction, tell: Tell) -> str:
    if at_hand.arguments.roll is not None:
        return f"from {tell(layout.to_buy)} of a roll {tell(width)} wide"
    return f"from {many(layout.sheets, 'sheet')} of {tell(width)} by {tell(layout.to_buy)}"


def _layout_data(layout: Layout) -> Data:
    return {
        "length_mm": length_data(layout.length),
        "to_buy_mm": length_data(layout.to_buy),
        "sheets": layout.sheets,
        "used": write_decimal(layout.used),
        "claim": layout.claim,
        "pieces": [
            {
                "left_in": write_decimal(each.left),
                "start_in": write_decimal(each.start),
                "width_in": write_decimal(each.width),
                "height_in": write_decimal(each.height),
                "turned": each.turned,
            }
            for each in layout.pieces
        ],
    }


def holes(at_hand: AtHand) -> Answer:
    """`flipbook sums holes`."""
    arguments = at_hand.arguments
    words = " ".join(arguments.words)
    tell = telling(words)
    template = file_named(arguments.template, ".svg", "--template") if arguments.template is not None else None
    fronts = said(words, lambda text: read_fronts(text, at_hand.size), "the fronts")
    if (arguments.pull is None) == (not arguments.knob):
        raise Misused('say the pull by its centres, as --pull "3-3/4 in" or --pull "96 mm"; or --knob for one hole')
    layout = _drilled(at_hand, fronts, tell)
    lines = [each.working for each in layout.fronts]
    files = []
    if template is not None:
        paper = said(arguments.paper, paper_named, "--paper")
        pages = reckoned(lambda: drilling_templates(layout, paper, tell, to_a_pull=1 if arguments.knob else 2))
        for number, page in enumerate(pages, 1):
            path = template if len(pages) == 1 else template.with_stem(f"{template.stem}-{number}")
            files.append((path, page, "a drilling template; print it at 100%, and check its bar with a rule"))
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
        files=files,
    )


def _drilled(at_hand: AtHand, fronts: tuple[Front, ...], tell: Tell) -> HoleLayout:
    arguments = at_hand.arguments
    centres = _NOTHING if arguments.knob else length_said(arguments.pull, "--pull")
    overall = length_said(arguments.overall, "--overall")
    from_top = length_said(arguments.from_top, "--from-top") if arguments.from_top is not None else None
    spread: Spread | Fraction = "quarters"
    if arguments.spread is not None:
        word = arguments.spread.strip().lower()
        spread = (
            cast(Spread, word)
            if word in ("quarters", "sixths", "thirds")
            else length_said(arguments.spread, "--spread")
        )
    each = number_said(arguments.each, "--each") if arguments.each is not None else 1
    more = {"hole": length_said(arguments.hole, "--hole")} if arguments.hole is not None else {}

    def drill() -> HoleLayout:
        pull = (
            Pull(centres=_NOTHING, overall=overall)
            if arguments.knob
            else pull_of(centres, as_measured=arguments.as_measured, overall=overall)
        )
        return pull_holes(
            fronts,
            pull=pull,
            each=each,
            spread=spread,
            from_top=from_top,
            one_axis=arguments.one_axis,
            tell=tell,
            **more,
        )

    return reckoned(drill)


def _read_width(text: str) -> Fraction:
    """The trim's width, or that of a nominal size: `1x4` is 3 1/2 in wide (PS 20)."""
    if re.fullmatch(r"[0-9/ ]+[x×][0-9]+", text.strip()):
        return read_nominal(text).width
    return read_length(text)
