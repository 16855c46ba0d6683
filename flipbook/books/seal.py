"""The seal of a tax year: its figures and the facts behind them as they stood, and what has changed since.

A figure is a line's amount, what a piece in hand or the shelf had cost at the year's end, and the day and
amount of each fact that a line is the sum of. Words, names of folders, files and places in them are none: a
fact that is only reworded, renamed or moved leaves every figure as it was, and nothing is said.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from flipbook.books.costs import CostSheet
from flipbook.books.form import YearLine
from flipbook.books.reckon import Books, YearBooks
from flipbook.books.stock import Entry, is_in_hand
from flipbook.books.terms import RowKind, Term
from flipbook.measures.amounts import Amount
from flipbook.measures.money import write_money
from flipbook.measures.numerals import write_number
from flipbook.measures.rounding import ZERO
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import folded
from flipbook.shop.problems import Place, Problem, visible
from flipbook.shop.records.base import Record
from flipbook.shop.records.sealed import Fact, InStock, Seal, SealedLine, Setting, writable

LAID_OUT, TAKEN, OWNED = "laid out", "taken", "owned"
BOUGHT_BEFORE, TAKEN_BEFORE = "bought before", "taken before"
COSTING, TAKES = "costing", "takes of "
_FEES = Term.SALE_FEES
_STOCK = ""
"""What stands for the key of a line where a fact is behind the stock and of no line."""
_OF_THE_SHELF = frozenset((Term.MATERIALS, TAKEN, OWNED, BOUGHT_BEFORE))


def seal_of(books: Books, in_year: YearBooks, sealed_on: date) -> Seal:
    """The seal of a year of the books."""
    year, facts = in_year.year, books.facts
    return Seal(
        year=year.name,
        sealed_on=sealed_on,
        currency=facts.shop.currency,
        rules=books.profile.name,
        start=year.start,
        end=year.end,
        settings=tuple(_settings(books, in_year)),
        lines=tuple(_sealed_lines(in_year.lines)),
        stock_at_the_start=_in_stock(in_year.stock.opening_entries),
        stock_at_the_end=_in_stock(in_year.stock.closing_entries),
        behind_the_stock=tuple(sorted(_behind_the_stock(books, in_year), key=_order)),
    )


def holds_nothing(seal: Seal) -> bool:
    """Whether there is neither a figure nor a fact in the year."""
    return not (seal.behind_the_stock or any(line.amount or line.facts for line in seal.lines))


def _order(fact: Fact) -> tuple[object, ...]:
    return (fact.day, fact.kind, fact.piece, fact.file, fact.what, fact.amount, fact.taken)


def _sealed_lines(lines: Sequence[YearLine]) -> Iterator[SealedLine]:
    keys = {line.key for line in lines}
    for line in lines:
        facts = [
            _fact(flow.day, flow.term, flow.piece, flow.what, flow.amount, flow.place)
            for flow in line.flows
            # Stock carried over is told under the stock; what an itemised row tells is not told by its sum again.
            if flow.place is not None and f"{line.key}-{flow.term}" not in keys
        ]
        yield SealedLine(
            key=line.key,
            label=line.line,
            caption=line.caption,
            amount=line.amount,
            facts=tuple(sorted(facts, key=_order)),
        )


def _fact(day: date, kind: str, piece: str, what: str, amount: Decimal, place: Place, taken: str = "") -> Fact:
    return Fact(
        day=day,
        kind=kind,
        piece=piece,
        what=writable(what),
        amount=amount,
        file=writable(place.file),
        taken=taken,
        place=place,
    )


def _in_stock(entries: Iterable[Entry]) -> tuple[InStock, ...]:
    found = (InStock(piece=e.piece, what=writable(e.what), amount=e.amount) for e in entries if e.amount)
    return tuple(sorted(found, key=lambda e: (not e.piece, e.piece, e.what, e.amount)))


def _settings(books: Books, in_year: YearBooks) -> Iterator[Setting]:
    """How uses are costed, when there are any, and what the outlets take of those sales that don't say it themselves."""
    facts, year = books.facts, in_year.year
    if any(withdrawal.day <= year.end for withdrawal in books.shelf.withdrawals):
        yield Setting(COSTING, facts.shop.costing)
    sales = (sold.sale for sheet in books.sheets for sold in sheet.sales)
    outlets = {folded(sale.at): sale for sale in sales if sale.at and sale.fees is None and sale.on in year}
    for name, sale in sorted(outlets.items()):
        fee = facts.fee_of(sale)
        taken = f"{write_number(fee.share * 100, places=6)}% + {write_money(fee.fixed)}"
        yield Setting(f"{TAKES}{writable(name)}", taken)


def _behind_the_stock(books: Books, in_year: YearBooks) -> Iterator[Fact]:
    """What the stock at both ends of the year rests on and no line of the year tells.

    Uses of the year one by one; what was bought for the shelf and taken from it before, a sum for each file, since
    all that was ever used would else stand in each year's seal again.
    """
    year, shelf = in_year.year, books.shelf
    before = year.start - timedelta(days=1)
    units = {product.name: product.unit for product in shelf.products.values()}
    taken_before: dict[str, list[tuple[Decimal, Place]]] = defaultdict(list)
    bought_before: dict[str, list[tuple[Decimal, Place]]] = defaultdict(list)
    for withdrawal in shelf.withdrawals:
        if withdrawal.day in year:
            unit = units.get(withdrawal.product)
            taken = str(Amount(withdrawal.amount, unit)) if unit else write_number(withdrawal.amount)
            yield _fact(
                withdrawal.day, TAKEN, withdrawal.piece, withdrawal.product, withdrawal.cost, withdrawal.place, taken
            )
        elif withdrawal.day <= before:
            taken_before[withdrawal.place.file].append((withdrawal.cost, withdrawal.place))
    for product in shelf.products.values():
        for lot in product.lots:
            if lot.is_opening and lot.day <= year.end:
                yield _fact(lot.day, OWNED, "", product.name, lot.landed, lot.place)
            elif lot.day <= before:
                bought_before[lot.place.file].append((lot.landed, lot.place))
    for returned in shelf.returns:
        if returned.day <= before:
            bought_before[returned.place.file].append((-returned.cost, returned.place))
    yield from _sums_before(before, TAKEN_BEFORE, "taken from the shelf before the year", taken_before)
    yield from _sums_before(before, BOUGHT_BEFORE, "bought for the shelf before the year", bought_before)
    for sheet in books.sheets:
        was_in_hand = is_in_hand(sheet, before)
        for cost in sheet.costs if was_in_hand else ():
            if cost.day <= before and cost.column is not RowKind.SHELF:
                yield _fact(cost.day, LAID_OUT, sheet.folder, cost.what, cost.amount, cost.place)
        for day, kind, place in _comings_and_goings(sheet):
            if day in year or (was_in_hand and day <= before):
                yield _fact(day, kind, sheet.folder, sheet.filed.piece.piece, ZERO, place)


def _sums_before(day: date, kind: str, what: str, by_file: dict[str, list[tuple[Decimal, Place]]]) -> Iterator[Fact]:
    for file, sums in by_file.items():
        # One fact of a file can be shown by its line; of several it is not known which one changed.
        place = sums[0][1] if len(sums) == 1 else Place(file)
        total = sum((amount for amount, _ in sums), ZERO)
        if total:
            yield _fact(day, kind, "", what, total, place)


def _comings_and_goings(sheet: CostSheet) -> Iterator[tuple[date, str, Place]]:
    piece = sheet.filed.piece
    for sale in piece.sold:
        yield sale.on, "sold", sale.spot
        if sale.returned is not None:
            yield sale.returned.on, "came back", sale.returned.spot
    for kind, gone in (("kept", piece.kept), ("given", piece.given), ("scrapped", piece.scrapped)):
        if gone is not None:
            yield gone.on, kind, gone.spot


def broken_seal(seal: Seal, books: Books) -> list[Problem]:
    """What has changed in a sealed year since, each change at the fact that made it; nothing when no figure has."""
    in_year = next((year for year in books.years if year.year.name == seal.year), None)
    gone = replace(seal, settings=(), lines=(), stock_at_the_start=(), stock_at_the_end=(), behind_the_stock=())
    now = seal_of(books, in_year, seal.sealed_on) if in_year else gone
    return list(_Comparison(seal, books, now).problems())


@dataclass(frozen=True, slots=True, kw_only=True)
class _Difference:
    """A fact that changed: what the seal has of it, what the books have, or both. `line` is its line's key."""

    line: str
    sealed: Fact | None
    held: Fact | None

    @property
    def fact(self) -> Fact:
        fact = self.held or self.sealed
        assert fact is not None
        return fact

    @property
    def place(self) -> Place:
        """Where the fact stands now; for one that is gone, the file it stood in."""
        return (self.held.place if self.held else None) or Place(self.fact.file)

    @property
    def follows(self) -> bool:
        """Whether the sum is worked out from another fact, and that one may be what changed."""
        kind = self.fact.kind
        same_taken = self.sealed is not None and self.held is not None and self.sealed.taken == self.held.taken
        return kind in (_FEES, TAKEN_BEFORE) or (kind == TAKEN and same_taken)

    def words(self) -> str:
        sealed, now = self.sealed, self.held
        if sealed is None or now is None:
            about = self.fact
            kind = about.kind.replace("-", " ")
            sum_of = about.taken or (write_money(about.amount) if about.amount else "")
            told = f"{about.what}: {f'{sum_of} ({kind})' if sum_of else kind} on {about.day}"
            return f"{told} is gone" if now is None else f"{told} was not there when it was sealed"
        was, is_now = [], []
        for before, after in (
            (str(sealed.day), str(now.day)),
            (write_money(sealed.amount), write_money(now.amount)),
            (sealed.taken, now.taken),
        ):
            if before != after:
                was.append(before or "nothing")
                is_now.append(after or "nothing")
        return f"{sealed.kind.replace('-', ' ')}: {', '.join(was)} when sealed, {', '.join(is_now)} now"


class _Comparison:
    """A seal beside the year as the books have it now."""

    def __init__(self, seal: Seal, books: Books, now: Seal) -> None:
        self.seal = seal
        self.books = books
        self.held = now
        self.was_of = {line.key: line for line in seal.lines}
        self.now_of = {line.key: line for line in now.lines}
        self.keys = list(dict.fromkeys((*self.now_of, *self.was_of)))

    def problems(self) -> Iterator[Problem]:
        if whole := list(self._other_forms()):
            yield from whole
            return
        told = self._differences()
        same_stock = _amounts(self.seal.stock_at_the_end) == _amounts(self.held.stock_at_the_end)
        if same_stock and not any(difference.line for difference in told) and not any(map(self._moved, self.keys)):
            return
        settings = dict(self._settings(told))
        yield from settings.values()
        causes = self._causes(told, settings.keys())
        if not settings and not causes:
            # The same sums on the same days, and another figure: they went to other pieces.
            causes = self._differences(by_piece=True)
        by_place: dict[Place, list[_Difference]] = defaultdict(list)
        for difference in causes:
            by_place[difference.place].append(difference)
        for place, differences in by_place.items():
            yield self._problem(place, differences)
        if not settings and not causes:
            place = Place(f"years/{self.seal.year}.yaml")
            yield Problem(
                name="sealed-year", place=place, says=self._says(self.books.profile.profit), help=self._help()
            )

    def _differences(self, *, by_piece: bool = False) -> list[_Difference]:
        """The facts that differ, line by line, and last those behind the stock."""
        was, now = _facts_of(self.seal), _facts_of(self.held)
        return [
            difference
            for key in (*self.keys, _STOCK)
            for difference in _differences(key, was.get(key, ()), now.get(key, ()), by_piece=by_piece)
        ]

    def _amounts(self, key: str) -> tuple[Decimal, Decimal]:
        was, now = self.was_of.get(key), self.now_of.get(key)
        return was.amount if was else ZERO, now.amount if now else ZERO

    def _moved(self, key: str) -> bool:
        was, now = self._amounts(key)
        return was != now

    def _other_forms(self) -> Iterator[Problem]:
        """A change in shop.yaml that leaves no figure what it was: another form, another money, another year."""
        seal, facts, profile = self.seal, self.books.facts, self.books.profile
        if seal.rules != profile.name:
            says = f"the tax year {seal.year} is sealed under `rules: {seal.rules}`"
            yield facts.tax.problem("sealed-year", says, self._help(), "rules", label=f"now {profile.name}")
        elif (seal.start, seal.end) != (self.held.start, self.held.end):
            says = f"the tax year {seal.year} is sealed from {seal.start} to {seal.end}"
            label = f"now from {self.held.start} to {self.held.end}"
            yield facts.tax.problem("sealed-year", says, self._help(), "year_starts", label=label)
        if seal.currency != facts.shop.currency:
            says = f"the tax year {seal.year} is sealed in {seal.currency}"
            label = f"now {facts.shop.currency}"
            yield facts.shop.problem("sealed-year", says, self._help(), "currency", label=label)

    def _settings(self, told: Iterable[_Difference]) -> Iterator[tuple[str, Problem]]:
        """Settings of shop.yaml that changed, as far as sums that follow from them did."""
        kinds = {difference.fact.kind for difference in told if difference.follows}
        now = dict(self.held.settings)
        for name, was in self.seal.settings:
            is_now = now.get(name)
            bears_on = (TAKEN, TAKEN_BEFORE) if name == COSTING else (_FEES,)
            if is_now is None or is_now == was or kinds.isdisjoint(bears_on):
                continue
            record, key = _setting_in(self.books.facts, name)
            line = next((line.key for line in self.seal.lines if any(f.kind == _FEES for f in line.facts)), "")
            says = self._says(line if name != COSTING else self._line_of_stock())
            label = f"{visible(name)}: {visible(was)} when sealed, {is_now} now"
            yield name, record.problem("sealed-year", says, self._help(), key, label=label)

    def _causes(self, told: Sequence[_Difference], settings: Iterable[str]) -> list[_Difference]:
        """The differences without those that follow from another: fees from a price, the cost of a use from a lot's."""
        first = [difference for difference in told if not difference.follows]
        pieces = {difference.fact.piece for difference in first}
        shelf_changed = COSTING in settings or any(d.fact.kind in _OF_THE_SHELF for d in first)
        outlets_changed = any(name.startswith(TAKES) for name in settings)

        def is_explained(difference: _Difference) -> bool:
            if difference.fact.kind == _FEES:
                return outlets_changed or difference.fact.piece in pieces
            return shelf_changed

        return [d for d in told if not (d.follows and is_explained(d))]

    def _problem(self, place: Place, differences: Sequence[_Difference]) -> Problem:
        key = next((d.line for d in differences if d.line and self._moved(d.line)), differences[0].line)
        words = list(dict.fromkeys(d.words() for d in differences))
        more = f"; and {len(words) - 3} more" if len(words) > 3 else ""
        return Problem(
            name="sealed-year",
            place=place,
            says=self._says(key or self._line_of_stock()),
            label="; ".join(words[:3]) + more,
            help=self._help(),
        )

    def _line_of_stock(self) -> str:
        """The line by which a change in stock shows; none when the stock is worth what it was, in other parts."""
        first = self.books.profile.cost_of_goods_sold
        return next((key for key in (first, *self.keys) if self._moved(key)), "")

    def _says(self, key: str) -> str:
        line = self.now_of.get(key) or self.was_of.get(key)
        caption = (
            visible(f"line {line.label}, {line.caption}," if line.label else line.caption)
            if line
            else "stock at the end"
        )
        was, now = self._amounts(key)
        if was == now:
            return f"the tax year {self.seal.year} is sealed, and this changes a fact behind its {caption.rstrip(',')}"
        return (
            f"the tax year {self.seal.year} is sealed, and this changes its {caption} "
            f"from {write_money(was)} to {write_money(now)}"
        )

    def _help(self) -> str:
        profit = self.books.profile.profit
        was, now = self._amounts(profit)
        told = was != now and profit in self.was_of
        then = f"; its profit was {write_money(was)} and is {write_money(now)}" if told else ""
        return f"put it back, or open the year: `flipbook year {self.seal.year} --unseal`{then}"


def _setting_in(facts: Facts, name: str) -> tuple[Record, str]:
    """The record of shop.yaml that has a setting, and its key there."""
    outlet = facts.shop.outlets.get(name.removeprefix(TAKES))
    return (outlet, "takes") if outlet and name.startswith(TAKES) else (facts.shop, COSTING)


def _facts_of(seal: Seal) -> dict[str, tuple[Fact, ...]]:
    """The facts of each line, and those behind the stock."""
    return {**{line.key: line.facts for line in seal.lines}, _STOCK: seal.behind_the_stock}


def _amounts(entries: Iterable[InStock]) -> list[Decimal]:
    return sorted(entry.amount for entry in entries)


def _differences(line: str, sealed: Sequence[Fact], now: Sequence[Fact], *, by_piece: bool) -> list[_Difference]:
    """The facts of one line that differ in day or amount, each sealed one beside the one that took its place.

    What only changed its words, its file or (unless `by_piece`) its piece is matched on the way, and is no difference.
    """
    left_sealed, left_now = list(sealed), list(now)

    def matched(by: Callable[[Fact], Hashable]) -> list[tuple[Fact, Fact]]:
        waiting: dict[Hashable, list[Fact]] = defaultdict(list)
        for fact in left_now:
            waiting[by(fact)].append(fact)
        pairs = []
        for fact in list(left_sealed):
            same = waiting.get(by(fact))
            if same:
                pairs.append((fact, same.pop(0)))
        gone, come = {id(was) for was, _ in pairs}, {id(is_now) for _, is_now in pairs}
        left_sealed[:] = [fact for fact in left_sealed if id(fact) not in gone]
        left_now[:] = [fact for fact in left_now if id(fact) not in come]
        return pairs

    matched(lambda f: f)
    # A use is known by how much it took: its cost may follow from another fact.
    matched(lambda f: (f.kind, f.day, f.amount, f.taken, f.piece if by_piece else ""))
    changed = [
        *matched(lambda f: (f.kind, f.file, f.piece, f.what, f.day)),
        *matched(lambda f: (f.kind, f.file, f.piece, f.what)),
        *matched(lambda f: (f.kind, f.file, f.piece)),
    ]
    return [
        *(_Difference(line=line, sealed=was, held=is_now) for was, is_now in changed),
        *(_Difference(line=line, sealed=was, held=None) for was in left_sealed),
        *(_Difference(line=line, sealed=None, held=is_now) for is_now in left_now),
    ]
