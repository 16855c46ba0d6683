"""JSON Schemas of the shop's files, made from the records: what an editor offers, explains and marks while one types.

A schema judges each key by itself. What keys say together (sums, one of two keys), what a number comes to, the
currency's sign, and all that stands in another file is judged by the readers and by `checking.py`. `errorMessage` and
`patternErrorMessage`, beside the keywords of the draft, are sentences that editors show in place of their own; other
programs pass them over.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo

from flipbook.shop.fields import OneOrMany
from flipbook.shop.keys import FILE_KINDS, laid_open, read_in, seen_by
from flipbook.shop.records.base import Record
from flipbook.shop.written import NOTHING

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_of(kind: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of one of FILE_KINDS, for a file as YAML 1.2 hands it over, its keys as text.

    Keys stand in the order of their record. Raises KeyError for a kind that is none.
    """
    known = FILE_KINDS[kind]
    parts = _Parts()
    schema = {"$schema": DIALECT, "$id": f"urn:flipbook:{kind}", **parts.of_mapping(known.record), "title": known.title}
    if known.bare_list:
        schema["items"] = parts.of_entries(known.record.model_fields[known.bare_list])
    also = [kind for kind, may in (("array", known.bare_list), ("null", known.may_be_empty)) if may]
    schema["type"] = ["object", *also] if also else "object"
    schema["$defs"] = dict(sorted(parts.defined.items()))
    return schema


def schema_text(kind: str) -> str:
    """`schema_of(kind)` as JSON, two spaces to a level and a line break at the end."""
    return json.dumps(schema_of(kind), ensure_ascii=False, indent=2) + "\n"


@dataclass(slots=True)
class _Parts:
    """Makes schemas, and keeps those that stand in several places under their names."""

    defined: dict[str, dict[str, Any]] = field(default_factory=dict)

    def of_mapping(self, record: type[Record]) -> dict[str, Any]:
        """The schema of a record: its keys, each of them in every spelling, and no other."""
        fields = {info.alias or name: info for name, info in record.model_fields.items()}
        properties = {written: self._of_key(fields[key]) for key, written in record.keys.items()}
        schema: dict[str, Any] = {
            "title": _words_of(record.__name__).capitalize(),
            "description": (record.__doc__ or "").partition("\n")[0],
            "type": "object",
            **record.text_form,
            "properties": properties,
        }
        spelled = {_other_spellings(key): value for key, value in properties.items() if " " in key}
        if spelled:
            schema["patternProperties"] = spelled
        schema["additionalProperties"] = False
        required = [record.keys[key] for key in record.required]
        if required:
            schema["required"] = [key for key in required if " " not in key]
        either = [{"anyOf": [{"required": [key.replace(" ", gap)]} for gap in " -_"]} for key in required if " " in key]
        if either:
            schema["allOf"] = either
        return schema

    def of_entries(self, info: FieldInfo) -> dict[str, Any]:
        """The schema of each entry of a key that holds a list."""
        return self._of_value(get_args(info.annotation)[0], ())

    def _of_key(self, info: FieldInfo) -> dict[str, Any]:
        """The schema of what may stand after a key, with its description."""
        read = read_in(info.annotation, info.metadata)
        own: dict[str, Any] = dict(info.json_schema_extra) if isinstance(info.json_schema_extra, dict) else {}
        examples: Sequence[Any] = own.pop("examples", ()) or info.examples or (read.examples if read else ())
        form = read.form if read and not own else ""
        schema: dict[str, Any] = {"description": f"{info.description} {seen_by(info)} {form}".strip()}
        # Of a single example an editor makes the value as soon as the key is chosen.
        if len(examples) >= 2:
            schema["examples"] = list(examples)
        value = own or self._of_value(info.annotation, info.metadata)
        return {**schema, **(value if info.is_required() else self._or_nothing(value))}

    def _or_nothing(self, value: dict[str, Any]) -> dict[str, Any]:
        choices = value["anyOf"] if value.keys() == {"anyOf"} else [value]
        return {"anyOf": [*choices, self._define("nothing", NOTHING)]}

    def _of_value(self, annotation: Any, metadata: Sequence[Any]) -> dict[str, Any]:
        """The schema of a value of a type of the records; that nothing may stand there is left to its key."""
        inner, metadata = laid_open(annotation, metadata)
        read = read_in(annotation, metadata)
        if read is not None:
            return self._of_record(read.record) if read.record else self._define(read.name, read.schema)
        if get_origin(inner) is tuple:
            entry = self._of_value(get_args(inner)[0], ())
            many = {"type": "array", "items": entry}
            return {"anyOf": [entry, many]} if OneOrMany in metadata else many
        if get_origin(inner) is dict:
            entry = self._of_value(get_args(inner)[1], ())
            return {"type": "object", "additionalProperties": self._or_nothing(entry)}
        return self._of_record(inner)

    def _of_record(self, record: type[Record]) -> dict[str, Any]:
        return self._define(_words_of(record.__name__).replace(" ", "-"), self.of_mapping(record))

    def _define(self, name: str, schema: dict[str, Any]) -> dict[str, Any]:
        assert self.defined.setdefault(name, schema) == schema, f"two schemas are named {name}"
        return _reference(name)


def _reference(name: str) -> dict[str, Any]:
    return {"$ref": f"#/$defs/{name}"}


def _words_of(name: str) -> str:
    """The words of a class's name: `ToolSold` is `tool sold`."""
    return re.sub("(?<=[a-z])(?=[A-Z])", " ", name).lower()


def _other_spellings(key: str) -> str:
    """The spellings of a key of several words that are not the one with single spaces."""
    return f"^(?!{key}$){key.replace(' ', '[-_ ]+')}$"
