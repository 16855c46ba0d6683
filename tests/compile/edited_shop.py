"""A shop of a few dozen pieces under US rules, and edits to it of every kind, for compiling it again and again."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

from pictures_with_metadata import busy_jpeg

T = TypeVar("T")

PRODUCTS = ("fig blue paint", "satin clear coat", "paste wax")
SHOP = """\
shop: Quillback Lane Refinishing
place: Port Ellery
currency: %s
tax: {rules: %s}
costing: %s
outlets:
  porch sale: {}
  antiques hall: {takes: 12%%}
  web marketplace: {takes: 9%% + 0.40}
"""


class Dice:
    """Throws that are the same again for the same seed, on every machine."""

    def __init__(self, seed: int) -> None:
        self.seed = seed
        self.thrown = 0

    def below(self, most: int) -> int:
        """A number from 0 up to, and not with, `most`."""
        self.thrown += 1
        return int.from_bytes(sha256(f"{self.seed} {self.thrown}".encode()).digest()) % most

    def choice(self, of: Sequence[T]) -> T:
        return of[self.below(len(of))]

    def between(self, least: int, most: int) -> int:
        """A number from `least` up to, and not with, `most`."""
        return least + self.below(most - least)


def make_shop(root: Path, pieces: int, seed: int) -> None:
    """An invented shop; the same seed gives the same bytes."""
    dice = Dice(seed)
    rules, costing = dice.choice(("us", "us", "uk", "plain")), dice.choice(("first in first out", "average"))
    write(root, "shop.yaml", SHOP % ("GBP" if rules == "uk" else "USD", rules, costing))
    lines = [
        f"  - {{on: 2024-01-{day:02}, from: Harbour Hardware, what: {product}, size: 3 gallon, cost: {60 + day}.55, for: shelf, container: can}}"
        for day in range(2, 6)
        for product in PRODUCTS
    ]
    write(root, "receipts/2024.yaml", "receipts:\n" + "\n".join(lines) + "\n")
    write(
        root,
        "receipts/supplies.yaml",
        "- {on: 2025-03-01, from: Harbour Hardware, what: dust masks, cost: 23.31, for: supplies}\n",
    )
    write(root, "trips.yaml", "- {on: 2025-02-03, miles: 14, to: supply house, why: paint}\n")
    for number in range(pieces):
        write(root, f"pieces/piece-{number:02}/piece.yaml", piece_text(dice, number))
        if number % 7 == 0:
            write_bytes(root, f"pieces/piece-{number:02}/photos/after.jpg", busy_jpeg(colour(dice)))


def colour(dice: Dice) -> tuple[int, int, int]:
    return dice.below(256), dice.below(256), dice.below(256)


def write(root: Path, file: str, text: str) -> None:
    write_bytes(root, file, text.encode())


def write_bytes(root: Path, file: str, data: bytes) -> None:
    (root / file).parent.mkdir(parents=True, exist_ok=True)
    (root / file).write_bytes(data)


def write_all(root: Path, files: Mapping[str, bytes]) -> None:
    """Make the shop what these files are, and nothing else."""
    for path in sorted(root.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    for file, data in files.items():
        write_bytes(root, file, data)


def a_day(dice: Dice, year: int) -> str:
    return f"{year}-{dice.between(1, 13):02}-{dice.between(1, 29):02}"


def step(dice: Dice, day: str) -> str:
    if dice.below(2):
        return f"  - {day} 40 min sanded by hand, {dice.below(1000)} strokes\n"
    product = dice.choice(PRODUCTS)
    return f"  - {{on: {day}, did: brushed on, used: [1/{dice.between(2, 9)} fl oz {product}], took: 1 h 15 min, dries: 4 h}}\n"


def piece_text(dice: Dice, number: int) -> str:
    """One piece's log, with its parts in an order in which more can be put between them."""
    year = dice.choice((2024, 2025, 2026))
    day = a_day(dice, year)
    bought = "".join(
        f"  - {{on: {a_day(dice, year)}, from: Harbour Hardware, what: brass pulls, cost: {dice.between(1, 40)}.49}}\n"
        for _ in range(dice.below(3))
    )
    log = "".join(step(dice, f"{year}-12-{20 + place}") for place in range(dice.between(1, 5)))
    price = dice.between(40, 400)
    sold = dice.choice(
        (
            "",
            f"sold: {{on: {year + 1}-02-03, price: {price}, at: antiques hall, delivery: 20, sales tax: 5.20}}\n",
            f"sold: {{on: {year + 1}-02-03, price: {price}, returned: {{on: {year + 1}-04-01, refund: {price}}}}}\n",
            f"kept: {{on: {year + 1}-02-03}}\n",
        )
    )
    return (
        f"piece: Oak stool {number}\nkind: stool\ntell: |\n  It stood in a porch, number {dice.below(99)}.\n"
        f"found: {{on: {min(day, f'{year}-12-01')}, from: Mill Road, cost: {dice.below(90)}.40}}\n"
        + (f"bought:\n{bought}" if bought else "")
        + f"log:\n{log}trips:\n  - {{on: 2025-02-01, miles: {dice.between(1, 60)}, to: Mill Road, why: collect it}}\n"
        + f"asking:\n  - {{on: {year}-12-28, price: {price + 20}}}\n{sold}"
    )


Edit = Callable[[Path, Dice], None]


def some_log(root: Path, dice: Dice) -> Path:
    return dice.choice(sorted((root / "pieces").glob("*/piece.yaml")))


def put_after(key: str, line: Callable[[Dice], str]) -> Edit:
    def edit(root: Path, dice: Dice) -> None:
        log = some_log(root, dice)
        log.write_text(log.read_text().replace(f"\n{key}:\n", f"\n{key}:\n{line(dice)}", 1))

    return edit


def reword(root: Path, dice: Dice) -> None:
    log = some_log(root, dice)
    log.write_text(log.read_text().replace("It stood", "It had stood", 1))


def same_length(root: Path, dice: Dice) -> None:
    log = some_log(root, dice)
    log.write_text(log.read_text().replace("number 1", "number 2", 1).replace("price: 1", "price: 2"))


def a_line_above(root: Path, dice: Dice) -> None:
    log = some_log(root, dice)
    log.write_text("# above all\n" + log.read_text())


def saved_as_it_was(root: Path, dice: Dice) -> None:
    log = some_log(root, dice)
    log.write_bytes(log.read_bytes())


def renamed(root: Path, dice: Dice) -> None:
    folder = some_log(root, dice).parent
    folder.rename(folder.with_name(f"{folder.name}-{dice.below(1000)}"))


def taken_away(root: Path, dice: Dice) -> None:
    if len(list((root / "pieces").iterdir())) > 5:
        shutil.rmtree(some_log(root, dice).parent)


def begun(root: Path, dice: Dice) -> None:
    number = dice.between(100, 1000)
    write(root, f"pieces/piece-{number}/piece.yaml", piece_text(dice, number))


def photographed(root: Path, dice: Dice) -> None:
    folder = some_log(root, dice).parent
    write_bytes(
        root, f"pieces/{folder.name}/photos/{dice.choice(('before', 'after', 'detail'))}.jpg", busy_jpeg(colour(dice))
    )


def photo_taken_away(root: Path, dice: Dice) -> None:
    for photo in sorted(root.glob("pieces/*/photos/*.jpg"))[:1]:
        photo.unlink()


def spoiled(root: Path, dice: Dice) -> None:
    log = some_log(root, dice)
    log.write_text(log.read_text() + "flows: [\n")


def mended(root: Path, dice: Dice) -> None:
    for log in (root / "pieces").glob("*/piece.yaml"):
        log.write_text(log.read_text().replace("flows: [\n", "")) if "flows: [" in log.read_text() else None


def shop_changed(root: Path, dice: Dice) -> None:
    shop = root / "shop.yaml"
    old, new = dice.choice(
        (
            ("takes: 12%", "takes: 11%"),
            ("Port Ellery", "Ellery Bay"),
            ("rules: us", "rules: plain"),
            ("average", "first in first out"),
        )
    )
    shop.write_text(shop.read_text().replace(old, new))


def products_said(root: Path, dice: Dice) -> None:
    write(root, "products.yaml", f"products:\n  paste wax: {{type: paste wax, cure: {dice.between(1, 9)} d}}\n")


def shelf_filled(root: Path, dice: Dice) -> None:
    receipts = root / "receipts" / "2024.yaml"
    more = f"  - {{on: {a_day(dice, 2024)}, from: Harbour Hardware, what: {dice.choice(PRODUCTS)}, size: 1 quart, cost: {dice.between(9, 40)}.45, for: shelf}}\n"
    receipts.write_text(receipts.read_text() + more)


def shared_receipt(root: Path, dice: Dice) -> None:
    a, b = (some_log(root, dice).parent.name for _ in range(2))
    if a != b:
        write(
            root,
            f"receipts/shared-{dice.below(4)}.yaml",
            f"- {{on: 2025-05-05, from: Harbour Hardware, what: glides, cost: 9.01, for: {{{a}: 1, {b}: 2}}}}\n",
        )


def shared_taken_away(root: Path, dice: Dice) -> None:
    for file in (root / "receipts").glob("shared-*.yaml"):
        file.unlink()


def tool_bought(root: Path, dice: Dice) -> None:
    write(
        root,
        "tools.yaml",
        f"- {{tool: sander, on: {a_day(dice, 2025)}, from: M., cost: {dice.between(50, 900)}, write off: at once}}\n",
    )


def driven(root: Path, dice: Dice) -> None:
    trips = root / "trips.yaml"
    trips.write_text(trips.read_text() + f"- {{on: {a_day(dice, 2025)}, miles: 7, to: supply house, why: wax}}\n")


def stray(root: Path, dice: Dice) -> None:
    write(root, f"pieces/notes-{dice.below(3)}.yaml", "")


EDITS: tuple[Edit, ...] = (
    put_after("log", lambda dice: step(dice, "2026-12-19")),
    put_after("log", lambda dice: step(dice, "2026-12-19")),
    put_after("asking", lambda dice: ""),
    put_after("bought", lambda dice: "  - {on: 2025-01-02, from: M., what: felt, cost: 4.49}\n"),
    put_after("trips", lambda dice: "  - {on: 2025-01-02, miles: 3, to: M., why: felt}\n"),
    reword, same_length, a_line_above, saved_as_it_was, renamed, taken_away, begun, photographed, photo_taken_away,
    spoiled, mended, shop_changed, products_said, shelf_filled, shared_receipt, shared_taken_away, tool_bought,
    driven, stray,
)  # fmt: skip
