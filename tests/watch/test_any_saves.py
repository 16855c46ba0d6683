"""Whatever is saved, moved and taken away while a watch runs: in the end the output is that of a first compile."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Sequence
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

import pytest
from PIL import Image
from shop_writer import GOOD_PIECE, Ran, ShopWriter
from watching import WAYS_TO_SAVE, wait_until, watching

T = TypeVar("T")
MANY = 40


def made(out: Path) -> dict[str, bytes]:
    """The books and the portfolio, by their path in the output folder."""
    tops = (out / "books", out / "portfolio")
    return {str(path.relative_to(out)): path.read_bytes() for top in tops for path in top.rglob("*") if path.is_file()}


class Chance:
    """Chooses as if by chance, and the same way again for the same seed."""

    def __init__(self, seed: int) -> None:
        self.seed = seed
        self.turn = 0

    def choice(self, options: Sequence[T]) -> T:
        self.turn += 1
        number = int.from_bytes(sha256(f"{self.seed} {self.turn}".encode()).digest()[:8], "big")
        return options[number % len(options)]


class Bench:
    """Does one thing after another to a shop's files, as chance has it."""

    def __init__(self, shop: ShopWriter, chance: Chance, store: Path) -> None:
        self.shop, self.chance, self.store = shop, chance, store
        self.pieces = shop.root / "pieces"
        self.number = 0
        self.half_typed: set[Path] = set()

    def text(self) -> str:
        self.number += 1
        return GOOD_PIECE.replace("Oak stool", f"Piece as of {self.number}")

    def folder(self) -> Path:
        return self.chance.choice(sorted(path for path in self.pieces.iterdir() if path.is_dir()))

    def save(self) -> None:
        file = self.folder() / "piece.yaml"
        self.chance.choice(list(WAYS_TO_SAVE.values()))(file, self.text())
        self.half_typed.discard(file)

    def half_type(self) -> None:
        file = self.folder() / "piece.yaml"
        file.write_text(self.text() + "bought: [{on: 2026-", "utf-8")
        self.half_typed.add(file)

    def begin(self) -> None:
        self.shop.write({f"pieces/piece-{self.number}/piece.yaml": self.text()})

    def rename(self) -> None:
        self.mend()
        self.folder().rename(self.pieces / f"renamed-{self.number}")

    def take_away(self) -> None:
        if len(list(self.pieces.iterdir())) > 2:
            self.mend()
            shutil.rmtree(self.folder())

    def move_out_and_in(self) -> None:
        self.mend()
        folder = self.folder()
        folder.rename(self.store / folder.name)
        time.sleep(self.chance.choice((0, 0.3)))
        (self.store / folder.name).rename(folder)

    def picture(self) -> None:
        photos = self.folder() / "photos"
        photos.mkdir(exist_ok=True)
        Image.new("RGB", (300, 200), (self.number % 256, 60, 30)).save(
            photos / f"after-{self.chance.choice(range(3))}.jpg"
        )

    def receipt(self) -> None:
        self.shop.receipts(
            f"- {{on: 2026-01-09, from: Harbour Hardware, what: felt feet, cost: {self.number}.49, for: supplies}}\n"
        )

    def mend(self) -> None:
        for file in self.half_typed:
            file.write_text(self.text(), "utf-8")
        self.half_typed.clear()

    def do_something(self) -> None:
        self.number += 1
        to_files = [self.save, self.save, self.half_type, self.mend, self.receipt, self.picture]
        to_folders = [self.begin, self.rename, self.take_away, self.move_out_and_in]
        act = self.chance.choice([*to_files, *to_folders])
        act()
        time.sleep(self.chance.choice((0, 0, 0.01, 0.1, 0.4)))


@pytest.mark.parametrize("seed", range(2))
def test_after_any_saves_the_output_is_that_of_a_first_compile(
    shop: ShopWriter, flipbook: Callable[..., Ran], tmp_path: Path, seed: int
) -> None:
    store, fresh = tmp_path / "store", tmp_path / "fresh"
    store.mkdir()
    shop.piece().piece(folder="pine-chest").piece(folder="elm-bench")
    bench = Bench(shop, Chance(seed), store)
    with watching(shop.root) as watch:
        watch.ready()
        for _ in range(MANY):
            bench.do_something()
        bench.mend()
        assert flipbook("compile", shop.root, "--out", fresh).code == 0
        wanted = made(fresh)
        wait_until(lambda: made(shop.root / "out") == wanted, "the output of a first compile")
        watch.settled()
        assert made(shop.root / "out") == wanted
    assert len(watch.looks()) >= 3
