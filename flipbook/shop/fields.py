"""From a node of a file to a value: how pydantic reads one, and how a refusal is told.

A type of a key is an annotation that pydantic reads: a reader that takes a node of the composed tree, and the form
that an editor's schema shows. A reader raises `refused(...)` with the smallest span at fault.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BeforeValidator, GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from flipbook.measures.unreadable import Unreadable
from flipbook.shop.composing import Block, Items, Node, Scalar, place_of, type_of
from flipbook.shop.problems import MOST_TOLD, Place, Problem, at_most

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


def refusal(reading: Reading, node: Node, name: str, says: str, write: str) -> PydanticCustomError:
    """The refusal of what stands at a node."""
    return refused(Problem(name=name, place=place_of(reading.file, node), says=says, help=write))


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


ANY_SCALAR: dict[str, Any] = {"type": ["string", "number"]}


def measure(
    name: str,
    read: Callable[[str], T],
    words: str,
    example: str,
    schema: Mapping[str, Any] = ANY_SCALAR,
    examples: Sequence[Any] = (),
    called: str = "",
) -> Read:
    """How a measure is read from one text, how that is said, and what an editor is told of it.

    `name` is that of its problem, and of its schema where it is not `called` otherwise; `examples` are as YAML hands
    them over.
    """

    def reader(node: Any, info: ValidationInfo) -> T:
        scalar = text_of(node, info, f"write it as `{example}`")
        try:
            return read(scalar.text)
        except Unreadable as fault:
            raise refused(unreadable(reading_of(info).file, scalar, fault, name)) from None

    return written_as(called or name, reader, words, example, schema, examples)


def in_currency(
    name: str,
    read: Callable[[str, str | None], T],
    words: str,
    example: str,
    schema: Mapping[str, Any],
    examples: Sequence[Any],
) -> Read:
    """As `measure`, for what is read in the shop's currency."""

    def reader(node: Any, info: ValidationInfo) -> T:
        scalar = text_of(node, info, f"write it as `{example}`")
        try:
            return read(scalar.text, reading_of(info).currency)
        except Unreadable as fault:
            raise refused(unreadable(reading_of(info).file, scalar, fault, name)) from None

    return written_as(name, reader, words, example, schema, examples)


def written_as(
    name: str,
    reader: Callable[[Any, ValidationInfo], T],
    words: str,
    example: str,
    schema: Mapping[str, Any],
    examples: Sequence[Any],
) -> Read:
    """How a value is read, with what an editor's schema says of it and a sentence on how it is written."""
    sentence = f"Write {words}, as {example}."
    return Read(reader, {**schema, "errorMessage": sentence}, name, sentence, examples, words)


def _one_or_many(node: Any, info: ValidationInfo) -> list[Any]:
    return node.items if node.__class__ is Items else [node]


def _list(node: Any, info: ValidationInfo) -> list[Any]:
    if node.__class__ is not Items:
        raise refused(
            wrong_kind(reading_of(info).file, node, "a list", "start each entry on a line of its own with `- `")
        )
    return node.items


OneOrMany = BeforeValidator(_one_or_many)
Many = BeforeValidator(telling(_list))


def span(place: Place, start: int, end: int) -> Place:
    """A part of a place on its line, from `start` to `end` of its characters."""
    return Place(place.file, place.line, place.column + start, place.column + end)
