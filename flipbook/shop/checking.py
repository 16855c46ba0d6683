"""Checks between the keys of a piece and between files: dates in order, sums that agree, things that exist."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from datetime import date
from itertools import accumulate, islice

from flipbook.measures.rounding import ZERO
from flipbook.shop.composing import COMMA_IN_BRACKETS
from flipbook.shop.facts import Facts, PieceFile, Slip
from flipbook.shop.folder import ShopFolder
from flipbook.shop.nearest import choices, folded, write_instead
from flipbook.shop.problems import MOST_TOLD, Name, Problem
from flipbook.shop.records.base import Record
from flipbook.shop.records.expenses import KINDS
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import Purpose, ReportedForm
from flipbook.shop.records.sale import Deposit


def check(facts: Facts, folder: ShopFolder) -> Iterator[Problem]:
    """Every problem that shows only when the files are held against one another or the disk."""
    pieces = {filed.folder for filed in facts.pieces}
    found_by_receipt: set[str] = set()
    for slip in facts.slips():
        yield from _slip(slip, pieces, folder)
        for line in slip.receipt.bought:
            if slip.is_found(line):
                found_by_receipt.update(name for name, _ in slip.purpose(line).shares)
    for filed in facts.pieces:
        yield from _files_of(filed, folder)
        yield from _order_of(filed.piece, found_by_receipt.__contains__(filed.folder))
        yield from _sales_of(filed.piece, facts)
    for tool in facts.tools:
        yield from _scans(tool, tool.scan, "", folder)
        if tool.sold is not None and tool.sold.on < tool.on:
            yield tool.sold.problem(
                "dates-run-backwards", f"the tool was sold before it was bought, on {tool.on}", "check both dates", "on"
            )
    for trip in facts.trips:
        if trip.for_ is not None:
            yield from _pieces_exist(trip, trip.for_, pieces)
    for _, content in facts.receipts:
        for income in content.income:
            yield from _scans(income, income.scan, "receipts", folder)
            yield from _pieces_exist(income, income.for_, pieces)
            if income.for_.kind not in ("", "other"):
                yield income.problem(
                    "income-for", "income is for a piece, or `other`", "write `for: other`, or a piece's folder", "for"
                )
    yield from _forms(facts, folder)
    yield from _opening(facts)


def _scans(
    record: Record, scans: tuple[str, ...], directory: str, folder: ShopFolder, key: str = "scan"
) -> Iterator[Problem]:
    for number, scan in enumerate(scans):
        fault = folder.fault_of(scan, directory)
        if fault is not None:
            write = fault.write + (COMMA_IN_BRACKETS if len(scans) > 1 else "")
            yield record.problem(fault.name, fault.says, write, key, number)


def _pieces_exist(record: Record, purpose: Purpose, pieces: set[str]) -> Iterator[Problem]:
    unknown = (name for name, _ in purpose.shares if name not in pieces)
    for name in islice(unknown, MOST_TOLD):
        write = write_instead(
            name, [*sorted(pieces), *KINDS], "write a folder of `pieces/`, `shelf` or a kind of expense"
        )
        yield record.problem("no-such-piece", f"there is no piece in a folder `{name[:60]}`", write, "for", Name(name))


def _slip(slip: Slip, pieces: set[str], folder: ShopFolder) -> Iterator[Problem]:
    receipt = slip.receipt
    directory = slip.file.rpartition("/")[0]
    if receipt.scan:
        yield from _scans(receipt, receipt.scan, directory, folder)
    if receipt.lines and receipt.for_ is not None:
        yield from _pieces_exist(receipt, receipt.for_, pieces)
    for line in receipt.bought:
        purpose = slip.purpose(line)
        if not purpose.kind and not purpose.shares:
            yield line.problem(
                "for-whom",
                "it is not said what this was for",
                "add `for:` with a piece's folder, `shelf` or a kind of expense, as `for: supplies`",
            )
        elif line.for_ is not None:
            yield from _pieces_exist(line, purpose, pieces)
        if slip.is_found(line) and not purpose.shares:
            yield line.problem(
                "found-for-whom",
                "`as: found` buys pieces, and this is for none",
                "add `for: folder`, or `for: {folder-a: 1, folder-b: 1}`",
                "as",
            )


def _files_of(filed: PieceFile, folder: ShopFolder) -> Iterator[Problem]:
    directory = f"pieces/{filed.folder}"
    piece = filed.piece
    if piece.found is not None:
        yield from _scans(piece.found, piece.found.scan, directory, folder)
    for step in piece.log:
        if step.photos:
            yield from _scans(step, step.photos, directory, folder, key="photos")
    for photo in piece.photos:
        fault = folder.fault_of(photo.file, directory)
        if fault is not None:
            yield photo.problem(*fault, "file")


def _order_of(piece: Piece, found_by_receipt: bool) -> Iterator[Problem]:
    """How the piece came and went, and that nothing happened before it could."""
    ways = [way for way in (piece.found, piece.customer or None) if way]
    if len(ways) == 2:
        yield piece.problem(
            "found-and-customer",
            "a customer's own piece was not found by the shop",
            "keep `customer: yes`, or `found:`",
            "customer",
        )
    if not ways and not found_by_receipt:
        yield piece.problem(
            "how-it-came",
            "it is not said how the piece came",
            "add `found:` with `on`, `from` and `cost` (0 for a free find)",
            warning=True,
        )
    endings = [
        ending for ending in (piece.standing_sale, piece.kept, piece.given, piece.scrapped) if ending is not None
    ]
    for ending in endings[1:]:
        yield ending.problem(
            "ended-twice",
            "the piece has already left the shop in another way",
            "keep one of sold, kept, given and scrapped",
        )
    found_on = piece.found.on if piece.found else None
    if found_on is not None:
        for left in (*piece.sold, piece.kept, piece.given, piece.scrapped):
            if left is not None:
                yield from _not_before(left, left.on, found_on, "it was found")
        for step in piece.log:
            if step.on.day < found_on:
                yield step.problem(
                    "before-it-was-found",
                    f"the step is dated before the piece was found, on {found_on}",
                    "check the date",
                    "on",
                    warning=True,
                )
    for earlier, later in zip(piece.sold, piece.sold[1:], strict=False):
        if earlier.returned is None:
            yield later.problem(
                "sold-twice",
                "the piece was sold before and has not come back",
                "add `returned: {on: …, refund: …}` to the sale before this one",
            )
        else:
            yield from _not_before(later, later.on, earlier.returned.on, "it came back")
    came_back = max((sale.returned.on for sale in piece.sold if sale.returned), default=None)
    if came_back is not None:
        for gone in (piece.kept, piece.given, piece.scrapped):
            if gone is not None:
                yield from _not_before(gone, gone.on, came_back, "it came back")
    for asked, then in zip(piece.asking, piece.asking[1:], strict=False):
        yield from _not_before(then, then.on, asked.on, "the price above it")


def _not_before(record: Record, day: date, earliest: date, what: str) -> Iterator[Problem]:
    if day < earliest:
        yield record.problem(
            "dates-run-backwards", f"this is dated before {what}, on {earliest}", "check both dates", "on"
        )


def _sales_of(piece: Piece, facts: Facts) -> Iterator[Problem]:
    for deposit in piece.deposits:
        if deposit.back is not None:
            yield from _not_before(deposit.back, deposit.back.on, deposit.on, "the deposit was paid")
    by_sale = deposits_by_sale(piece)
    for sale, deposits in zip(piece.sold, by_sale, strict=True):
        if sale.at is not None:
            yield from _outlet(sale, sale.at, "at", facts)
        paid = sum((deposit.amount for deposit in deposits), ZERO) + sum(
            (payment.amount for payment in sale.payments), ZERO
        )
        if (sale.payments and paid != sale.charged) or paid > sale.charged:
            together = "payments and deposits" if deposits else "payments"
            says = f"the {together} come to {paid}, and price, delivery and sales tax to {sale.charged}"
            yield sale.problem("payments-disagree", says, "check the payments against the price", "payments")
        for refund in sale.refunds:
            yield from _not_before(refund, refund.on, sale.on, "the sale")
        if sum((refund.refund for refund in sale.refunds), ZERO) > sale.charged:
            last = sale.refunds[-1]
            yield last.problem(
                "refund-too-large",
                f"more is given back than the {sale.charged} that was paid",
                "check the refund",
                "refund",
            )
    taken = {id(deposit) for deposits in by_sale for deposit in deposits}
    for deposit in piece.deposits if piece.sold else ():
        if deposit.back is None and id(deposit) not in taken:
            yield deposit.problem(
                "dates-run-backwards",
                "the deposit is dated after the sale",
                "write it among the sale's `payments`",
                "on",
            )


def deposits_by_sale(piece: Piece) -> list[list[Deposit]]:
    """For each sale the deposits that went into it: kept, paid by its day, and not before the piece last came back."""
    taken: list[list[Deposit]] = [[] for _ in piece.sold]
    days = [sale.on for sale in piece.sold]
    since = list(
        accumulate((sale.returned.on if sale.returned else date.min for sale in piece.sold), max, initial=date.min)
    )
    for deposit in piece.deposits:
        number = bisect_left(days, deposit.on)
        if deposit.back is None and number < len(days) and since[number] <= deposit.on:
            taken[number].append(deposit)
    return taken


def _outlet(record: Record, outlet: str, key: str, facts: Facts) -> Iterator[Problem]:
    if folded(outlet) not in facts.shop.outlets:
        known = list(facts.shop.outlets)
        write = write_instead(
            outlet, known, f"write {choices(known)}" if known else "add it to `outlets:` in shop.yaml"
        )
        yield record.problem("no-such-outlet", f"`{outlet[:60]}` is no outlet of shop.yaml", write, key)


def _forms(facts: Facts, folder: ShopFolder) -> Iterator[Problem]:
    """A form comes from an outlet, its scan exists, and none is written twice."""
    first: dict[tuple[str, int, str], ReportedForm] = {}
    for _, content in facts.receipts:
        for form in content.forms:
            yield from _scans(form, form.scan, "receipts", folder)
            yield from _outlet(form, form.from_, "from", facts)
            there = first.setdefault((folded(form.from_), form.year, folded(form.form)), form)
            if there is not form:
                named = f"`{form.form[:60]}` from" if form.form else "a form from"
                yield form.problem(
                    "form-twice",
                    f"{named} `{form.from_[:60]}` for {form.year} is written at {there.spot} already",
                    "keep one of the two; two forms of one year and outlet are told apart by `form:`",
                )


def _opening(facts: Facts) -> Iterator[Problem]:
    """Opening stock was there before anything that is logged."""
    openings = [lot for _, content in facts.receipts for lot in content.opening]
    first = min(days_logged(facts), default=None) if openings else None
    for lot in openings:
        if first is not None and lot.on > first:
            yield lot.problem(
                "dates-run-backwards",
                f"opening stock is dated after {first}, when the log begins",
                "date it no later than that day",
                "on",
            )


def days_logged(facts: Facts) -> Iterator[date]:
    """The days of everything that is logged but opening stock."""
    for slip in facts.slips():
        yield slip.receipt.on
    for filed in facts.pieces:
        piece = filed.piece
        yield from (came.on for came in (piece.found,) if came)
        yield from (gone.on for gone in (piece.kept, piece.given, piece.scrapped) if gone)
        yield from (step.on.day for step in piece.log)
        yield from (trip.on for trip in piece.trips)
        yield from (asked.on for asked in piece.asking)
        yield from (offer.on for offer in piece.offers)
        for deposit in piece.deposits:
            yield deposit.on
            yield from (back.on for back in (deposit.back,) if back)
        for sale in piece.sold:
            yield sale.on
            yield from (payment.on for payment in sale.payments)
            yield from (refund.on for refund in sale.refunds)
    yield from (tool.on for tool in facts.tools)
    yield from (tool.sold.on for tool in facts.tools if tool.sold)
    yield from (trip.on for trip in facts.trips)
    for _, content in facts.receipts:
        yield from (counted.on for counted in content.counts)
        yield from (income.on for income in content.income)
