"""Landed cost: what each line of a receipt really cost, and whom it was for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from flipbook.measures.spreading import spread
from flipbook.shop.facts import Slip
from flipbook.shop.problems import Place
from flipbook.shop.records.receipts import Bought

FOUND, MATERIAL = "found", "material"


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedPart:
    """One line of a receipt, or one piece's share of it, with its part of tax, shipping and discount.

    `kind` is `found` or `material` for a piece, `shelf`, or a kind of expense; `piece` is a folder, empty
    when no piece bears it. `landed` is to the cent; for money got back from a seller it is less than nothing.
    """

    day: date
    party: str
    what: str
    kind: str
    piece: str
    landed: Decimal
    scans: tuple[str, ...]
    place: Place
    line: Bought


def landed_parts(slip: Slip) -> list[LandedPart]:
    """The parts of a receipt; they sum to what was paid, to the cent."""
    receipt = slip.receipt
    lines = receipt.bought
    if receipt.got_back is not None:
        landed: Iterable[Decimal] = [receipt.got_back]
    else:
        landed = spread(receipt.paid, [line.price for line in lines])
    parts = []
    scans = slip.scans()
    for line, cost in zip(lines, landed, strict=True):
        purpose = slip.purpose(line)
        kind = purpose.kind or (FOUND if slip.is_found(line) else MATERIAL)
        shares = purpose.shares or (("", 1),)
        for (piece, _), part in zip(shares, spread(cost, [share for _, share in shares]), strict=True):
            parts.append(
                LandedPart(
                    day=receipt.on,
                    party=receipt.from_,
                    what=line.what or "",
                    kind=kind,
                    piece=piece,
                    landed=-part if receipt.got_back is not None else part,
                    scans=scans,
                    place=line.spot,
                    line=line,
                )
            )
    return parts
