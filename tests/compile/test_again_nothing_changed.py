"""A compile with nothing changed says so and writes nothing; whatever did change is noticed, and a note is never trusted."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from edited_shop import EDITS, Dice, make_shop
from pictures_with_metadata import busy_jpeg
from shop_writer import GOOD_PIECE, Ran, ShopWriter, flipbook_environment, run_flipbook

from flipbook import unchanged
from flipbook.shop import folder
from flipbook.unchanged import NOTE

UNCHANGED = "Nothing had changed"
A_TICK = 0.02
"""Seconds that are longer than a tick of the clock of any disk that tests run on."""
PIECE = "pieces/oak-stool/piece.yaml"
REPOSITORY = Path(__file__).resolve().parents[2]


def bytes_in(out: Path) -> dict[str, bytes]:
    """Every file of an output, the note apart, by its path there."""
    return {
        str(path.relative_to(out)): path.read_bytes() for path in out.rglob("*") if path.is_file() and path.name != NOTE
    }


def compiled(root: Path, out: Path | None = None) -> Ran:
    ran = run_flipbook("compile", root, *(("--out", out) if out else ()))
    assert ran.code == 0, ran.err
    return ran


@pytest.fixture
def settled(shop: ShopWriter) -> ShopWriter:
    """A shop with a receipt's scan, a photograph and a warning, compiled until nothing had changed."""
    shop.piece("bought:\n  - {on: 2026-01-06, from: M., what: felt, cost: 4.49, scan: slips/felt.jpg}\n")
    shop.piece("asking:\n  - {on: 2026-02-01, price: 95}\n", folder="pine-bench")
    shop.write(
        {
            "pieces/oak-stool/slips/felt.jpg": busy_jpeg((9, 9, 9)),
            "pieces/oak-stool/photos/after.jpg": busy_jpeg((90, 60, 30)),
        }
    )
    shop.write(
        {
            "receipts/2026.yaml": "- {on: 2026-01-02, from: M., what: wax, cost: 9.00, for: supplies}\n",
            "notes.yaml": "mine",
        }
    )
    compiled(shop.root)
    assert UNCHANGED in compiled(shop.root).out
    time.sleep(A_TICK)
    return shop


def test_nothing_changed_is_said_in_the_words_of_a_compile_and_nothing_is_written(settled: ShopWriter) -> None:
    out = settled.root / "out"
    note, stood = (out / NOTE).read_bytes(), {path: path.stat().st_mtime_ns for path in out.rglob("*")}
    again = compiled(settled.root)
    (out / NOTE).unlink()
    anew = compiled(settled.root)
    told, told_anew = again.out.splitlines(), anew.out.splitlines()
    assert told[:2] == told_anew[:2]
    assert told[3:] == told_anew[3:]
    counted = told[2].removeprefix(f"{UNCHANGED}: ").partition(f" in {out} are as they were.")[0]
    assert told_anew[2].startswith(f"Wrote {counted} to {out} in ")
    assert again.err == anew.err
    assert "notes.yaml" in again.err
    assert "1 thing to look at." in again.err
    assert note != b""
    assert {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.name != NOTE and path != out} == {
        path: at for path, at in stood.items() if path.name != NOTE and path != out
    }


def put(file: str, data: str | bytes) -> Callable[[Path], None]:
    def change(root: Path) -> None:
        (root / file).parent.mkdir(parents=True, exist_ok=True)
        (root / file).write_bytes(data.encode() if isinstance(data, str) else data)

    return change


def same_size_and_time(file: str) -> Callable[[Path], None]:
    """Another content as long as the last, with the last one's time of change put back."""

    def change(root: Path) -> None:
        path = root / file
        was, data = path.stat(), path.read_bytes()
        path.write_bytes(
            data.replace(b"Oak", b"Ash").replace(b"95", b"96").replace(b"9.00", b"8.00")
            if b"\xff" not in data
            else data[::-1]
        )
        assert path.read_bytes() != data
        os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))

    return change


def another_file_with_its_time(file: str) -> Callable[[Path], None]:
    """Another file of the same size and time, moved to where the last one was, as a copying program does it."""

    def change(root: Path) -> None:
        path = root / file
        was, aside = path.stat(), root.parent / "aside"
        aside.write_bytes(path.read_bytes().replace(b"Oak", b"Ash"))
        os.utime(aside, ns=(was.st_atime_ns, was.st_mtime_ns))
        aside.replace(path)

    return change


def link_in_place_of(path: Path) -> None:
    """A link to a file of the same bytes."""
    aside = path.parents[4] / "aside"
    shutil.move(path, aside)
    path.symlink_to(aside)


CHANGES = {
    "a log saved": put(PIECE, GOOD_PIECE + "wood: oak\n"),
    "a log saved as it was": put(PIECE, GOOD_PIECE),
    "a log with its size and time kept": same_size_and_time(PIECE),
    "a log put in place of the last": another_file_with_its_time(PIECE),
    "a receipt with its size and time kept": same_size_and_time("receipts/2026.yaml"),
    "a photograph replaced": put("pieces/oak-stool/photos/after.jpg", busy_jpeg((9, 90, 30))),
    "a photograph added": put("pieces/oak-stool/photos/before.jpg", busy_jpeg((9, 90, 30))),
    "a photograph taken away": lambda root: (root / "pieces/oak-stool/photos/after.jpg").unlink(),
    "the first photograph of a piece": put("pieces/pine-bench/photos/before.jpg", busy_jpeg((9, 90, 30))),
    "a piece added": put("pieces/elm-chair/piece.yaml", GOOD_PIECE),
    "a folder without a log added": lambda root: (root / "pieces/elm-chair").mkdir(),
    "a folder renamed": lambda root: (root / "pieces/pine-bench").rename(root / "pieces/pine-settle"),
    "a piece taken away": lambda root: shutil.rmtree(root / "pieces/pine-bench"),
    "products.yaml added": put("products.yaml", "products: {}\n"),
    "trips.yaml added": put("trips.yaml", "- {on: 2026-01-02, miles: 3, to: M.}\n"),
    "a receipt file added": put("receipts/2027.yaml", ""),
    "a stray file at the top": put("tool.yaml", ""),
    "a stray file in pieces/": put("pieces/notes.yaml", ""),
    "a stray file taken away": lambda root: (root / "notes.yaml").unlink(),
    "a file in years/": put("years/notes.yaml", ""),
    "a file of another size where a page is": put("out/portfolio/index.html", "mine"),
    "a page with its size and time kept": same_size_and_time("out/portfolio/oak-stool/index.html"),
    "a table with its size and time kept": same_size_and_time("out/books/ledger.csv"),
    "a page taken away": lambda root: (root / "out/portfolio/pine-bench/index.html").unlink(),
    "the books taken away": lambda root: shutil.rmtree(root / "out/books"),
    "the manifest taken away": lambda root: (root / "out/.made").unlink(),
    "a link where a page is": lambda root: link_in_place_of(root / "out/portfolio/oak-stool/index.html"),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_whatever_changed_is_noticed_and_all_is_made_as_a_first_compile_makes_it(
    settled: ShopWriter, tmp_path: Path, change: Callable[[Path], None]
) -> None:
    change(settled.root)
    assert UNCHANGED not in compiled(settled.root).out
    compiled(settled.root, tmp_path / "fresh")
    assert bytes_in(settled.root / "out") == bytes_in(tmp_path / "fresh")
    assert UNCHANGED in compiled(settled.root).out


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda root: (root / "pieces/oak-stool/slips/felt.jpg").unlink(), "there is no such file"),
        (put(PIECE, "piece: [\n"), "yaml"),
        (put("years/2025.yaml", ""), "the file is empty"),
    ],
    ids=["a scan taken away", "a log spoiled", "a seal that is none"],
)
def test_what_stops_the_books_is_noticed_and_stays_told_until_it_is_mended(
    settled: ShopWriter, change: Callable[[Path], None], told: str
) -> None:
    before = bytes_in(settled.root / "out")
    change(settled.root)
    for _ in range(2):
        ran = run_flipbook("compile", settled.root)
        assert ran.code == 1
        assert told in ran.err
        assert UNCHANGED not in ran.out
    assert bytes_in(settled.root / "out") == before


def test_a_picture_of_the_output_that_was_altered_is_made_again(settled: ShopWriter) -> None:
    before = bytes_in(settled.root / "out")
    pictures = list((settled.root / "out" / "portfolio" / "oak-stool").glob("picture-*"))
    assert pictures
    for picture in pictures:
        same_size_and_time(str(picture.relative_to(settled.root)))(settled.root)
    assert UNCHANGED not in compiled(settled.root).out
    assert bytes_in(settled.root / "out") == before


def test_a_copy_of_the_shop_with_its_output_keeps_its_pictures(settled: ShopWriter, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(settled.root, copy)
    pictures = {path: path.stat().st_mtime_ns for path in (copy / "out").rglob("picture-*")}
    assert pictures
    assert UNCHANGED not in compiled(copy).out
    assert {path: path.stat().st_mtime_ns for path in (copy / "out").rglob("picture-*")} == pictures


def test_two_shops_that_write_to_one_folder_are_told_apart(settled: ShopWriter, tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(settled.root, other, ignore=shutil.ignore_patterns("out"))
    (other / PIECE).write_text(GOOD_PIECE.replace("Oak", "Elm"))
    out = tmp_path / "site"
    for root, title in ((settled.root, "Oak stool"), (other, "Elm stool"), (settled.root, "Oak stool")):
        assert UNCHANGED not in compiled(root, out).out
        assert title in (out / "portfolio" / "oak-stool" / "index.html").read_text()
        assert UNCHANGED in compiled(root, out).out


@pytest.mark.parametrize("out", [".", "site", "site/deep"])
def test_the_output_may_stand_anywhere_in_the_shop(shop: ShopWriter, out: str) -> None:
    shop.piece()
    compiled(shop.root, shop.root / out)
    assert UNCHANGED in compiled(shop.root, shop.root / out).out


def test_another_version_of_the_program_or_of_a_template_compiles_again(shop: ShopWriter, tmp_path: Path) -> None:
    program = tmp_path / "program"
    for name in ("flipbook", "templates"):
        shutil.copytree(REPOSITORY / name, program / name, ignore=shutil.ignore_patterns("__pycache__"))
    shop.piece()

    def told() -> str:
        words = [sys.executable, "-m", "flipbook", "compile", str(shop.root)]
        surroundings = flipbook_environment({"PYTHONPATH": str(program), "PYTHONDONTWRITEBYTECODE": "1"})
        ran = subprocess.run(
            words, cwd=program, env=surroundings, capture_output=True, text=True, check=True, timeout=20
        )
        return ran.stdout

    told()
    for changed in (
        "templates/portfolio/index.html",
        "flipbook/books/rules/us_mileage.yaml",
        "flipbook/reports/tables.py",
    ):
        assert UNCHANGED in told()
        with (program / changed).open("a") as stream:
            stream.write("\n")
        assert UNCHANGED not in told(), changed
    (program / "templates/portfolio/style.css").write_text("body { color: black }")
    assert UNCHANGED not in told()
    assert (shop.root / "out/portfolio/style.css").read_text() == "body { color: black }"


NOTES: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda note: b"",
    "cut short": lambda note: note[: len(note) // 2],
    "without its last word": lambda note: note.removesuffix(b"whole\n"),
    "of another form": lambda note: note.replace(b", 1\n", b", 2\n", 1),
    "no text": lambda note: bytes(range(256)) * 40,
    "a line too many": lambda note: note.replace(b"\n\n", b"\n\n\n\n", 1),
    "brackets": lambda note: note.replace(b"\n\n[", b"\n\n" + b"[" * 100_000 + b"\n[", 1),
    "a warning that is none": lambda note: note.replace(b"\n\n[", b'\n\n{"a": 1}\n[', 1),
    "a warning with a list in it": lambda note: note.replace(b'\n\n["', b'\n\n[[], "', 1),
    "a number that is none": lambda note: note.replace(b"\n\n2\n", b"\n\ntwo\n", 1),
    "a number without end": lambda note: note.replace(b"\n\n2\n", b"\n\n" + b"9" * 10_000 + b"\n", 1),
    "what turns the text": lambda note: note.replace(b"The books foot", "\u202egnp".encode(), 1),
    "a path that leads nowhere": lambda note: note.replace(b"\tpieces/oak-stool\n", b"\tpieces/\0oak-stool\n", 1),
    "a path without end": lambda note: note.replace(b"\tpieces/oak-stool\n", b"\t" + b"x/" * 9000 + b"\n", 1),
    "a mark of another file": lambda note: note.replace(b"\tpieces/oak-stool\n", b"\treceipts\n", 1),
}


@pytest.mark.parametrize("spoil", NOTES.values(), ids=NOTES)
def test_a_damaged_or_hostile_note_leads_to_a_compile(settled: ShopWriter, spoil: Callable[[bytes], bytes]) -> None:
    out = settled.root / "out"
    before = bytes_in(out)
    note = (out / NOTE).read_bytes()
    assert spoil(note) != note
    (out / NOTE).write_bytes(spoil(note))
    ran = compiled(settled.root)
    assert UNCHANGED not in ran.out
    assert bytes_in(out) == before
    assert UNCHANGED in compiled(settled.root).out


def as_a_folder(path: Path) -> None:
    path.mkdir()


def as_a_pipe(path: Path) -> None:
    os.mkfifo(path)


def as_a_link(path: Path) -> None:
    path.symlink_to("/dev/zero")


@pytest.mark.parametrize("stands", [as_a_folder, as_a_pipe, as_a_link])
def test_what_stands_where_the_note_goes_is_never_waited_for(
    settled: ShopWriter, stands: Callable[[Path], None]
) -> None:
    note = settled.root / "out" / NOTE
    note.unlink()
    stands(note)
    assert UNCHANGED not in compiled(settled.root).out


def test_a_note_that_cannot_be_written_stops_nothing(shop: ShopWriter) -> None:
    shop.piece()
    (shop.root / "out").mkdir()
    as_a_folder(shop.root / "out" / NOTE)
    for _ in range(2):
        assert "Wrote" in compiled(shop.root).out


def test_a_file_saved_twice_within_one_tick_of_the_disks_clock_is_looked_into(
    shop: ShopWriter, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Made by hand: the note gets the mark that the second save left, as it would be were both in one tick."""
    shop.piece("wood: oak\n")
    compiled(shop.root)
    assert UNCHANGED in compiled(shop.root).out
    out, path = shop.root / "out", shop.root / PIECE
    before = unchanged.mark_of(str(path))
    shop.piece("wood: elm\n")
    note = (out / NOTE).read_text()
    assert note.count(before) == 1
    (out / NOTE).write_text(note.replace(before, unchanged.mark_of(str(path))))
    assert UNCHANGED not in compiled(shop.root).out
    assert "elm" in (out / "portfolio/oak-stool/index.html").read_text()


def test_every_file_and_folder_of_the_shop_that_a_compile_opens_is_in_its_note(settled: ShopWriter) -> None:
    """As the interpreter itself tells of them, whichever module does it."""
    (settled.root / "notes.yaml").unlink()  # it is opened to show the warning of it
    code = """
import os, sys
opened, root = set(), sys.argv[1]
def hook(event, given):
    if event in ("open", "os.listdir", "os.scandir") and given and isinstance(given[0], (str, os.PathLike)):
        path = os.path.relpath(os.path.abspath(os.fspath(given[0])), root)
        if not path.startswith(("..", "out")):
            opened.add(path)
sys.addaudithook(hook)
from flipbook.cli.main import main
assert main(["compile", root]) == 0
import json
sys.stderr.write("OPENED " + json.dumps(sorted(opened)))
"""
    ran = subprocess.run(
        [sys.executable, "-c", code, str(settled.root)],
        env=flipbook_environment(), capture_output=True, text=True, check=True, timeout=20,
    )  # fmt: skip
    opened = set(json.loads(ran.stderr.rpartition("OPENED ")[2])) - {"."}
    note = (settled.root / "out" / NOTE).read_text()
    noted = {line.rpartition("\t")[2] for line in note.splitlines() if "\t" in line}
    assert {"shop.yaml", PIECE, "pieces", "receipts", "pieces/oak-stool/photos/after.jpg"} <= opened
    assert opened <= noted, opened - noted


@pytest.mark.parametrize("seed", range(3))
def test_after_any_edit_a_compile_is_as_a_first_one_and_says_unchanged_only_when_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], seed: int
) -> None:
    from flipbook.cli.main import main

    monkeypatch.setattr(folder, "MARGIN", 0)
    dice = Dice(seed)
    root, out = tmp_path / "shop", tmp_path / "out"
    make_shop(root, 8, seed)
    said_unchanged = 0
    for number in range(25):
        before = bytes_in(root)
        for _ in range(dice.below(2)):
            dice.choice(EDITS)(root, dice)
        is_same = bytes_in(root) == before
        time.sleep(A_TICK)
        ended = main(["compile", str(root), "--out", str(out)])
        told = capsys.readouterr().out
        fresh = tmp_path / f"fresh-{number}"
        assert ended == main(["compile", str(root), "--out", str(fresh)])
        capsys.readouterr()
        if ended == 0:
            assert bytes_in(out) == bytes_in(fresh)
        if UNCHANGED in told:
            said_unchanged += 1
            assert is_same
    assert said_unchanged >= 3


def test_a_kill_at_any_moment_leaves_a_note_that_is_right_or_none(settled: ShopWriter, tmp_path: Path) -> None:
    out = settled.root / "out"
    words = [sys.executable, "-m", "flipbook", "compile", str(settled.root)]
    started = time.monotonic()
    compiled(settled.root, tmp_path / "timed")
    took = time.monotonic() - started
    for number in range(1, 13):
        settled.piece(f"wood: oak number {number}\n")
        running = subprocess.Popen(
            words, env=flipbook_environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        time.sleep(took * number / 12)
        running.send_signal(signal.SIGKILL)
        running.wait()
        compiled(settled.root)
        assert f"oak number {number}" in (out / "portfolio/oak-stool/index.html").read_text()
    settled.piece("wood: elm\n")
    assert UNCHANGED not in compiled(settled.root).out
    assert not list(out.glob(".making-*"))
