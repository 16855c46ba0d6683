"""What the files of a shop say, read and checked: the input of the books."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from flipbook.measures.fees import Fee
from flipbook.shop.nearest import folded
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.receipts import Bought, Purpose, Receipt, ReceiptFile
from flipbook.shop.records.sale import Sale
from flipbook.shop.records.setup import PLAIN, Product, SharedTrip, Shop, Tax, Tool

_ONE = Fraction(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceFile:
    """One piece's folder."""

    folder: str
    file: str
    piece: Piece
    pictures: tuple[str, ...] = ()
    """Every picture in photos/, relative to the piece's folder, by name."""


class Slip(NamedTuple):
    """A receipt and the file that it stands in; `folder` is the piece whose log that is, if any."""

    file: str
    folder: str
    receipt: Receipt

    def purpose(self, line: Bought) -> Purpose:
        """What a line was bought for: as the line says, else the receipt, else the piece whose log it is."""
        own = Purpose(shares=((self.folder, _ONE),)) if self.folder else Purpose()
        return line.for_ or self.receipt.for_ or own

    def is_found(self, line: Bought) -> bool:
        """Whether a line buys the pieces themselves."""
        return (line.as_ or self.receipt.as_) == "found"

    def scans(self) -> tuple[str, ...]:
        """The scans, relative to the shop's folder."""
        return tuple(beside(self.file, scan) for scan in self.receipt.scan)


def beside(file: str, path: str) -> str:
    """A path written in `file`, relative to the shop's folder."""
    directory, _, _ = file.rpartition("/")
    parts = [part for part in path.split("/") if part not in ("", ".")]
    return "/".join([directory, *parts] if directory else parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """All that a shop's files say; pieces and files in the order of their names."""

    shop: Shop
    products: dict[str, Product] = field(default_factory=dict)
    tools: tuple[Tool, ...] = ()
    trips: tuple[SharedTrip, ...] = ()
    receipts: tuple[tuple[str, ReceiptFile], ...] = ()
    pieces: tuple[PieceFile, ...] = ()

    @property
    def tax(self) -> Tax:
        return self.shop.tax or Tax.unwritten("shop.yaml", rules=PLAIN, year_starts=None, home_workshop=None)

    def slips(self) -> Iterator[Slip]:
        """Every receipt, by the path of its file and its place there."""
        for filed in self.pieces:
            for receipt in filed.piece.bought:
                yield Slip(filed.file, filed.folder, receipt)
        for file, content in self.receipts:
            for receipt in content.receipts:
                yield Slip(file, "", receipt)

    def fee_of(self, sale: Sale) -> Fee:
        """What the outlet of a sale takes; nothing when no outlet was named."""
        outlet = self.shop.outlets.get(folded(sale.at)) if sale.at else None
        return outlet.takes if outlet else Fee()
