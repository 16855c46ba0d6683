"""The folder for the preparer: a tax year's tables, their pages and the scans behind them, in one zip file.

The same shop makes the same bytes: names in order, no clock, and nothing compressed, since scans are compressed
already and a compressing library's bytes differ from version to version.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
import unicodedata
import zipfile
from collections import defaultdict
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import BinaryIO

from flipbook.books.ledger import Movement
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.years import TaxYear
from flipbook.measures.money import show_money, write_money
from flipbook.measures.rounding import ZERO
from flipbook.rendering import renderer, shipped_file
from flipbook.reports.tables import NUMBER, TAX_NOTE, Column, Table, ledger, tables_of
from flipbook.reports.year import year_page
from flipbook.shop.facts import beside
from flipbook.shop.folder import ShopFolder

SCANS = "scans"
LONGEST_STEM = 120
"""Bytes of a scan's name before its ending; with the ending it stays below the 255 of common file systems."""

_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest day that a zip can say
_ORDINARY_FILE = (stat.S_IFREG | 0o644) << 16
_UNIX = 3


class ScanGone(Exception):
    """A scan that the check had seen cannot be copied; the text says which and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedScan:
    """One scan: its path in the zip, its path in the shop, and the ledger rows of the year that name it."""

    name: str
    file: str
    rows: tuple[Movement, ...]

    @property
    def amount(self) -> Decimal:
        """What the whole slip comes to: out less in, whichever way it went."""
        return _whole(self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """What a pack holds: how many tables and scans, and how many payments of the year have no scan."""

    tables: int
    scans: int
    no_receipt: int


def write_pack(books: Books, year: YearBooks, root: Path, to: Path) -> Packed:
    """Write the year's folder for the preparer of the shop at `root` to the zip file `to`, whole or not at all.

    Raises FileExistsError when there is anything at `to`, ScanGone when a scan cannot be copied, and OSError when
    `to` cannot be written; in each case nothing is there that was not there before.
    """
    if os.path.lexists(to):
        raise FileExistsError(to)
    tables = year_tables(books, year.year)
    scans = packed_scans(row for row in books.ledger if row.day in year.year)
    texts = _texts(books, year, tables, scans)
    sources = {scan.name: scan.file for scan in scans}
    folder = ShopFolder(root)

    def fill(stream: BinaryIO) -> None:
        with zipfile.ZipFile(stream, "w", zipfile.ZIP_STORED) as pack:
            for name in sorted({**texts, **sources}):
                if name in sources:
                    _copy_scan(pack, name, sources[name], folder)
                else:
                    pack.writestr(_entry(name), texts[name])

    _write_whole(to, fill)
    return Packed(tables=len(tables), scans=len(scans), no_receipt=len(year.no_receipt))


def year_tables(books: Books, year: TaxYear) -> list[Table]:
    """The tables of a year, the unsold of the year before it, the ledger's rows of the year, and the tools."""
    wanted = (f"-{year.name}", "tools")
    tables = {table.name: table for table in tables_of(books)}
    chosen = {name: table for name, table in tables.items() if name.endswith(wanted)}
    before = f"unsold-{year.name - 1}"
    if before in tables:
        chosen[before] = tables[before]
    rows = ledger_of_year(books.ledger, year)
    chosen[rows.name] = rows
    return [chosen[name] for name in sorted(chosen)]


def ledger_of_year(rows: Iterable[Movement], year: TaxYear) -> Table:
    """The ledger's rows of a year; the balance goes on from the years before, as in the whole ledger."""
    rows = list(rows)
    whole = ledger(rows)
    return replace(
        whole,
        name=f"{whole.name}-{year.name}",
        title=f"{whole.title} {year.title}",
        note=f"Every movement of money from {year.start} to {year.end}; the balance goes on from before.",
        rows=tuple(cells for row, cells in zip(rows, whole.rows, strict=True) if row.day in year),
    )


def packed_scans(rows: Iterable[Movement]) -> list[PackedScan]:
    """Every scan that the rows name, once, by day and then by its path in the shop, under a name of its own."""
    by_file: dict[str, list[Movement]] = defaultdict(list)
    for row in rows:
        for file in dict.fromkeys(beside("", scan) for scan in row.scans):
            by_file[file].append(row)
    taken: set[str] = set()
    scans = []
    for file, named in sorted(by_file.items(), key=lambda item: (item[1][0].day, item[0])):
        first = named[0]
        name = _free_name(first.day, first.party, _whole(named), _ending(file), taken)
        scans.append(PackedScan(name=f"{SCANS}/{name}", file=file, rows=tuple(named)))
    return sorted(scans, key=lambda scan: scan.name)


def _whole(rows: Iterable[Movement]) -> Decimal:
    return abs(sum((row.money_out - row.money_in for row in rows), ZERO))


def _free_name(day: date, party: str, amount: Decimal, ending: str, taken: set[str]) -> str:
    """The first name that no other scan has, where case and the ways to write an accent make no difference."""
    number = 1
    while True:
        name = scan_stem(day, party, amount, number) + ending
        folded = unicodedata.normalize("NFC", name).casefold()
        if folded not in taken:
            taken.add(folded)
            return name
        number += 1


def scan_stem(day: date, party: str, amount: Decimal, number: int = 1) -> str:
    """`2026-02-20 Harbour Hardware 69.03`, or from the second such `… 69.03 (2)`: a name for every file system.

    At most LONGEST_STEM bytes; where it would be longer, the party is cut. It starts with the day, and so with no
    dot, and is none of the names that Windows keeps for devices.
    """
    tail = write_money(amount) + (f" ({number})" if number > 1 else "")
    room = LONGEST_STEM - len(f"{day.isoformat()}  {tail}")
    cut = _plain(party).encode()[:room].decode("utf-8", "ignore").strip()
    return " ".join(filter(None, (day.isoformat(), cut, tail)))


def _plain(words: str) -> str:
    """Words without what a file system, a shell's folder or a reader's eye would take for something else."""
    kept = "".join(
        " " if unicodedata.category(sign) in _UNSEEN else "-" if sign in _FORBIDDEN else sign
        for sign in unicodedata.normalize("NFC", words)
    )
    return " ".join(kept.split())


_FORBIDDEN = '/\\:*?"<>|'
_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def _ending(file: str) -> str:
    """The ending of a scan's own name where it is a plain one: letters and digits, ten at most."""
    ending = os.path.splitext(file)[1]
    return ending if re.fullmatch(r"\.[A-Za-z0-9]{1,10}", ending) else ""


def scans_table(scans: Iterable[PackedScan], year: TaxYear) -> Table:
    """A row for each ledger row that a scan shows; a scan's rows sum to the amount in its name."""
    cells = [
        (
            scan.name, row.day.isoformat(), row.party, row.what, row.kind,
            write_money(row.money_in or row.money_out), "in" if row.money_in else "out", str(row.place), scan.file,
        )
        for scan in scans
        for row in scan.rows
    ]  # fmt: skip
    return Table(
        name="index",
        title=f"Scans {year.title}",
        note="A row for each line of the ledger that a scan shows. A slip of two sheets is here twice, whole each time.",
        columns=(
            Column("scan", "Scan"), Column("date", "Date"), Column("party", "Party"), Column("what", "What"),
            Column("kind", "Kind"), Column("amount", "Amount", NUMBER), Column("moved", "Moved"),
            Column("source", "Source"), Column("file", "File in the shop"),
        ),
        rows=tuple(cells),
    )  # fmt: skip


def _texts(books: Books, year: YearBooks, tables: list[Table], scans: list[PackedScan]) -> dict[str, bytes]:
    """Everything in the pack but the scans, by its name there."""
    shop, title = books.facts.shop, year.year.title
    render = renderer("books/pack.html")
    listed = scans_table(scans, year.year)
    texts = {f"{table.name}.csv": table.as_csv() for table in (*tables, listed)}
    for table in tables:
        if table.name == f"tax-{year.year.name}":
            page = "".join(year_page(books, year, table))
        else:
            page = render(shop_name=shop.shop, title=title, table=table, totals=table.totals(), first=None)
        texts[f"{table.name}.html"] = page.encode()
    first = {
        "period": f"{year.year.start} to {year.year.end}",
        "currency": shop.currency,
        "money_in": show_money(year.money_in, shop.currency),
        "money_out": show_money(year.money_out, shop.currency),
        "profit": show_money(year.profit, shop.currency),
        "scans": len(scans),
        "no_receipt": len(year.no_receipt),
        "no_receipt_page": f"no-receipt-{year.year.name}.html",
        "tax_note": TAX_NOTE,
        "tables": [(table.name, table.title) for table in tables],
    }
    texts["index.html"] = render(shop_name=shop.shop, title=title, table=listed, totals={}, first=first).encode()
    texts["style.css"] = shipped_file("books/style.css")
    return texts


def _entry(name: str) -> zipfile.ZipInfo:
    """How a file stands in the zip: the same on every day, machine and account."""
    entry = zipfile.ZipInfo(name, _EPOCH)
    entry.create_system = _UNIX
    entry.external_attr = _ORDINARY_FILE
    entry.compress_type = zipfile.ZIP_STORED
    return entry


def _copy_scan(pack: zipfile.ZipFile, name: str, file: str, folder: ShopFolder) -> None:
    """Copy one scan as it is. Raises ScanGone; what the zip itself cannot take is an OSError."""
    fault = folder.fault_of(file, "")
    if fault is not None:
        raise ScanGone(f"the scan {file} cannot be copied: {fault.says}")
    try:
        # Without waiting: a pipe that took the scan's place would wait for a writer for ever.
        source = os.open(folder.root / file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except OSError as reason:
        raise ScanGone(f"the scan {file} cannot be copied: {(reason.strerror or str(reason)).lower()}") from None
    with open(source, "rb") as stream:
        found = os.fstat(source)
        if not stat.S_ISREG(found.st_mode):
            raise ScanGone(f"the scan {file} cannot be copied: it is no ordinary file")
        entry = _entry(name)
        entry.file_size = found.st_size
        with pack.open(entry, "w") as copy:
            shutil.copyfileobj(_Readable(stream, file), copy, 1 << 20)


class _Readable:
    """A scan's bytes; a failure to read them says so, and is not taken for a disk that is full."""

    def __init__(self, stream: BinaryIO, file: str) -> None:
        self._stream = stream
        self._file = file

    def read(self, size: int = -1) -> bytes:
        try:
            return self._stream.read(size)
        except OSError as reason:
            raise ScanGone(f"the scan {self._file} cannot be copied: {(reason.strerror or '').lower()}") from None


def _write_whole(to: Path, fill: Callable[[BinaryIO], None]) -> None:
    """Make a file beside its place and then give it its name, which must be free. Raises FileExistsError, OSError."""
    aside = to.with_name(f".making-{os.getpid()}")
    aside.unlink(missing_ok=True)
    try:
        with aside.open("xb") as stream:
            fill(stream)
            stream.flush()
            os.fsync(stream.fileno())  # a disk over a network may say only now that it is full
        _name_if_free(aside, to)
    finally:
        with suppress(OSError):
            aside.unlink(missing_ok=True)


def _name_if_free(aside: Path, to: Path) -> None:
    """Give what was made aside its name. A link, unlike a rename, never takes the place of a file."""
    try:
        os.link(aside, to)
    except FileExistsError:
        raise FileExistsError(to) from None
    except OSError:  # a file system without links
        if os.path.lexists(to):
            raise FileExistsError(to) from None
        aside.rename(to)
