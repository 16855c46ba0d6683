"""How much solid wood moves across the grain between two moistures, or between two seasons' air.

Equations and table: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190 and FPL-GTR-282), equations 4-5, 13-2
and 13-3. They are averages of a species, and a board can differ well from them. Along the grain wood hardly moves, and plywood
and fibreboard move little. Leave the room, and never glue a solid panel into its frame.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from flipbook.cli.ending import Misused
from flipbook.measures.amounts import INCH
from flipbook.measures.fees import read_percentage
from flipbook.measures.lengths import Tell, bench_length, tell_inches
from flipbook.measures.numerals import NUMBER, number_value, write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.sums.answer import Answer, length_data, telling
from flipbook.sums.data.wood_movement import COEFFICIENTS

if TYPE_CHECKING:
    from flipbook.sums.at_hand import AtHand

Sawn = Literal["flatsawn", "quartersawn"]

LINEAR = (6, 14)
"""Percent of moisture between which the coefficients hold (the table's own heading)."""
FULL = 30
"""Percent of moisture above which wood no longer moves (the Handbook's fiber saturation for this sum)."""
COLDEST, HOTTEST = 30, 130
DRIEST, DAMPEST = 5, 95


@dataclass(frozen=True, kw_only=True, slots=True)
class WoodMovement:
    """A width and how it changes, in exact millimetres; less than nothing is shrinking."""

    species: str
    sawn: Sawn
    coefficient: Fraction
    source: str
    width: Fraction
    change: Fraction
    working: tuple[str, ...]

    @property
    def width_then(self) -> Fraction:
        """The width after the change."""
        return self.width + self.change


@dataclass(frozen=True, kw_only=True, slots=True)
class Moisture:
    """The moisture that wood settles at, in percent of its dry weight, rounded to the tenth as the table has it."""

    percent: Fraction
    working: tuple[str, ...]


def movement(
    *,
    species: str,
    width: Fraction,
    sawn: Sawn,
    moisture: Fraction,
    moisture_then: Fraction,
    tell: Tell = tell_inches,
) -> WoodMovement:
    """What `width` changes by when its moisture goes from `moisture` to `moisture_then`, both in percent.

    From 6% to 14%: width x coefficient x (then - now), equation 13-2. Beyond, to 30%: width x (then - now) /
    (1/coefficient - 10 + now), which is equation 13-3 (from memory) with the shrinkage that gives the coefficient.

    Raises Unreadable for a species that is not in the table (with the nearest that is), and for a moisture that dry
    wood doesn't have.
    """
    bench_length("the width", width)
    if sawn not in ("flatsawn", "quartersawn"):
        raise Unreadable(f"`{shown(sawn)}` is no way of sawing", "write `flatsawn` or `quartersawn`")
    name = _known(species)
    row = COEFFICIENTS[name]
    coefficient = row.tangential if sawn == "flatsawn" else row.radial
    for percent in (moisture, moisture_then):
        if not 0 <= percent <= FULL:
            raise Unreadable(
                f"a moisture of {_percent(percent)} is not reckoned",
                f"write a percentage from 0 to {FULL}; above that wood no longer moves",
            )
    difference = moisture_then - moisture
    is_linear = all(LINEAR[0] <= percent <= LINEAR[1] for percent in (moisture, moisture_then))
    figure = f"{coefficient.numerator / coefficient.denominator:.5f}"
    spread = f"({_figure(moisture_then)} − {_figure(moisture)})"
    if is_linear:
        change = width * coefficient * difference
        reckoned = f"{tell(width)} x {figure} x {spread}"
        equation = f"equation 13-2, for {LINEAR[0]}% to {LINEAR[1]}%"
    else:
        change = width * difference / (1 / coefficient - 10 + moisture)
        reckoned = f"{tell(width)} x {spread} / (1 / {figure} − 10 + {_figure(moisture)})"
        equation = f"equation 13-3, since it is not within {LINEAR[0]}% to {LINEAR[1]}%"
    way = "shrinks" if change < 0 else "swells"
    return WoodMovement(
        species=name,
        sawn=sawn,
        coefficient=coefficient,
        source=row.source,
        width=width,
        change=change,
        working=(
            f"{name}, {sawn}: {figure} of the width for each percent of moisture ({row.source}).",
            f"Wood Handbook, {equation}: {reckoned} = {_signed(change)} in.",
            f"It {way} {tell(abs(change))}, to {tell(width + change)}." if change else "It does not move.",
        ),
    )


def moisture_in_air(*, fahrenheit: Fraction, humidity: Fraction) -> Moisture:
    """The moisture that wood settles at in air of that temperature and relative humidity, the latter in percent.

    Equation 4-5 of the Wood Handbook, its constants for Celsius (W. T. Simpson, FPL-RN-0268, has them too). It takes
    weeks for a board, and a finish only slows it.

    Raises Unreadable outside 30 to 130 F and 5% to 95%.
    """
    if not COLDEST <= fahrenheit <= HOTTEST:
        raise Unreadable(
            f"{_figure(fahrenheit)} F is no air to keep furniture in",
            f"write a temperature from {COLDEST} to {HOTTEST} F",
        )
    if not DRIEST <= humidity <= DAMPEST:
        raise Unreadable(
            f"a humidity of {_percent(humidity)} is outside the table", f"write a percentage from {DRIEST} to {DAMPEST}"
        )
    t = (fahrenheit - 32) * Fraction(5, 9)
    h = humidity / 100
    w = 349 + Fraction("1.29") * t + Fraction("0.0135") * t**2
    k = Fraction("0.805") + Fraction("0.000736") * t - Fraction("0.00000273") * t**2
    k1 = Fraction("6.27") - Fraction("0.00938") * t - Fraction("0.000303") * t**2
    k2 = Fraction("1.91") + Fraction("0.0407") * t - Fraction("0.000293") * t**2
    kh = k * h
    held = kh / (1 - kh)
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    exact = 1800 / w * (held + bound)
    percent = Fraction(write_decimal(exact, places=1))
    return Moisture(
        percent=percent,
        working=(
            f"{_figure(fahrenheit)} F is {write_decimal(t, places=1)} C: W = {write_decimal(w, places=2)}, K = {write_decimal(k)}, "
            f"K1 = {write_decimal(k1)}, K2 = {write_decimal(k2)}; K x {write_decimal(h)} = {write_decimal(kh)}.",
            f"Wood Handbook, equation 4-5: 1800 / {write_decimal(w, places=2)} x ({write_decimal(held)} + {write_decimal(bound)}) = {write_decimal(exact, places=2)}.",
            f"At {_percent(humidity)} humidity wood settles at {_percent(percent)} moisture.",
        ),
    )


def _known(species: str) -> str:
    by_fold = {" ".join(name.casefold().replace("-", " ").split()): name for name in COEFFICIENTS}
    body = " ".join(species.casefold().replace("-", " ").split())
    if body in by_fold:
        return by_fold[body]
    within = [name for fold, name in by_fold.items() if body and body in fold.split()]
    if len(within) == 1:
        return within[0]
    near = within or [by_fold[fold] for fold in get_close_matches(body[:60], by_fold, n=3, cutoff=0.6)]
    raise Unreadable(
        f"`{shown(species)}` is more than one wood of the table"
        if within
        else f"`{shown(species)}` is not in the table of woods",
        f"write {' or '.join(f'`{name}`' for name in near)}"
        if near
        else "write a wood as the Wood Handbook names it, as `red oak`",
    )


def _figure(value: Fraction) -> str:
    return write_decimal(value, places=2)


def _percent(value: Fraction) -> str:
    return f"{_figure(value)}%"


def _signed(change: Fraction) -> str:
    return f"{'−' if change < 0 else ''}{write_decimal(abs(change) / INCH, places=4)}"


def answered(at_hand: AtHand) -> Answer:
    """`flipbook sums movement`."""
    width, how = _width_of(at_hand)
    tell = telling(at_hand.text("--width"))
    species = at_hand.words.strip() or _wood_of(at_hand)
    now, then = _moisture_of(at_hand, "--from"), _moisture_of(at_hand, "--to")
    moves = movement(
        species=species,
        width=width,
        sawn="quartersawn" if at_hand.arguments.quartersawn else "flatsawn",
        moisture=now.percent,
        moisture_then=then.percent,
        tell=tell,
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
        working=[*now.working[-1:], *then.working[-1:], *moves.working[:2]],
        data={
            "species": moves.species,
            "sawn": moves.sawn,
            "coefficient": write_decimal(moves.coefficient, places=5),
            "source": moves.source,
            "width_mm": length_data(width),
            "change_mm": length_data(moves.change),
        },
        planned=[
            {
                "did": f"leave {tell(abs(moves.change))} for the wood to move: {moves.species}, {moves.sawn}, {tell(width)} wide"
            }
        ],
    )


def _width_of(at_hand: AtHand) -> tuple[Fraction, list[str]]:
    said = at_hand.length("--width", None)
    if said is not None:
        return said, []
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


def _moisture_of(at_hand: AtHand, option: str) -> Moisture:
    """A moisture in percent, or that at which wood settles in the air that was said: `70 F 40%`."""
    text = at_hand.text(option)
    if text is None:
        raise Unreadable(f"{option} is not said", f'write a moisture, as `8%`, or the air, as {option} "70 F 40%"')
    air = re.fullmatch(rf" *({NUMBER}) *°? *([FfCc])[ ,]+(?:and +)?({NUMBER}) ?% *", text)
    if air is None:
        return Moisture(percent=at_hand.said(option, read_percentage, Fraction(0)) * 100, working=())
    degrees, humidity = number_value(air[1]), number_value(air[3])
    fahrenheit = degrees if air[2].upper() == "F" else degrees * Fraction(9, 5) + 32
    return moisture_in_air(fahrenheit=fahrenheit, humidity=humidity)
