"""The files of years/: a sealed year read, with every problem in its place, and written whole."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from flipbook.measures.money import write_money
from flipbook.shop.composing import MOST_BYTES, Items, compose
from flipbook.shop.fields import Reading, TooManyProblems
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Place, Problem
from flipbook.shop.reading import pinned
from flipbook.shop.records.base import only_refusals
from flipbook.shop.records.sealed import (
    FactWritten,
    FigureWritten,
    KeptValue,
    LineWritten,
    Opening,
    OpeningWritten,
    Seal,
    SealedLine,
    SealWritten,
    SettingWritten,
    StockWritten,
    YearFile,
    YearRecord,
)

FOLDER = "years"
_NAME = re.compile(r"[0-9]{4}\.yaml")
_RESTORE = "take the file back from a copy, or delete it and seal the year again with `flipbook year {} --seal`"


@dataclass(frozen=True, slots=True, kw_only=True)
class SealsRead:
    """The records of years/, by year, and what is wrong with its files."""

    records: dict[int, YearRecord]
    problems: list[Problem]

    @property
    def seals(self) -> list[Seal]:
        """The seals that hold, by year."""
        return [record.seal for _, record in sorted(self.records.items()) if record.seal is not None]


def read_seals(folder: ShopFolder) -> SealsRead:
    """Read every file of the shop's years/; a file with a problem gives no record."""
    records: dict[int, YearRecord] = {}
    problems: list[Problem] = []
    names = folder.names(FOLDER)
    for name in [] if isinstance(names, Problem) else names:
        file = f"{FOLDER}/{name}"
        if not _NAME.fullmatch(name):
            if name.endswith((".yaml", ".yml")) and not name.startswith("."):
                problems.append(_not_a_year(file))
            continue
        data = folder.read(file)
        read = data if isinstance(data, Problem) else _record(file, data)
        if isinstance(read, YearRecord):
            records[read.year] = read
        else:
            problems += pinned([read] if isinstance(read, Problem) else read, folder)
    return SealsRead(records=records, problems=problems)


def _not_a_year(file: str) -> Problem:
    return Problem(
        name="not-read",
        place=Place(file if file.isprintable() else ascii(file)),
        says="this file is not read",
        help="years/ holds the seals of tax years, each named as `2025.yaml`; move others out of it",
        warning=True,
    )


def _record(file: str, data: bytes) -> YearRecord | Problem | list[Problem]:
    """The record of one file, or what is wrong with it."""
    restore = _RESTORE.format(file[-9:-5])
    node = compose(file, data)
    if isinstance(node, Problem):
        return node
    if node is None or isinstance(node, Items):
        says = "the file is empty" if node is None else "a seal is a mapping, and this is a list"
        return Problem(name="seal-broken", place=Place(file), says=says, help=restore)
    reading = Reading(file)
    try:
        written = YearFile.model_validate(node, context=reading)
    except ValidationError as fault:
        only_refusals(fault)
        return reading.problems
    except TooManyProblems:
        return reading.problems
    if reading.problems:
        return reading.problems
    if file != f"{FOLDER}/{written.year}.yaml":
        says = f"the file holds the year {written.year}, and its name says {file[-9:-5]}"
        write = f"rename it to `{written.year}.yaml`, or write the year of its name again"
        return written.problem("seal-year", says, write, "year")
    record = written.value()
    return list(_edited(written, record, restore)) or record


def _edited(written: YearFile, record: YearRecord, restore: str) -> Iterator[Problem]:
    """Where the digests of a file disagree with what it holds."""
    says = f"the seal of {written.year} was changed by hand, or its file was damaged"
    lines = zip(written.seal.lines, record.seal.lines, strict=True) if written.seal and record.seal else ()
    good = True
    for line, sealed in lines:
        if sealed.digest != line.digest:
            good = False
            yield line.problem("seal-edited", says, restore, label="this line is not what was sealed")
    if good and record.digest != written.digest:
        label = "its content has another digest"
        yield written.problem("seal-edited", says, restore, "digest", label=label)


class SealNotWritten(Exception):
    """A seal that cannot be written as it is; the text says why and what to do."""


def write_record(root: Path, record: YearRecord) -> Path:
    """Write what is kept of a year to its file, which appears whole; it is read again before it is believed.

    Raises SealNotWritten when it would be too large to be read or its folder leads out of the shop, and OSError.
    """
    folder = root / FOLDER
    file = f"{FOLDER}/{record.year}.yaml"
    data = text_of_record(record).encode("utf-8")
    if len(data) > MOST_BYTES:
        raise SealNotWritten(f"the facts of {record.year} are too many for one file: the seal would be over 2 MiB")
    if _record(file, data) != record:
        raise SealNotWritten(f"the seal of {record.year} does not read back as it was; this is a fault of flipbook")
    if os.path.dirname(os.path.realpath(folder)) != os.path.realpath(root):
        raise SealNotWritten("years/ is a link to a place outside the shop; make it a folder of its own")
    folder.mkdir(exist_ok=True)
    path, aside = folder / f"{record.year}.yaml", folder / f".{record.year}.yaml.{os.getpid()}.new"
    try:
        with aside.open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(aside, path)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
    return path


def text_of_record(record: YearRecord) -> str:
    """The text of a year's file: one fact a line, in an order that depends on nothing but the facts."""
    return "".join(f"{line}\n" for line in _lines(record))


def _lines(record: YearRecord) -> Iterator[str]:
    yield f"# What was sealed of the tax year {record.year}. flipbook wrote this; it notices when it is edited."
    yield f"# To change the year, open it: flipbook year {record.year} --unseal"
    yield from _mapping(record)


_SHAPES: dict[type, type[KeptValue]] = {
    kept.shape: kept
    for kept in (
        YearFile,
        SealWritten,
        LineWritten,
        FactWritten,
        StockWritten,
        SettingWritten,
        OpeningWritten,
        FigureWritten,
    )
}


def _keys_of(value: object) -> Iterator[tuple[str, Any]]:
    """What is said of a value, by the keys of the file in their order; nothing that may be left out and is empty."""
    shape = _SHAPES[type(value)]
    for name, about in shape.model_fields.items():
        key = shape.keys.get(about.alias or name)
        if key is not None:
            said = getattr(value, name)
            if about.is_required() or said not in ("", (), None):
                yield key, said


def _mapping(value: object) -> Iterator[str]:
    """A value as a mapping with a line for each key, and its lists below theirs."""
    for key, said in _keys_of(value):
        if isinstance(said, tuple):
            yield f"{key}:"
            for entry in said:
                yield from _entry(entry)
        elif isinstance(said, Seal):
            yield f"{key}:"
            yield from (f"  {line}" for line in _mapping(said))
        else:
            yield f"{key}: {_value(said)}"


def _entry(value: object) -> Iterator[str]:
    """A value in a list: on one line, unless it may have a list of its own."""
    if isinstance(value, SealedLine | Opening):
        for number, line in enumerate(_mapping(value)):
            yield f"    {line}" if number else f"  - {line}"
    else:
        yield f"  - {{{', '.join(f'{key}: {_value(said)}' for key, said in _keys_of(value))}}}"


def _value(said: str | int | date | Decimal) -> str:
    if isinstance(said, Decimal):
        return write_money(said)
    return _text(said) if isinstance(said, str) else str(said)


# Words that are themselves wherever they stand in YAML, and cannot be taken for a number, a date or nothing.
_BARE = re.compile(r"[A-Za-z][A-Za-z0-9_./-]*(?: [A-Za-z0-9_./-]+)*")
_NO_TEXT = frozenset(("null", "true", "false", "yes", "no", "on", "off", "y", "n"))
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def _text(text: str) -> str:
    """`text` on one line as YAML reads it back: bare where that is plain, else in double quotes, all else escaped."""
    if _BARE.fullmatch(text) and text.lower() not in _NO_TEXT:
        return text
    return f'"{"".join(map(_escaped, text))}"'


def _escaped(sign: str) -> str:
    if sign in _SHORT:
        return _SHORT[sign]
    if sign.isprintable():
        return sign
    point = ord(sign)
    return f"\\x{point:02x}" if point < 0x100 else f"\\u{point:04x}" if point < 0x10000 else f"\\U{point:08x}"
