"""Receipts: what was bought, from whom, for what, and the scan that shows it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Self

from pydantic import Field, ValidationInfo, model_validator

from flipbook.measures.amounts import EACH, Amount
from flipbook.measures.money import read_money
from flipbook.measures.numerals import read_number
from flipbook.measures.rounding import ZERO
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop import written
from flipbook.shop.composing import Block, Scalar
from flipbook.shop.fields import (
    Many,
    OneOrMany,
    Read,
    measure,
    reading_of,
    refusal,
    refused,
    text_of,
    unreadable,
    wrong_kind,
)
from flipbook.shop.problems import Problem
from flipbook.shop.records.base import Record, duplicates
from flipbook.shop.records.expenses import KINDS, SHELF, kind_named
from flipbook.shop.written import AmountText, Count, Day, Left, MaybeWords, Money, Private, Words, one_of


@dataclass(frozen=True, slots=True)
class Purpose:
    """What a line was bought for: a kind (the shelf, an expense), or pieces in shares."""

    kind: str = ""
    shares: tuple[tuple[str, Fraction], ...] = ()

    @property
    def is_shelf(self) -> bool:
        return self.kind == SHELF


def _purpose(node: Any, info: ValidationInfo) -> Purpose:
    reading = reading_of(info)
    if node.__class__ is Scalar:
        text = node.text.strip()
        kind = kind_named(text)
        return Purpose(kind=kind) if kind else Purpose(shares=((text, Fraction(1)),))
    if node.__class__ is not Block or not node.pairs:
        raise refused(
            wrong_kind(
                reading.file,
                node,
                "a piece's folder, `shelf` or a kind",
                "write `for: shelf` or `for: {folder-a: 2, folder-b: 1}`",
            )
        )
    reading.tell(*duplicates(reading.file, node, str.strip))
    shares = []
    for key, value in node.pairs:
        if value.__class__ is not Scalar:
            raise refused(
                wrong_kind(reading.file, value, "a number", "write each piece's share, as `{folder-a: 2, folder-b: 1}`")
            )
        if kind_named(key.text):
            says = f"`{key.text}` is a kind, and shares are of pieces"
            raise refusal(reading_of(info), key, "share-of-a-kind", says, "give the kind a line of its own")
        try:
            shares.append((key.text.strip(), read_number(value.text)))
        except Unreadable as fault:
            raise refused(unreadable(reading.file, value, fault, "share")) from None
    return Purpose(shares=tuple(shares))


PurposeText = Annotated[
    Purpose,
    Read(
        _purpose,
        written.purpose(KINDS, KINDS),
        "purpose",
        words="a folder, `shelf`, a kind of expense, or folders with shares",
    ),
]
Found = Annotated[str, one_of("as", "found")]


class Stocked(Record):
    """The keys that say how much of a product was had: so many containers of a size."""

    size: AmountText | None = Field(None, description="How much one of them holds; left out, 1 each.")
    count: Count | None = Field(None, description="How many there were; left out, one.")
    container: Words | None = Field(
        None,
        description="The word for what it comes in. A step can then use 1/4 can.",
        examples=["can", "tube", "roll"],
    )

    @property
    def container_size(self) -> Amount:
        """How much one container holds; a size left out is one each."""
        return self.size or Amount(Fraction(1), EACH)

    @property
    def amount(self) -> Amount:
        """How much there was in all: count x size."""
        return self.container_size.times(self.count or 1)


class Bought(Stocked):
    """The keys that say what one line bought; a line has these, and so has a flat receipt."""

    what: Words | None = Field(
        None,
        description="What was bought, by the name that the shelf and the log know it by.",
        examples=["black milk paint"],
    )
    cost: Money | None = Field(None, description="What it cost in all, before tax; or write `count` and `each`.")
    each: Money | None = Field(None, description="What one of them cost, before tax; `count` says how many.")
    for_: PurposeText | None = Field(
        None,
        alias="for",
        description="What it was bought for: a piece's folder, shelf, a kind of expense, or pieces with their shares.",
        examples=["shelf", "supplies", {"nightstand-left": 1, "nightstand-right": 1}],
    )
    as_: Found | None = Field(None, alias="as", description="Write found where it buys the pieces themselves.")
    got_back: Money | None = Field(
        None, description="Money that the seller gave back. In place of `cost`.", examples=["12.50"]
    )

    @property
    def price(self) -> Decimal:
        """What the line cost before tax, shipping and discount."""
        if self.cost is not None:
            return self.cost
        return self.each * self.count if self.each is not None and self.count is not None else ZERO

    def faults(self) -> list[Problem]:
        """What is wrong between the keys of the line."""
        if self.got_back is not None:
            both = [key for key in ("cost", "each") if getattr(self, key) is not None]
            return [
                self.problem("cost-and-back", "money is both paid and got back here", f"take `{key}` out", key)
                for key in both
            ]
        if self.cost is None and self.each is None:
            return [
                self.problem(
                    "no-cost", "the line does not say what it cost", "add `cost: …`, or `count: …` and `each: …`"
                )
            ]
        if self.each is not None and self.count is None:
            return [self.problem("no-count", "`each` wants a `count` beside it", "add `count: …`", "each")]
        if (
            self.cost is not None
            and self.each is not None
            and self.count is not None
            and self.cost != self.each * self.count
        ):
            says = f"{self.count} at {self.each} come to {self.each * self.count}, and cost says {self.cost}"
            return [self.problem("cost-disagrees", says, "keep `cost`, or `count` and `each`", "cost")]
        return []


class Line(Bought):
    """One line of a receipt."""

    what: Words = Field(
        description="What was bought, by the name that the shelf and the log know it by.", examples=["black milk paint"]
    )

    @model_validator(mode="after")
    def _agrees(self, info: ValidationInfo) -> Self:
        reading_of(info).tell(*self.faults())
        if self.got_back is not None:
            says = "money back from a seller is a receipt of its own"
            reading_of(info).tell(
                self.problem("back-on-a-line", says, "write it flat: on, from, what, for, got back", "got_back")
            )
        return self


class Receipt(Bought):
    """A receipt: lines and their total, or one line written flat."""

    on: Day = Field(description="The day it was paid.")
    from_: Words = Field(alias="from", description="Who was paid.", examples=["Harbour Hardware"])
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field(
        (),
        description="The scan of the slip, or a list of scans; its path from this file.",
        examples=["scans/2026-01-24.jpg"],
    )
    lines: Annotated[tuple[Line, ...], Many] = Field(
        (),
        description="What was bought, line by line; a receipt of one line may do without.",
        examples=[[{"what": "flat fibre rush", "count": 3, "each": "11.25"}]],
    )
    discount: Money = Field(ZERO, description="What was taken off the whole receipt.")
    tax: Money = Field(ZERO, description="The sales tax paid.")
    shipping: Money = Field(ZERO, description="What was paid for delivery.")
    total: Money | None = Field(
        None,
        description="What was paid in all: the lines, less discount, with tax and shipping. With `lines` it is wanted.",
    )
    paid_with: MaybeWords = Field("", description="How it was paid.", examples=["card", "cash"])
    private: Private = ""

    @property
    def bought(self) -> tuple[Bought, ...]:
        """The lines, however they were written."""
        return self.lines or (self,)

    @property
    def paid(self) -> Decimal:
        """What was paid in all: sum(lines) - discount + tax + shipping."""
        return sum((line.price for line in self.bought), ZERO) - self.discount + self.tax + self.shipping

    @property
    def is_money_back(self) -> bool:
        return self.got_back is not None

    @model_validator(mode="after")
    def _agrees(self, info: ValidationInfo) -> Self:
        reading_of(info).tell(*self._faults())
        return self

    def _faults(self) -> list[Problem]:
        flat = [
            key
            for key in ("what", "cost", "count", "each", "size", "container", "got_back")
            if getattr(self, key) is not None
        ]
        found: list[Problem] = []
        if self.lines:
            for key in flat:
                shown = key.replace("_", " ")
                found.append(
                    self.problem(
                        "flat-and-lines",
                        f"`{shown}` belongs on a line when there are `lines`",
                        f"move `{shown}` into a line",
                        key,
                    )
                )
            if self.total is None:
                found.append(
                    self.problem(
                        "no-total",
                        "a receipt with lines says its total",
                        f"add `total: {self.paid}` if that is what the slip says",
                    )
                )
        elif self.what is None:
            found.append(
                self.problem(
                    "nothing-bought",
                    "the receipt does not say what was bought",
                    "add `what: …` and `cost: …`, or `lines:`",
                )
            )
        else:
            found += self.faults()
        if self.is_money_back:
            for key in ("discount", "tax", "shipping"):
                if getattr(self, key):
                    found.append(
                        self.problem(
                            "cost-and-back",
                            f"`{key}` has no place beside `got back`",
                            "write the whole sum that came back",
                            key,
                        )
                    )
            return found
        if self.paid < 0:
            found.append(
                self.problem("discount-too-large", f"the discount leaves {self.paid}", "check the discount", "discount")
            )
        elif self.total is not None and self.total != self.paid:
            off = self.total - self.paid
            says = f"the lines come to {self.paid}, and the total says {self.total}"
            found.append(
                self.problem(
                    "total-disagrees",
                    says,
                    "check the lines, discount, tax and shipping against the slip",
                    "total",
                    label=f"{abs(off)} too {'much' if off > 0 else 'little'}",
                )
            )
        return found


class Counted(Record):
    """What was found on the shelf of one product on one day."""

    on: Day = Field(description="The day of the count, after that day's uses.")
    what: Words = Field(description="The product, as the shelf knows it.", examples=["black milk paint"])
    left: Left = Field(description="How much was found. What is missing is written off as waste.")
    private: Private = ""


class OpeningLot(Stocked):
    """Stock that was owned before the log began."""

    on: Day = Field(description="A day no later than anything else that is logged.")
    what: Words = Field(description="The product, by the name that the log uses.", examples=["black milk paint"])
    cost: Money = Field(description="What it cost in all.")
    private: Private = ""


class Income(Record):
    """Money in that is no sale of a piece of the shop's."""

    on: Day = Field(description="The day the money came.")
    from_: MaybeWords = Field("", alias="from", description="Who paid.", examples=["Port Ellery library"])
    what: Words = Field(description="What it was for, as a class taught.", examples=["a class taught"])
    amount: Money = Field(description="How much came.")
    for_: PurposeText = Field(
        Purpose(kind="other"),
        alias="for",
        description="Other, or the folder of a customer's own piece.",
        json_schema_extra=written.purpose(("other",), KINDS),
        examples=["other"],
    )
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field(
        (), description="A scan, or a list; its path from this file.", examples=["scans/class.jpg"]
    )
    private: Private = ""


def _calendar_year(text: str) -> int:
    body = text.strip()
    if not re.fullmatch(r"(?:19|20)[0-9]{2}|2100", body):
        raise Unreadable(
            f"`{shown(body)}` is not a calendar year", "write the one year that the form is for, as `2026`"
        )
    return int(body)


def _payments(text: str) -> int:
    body = text.strip()
    if not re.fullmatch(r"0|[1-9][0-9]{0,6}", body):
        raise Unreadable(f"`{shown(body)}` is not a number of payments", "write a whole number, as `12`")
    return int(body)


def _months(node: Any, info: ValidationInfo) -> tuple[tuple[int, Decimal], ...]:
    """A form's gross by month, 1 to 12, in the order of the year; a month left out is not in it."""
    reading = reading_of(info)
    if node.__class__ is not Block:
        raise refused(
            wrong_kind(reading.file, node, "a mapping of months", "write it as `{1: 100.00, 2: 0, 12: 85.50}`")
        )
    reading.problems.extend(duplicates(reading.file, node, str.strip))
    sums = []
    for key, value in node.pairs:
        if not re.fullmatch(r"[1-9]|1[0-2]", key.text.strip()):
            raise refusal(
                reading_of(info),
                key,
                "month",
                f"`{shown(key.text.strip())}` is not a month",
                "write its number, `1` for January to `12` for December",
            )
        scalar = text_of(value, info, "write the month's sum, as `85.50`")
        if scalar.is_empty:
            continue
        try:
            sums.append((int(key.text), read_money(scalar.text, reading.currency)))
        except Unreadable as fault:
            raise refused(unreadable(reading.file, scalar, fault, "money")) from None
    return tuple(sorted(sums))


class ReportedForm(Record):
    """What a marketplace or card processor told the tax office, and the shop, of a calendar year's gross."""

    from_: Words = Field(
        alias="from", description="The outlet of shop.yaml that sent it.", examples=["web marketplace"]
    )
    year: Annotated[
        int,
        measure(
            "year",
            _calendar_year,
            "a calendar year",
            "2026",
            written.CALENDAR_YEAR,
            (2025, 2026),
            called="calendar-year",
        ),
    ] = Field(description="The calendar year that it is for.")
    gross: Money = Field(description="The gross sum on it, before fees and refunds.")
    form: MaybeWords = Field("", description="What the form is called, as 1099-K.", examples=["1099-K"])
    payments: (
        Annotated[int, measure("payments", _payments, "a whole number", "12", written.PAYMENTS, (3, 12))] | None
    ) = Field(None, description="How many payments it counts.")
    months: Annotated[
        tuple[tuple[int, Decimal], ...],
        Read(_months, written.BY_MONTH, "by-month", words="sums by the number of their month"),
    ] = Field(
        (),
        description="The gross by month, as {1: 100.00, 12: 85.50}; a month left out is nothing.",
        examples=[{1: "100.00", 12: "1140.00"}],
    )
    scan: Annotated[tuple[Words, ...], OneOrMany] = Field(
        (),
        description="The scan of it, or a list of scans; its path from this file.",
        examples=["scans/2026-1099-k.pdf"],
    )
    private: Private = ""

    @model_validator(mode="after")
    def _agrees(self, info: ValidationInfo) -> Self:
        split = sum((amount for _, amount in self.months), ZERO)
        if self.months and split != self.gross:
            off = split - self.gross
            says = f"the months come to {split}, and gross says {self.gross}"
            reading_of(info).problems.append(
                self.problem(
                    "months-disagree",
                    says,
                    "check the months and `gross` against the form; leave `months` out when it has none",
                    "months",
                    label=f"{abs(off)} too {'much' if off > 0 else 'little'}",
                )
            )
        return self


class ReceiptFile(Record):
    """A file of `receipts/`: receipts, counts, opening stock, other income, and forms that others sent."""

    receipts: Annotated[tuple[Receipt, ...], Many] = Field(
        (),
        description="What was bought.",
        examples=[
            [{"on": "2026-01-24", "from": "Harbour Hardware", "what": "seat awl", "cost": "4.60", "for": "supplies"}]
        ],
    )
    counts: Annotated[tuple[Counted, ...], Many] = Field(
        (),
        description="What was found on the shelf, when counted.",
        examples=[[{"on": "2026-12-31", "what": "black milk paint", "left": "3 fl oz"}]],
    )
    opening: Annotated[tuple[OpeningLot, ...], Many] = Field(
        (),
        description="What stood on the shelf before the log began.",
        examples=[[{"on": "2026-01-01", "what": "paste wax", "size": "8 oz", "cost": "12.00"}]],
    )
    income: Annotated[tuple[Income, ...], Many] = Field(
        (),
        description="Money in that is no sale of a piece.",
        examples=[[{"on": "2026-03-07", "what": "a class taught", "amount": "80.00"}]],
    )
    forms: Annotated[tuple[ReportedForm, ...], Many] = Field(
        (),
        description="What marketplaces and card processors reported of a calendar year.",
        examples=[[{"from": "web marketplace", "year": 2026, "gross": "1240.00"}]],
    )
