"""piece.yaml: how the piece came, what was done, what was asked and what it sold for."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import Field, ValidationInfo, model_validator

from flipbook.measures.dates import CLOCK, DAY
from flipbook.measures.rounding import ZERO
from flipbook.measures.times import TIME_TAKEN
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop import written
from flipbook.shop.composing import COMMA_IN_BRACKETS, At, Block, Items, Node, Scalar, place_of
from flipbook.shop.fields import (
    PUBLIC,
    Key,
    Many,
    OneOrMany,
    Reading,
    reading_of,
    refusal,
    refused,
    text_of,
    unreadable,
    written_as,
)
from flipbook.shop.problems import Problem
from flipbook.shop.records.base import Record
from flipbook.shop.records.receipts import Receipt
from flipbook.shop.records.sale import Asking, Deposit, Offer, Sale
from flipbook.shop.records.setup import Trip
from flipbook.shop.records.stage import Stage
from flipbook.shop.records.state import State
from flipbook.shop.records.uses import MixText, Use, UseText
from flipbook.shop.written import Day, MaybeWords, Minutes, Moment, Money, Private, SizeText, Words, YesNo, one_of


def _grits(node: Any, info: ValidationInfo) -> tuple[str, ...]:
    nodes = node.items if node.__class__ is Items else [node]
    grits = []
    for one in nodes:
        scalar = text_of(one, info, "write it as `80, 120, 180`")
        for grit in scalar.text.split(","):
            word = grit.strip()
            if not re.fullmatch(r"[Pp]?[0-9]{1,5}", word):
                says = f"`{shown(word)}` is not a grit"
                raise refusal(reading_of(info), scalar, "grit", says, "write grits as `80, 120, 180` or `P240`")
            grits.append(word.upper())
    return tuple(grits)


NEW = Key(since="0.2")
StageWord = Annotated[Stage, one_of("stage", *Stage)]
Grits = Annotated[
    tuple[str, ...],
    written_as("grits", _grits, "the numbers", "80, 120, 180 or P240", written.GRITS, (180, "80, 120, 180", "P240")),
]
_ONE_LINE = re.compile(
    rf"({DAY}(?=\s|$)(?: +{CLOCK}(?=\s|$))?)(?: +((?i:{TIME_TAKEN}))(?=[\s,;]|$)[,;]?)?\s*(.*)", re.DOTALL
)
_STEP = (
    "write it as `2026-02-15 40 min washed with dish soap`, or as a mapping with `on:` and `did:`" + COMMA_IN_BRACKETS
)


class Step(Record):
    """Something done to a piece."""

    text_form = written.STEP

    on: Moment = Field(description="The day it was done, and the time of day where that helps.")
    did: Annotated[Words, PUBLIC] = Field(
        description="What was done, in your words; `hide: yes` keeps the step from buyers.",
        examples=["black milk paint over the red, first coat"],
    )
    grit: Annotated[Grits, PUBLIC] = Field((), description="The grits gone through, the coarsest first.")
    took: Minutes | None = Field(None, description="How long it took, drying not counted. It adds to the hours.")
    mix: Annotated[MixText, PUBLIC] = Field(
        None,
        description="What was stirred together: each product and its parts, water too, and how much they make.",
        examples=[{"black milk paint": 3, "water": 1, "makes": "8 fl oz"}],
    )
    used: Annotated[tuple[UseText, ...], OneOrMany, PUBLIC] = Field(
        (),
        description="What was taken off the shelf; one, or a list. It adds to what the piece cost.",
        examples=[["1/4 can hard oil finish"]],
    )
    dries: Minutes | None = Field(None, description="How long it has to dry before the next step.")
    photos: Annotated[tuple[Words, ...], OneOrMany, PUBLIC] = Field(
        (),
        description="A picture of this step, or a list of them, as photos/during-wash.jpg.",
        examples=["photos/during-black.jpg"],
    )
    stage: Annotated[StageWord | None, Key(since="0.3", public=True)] = Field(
        None,
        description="The stage of the work that it belongs to; left out, its words and what it used tell it.",
        examples=["colour"],
    )
    hide: YesNo = Field(False, description="Yes keeps the step off the buyers' page.")
    private: Private = ""

    @classmethod
    def from_text(cls, scalar: Scalar, reading: Reading) -> Block | None:
        """A step on one line: DATE [TIME TAKEN] words."""
        text = scalar.text
        found = _ONE_LINE.match(text)
        if found is None or not found[3].strip():
            first = text.split(" ")[0]
            says = "the step says no day" if found is None else "the step says a day and not what was done"
            spot = scalar.part(0, len(first)) if found is None else scalar
            raise refusal(reading, spot, "step", says, _STEP)
        block = Block(scalar.start)
        block.end = scalar.end
        for key, group in (("on", 1), ("took", 2), ("did", 3)):
            if found[group]:
                at = At(scalar.start.line, scalar.start.column)
                block.pairs.append((Scalar(key, at, at, True), scalar.part(*found.span(group))))
        return block

    @classmethod
    def unknown_key(cls, key: Scalar, value: Node, reading: Reading) -> Problem:
        """A key that starts with a day is a one-line step with a colon in it."""
        if re.match(DAY, key.text):
            says = "a step on one line has `: ` in it, which makes it a mapping"
            place = place_of(reading.file, key)
            raise refused(
                Problem(
                    name="step-with-colon",
                    place=place,
                    says=says,
                    help="put the whole step in quotes, or write it as a mapping with `on:` and `did:`",
                )
            )
        return super().unknown_key(key, value, reading)

    def uses(self) -> list[Use]:
        """All that the step took off the shelf, as written: `used` and then `mix`."""
        return [*self.used, *(self.mix.uses() if self.mix else ())]


class Planned(Record):
    """A step that is still to be done: a step without a day. It takes nothing off the shelf."""

    text_form = written.PLANNED

    did: Annotated[Words, NEW] = Field(description="What is to be done.", examples=["second coat of black"])
    grit: Annotated[Grits, NEW] = Field((), description="The grits to go through, the coarsest first.")
    took: Annotated[Minutes | None, NEW] = Field(None, description="How long it took the last time.")
    mix: Annotated[MixText, NEW] = Field(
        None,
        description="What to stir together: each product and its parts, water too, and how much to make.",
        examples=[{"black milk paint": 3, "water": 1, "makes": "8 fl oz"}],
    )
    used: Annotated[tuple[UseText, ...], OneOrMany, NEW] = Field(
        (),
        description="What it will take off the shelf; one, or a list. Nothing is taken yet.",
        examples=[["1/4 can hard oil finish"]],
    )
    dries: Annotated[Minutes | None, NEW] = Field(None, description="How long it has to dry before the next step.")
    stage: Annotated[StageWord | None, Key(since="0.3")] = Field(
        None,
        description="The stage of the work that it belongs to; left out, its words and what it uses tell it.",
        examples=["colour"],
    )
    like: Annotated[MaybeWords, NEW] = Field(
        "", description="The piece and the day that the step is carried over from.", examples=["pine-chest, 2026-01-25"]
    )
    private: Private = ""

    @classmethod
    def from_text(cls, scalar: Scalar, reading: Reading) -> Block | None:
        """A planned step that is words alone."""
        if not scalar.text.strip() or scalar.is_empty:
            return None
        block = Block(scalar.start)
        block.end = scalar.end
        at = At(scalar.start.line, scalar.start.column)
        block.pairs.append((Scalar("did", at, at, True), scalar))
        return block


class Plan(Record):
    """What the maker reckons with at the start, to hold what really came against."""

    price: Annotated[Money | None, NEW] = Field(None, description="The price that you think it will bring.")
    hours: Annotated[Minutes | None, NEW] = Field(
        None, description="The time that you think it will take, as 6 h.", examples=["6 h"]
    )
    materials: Annotated[Money | None, NEW] = Field(
        None, description="What you think it will cost besides the find itself."
    )
    private: Annotated[MaybeWords, NEW] = Field("", description="A note.", examples=["the seat may want more rush"])


class Own(Record):
    """What a piece that was already the maker's had cost, and what it was worth when it came into the shop."""

    cost: Money = Field(description="What it had cost you when you got it, for yourself.")
    worth: Money = Field(description="What it was worth when it came into the shop. The lesser of the two counts.")

    @property
    def basis(self) -> Decimal:
        return min(self.cost, self.worth)


class Found(Record):
    """How the piece itself came."""

    on: Day = Field(description="The day it came.")
    from_: MaybeWords = Field(
        "",
        alias="from",
        description="Who it came from, as Chapel Street jumble sale.",
        examples=["Chapel Street jumble sale"],
    )
    cost: Money | None = Field(None, description="What was paid for it, before tax; 0 for a free find.")
    tax: Money = Field(ZERO, description="The sales tax paid on it.")
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field(
        (),
        description="The scan of its receipt, or a list of scans, as receipts/mill-road.jpg.",
        examples=["receipts/chapel-street.jpg"],
    )
    own: Own | None = Field(
        None,
        description="For a piece that was already yours, in place of `cost`.",
        examples=[{"cost": "120.00", "worth": "60.00"}],
    )
    private: Private = ""

    @property
    def basis(self) -> Decimal:
        """The found cost: what was paid with its tax, or for an own piece the lesser of cost and worth."""
        return self.own.basis if self.own is not None else (self.cost or ZERO) + self.tax

    @model_validator(mode="after")
    def _has_one_cost(self, info: ValidationInfo) -> Self:
        reading = reading_of(info)
        if self.own is None and self.cost is None:
            reading.tell(
                self.problem(
                    "no-cost", "it is not said what the piece cost", "add `cost: …`; write `cost: 0` for a free find"
                )
            )
        elif self.own is not None and (self.cost is not None or self.tax):
            key = "cost" if self.cost is not None else "tax"
            reading.tell(
                self.problem(
                    "own-and-cost",
                    "a piece that was already yours was not bought for the shop",
                    f"take `{key}` out; `own` has the cost",
                    key,
                )
            )
        return self


class Photo(Record):
    """A picture, and what it shows."""

    file: Annotated[Words, PUBLIC] = Field(
        description="The picture, from the piece's folder, as photos/after-front.jpg.",
        examples=["photos/after-front.jpg"],
    )
    shows: Annotated[MaybeWords, PUBLIC] = Field(
        "",
        description="What it shows. Left out, the first word of the file's name says it.",
        examples=["before", "during", "after", "detail"],
    )
    caption: Annotated[MaybeWords, PUBLIC] = Field(
        "", description="A line below the picture, for buyers.", examples=["the seat, rewoven in rush"]
    )
    alt: Annotated[MaybeWords, PUBLIC] = Field(
        "",
        description="The picture in words, for buyers who cannot see it.",
        examples=["A black chair with a woven seat, seen from the front."],
    )


class Kept(Record):
    """Taken into the maker's own home."""

    on: Day = Field(description="The day it came into your own home.")
    private: Private = ""


class Given(Record):
    """Given away."""

    on: Day = Field(description="The day it was given away.")
    to: MaybeWords = Field("", description="Who has it now.", examples=["a neighbour"])
    private: Private = ""


class Scrapped(Record):
    """Not saved."""

    on: Day = Field(description="The day it was given up.")
    why: MaybeWords = Field("", description="Why it could not be saved.", examples=["worm in both rails"])
    private: Private = ""


def _built(text: str) -> str:
    body = " ".join(text.split())
    if not re.fullmatch(
        r"(?:about )?1[0-9]{3}|(?:about )?20[0-9]{2}|(?:about )?(?:1[0-9]|20)[0-9]0s|unknown", body, re.IGNORECASE
    ):
        raise Unreadable(f"`{shown(body)}` is not an age", "write a year, `about 1935`, `1930s` or `unknown`")
    return body.lower()


def _read_built(node: Any, info: ValidationInfo) -> str:
    scalar = text_of(node, info)
    try:
        return _built(scalar.text)
    except Unreadable as fault:
        raise refused(unreadable(reading_of(info).file, scalar, fault, "built")) from None


Built = Annotated[
    str,
    written_as(
        "built",
        _read_built,
        "a year or a decade",
        "about 1935, 1930s or unknown",
        written.BUILT,
        (1935, "about 1935", "1930s", "unknown"),
    ),
]


class Piece(Record):
    """A piece: how it came, what was done, what was asked and what it sold for."""

    piece: Annotated[Words, PUBLIC] = Field(
        description="What the piece is called.", examples=["Ladder-back rocker, black over red"]
    )
    kind: Annotated[MaybeWords, PUBLIC] = Field(
        "", description="What sort of furniture it is: rocking chair, side table, bookcase.", examples=["rocking chair"]
    )
    size: Annotated[SizeText | None, PUBLIC] = Field(None, description="How large it is over all.")
    wood: Annotated[MaybeWords, PUBLIC] = Field(
        "", description="What it is made of, as oak, oak veneer on the drawers.", examples=["maple, hickory rungs"]
    )
    built: Annotated[Built, PUBLIC] = Field("", description="When it was made.")
    tell: Annotated[MaybeWords, PUBLIC] = Field(
        "",
        description="The story of the piece; a blank line parts paragraphs.",
        examples=["It came out of a porch on Chapel Street."],
    )
    flaws: Annotated[tuple[Words, ...], OneOrMany, PUBLIC] = Field(
        (),
        description="What a buyer should know is worn or mended; one, or a list.",
        examples=["One rung is a later one, of ash."],
    )
    care: Annotated[MaybeWords, PUBLIC] = Field(
        "",
        description="How to look after it; left out, the usual care for the finish.",
        examples=["Wipe it with a dry cloth."],
    )
    private: Private = ""
    customer: YesNo = Field(
        False, description="Yes for a customer's own piece, which was not found by the shop. In place of `found`."
    )
    found: Found | None = Field(
        None,
        description="How the piece itself came, and what it cost.",
        examples=[{"on": "2026-01-18", "from": "Chapel Street jumble sale", "cost": "26.00", "tax": "1.56"}],
    )
    bought: Annotated[tuple[Receipt, ...], Many] = Field(
        (),
        description="Receipts for this piece; a line is for it unless it says otherwise.",
        examples=[[{"on": "2026-01-24", "from": "Harbour Hardware", "what": "seat awl", "cost": "4.60"}]],
    )
    log: Annotated[tuple[Step, ...], Many, PUBLIC] = Field(
        (),
        description="What was done, step by step; buyers are told no times and costs.",
        examples=[["2026-01-19 35 min vacuumed and wiped down"]],
    )
    plan: Annotated[Plan | None, NEW] = Field(
        None,
        description="What you reckon with before you start: price, hours, materials.",
        examples=[{"price": 195, "hours": "6 h", "materials": "60.00"}],
    )
    planned: Annotated[tuple[Planned, ...], Many, NEW] = Field(
        (), description="What is still to be done, step by step.", examples=[["second coat of black"]]
    )
    seen_to: Annotated[tuple[Words, ...], OneOrMany, NEW] = Field(
        (), description="Cautions that you have seen to, by name, as lead paint.", examples=["lead paint"]
    )
    trips: Annotated[tuple[Trip, ...], Many] = Field(
        (),
        description="Drives for this piece.",
        examples=[[{"on": "2026-01-18", "miles": 9, "to": "Chapel Street", "why": "collect the rocker"}]],
    )
    photos: Annotated[tuple[Photo, ...], Many, PUBLIC] = Field(
        (),
        description="The pictures to show, in this order. Left out, buyers see every picture in photos/.",
        examples=[[{"file": "photos/after-front.jpg", "shows": "after"}]],
    )
    asking: Annotated[tuple[Asking, ...], Many, PUBLIC] = Field(
        (),
        description="The prices asked, the latest last. The piece is for sale from the first.",
        examples=[[{"on": "2026-02-06", "price": 210}]],
    )
    offers: Annotated[tuple[Offer, ...], Many] = Field(
        (),
        description="What people offered.",
        examples=[[{"on": "2026-02-11", "price": 150, "from": "R.", "answer": "no"}]],
    )
    deposits: Annotated[tuple[Deposit, ...], Many] = Field(
        (), description="Money paid before a sale.", examples=[[{"on": "2026-02-22", "amount": "50.00", "from": "R."}]]
    )
    sold: Annotated[tuple[Sale, ...], OneOrMany] = Field(
        (),
        description="The sale; a list of sales where it came back and sold again.",
        examples=[{"on": "2026-02-28", "price": "185.00", "at": "porch sale"}],
    )
    kept: Kept | None = Field(None, description="When you took it into your own home.", examples=[{"on": "2026-02-28"}])
    given: Given | None = Field(
        None, description="When it was given away.", examples=[{"on": "2026-02-28", "to": "a neighbour"}]
    )
    scrapped: Scrapped | None = Field(
        None, description="When it was given up.", examples=[{"on": "2026-02-28", "why": "worm in both rails"}]
    )

    @property
    def standing_sale(self) -> Sale | None:
        """The last sale that was not returned."""
        return next((sale for sale in reversed(self.sold) if sale.returned is None), None)

    @property
    def state(self) -> State:
        """Where it stands: the first state that was reached, in the order of `State`."""
        reached: dict[State, object] = {
            State.SOLD: self.standing_sale,
            State.KEPT: self.kept,
            State.GIVEN: self.given,
            State.SCRAPPED: self.scrapped,
            State.FOR_SALE: self.asking,
            State.ON_THE_BENCH: self.log,
        }
        return next((state for state in State if reached.get(state)), State.WAITING)
