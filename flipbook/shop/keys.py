"""Every key of the shop's files, as its record has it: for schemas, the page of the format, and `flipbook help KEY`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from flipbook.shop.fields import Key, OneOrMany, Read
from flipbook.shop.records.base import Record, name_of_key
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import Purpose, ReceiptFile
from flipbook.shop.records.setup import ProductFile, Shop, ToolFile, TripFile


@dataclass(frozen=True, slots=True, kw_only=True)
class FileKind:
    """A kind of file: its record, its title, the key that a bare list stands for, and whether it may be empty."""

    record: type[Record]
    title: str
    bare_list: str = ""
    may_be_empty: bool = True


FILE_KINDS = {
    "shop": FileKind(record=Shop, title="shop.yaml", may_be_empty=False),
    "piece": FileKind(record=Piece, title="piece.yaml", may_be_empty=False),
    "receipts": FileKind(record=ReceiptFile, title="A file of receipts", bare_list="receipts"),
    "products": FileKind(record=ProductFile, title="products.yaml"),
    "tools": FileKind(record=ToolFile, title="tools.yaml", bare_list="tools"),
    "trips": FileKind(record=TripFile, title="trips.yaml", bare_list="trips"),
}
"""The kinds of files that have a schema, by name."""

FILE_NAMES = {
    "shop": "shop.yaml",
    "piece": "piece.yaml",
    "receipts": "receipts/*.yaml",
    "products": "products.yaml",
    "tools": "tools.yaml",
    "trips": "trips.yaml",
}
"""The names of the files of each kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One key of one record."""

    record: type[Record]
    key: str
    """As a person writes it."""
    places: tuple[str, ...]
    """Where it stands: the file, a colon, and the keys from the top, divided by dots."""
    words: str
    form: str
    required: bool
    left_out: str
    """What stands in its place where it is left out; empty when that is nothing."""
    public: bool
    since: str
    example: Any
    """A value, as YAML hands it over."""

    @property
    def snippet(self) -> str:
        """The key with its example, in YAML on one line."""
        return f"{self.key}: {as_yaml(self.example)}"


def entries() -> list[KeyEntry]:
    """Every key of every record, in the order of the files and of the keys in them; a record in two places stands once."""
    return [_entry(record, name, places) for record, places in records().items() for name in _names(record)]


def records() -> dict[type[Record], tuple[str, ...]]:
    """The records of the files, each with all places that it stands in."""
    found: dict[type[Record], list[str]] = {}
    for kind, known in FILE_KINDS.items():
        for record, path in _below(known.record, f"{FILE_NAMES[kind]}:"):
            found.setdefault(record, []).append(path)
    return {record: tuple(places) for record, places in found.items()}


def _below(record: type[Record], path: str) -> Iterator[tuple[type[Record], str]]:
    yield record, path
    for name in _names(record):
        info = record.model_fields[name]
        inner = record_in(info.annotation, info.metadata)
        if inner is not None:
            yield from _below(inner, f"{path}{'' if path.endswith(':') else '.'}{_written(record, name)}")


def _names(record: type[Record]) -> list[str]:
    return [name for name, info in record.model_fields.items() if (info.alias or name) in record.keys]


def _written(record: type[Record], name: str) -> str:
    return record.keys[record.model_fields[name].alias or name]


def _entry(record: type[Record], name: str, places: Sequence[str]) -> KeyEntry:
    info, key = record.model_fields[name], _written(record, name)
    mark = mark_of(info)
    return KeyEntry(
        record=record,
        key=key,
        places=tuple(f"{place}{'' if place.endswith(':') else '.'}{key}" for place in places),
        words=info.description or "",
        form=_form(info),
        required=info.is_required(),
        left_out="" if info.is_required() else _shown(info.get_default(call_default_factory=True)),
        public=mark.public,
        since=mark.since,
        example=next(iter(_examples(info)), None),
    )


def _examples(info: FieldInfo) -> Sequence[Any]:
    """The values that a key's annotation, its schema or its type has for examples, the nearest first."""
    read = read_in(info.annotation, info.metadata)
    own = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    in_schema = own.get("examples")
    return info.examples or (in_schema if isinstance(in_schema, list | tuple) else read.examples if read else ())


def _form(info: FieldInfo) -> str:
    inner, metadata = laid_open(info.annotation, info.metadata)
    read = read_in(info.annotation, info.metadata)
    if read is not None:
        return read.words
    record = record_in(info.annotation, info.metadata)
    if get_origin(inner) is dict:
        return "names, each with a mapping"
    if get_origin(inner) is tuple:
        of_texts = read_in(get_args(inner)[0], ())
        one = of_texts.words if of_texts is not None else "a mapping" if record else "a text"
        return f"{one}, or a list" if OneOrMany in metadata else "a list"
    return "a mapping"


def _shown(default: Any) -> str:
    """A default as a person would write it."""
    if isinstance(default, bool):
        return "yes" if default else "no"
    if isinstance(default, Decimal):
        return "0"
    if isinstance(default, Purpose):
        return default.kind
    return str(default) if isinstance(default, int | str) else ""


def mark_of(info: FieldInfo) -> Key:
    """What a key's annotation says of its readers and its age."""
    return next((each for each in info.metadata if isinstance(each, Key)), Key())


def seen_by(info: FieldInfo) -> str:
    """Who sees what a key says, in a sentence."""
    return "Buyers see it." if mark_of(info).public else "Never published."


def as_yaml(value: Any) -> str:
    """A value in YAML on one line; a text in quotes where a bare one would be read otherwise."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {as_yaml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(as_yaml, value)) + "]"
    text = str(value)
    needs_quotes = (
        not text or text[0] in "[]{}#&*!|>'\"%@`,?-" or any(sign in text for sign in (": ", " #", ", ", "[", "{"))
    )
    return f'"{text}"' if needs_quotes and '"' not in text else f"'{text}'" if needs_quotes else text


def entries_named(said: str) -> list[KeyEntry]:
    """The entries that a key's name means: `took`, or with keys above it, `sold.at` or `shop.yaml:tax.rules`."""
    wanted = [name_of_key(part) for part in said.replace(":", ".").split(".") if name_of_key(part)]
    return [entry for entry in entries() if any(_ends_in(place, wanted) for place in entry.places)]


def _ends_in(place: str, wanted: Sequence[str]) -> bool:
    file, _, keys = place.partition(":")
    parts = [*(name_of_key(part) for part in file.split(".")), *(name_of_key(part) for part in keys.split("."))]
    return bool(wanted) and parts[-len(wanted) :] == list(wanted)


def record_in(annotation: Any, metadata: Sequence[Any]) -> type[Record] | None:
    """The record whose mappings a key holds: one, a list, or each under a name."""
    inner, metadata = laid_open(annotation, metadata)
    read = read_in(annotation, metadata)
    if read is not None:
        return read.record
    if get_origin(inner) in (tuple, dict):
        of_each = get_args(inner)[0 if get_origin(inner) is tuple else 1]
        return record_in(of_each, ())
    return inner if isinstance(inner, type) and issubclass(inner, Record) else None


def laid_open(annotation: Any, metadata: Sequence[Any]) -> tuple[Any, Sequence[Any]]:
    """A type without its annotations and without `| None`, and the annotations."""
    if get_origin(annotation) is Annotated:
        inner, *more = get_args(annotation)
        return laid_open(inner, [*metadata, *more])
    if get_origin(annotation) in (Union, UnionType):
        rest = [choice for choice in get_args(annotation) if choice is not NoneType]
        if len(rest) == 1:
            return laid_open(rest[0], metadata)
    return annotation, metadata


def read_in(annotation: Any, metadata: Sequence[Any]) -> Read | None:
    """How a value of that type is read, when it is read from one node."""
    return next((each for each in laid_open(annotation, metadata)[1] if isinstance(each, Read)), None)
