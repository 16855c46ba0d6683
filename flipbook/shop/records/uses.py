"""What a step took off the shelf: amounts, shares of a container, the rest of it, and mixes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from flipbook.measures.amounts import Amount, leading_amount, leading_number, leading_unit, read_amount
from flipbook.measures.numerals import read_number
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop import written
from flipbook.shop.composing import COMMA_IN_BRACKETS, Block, Items, Scalar, place_of
from flipbook.shop.fields import Read, reading_of, refusal, refused, text_of, unreadable, written_as, wrong_kind
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place
from flipbook.shop.records.base import Record, duplicates
from flipbook.shop.written import Words

WATER = "water"


@dataclass(frozen=True, slots=True)
class Share:
    """A share of a container: 1/4 can."""

    number: Fraction
    container: str


@dataclass(frozen=True, slots=True)
class Rest:
    """All that is left."""


Taken = Amount | Share | Rest


@dataclass(frozen=True, slots=True)
class Use:
    """What one step took of one product."""

    what: str
    taken: Taken
    place: Place


@dataclass(frozen=True, slots=True)
class Mix:
    """Parts stirred together to make an amount; water is a part and no product."""

    parts: tuple[tuple[str, Fraction, Place], ...]
    makes: Amount

    def uses(self) -> list[Use]:
        """What the mix took of each product."""
        whole = sum((part for _, part, _ in self.parts), Fraction(0))
        return [
            Use(what, self.makes.times(part / whole), place)
            for what, part, place in self.parts
            if folded(what) != WATER
        ]


_SPELLED = {
    "half": Fraction(1, 2), "a half": Fraction(1, 2), "a quarter": Fraction(1, 4), "quarter": Fraction(1, 4),
    "a third": Fraction(1, 3), "two thirds": Fraction(2, 3), "three quarters": Fraction(3, 4),
    "a": Fraction(1), "an": Fraction(1), "one": Fraction(1), "two": Fraction(2), "three": Fraction(3),
}  # fmt: skip
_NUMBER_WORDS = re.compile(
    rf"({'|'.join(sorted(_SPELLED, key=len, reverse=True))}) +(?:(?:of )?(?:an?|the) +)?", re.IGNORECASE
)
_REST = re.compile(r"(?:the )?rest\b *(?:of (?:the )?)?", re.IGNORECASE)
_OF = re.compile(r"of (?:the |an? )?", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_][\w'-]*")
_HOW = "write an amount and a product, as `4 fl oz black milk paint`, `1/4 can satin clear coat` or `rest black milk paint`"


def read_taken(text: str) -> tuple[Taken, str]:
    """How much was taken, and the words after it: the product's name, or nothing.

    Raises Unreadable.
    """
    body = text.strip()
    rest = _REST.match(body)
    if rest is not None:
        return Rest(), body[rest.end() :].strip()
    amount = leading_amount(body)
    if amount is not None:
        taken, after = amount
        if taken.number == 0:
            raise Unreadable("nothing is no amount", "write a number greater than 0")
        return taken, _without_of(after)
    spelled = _NUMBER_WORDS.match(body)
    number = leading_number(body)
    if number is not None:
        count, after = number
        after = _without_of(after)
    elif spelled is not None:
        count, after = _SPELLED[" ".join(spelled[1].lower().split())], body[spelled.end() :]
        of_a_unit = leading_unit(after)
        if of_a_unit is not None:
            return Amount(count, of_a_unit[0]), _without_of(of_a_unit[1])
    else:
        raise Unreadable(f"`{shown(body)}` does not start with an amount", _HOW)
    word = _WORD.match(after)
    if count == 0 or word is None:
        raise Unreadable(f"`{shown(body)}` does not say how much of what", _HOW)
    return Share(count, word[0].casefold()), _without_of(after[word.end() :].strip())


def _without_of(words: str) -> str:
    of = _OF.match(words)
    return words[of.end() :].strip() if of else words


def _use(node: Any, info: ValidationInfo) -> Use:
    reading = reading_of(info)
    if node.__class__ is Scalar:
        try:
            taken, what = read_taken(node.text)
        except Unreadable as fault:
            raise refused(
                unreadable(reading.file, node, Unreadable(fault.says, fault.write + COMMA_IN_BRACKETS), "use")
            ) from None
        if not what:
            says = f"`{shown(node.text.strip())}` does not name a product"
            raise refusal(reading_of(info), node, "use", says, _HOW + COMMA_IN_BRACKETS)
        return Use(" ".join(what.split()), taken, place_of(reading.file, _product_in(node, what)))
    if node.__class__ is Items:
        raise refused(wrong_kind(reading.file, node, "a text", _HOW))
    use = UseMapping.model_validate(node, context=reading).use()
    named = next((value for key, value in node.pairs if key.text == "what"), node)
    return Use(use.what, use.taken, place_of(reading.file, named))


def _product_in(scalar: Scalar, what: str) -> Scalar:
    start = scalar.text.rfind(what)
    return scalar.part(start, start + len(what)) if start >= 0 else scalar


def _taken_alone(node: Any, info: ValidationInfo) -> Taken:
    scalar = text_of(node, info, "write it as `4 fl oz`, `1/4 can` or `rest`")
    try:
        taken, after = read_taken(scalar.text)
        if after:
            taken = read_amount(scalar.text)
    except Unreadable as fault:
        raise refused(unreadable(reading_of(info).file, scalar, fault, "amount")) from None
    return taken


TakenText = Annotated[
    Taken,
    written_as(
        "taken",
        _taken_alone,
        "an amount",
        "4 fl oz, 1/4 can or rest",
        written.taken(_SPELLED),
        ("4 fl oz", "1/4 can", "2 each", "rest"),
    ),
]


class UseMapping(Record):
    """A use written as a mapping: {what: lint-free rag, amount: 2 each}."""

    text_form = written.use(_SPELLED)

    what: Words = Field(description="The product, as the shelf knows it.", examples=["lint-free rag"])
    amount: TakenText = Field(description="How much was taken of it.")

    def use(self) -> Use:
        return Use(" ".join(self.what.split()), self.amount, self.spot)


def _mix(node: Any, info: ValidationInfo) -> Mix:
    reading = reading_of(info)
    if node.__class__ is not Block:
        raise refused(
            wrong_kind(reading.file, node, "a mapping", "write it as `{black milk paint: 3, water: 1, makes: 8 fl oz}`")
        )
    reading.tell(*duplicates(reading.file, node, folded))
    parts = []
    makes: Amount | None = None
    for key, value in node.pairs:
        scalar = text_of(value, info, "write a number of parts")
        try:
            if folded(key.text) == "makes":
                makes = read_amount(scalar.text)
            else:
                parts.append((" ".join(key.text.split()), read_number(scalar.text), place_of(reading.file, key)))
        except Unreadable as fault:
            raise refused(unreadable(reading.file, scalar, fault, "mix")) from None
    if makes is None or not parts:
        says = "a mix says its parts and how much it makes"
        raise refusal(
            reading_of(info), node, "mix", says, "write it as `{black milk paint: 3, water: 1, makes: 8 fl oz}`"
        )
    return Mix(tuple(parts), makes)


UseText = Annotated[Use, Read(_use, {}, record=UseMapping, words="an amount and a product, or a mapping")]
MixText = Annotated[Mix | None, Read(_mix, written.MIX, "mix", words="parts by product, and `makes`")]
