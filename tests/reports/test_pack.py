"""The folder for the preparer: `flipbook year YEAR --pack FILE.zip`.

What a file's name may not hold is from memory of the common file systems: no `/ \\ : * ? " < > |` and no control
sign, no leading dot, no dot or space at the end, and none of the names that Windows keeps for devices.
"""

from __future__ import annotations

import csv
import io
import os
import re
import shutil
import subprocess
import sys
import unicodedata
import zipfile
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import BinaryIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import PATIENCE, Ran, ShopWriter, flipbook_environment

from flipbook.cli.main import main
from flipbook.compile import Outcome, check_shop
from flipbook.reports.pack import LONGEST_STEM, scan_stem

DONE, PROBLEMS, MISUSED = 0, 1, 2
Flipbook = Callable[..., Ran]

SLIP = b"\x89PNG\r\n\x1a\n, stands for a scan"
# 41.94 + 24.50 + 3.49 - 5.00 + 4.10 = 69.03, the whole of it though three lines are three rows
HARDWARE = """\
- on: 2026-02-20
  from: Harbour Hardware
  scan: scans/2026-02-20.jpg
  lines:
    - {what: brass cup hook, count: 6, each: 6.99, for: oak-stool}
    - {what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf}
    - {what: glue syringe, cost: 3.49, for: supplies}
  discount: 5.00
  tax: 4.10
  total: 69.03
"""


@pytest.fixture
def packed_shop(shop: ShopWriter) -> ShopWriter:
    """A shop with two tax years, a scanned slip of three lines, a scanned tool, trips and a sale."""
    return shop.piece("sold: {on: 2026-04-11, price: 380.00, at: antiques hall, delivery: 25.00}\n").write(
        {
            "pieces/mirror/piece.yaml": "piece: Mirror\nfound: {on: 2025-12-05, from: Pell auction, cost: 15.00, scan: slip.PDF}\n",
            "pieces/mirror/slip.PDF": b"%PDF stands for a scan",
            "receipts/2026.yaml": HARDWARE,
            "receipts/scans/2026-02-20.jpg": SLIP,
            "tools.yaml": "tools: [{tool: sander, on: 2026-01-10, from: Saltmarsh Supply, cost: 129.00, write off: at once, scan: ./sander.jpg}]\n",
            "sander.jpg": b"stands for the sander's slip",
            "trips.yaml": "trips: [{on: 2026-03-03, miles: 14, to: supply house, why: paint}]\n",
        }
    )


def pack(flipbook: Flipbook, shop: ShopWriter, to: Path, year: str = "2026") -> Mapping[str, bytes]:
    """The content of a pack by name; it must be made without a word on the error stream."""
    ran = flipbook("year", year, "--shop", shop.root, "--pack", to)
    assert (ran.code, ran.err) == (DONE, "")
    return opened(to)


def opened(to: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(to) as zipped:
        assert zipped.testzip() is None
        names = zipped.namelist()
        assert names == sorted(set(names))
        return {name: zipped.read(name) for name in names}


def rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode(), newline="")))


def test_a_pack_holds_the_years_tables_pages_and_scans(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    content = pack(flipbook, packed_shop, tmp_path / "year.zip")
    tables = ["ledger-2026", "no-receipt-2026", "tax-2026", "trips-2026", "unsold-2025", "unsold-2026"]
    assert {name for name in content if not name.startswith("scans/")} >= {
        "index.csv",
        "index.html",
        "style.css",
        *(f"{table}.{ending}" for table in tables for ending in ("csv", "html")),
    }
    assert [name for name in content if name.startswith("scans/")] == [
        "scans/2026-01-10 Saltmarsh Supply 129.00.jpg",
        "scans/2026-02-20 Harbour Hardware 69.03.jpg",
    ]


def test_the_first_year_has_no_year_before_it_and_nothing_of_the_year_after(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    content = pack(flipbook, packed_shop, tmp_path / "year.zip", "2025")
    assert {name for name in content if name.endswith(".csv")} == {
        "index.csv",
        "tools.csv",
        *(f"{table}-2025.csv" for table in ("ledger", "no-receipt", "tax", "trips", "unsold")),
    }
    assert [name for name in content if name.startswith("scans/")] == ["scans/2025-12-05 Pell auction 15.00.PDF"]


def test_a_file_that_comes_while_the_pack_is_made_is_not_taken_the_place_of(
    packed_shop: ShopWriter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    to = tmp_path / "year.zip"
    copied = shutil.copyfileobj

    def copy_and_meanwhile(source: BinaryIO, copy: BinaryIO, length: int) -> None:
        to.write_bytes(b"somebody else's")
        copied(source, copy, length)

    monkeypatch.setattr("shutil.copyfileobj", copy_and_meanwhile)
    assert main(["year", "2026", "--shop", str(packed_shop.root), "--pack", str(to)]) == MISUSED
    assert "is there already" in capsys.readouterr().err
    assert to.read_bytes() == b"somebody else's"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["my_shop", "year.zip"]


def test_scans_are_byte_for_byte_what_they_are_in_the_shop(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    content = pack(flipbook, packed_shop, tmp_path / "year.zip")
    listed = rows(content["index.csv"])
    assert {row["scan"] for row in listed} == {name for name in content if name.startswith("scans/")}
    for row in listed:
        assert content[row["scan"]] == (packed_shop.root / row["file"]).read_bytes()


def test_the_index_lists_each_line_behind_a_scan_and_they_sum_to_the_slip(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    listed = rows(pack(flipbook, packed_shop, tmp_path / "year.zip")["index.csv"])
    slip = [row for row in listed if row["scan"] == "scans/2026-02-20 Harbour Hardware 69.03.jpg"]
    assert [(row["what"], row["kind"], row["amount"], row["moved"], row["source"]) for row in slip] == [
        ("brass cup hook", "material", "41.40", "out", "receipts/2026.yaml:5"),
        ("fig blue paint", "shelf", "24.18", "out", "receipts/2026.yaml:6"),
        ("glue syringe", "supplies", "3.45", "out", "receipts/2026.yaml:7"),
    ]
    assert {(row["date"], row["party"]) for row in slip} == {("2026-02-20", "Harbour Hardware")}


def test_every_table_is_the_one_that_compile_writes(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    content = pack(flipbook, packed_shop, tmp_path / "year.zip")
    assert flipbook("compile", packed_shop.root).code == DONE
    books = packed_shop.root / "out" / "books"
    amounts = [row["amount"] for row in rows(content["tax-2026.csv"])]
    assert amounts == [row["amount"] for row in rows((books / "tax-2026.csv").read_bytes())]
    assert len(amounts) > 5
    for name, data in content.items():
        if name.endswith(".csv") and name not in ("index.csv", "ledger-2026.csv"):
            assert data == (books / name).read_bytes(), name
    of_year = [row for row in rows((books / "ledger.csv").read_bytes()) if row["date"].startswith("2026")]
    assert rows(content["ledger-2026.csv"]) == of_year


def test_every_cell_of_a_table_is_on_its_page_and_no_page_runs_or_asks_for_anything(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    content = pack(flipbook, packed_shop, tmp_path / "year.zip")
    for name, data in content.items():
        if not name.endswith(".html"):
            continue
        page = data.decode()
        assert "<script" not in page
        assert "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'" in page
        assert not re.search(r"(?:src|href)=\"(?:[a-z]+:|//|/)", page)
        for row in rows(content[f"{name[:-5]}.csv"]):
            assert all(f">{cell}<" in page for cell in row.values() if cell), (name, row)
        for link in re.findall(r"href=\"([^#\"]+)\"", page):
            assert re.sub("%20", " ", link) in content, link
    front = content["index.html"].decode()
    assert "A record for the person who files and whoever prepares the return; it is not tax advice." in front
    assert 'href="scans/2026-02-20%20Harbour%20Hardware%2069.03.jpg"' in front


def test_two_runs_make_the_same_bytes_on_any_day_and_in_any_place(
    flipbook: Flipbook, flipbook_process: Flipbook, packed_shop: ShopWriter, tmp_path: Path
) -> None:
    first, second = tmp_path / "first.zip", tmp_path / "elsewhere" / "second.zip"
    second.parent.mkdir()
    pack(flipbook, packed_shop, first)
    for path in packed_shop.root.rglob("*"):
        os.utime(path, (1_000_000_000, 1_000_000_000))
    (packed_shop.root / "sander.jpg").chmod(0o600)
    moved = packed_shop.root.rename(tmp_path / "moved_shop")
    ran = flipbook_process("year", "2026", "--pack", second, cwd=moved, env={"TZ": "Asia/Tokyo", "PYTHONHASHSEED": "7"})
    assert ran.code == DONE
    assert first.read_bytes() == second.read_bytes()
    with zipfile.ZipFile(first) as zipped:
        for entry in zipped.infolist():
            assert entry.date_time == (1980, 1, 1, 0, 0, 0)
            assert entry.external_attr >> 16 == 0o100644
            assert entry.compress_type == zipfile.ZIP_STORED


def test_a_file_that_is_there_is_refused_and_stays(flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path) -> None:
    there = tmp_path / "year.zip"
    there.write_bytes(b"last year's")
    ran = flipbook("year", "2026", "--shop", packed_shop.root, "--pack", there)
    assert (ran.code, ran.out) == (MISUSED, "")
    assert "is there already and stays as it is" in ran.err
    assert there.read_bytes() == b"last year's"
    dangling = tmp_path / "dangling.zip"
    dangling.symlink_to(tmp_path / "nowhere.zip")
    assert flipbook("year", "2026", "--shop", packed_shop.root, "--pack", dangling).code == MISUSED
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dangling.zip", "my_shop", "year.zip"]


@pytest.mark.parametrize(
    ("file", "code", "words"),
    [
        ("year.yaml", MISUSED, "name it as year.zip"),
        ("year", MISUSED, "name it as year.zip"),
        ("no/such/year.zip", MISUSED, "there is no folder"),
        ("x" * 260 + ".zip", PROBLEMS, "cannot be written"),
    ],
)
def test_a_place_that_cannot_take_a_pack_is_said(
    flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path, file: str, code: int, words: str
) -> None:
    ran = flipbook("year", "2026", "--shop", packed_shop.root, "--pack", tmp_path / file)
    assert (ran.code, ran.out) == (code, "")
    assert words in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["my_shop"]


def test_a_folder_that_cannot_be_written_is_said(flipbook: Flipbook, packed_shop: ShopWriter) -> None:
    # Nobody, root included, may make a file there.
    ran = flipbook("year", "2026", "--shop", packed_shop.root, "--pack", "/sys/kernel/year.zip")
    assert ran.code == PROBLEMS
    assert "/sys/kernel/year.zip cannot be written: " in ran.err
    assert "nothing was left there" in ran.err


def test_a_disk_that_takes_no_more_leaves_nothing_half_written(packed_shop: ShopWriter, tmp_path: Path) -> None:
    packed_shop.write({"receipts/scans/2026-02-20.jpg": bytes(400_000)})
    words = [sys.executable, "-m", "flipbook", "year", "2026", "--shop", packed_shop.root, "--pack", tmp_path / "y.zip"]
    # The shell's limit is in blocks of 512 or 1024 bytes: 200 of either are less than the scan.
    ran = subprocess.run(
        ["sh", "-c", 'ulimit -f 200; exec "$@"', "sh", *map(str, words)],
        env=flipbook_environment({"PYTHONDONTWRITEBYTECODE": "1"}),
        capture_output=True,
        timeout=PATIENCE,
        check=False,
    )
    said = ran.stderr.decode()
    assert ran.returncode == PROBLEMS, said
    assert "cannot be written" in said
    assert "Traceback" not in said
    assert [path.name for path in tmp_path.iterdir()] == ["my_shop"]


def _turned_into_pipe(scan: Path) -> None:
    scan.unlink()
    os.mkfifo(scan)


def _linked_away(scan: Path) -> None:
    scan.unlink()
    scan.symlink_to("/etc/hostname")


@pytest.mark.parametrize("spoil", [Path.unlink, _turned_into_pipe, _linked_away])
def test_a_scan_that_goes_between_the_check_and_the_copy_is_named(
    packed_shop: ShopWriter,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    spoil: Callable[[Path], None],
) -> None:
    def check_then_spoil(root: Path, *_: object) -> Outcome:
        outcome = check_shop(root)
        spoil(packed_shop.root / "receipts/scans/2026-02-20.jpg")
        return outcome

    monkeypatch.setattr("flipbook.cli.read_books.check_shop", check_then_spoil)
    code = main(["year", "2026", "--shop", str(packed_shop.root), "--pack", str(tmp_path / "year.zip")])
    said = capsys.readouterr()
    assert (code, said.out) == (PROBLEMS, "")
    assert "the scan receipts/scans/2026-02-20.jpg cannot be copied: " in said.err
    assert "was not written" in said.err
    assert [path.name for path in tmp_path.iterdir()] == ["my_shop"]


def test_a_shop_with_problems_makes_no_pack(flipbook: Flipbook, packed_shop: ShopWriter, tmp_path: Path) -> None:
    (packed_shop.root / "sander.jpg").unlink()
    ran = flipbook("year", "2026", "--shop", packed_shop.root, "--pack", tmp_path / "year.zip")
    assert ran.code == PROBLEMS
    assert "no-such-file" in ran.err
    assert [path.name for path in tmp_path.iterdir()] == ["my_shop"]


def test_slips_of_one_day_party_and_sum_get_numbers_whatever_their_case(
    flipbook: Flipbook, shop: ShopWriter, tmp_path: Path
) -> None:
    parties = ["Harbour Hardware", "HARBOUR HARDWARE", "Harbour  Hardware", "Cafe\u0301", "Café"]
    text = "".join(
        f'- {{on: 2026-02-20, from: "{party}", what: wax, cost: 9.00, for: supplies, scan: {number}.jpg}}\n'
        for number, party in enumerate(parties)
    )
    shop.piece().receipts(text).write({f"receipts/{number}.jpg": str(number) for number in range(len(parties))})
    content = pack(flipbook, shop, tmp_path / "year.zip")
    assert {name: data for name, data in content.items() if name.startswith("scans/")} == {
        "scans/2026-02-20 Harbour Hardware 9.00.jpg": b"0",
        "scans/2026-02-20 HARBOUR HARDWARE 9.00 (2).jpg": b"1",
        "scans/2026-02-20 Harbour Hardware 9.00 (3).jpg": b"2",
        "scans/2026-02-20 Café 9.00.jpg": b"3",
        "scans/2026-02-20 Café 9.00 (2).jpg": b"4",
    }


def test_a_slip_of_two_sheets_is_there_twice_and_a_sheet_of_two_slips_once(
    flipbook: Flipbook, shop: ShopWriter, tmp_path: Path
) -> None:
    # one.jpg shows 9.00 and 4.50, together 13.50; the second slip has a back.jpg of its own
    shop.piece().receipts(
        "- {on: 2026-02-20, from: Saltmarsh Supply, what: wax, cost: 9.00, for: supplies, scan: one.jpg}\n"
        "- {on: 2026-02-20, from: Saltmarsh Supply, what: rag, cost: 4.50, for: supplies, scan: [one.jpg, back.jpg]}\n"
    ).write({"receipts/one.jpg": "1", "receipts/back.jpg": "2"})
    content = pack(flipbook, shop, tmp_path / "year.zip")
    assert [name for name in content if name.startswith("scans/")] == [
        "scans/2026-02-20 Saltmarsh Supply 13.50.jpg",
        "scans/2026-02-20 Saltmarsh Supply 4.50.jpg",
    ]


HOSTILE = [
    "../../etc/passwd",
    "..\\..\\windows",
    'a:b*c?d"e<f>g|h',
    "CON",
    "nul.txt",
    ".hidden",
    "ends with dots...",
    "=HYPERLINK(1)",
    "<script>alert(1)</script>",
    "tab\\there and\\nline",
    "turned \\u202egpj.exe",
    "木" * 200,
    "é" * 200,
    "👩🏽‍🔧 workshop",
]


def test_no_partys_name_makes_a_file_name_that_a_file_system_refuses(
    flipbook: Flipbook, shop: ShopWriter, tmp_path: Path
) -> None:
    text = "".join(
        f"- {{on: 2026-02-20, from: {_quoted(party)}, what: wax, cost: {number}.00, for: supplies, scan: {number}.jpg}}\n"
        for number, party in enumerate(HOSTILE, 1)
    )
    shop.piece().receipts(text).write({f"receipts/{number}.jpg": "x" for number in range(1, len(HOSTILE) + 1)})
    content = pack(flipbook, shop, tmp_path / "year.zip")
    names = [name.removeprefix("scans/") for name in content if name.startswith("scans/")]
    assert len(names) == len(HOSTILE)
    for name in names:
        assert name.endswith(".jpg")
        assert _is_safe(name[:-4]), name
    assert "<script>" not in content["index.html"].decode()
    assert b"\r\n'=" not in content["index.csv"]
    with zipfile.ZipFile(tmp_path / "year.zip") as zipped:
        zipped.extractall(tmp_path / "out")
    assert sorted(path.name for path in (tmp_path / "out" / "scans").iterdir()) == sorted(names)


def _quoted(party: str) -> str:
    """A party between double quotes; `\\t`, `\\n` and `\\u` in it are YAML's own escapes."""
    if any(escape in party for escape in ("\\t", "\\n", "\\u")):
        return f'"{party}"'
    escaped = party.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


_DEVICES = re.compile(r"(?:CON|PRN|AUX|NUL|COM[0-9]|LPT[0-9])(?:\..*)?", re.IGNORECASE)


def _is_safe(stem: str) -> bool:
    return (
        not re.search(r"[/\\:*?\"<>|\x00-\x1f\x7f]", stem)
        and not any(unicodedata.category(sign) in ("Cc", "Cf", "Cs") for sign in stem)
        and len(stem.encode()) <= LONGEST_STEM
        and not stem.startswith((".", " "))
        and not stem.endswith((".", " "))
        and not _DEVICES.fullmatch(stem)
    )


@given(
    st.dates(date(1900, 1, 1), date(2100, 12, 31)),
    st.text(max_size=200),
    st.integers(0, 10**12),
    st.integers(1, 10**6),
)
def test_any_party_and_sum_make_a_name_for_every_file_system(day: date, party: str, cents: int, number: int) -> None:
    amount = Decimal(cents).scaleb(-2)
    stem = scan_stem(day, party, amount, number)
    assert _is_safe(stem), stem
    assert stem.startswith(day.isoformat())
    assert f"{amount:.2f}" in stem


def test_a_scan_without_a_plain_ending_or_a_party_still_gets_a_name(
    flipbook: Flipbook, shop: ShopWriter, tmp_path: Path
) -> None:
    shop.write(
        {
            "pieces/a/piece.yaml": "piece: A\nfound: {on: 2026-01-05, cost: 10.00, scan: slip}\n",
            "pieces/a/slip": "1",
            "pieces/b/piece.yaml": "piece: B\nfound: {on: 2026-01-06, from: Pell auction, cost: 10.00, scan: 's.j g'}\n",
            "pieces/b/s.j g": "2",
        }
    )
    names = [name for name in pack(flipbook, shop, tmp_path / "year.zip") if name.startswith("scans/")]
    assert names == ["scans/2026-01-05 10.00", "scans/2026-01-06 Pell auction 10.00"]


def test_a_year_without_any_scan_is_a_pack_all_the_same(flipbook: Flipbook, shop: ShopWriter, tmp_path: Path) -> None:
    ran = flipbook("year", "2026", "--shop", shop.piece().root, "--pack", tmp_path / "year.zip")
    assert ran.code == DONE
    assert ran.out.startswith("Wrote 5 tables and 0 scans of the tax year 2026 to ")
    assert "1 payment with no scan: see no-receipt-2026.csv in it." in ran.out
    assert rows(opened(tmp_path / "year.zip")["index.csv"]) == []


def test_a_year_that_starts_in_april_packs_its_own_days(flipbook: Flipbook, shop: ShopWriter, tmp_path: Path) -> None:
    text = "".join(
        f"- {{on: {day}, from: Harbour Hardware, what: wax, cost: 9.00, for: supplies, scan: {day}.jpg}}\n"
        for day in ("2026-04-05", "2026-04-06", "2027-04-05", "2027-04-06")
    )
    shop.write({"shop.yaml": "shop: Q\ncurrency: GBP\ntax: {rules: uk}\n", "receipts/all.yaml": text})
    shop.write({f"receipts/{day}.jpg": day for day in ("2026-04-05", "2026-04-06", "2027-04-05", "2027-04-06")})
    content = pack(flipbook, shop, tmp_path / "year.zip")
    assert [name for name in content if name.startswith("scans/")] == [
        "scans/2026-04-06 Harbour Hardware 9.00.jpg",
        "scans/2027-04-05 Harbour Hardware 9.00.jpg",
    ]
    ledger = rows(content["ledger-2026.csv"])
    assert [(row["date"], row["balance"]) for row in ledger] == [("2026-04-06", "-18.00"), ("2027-04-05", "-27.00")]
