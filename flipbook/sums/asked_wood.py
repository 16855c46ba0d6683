"""The command line of wood movement and fasteners: their words read, their answers told."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import cast

from flipbook.cli.ending import Misused
from flipbook.measures.fees import read_percentage
from flipbook.measures.lengths import tell_inches
from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.sums.answer import (
    Answer,
    AtHand,
    choice_said,
    length_data,
    length_said,
    number_said,
    reckoned,
    said,
    telling,
)
from flipbook.sums.fasteners import Wood, nail_length, screw_holes
from flipbook.sums.movement import Sawn, moisture_in_air, movement


def wood_movement(at_hand: AtHand) -> Answer:
    """`flipbook sums movement`."""
    arguments = at_hand.arguments
    width, how = _moving_width(at_hand)
    tell = telling(arguments.width)
    species = " ".join(arguments.words).strip() or _wood_of(at_hand)
    sawn: Sawn = "quartersawn" if arguments.quartersawn else "flatsawn"
    now, line_now = _moisture(arguments.now, "--from")
    then, line_then = _moisture(arguments.then, "--to")
    moves = reckoned(
        lambda: movement(species=species, width=width, sawn=sawn, moisture=now, moisture_then=then, tell=tell)
    )
    way = "shrinks" if moves.change < 0 else "swells"
    answer = (
        f"{tell(width)} of {moves.species} {way} by {tell(abs(moves.change))}, to {tell(moves.width_then)}."
        if moves.change
        else f"{tell(width)} of {moves.species} does not move."
    )
    return Answer(
        lines=[answer, *how],
        warnings=[
            "An average of the species, and a board can differ from it well. Never glue a solid panel into its frame."
        ],
        working=[*line_now, *line_then, *moves.working[:2]],
        data={
            "species": moves.species,
            "sawn": moves.sawn,
            "coefficient": write_decimal(moves.coefficient, places=5),
            "source": moves.source,
            "width_mm": length_data(width),
            "change_mm": length_data(moves.change) if moves.change >= 0 else f"-{length_data(-moves.change)}",
        },
        planned=[
            {
                "did": f"leave {tell(abs(moves.change))} for the wood to move: {moves.species}, {moves.sawn}, {tell(width)} wide"
            }
        ],
    )


def _moving_width(at_hand: AtHand) -> tuple[Fraction, list[str]]:
    if at_hand.arguments.width is not None:
        return length_said(at_hand.arguments.width, "--width"), []
    size = at_hand.size
    if size is None:
        raise Misused('how wide is the board across its grain? say it as --width "18 in"')
    return size.depth, [
        "Its depth is taken for the width across the grain, as of a top whose grain runs from side to side."
    ]


def _wood_of(at_hand: AtHand) -> str:
    piece = at_hand.piece
    if piece is None or not piece.wood:
        raise Misused("which wood? say it as the Wood Handbook names it, as `red oak`")
    return re.split(r",|;| and | with |\(| case| frame", piece.wood.removeprefix("solid "))[0].strip()


def _moisture(text: str | None, option: str) -> tuple[Fraction, list[str]]:
    """A moisture in percent, or that at which wood settles in the air that was said: `70 F 40%`."""
    if text is None:
        raise Misused(f'{option} is not said; write a moisture, as `8%`, or the air, as {option} "70 F 40%"')
    air = re.fullmatch(rf" *({NUMBER}) *°? *([FfCc])[ ,]+(?:and +)?({NUMBER}) ?% *", text)
    if air is None:
        return said(text, read_percentage, option) * 100, []
    degrees, humidity = number_value(air[1]), number_value(air[3])
    fahrenheit = degrees if air[2].upper() == "F" else degrees * Fraction(9, 5) + 32
    settled = reckoned(lambda: moisture_in_air(fahrenheit=fahrenheit, humidity=humidity))
    return settled.percent, [settled.working[-1]]


def fasteners(at_hand: AtHand) -> Answer:
    """`flipbook sums fasteners`."""
    arguments = at_hand.arguments
    tell = telling(arguments.part, arguments.behind)
    if arguments.screw is not None:
        if arguments.part is not None or arguments.behind is not None or arguments.gauge is not None:
            raise Misused(
                "--screw is about a screw's holes, and --part, --behind and --gauge about a nail; say one of the two"
            )
        wood = cast(Wood, choice_said(arguments.wood or "hardwood", ("hardwood", "softwood"), "--wood"))
        number = number_said(arguments.screw.lstrip("#"), "--screw")
        screw = reckoned(lambda: screw_holes(number, wood))
        drills = f"{tell_inches(screw.shank_drill)} through the part, {tell_inches(screw.thread_drill)} into the {wood}"
        return Answer(
            lines=[f"Number {number} screw: {drills}."],
            working=screw.working,
            data={
                "screw": number,
                "wood": wood,
                "shank_mm": length_data(screw.shank_drill),
                "thread_mm": length_data(screw.thread_drill),
                "source": screw.source,
            },
            planned=[{"did": f"drill for number {number} screws: {drills}"}],
        )
    if arguments.part is None or arguments.behind is None:
        raise Misused(
            'say both thicknesses, as --part "3/4 in" --behind "3/4 in"; or --screw 8 for the holes of a screw'
        )
    part, behind = length_said(arguments.part, "--part"), length_said(arguments.behind, "--behind")
    gauge = number_said(arguments.gauge, "--gauge") if arguments.gauge is not None else 18
    nail = reckoned(lambda: nail_length(part=part, behind=behind, gauge=gauge, tell=tell))
    return Answer(
        lines=[f"{nail.name}, {tell(nail.length)}."],
        warnings=[nail.advice] if nail.advice else [],
        working=nail.working,
        data={
            "gauge": nail.gauge,
            "name": nail.name,
            "length_mm": length_data(nail.length),
            "wanted_mm": length_data(nail.wanted),
            "most_mm": length_data(max(nail.most, Fraction(0))),
            "holds": nail.holds,
        },
        planned=[{"did": f"nail with {nail.name}s, {tell(nail.length)}" + ("" if nail.holds else ", and glue")}],
    )
