"""shop.yaml, products.yaml, tools.yaml and trips.yaml."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from flipbook.measures.fees import Fee
from flipbook.shop.composing import Block, Scalar
from flipbook.shop.fields import (
    AmountText,
    Coverage,
    Currency,
    Day,
    Distance,
    FeeText,
    Many,
    MaybeWords,
    Minutes,
    Money,
    MonthDay,
    OneOrMany,
    Percentage,
    Read,
    WebAddress,
    Words,
    one_of,
    reading_of,
    refused,
    telling,
    text_of,
    wrong_kind,
)
from flipbook.shop.nearest import folded
from flipbook.shop.records.base import Record, duplicates
from flipbook.shop.records.receipts import PurposeText

FIRST_IN_FIRST_OUT = "first in first out"
AVERAGE = "average"
AT_ONCE = "at once"
SECTION_179 = "section 179"
KM_PER_MILE = Fraction("1.609344")


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
Rules = Annotated[str, Read(_folded_word, {"type": "string", "examples": ["us", "uk", "plain"]})]
Costing = Annotated[str, one_of("costing", FIRST_IN_FIRST_OUT, AVERAGE)]
WriteOff = Annotated[str, one_of("write-off", AT_ONCE, "5 years", "7 years", SECTION_179)]


class Tax(Record):
    """How the tax year is reckoned."""

    rules: Rules = "plain"
    year_starts: MonthDay | None = Field(None, description="the day on which a tax year starts; under `plain` only")
    home_workshop: AmountText | None = Field(None, description="floor space of a workshop at home; under `us` only")

    @model_validator(mode="after")
    def _belongs(self, info: ValidationInfo) -> Self:
        if self.year_starts is not None and self.rules != "plain":
            says = f"`{self.rules}` fixes the day on which its year starts"
            reading_of(info).tell(
                self.problem("year-is-fixed", says, "take `year starts` out, or write `rules: plain`", "year_starts")
            )
        if self.home_workshop is not None and self.home_workshop.unit.dimension != "area":
            says = "a workshop is measured by its floor"
            reading_of(info).tell(self.problem("home-workshop", says, "write an area, as `180 sq ft`", "home_workshop"))
        return self


class PriceSteps(Record):
    """How asking prices come down."""

    hold: Minutes | None = Field(None, description="how long a price stands before it is lowered")
    drop: Percentage | None = Field(None, description="how much of it comes off at each step")

    @model_validator(mode="after")
    def _leaves_something(self, info: ValidationInfo) -> Self:
        if self.drop is not None and self.drop >= 1:
            says = "a step that takes the whole price leaves nothing to ask"
            reading_of(info).tell(self.problem("drop-too-large", says, "write it as `5%`", "drop"))
        return self


class Outlet(Record):
    """A place where pieces are sold."""

    takes: FeeText = Field(Fee(), description="what it keeps of price and delivery")


class Shop(Record):
    """shop.yaml."""

    shop: Words = Field(description="the shop's name; public")
    maker: MaybeWords = Field("", description="who does the work; public when given")
    place: MaybeWords = Field("", description="where it is; public when given")
    contact: MaybeWords = Field("", description="how to reach it; public when given")
    web: WebAddress = Field("", description="the address the portfolio will have; public when given")
    notice: MaybeWords = Field("", description="a line at the foot of every buyers' page; public when given")
    currency: Currency = Field(description="USD, GBP, EUR, ...")
    tax: Tax | None = None
    time_is_worth: Money | None = Field(None, description="what an hour should earn")
    costing: Costing = FIRST_IN_FIRST_OUT
    price_steps: PriceSteps | None = None
    outlets: Annotated[dict[str, Outlet], Named] = Field(
        default_factory=dict, description="where pieces are sold, and what each takes"
    )


class Product(Record):
    """Facts about a product on the shelf."""

    type: MaybeWords = Field("", description="waterborne paint, shellac, paste wax, ...")
    covers: Coverage | None = Field(None, description="what an amount of it covers in one coat")
    recoat: Minutes | None = Field(None, description="how long until the next coat")
    cure: Minutes | None = Field(None, description="how long until it is fully hard")
    private: MaybeWords = ""


class ProductFile(Record):
    """products.yaml."""

    products: Annotated[dict[str, Product], Named] = Field(default_factory=dict)


class ToolSold(Record):
    """The sale of a tool."""

    on: Day
    price: Money


class Tool(Record):
    """A tool that lasts."""

    tool: Words = Field(description="what it is")
    on: Day = Field(description="the day it was paid")
    from_: MaybeWords = Field("", alias="from", description="who was paid")
    cost: Money = Field(description="what it cost, tax and delivery included")
    write_off: WriteOff = Field(description="at once, over 5 or 7 years, or by section 179")
    scan: Annotated[tuple[Words, ...], OneOrMany] = ()
    sold: ToolSold | None = None
    private: MaybeWords = ""


class ToolFile(Record):
    """tools.yaml."""

    tools: Annotated[tuple[Tool, ...], Many] = ()


class Trip(Record):
    """A drive."""

    on: Day
    miles: Distance | None = Field(None, description="how far; or km")
    km: Distance | None = Field(None, description="how far; or miles")
    to: Words = Field(description="where to")
    why: MaybeWords = Field("", description="what for")
    private: MaybeWords = ""

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

    for_: PurposeText | None = Field(None, alias="for", description="pieces, in shares")

    @model_validator(mode="after")
    def _is_for_pieces(self, info: ValidationInfo) -> Self:
        if self.for_ is not None and self.for_.kind:
            reading_of(info).tell(
                self.problem("trip-for", "a trip is for pieces", "write a folder, or leave `for` out", "for")
            )
        return self


class TripFile(Record):
    """trips.yaml."""

    trips: Annotated[tuple[SharedTrip, ...], Many] = ()
