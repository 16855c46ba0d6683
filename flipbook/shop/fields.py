"""From a scalar of a file to an exact value: the types that the records' keys have.

Each type is an annotation that pydantic reads: a reader that takes a node of the composed tree, and the
form that an editor's schema shows. A reader raises `refused(...)` with the smallest span at fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, Field, GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from flipbook.measures.amounts import Amount, read_amount, read_coverage
from flipbook.measures.dates import When, read_month_day, read_when
from flipbook.measures.fees import Fee, read_fee, read_percentage
from flipbook.measures.lengths import Size, read_size
from flipbook.measures.money import SIGNS, read_money
from flipbook.measures.numerals import read_number
from flipbook.measures.times import read_time_taken
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop import written
from flipbook.shop.composing import Block, Items, Node, Scalar, place_of, type_of
from flipbook.shop.nearest import choices, folded, write_instead
from flipbook.shop.problems import MOST_TOLD, Place, Problem, at_most
from flipbook.shop.written import Written

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What a key's annotation says besides its type: whether buyers see what it says, and since which edition it is read."""

    public: bool = False
    since: str = "0.1"


PUBLIC = Key(public=True)


class TooManyProblems(Exception):
    """So much of a file is wrong that reading on would tell nobody anything."""


@dataclass(slots=True)
class Reading:
    """What a reader of one file is told, and where it puts what it finds besides."""

    file: str
    currency: str | None = "USD"
    problems: list[Problem] = field(default_factory=list)

    def tell(self, *problems: Problem) -> None:
        """Take down problems. Raises TooManyProblems, which ends the reading of the file, when there are over enough."""
        self.problems += problems
        if len(self.problems) > MOST_TOLD:
            self.problems = at_most(self.problems)
            raise TooManyProblems


def reading_of(info: ValidationInfo) -> Reading:
    """What a reader was told of its file."""
    assert isinstance(info.context, Reading)
    return info.context


def telling(reader: Callable[[Any, ValidationInfo], T]) -> Callable[[Any, ValidationInfo], T]:
    """The same reader, whose refusals are taken down when they are met."""

    def read(node: Any, info: ValidationInfo) -> T:
        try:
            return reader(node, info)
        except PydanticCustomError as refusal:
            assert refusal.context is not None
            reading_of(info).tell(refusal.context["problem"])
            raise

    return read


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """How pydantic reads a value: by `reader`, from a node; and what an editor's schema says of it.

    `schema` is the JSON Schema of the value as YAML hands it over, and `name` what the schema of a file calls it.
    `words` say how it is written, and `form` does so in a sentence; `examples` are such values. `record` is the record whose mapping,
    or the text of its own form, is what is read.
    """

    reader: Callable[[Any, ValidationInfo], Any]
    schema: dict[str, Any]
    name: str = ""
    form: str = ""
    examples: Sequence[Any] = ()
    words: str = ""
    record: type[Any] | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(telling(self.reader))


def refused(problem: Problem) -> PydanticCustomError:
    """The refusal of one value, in the form that pydantic gathers."""
    return PydanticCustomError("refused", "{says}", {"says": problem.says, "problem": problem})


def wrong_kind(file: str, node: Node, wanted: str, write: str) -> Problem:
    """A list where a text is wanted, and the like."""
    odd = "use quotes when the text holds `: `, or starts with [ or {"
    return Problem(
        name="wrong-kind",
        place=place_of(file, node),
        says=f"{wanted} is wanted here, and this is {type_of[node.__class__]}",
        help=f"{write}; {odd}" if isinstance(node, Block | Items) and wanted.startswith("a text") else write,
    )


def text_of(node: Any, info: ValidationInfo, write: str = "write it as a text on one line") -> Scalar:
    """The scalar that a value must be."""
    if node.__class__ is not Scalar:
        raise refused(wrong_kind(reading_of(info).file, node, "a text", write))
    return node


def unreadable(file: str, scalar: Scalar, fault: Unreadable, name: str) -> Problem:
    """The problem that a measure's refusal makes, marked where the fault stands in the scalar."""
    spot = scalar.part(*fault.span) if fault.span else scalar
    return Problem(name=name, place=place_of(file, spot), says=fault.says, help=fault.write)


def measure(name: str, read: Callable[[str], T], form: str, example: str, shape: Written | None = None) -> Read:
    """How a measure is read from one text, with the form an editor is shown; `name` is that of its problem."""

    def reader(node: Any, info: ValidationInfo) -> T:
        scalar = text_of(node, info, f"write it as `{example}`")
        try:
            return read(scalar.text)
        except Unreadable as fault:
            raise refused(unreadable(reading_of(info).file, scalar, fault, name)) from None

    return written_as(reader, form, example, shape or Written(name=name, schema={"type": ["string", "number"]}))


def in_currency(name: str, read: Callable[[str, str | None], T], form: str, example: str, shape: Written) -> Read:
    """As `measure`, for what is read in the shop's currency."""

    def reader(node: Any, info: ValidationInfo) -> T:
        scalar = text_of(node, info, f"write it as `{example}`")
        try:
            return read(scalar.text, reading_of(info).currency)
        except Unreadable as fault:
            raise refused(unreadable(reading_of(info).file, scalar, fault, name)) from None

    return written_as(reader, form, example, shape)


def written_as(reader: Callable[[Any, ValidationInfo], T], form: str, example: str, shape: Written) -> Read:
    """How a value is read, with what an editor's schema says of it and a sentence on how it is written."""
    sentence = f"Write {form}, as {example}."
    return Read(reader, {**shape.schema, "errorMessage": sentence}, shape.name, sentence, shape.examples, form)


def _words(node: Any, info: ValidationInfo) -> str:
    scalar = text_of(node, info)
    text = scalar.text.strip()
    if not text or scalar.is_empty:
        raise refused(
            Problem(
                name="empty",
                place=place_of(reading_of(info).file, scalar),
                says="there is nothing here",
                help="write a few words, or leave the key out",
            )
        )
    return text


def _words_or_nothing(node: Any, info: ValidationInfo) -> str:
    return text_of(node, info).text.strip()


def _yes_or_no(node: Any, info: ValidationInfo) -> bool:
    scalar = text_of(node, info, "write yes or no")
    said = {"yes": True, "true": True, "no": False, "false": False}.get(scalar.text.strip().lower())
    if said is None:
        says = f"`{shown(scalar.text)}` is neither yes nor no"
        raise refused(
            Problem(name="yes-or-no", place=place_of(reading_of(info).file, scalar), says=says, help="write yes or no")
        )
    return said


def _one_or_many(node: Any, info: ValidationInfo) -> list[Any]:
    return node.items if node.__class__ is Items else [node]


def _list(node: Any, info: ValidationInfo) -> list[Any]:
    if node.__class__ is not Items:
        raise refused(
            wrong_kind(reading_of(info).file, node, "a list", "start each entry on a line of its own with `- `")
        )
    return node.items


def one_of(name: str, *allowed: str) -> Read:
    """How one of a few words, or of the members of an enum, is read, case and spacing folded."""

    def reader(node: Any, info: ValidationInfo) -> str:
        scalar = text_of(node, info)
        word = folded(scalar.text)
        if word not in allowed:
            raise refused(
                Problem(
                    name=name,
                    place=place_of(reading_of(info).file, scalar),
                    says=f"`{shown(scalar.text)}` is not a word known here",
                    help=write_instead(word, allowed, f"write {choices(allowed)}"),
                )
            )
        return allowed[allowed.index(word)]

    words = tuple(str(word) for word in allowed)
    return Read(reader, written.known_words(words), name, examples=words, words=choices(words))


def _day(text: str) -> date:
    return read_when(text).day


def _whole_number(text: str) -> int:
    if not re.fullmatch(r"[1-9][0-9]{0,6}", text.strip()):
        raise Unreadable(
            f"`{shown(text.strip())}` is not a count", "write a whole number, as `6`; parts of one go into `size`"
        )
    return int(text)


def _distance(text: str) -> Fraction:
    body = text.strip()
    if not re.fullmatch(r"[0-9]{1,6}(?:\.[0-9]{1,4})?", body):
        raise Unreadable(f"`{shown(body)}` is not a distance", "write the number alone, as `22` or `8.5`")
    return read_number(body)


def _currency(text: str) -> str:
    code = text.strip()
    if code not in SIGNS:
        raise Unreadable(
            f"`{shown(code)}` is not a currency known here",
            write_instead(code.upper(), SIGNS, f"write {choices(SIGNS, most=30)}"),
        )
    return code


def _left(text: str) -> Amount:
    return read_amount(text, zero=True)


def _web_address(text: str) -> str:
    address = text.strip()
    if address and not re.fullmatch(r"https?://[^\s<>\"'\\]+", address):
        raise Unreadable(
            f"`{shown(address)}` is not a web address", "write it in full, as `https://quillback.example/`"
        )
    return address


Money = Annotated[Decimal, in_currency("money", read_money, "a sum in the shop's currency", "40.00", written.MONEY)]
FeeText = Annotated[Fee, in_currency("fee", read_fee, "a percentage, a sum, or both", "2.9% + 0.30", written.FEE)]
Day = Annotated[date, measure("date", _day, "a date, the year first", "2026-02-14", written.DATE)]
Moment = Annotated[
    When, measure("date", read_when, "a date, with a time where it helps", "2026-02-14 15:30", written.MOMENT)
]
Minutes = Annotated[Fraction, measure("time-taken", read_time_taken, "a time", "1 h 15 min", written.TIME)]
SizeText = Annotated[Size, measure("size", read_size, "width, depth, height", "34 x 19 x 30 1/2 in", written.SIZE)]
AmountText = Annotated[Amount, measure("amount", read_amount, "a number and a unit", "4 fl oz", written.AMOUNT)]
Left = Annotated[Amount, measure("amount", _left, "a number and a unit", "3 fl oz", written.AMOUNT_LEFT)]
Coverage = Annotated[
    tuple[Amount, Amount],
    measure("coverage", read_coverage, "an area per amount", "75 sq ft per pint", written.COVERAGE),
]
Percentage = Annotated[Fraction, measure("percentage", read_percentage, "a percentage", "5%", written.PERCENTAGE)]
Count = Annotated[int, measure("count", _whole_number, "a whole number", "6", written.COUNT)]
Distance = Annotated[Fraction, measure("distance", _distance, "a number", "22", written.DISTANCE)]
Currency = Annotated[str, measure("currency", _currency, "a currency of ISO 4217", "USD", written.CURRENCY)]
MonthDay = Annotated[
    tuple[int, int], measure("month-and-day", read_month_day, "month and day", "01-01", written.MONTH_DAY)
]
WebAddress = Annotated[
    str, measure("web-address", _web_address, "a web address", "https://quillback.example/", written.WEB_ADDRESS)
]
Words = Annotated[str, Read(_words, written.WORDS, "words", words="a text")]
MaybeWords = Annotated[str, Read(_words_or_nothing, written.TEXT, "text", words="a text")]
Private = Annotated[MaybeWords, Field(description="A note for yourself.", examples=["the left leg was mended before"])]
YesNo = Annotated[bool, Read(_yes_or_no, written.YES_OR_NO, "yes-or-no", examples=["yes", "no"], words="yes or no")]
OneOrMany = BeforeValidator(_one_or_many)
Many = BeforeValidator(telling(_list))


def span(place: Place, start: int, end: int) -> Place:
    """A part of a place on its line, from `start` to `end` of its characters."""
    return Place(place.file, place.line, place.column + start, place.column + end)
