"""The output is whole or as it was, whatever stops a compile; and nothing of the maker's own is touched."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from pictures_with_metadata import busy_jpeg

from flipbook.cli.main import main
from flipbook.unchanged import NOTE
from flipbook.writing import Output

TRIES = 20
SURROUNDINGS = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])}


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, by its path there; the note of what this machine looked at is none of the output."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != NOTE)
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def own_files(root: Path) -> dict[str, bytes]:
    """The shop's own files: all but what is compiled."""
    return {name: data for name, data in snapshot(root).items() if not name.startswith("out/")}


@pytest.fixture
def two_pieces(shop: Any) -> Any:
    """A shop with a stool and a bench, each with a picture, compiled once."""
    shop.piece("bought:\n  - {on: 2026-01-06, from: Harbour Hardware, what: felt feet, cost: 4.49}\n")
    shop.piece("asking:\n  - {on: 2026-02-01, price: 95}\n", folder="pine-bench")
    shop.write({"pieces/oak-stool/photos/after.jpg": busy_jpeg((90, 60, 30))})
    shop.write({"pieces/pine-bench/photos/before.jpg": busy_jpeg((200, 170, 120))})
    assert main(["compile", str(shop.root)]) == 0
    return shop


BROKEN = {
    "a piece that cannot be read": {"pieces/oak-stool/piece.yaml": "piece: [\n"},
    "a sum that cannot be read": {
        "pieces/oak-stool/piece.yaml": "piece: Stool\nfound: {on: 2026-01-05, cost: 10.005}\n"
    },
    "a product never bought": {
        "pieces/oak-stool/piece.yaml": "piece: Stool\nfound: {on: 2026-01-05, cost: 1}\nlog:\n  - {on: 2026-01-06, did: waxed, used: [1 oz wax]}\n"
    },
    "no shop.yaml that can be read": {"shop.yaml": "shop: \ncurrency: USD\n"},
}


@pytest.mark.parametrize("files", BROKEN.values(), ids=BROKEN)
def test_a_shop_with_problems_leaves_the_last_good_output_alone(
    two_pieces: Any, flipbook: Callable[..., Any], files: dict[str, str]
) -> None:
    before = snapshot(two_pieces.root / "out")
    two_pieces.write(files)
    ran = flipbook("compile", two_pieces.root)
    assert ran.code == 1
    assert "nothing was written" in ran.err
    assert snapshot(two_pieces.root / "out") == before


def test_a_piece_taken_out_takes_its_page_and_pictures_with_it(two_pieces: Any, flipbook: Callable[..., Any]) -> None:
    public = two_pieces.root / "out" / "portfolio"
    assert list((public / "pine-bench").glob("*.jpg"))
    for path in sorted((two_pieces.root / "pieces" / "pine-bench").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    (two_pieces.root / "pieces" / "pine-bench").rmdir()
    assert flipbook("compile", two_pieces.root).code == 0
    assert not (public / "pine-bench").exists()
    assert (public / "oak-stool" / "index.html").exists()
    assert "pine-bench" not in (public / "index.html").read_text("utf-8")


OWN_NAMES = ("portfolio/robots.txt", "portfolio/oak-stool/mine.html", "portfolio/pine-bench/plan.pdf", "books/2026-notes.txt", "notes/a.txt")  # fmt: skip


def test_a_file_of_the_makers_own_in_the_output_stays(two_pieces: Any, flipbook: Callable[..., Any]) -> None:
    out = two_pieces.root / "out"
    for name in OWN_NAMES:
        (out / name).parent.mkdir(exist_ok=True)
        (out / name).write_text(f"mine: {name}")
    (two_pieces.root / "pieces" / "pine-bench" / "piece.yaml").unlink()
    assert flipbook("compile", two_pieces.root).code == 0
    assert {name: (out / name).read_text() for name in OWN_NAMES} == {name: f"mine: {name}" for name in OWN_NAMES}
    assert not (out / "portfolio" / "pine-bench" / "index.html").exists()


def test_a_file_that_an_earlier_compile_made_can_be_deleted_by_hand(
    two_pieces: Any, flipbook: Callable[..., Any]
) -> None:
    out = two_pieces.root / "out"
    before = snapshot(out)
    for name in before:
        if name.endswith((".jpg", ".html")):
            (out / name).unlink()
    assert flipbook("compile", two_pieces.root).code == 0
    assert snapshot(out) == before


MANIFESTS = {
    "names a file above": "../shop.yaml\n../pieces/oak-stool/piece.yaml\nportfolio/../../shop.yaml\n",
    "names a file by its whole path": "{root}/shop.yaml\n",
    "names a folder": "portfolio\nbooks\nportfolio/oak-stool\n.\n",
    "is not text": "\udcff\udcfe\n",
    "is empty": "",
}


@pytest.mark.parametrize("text", MANIFESTS.values(), ids=MANIFESTS)
def test_a_damaged_manifest_costs_nothing_of_the_shops_own(
    two_pieces: Any, flipbook: Callable[..., Any], text: str
) -> None:
    whole = snapshot(two_pieces.root / "out")
    owned = own_files(two_pieces.root)
    (two_pieces.root / "out" / ".made").write_bytes(
        text.replace("{root}", str(two_pieces.root)).encode("utf-8", "surrogateescape")
    )
    assert flipbook("compile", two_pieces.root).code == 0
    assert own_files(two_pieces.root) == owned
    assert snapshot(two_pieces.root / "out") == whole


def killed_after(root: Path, seconds: float) -> bool:
    """Start a compile and kill it; whether it was still running then."""
    running = subprocess.Popen(
        [sys.executable, "-m", "flipbook", "compile", str(root)],
        env=SURROUNDINGS,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    time.sleep(seconds)
    was_running = running.poll() is None
    running.send_signal(signal.SIGKILL)
    running.wait()
    return was_running


def test_a_compile_killed_at_any_moment_leaves_every_file_whole(shop: Any) -> None:
    def wanted(number: int) -> None:
        for piece in range(8):
            shop.piece(f"asking:\n  - {{on: 2026-02-01, price: {100 + number}}}\n", folder=f"stool-{piece}")
            shop.write({f"pieces/stool-{piece}/photos/after.jpg": busy_jpeg((number * 9, piece * 9, 90), (700, 500))})

    out = shop.root / "out"
    wanted(0)
    started = time.monotonic()
    assert not subprocess.call(
        [sys.executable, "-m", "flipbook", "compile", str(shop.root)],
        env=SURROUNDINGS,
        stdout=subprocess.DEVNULL,
    )
    took = time.monotonic() - started
    old = snapshot(out)
    stopped = 0
    for number in range(1, TRIES + 1):
        wanted(number)
        owned = own_files(shop.root)
        stopped += killed_after(shop.root, took * number / TRIES)
        assert own_files(shop.root) == owned
        left = {name: data for name, data in snapshot(out).items() if not name.startswith(".ma")}
        assert main(["compile", str(shop.root)]) == 0
        new = snapshot(out)
        clean = shop.root.parent / f"clean-{number}"
        assert main(["compile", str(shop.root), "--out", str(clean)]) == 0
        assert new == snapshot(clean)
        for name, data in left.items():
            assert data in (old.get(name), new.get(name)), name
        assert {name for name in old.keys() & new.keys() if not name.startswith(".ma")} <= left.keys()
        old = new
    assert stopped >= TRIES // 4


ENDED_AFTER = """
import os, sys
from flipbook.cli.main import main

left, move = int(sys.argv[2]), os.replace

def move_or_end(source, target):
    global left
    if not left:
        os._exit(9)
    left -= 1
    move(source, target)

os.replace = move_or_end
main(["compile", sys.argv[1]])
"""


def test_an_end_between_any_two_moves_into_place_is_mended_by_the_next_compile(two_pieces: Any, tmp_path: Path) -> None:
    """Mended whichever way the shop went since: on with what was being compiled, or back to what was before."""
    shop, out = two_pieces.root, two_pieces.root / "out"
    old, given = snapshot(out), own_files(shop)
    changed = {
        "pieces/oak-stool/piece.yaml": given["pieces/oak-stool/piece.yaml"]
        + b"asking: [{on: 2026-02-01, price: 120}]\n",
        "pieces/oak-stool/photos/after.jpg": busy_jpeg((10, 90, 60)),
        "pieces/new-chair/piece.yaml": given["pieces/pine-bench/piece.yaml"],
    }
    two_pieces.write(changed)
    assert main(["compile", str(shop), "--out", str(tmp_path / "clean")]) == 0
    clean = snapshot(tmp_path / "clean")
    # Files that would get the bytes that they have are not moved, so that there are fewer moves than files.
    fewest = sum(old.get(name) != data for name, data in clean.items())
    for moves in count():
        two_pieces.write(changed)
        words = [sys.executable, "-c", ENDED_AFTER, str(shop), str(moves)]
        ended = subprocess.call(words, env=SURROUNDINGS, stdout=subprocess.DEVNULL)
        if ended == 0 and moves >= fewest:
            assert snapshot(out) == clean
            break
        assert ended == 9
        there = {name: data for name, data in snapshot(out).items() if not name.startswith(".ma")}
        assert all(data in (old.get(name), clean.get(name)) for name, data in there.items())
        if moves % 2:
            assert main(["compile", str(shop)]) == 0
            assert snapshot(out) == clean
        shutil.rmtree(shop / "pieces" / "new-chair")
        two_pieces.write(given)
        assert main(["compile", str(shop)]) == 0
        assert snapshot(out) == old


@pytest.mark.parametrize("name", ["pieces", "pieces/oak-stool", "pieces/oak-stool/out", "receipts", "receipts/out"])
def test_the_output_may_not_stand_among_the_shops_own_files(
    two_pieces: Any, flipbook: Callable[..., Any], name: str
) -> None:
    owned = own_files(two_pieces.root)
    ran = flipbook("compile", two_pieces.root, "--out", two_pieces.root / name)
    assert ran.code == 2
    assert "where the shop's own files are" in ran.err
    assert own_files(two_pieces.root) == owned


@pytest.mark.parametrize("name", [".", "."[:0]], ids=["the shop itself", "nothing"])
def test_the_shops_own_folder_as_output_keeps_its_files(
    two_pieces: Any, flipbook: Callable[..., Any], name: str
) -> None:
    owned = own_files(two_pieces.root)
    flipbook("compile", two_pieces.root, "--out", name, cwd=two_pieces.root)
    there = own_files(two_pieces.root)
    assert {file: there.get(file) for file in owned} == owned


def test_a_link_into_pieces_is_no_output(two_pieces: Any, flipbook: Callable[..., Any], tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(two_pieces.root / "pieces")
    assert flipbook("compile", two_pieces.root, "--out", tmp_path / "link").code == 2


def test_out_that_is_a_file_is_refused(shop: Any, flipbook: Callable[..., Any]) -> None:
    shop.piece().write({"out": "my notes"})
    ran = flipbook("compile", shop.root)
    assert (ran.code, ran.out) == (2, "")
    assert "there is a file of that name" in ran.err
    assert (shop.root / "out").read_text() == "my notes"


def test_a_file_on_the_way_to_the_output_is_told_in_a_sentence(
    shop: Any, flipbook: Callable[..., Any], tmp_path: Path
) -> None:
    (tmp_path / "note").write_text("mine")
    ran = flipbook("compile", shop.piece().root, "--out", tmp_path / "note" / "out")
    assert ran.code in (1, 2)
    assert ran.err.startswith("flipbook: ")
    assert ran.err.count("\n") == 1
    assert (tmp_path / "note").read_text() == "mine"


def test_a_folder_where_a_page_goes_is_told_in_a_sentence(two_pieces: Any, flipbook: Callable[..., Any]) -> None:
    page = two_pieces.root / "out" / "portfolio" / "pine-bench" / "index.html"
    page.unlink()
    page.mkdir()
    (page / "mine.txt").write_text("mine")
    two_pieces.piece("asking:\n  - {on: 2026-02-01, price: 120}\n")
    before = snapshot(two_pieces.root / "out")
    ran = flipbook("compile", two_pieces.root)
    assert ran.code == 1
    assert "cannot be written" in ran.err
    assert "what was there before stays as it was" in ran.err
    assert snapshot(two_pieces.root / "out") == before


@pytest.mark.parametrize("writes", [0, 1, 3, 7, 12])
def test_a_full_disk_leaves_nothing_half_written(
    two_pieces: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], writes: int
) -> None:
    before = snapshot(two_pieces.root / "out")
    two_pieces.piece("asking:\n  - {on: 2026-02-01, price: 120}\n")
    two_pieces.write({"pieces/oak-stool/photos/after.jpg": busy_jpeg((10, 90, 60))})
    write, count = Output.write, iter(range(writes))

    def write_until_full(self: Output, file: str, data: bytes) -> None:
        if next(count, None) is None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        write(self, file, data)

    monkeypatch.setattr(Output, "write", write_until_full)
    capsys.readouterr()
    assert main(["compile", str(two_pieces.root)]) == 1
    told = capsys.readouterr().err
    assert told.startswith("flipbook: the output cannot be written")
    assert "no space left on device" in told
    assert told.count("\n") == 1
    assert snapshot(two_pieces.root / "out") == before
    monkeypatch.undo()
    assert main(["compile", str(two_pieces.root)]) == 0
