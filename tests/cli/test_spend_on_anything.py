"""`flipbook spend`: a receipt stands where it belongs, says what was said, and its sums are right to the cent."""

from __future__ import annotations

import re
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import GOOD_PIECE, Ran, ShopWriter, run_flipbook

from flipbook.cli.main import main
from flipbook.measures.unreadable import Unreadable
from flipbook.shop.said_lines import SaidLine, read_said_line

PIECE = "pieces/oak-stool/piece.yaml"
YEAR = "receipts/2026.yaml"


def spend(shop: ShopWriter, *words: str | Path, code: int = 0) -> Ran:
    return shop.run("spend", "--on", "2026-02-20", *words, code=code)


def text_of(shop: ShopWriter, file: str) -> str:
    return (shop.root / file).read_bytes().decode("utf-8")


def paid(shop: ShopWriter) -> list[tuple[str, str, str]]:
    """What every receipt paid, by the program's own reader: file, party and the sum."""
    return [(slip.file, slip.receipt.from_, str(slip.receipt.paid)) for slip in shop.books().facts.slips()]


def test_for_a_piece_it_stands_among_what_was_bought_for_it(shop: ShopWriter) -> None:
    words = ("brass", "bin", "pull", "--count", "6", "--each", "6.99", "--from", "Harbour Hardware", "--tax", "2.52")
    ran = spend(shop.piece(), *words, "--for", "stool")
    # 6 x 6.99 is 41.94, with 2.52 of tax 44.46; with 10.00 for the stool 54.46.
    assert paid(shop) == [(PIECE, "Harbour Hardware", "44.46")]
    assert str(shop.books().sheets[0].cost) == "54.46"
    assert "$44.46" in ran.out
    assert re.search(rf"^Written at {PIECE}:[0-9]+$", ran.out, re.MULTILINE)
    assert "for:" not in text_of(shop, PIECE)


def test_for_the_shelf_it_begins_the_file_of_its_year(shop: ShopWriter) -> None:
    words = (
        "fig blue paint",
        "--size",
        "1 pint",
        "--container",
        "can",
        "--cost",
        "24.50",
        "--from",
        "Harbour Hardware",
    )
    ran = spend(shop.piece(), *words, "--for", "shelf", "--paid-with", "card", "--private", "The last can.")
    assert paid(shop) == [(YEAR, "Harbour Hardware", "24.50")]
    (slip,) = shop.books().facts.slips()
    assert (slip.receipt.what, str(slip.receipt.size), slip.receipt.container) == ("fig blue paint", "1 pint", "can")
    assert (slip.receipt.paid_with, slip.receipt.private) == ("card", "The last can.")
    assert slip.purpose(slip.receipt).is_shelf
    assert YEAR in ran.out
    shop.run("jot", "stool", "painted it", "--used", "1/4 can fig blue paint")


@pytest.mark.parametrize(
    "given_file",
    [
        "- {on: 2026-01-03, from: Post, what: stamps, cost: 8.00, for: office}\n",
        "receipts:\n  - on: 2026-01-03\n    from: Post\n    what: stamps\n    cost: 8.00\n    for: office\ncounts: []\n",
        "counts: []\nreceipts:\n- {on: 2026-01-03, from: Post, what: stamps, cost: 8.00, for: office}\n",
        "receipts: [{on: 2026-01-03, from: Post, what: stamps, cost: 8.00, for: office}]\n",
    ],
)
def test_a_file_of_receipts_takes_it_in_its_own_form(shop: ShopWriter, given_file: str) -> None:
    spend(shop.receipts(given_file), "envelopes", "--cost", "4.20", "--from", "Post", "--for", "office")
    assert paid(shop) == [(YEAR, "Post", "8.00"), (YEAR, "Post", "4.20")]
    lines = iter(text_of(shop, YEAR).splitlines())
    assert all(line in lines for line in given_file.splitlines() if not line.startswith("receipts: ["))


@pytest.mark.parametrize("given_file", ["", "# Nothing yet.\n", "counts: []\n", "receipts:\n", "receipts: []\n"])
def test_a_file_with_no_receipt_in_it_takes_the_first(shop: ShopWriter, given_file: str) -> None:
    spend(shop.receipts(given_file), "envelopes", "--cost", "4.20", "--from", "Post", "--for", "office")
    assert paid(shop) == [(YEAR, "Post", "4.20")]


@pytest.mark.parametrize("kind", ["supplies", "Selling Fees", "contract_labour", "SALES-TAX"])
def test_a_kind_of_expense_folds_case_and_spacing(shop: ShopWriter, kind: str) -> None:
    spend(shop, "a thing", "--cost", "4.20", "--from", "Post", "--for", kind)
    (slip,) = shop.books().facts.slips()
    assert slip.purpose(slip.receipt).kind == re.sub("[ _]", "-", kind.lower())


def test_several_lines_are_one_receipt_with_its_total(shop: ShopWriter) -> None:
    """24.50 + 2 x 3.70 + 6 x 6.99 = 73.84; less 5.00, with 4.10 of tax and 1.00 for delivery 73.94."""
    ran = spend(
        shop.piece(), "--from", "Harbour Hardware", "--tax", "4.10", "--shipping", "1", "--discount", "5.00",
        "--line", "fig blue paint; 1 pint can; 24.50; for shelf",
        "--line", "mask filters; 2 x 3.70; for supplies",
        "--line", "brass cup hook, 6 x 6.99, for oak-stool",
    )  # fmt: skip
    assert paid(shop) == [(YEAR, "Harbour Hardware", "73.94")]
    (slip,) = shop.books().facts.slips()
    assert str(slip.receipt.total) == "73.94"
    assert [(line.what, str(line.price)) for line in slip.receipt.bought] == [
        ("fig blue paint", "24.50"),
        ("mask filters", "7.40"),
        ("brass cup hook", "41.94"),
    ]
    purposes = [slip.purpose(line) for line in slip.receipt.bought]
    assert [one.kind or one.shares[0][0] for one in purposes] == ["shelf", "supplies", "oak-stool"]
    assert "$73.94" in ran.out


@pytest.mark.parametrize(
    ("words", "file", "purposes"),
    [
        (["--for", "stool", "--line", "a; 1.00", "--line", "b; 2.00"], PIECE, ["oak-stool", "oak-stool"]),
        (["--for", "stool", "--line", "a; 1.00; for shelf", "--line", "b; 2.00"], PIECE, ["shelf", "oak-stool"]),
        (["--line", "a; 1.00; for stool", "--line", "b; 2.00; for oak-stool"], PIECE, ["oak-stool", "oak-stool"]),
        (["--for", "office", "--line", "a; 1.00", "--line", "b; 2.00; for stool"], YEAR, ["office", "oak-stool"]),
        (["--line", "a; 1.00; for stool", "--line", "b; 2.00; for elm"], YEAR, ["oak-stool", "elm-bench"]),
        (["--line", "a; 1.00; for stool"], PIECE, ["oak-stool"]),
        (["--line", "a; 1.00; for bank"], YEAR, ["bank"]),
    ],
)
def test_what_the_lines_are_for_says_where_they_stand(
    shop: ShopWriter, words: list[str], file: str, purposes: list[str]
) -> None:
    shop.piece().write({"pieces/elm-bench/piece.yaml": GOOD_PIECE.replace("Oak stool", "Elm bench")})
    spend(shop, "--from", "Post", *words)
    (slip,) = shop.books().facts.slips()
    assert slip.file == file
    assert [p.kind or p.shares[0][0] for p in (slip.purpose(line) for line in slip.receipt.bought)] == purposes


def test_a_total_that_is_said_must_agree(shop: ShopWriter) -> None:
    words = ("--from", "Post", "--for", "office", "--line", "a; 1.00", "--line", "b; 2.00")
    ran = spend(shop, *words, "--total", "3.50", code=1)
    assert "[total-disagrees]" in ran.err
    assert not (shop.root / YEAR).exists()
    spend(shop, *words, "--tax", "0.50", "--total", "3.50")
    assert paid(shop) == [(YEAR, "Post", "3.50")]


@pytest.mark.parametrize(
    ("days", "order"),
    [
        (["2026-02-25"], [20, 25]),
        (["2026-02-15", "2026-02-25", "2026-02-18"], [15, 25, 18, 20]),
        (["2026-02-20"], [20, 20]),
    ],
)
def test_a_receipt_goes_to_its_day(shop: ShopWriter, days: list[str], order: list[int]) -> None:
    shop.receipts("".join(f"- {{on: {day}, from: Post, what: old, cost: 1, for: office}}\n" for day in days))
    spend(shop, "new", "--cost", "1", "--from", "Post", "--for", "office")
    slips = list(shop.books().facts.slips())
    assert [slip.receipt.on.day for slip in slips] == order
    assert [slip.receipt.what for slip in slips if slip.receipt.on.day == 20][-1] == "new"


SLIP = b"%PDF-1.4\n1 0 obj\nendobj\n%%EOF\n"


@pytest.mark.parametrize(
    ("purpose", "party", "path"),
    [
        ("stool", "Harbour Hardware", "pieces/oak-stool/receipts/2026-02-20-harbour-hardware.pdf"),
        ("shelf", "Égérie & Fils", "receipts/scans/2026-02-20-egerie-fils.pdf"),
        ("office", "../../etc", "receipts/scans/2026-02-20-etc.pdf"),
        ("office", "日本", "receipts/scans/2026-02-20.pdf"),
    ],
)
def test_a_scan_is_copied_in_beside_its_receipt(
    shop: ShopWriter, tmp_path: Path, purpose: str, party: str, path: str
) -> None:
    (tmp_path / "slip.dat").write_bytes(SLIP)
    shop.piece()
    ran = spend(shop, "a thing", "--cost", "4.20", "--from", party, "--for", purpose, "--scan", tmp_path / "slip.dat")
    assert (shop.root / path).read_bytes() == SLIP
    assert (tmp_path / "slip.dat").read_bytes() == SLIP
    (slip,) = shop.books().facts.slips()
    assert slip.scans() == (path,)
    assert path in ran.out
    spend(shop, "a thing", "--cost", "4.20", "--from", party, "--for", purpose, "--scan", tmp_path / "slip.dat")
    stem, _, ending = path.rpartition(".")
    assert (shop.root / f"{stem}-2.{ending}").read_bytes() == SLIP


@pytest.mark.parametrize("content", [b"", b"words", None])
def test_what_is_no_scan_is_refused_and_nothing_is_written(
    shop: ShopWriter, tmp_path: Path, content: bytes | None
) -> None:
    if content is not None:
        (tmp_path / "slip.pdf").write_bytes(content)
    spend(shop, "a", "--cost", "4", "--from", "Post", "--for", "office", "--scan", tmp_path / "slip.pdf", code=2)
    assert not (shop.root / "receipts").exists()


def test_a_refused_receipt_brings_no_scan_and_begins_no_file(shop: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "slip.pdf").write_bytes(SLIP)
    shop.write({"shop.yaml": "shop: Quillback Lane\ncurrency: USD\n"})
    words = ("a", "--cost", "4", "--from", "Post", "--for", "office", "--scan", tmp_path / "slip.pdf")
    ran = spend(shop, *words, "--discount", "5.00", code=1)
    assert "[discount-too-large]" in ran.err
    assert not (shop.root / "receipts").exists()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["a", "--cost", "-4", "--from", "P", "--for", "office"], "not negative"),
        (["a", "--cost=-4", "--from", "P", "--for", "office"], "not negative"),
        (["a", "--cost", "4.255", "--from", "P", "--for", "office"], "two decimals"),
        (["a", "--cost", "four", "--from", "P", "--for", "office"], "not a sum"),
        (["a", "--cost", "£4", "--from", "P", "--for", "office"], "USD"),
        (["a", "--cost", "4", "--from", "P", "--for", "office", "--tax", "-1"], "--tax"),
        (["a", "--each", "4", "--from", "P", "--for", "office"], "--count"),
        (["a", "--count", "0", "--each", "4", "--from", "P", "--for", "office"], "not a count"),
        (["a", "--count", "1.5", "--each", "4", "--from", "P", "--for", "office"], "not a count"),
        (["a", "--cost", "4", "--size", "1 pnit", "--from", "P", "--for", "shelf"], "write `1 pint`"),
        (["a", "--cost", "4", "--size", "1", "--from", "P", "--for", "shelf"], "no unit"),
        (["a", "--cost", "4", "--from", "P", "--for", "ofice"], "write `office`"),
        (["a", "--cost", "4", "--from", "P", "--for", "xyzzy"], "no piece"),
        (["a", "--cost", "4", "--from", "P"], "--for is not said"),
        (["a", "--cost", "4", "--for", "office"], "--from is not said"),
        (["a", "--from", "P", "--for", "office"], "--cost is not said"),
        (["--cost", "4", "--from", "P", "--for", "office"], "what was bought is not said"),
        (["--line", "a", "--from", "P", "--for", "office"], "what it cost"),
        (["--line", "a; 4", "--from", "P"], "--for is not said"),
        (["a", "--line", "b; 4", "--from", "P", "--for", "office"], "beside --line"),
        (["--cost", "4", "--line", "b; 4", "--from", "P", "--for", "office"], "beside --line"),
        (["a", "--cost", "4", "--from", "P", "--for", "office", "--on", "tuesday"], "for the last one"),
        (["a", "--cost", "4", "--from", "P", "--for", "office", "--tx", "1"], "`--tax`"),
    ],
)
def test_what_is_misread_is_misuse_and_nothing_is_written(shop: ShopWriter, words: list[str], says: str) -> None:
    shop.piece()
    before = {path: path.read_bytes() for path in shop.root.rglob("*.yaml")}
    ran = run_flipbook("spend", *words, cwd=shop.root)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    assert {path: path.read_bytes() for path in shop.root.rglob("*.yaml")} == before


def test_a_free_thing_costs_nothing(shop: ShopWriter) -> None:
    spend(shop, "offcuts", "--cost", "0", "--from", "the mill", "--for", "supplies")
    assert paid(shop) == [(YEAR, "the mill", "0.00")]


def test_a_name_like_one_on_the_shelf_is_pointed_out(shop: ShopWriter) -> None:
    words = ("--size", "1 pint", "--cost", "24.50", "--from", "H.", "--for", "shelf")
    assert "new on the shelf" not in spend(shop, "fig blue paint", *words).out
    assert "new on the shelf" not in spend(shop, "Fig  Blue paint", *words).out
    said = spend(shop, "fig bleu paint", *words).out
    assert "new on the shelf" in said
    assert "`Fig  Blue paint`" in said or "`fig blue paint`" in said
    assert "--size" in spend(shop, "rag", "--cost", "1", "--from", "H.", "--for", "shelf").out


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("glue; 3.49", SaidLine(what="glue", cost=Decimal("3.49"))),
        ("glue, 3.49", SaidLine(what="glue", cost=Decimal("3.49"))),
        ("glue,$1,240.00", SaidLine(what="glue", cost=Decimal("1240.00"))),
        ("pull; 6 x 6.99", SaidLine(what="pull", count=6, each=Decimal("6.99"))),
        ("pull; 6x6.99", SaidLine(what="pull", count=6, each=Decimal("6.99"))),
        ("pull; 6 at $6.99", SaidLine(what="pull", count=6, each=Decimal("6.99"))),
        ("pull; 6 × 6.99; for oak-stool", SaidLine(what="pull", count=6, each=Decimal("6.99"), purpose="oak-stool")),
        ("fig blue paint; 1 pint can; 24.50; for shelf", SaidLine(what="fig blue paint", size="1 pint", container="can", cost=Decimal("24.50"), purpose="shelf")),
        ("for: shelf; fig; 24.50", None),
        ("fig; 24.50; for: shelf; 8 fl oz", SaidLine(what="fig", size="8 fl oz", cost=Decimal("24.50"), purpose="shelf")),
        ("fig; 2 x 1 pint can; 49", SaidLine(what="fig", count=2, size="1 pint", container="can", cost=Decimal("49.00"))),
        ("rag; 50 each; 14.75", SaidLine(what="rag", size="50 each", cost=Decimal("14.75"))),
        ("sandpaper; 1 1/2 sheets; 2", SaidLine(what="sandpaper", size="1 1/2 sheets", cost=Decimal("2.00"))),
        ("what; a, b and c; 3", None),
        ("glue", None),
        ("; 3.49", None),
        ("glue; 3.49; 4.49", None),
        ("glue; 3.49; for a; for b", None),
        ("glue; 0 pint; 3.49", None),
        ("glue; 3.499", None),
        ("glue; 1 pint can of it; 3.49", None),
    ],
)  # fmt: skip
def test_a_line_is_read_from_its_parts(text: str, line: SaidLine | None) -> None:
    if line is not None:
        assert read_said_line(text, "USD") == line
        return
    with pytest.raises(Unreadable) as refused:
        read_said_line(text, "USD")
    assert refused.value.write


@given(st.text(max_size=60))
def test_any_line_is_read_or_refused(text: str) -> None:
    try:
        line = read_said_line(text, "USD")
    except Unreadable as refused:
        assert refused.says
    else:
        assert line.price >= 0
        assert line.what


cents = st.integers(0, 100_000).map(lambda number: Decimal(number) / 100)
bought = st.tuples(st.sampled_from(["for shelf", "for office", "for oak-stool", ""]), st.integers(1, 9), cents)


@given(lines=st.lists(bought, min_size=1, max_size=5), tax=cents, shipping=cents, discount=cents)
@settings(max_examples=examples(60))
def test_the_total_is_the_lines_less_the_discount_with_tax_and_shipping(
    lines: list[tuple[str, int, Decimal]], tax: Decimal, shipping: Decimal, discount: Decimal
) -> None:
    with tempfile.TemporaryDirectory() as home, redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        shop = ShopWriter(Path(home) / "my_shop").piece()
        said = [
            f"--line=thing {number}; {count} x {each}; {purpose}" for number, (purpose, count, each) in enumerate(lines)
        ]
        sums = [f"--tax={tax}", f"--shipping={shipping}", f"--discount={discount}"]
        ended = main(["spend", f"--shop={shop.root}", "--from=H.", "--for=supplies", *sums, *said])
        total = sum((count * each for _, count, each in lines), Decimal(0)) - discount + tax + shipping
        assert (ended == 0) == (total >= 0)
        if ended:
            assert not (shop.root / "receipts").exists()
            return
        (slip,) = shop.books().facts.slips()
        assert slip.receipt.paid == total
        went_out = sum((row.money_out for row in shop.books().ledger), Decimal(0))
        assert went_out == total + 10  # and the stool itself
