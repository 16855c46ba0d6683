"""The files of years/: a sealed year read, with every problem in its place, and written whole."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from pydantic import ValidationError

from flipbook.measures.money import write_money
from flipbook.shop.composing import MOST_BYTES, Items, compose
from flipbook.shop.fields import Reading, TooManyProblems
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Place, Problem
from flipbook.shop.reading import pinned
from flipbook.shop.records.base import only_refusals
from flipbook.shop.records.sealed import (
    Fact,
    Seal,
    YearFile,
    YearRecord,
    line_digest,
    whole_digest,
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


def read_seals(root: Path) -> SealsRead:
    """Read every file of the shop's years/; a file with a problem gives no record."""
    folder = ShopFolder(root)
    records: dict[int, YearRecord] = {}
    problems: list[Problem] = []
    for name in _names(root):
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


def _names(root: Path) -> list[str]:
    try:
        return sorted(os.listdir(root / FOLDER))
    except OSError:
        return []


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
    record = written.record()
    return list(_edited(written, record, restore)) or record


def _edited(written: YearFile, record: YearRecord, restore: str) -> Iterator[Problem]:
    """Where the digests of a file disagree with what it holds."""
    says = f"the seal of {written.year} was changed by hand, or its file was damaged"
    lines = zip(written.seal.lines, record.seal.lines, strict=True) if written.seal and record.seal else ()
    good = True
    for line, sealed in lines:
        if line_digest(sealed) != line.digest:
            good = False
            yield line.problem("seal-edited", says, restore, label="this line is not what was sealed")
    if good and whole_digest(record) != written.digest:
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
    yield f"year: {record.year}"
    yield f"digest: {_text(whole_digest(record))}"
    if record.seal is not None:
        yield "seal:"
        yield from (f"  {line}" for line in _lines_of_seal(record.seal))
    if record.opened:
        yield "opened:"
    for opening in record.opened:
        yield f"  - sealed: {opening.sealed_on}"
        yield f"    digest: {_text(opening.digest)}"
        yield f"    opened: {opening.opened_on}"
        yield f"    why: {_text(opening.why)}"
        yield from _list(
            "    figures:",
            ((("key", i.key), ("line", i.label), ("caption", i.caption), ("amount", i.amount)) for i in opening.lines),
        )


def _lines_of_seal(seal: Seal) -> Iterator[str]:
    yield f"sealed: {seal.sealed_on}"
    yield f"currency: {_text(seal.currency)}"
    yield f"rules: {_text(seal.rules)}"
    yield f"from: {seal.start}"
    yield f"to: {seal.end}"
    yield from _list("settings:", ((("setting", name), ("is", said)) for name, said in seal.settings))
    if seal.lines:
        yield "lines:"
    for line in seal.lines:
        yield f"  - key: {_text(line.key)}"
        if line.label:
            yield f"    line: {_text(line.label)}"
        if line.caption:
            yield f"    caption: {_text(line.caption)}"
        yield f"    amount: {write_money(line.amount)}"
        yield f"    digest: {_text(line_digest(line))}"
        yield from _list("    facts:", map(_pairs_of_fact, line.facts))
    for title, entries in (
        ("stock at the start:", seal.stock_at_the_start),
        ("stock at the end:", seal.stock_at_the_end),
    ):
        yield from _list(title, ((("piece", e.piece), ("what", e.what), ("amount", e.amount)) for e in entries))
    yield from _list("behind the stock:", map(_pairs_of_fact, seal.behind_the_stock))


_MAY_BE_LEFT_OUT = frozenset(("piece", "what", "taken", "line", "caption"))
_Pairs = Iterable[tuple[str, str | date | Decimal]]


def _pairs_of_fact(fact: Fact) -> _Pairs:
    return (
        ("on", fact.day),
        ("kind", fact.kind),
        ("piece", fact.piece),
        ("what", fact.what),
        ("taken", fact.taken),
        ("amount", fact.amount),
        ("file", fact.file),
    )


def _list(title: str, entries: Iterable[_Pairs]) -> Iterator[str]:
    """A list of one-line mappings under a title, without what need not be said; no list at all when it is empty."""
    indent = " " * (len(title) - len(title.lstrip()) + 2)
    for number, pairs in enumerate(entries):
        if number == 0:
            yield title
        said = (f"{key}: {_value(value)}" for key, value in pairs if value != "" or key not in _MAY_BE_LEFT_OUT)
        yield f"{indent}- {{{', '.join(said)}}}"


def _value(value: str | date | Decimal) -> str:
    if isinstance(value, Decimal):
        return write_money(value)
    return _text(value) if isinstance(value, str) else value.isoformat()


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
