"""The page of a tax year: every line of the form, and below it the rows that each amount is summed from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from flipbook.books.flow import Flow
from flipbook.books.form import YearLine
from flipbook.books.ledger import Movement
from flipbook.books.marketplace import OutletYear, outlet_years
from flipbook.books.paid_helpers import HELPERS_NOTE, helpers_paid
from flipbook.books.profile import EVENLY, Estimate, Profile
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.rulebook import NotPublished, document
from flipbook.books.set_aside import estimated_tax_days, self_employment_tax
from flipbook.books.tools import bonus_share
from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_decimal
from flipbook.measures.rounding import ZERO
from flipbook.rendering import parts_of
from flipbook.reports.tables import Table
from flipbook.shop.records.setup import Tool


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShown:
    """A line of the form as the page has it; `anchor` is where its rows are, empty when it has none."""

    line: str
    caption: str
    amount: str
    whole: str
    working: str
    is_total: bool
    anchor: str
    rows: tuple[tuple[str, ...], ...]
    """Date, piece, what, amount, source: the facts that the line is the sum of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remarks:
    """Something that the preparer should know besides the lines: a heading, sentences, and rows of a small table."""

    heading: str
    says: tuple[str, ...]
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class YearShown:
    """All that the page of a year is made of."""

    shop_name: str
    table: Table
    lines: tuple[YearLine, ...]
    both_ways: tuple[tuple[str, str], ...]
    remarks: tuple[Remarks, ...]
    source: str


def year_shown(books: Books, year: YearBooks, table: Table, held: Sequence[OutletYear]) -> YearShown:
    """What the page of a year shows; `table` is the year's own, `held` are all forms against the ledger."""
    return YearShown(
        shop_name=books.facts.shop.shop,
        table=table,
        lines=year.lines,
        both_ways=cost_of_goods_both_ways(year),
        remarks=tuple(remarks(books, year, held)),
        source=books.profile.source,
    )


def page_of_year(shown: YearShown) -> Iterator[str]:
    """The page of a year, a part at a time."""
    return parts_of(
        "books/year.html",
        shop_name=shown.shop_name,
        table=shown.table,
        lines=lines_shown(shown.lines),
        both_ways=shown.both_ways,
        remarks=shown.remarks,
        source=shown.source,
    )


def year_page(books: Books, year: YearBooks, table: Table) -> Iterator[str]:
    """The page of one year of the books."""
    return page_of_year(
        year_shown(books, year, table, outlet_years(books.facts, books.sheets, books.profile.marketplace_forms))
    )


def lines_shown(lines: Iterable[YearLine]) -> list[LineShown]:
    """Every line of a year in the order of the form."""
    return [_line(number, line) for number, line in enumerate(lines, 1)]


def _line(number: int, line: YearLine) -> LineShown:
    return LineShown(
        line=line.line,
        caption=line.caption,
        amount=write_money(line.amount),
        whole=str(line.whole),
        working=line.working,
        is_total=line.is_total,
        anchor=f"rows-{number}" if line.flows or line.working else "",
        rows=tuple(_row(flow) for flow in line.flows),
    )


def _row(flow: Flow) -> tuple[str, ...]:
    return (flow.day.isoformat(), flow.piece, flow.what, write_money(flow.amount), str(flow.place or ""))


def cost_of_goods_both_ways(year: YearBooks) -> tuple[tuple[str, str], ...]:
    """Cost of goods sold by the form and by the pieces; `prove` has found them equal to the cent."""
    stock = year.stock
    return (
        ("Stock at the start", write_money(stock.opening)),
        ("and found in the year, less what was kept or given", write_money(stock.found)),
        ("and materials, less what was kept or given", write_money(stock.materials)),
        ("less stock at the end", write_money(stock.closing)),
        ("Cost of goods sold by the form", write_money(stock.cost_of_goods_sold)),
        ("Cost of the pieces that left, and waste", write_money(stock.by_pieces)),
    )


def remarks(books: Books, year: YearBooks, held: Iterable[OutletYear]) -> list[Remarks]:
    """What the preparer should know besides the lines, each part only when there is something to say."""
    profile = books.profile
    found = [*_of_the_form(profile), *_tools_sold(profile, year), *_own_pieces(books, year)]
    if profile.vehicle:
        found += _vehicle(profile.vehicle, year)
    if profile.tool_bonus:
        found += _bonus(books.facts.tools, profile.tool_bonus, year)
    if profile.estimate is not None:
        found += _set_aside(profile.estimate, year)
    if profile.helpers:
        found += _helpers(books.ledger, profile.helpers, year)
    return [*found, *_marketplaces(held, year)]


def _of_the_form(profile: Profile) -> Iterator[Remarks]:
    if profile.notes:
        yield Remarks(heading=f"About {profile.form}", says=profile.notes)


def _tools_sold(profile: Profile, year: YearBooks) -> Iterator[Remarks]:
    if not year.tool_sales:
        return
    rows = tuple(
        (sale.tool.tool, write_money(sale.price), write_money(sale.not_written_off), write_money(sale.gain))
        for sale in year.tool_sales
    )
    if profile.tools == EVENLY:
        says = "What was left of a sold tool's cost, less what it brought, is in the line for tools."
    else:
        form = f" ({profile.tool_gains})" if profile.tool_gains else ""
        says = f"The gain or loss on a tool belongs on another form and is in no line above{form}."
    yield Remarks(heading="Tools sold", says=(says,), columns=("Tool", "Price", "Not written off", "Gain"), rows=rows)


def _own_pieces(books: Books, year: YearBooks) -> Iterator[Remarks]:
    theirs = [
        sheet for sheet in books.sheets if (found := sheet.filed.piece.found) is not None and found.own is not None
    ]
    own = [
        sheet.filed.piece.piece
        for sheet in theirs
        if any(sale.on in year.year for sale in sheet.filed.piece.sold)
        or any(p.sheet.folder == sheet.folder for p in year.stock.in_hand)
    ]
    if own:
        names = ", ".join(own)
        says = (
            f"{names}: already yours when it came into the shop, and in stock at the lesser of cost and worth. "
            "When it sells, gain may be measured from what it had cost, so the lesser figure can overstate a gain: ask your preparer."
        )
        yield Remarks(heading="Pieces that were your own", says=(says,))


def _vehicle(asked: str, year: YearBooks) -> Iterator[Remarks]:
    """What the form asks of the vehicle; only the business miles are in the log."""
    if year.trips:
        miles = write_decimal(sum((trip.miles for trip in year.trips), Fraction(0)), places=1)
        yield Remarks(heading="The vehicle", says=(asked.replace("{miles}", miles),))


def _bonus(tools: Iterable[Tool], bonus: str, year: YearBooks) -> Iterator[Remarks]:
    """Bonus write-off is automatic unless it is elected out of, and no line here takes it."""
    rows = []
    for tool in tools:
        if tool.on not in year.year or not tool.write_off.endswith("years"):
            continue
        try:
            share = f"{bonus_share(bonus, tool.on, tool.on) * 100:.0f}%"
        except NotPublished:
            share = "not known"
        rows.append((tool.tool, tool.on.isoformat(), write_money(tool.cost), share))
    if rows:
        says = (
            "The lines take the yearly table for these tools. Unless it is elected out of, a first-year bonus of the share "
            f"shown comes before that table ({document(bonus)['source']}, by the days acquired and taken into use): ask your preparer."
        )
        columns = ("Tool", "Bought", "Cost", "Bonus")
        yield Remarks(heading="Tools written off over years", says=(says,), columns=columns, rows=tuple(rows))


def _set_aside(estimate: Estimate, year: YearBooks) -> Iterator[Remarks]:
    try:
        tax = self_employment_tax(estimate.self_employment_tax, year.profit, year.year.name)
        days = estimated_tax_days(estimate.due, year.year.name)
    except NotPublished as fault:
        yield Remarks(heading="To put by (an estimate)", says=(f"{fault.says[0].upper()}{fault.says[1:]}.",))
        return
    says = (
        f"Self-employment tax on this profit alone, an estimate: {write_money(tax.tax)} "
        f"({write_money(tax.social_security)} social security, {write_money(tax.medicare)} Medicare, on net earnings of "
        f"{write_money(tax.net_earnings)}). Half of it, {write_money(tax.half)}, is deducted elsewhere on the return. "
        "Income tax, the additional Medicare tax and your state come besides.",
        f"Estimated tax falls due on {', '.join(day.isoformat() for day in days)}.",
    )
    yield Remarks(heading="To put by (an estimate)", says=says)


def _helpers(ledger: Iterable[Movement], threshold: str, year: YearBooks) -> Iterator[Remarks]:
    helpers = [h for h in helpers_paid(ledger, threshold) if h.year in _calendar_years(year)]
    if helpers:
        rows = tuple((h.party, str(h.year), write_money(h.paid)) for h in helpers)
        says = (*(h.remark for h in helpers if h.remark), HELPERS_NOTE)
        yield Remarks(heading="Paid to helpers", says=says, columns=("Party", "Year", "Paid"), rows=rows)


def _marketplaces(held: Iterable[OutletYear], year: YearBooks) -> Iterator[Remarks]:
    years = _calendar_years(year)
    for one in held:
        # Money in the hand at a porch sale is reported by nobody; where an outlet took a fee, a form may come.
        if one.year in years and (one.form or one.fees):
            yield _marketplace(one)


def _marketplace(held: OutletYear) -> Remarks:
    form = held.form
    duty = (held.duty.says,) if held.duty else ()
    sums = (
        ("Price of pieces", held.for_piece),
        ("Delivery", held.delivery),
        ("Sales tax", held.sales_tax),
        ("Paid by buyers, by the ledger", held.with_sales_tax),
        ("Fees inside it", held.fees),
        ("Refunds inside it", held.refunds),
        *((("Reported gross", form.gross),) if form else ()),
        *((("Difference with sales tax", held.difference_with or ZERO),) if form else ()),
        *((("Difference without sales tax", held.difference_without or ZERO),) if form and held.sales_tax else ()),
    )
    rows = [("", what, write_money(amount), "") for what, amount in sums]
    rows += [(p.received.day.isoformat(), p.title, write_money(p.amount), str(p.received.place)) for p in held.payments]
    heading = f"{held.outlet}, {held.year}" + (f": {form.form}" if form and form.form else "")
    return Remarks(
        heading=heading, says=(*held.says, *duty), columns=("Date", "What", "Amount", "Source"), rows=tuple(rows)
    )


def _calendar_years(year: YearBooks) -> set[int]:
    return {year.year.start.year, year.year.end.year}
