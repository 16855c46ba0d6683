"""Which paths matter, and which saves belong together; without a clock and without a system that tells."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from watching import WAYS_TO_SAVE

from flipbook.watch.saves import AT_MOST, COPY_AT_MOST, COPY_QUIET, LOOK_EVERY, QUIET, Files, Gathering, may_grow

TEXT, PICTURE, FOLDER = "pieces/a/piece.yaml", "pieces/a/photos/after.jpg", "pieces/a/"

DUE = [
    ([], None),
    ([(0.0, TEXT)], QUIET),
    ([(0.0, FOLDER)], QUIET),
    ([(0.0, TEXT), (0.1, TEXT)], 0.1 + QUIET),
    ([(0.0, TEXT), (0.1, "receipts/2026.yaml")], 0.1 + QUIET),
    ([(0.15 * n, TEXT) for n in range(20)], AT_MOST),
    ([(0.0, PICTURE)], COPY_QUIET),
    ([(0.5 * n, PICTURE) for n in range(20)], 9.5 + COPY_QUIET),
    ([(0.5 * n, PICTURE) for n in range(100)], COPY_AT_MOST),
    ([(5.0, TEXT), *((5.1 + 0.1 * n, PICTURE) for n in range(20))], 5.0 + AT_MOST),
    ([*((0.1 * n, PICTURE) for n in range(20)), (1.9, TEXT)], 1.9 + QUIET),
]


@pytest.mark.parametrize(("saves", "due"), DUE)
def test_a_look_is_due_when_it_has_been_quiet_or_the_first_has_waited_long_enough(
    saves: list[tuple[float, str]], due: float | None
) -> None:
    gathering = Gathering()
    for now, file in saves:
        gathering.note(file, now)
    assert gathering.due() == (None if due is None else pytest.approx(due))


def test_what_is_taken_is_each_file_once_in_order_and_which_of_them_may_be_growing() -> None:
    gathering = Gathering()
    for now, file in [(0.0, "shop.yaml"), (0.1, "receipts/scans/a.pdf"), (0.2, TEXT), (0.3, TEXT), (0.9, PICTURE)]:
        gathering.note(file, now)
    assert gathering.take(1.0) == ([PICTURE, TEXT, "receipts/scans/a.pdf", "shop.yaml"], [PICTURE])
    assert gathering.due() is None
    assert gathering.take(1.0) == ([], [])


@given(st.lists(st.tuples(st.floats(0, 60), st.sampled_from([TEXT, PICTURE, FOLDER])), min_size=1))
def test_no_save_waits_longer_than_it_may_and_none_is_lost(saves: list[tuple[float, str]]) -> None:
    gathering = Gathering()
    waiting: dict[str, float] = {}
    for now, file in sorted(saves):
        due = gathering.due()
        if due is not None and due <= now:
            taken, _ = gathering.take(due)
            assert set(taken) == waiting.keys()
            waiting.clear()
        waiting.setdefault(file, now)
        gathering.note(file, now)
        due = gathering.due()
        assert due is not None
        for name, since in waiting.items():
            assert due <= since + (COPY_AT_MOST if may_grow(name) else AT_MOST) + 1e-9
        assert due >= now or any(due >= since + AT_MOST - 1e-9 for since in waiting.values())
    assert set(gathering.take(100.0)[0]) == waiting.keys()


MATTERS = [
    "shop.yaml", "tools.yaml", "pieces/a/piece.yaml", "pieces/a/photos/before-front.jpg", "pieces/a/photos/IMG_4913.JPG",
    "receipts/2026.yaml", "receipts/scans/2026-02-20.pdf", "years/2025.yaml", "pieces/a/receipts/mill-road.txt",
    "scans/a.png", "shop.yml", "pieces/output/piece.yaml", "pieces/out/piece.yaml", "outlet.yaml", "out.yaml",
    "pieces/tmp/piece.yaml", "pieces/a~/piece.yaml", "pieces/4913/piece.yaml", "receipts/sedan chair.yaml", "pieces/é/p.jpg",
]  # fmt: skip
MATTERS_NOT = [
    "out/books/index.html", "out/.made", "out/x", ".git/HEAD", ".shop.yaml.swp", "pieces/.trash/piece.yaml",
    "pieces/a/.piece.yaml.new", "pieces/a/piece.yaml~", "pieces/a/#piece.yaml#", "pieces/a/.#piece.yaml", "pieces/a/4913",
    "pieces/a/piece.yaml.tmp", "pieces/a/piece.yaml.tmp.4711", "pieces/a/piece.yaml.bak", "pieces/a/piece.yaml.swp",
    "pieces/a/photos/front.jpg.part", "pieces/a/photos/front.jpg.crdownload", "pieces/a/sedA1b2C3", "pieces/a/.goutputstream-X1",
    "pieces/a/piece.yaml___jb_tmp___", ".DS_Store", "pieces/.DS_Store", "pieces/a/photos/._front.jpg",
]  # fmt: skip


def written(root: Path, names: list[str]) -> None:
    for name in names:
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text("x")


def test_the_files_that_a_shop_may_read_matter_and_what_is_made_hidden_or_kept_aside_does_not(tmp_path: Path) -> None:
    written(tmp_path, MATTERS + MATTERS_NOT)
    marks = Files(tmp_path, tmp_path / "out").marks()
    assert sorted(file for file in marks if not file.endswith("/")) == sorted(MATTERS)
    folders = {file for file in marks if file.endswith("/")}
    assert {"./", "pieces/", "pieces/4913/", "pieces/a~/", "scans/"} <= folders
    assert not folders & {"out/", ".git/", "pieces/.trash/"}


def saved_by(act: Callable[[], object], files: Files) -> list[str]:
    act()
    return files.saved()


def test_what_was_saved_is_told_once_by_its_path(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    written(root, ["shop.yaml", "pieces/a/piece.yaml", "kept.yaml"])
    (root / "linked.yaml").symlink_to(root / "kept.yaml")
    files = Files(root, root / "out")
    assert files.saved() == []
    piece = root / "pieces" / "a" / "piece.yaml"
    assert saved_by(lambda: piece.write_text("xy"), files) == ["pieces/a/piece.yaml"]
    assert files.saved() == []
    assert saved_by(lambda: written(root, ["pieces/b/piece.yaml"]), files) == ["pieces/b/", "pieces/b/piece.yaml"]
    assert saved_by(lambda: (root / "pieces" / "b").rename(root / "c"), files) == [
        "c/", "c/piece.yaml", "pieces/b/", "pieces/b/piece.yaml"
    ]  # fmt: skip
    assert saved_by(lambda: (root / "kept.yaml").write_text("longer"), files) == ["kept.yaml", "linked.yaml"]
    assert saved_by((root / "linked.yaml").unlink, files) == ["linked.yaml"]
    assert saved_by(lambda: written(root, ["out/books/ledger.csv", ".git/HEAD", "shop.yaml~"]), files) == []
    root.rename(tmp_path / "moved")
    assert "./" in files.saved()


@pytest.mark.parametrize("save", WAYS_TO_SAVE.values(), ids=WAYS_TO_SAVE)
def test_a_save_in_an_editors_manner_is_that_file_and_no_other(
    tmp_path: Path, save: Callable[[Path, str], None]
) -> None:
    written(tmp_path, ["pieces/a/piece.yaml"])
    files = Files(tmp_path, tmp_path / "out")
    save(tmp_path / "pieces" / "a" / "piece.yaml", "saved")
    assert files.saved() == ["pieces/a/piece.yaml"]


OUTS = [
    ("shop/out", ["pieces", "portfolio", "scans"]),
    ("elsewhere", ["pieces", "portfolio", "scans"]),
    ("shop/scans", ["pieces", "portfolio"]),
    ("shop", ["pieces", "scans"]),
    (".", ["pieces", "portfolio", "scans"]),
]


@pytest.mark.parametrize(("out", "folders"), OUTS)
def test_the_folders_rung_for_are_those_at_the_top_without_what_is_made(
    tmp_path: Path, out: str, folders: list[str]
) -> None:
    for name in ("pieces/a", "scans", "out", "portfolio", ".git"):
        (tmp_path / "shop" / name).mkdir(parents=True)
    (tmp_path / "shop" / "linked").symlink_to(tmp_path)
    files = Files(tmp_path / "shop", tmp_path / out)
    assert [path for path, _ in files.folders()] == [f"{files.root}/{name}" for name in folders]
    assert {file for file in files.marks() if file.count("/") == 1} == {"./", *(f"{name}/" for name in folders)}


def test_looks_that_nobody_rang_for_hardly_cost_anything(tmp_path: Path) -> None:
    files = Files(tmp_path, tmp_path / "out")
    assert files.rest == LOOK_EVERY
    files.seconds = 0.05
    assert files.seconds / files.rest <= 1 / 200 + 1e-9
