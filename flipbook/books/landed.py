"""Landed cost: what each line of a receipt really cost, and whom it was for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.terms import RowKind
from flipbook.measures.spreading import spread
from flipbook.shop.facts import Facts, Slip
from flipbook.shop.problems import Place
from flipbook.shop.records.receipts import Bought, Receipt


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedPart:
    """One line of a receipt, or one piece's share of it, with its part of tax, shipping and discount.

    `piece` is a folder, empty
    when no piece bears it. `landed` is to the cent; for money got back from a seller it is less than nothing.
    """

    day: date
    party: str
    what: str
    kind: RowKind
    piece: str
    landed: Decimal
    scans: tuple[str, ...]
    place: Place
    line: Bought


@dataclass(frozen=True, slots=True)
class LandedReceipt:
    """A receipt and its parts, which sum to what was paid, to the cent."""

    receipt: Receipt
    parts: tuple[LandedPart, ...]


Landed = dict[str, tuple[LandedReceipt, ...]]
"""Every receipt by the file it stands in, in the order written."""


def landed_receipts(facts: Facts) -> Landed:
    """The landed cost of every receipt of the shop."""
    files: list[tuple[str, str, Sequence[Receipt]]] = [(f.file, f.folder, f.piece.bought) for f in facts.pieces]
    files += [(file, "", content.receipts) for file, content in facts.receipts]
    return {
        file: tuple(LandedReceipt(receipt, tuple(landed_parts(Slip(file, folder, receipt)))) for receipt in receipts)
        for file, folder, receipts in files
    }


def parts_of(landed: Landed) -> list[LandedPart]:
    """All the parts of all receipts."""
    return [part for receipts in landed.values() for receipt in receipts for part in receipt.parts]


def landed_parts(slip: Slip) -> list[LandedPart]:
    """The parts of a receipt; they sum to what was paid, to the cent."""
    receipt = slip.receipt
    lines = receipt.bought
    is_back = receipt.got_back is not None
    landed: Iterable[Decimal]
    if receipt.got_back is not None:
        landed = (receipt.got_back,)
    else:
        landed = spread(receipt.paid, [line.price for line in lines])
    parts = []
    scans = slip.scans()
    for line, cost in zip(lines, landed, strict=True):
        purpose = slip.purpose(line)
        unnamed = RowKind.FOUND if slip.is_found(line) else RowKind.MATERIAL
        kind = RowKind(purpose.kind) if purpose.kind else unnamed
        shares: Sequence[tuple[str, Fraction | int]] = purpose.shares or (("", 1),)
        # Most lines are for one piece or none, and go there whole.
        costs = (cost,) if len(shares) == 1 else spread(cost, [share for _, share in shares])
        for (piece, _), part in zip(shares, costs, strict=True):
            parts.append(
                LandedPart(
                    day=receipt.on,
                    party=receipt.from_,
                    what=line.what or "",
                    kind=kind,
                    piece=piece,
                    landed=-part if is_back else part,
                    scans=scans,
                    place=line.spot,
                    line=line,
                )
            )
    return parts
