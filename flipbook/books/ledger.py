"""The ledger: every movement of money, oldest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import chain

from flipbook.books.costs import CostSheet
from flipbook.books.landed import Landed, LandedReceipt
from flipbook.books.sales import Received, SoldFor
from flipbook.books.terms import RowKind
from flipbook.measures.rounding import ZERO
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts, beside
from flipbook.shop.problems import Place
from flipbook.shop.records.receipts import Income


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One movement of money; one of `money_in` and `money_out` is nothing.

    `is_receipted` says that a scan is owed: money paid for a find, a purchase or a tool.
    """

    day: date
    piece: str
    party: str
    what: str
    kind: RowKind
    money_in: Decimal = ZERO
    money_out: Decimal = ZERO
    scans: tuple[str, ...] = ()
    place: Place
    is_receipted: bool = False


def ledger_rows(facts: Facts, landed: Landed, sheets: Iterable[CostSheet]) -> list[Movement]:
    """All rows, by day, then file, then as the day went: found, bought, sold, given back, fees; then by place."""
    by_file = {sheet.filed.file: _of_a_piece(landed[sheet.filed.file], sheet) for sheet in sheets}
    for file, content in facts.receipts:
        by_file[file] = _of_receipts(landed[file], file, content.income)
    by_file["tools.yaml"] = _moved(_tools(facts))
    rows = [row for _, rows in sorted(by_file.items()) for row in rows]
    rows.sort(key=lambda row: row.day.toordinal())  # a stable sort: within a day the order of the files stays
    return rows


_TURN = {
    RowKind.FOUND: 0,
    RowKind.SALE: 2,
    RowKind.DELIVERY: 2,
    RowKind.SALES_TAX: 2,
    RowKind.REFUND: 3,
    RowKind.SELLING_FEES: 4,
}


def _of_a_piece(landed: Iterable[LandedReceipt], sheet: CostSheet) -> tuple[Movement, ...]:
    return _moved(chain(_bought(landed), _piece(sheet)))


def _of_receipts(landed: Iterable[LandedReceipt], file: str, income: Iterable[Income]) -> tuple[Movement, ...]:
    return _moved(chain(_bought(landed), _income(file, income)))


def _moved(rows: Iterable[Movement]) -> tuple[Movement, ...]:
    """The rows of one file that moved money, in their order."""
    moved = (row for row in rows if row.money_in or row.money_out)
    return tuple(sorted(moved, key=lambda row: (row.day, _TURN.get(row.kind, 1), row.place)))


def _bought(landed: Iterable[LandedReceipt]) -> Iterator[Movement]:
    for receipt in landed:
        for part in receipt.parts:
            back = part.landed < 0
            yield Movement(
                day=part.day,
                piece=part.piece,
                party=part.party,
                what=part.what,
                kind=part.kind,
                money_in=-part.landed if back else ZERO,
                money_out=ZERO if back else part.landed,
                scans=part.scans,
                place=part.place,
                is_receipted=not back,
            )


def _piece(sheet: CostSheet) -> Iterator[Movement]:
    filed = sheet.filed
    piece, folder, title = filed.piece, filed.folder, filed.piece.piece
    if piece.found is not None and piece.found.own is None:
        found = piece.found
        scans = tuple(beside(filed.file, scan) for scan in found.scan)
        yield Movement(
            day=found.on,
            piece=folder,
            party=found.from_,
            what=title,
            kind=RowKind.FOUND,
            money_out=found.basis,
            scans=scans,
            place=found.spot,
            is_receipted=True,
        )
    for sold in sheet.sales:
        yield from _sale(sold, folder, title)
    in_sales = {id(received) for sold in sheet.sales for received in sold.received}
    back_in_sales = {id(back) for sold in sheet.sales for back in sold.refunds}
    for received in sheet.received:
        if received.is_deposit and id(received) not in in_sales:
            yield from _received(received, folder, "", f"deposit on {title}")
    for back in sheet.refunds:
        if id(back) not in back_in_sales:
            yield Movement(
                day=back.day,
                piece=folder,
                party="",
                what=f"deposit on {title} given back",
                kind=RowKind.REFUND,
                money_out=back.amount,
                place=back.place,
            )


def _sale(sold: SoldFor, folder: str, title: str) -> Iterator[Movement]:
    sale = sold.sale
    party = sale.buyer or sale.at or ""
    for received in sold.received:
        yield from _received(received, folder, party, f"deposit on {title}" if received.is_deposit else title)
    for back in sold.refunds:
        yield Movement(
            day=back.day,
            piece=folder,
            party=party,
            what=title,
            kind=RowKind.REFUND,
            money_out=back.amount,
            place=back.place,
        )
    yield Movement(
        day=sale.on,
        piece=folder,
        party=sale.at or "",
        what=f"fees for {title}",
        kind=RowKind.SELLING_FEES,
        money_out=sold.fees,
        place=sale.spot,
    )


def _received(received: Received, folder: str, party: str, what: str) -> Iterator[Movement]:
    split = (
        (RowKind.SALE, received.for_piece),
        (RowKind.DELIVERY, received.delivery),
        (RowKind.SALES_TAX, received.sales_tax),
    )
    for kind, amount in split:
        yield Movement(
            day=received.day, piece=folder, party=party, what=what, kind=kind, money_in=amount, place=received.place
        )


def _tools(facts: Facts) -> Iterator[Movement]:
    for tool in facts.tools:
        yield Movement(
            day=tool.on,
            piece="",
            party=tool.from_,
            what=tool.tool,
            kind=RowKind.TOOL,
            money_out=tool.cost,
            scans=tool.scan,
            place=tool.spot,
            is_receipted=True,
        )
        if tool.sold is not None:
            yield Movement(
                day=tool.sold.on,
                piece="",
                party="",
                what=f"{tool.tool} sold",
                kind=RowKind.TOOL,
                money_in=tool.sold.price,
                place=tool.sold.spot,
            )


def _income(file: str, incomes: Iterable[Income]) -> Iterator[Movement]:
    """Other income, and fees for work on customers' pieces shared between them."""
    for income in incomes:
        shares = income.for_.shares or (("", 1),)
        kind = RowKind.SALE if income.for_.shares else RowKind.OTHER
        scans = tuple(beside(file, scan) for scan in income.scan)
        for (piece, _), part in zip(shares, spread(income.amount, [share for _, share in shares]), strict=True):
            yield Movement(
                day=income.on,
                piece=piece,
                party=income.from_,
                what=income.what,
                kind=kind,
                money_in=part,
                scans=scans,
                place=income.spot,
            )
