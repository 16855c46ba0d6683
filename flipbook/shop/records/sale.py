"""Asking, offers, deposits and sales: how a piece leaves for money."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Self

from pydantic import Field, ValidationInfo, model_validator

from flipbook.measures.money import read_money
from flipbook.measures.rounding import ZERO
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop import written
from flipbook.shop.fields import PUBLIC, Many, reading_of
from flipbook.shop.records.base import Record
from flipbook.shop.written import Day, MaybeWords, Money, Private, Words


class Asking(Record):
    """A price asked from a day on."""

    on: Annotated[Day, PUBLIC] = Field(description="The day from which this price is asked.")
    price: Annotated[Money, PUBLIC] = Field(description="The price asked; the latest counts.")


_ANSWER = re.compile(r"(no|yes)|counter +(\S+)", re.IGNORECASE)


class Offer(Record):
    """What somebody offered, and the answer."""

    on: Day = Field(description="The day of the offer.")
    price: Money = Field(description="What was offered.")
    from_: MaybeWords = Field("", alias="from", description="Who offered it.", examples=["R."])
    answer: MaybeWords = Field(
        "",
        description="What you answered: no, yes, or a price of your own, as counter 350.",
        json_schema_extra=written.ANSWER,
    )
    private: Private = ""

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

    on: Day = Field(description="The day the money came.")
    amount: Money = Field(description="How much came.")
    private: Private = ""


class Back(Record):
    """A deposit given back."""

    on: Day = Field(description="The day it was given back.")


class Deposit(Record):
    """Money paid before there was a sale."""

    on: Day = Field(description="The day it was paid.")
    amount: Money = Field(description="How much was paid.")
    from_: MaybeWords = Field("", alias="from", description="Who paid it.", examples=["R."])
    back: Back | None = Field(None, description="When it was given back, if it was.", examples=[{"on": "2026-02-25"}])
    private: Private = ""


class Refund(Record):
    """Money given back to a buyer."""

    on: Day = Field(description="The day the money went back.")
    refund: Money = Field(description="How much went back to the buyer.")
    private: Private = ""


class Sale(Record):
    """A sale."""

    on: Day = Field(description="The day it was sold.")
    price: Money = Field(description="What the piece itself brought, without delivery and sales tax.")
    at: Words | None = Field(None, description="Where it was sold: an outlet of shop.yaml.", examples=["porch sale"])
    delivery: Money = Field(ZERO, description="What the buyer was charged for delivery.")
    sales_tax: Money = Field(ZERO, description="The sales tax that you collected from the buyer, to hand on.")
    fees: Money | None = Field(None, description="The fees that were really taken; left out, the outlet's.")
    payments: Annotated[tuple[Payment, ...], Many] = Field(
        (),
        description="When the money came, where it came in parts; left out, all of it came on the day of the sale.",
        examples=[[{"on": "2026-02-22", "amount": "50.00"}, {"on": "2026-02-28", "amount": "135.00"}]],
    )
    buyer: MaybeWords = Field("", description="Who bought it.", examples=["R."])
    returned: Refund | None = Field(
        None,
        description="When the piece came back, and what was given back for it.",
        examples=[{"on": "2026-03-14", "refund": "185.00"}],
    )
    allowed: Refund | None = Field(
        None,
        description="Money given back to a buyer who keeps the piece.",
        examples=[{"on": "2026-03-14", "refund": "15.00"}],
    )
    private: Private = ""

    @property
    def charged(self) -> Decimal:
        """All that the buyer pays: price, delivery and sales tax."""
        return self.price + self.delivery + self.sales_tax

    @property
    def refunds(self) -> tuple[Refund, ...]:
        return tuple(refund for refund in (self.allowed, self.returned) if refund is not None)
