"""Random shops with every dealing of a tax year in them, and what their buyers paid and got back, summed as they are made."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal

from hypothesis import strategies as st

START = date(2023, 6, 1)
WAXES = ("brown wax", "clear coat")


@dataclass
class RandomShop:
    """The files of a shop; the income of its buyers' payments without sales tax, and of what went back to them."""

    files: dict[str, str] = field(default_factory=dict)
    received: Decimal = Decimal(0)
    given_back: Decimal = Decimal(0)


def cents(low: int, high: int) -> st.SearchStrategy[Decimal]:
    return st.integers(low, high).map(lambda n: Decimal(n) / 100)


def day(draw: st.DrawFn, since: date, most: int) -> date:
    return since + timedelta(days=draw(st.integers(0, most)))


def refund(draw: st.DrawFn, shop: RandomShop, charged: Decimal, tax: Decimal, most: Decimal) -> Decimal:
    """A refund of at most `most`; its sales-tax part, half up to the cent, is no income given back."""
    back = draw(cents(0, int(most * 100)))
    part = (back * tax / charged).quantize(Decimal("0.01"), ROUND_HALF_UP)
    shop.given_back += back - part
    return back


def sale(draw: st.DrawFn, shop: RandomShop, on: date, ending: str) -> tuple[str, date]:
    """A sale paid in two parts, cut, returned or neither; and the day it was over."""
    price, tax, delivery = draw(cents(100, 90_000)), draw(cents(0, 3000)), draw(cents(0, 3000))
    charged = price + tax + delivery
    shop.received += price + delivery
    first = draw(cents(0, int(charged * 100)))
    early, late = on - timedelta(days=draw(st.integers(0, 200))), on + timedelta(days=draw(st.integers(0, 60)))
    text = (
        f"  - on: {on}\n    price: {price:.2f}\n    sales tax: {tax:.2f}\n    delivery: {delivery:.2f}\n"
        f"    at: {draw(st.sampled_from(['porch sale', 'hall']))}\n"
        f"    payments: [{{on: {early}, amount: {first:.2f}}}, {{on: {late}, amount: {charged - first:.2f}}}]\n"
    )
    most = charged
    if draw(st.booleans()):
        cut = refund(draw, shop, charged, tax, charged / 4)
        text += f"    allowed: {{on: {day(draw, on, 90)}, refund: {cut:.2f}}}\n"
        most -= cut
    back_on = day(draw, on, 250)
    if ending != "sold":
        text += f"    returned: {{on: {back_on}, refund: {refund(draw, shop, charged, tax, most):.2f}}}\n"
    return text, back_on


def piece(draw: st.DrawFn, shop: RandomShop, bought_whole: bool) -> str:
    """A piece that came in any way and ended in any way, with costs before and after."""
    came = day(draw, START, 300)
    way = "receipt" if bought_whole else draw(st.sampled_from(["found", "found", "own", "customer"]))
    text = "piece: A piece\n"
    if way == "found":
        text += f"found: {{on: {came}, cost: {draw(cents(0, 30_000)):.2f}, tax: {draw(cents(0, 900)):.2f}}}\n"
    elif way == "own":
        text += f"found: {{on: {came}, own: {{cost: {draw(cents(0, 9000)):.2f}, worth: {draw(cents(0, 9000)):.2f}}}}}\n"
    elif way == "customer":
        text += "customer: yes\n"
    text += "bought:\n"
    for _ in range(draw(st.integers(1, 3))):
        text += f"  - {{on: {day(draw, came, 700)}, from: A., what: hinges, cost: {draw(cents(1, 5000)):.2f}}}\n"
    if draw(st.booleans()):
        text += f"  - {{on: {day(draw, came, 700)}, from: A., what: hinges, got back: {draw(cents(0, 900)):.2f}}}\n"
    text += "log:\n"
    for _ in range(draw(st.integers(0, 3))):
        used = draw(st.sampled_from(["1/2 fl oz", "1/3 fl oz", "7/9 fl oz", "1/8 can"]))
        text += f"  - {{on: {day(draw, START, 800)}, did: coat, took: 1 h, used: [{used} {draw(st.sampled_from(WAXES))}]}}\n"
    text += "trips:\n"
    for _ in range(draw(st.integers(0, 2))):
        text += f"  - {{on: {day(draw, START, 800)}, miles: {draw(st.integers(1, 9000))}, to: A.}}\n"
    gone = day(draw, came, 300)
    ending = draw(st.sampled_from(["", "sold", "returned", "again", "kept", "given", "scrapped", "deposit", "back"]))
    if ending in ("sold", "returned", "again"):
        told, over = sale(draw, shop, gone, ending)
        text += f"sold:\n{told}"
        if ending == "again":
            text += sale(draw, shop, day(draw, over, 100), "sold")[0]
        elif ending == "returned":
            text += draw(st.sampled_from(["", f"kept: {{on: {over}}}\n", f"scrapped: {{on: {over}}}\n"]))
    elif ending in ("deposit", "back"):
        held = draw(cents(1, 9000))
        shop.received += held
        went = f", back: {{on: {day(draw, gone, 90)}}}" if ending == "back" else ""
        shop.given_back += held if went else 0
        text += f"deposits: [{{on: {gone}, amount: {held:.2f}{went}}}]\n"
    elif ending:
        text += f"{ending}: {{on: {gone}}}\n"
    return text


def receipts(draw: st.DrawFn, shop: RandomShop, folders: list[str], sets: list[str]) -> str:
    """Lots, expenses, a set bought whole, counts at nothing left, income, and stock from before."""
    text = "receipts:\n"
    for wax in WAXES:
        for _ in range(draw(st.integers(1, 3))):
            text += (
                f"  - {{on: {day(draw, START, 400)}, from: A., what: {wax}, size: {draw(st.integers(1, 40))} fl oz, "
                f"container: can, cost: {draw(cents(1, 9000)):.2f}, tax: {draw(cents(0, 900)):.2f}, for: shelf}}\n"
            )
    for kind in draw(
        st.lists(st.sampled_from(["supplies", "rent", "bank", "delivery", "software", "sales-tax"]), max_size=4)
    ):
        text += f"  - {{on: {day(draw, START, 800)}, from: A., what: a thing, cost: {draw(cents(1, 9000)):.2f}, for: {kind}}}\n"
    if sets:
        shares = ", ".join(f"{folder}: {draw(st.integers(1, 5))}" for folder in sets)
        text += f"  - {{on: {START}, from: A., what: a set, cost: {draw(cents(1, 9000)):.2f}, as: found, for: {{{shares}}}}}\n"
    text += "counts:\n"
    for wax in draw(st.lists(st.sampled_from(WAXES), max_size=1)):
        text += f"  - {{on: {START + timedelta(days=draw(st.integers(801, 900)))}, what: {wax}, left: 0 fl oz}}\n"
    text += "income:\n"
    for purpose in draw(st.lists(st.sampled_from(["other", *folders]), max_size=2)):
        amount = draw(cents(1, 9000))
        shop.received += amount if purpose != "other" else 0
        text += f"  - {{on: {day(draw, START, 800)}, from: A., what: a job, amount: {amount:.2f}, for: {purpose}}}\n"
    text += "opening:\n"
    for wax in WAXES:
        text += f"  - {{on: {date(2022, 11, 1)}, what: {wax}, size: 90 fl oz, container: can, cost: {draw(cents(1, 9000)):.2f}}}\n"
    return text


@st.composite
def years_of_a_shop(draw: st.DrawFn, rules: str) -> RandomShop:
    """A random shop under `rules`."""
    shop = RandomShop()
    folders = [f"piece-{number}" for number in range(draw(st.integers(1, 4)))]
    sets = folders[: draw(st.sampled_from([0, 0, 1, 2]))]
    tax = {
        "us": "us, home workshop: 200 sq ft",
        "uk": "uk",
        "plain": f"plain, year starts: {draw(st.sampled_from(['01-01', '07-01']))}",
    }
    shop.files["shop.yaml"] = (
        f"shop: S\ncurrency: {'GBP' if rules == 'uk' else 'USD'}\ntax: {{rules: {tax[rules]}}}\n"
        f"costing: {draw(st.sampled_from(['first in first out', 'average']))}\noutlets: {{porch sale: {{}}, hall: {{takes: 12%}}}}\n"
    )
    shop.files |= {f"pieces/{folder}/piece.yaml": piece(draw, shop, folder in sets) for folder in folders}
    shop.files["receipts/all.yaml"] = receipts(draw, shop, folders, sets)
    at_once = draw(cents(1, 250_000))
    shop.files["tools.yaml"] = (
        f"tools:\n  - {{tool: saw, on: {day(draw, START, 700)}, cost: {at_once:.2f}, write off: at once}}\n"
        f"  - {{tool: lift, on: {day(draw, START, 700)}, cost: {draw(cents(1, 900_000)):.2f}, write off: 5 years}}\n"
    )
    return shop
