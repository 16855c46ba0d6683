"""What can never happen to money: over random shops, each sum is reckoned again here from the tables alone."""

from __future__ import annotations

import tempfile
from collections import defaultdict
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from how_many import examples
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flipbook.books.reckon import Books
from flipbook.compile import check_shop

START = date(2024, 11, 1)
PRODUCTS = ("fig blue paint", "satin clear coat", "brown wax")


def cents(low: int = 0, high: int = 50_000) -> st.SearchStrategy[Decimal]:
    return st.integers(low, high).map(lambda n: Decimal(n) / 100)


days = st.integers(0, 500).map(lambda n: START + timedelta(days=n))


@st.composite
def receipts(draw: st.DrawFn, folders: list[str]) -> str:
    """A receipt whose total is made to agree."""
    lines, total = [], Decimal(0)
    for _ in range(draw(st.integers(1, 4))):
        cost = draw(cents(1))
        purpose = draw(st.sampled_from(["shelf", "supplies", "rent", "shares", *folders]))
        what = "a thing"
        if purpose == "shelf":
            what = draw(st.sampled_from(PRODUCTS)) + f", size: {draw(st.integers(1, 40))} fl oz, container: can"
        if purpose == "shares":
            shares = ", ".join(f"{folder}: {draw(st.integers(1, 5))}" for folder in folders)
            purpose = f"{{{shares}}}"
        lines.append(f"    - {{what: {what}, cost: {cost:.2f}, for: {purpose}}}")
        total += cost
    tax, shipping = draw(cents(0, 3000)), draw(cents(0, 3000))
    discount = min(draw(cents(0, 3000)), total)
    paid = total - discount + tax + shipping
    body = "\n".join(lines)
    return (
        f"- on: {draw(days)}\n  from: Harbour Hardware\n  lines:\n{body}\n  discount: {discount:.2f}\n"
        f"  tax: {tax:.2f}\n  shipping: {shipping:.2f}\n  total: {paid:.2f}\n"
    )


@st.composite
def pieces(draw: st.DrawFn) -> str:
    """A piece in any state, sold and come back or not, that uses the shelf late enough to find something there."""
    found = draw(days)
    text = [f"piece: A piece\nfound: {{on: {found}, cost: {draw(cents()):.2f}, tax: {draw(cents(0, 900)):.2f}}}\nlog:"]
    for _ in range(draw(st.integers(0, 4))):
        used = draw(st.sampled_from(["1/2 fl oz", "1/3 fl oz", "1 cup", "rest", "1/4 can"]))
        what = draw(st.sampled_from(PRODUCTS))
        text.append(
            f"  - {{on: {START + timedelta(days=draw(st.integers(501, 700)))}, did: coated, used: [{used} {what}]}}"
        )
    ending = draw(st.sampled_from(["", "sold", "returned", "kept", "given", "scrapped"]))
    gone = found + timedelta(days=draw(st.integers(0, 400)))
    if ending in ("sold", "returned"):
        price, tax, delivery = draw(cents(100)), draw(cents(0, 3000)), draw(cents(0, 3000))
        charged = price + tax + delivery
        first = draw(st.integers(0, int(charged * 100)))
        paid = [
            (gone - timedelta(days=draw(st.integers(0, 90))), Decimal(first) / 100),
            (gone, charged - Decimal(first) / 100),
        ]
        payments = ", ".join(f"{{on: {on}, amount: {amount:.2f}}}" for on, amount in paid)
        text.append(
            f"sold:\n  on: {gone}\n  price: {price:.2f}\n  sales tax: {tax:.2f}\n  delivery: {delivery:.2f}\n"
            f"  at: {draw(st.sampled_from(['porch sale', 'hall', 'web']))}\n  payments: [{payments}]"
        )
        if ending == "returned":
            back = Decimal(draw(st.integers(0, int(charged * 100)))) / 100
            text.append(f"  returned: {{on: {gone + timedelta(days=draw(st.integers(0, 200)))}, refund: {back:.2f}}}")
    elif ending:
        text.append(f"{ending}: {{on: {gone}}}")
    return "\n".join(text) + "\n"


@st.composite
def shops(draw: st.DrawFn) -> dict[str, str]:
    """The files of a random shop."""
    folders = [f"piece-{number}" for number in range(draw(st.integers(1, 4)))]
    costing = draw(st.sampled_from(["first in first out", "average"]))
    starts = draw(st.sampled_from(["01-01", "04-06", "07-01"]))
    files = {
        "shop.yaml": f"shop: S\ncurrency: USD\ntax: {{rules: plain, year starts: {starts}}}\ncosting: {costing}\n"
        "outlets: {porch sale: {}, hall: {takes: 12%}, web: {takes: 2.9% + 0.30}}\n",
        "receipts/a.yaml": "".join(draw(st.lists(receipts(folders), min_size=1, max_size=5))),
    }
    # Enough of every product that most uses can be had.
    files["receipts/stock.yaml"] = "opening:\n" + "".join(
        f"  - {{on: {START - timedelta(days=400)}, what: {product}, size: 90 fl oz, cost: {draw(cents(1)):.2f}, container: can}}\n"
        for product in PRODUCTS
    )
    return files | {f"pieces/{folder}/piece.yaml": draw(pieces()) for folder in folders}


def books_of(files: dict[str, str]) -> Books | None:
    """The books of a shop, None when it asks more of the shelf than is there."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in files.items():
            path = Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        outcome = check_shop(Path(folder))
    errors = {problem.name for problem in outcome.problems if not problem.warning}
    assert errors <= {"nothing-left", "over-what-is-left"}, [p for p in outcome.problems if not p.warning]
    return outcome.books


@settings(
    max_examples=examples(120), deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(shops())
def test_no_cent_is_lost_or_made(files: dict[str, str]) -> None:
    books = books_of(files)  # proves footing itself, and raises when the books do not foot
    if books is None:
        return
    moved: dict[str, Decimal] = defaultdict(Decimal)
    for row in books.ledger:
        moved[row.kind] += row.money_out - row.money_in
    for name, product in books.shelf.products.items():
        uses = [withdrawal for withdrawal in books.shelf.withdrawals if withdrawal.product == product.name]
        landed = sum(lot.landed for lot in product.lots)
        assert sum(use.cost for use in uses) + product.value_left == landed, name
        assert sum(use.amount for use in uses) + product.left == product.bought, name
        assert all(use.cost >= 0 for use in uses)
        assert product.value_left == 0 or product.left > 0
    own_costs = sum(sheet.sum_of("found") + sheet.sum_of("material") for sheet in books.sheets)
    assert own_costs == moved["found"] + moved["material"]
    for sheet in books.sheets:
        assert sheet.profit == sheet.takings - sheet.fees - sheet.cost
        if sheet.per_hour is not None:
            assert abs(Fraction(sheet.per_hour) * sheet.hours - Fraction(sheet.profit)) <= sheet.hours / 200


@settings(
    max_examples=examples(120), deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(shops())
def test_over_all_years_what_was_bought_is_sold_kept_wasted_or_still_there(files: dict[str, str]) -> None:
    """Cost of goods sold, summed over the years, against the pieces' own endings."""
    books = books_of(files)
    if books is None:
        return
    sold = sum(year.stock.cost_of_goods_sold for year in books.years)
    gone = sum(sheet.cost for sheet in books.sheets if sheet.filed.piece.state in ("sold", "scrapped"))
    assert sold == gone
    last = books.years[-1].stock
    in_hand = {
        sheet.folder: sheet.cost
        for sheet in books.sheets
        if sheet.filed.piece.state in ("waiting", "on the bench", "for sale")
    }
    assert {piece.sheet.folder: piece.cost for piece in last.in_hand} == in_hand
    for earlier, later in zip(books.years, books.years[1:], strict=False):
        assert later.stock.opening == earlier.stock.closing
    profit = sum(year.profit for year in books.years)
    expenses = sum(row.money_out for row in books.ledger if row.kind in ("supplies", "rent", "selling-fees"))
    assert profit == sum(sheet.takings for sheet in books.sheets) - gone - expenses
