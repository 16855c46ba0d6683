"""The cost sheet of one piece, a private page: every line with its source, and the profit as one would write it on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from flipbook.books.costs import CostSheet
from flipbook.books.landed import LandedReceipt
from flipbook.books.lots import Withdrawal
from flipbook.books.terms import RowKind
from flipbook.measures.amounts import Amount, Unit
from flipbook.measures.money import show_money, write_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.rounding import ZERO, half_up
from flipbook.measures.times import write_time_taken
from flipbook.rendering import parts_of
from flipbook.reports.charts import PriceChart, prices_over_time
from flipbook.selling.floor import stand_of
from flipbook.selling.pricing import least_floor
from flipbook.shop.records.setup import Product, Shop
from flipbook.shop.records.stage import ORDER
from flipbook.trade.stages import stage_of

NO_STAGE = "other work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """A small table: a heading, a note, its columns (`figures` says which hold figures), rows and a last row of sums."""

    heading: str
    note: str = ""
    columns: tuple[str, ...]
    figures: tuple[int, ...] = ()
    rows: tuple[tuple[str, ...], ...]
    sums: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetShown:
    """All that the page of one piece shows, already in words and figures."""

    shop_name: str
    folder: str
    title: str
    state: str
    facts: tuple[tuple[str, str], ...]
    profit: tuple[tuple[str, str, bool], ...]
    """The sum as on paper: words, figure, and whether a line is drawn above it."""
    tables: tuple[Rows, ...]
    chart: PriceChart | None


def sheet_shown(
    sheet: CostSheet,
    shop: Shop,
    products: dict[str, Product],
    receipts: Sequence[LandedReceipt],
    withdrawals: Sequence[tuple[Withdrawal, Unit]],
) -> SheetShown:
    """What the page of a piece shows. `receipts` are those with a part for it, `withdrawals` what it took off the shelf, each
    with its product's unit."""
    piece = sheet.filed.piece
    tables = (
        _costs(sheet),
        *_receipts(sheet, receipts),
        *_shelf(withdrawals),
        *_hours(sheet, products),
        *_trips(sheet),
        *_asked_and_offered(sheet),
        *_plan(sheet),
    )
    facts: list[tuple[str, str]] = [("State", piece.state)]
    facts += [("Found", f"{sheet.found_on}")] if sheet.found_on else []
    facts += [("Sold", f"{sheet.sold_on}, after {sheet.days} days")] if sheet.sold_on and sheet.days is not None else []
    facts += [
        (
            "Hours",
            write_time_taken(sheet.minutes) if sheet.minutes else "none logged, so an hour's earnings cannot be known",
        )
    ]
    return SheetShown(
        shop_name=shop.shop,
        folder=sheet.folder,
        title=piece.piece,
        state=piece.state,
        facts=tuple(facts),
        profit=_profit(sheet),
        tables=tables,
        chart=_chart(sheet, shop),
    )


def cost_sheet_page(shown: SheetShown) -> Iterator[str]:
    """The page, a part at a time."""
    return parts_of("books/cost_sheet.html", shown=shown)


def _costs(sheet: CostSheet) -> Rows:
    words = {RowKind.FOUND: "found", RowKind.MATERIAL: "receipt", RowKind.SHELF: "shelf"}
    return Rows(
        heading="What it cost",
        columns=("Date", "What", "From", "Amount", "Source"),
        figures=(4,),
        rows=tuple(
            (str(cost.day), cost.what, words[cost.column], write_money(cost.amount), str(cost.place))
            for cost in sheet.costs
        ),
        sums=("Cost", "", "", write_money(sheet.cost), ""),
    )


def _receipts(sheet: CostSheet, receipts: Sequence[LandedReceipt]) -> Iterator[Rows]:
    """Each receipt with a line for the piece, spread over its lines as it was."""
    for landed in receipts:
        receipt = landed.receipt
        if receipt.got_back is not None:
            continue
        prices = [line.price for line in receipt.bought]
        if len(prices) < 2 and receipt.paid == sum(prices, ZERO):
            continue
        whole = sum(prices, ZERO)
        by_line: dict[tuple[str, str], Decimal] = {}
        for part in landed.parts:
            key = (part.what, str(part.place))
            by_line[key] = by_line.get(key, ZERO) + part.landed
        rows = []
        for line in receipt.bought:
            cost = by_line.get((line.what or "", str(line.spot)), ZERO)
            mine = sum((p.landed for p in landed.parts if p.place == line.spot and p.piece == sheet.folder), ZERO)
            rows.append(
                (line.what or "", write_money(line.price), write_money(cost), write_money(mine) if mine else "")
            )
        yield Rows(
            heading=f"Receipt of {receipt.on}" + (f", {receipt.from_}" if receipt.from_ else ""),
            note=f"Paid {write_money(receipt.paid)} for lines of {write_money(whole)}; tax, shipping and discount are spread in proportion.",
            columns=("Line", "Price", "Landed", "For this piece"),
            figures=(2, 3, 4),
            rows=tuple(rows),
            sums=("Together", write_money(whole), write_money(receipt.paid), ""),
        )


def _shelf(withdrawals: Sequence[tuple[Withdrawal, Unit]]) -> Iterator[Rows]:
    if not withdrawals:
        return
    yield Rows(
        heading="Off the shelf",
        note="Left is what stood on the shelf of the product after the use.",
        columns=("Date", "Product", "Used", "Cost", "Left", "Out of", "Source"),
        figures=(4,),
        rows=tuple(
            (
                str(withdrawal.day), withdrawal.product, str(Amount(withdrawal.amount, unit)), write_money(withdrawal.cost), str(Amount(withdrawal.left, unit)),
                ", ".join(str(place) for place in withdrawal.lots) or "the average of all lots", str(withdrawal.place),
            )
            for withdrawal, unit in withdrawals
        ),
        sums=("Together", "", "", write_money(sum((withdrawal.cost for withdrawal, _ in withdrawals), ZERO)), "", "", ""),
    )  # fmt: skip


def _hours(sheet: CostSheet, products: dict[str, Product]) -> Iterator[Rows]:
    """Time by the stage of the work, in the order of the work."""
    minutes: dict[str, Fraction] = {}
    for step in sheet.filed.piece.log:
        if step.took is not None:
            stage = stage_of(step, products)
            name = str(stage) if stage is not None else NO_STAGE
            minutes[name] = minutes.get(name, Fraction(0)) + step.took
    if not minutes:
        return
    order = [*map(str, ORDER), NO_STAGE]
    untimed = sum(step.took is None for step in sheet.filed.piece.log)
    yield Rows(
        heading="Hours by stage",
        note=f"{untimed} of the steps have no time taken." if untimed else "",
        columns=("Stage", "Time", "Hours"),
        figures=(3,),
        rows=tuple(
            (name, write_time_taken(minutes[name]), write_decimal(minutes[name] / 60))
            for name in sorted(minutes, key=order.index)
        ),
        sums=("Together", write_time_taken(sheet.minutes), write_decimal(sheet.hours)),
    )


def _trips(sheet: CostSheet) -> Iterator[Rows]:
    if not sheet.trips:
        return
    yield Rows(
        heading="Trips",
        columns=("Date", "To", "Why", "Miles", "Rate", "Amount"),
        figures=(4, 5, 6),
        rows=tuple(
            (
                str(trip.day), trip.to, trip.why, write_decimal(trip.miles),
                "" if trip.rate is None else f"{trip.rate:f}", write_money(trip.amount),
            )
            for trip in sheet.trips
        ),
        sums=("Driving", "", "", write_decimal(sheet.miles), "", write_money(sheet.driving)),
    )  # fmt: skip


def _asked_and_offered(sheet: CostSheet) -> Iterator[Rows]:
    """Prices asked, offers, deposits and sales, in the order of their days."""
    piece = sheet.filed.piece
    told: list[tuple[date, int, tuple[str, str, str]]] = []
    told += [(a.on, 0, ("asked", write_money(a.price), "")) for a in piece.asking]
    told += [
        (o.on, 1, ("offered", write_money(o.price), ", ".join(filter(None, (o.from_, o.answer or "no answer yet")))))
        for o in piece.offers
    ]
    told += [(d.on, 2, ("deposit", write_money(d.amount), d.from_)) for d in piece.deposits]
    told += [(d.back.on, 3, ("deposit given back", write_money(d.amount), d.from_)) for d in piece.deposits if d.back]
    told += [(s.on, 4, ("sold", write_money(s.price), ", ".join(filter(None, (s.at, s.buyer))))) for s in piece.sold]
    told += [(s.returned.on, 5, ("came back", write_money(s.returned.refund), "")) for s in piece.sold if s.returned]
    told += [(s.allowed.on, 5, ("price cut given", write_money(s.allowed.refund), "")) for s in piece.sold if s.allowed]
    if told:
        yield Rows(
            heading="Asked, offered, sold",
            columns=("Date", "What", "Amount", "Who, and the answer"),
            figures=(3,),
            rows=tuple((str(day), *cells) for day, _, cells in sorted(told, key=lambda one: one[:2])),
        )


def _plan(sheet: CostSheet) -> Iterator[Rows]:
    """What was reckoned with at the start against what came; for a piece not sold yet, against what came so far."""
    plan = sheet.filed.piece.plan
    if plan is None:
        return
    sale = sheet.filed.piece.standing_sale
    rows = []
    if plan.price is not None:
        got = sale.price if sale else None
        rows.append(("Price", write_money(plan.price), *_against(plan.price, got)))
    if plan.hours is not None:
        more = half_up((sheet.minutes - plan.hours) / 60)
        rows.append(
            ("Hours", write_decimal(plan.hours / 60), write_decimal(sheet.hours), f"{more:+f}".replace("-", "−"))
        )
    if plan.materials is not None:
        rows.append(
            (
                "Materials",
                write_money(plan.materials),
                *_against(plan.materials, sheet.cost - sheet.sum_of(RowKind.FOUND)),
            )
        )
    yield Rows(
        heading="Reckoned and real",
        note="" if sale else "The piece is not sold yet: what is real is so far.",
        columns=("", "Reckoned", "Real", "Difference"),
        figures=(2, 3, 4),
        rows=tuple(rows),
    )


def _against(reckoned: Decimal, real: Decimal | None) -> tuple[str, str]:
    if real is None:
        return "", ""
    return write_money(real), f"{real - reckoned:+.2f}".replace("-", "−")


def _profit(sheet: CostSheet) -> tuple[tuple[str, str, bool], ...]:
    """Takings less fees, cost and driving; then an hour, when there are hours."""
    lines = [
        ("Takings", write_money(sheet.takings), False),
        ("less fees", write_money(sheet.fees), False),
        ("less cost", write_money(sheet.cost), False),
        ("less driving", write_money(sheet.driving), False),
        ("Profit" if sheet.sold_on else "So far", write_money(sheet.profit), True),
    ]
    if sheet.per_hour is not None:
        lines.append((f"over {write_decimal(sheet.hours)} h, an hour", write_money(sheet.per_hour), False))
    return tuple(lines)


def _chart(sheet: CostSheet, shop: Shop) -> PriceChart | None:
    """Prices asked over time, with offers, the sale, and the lowest floor."""
    piece = sheet.filed.piece
    if not piece.asking:
        return None
    asked = sorted(((a.on, a.price) for a in piece.asking), key=lambda one: one[0])
    currency = shop.currency
    marks = [
        (
            o.on,
            o.price,
            f"{o.on}: offered {show_money(o.price, currency)}" + (f", {o.answer}" if o.answer else ""),
            o.answer == "yes",
        )
        for o in piece.offers
    ]
    marks += [(s.on, s.price, f"{s.on}: sold for {show_money(s.price, currency)}", True) for s in piece.sold]
    until = max([day for day, _ in asked] + [day for day, _, _, _ in marks])
    return prices_over_time(asked, marks, until, least_floor(shop, stand_of(sheet)))
