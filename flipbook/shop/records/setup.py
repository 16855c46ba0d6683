"""shop.yaml, products.yaml, tools.yaml and trips.yaml."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from flipbook.measures.fees import Fee
from flipbook.shop import written
from flipbook.shop.composing import Block, Scalar
from flipbook.shop.fields import PUBLIC, Key, Many, OneOrMany, Read, reading_of, refused, telling, text_of, wrong_kind
from flipbook.shop.nearest import choices, folded
from flipbook.shop.records.base import Record, duplicates
from flipbook.shop.records.expenses import KINDS
from flipbook.shop.records.receipts import PurposeText
from flipbook.shop.written import (
    AmountText,
    Count,
    Coverage,
    Currency,
    Day,
    Distance,
    FeeText,
    MaybeWords,
    Minutes,
    Money,
    MonthDay,
    Percentage,
    Private,
    WebAddress,
    Words,
    one_of,
)

FIRST_IN_FIRST_OUT = "first in first out"
AVERAGE = "average"
AT_ONCE = "at once"
SECTION_179 = "section 179"
RULES = ("us", "uk", "plain")
"""What `rules:` may name; each is a profile of `books/rules/`."""
PLAIN = "plain"
KM_PER_MILE = Fraction("1.609344")
TITLE_LENGTH, BODY_LENGTH = 80, 1000
# Below these a title is no title, and a description could not even say how many flaws it leaves out.
LEAST_TITLE, LEAST_BODY = 20, 200


def _by_name(node: Any, info: ValidationInfo) -> dict[str, Any]:
    """A mapping whose keys are names: case and spacing folded, none twice, nothing under a name being `{}`."""
    if node.__class__ is not Block:
        raise refused(
            wrong_kind(
                reading_of(info).file, node, "a mapping of names", "write a name on each line, as `porch sale: {}`"
            )
        )
    reading_of(info).tell(*duplicates(reading_of(info).file, node, folded))
    return {
        folded(key.text): _empty_block(key) if isinstance(value, Scalar) and value.is_empty else value
        for key, value in node.pairs
    }


def _folded_word(node: Any, info: ValidationInfo) -> str:
    return folded(text_of(node, info, "write it as `us`").text)


def _empty_block(key: Scalar) -> Block:
    block = Block(key.start)
    block.end = key.end
    return block


Named = BeforeValidator(telling(_by_name))
Rules = Annotated[str, Read(_folded_word, written.known_words(RULES), "rules", examples=RULES, words=choices(RULES))]
Costing = Annotated[str, one_of("costing", FIRST_IN_FIRST_OUT, AVERAGE)]
WriteOff = Annotated[str, one_of("write-off", AT_ONCE, "5 years", "7 years", SECTION_179)]


class Tax(Record):
    """How the tax year is reckoned."""

    rules: Rules = Field(
        PLAIN, description="Whose tax rules the year goes by; plain adds up income and expense by kind."
    )
    year_starts: MonthDay | None = Field(None, description="The day on which a tax year starts; under `plain` only.")
    home_workshop: AmountText | None = Field(
        None,
        description="The floor of a workshop at home, as 180 sq ft; under `us` only.",
        json_schema_extra=written.FLOOR,
    )

    @model_validator(mode="after")
    def _belongs(self, info: ValidationInfo) -> Self:
        if self.home_workshop is not None and self.home_workshop.unit.dimension != "area":
            says = "a workshop is measured by its floor"
            reading_of(info).tell(self.problem("home-workshop", says, "write an area, as `180 sq ft`", "home_workshop"))
        return self


class PriceSteps(Record):
    """How asking prices come down."""

    hold: Minutes | None = Field(None, description="How long a price stands before it comes down.")
    drop: Percentage | None = Field(None, description="How much of it comes off at each step.")

    @model_validator(mode="after")
    def _leaves_something(self, info: ValidationInfo) -> Self:
        if self.drop is not None and self.drop >= 1:
            says = "a step that takes the whole price leaves nothing to ask"
            reading_of(info).tell(self.problem("drop-too-large", says, "write it as `5%`", "drop"))
        return self


class ListingLengths(Record):
    """How long the words to paste for a piece may be, in characters."""

    title: Annotated[Count, Key(since="0.2")] = Field(
        TITLE_LENGTH, description="The most characters that a title may have.", examples=[60, 80]
    )
    body: Annotated[Count, Key(since="0.2")] = Field(
        BODY_LENGTH, description="The most characters that a description may have.", examples=[900, 1000]
    )

    @model_validator(mode="after")
    def _hold_something(self, info: ValidationInfo) -> Self:
        for key, most, least in (("title", self.title, LEAST_TITLE), ("body", self.body, LEAST_BODY)):
            if most < least:
                says = f"{most} characters are too few for a {'title' if key == 'title' else 'description'}"
                reading_of(info).tell(self.problem("listing-too-short", says, f"write {least} or more", key))
        return self


class Outlet(Record):
    """A place where pieces are sold."""

    takes: FeeText = Field(Fee(), description="What it keeps of price and delivery; left out, nothing.")


class Shop(Record):
    """The shop: who sells, in which currency, by which tax rules, and where."""

    shop: Annotated[Words, PUBLIC] = Field(description="The shop's name.", examples=["Quillback Lane Refinishing"])
    maker: Annotated[MaybeWords, PUBLIC] = Field("", description="Who does the work.", examples=["R. Quillback"])
    place: Annotated[MaybeWords, PUBLIC] = Field("", description="Where the shop is.", examples=["Port Ellery"])
    contact: Annotated[MaybeWords, PUBLIC] = Field(
        "", description="How to reach you, as hello@quillback.example.", examples=["hello@quillback.example"]
    )
    web: Annotated[WebAddress, PUBLIC] = Field(
        "", description="The address that the portfolio will have.", examples=["https://quillback.example/"]
    )
    notice: Annotated[MaybeWords, PUBLIC] = Field(
        "", description="A line at the foot of every buyers' page.", examples=["Closed in August"]
    )
    currency: Annotated[Currency, PUBLIC] = Field(description="The currency of every sum in the shop's files.")
    tax: Tax | None = Field(
        None, description="How the tax year is reckoned; left out, by `plain` rules.", examples=[{"rules": "us"}]
    )
    time_is_worth: Money | None = Field(
        None,
        description="What an hour at the bench should earn. It makes the floor under an asking price.",
        examples=["24.00"],
    )
    costing: Costing = Field(
        FIRST_IN_FIRST_OUT, description="Which lot a use is taken from: the oldest, or the average of all on hand."
    )
    price_steps: PriceSteps | None = Field(
        None, description="How asking prices come down.", examples=[{"hold": "7 d", "drop": "5%"}]
    )
    listing: Annotated[ListingLengths | None, Key(since="0.2")] = Field(
        None,
        description="How long the words to paste for a piece may be: title 80 and body 1000 when left out.",
        examples=[{"title": 80, "body": 1000}],
    )
    outlets: Annotated[dict[str, Outlet], Named] = Field(
        default_factory=dict,
        description="Where pieces are sold, each by its name, and what it takes.",
        examples=[{"porch sale": {}, "antiques hall": {"takes": "12%"}}],
    )


class Product(Record):
    """Facts about a product on the shelf."""

    type: Annotated[MaybeWords, PUBLIC] = Field(
        "",
        description="What it is. The usual care and drying times come with the words.",
        examples=["waterborne paint", "shellac", "wax"],
    )
    covers: Coverage | None = Field(None, description="What an amount of it covers in one coat, by its label.")
    recoat: Minutes | None = Field(None, description="How long until the next coat, by its label.")
    cure: Minutes | None = Field(None, description="How long until it is fully hard, by its label.")
    private: Private = ""


class ProductFile(Record):
    """Facts about the products on the shelf."""

    products: Annotated[dict[str, Product], Named] = Field(
        default_factory=dict,
        description="Facts about the products on the shelf, each by its name.",
        examples=[{"black milk paint": {"type": "milk paint", "covers": "60 sq ft per pint"}}],
    )


class ToolSold(Record):
    """The sale of a tool."""

    on: Day = Field(description="The day it was sold.")
    price: Money = Field(description="What it brought.")


class Tool(Record):
    """A tool that lasts."""

    tool: Words = Field(description="What it is, as random-orbit sander.", examples=["random-orbit sander"])
    on: Day = Field(description="The day it was paid.")
    from_: MaybeWords = Field("", alias="from", description="Who was paid.", examples=["Harbour Hardware"])
    cost: Money = Field(description="What it cost, tax and delivery included.")
    write_off: WriteOff = Field(description="How its cost is written off: in the year it was bought, or over years.")
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field(
        (), description="The scan of its receipt, or a list of scans.", examples=["scans/sander.jpg"]
    )
    sold: ToolSold | None = Field(
        None, description="When it was sold again, and for how much.", examples=[{"on": "2026-09-05", "price": "60.00"}]
    )
    private: Private = ""


class ToolFile(Record):
    """Tools that last."""

    tools: Annotated[tuple[Tool, ...], Many] = Field(
        (),
        description="The tools, one below the other.",
        examples=[[{"tool": "random-orbit sander", "on": "2026-01-10", "cost": "129.00", "write off": "at once"}]],
    )


class Trip(Record):
    """A drive."""

    on: Day = Field(description="The day of the drive.")
    miles: Distance | None = Field(None, description="How far the drive was in all, in miles; or write `km`.")
    km: Distance | None = Field(None, description="How far the drive was in all, in kilometres; or write `miles`.")
    to: Words = Field(description="Where to.", examples=["Chapel Street"])
    why: MaybeWords = Field("", description="What for. A driving log has to say it.", examples=["collect the rocker"])
    private: Private = ""

    @property
    def distance(self) -> Fraction:
        """Miles, exactly; a mile is 1.609344 km."""
        return self.miles if self.miles is not None else self.km / KM_PER_MILE if self.km is not None else Fraction(0)

    @model_validator(mode="after")
    def _has_one_distance(self, info: ValidationInfo) -> Self:
        if (self.miles is None) == (self.km is None):
            says = "a trip has miles or km" if self.miles is None else "a trip has miles or km, not both"
            reading_of(info).tell(self.problem("distance", says, "write `miles: 22` or `km: 35`", "km"))
        return self


class SharedTrip(Trip):
    """A drive that belongs to no single piece, or to several in shares."""

    for_: PurposeText | None = Field(
        None,
        alias="for",
        description="A piece's folder, or pieces with their shares; left out, the drive is the shop's.",
        json_schema_extra=written.pieces(KINDS),
        examples=[{"ladder-back-rocker": 1, "pine-chest": 1}],
    )

    @model_validator(mode="after")
    def _is_for_pieces(self, info: ValidationInfo) -> Self:
        if self.for_ is not None and self.for_.kind:
            reading_of(info).tell(
                self.problem("trip-for", "a trip is for pieces", "write a folder, or leave `for` out", "for")
            )
        return self


class TripFile(Record):
    """Drives that belong to no single piece."""

    trips: Annotated[tuple[SharedTrip, ...], Many] = Field(
        (),
        description="The drives, one below the other.",
        examples=[[{"on": "2026-03-03", "miles": 14, "to": "supply house", "why": "paint and abrasives"}]],
    )
