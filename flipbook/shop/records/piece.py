"""piece.yaml: how the piece came, what was done, what was asked and what it sold for."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any, Self

from pydantic import Field, ValidationInfo, model_validator

from flipbook.measures.dates import CLOCK, DAY
from flipbook.measures.money import read_money
from flipbook.measures.rounding import ZERO
from flipbook.measures.times import TIME_TAKEN
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.composing import COMMA_IN_BRACKETS, At, Block, Items, Node, Scalar, place_of
from flipbook.shop.fields import (
    Day,
    Many,
    MaybeWords,
    Minutes,
    Moment,
    Money,
    OneOrMany,
    Read,
    Reading,
    SizeText,
    Words,
    YesNo,
    reading_of,
    refused,
    text_of,
    unreadable,
)
from flipbook.shop.problems import Problem
from flipbook.shop.records.base import Record
from flipbook.shop.records.receipts import Receipt
from flipbook.shop.records.setup import Trip
from flipbook.shop.records.uses import MixText, Use, UseText


def _grits(node: Any, info: ValidationInfo) -> tuple[str, ...]:
    nodes = node.items if node.__class__ is Items else [node]
    grits = []
    for one in nodes:
        scalar = text_of(one, info, "write it as `80, 120, 180`")
        for grit in scalar.text.split(","):
            word = grit.strip()
            if not re.fullmatch(r"[Pp]?[0-9]{1,5}", word):
                says = f"`{shown(word)}` is not a grit"
                raise refused(
                    Problem(
                        name="grit",
                        place=place_of(reading_of(info).file, scalar),
                        says=says,
                        help="write grits as `80, 120, 180` or `P240`",
                    )
                )
            grits.append(word.upper())
    return tuple(grits)


_ONE_LINE = re.compile(rf"({DAY}(?=\s|$)(?: +{CLOCK}(?=\s|$))?)(?: +({TIME_TAKEN})(?=\s|$))?\s*(.*)", re.DOTALL)
_STEP = (
    "write it as `2026-02-15 40 min washed with dish soap`, or as a mapping with `on:` and `did:`" + COMMA_IN_BRACKETS
)


class Step(Record):
    """Something done to a piece."""

    on: Moment = Field(description="the day it was done, and when that day where it helps")
    did: Words = Field(description="what was done; public unless `hide: yes`")
    grit: Annotated[tuple[str, ...], Read(_grits, {"type": ["string", "number", "array"]})] = Field(
        (), description="the grits gone through, in order"
    )
    took: Minutes | None = Field(None, description="how long it took")
    mix: MixText = Field(None, description="parts, and how much they make")
    used: Annotated[tuple[UseText, ...], OneOrMany] = Field((), description="what was taken off the shelf")
    dries: Minutes | None = Field(None, description="how long before the next step")
    photos: Annotated[tuple[Words, ...], OneOrMany] = Field((), description="pictures of this step")
    hide: YesNo = Field(False, description="yes keeps the step off the buyers' page")
    private: MaybeWords = Field("", description="a note that is never published")

    @classmethod
    def from_text(cls, scalar: Scalar, reading: Reading) -> Block | None:
        """A step on one line: DATE [TIME TAKEN] words."""
        text = scalar.text
        found = _ONE_LINE.match(text)
        if found is None or not found[3].strip():
            first = text.split(" ")[0]
            says = "the step says no day" if found is None else "the step says a day and not what was done"
            spot = scalar.part(0, len(first)) if found is None else scalar
            raise refused(Problem(name="step", place=place_of(reading.file, spot), says=says, help=_STEP))
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

    did: Words = Field(description="what is to be done")
    grit: Annotated[tuple[str, ...], Read(_grits, {"type": ["string", "number", "array"]})] = Field(
        (), description="the grits to go through, in order"
    )
    took: Minutes | None = Field(None, description="how long it took the last time")
    mix: MixText = Field(None, description="parts, and how much to make")
    used: Annotated[tuple[UseText, ...], OneOrMany] = Field((), description="what it will take off the shelf")
    dries: Minutes | None = Field(None, description="how long before the next step")
    like: MaybeWords = Field("", description="the piece and the day that it is carried over from")
    private: MaybeWords = Field("", description="a note that is never published")

    @classmethod
    def from_text(cls, scalar: Scalar, reading: Reading) -> Block | None:
        """A planned step that is words alone."""
        if not scalar.text.strip():
            return None
        block = Block(scalar.start)
        block.end = scalar.end
        at = At(scalar.start.line, scalar.start.column)
        block.pairs.append((Scalar("did", at, at, True), scalar))
        return block


class Own(Record):
    """What a piece that was already the maker's had cost, and what it was worth when it came into the shop."""

    cost: Money
    worth: Money

    @property
    def basis(self) -> Decimal:
        return min(self.cost, self.worth)


class Found(Record):
    """How the piece itself came."""

    on: Day = Field(description="the day it came")
    from_: MaybeWords = Field("", alias="from", description="who it came from")
    cost: Money | None = Field(None, description="what was paid for it; 0 for a free find")
    tax: Money = Field(ZERO, description="sales tax paid on it")
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field((), description="the scan of its receipt")
    own: Own | None = Field(None, description="what it had cost and what it was worth, when it was already yours")
    private: MaybeWords = Field("", description="a note that is never published")

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

    file: Words
    shows: MaybeWords = Field("", description="before, during, after, detail, ...")
    caption: MaybeWords = Field("", description="words below the picture")
    alt: MaybeWords = Field("", description="words for those who cannot see it")


class Asking(Record):
    """A price asked from a day on."""

    on: Day
    price: Money


_ANSWER = re.compile(r"(no|yes)|counter +(\S+)", re.IGNORECASE)


class Offer(Record):
    """What somebody offered, and the answer."""

    on: Day
    price: Money
    from_: MaybeWords = Field("", alias="from")
    answer: MaybeWords = Field("", description="no, yes, or counter 350")
    private: MaybeWords = ""

    @model_validator(mode="after")
    def _is_answered(self, info: ValidationInfo) -> Self:
        found = _ANSWER.fullmatch(self.answer) if self.answer else None
        try:
            if self.answer and found is None:
                raise Unreadable(f"`{shown(self.answer)}` is no answer", "write `no`, `yes` or `counter 350`")
            if found is not None and found[2]:
                read_money(found[2], reading_of(info).currency)
        except Unreadable as fault:
            reading_of(info).tell(self.problem("answer", fault.says, fault.write, "answer"))
        return self


class Payment(Record):
    """Money that a buyer paid."""

    on: Day
    amount: Money
    private: MaybeWords = ""


class Back(Record):
    """A deposit given back."""

    on: Day


class Deposit(Record):
    """Money paid before there was a sale."""

    on: Day
    amount: Money
    from_: MaybeWords = Field("", alias="from")
    back: Back | None = None
    private: MaybeWords = ""


class Refund(Record):
    """Money given back to a buyer."""

    on: Day
    refund: Money
    private: MaybeWords = ""


class Sale(Record):
    """A sale."""

    on: Day = Field(description="the day it was sold")
    price: Money = Field(description="what the piece itself brought")
    at: Words | None = Field(None, description="an outlet of shop.yaml")
    delivery: Money = Field(ZERO, description="charged to the buyer")
    sales_tax: Money = Field(ZERO, description="collected by the shop from the buyer")
    fees: Money | None = Field(None, description="what was really taken; else worked out from the outlet")
    payments: Annotated[tuple[Payment, ...], Many] = Field((), description="when the money came; else all on `on`")
    buyer: MaybeWords = Field("", description="never published")
    returned: Refund | None = Field(None, description="the piece came back")
    allowed: Refund | None = Field(None, description="a price cut to a buyer who keeps the piece")
    private: MaybeWords = ""

    @property
    def charged(self) -> Decimal:
        """All that the buyer pays: price, delivery and sales tax."""
        return self.price + self.delivery + self.sales_tax

    @property
    def refunds(self) -> tuple[Refund, ...]:
        return tuple(refund for refund in (self.allowed, self.returned) if refund is not None)


class Kept(Record):
    """Taken into the maker's own home."""

    on: Day
    private: MaybeWords = ""


class Given(Record):
    """Given away."""

    on: Day
    to: MaybeWords = ""
    private: MaybeWords = ""


class Scrapped(Record):
    """Not saved."""

    on: Day
    why: MaybeWords = ""
    private: MaybeWords = ""


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


class Piece(Record):
    """piece.yaml."""

    piece: Words = Field(description="the title; public")
    kind: MaybeWords = Field("", description="washstand, chair, ...; public")
    size: SizeText | None = Field(None, description="width x depth x height; public")
    wood: MaybeWords = Field("", description="public")
    built: Annotated[str, Read(_read_built, {"type": ["string", "number"]})] = Field(
        "", description="a year, about YEAR, 1930s or unknown; public"
    )
    tell: MaybeWords = Field("", description="the story; public")
    flaws: Annotated[tuple[Words, ...], OneOrMany] = Field((), description="public")
    care: MaybeWords = Field("", description="public; else the usual care for the finish used")
    private: MaybeWords = Field("", description="a note that is never published")
    customer: YesNo = Field(False, description="yes for work on a customer's own piece, in place of found")
    found: Found | None = Field(None, description="how the piece itself came")
    bought: Annotated[tuple[Receipt, ...], Many] = Field((), description="receipts")
    log: Annotated[tuple[Step, ...], Many] = Field((), description="what was done")
    planned: Annotated[tuple[Planned, ...], Many] = Field((), description="what is still to be done; never published")
    trips: Annotated[tuple[Trip, ...], Many] = Field((), description="drives for this piece")
    photos: Annotated[tuple[Photo, ...], Many] = Field((), description="pictures to show, in this order")
    asking: Annotated[tuple[Asking, ...], Many] = Field((), description="prices asked")
    offers: Annotated[tuple[Offer, ...], Many] = Field((), description="never published")
    deposits: Annotated[tuple[Deposit, ...], Many] = Field((), description="money paid before the sale")
    sold: Annotated[tuple[Sale, ...], OneOrMany] = Field(
        (), description="the sale; a list where it came back and sold again"
    )
    kept: Kept | None = None
    given: Given | None = None
    scrapped: Scrapped | None = None

    @property
    def standing_sale(self) -> Sale | None:
        """The last sale that was not returned."""
        return next((sale for sale in reversed(self.sold) if sale.returned is None), None)

    @property
    def state(self) -> str:
        """sold, kept, given, scrapped; else for sale, on the bench or waiting."""
        for state, reached in (
            ("sold", self.standing_sale),
            ("kept", self.kept),
            ("given", self.given),
            ("scrapped", self.scrapped),
            ("for sale", self.asking),
            ("on the bench", self.log),
        ):
            if reached:
                return state
        return "waiting"
