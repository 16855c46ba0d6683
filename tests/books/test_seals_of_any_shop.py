"""What can never happen to a sealed year: a figure that changes unnoticed, a harmless edit that is refused."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from pathlib import Path

from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from sealed_shop import FILES, seal_again
from shop_writer import ShopWriter

from flipbook.books.seal import seal_of
from flipbook.shop.folder import ShopFolder
from flipbook.shop.records.sealed import (
    Fact,
    Figure,
    InStock,
    Opening,
    Seal,
    SealedLine,
    Setting,
    YearRecord,
    opened_again,
)
from flipbook.shop.sealing import read_seals, text_of_record, write_record

SEALED = {**FILES, "pieces/oak-stool/piece.yaml": FILES["pieces/oak-stool/piece.yaml"].replace("  buyer: R.\n", "")}
SOME = settings(max_examples=examples(60))


@contextmanager
def a_shop() -> Iterator[ShopWriter]:
    """The invented shop with 2025 sealed, in a folder of its own for each example."""
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "my_shop").write(SEALED)
        seal_again(shop)
        yield shop


def harmless(file: str, text: str) -> list[tuple[str, str]]:
    """Edits of a file that change no figure: its name, and the text after it."""
    found = [
        ("a comment", f"# looked through\n{text}"),
        ("an empty line", f"{text}\n\n"),
        ("line ends", text.replace("\n", "\r\n")),
        ("a byte-order mark", f"\ufeff{text}"),
        ("who", text.replace("Harbour Hardware", "Harbour & Sons")),
        ("what for", text.replace("dust masks", "masks").replace("supply house", "the supply house")),
        ("whence", text.replace("Mill Road", "Mill Lane")),
        ("a product, all over", text.replace("fig blue", "fig bleu")),
    ]
    if file.endswith("piece.yaml"):
        found += [
            ("a note", f"{text}private: a note\n" if "private" not in text else text.replace("a note", "no")),
            ("a story", f"{text}tell: |\n  It came in the rain.\n"),
            ("a title", text.replace("piece: ", "piece: The ")),
        ]
    return found


@st.composite
def harmless_edits(draw: st.DrawFn) -> dict[str, str]:
    files = draw(st.lists(st.sampled_from(sorted(SEALED)), min_size=1, max_size=5, unique=True))
    after = {file: draw(st.sampled_from(harmless(file, SEALED[file])))[1] for file in files}
    if any("fig bleu" in text for text in after.values()):
        # A product is one name in every file.
        after = {file: after.get(file, text).replace("fig blue", "fig bleu") for file, text in SEALED.items()}
    return after


@SOME
@given(harmless_edits())
def test_harmless_edits_are_silent(after: dict[str, str]) -> None:
    with a_shop() as shop:
        assert shop.write(after).problems() == []


# Every sum and day of the year 2025 that stands in the shop's files, by file and span.
SUMS = [
    (file, found.start(1), found[1])
    for file, text in SEALED.items()
    for line in re.finditer(r"[^\n]*\n", text)
    for found in re.compile(r"(?:cost|price|amount|refund|each|total|miles): ([0-9.]+)").finditer(text, line.start(), line.end())
    if "2025-" in line[0] or file == "receipts/2025.yaml" or found[0] == "price: 380.00"
]  # fmt: skip
DAYS = [(file, f.start(), f[0]) for file, text in SEALED.items() for f in re.finditer(r"2025-[0-9]{2}-[0-9]{2}", text)]


@SOME
@given(st.sampled_from(SUMS), st.integers(1, 99))
def test_any_other_sum_is_an_error_in_its_file(where: tuple[str, int, str], more: int) -> None:
    file, at, old = where
    # Half a dollar is the least that shows in every figure: a share of a can, a trip at cents a mile.
    new = str(int(old) + more) if old.isdigit() else f"{Decimal(old) + Decimal(more) / 2:.2f}"
    text = SEALED[file]
    with a_shop() as shop:
        problems = shop.write({file: text[:at] + new + text[at + len(old) :]}).problems()
    assert problems
    assert {p.place.file for p in problems} == {file}
    assert {p.warning for p in problems} == {False}
    # A receipt whose total no longer agrees, or a refund over what was paid, is told before the seal is looked at.
    assert {p.name for p in problems} <= {"sealed-year"} or "total: 80.00" in text or "refund" in text


def figures(shop: ShopWriter) -> list[Decimal]:
    """The amounts of the year's lines, and of the stock at its end."""
    year = next(year for year in shop.books().years if year.year.name == 2025)
    return [*(line.amount for line in year.lines), *sorted(entry.amount for entry in year.stock.closing_entries)]


@SOME
@given(st.sampled_from(DAYS), st.dates(date(2024, 12, 25), date(2026, 1, 10)))
def test_any_other_day_of_a_sum_is_an_error_in_its_file(where: tuple[str, int, str], day: date) -> None:
    file, at, old = where
    text = SEALED[file]
    line = text[text.rfind("\n", 0, at) + 1 : text.find("\n", at)]
    with a_shop() as shop:
        before = figures(shop)
        problems = shop.write({file: text[:at] + str(day) + text[at + len(old) :]}).problems()
        if not problems:
            # The day of a step, or of scrapping, is none of a sum as long as the year's figures stay what they were.
            assert str(day) == old or any(word in line for word in ("washed", "scrapped", "used"))
            assert figures(shop) == before
            return
    # Days that now run backwards are told first, some at the other of the two.
    if {p.name for p in problems} == {"sealed-year"}:
        assert {p.place.file for p in problems} == {file}


HOSTILE = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=40),
    st.sampled_from([
        "", "null", "~", "true", "No", "1", "1e3", "0x1F", "1935", "2025-01-01", "12:30", "- a", "? a", "a: b", "a #b",
        "#", "'", '"', '""', "\\", "\\n", "a\nb", "\n", "\r\n", "\t", " a ", "{a}", "[a]", "a, b", "*a", "&a", "!a", "%a",
        "@a", "`a`", "|", ">", "...", "---", "🪑", "\U0001f468\u200d\U0001f527", "אבג\u200f", "\u202eabc", "\u2028", "\x85", "\ufeff", "\x00", "\x1b[31m",
        "<<", "=", "é", "e\u0301", "\ufffe", "\U0010ffff", "yes", "on", "a:", ":a", "a{", "a,", "a]",
    ]),
)  # fmt: skip
MONEY = st.decimals(Decimal("-9999999.99"), Decimal("9999999.99"), places=2)
DATES = st.dates(date(1900, 1, 1), date(2100, 12, 31))
KINDS = st.sampled_from(["sale", "sale-fees", "taken before"])
FACTS = st.lists(st.builds(
    Fact, day=DATES, kind=KINDS, piece=HOSTILE, what=HOSTILE, amount=MONEY, file=HOSTILE, taken=HOSTILE,
), max_size=3).map(tuple)  # fmt: skip
LINES = st.lists(st.builds(
    SealedLine, key=HOSTILE, label=HOSTILE, caption=HOSTILE, amount=MONEY, facts=FACTS,
), max_size=3).map(tuple)  # fmt: skip
FIGURES = st.lists(st.builds(Figure, key=HOSTILE, label=HOSTILE, caption=HOSTILE, amount=MONEY), max_size=3).map(tuple)
STOCK = st.lists(st.builds(InStock, piece=HOSTILE, what=HOSTILE, amount=MONEY), max_size=3).map(tuple)
OPENINGS = st.lists(st.builds(
    Opening, sealed_on=DATES, digest=st.just("0123456789abcdef"), opened_on=DATES, why=HOSTILE, lines=FIGURES,
), max_size=2).map(tuple)  # fmt: skip
SEALS = st.builds(
    Seal, year=st.just(2025), sealed_on=DATES, currency=st.just("USD"), rules=st.just("us"), start=DATES, end=DATES,
    settings=st.lists(st.builds(Setting, HOSTILE, HOSTILE), max_size=2).map(tuple), lines=LINES,
    stock_at_the_start=STOCK, stock_at_the_end=STOCK, behind_the_stock=FACTS,
)  # fmt: skip


@settings(max_examples=examples(300))
@given(st.none() | SEALS, OPENINGS)
def test_what_is_sealed_reads_back_to_the_last_sign(seal: Seal | None, opened: tuple[Opening, ...]) -> None:
    record = YearRecord(year=2025, seal=seal, opened=opened)
    text = text_of_record(record)
    assert all(line.isprintable() for line in text.splitlines()), "nothing in a seal moves a cursor or turns a line"
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        assert write_record(root, record).read_bytes() == text.encode("utf-8")
        read = read_seals(ShopFolder(root))
    assert read.problems == []
    assert read.records == {2025: record}


@settings(max_examples=examples(30))
@given(HOSTILE.filter(lambda text: text.strip()))
def test_a_title_of_any_signs_is_sealed_and_read_back(title: str) -> None:
    shown = "".join(c if c.isprintable() and c not in "\ufffe\uffff" else " " for c in title).strip() or "A chair"
    piece = (
        'piece: "' + shown.replace("\\", "\\\\").replace('"', '\\"') + '"\nfound: {on: 2025-02-02, from: M., cost: 9}\n'
    )
    with tempfile.TemporaryDirectory() as folder:
        shop = ShopWriter(Path(folder) / "my_shop").write({"pieces/a/piece.yaml": piece})
        seal_again(shop)
        assert shop.problems() == []
        books = shop.books()
        assert read_seals(ShopFolder(shop.root)).records[2025].seal == seal_of(books, books.years[0], date(2026, 2, 3))


@settings(max_examples=examples(60))
@given(st.text(max_size=60))
def test_a_reason_of_any_signs_is_kept(why: str) -> None:
    with a_shop() as shop:
        record = read_seals(ShopFolder(shop.root)).records[2025]
        write_record(shop.root, opened_again(record, date(2026, 3, 1), why))
        (opening,) = read_seals(ShopFolder(shop.root)).records[2025].opened
    assert opening.why == why.encode("utf-8", "replace").decode("utf-8")
