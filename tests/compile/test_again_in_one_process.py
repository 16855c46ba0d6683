"""A compiler that is kept: whatever was edited, what it leaves is the same to the byte as a first compile's."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from edited_shop import EDITS, Dice, make_shop, write_all
from pictures_with_metadata import busy_jpeg
from shop_writer import ShopWriter

from flipbook import rendering
from flipbook.compile import Compiler, compile_shop
from flipbook.portfolio import pictures
from flipbook.remembering import Answers
from flipbook.shop import folder
from flipbook.unchanged import NOTE

ROUNDS = 20
A_TICK = 0.02
"""Seconds that are longer than a tick of the clock of any disk that tests run on."""


def bytes_in(out: Path) -> dict[str, bytes]:
    """Every file of an output, the note apart, by its path there."""
    return {
        str(path.relative_to(out)): path.read_bytes() for path in out.rglob("*") if path.is_file() and path.name != NOTE
    }


def marks_in(out: Path) -> dict[str, tuple[int, int]]:
    """When each file of an output was last written, and its number on the disk."""
    found = {str(path.relative_to(out)): path.stat() for path in out.rglob("*") if path.is_file()}
    return {name: (stat.st_mtime_ns, stat.st_ino) for name, stat in found.items()}


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("margin", [2_000_000_000, 0], ids=["all saved just now", "marks are relied on"])
def test_after_any_edits_every_byte_is_as_a_first_compile_writes_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int, margin: int
) -> None:
    monkeypatch.setattr(folder, "MARGIN", margin)
    dice = Dice(seed)
    root, out = tmp_path / "shop", tmp_path / "out"
    make_shop(root, 24, seed)
    compiler = Compiler(root, out)
    assert compiler.compile().books is not None
    good, last_good = 0, bytes_in(root)
    for number in range(ROUNDS):
        for _ in range(dice.below(3)):
            dice.choice(EDITS)(root, dice)
        time.sleep(A_TICK)
        before, stood = bytes_in(out), marks_in(out)
        kept = compiler.compile()
        fresh = compile_shop(root, tmp_path / f"fresh-{number}")
        assert kept.problems == fresh.problems
        if fresh.books is None:
            assert kept.books is None
            assert bytes_in(out) == before
            write_all(root, last_good)
            continue
        good, last_good = good + 1, bytes_in(root)
        after = bytes_in(out)
        assert after == bytes_in(tmp_path / f"fresh-{number}")
        assert (kept.pages, kept.tables, kept.pictures) == (fresh.pages, fresh.tables, fresh.pictures)
        differ = {name for name in before.keys() | after.keys() if before.get(name) != after.get(name)}
        assert set(kept.changed) == differ - {".made"}
        assert list(kept.changed) == sorted(kept.changed)
        now = marks_in(out)
        assert all(now[name] == stood[name] for name in before.keys() & after.keys() - differ)
    assert good > ROUNDS // 3


def counting(monkeypatch: pytest.MonkeyPatch, module: object, name: str) -> list[object]:
    """What a function of a module is called with from now on."""
    calls: list[object] = []
    work = getattr(module, name)

    def counted(*given: object, **named: object) -> object:
        calls.append(given)
        return work(*given, **named)

    monkeypatch.setattr(module, name, counted)
    return calls


@pytest.fixture
def three_pieces(shop: ShopWriter) -> ShopWriter:
    for name in ("oak-stool", "pine-bench", "elm-chair"):
        shop.piece("log:\n  - 2026-01-06 40 min sanded\n", folder=name)
    shop.write({"pieces/elm-chair/photos/after.jpg": busy_jpeg((90, 60, 30))})
    return shop


def test_after_one_log_was_saved_that_file_alone_is_read_and_that_page_alone_is_rendered(
    three_pieces: ShopWriter, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder, "MARGIN", 0)
    time.sleep(A_TICK)
    compiler = Compiler(three_pieces.root, tmp_path / "out")
    compiler.compile()
    three_pieces.piece("log:\n  - 2026-01-06 40 min sanded by hand\n")
    time.sleep(A_TICK)
    composed = counting(monkeypatch, folder.ShopFolder, "read")
    decoded = counting(monkeypatch, pictures, "_read")
    outcome = compiler.compile()
    assert [file for _, file in composed if "/piece.yaml" in str(file)] == ["pieces/oak-stool/piece.yaml"]
    assert decoded == []
    assert outcome.changed == ("portfolio/oak-stool/index.html",)


def test_a_compile_of_what_did_not_change_changes_nothing(three_pieces: ShopWriter, tmp_path: Path) -> None:
    out = tmp_path / "out"
    compiler = Compiler(three_pieces.root, out)
    first = compiler.compile()
    assert set(first.changed) == bytes_in(out).keys() - {".made"}
    stood = marks_in(out)
    assert compiler.compile().changed == ()
    assert marks_in(out) == stood
    assert Compiler(three_pieces.root, out).compile().changed == ()
    assert compile_shop(three_pieces.root, out).changed == ()
    assert marks_in(out) == stood


def test_what_a_hand_altered_or_took_away_is_made_again(three_pieces: ShopWriter, tmp_path: Path) -> None:
    out = tmp_path / "out"
    compiler = Compiler(three_pieces.root, out)
    compiler.compile()
    whole = bytes_in(out)
    for name, data in whole.items():
        if name == ".made":
            continue
        path = out / name
        was = path.stat()
        path.write_bytes(bytes([data[0] ^ 1, *data[1:]]))  # as long as it was
        os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))
        assert compiler.compile().changed == (name,)
        assert bytes_in(out) == whole
        path.unlink()
        assert compiler.compile().changed == (name,)
        assert bytes_in(out) == whole


def test_two_compilers_of_two_shops_share_nothing(tmp_path: Path) -> None:
    shops = [ShopWriter(tmp_path / name).piece(f"wood: {name}\n") for name in ("oak", "pine")]
    compilers = [Compiler(shop.root, shop.root / "out") for shop in shops]
    for _ in range(2):
        for compiler in compilers:
            compiler.compile()
    for shop, other in zip(shops, reversed(shops), strict=True):
        page = (shop.root / "out" / "portfolio" / "oak-stool" / "index.html").read_text()
        assert shop.root.name in page
        assert other.root.name not in page


def test_a_compile_that_is_stopped_half_way_leaves_the_next_one_right(three_pieces: ShopWriter, tmp_path: Path) -> None:
    class Stopped(Exception):
        pass

    def stop_at(number: int) -> None:
        ticks = iter(range(number))

        def tick(what: str, done: int, of: int) -> None:
            if next(ticks, None) is None:
                raise Stopped

        compiler.compile(tick)

    compiler = Compiler(three_pieces.root, tmp_path / "out")
    compiler.compile()
    three_pieces.piece("bought:\n  - {on: 2026-01-06, from: M., what: felt, cost: 4.49}\n")
    for number in range(4):
        with pytest.raises(Stopped):
            stop_at(number)
    compiler.compile()
    compile_shop(three_pieces.root, tmp_path / "fresh")
    assert bytes_in(tmp_path / "out") == bytes_in(tmp_path / "fresh")


def test_an_answer_is_handed_out_again_only_for_equal_input_and_the_same_use() -> None:
    asked: list[object] = []

    def work(given: object) -> tuple[object]:
        asked.append(given)
        return (given,)

    answers = Answers()
    first = answers("a", work, [1, 2])
    assert answers("a", work, [1, 2]) is first
    assert answers("b", work, [1, 2]) is not first
    assert answers("a", work, [1, 3]) == ([1, 3],)
    assert asked == [[1, 2], [1, 2], [1, 3]]


def test_answers_of_what_is_gone_are_forgotten() -> None:
    asked: list[int] = []
    answers = Answers()
    for number in range(100):
        answers(number, asked.append, number)
    answers.turn()
    answers(1, asked.append, 1)
    answers.turn()
    answers(1, asked.append, 1)
    answers(2, asked.append, 2)
    assert asked == [*range(100), 2]


def test_cells_with_control_signs_in_them_are_escaped_as_all_others_are() -> None:
    odd = [("a\0b", "<b>", '"'), ("c", "\1\2", "&")]
    plain = [[cell.replace("\0", "x").replace("\1", "x").replace("\2", "x") for cell in row] for row in odd]
    for first_names_it in (True, False):
        lines = rendering.body_rows(odd, first_names_it=first_names_it, indent="  ")
        same = rendering.body_rows(plain, first_names_it=first_names_it, indent="  ")
        assert lines.replace("\0", "x").replace("\1", "x").replace("\2", "x") == same
        assert "&lt;b&gt;" in same


def test_a_year_s_page_holds_its_pieces_of_one_s_own_whatever_was_edited(shop: ShopWriter, tmp_path: Path) -> None:
    """After an edited fee the piece's sheet was another than the one in stock, and the section was left out."""
    text = "shop: S\ncurrency: USD\ntax: {rules: us}\noutlets: {hall: {takes: %s}}\n"
    shop.write(
        {
            "shop.yaml": text % "12%",
            "pieces/chest/piece.yaml": "piece: Chest\nfound: {on: 2026-01-05, own: {cost: 90.00, worth: 60.00}}\n",
            "pieces/stool/piece.yaml": "piece: Stool\nfound: {on: 2026-01-05, cost: 9.00}\nsold: {on: 2026-02-01, price: 40.00, at: hall}\n",
        }
    )
    compiler = Compiler(shop.root, tmp_path / "out")
    compiler.compile()
    shop.write({"shop.yaml": text % "15%"})
    assert "books/tax-2026.html" in compiler.compile().changed
    assert "Pieces that were your own" in (tmp_path / "out/books/tax-2026.html").read_text()
    compile_shop(shop.root, tmp_path / "fresh")
    assert bytes_in(tmp_path / "out") == bytes_in(tmp_path / "fresh")
