"""`flipbook sell`: a sale, and what it leaves."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path

from flipbook.cli.ending import DONE, Misused
from flipbook.entry.entering import Entered, Entering, Unfit, write_down
from flipbook.entry.said import Spoken, money_reader, read_or_refuse, when_said
from flipbook.measures.money import show_money, write_money
from flipbook.measures.times import write_time_taken
from flipbook.measures.unreadable import shown
from flipbook.shop.checking import deposits_by_sale
from flipbook.shop.choosing import read_piece
from flipbook.shop.editing import Entry, appended, with_key
from flipbook.shop.folder import ShopFolder
from flipbook.shop.names import outlets_of
from flipbook.shop.nearest import choices, folded, write_instead
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.sale import Sale


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    said = Spoken(arguments)
    day = said.when.day
    outlet = _outlet_said(said.root, arguments.at)
    sums = said.money("--delivery", "--sales-tax", "--fees")
    paid = [_payment_said(text, day, said.currency) for text in arguments.paid]
    chosen = said.piece()
    price = said.price("Sold for how much?")
    sale: dict[str, Entry] = {"on": str(day), "price": write_money(price)}
    if outlet:
        sale["at"] = outlet
    sale |= {key: write_money(value) for key, value in sums.items()}
    charged = price + sum((sums.get(key, Decimal(0)) for key in ("delivery", "sales tax")), Decimal(0))
    words = said.words("--buyer", "--private")
    file = chosen.piece.file
    deposited: list[Decimal] = []

    def edit(data: bytes) -> bytes:
        piece = _piece_to_sell(said.root, chosen.piece.folder, data)
        laid_down = _deposits(piece, day)
        deposited[:] = [laid_down]
        payments = paid or ([(day, charged - laid_down)] if 0 < laid_down < charged else [])
        entry = {**sale, **({"payments": _payments(payments)} if payments else {}), **words}
        return _with_sale(file, data, entry, again=bool(piece.sold))

    entered = write_down(said.root, Entering(file=file, edit=edit), chosen.note)
    if deposited[0]:
        sys.stdout.write(f"Deposits of {deposited[0]} count among what was paid.\n")
    _say_what_it_leaves(entered, chosen.piece.folder)
    return DONE


def _outlet_said(root: Path, said: str | None) -> str | None:
    """The outlet as shop.yaml calls it. Raises Misused with the nearest one."""
    if said is None:
        return None
    outlets = outlets_of(root)
    known = {folded(name): name for name in outlets}
    if folded(said) not in known:
        otherwise = f"write {choices(outlets)}" if outlets else "add it to `outlets:` in shop.yaml"
        raise Misused(f"`{shown(said)}` is no outlet of shop.yaml; {write_instead(said, outlets, otherwise)}")
    return known[folded(said)]


def _payment_said(text: str, sold_on: date, currency: str | None) -> tuple[date, Decimal]:
    """A payment as it is said: `-3d 100`, or `100` alone for the day of the sale. Raises Misused."""
    said_day, _, said_sum = " ".join(text.split()).rpartition(" ")
    amount = read_or_refuse(said_sum, money_reader(currency), "--paid")
    return (when_said(said_day, "--paid").day if said_day else sold_on), amount


def _payments(payments: list[tuple[date, Decimal]]) -> Entry:
    return [{"on": str(day), "amount": write_money(amount)} for day, amount in sorted(payments)]


def _piece_to_sell(root: Path, folder: str, data: bytes) -> Piece:
    """What the file says of the piece. Raises Unfit when it cannot be read, Misused when it was sold already."""
    piece = read_piece(ShopFolder(root, {f"pieces/{folder}/piece.yaml": data}), folder)
    if isinstance(piece, list):
        raise Unfit(piece)
    if piece.standing_sale is not None:
        raise Misused(
            f"{folder} was sold on {piece.standing_sale.on} already; when it has come back, write that into its file\n"
            "first, below that sale: `returned: {on: …, refund: …}`"
        )
    return piece


def _deposits(piece: Piece, day: date) -> Decimal:
    """What deposits a sale of that day takes up."""
    sale = Sale.unwritten("", on=day, returned=None)
    with_it = piece.model_copy(update={"sold": (*piece.sold, sale)})
    return sum((deposit.amount for deposit in deposits_by_sale(with_it)[-1]), Decimal(0))


def _with_sale(file: str, data: bytes, sale: Entry, *, again: bool) -> bytes:
    """The file with the sale in it, below the one before when the piece came back and is sold again."""
    keys = tuple(Piece.keys.values())
    return appended(file, data, ["sold"], sale, keys=keys) if again else with_key(file, data, ["sold"], sale, keys=keys)


def _say_what_it_leaves(entered: Entered, folder: str) -> None:
    """What the piece took, cost and leaves, as its sheet in the books has it."""
    books = entered.outcome.books
    if books is None:
        sys.stdout.write("What the piece leaves is known once they are mended.\n")
        return
    currency = books.facts.shop.currency
    sheet = next(sheet for sheet in books.sheets if sheet.folder == folder)
    rows = [("takings", sheet.takings), ("fees", -sheet.fees), ("cost", -sheet.cost), ("driving", -sheet.driving)]
    rows = [(word, value) for word, value in rows if value or word in ("takings", "cost")] + [("profit", sheet.profit)]
    shown = [(word, show_money(value, currency)) for word, value in rows]
    wide = max(len(value) for _, value in shown)
    for word, value in shown:
        sys.stdout.write(f"  {word:8}{value:>{wide}}\n")
    if sheet.per_hour is not None:
        an_hour = show_money(sheet.per_hour, currency)
        sys.stdout.write(f"{an_hour} an hour, for {write_time_taken(sheet.minutes)} of work.\n")
