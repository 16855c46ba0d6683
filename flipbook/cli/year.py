"""`flipbook year`: a tax year on the terminal, its estimate, its seal, and the folder for the preparer."""

from __future__ import annotations

import argparse
import os
import sys
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from flipbook.books.profile import Estimate
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.rulebook import NotPublished
from flipbook.books.seal import holds_nothing, seal_of
from flipbook.books.set_aside import SelfEmploymentTax, estimated_tax_days, self_employment_tax
from flipbook.cli.ending import DONE, PROBLEMS, Misused, many, reason, shop_at
from flipbook.cli.read_books import books_of
from flipbook.cli.terminal import show_json, show_problems, show_year
from flipbook.measures.money import read_money, show_money, write_money
from flipbook.measures.rounding import ZERO
from flipbook.measures.unreadable import Unreadable
from flipbook.reports.pack import ScanGone, write_pack
from flipbook.reports.tables import TAX_NOTE
from flipbook.shop.folder import ShopFolder
from flipbook.shop.reading import source_lines
from flipbook.shop.records.sealed import YearRecord, opened_again
from flipbook.shop.sealing import SealNotWritten, read_seals, write_record


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    if not (arguments.year.isascii() and arguments.year.isdigit() and len(arguments.year) == 4):
        raise Misused(f"`{arguments.year[:20]}` is not a year; write it as 2026")
    if (arguments.seal or arguments.unseal) and (arguments.json or arguments.pack is not None):
        raise Misused("seal or open the year first, then ask for its figures")
    if arguments.seal and arguments.unseal:
        raise Misused("say one of `--seal` and `--unseal`")
    if arguments.because is not None and not arguments.unseal:
        raise Misused("`--because` says why a sealed year is opened; write it with `--unseal`")
    try:
        wages = read_money(arguments.wages, None) if arguments.wages is not None else ZERO
    except Unreadable as fault:
        raise Misused(f"{fault.says}; {fault.write}") from None
    root = shop_at(arguments.shop)
    if arguments.unseal:
        return _unseal(root, int(arguments.year), arguments.because, date.today())
    books = books_of(root)
    found = next((year for year in books.years if year.year.name == int(arguments.year)), None)
    if found is None:
        known = [str(year.year.name) for year in books.years]
        there = f"the shop's log has {', '.join(known)}" if known else "the shop's log is empty"
        raise Misused(f"nothing is logged in the tax year {arguments.year}; {there}")
    if arguments.seal:
        return _seal(books, found, root, date.today())
    if arguments.pack is not None:
        return _pack(books, found, root, Path(arguments.pack))
    by = books.profile.estimate
    if arguments.wages is not None and by is None:
        raise Misused(f"`--wages` is for an estimate of tax, and `rules: {books.profile.name}` have none")
    estimate = _estimate(by, found, wages) if by else None
    if arguments.json:
        show_json(_year_data(found, books.facts.shop.currency, estimate))
    else:
        show_year(found, books.facts.shop.currency, TAX_NOTE)
        for sentence in _estimate_words(estimate, books.facts.shop.currency) if estimate else ():
            sys.stdout.write(f"{sentence}\n")
    return DONE


@dataclass(frozen=True, slots=True)
class _Estimate:
    """Self-employment tax and the days on which estimated tax falls due; `why_not` when a figure is not known."""

    tax: SelfEmploymentTax | None
    days: tuple[date, ...]
    why_not: str = ""


def _estimate(by: Estimate, year: YearBooks, wages: Decimal) -> _Estimate:
    try:
        tax = self_employment_tax(by.self_employment_tax, year.profit, year.year.name, wages)
        return _Estimate(tax, estimated_tax_days(by.due, year.year.name))
    except NotPublished as fault:
        return _Estimate(None, (), f"{fault.says}; {fault.write}")


def _estimate_words(estimate: _Estimate, currency: str) -> list[str]:
    tax = estimate.tax
    if tax is None:
        return ["", f"No estimate: {estimate.why_not}."]
    shown = [
        show_money(amount, currency)
        for amount in (tax.net_earnings, tax.social_security, tax.medicare, tax.tax, tax.half)
    ]
    return [
        "",
        "An estimate, on this profit alone (income tax and your state come besides):",
        f"  net earnings, profit x 0.9235     {shown[0]:>12}",
        f"  social security part              {shown[1]:>12}",
        f"  Medicare part                     {shown[2]:>12}",
        f"  self-employment tax               {shown[3]:>12}",
        f"  half of it, deducted elsewhere    {shown[4]:>12}",
        f"Estimated tax falls due on {', '.join(str(day) for day in estimate.days)}.",
    ]


def _seal(books: Books, year: YearBooks, root: Path, today: date) -> int:
    name = year.year.name
    if today <= year.year.end:
        raise Misused(f"the tax year {year.year.title} ends on {year.year.end}; it can be sealed from the day after")
    kept = read_seals(ShopFolder(root)).records.get(name)
    if kept is not None and kept.seal is not None:
        sys.stdout.write(f"The tax year {name} was sealed on {kept.seal.sealed_on}, and no figure has changed since.\n")
        return DONE
    seal = seal_of(books, year, today)
    if holds_nothing(seal):
        raise Misused(f"nothing is logged in the tax year {name}, so there is nothing to seal")
    record = YearRecord(year=name, seal=seal, opened=kept.opened if kept else ())
    return _keep(root, record, f"Sealed the tax year {name}: its figures cannot change unnoticed.")


def _unseal(root: Path, year: int, because: str | None, today: date) -> int:
    read = read_seals(ShopFolder(root))
    if year not in read.records:
        broken = [problem for problem in read.problems if problem.place.file == f"years/{year}.yaml"]
        if broken:
            show_problems(broken, source_lines(root), sys.stderr)
            return PROBLEMS
    record = read.records.get(year)
    if record is None or record.seal is None:
        raise Misused(f"the tax year {year} is not sealed")
    if because is None and sys.stdin.isatty():
        sys.stderr.write(f"Why is the tax year {year} opened again? ")
        sys.stderr.flush()
        because = sys.stdin.readline()
    if because is None or not because.strip():
        raise Misused('say why the year is opened, as `--unseal --because "a receipt turned up"`')
    return _keep(
        root,
        opened_again(record, today, because.strip()),
        f"Opened the tax year {year}; seal it again when it is right.",
    )


def _keep(root: Path, record: YearRecord, done: str) -> int:
    try:
        file = write_record(root, record)
    except SealNotWritten as fault:
        raise Misused(str(fault)) from None
    except OSError as fault:
        raise Misused(f"years/{record.year}.yaml cannot be written: {reason(fault)}; what was there stays") from None
    sys.stdout.write(f"{done}\nKept in    {file}\n")
    return DONE


def _pack(books: Books, year: YearBooks, root: Path, to: Path) -> int:
    if to.suffix.lower() != ".zip":
        raise Misused(f"the folder for the preparer is a zip file; name it as {to.stem or year.year.name}.zip")
    if not os.path.isdir(to.parent):
        raise Misused(f"there is no folder {to.parent} to put {to.name} in")
    try:
        packed = write_pack(books, year, root, to)
    except FileExistsError:
        raise Misused(
            f"{to} is there already and stays as it is; give the file another name, or move it away"
        ) from None
    except ScanGone as fault:
        sys.stderr.write(f"flipbook: {fault}; {to} was not written\n")
        return PROBLEMS
    except OSError as fault:
        sys.stderr.write(f"flipbook: {to} cannot be written: {reason(fault)}; nothing was left there\n")
        return PROBLEMS
    sys.stdout.write(
        f"Wrote {many(packed.tables, 'table')} and {many(packed.scans, 'scan')} of the tax year {year.year.title} to {to}.\n"
        + (
            f"{many(packed.no_receipt, 'payment')} with no scan: see no-receipt-{year.year.name}.csv in it.\n"
            if packed.no_receipt
            else ""
        )
    )
    return DONE


def _year_data(year: YearBooks, currency: str, estimate: _Estimate | None) -> dict[str, object]:
    return {
        "year": year.year.name,
        "from": year.year.start.isoformat(),
        "to": year.year.end.isoformat(),
        "currency": currency,
        "lines": [
            {
                "form": line.form,
                "line": line.line,
                "caption": line.caption,
                "amount": write_money(line.amount),
                "whole": str(line.whole),
            }
            for line in year.lines
        ],
        "money_in": write_money(year.money_in),
        "money_out": write_money(year.money_out),
        "note": TAX_NOTE,
        **(_estimate_data(estimate) if estimate else {}),
    }


def _estimate_data(estimate: _Estimate) -> dict[str, object]:
    tax = estimate.tax
    if tax is None:
        return {"estimate": None}
    return {
        "estimate": {
            "net_earnings": write_money(tax.net_earnings),
            "social_security": write_money(tax.social_security),
            "medicare": write_money(tax.medicare),
            "self_employment_tax": write_money(tax.tax),
            "half": write_money(tax.half),
            "due": [day.isoformat() for day in estimate.days],
        }
    }
