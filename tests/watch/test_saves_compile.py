"""A save in any editor's manner becomes pages, and nothing else does.

Most tests save into one shop, one after another, while one watch runs; each has a piece of its own there.
"""

from __future__ import annotations

import shutil
import signal
import threading
import time
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from shop_writer import GOOD_PIECE, ShopWriter
from watching import LONG, WAYS_TO_SAVE, Watching, wait_until, watching

STOOL = "pieces/oak-stool/piece.yaml"

# As inotify(7) has it where fs.inotify.max_user_watches is reached.
AT_ITS_LIMIT = """
import ctypes, errno
import watchdog.observers.inotify_c as i
def none_left(fd, path, mask):
    ctypes.set_errno(errno.ENOSPC)
    return -1
i.inotify_add_watch = none_left
"""
SILENT = """
import flipbook.watch.saves as s
s.Bell.dispatch = lambda self, event: None
s.LOOK_EVERY = 0.4
"""


def page(shop: ShopWriter, folder: str = "oak-stool") -> str:
    """A piece's page as it stands; empty when there is none."""
    try:
        return (shop.root / "out" / "portfolio" / folder / "index.html").read_text("utf-8")
    except FileNotFoundError:
        return ""


def titled(title: str) -> str:
    return GOOD_PIECE.replace("Oak stool", title)


class Bench:
    """A shop while a watch of it runs."""

    def __init__(self, shop: ShopWriter, watch: Watching) -> None:
        self.shop, self.watch = shop, watch

    def write(self, folder: str, title: str) -> None:
        self.shop.write({f"pieces/{folder}/piece.yaml": titled(title)})

    def shows(self, folder: str, words: str) -> None:
        """Wait until the piece's page holds some words; none when it is to have no page."""
        if words:
            wait_until(lambda: words in page(self.shop, folder), f"{words!r} on the page of {folder}")
        else:
            wait_until(lambda: not page(self.shop, folder), f"the page of {folder} to go")


def bench_in(folder: Path, first: str = "") -> Iterator[Bench]:
    shop = ShopWriter(folder / "my_shop").piece()
    with watching(shop.root, first=first) as watch:
        watch.ready()
        yield Bench(shop, watch)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """One for all tests here that spoil nothing for the others."""
    yield from bench_in(tmp_path_factory.mktemp("bench"))


@pytest.fixture(scope="module", params=["told", "at its limit", "silent"])
def any_bench(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    """The same where the system tells of saves, where it cannot and where it does not, though it said that it would."""
    first = {"at its limit": AT_ITS_LIMIT, "silent": SILENT}.get(request.param, "")
    yield from bench_in(tmp_path_factory.mktemp("any_bench"), first)


@pytest.fixture
def stool(shop: ShopWriter) -> ShopWriter:
    """A shop with one piece."""
    return shop.piece()


def test_it_compiles_at_the_start_and_says_where_the_pages_are(bench: Bench) -> None:
    assert "Oak stool" in page(bench.shop)
    for folder in ("portfolio", "books"):
        assert any(str(bench.shop.root / "out" / folder / "index.html") in line for line in bench.watch.lines)


@pytest.mark.parametrize("save", WAYS_TO_SAVE.values(), ids=WAYS_TO_SAVE)
def test_a_save_in_an_editors_manner_becomes_a_page_in_one_look(
    bench: Bench, save: Callable[[Path, str], None]
) -> None:
    said = bench.watch.settled(0.5)
    save(bench.shop.root / STOOL, titled(f"Saved by {save.__name__}"))
    bench.shows("oak-stool", f"Saved by {save.__name__}")
    bench.watch.says(rf"saved {STOOL}: made \d+ page", said)
    bench.watch.settled(0.5)
    assert len(bench.watch.looks(said)) == 1


def test_many_saves_in_a_moment_are_few_looks_and_the_last_one_is_on_the_page(bench: Bench) -> None:
    said, started = bench.watch.settled(0.5), time.monotonic()
    for number in range(40):
        bench.write("oak-stool", f"Stool {number}")
        time.sleep(0.01)
    took = time.monotonic() - started
    bench.shows("oak-stool", "Stool 39")
    bench.watch.settled(0.5)
    # Before each look 0.2 s were quiet, or a second was waited; so half a second of saves is a look or two.
    assert 1 <= len(bench.watch.looks(said)) <= 2 + took / 0.2


def test_saves_without_a_pause_are_not_waited_for_without_end(bench: Bench) -> None:
    over = threading.Event()

    def keep_saving() -> None:
        number = 0
        while not over.wait(0.05):
            number += 1
            bench.shop.receipts(f"# {number}\n")

    saver = threading.Thread(target=keep_saving)
    saver.start()
    try:
        bench.write("oak-stool", "Elm stool")
        bench.shows("oak-stool", "Elm stool")
    finally:
        over.set()
        saver.join()


def test_a_folder_that_comes_is_renamed_and_goes(any_bench: Bench, tmp_path: Path) -> None:
    shop, watch, said = any_bench.shop, any_bench.watch, any_bench.watch.settled(0.5)
    pieces = shop.root / "pieces"
    made_elsewhere = tmp_path / "pine-chest"
    (made_elsewhere / "photos").mkdir(parents=True)
    (made_elsewhere / "piece.yaml").write_text(titled("Pine chest"), "utf-8")
    made_elsewhere.rename(pieces / "pine-chest")
    any_bench.shows("pine-chest", "Pine chest")
    said = watch.says(r"saved pieces/pine-chest/: ", said)

    (pieces / "pine-chest").rename(pieces / "blanket-chest")
    any_bench.shows("blanket-chest", "Pine chest")
    any_bench.shows("pine-chest", "")
    said = watch.says(r"saved pieces/blanket-chest/, pieces/pine-chest/: ", said)

    # What is saved in a folder that was renamed is heard of as before.
    any_bench.write("blanket-chest", "Blanket chest")
    any_bench.shows("blanket-chest", "Blanket chest")
    shutil.rmtree(pieces / "blanket-chest")
    any_bench.shows("blanket-chest", "")
    assert "Oak stool" in page(shop)


def test_a_folder_at_the_top_that_goes_comes_back_and_is_replaced(any_bench: Bench, tmp_path: Path) -> None:
    pieces = any_bench.shop.root / "pieces"
    pieces.rename(tmp_path / "kept")
    any_bench.shows("oak-stool", "")
    (tmp_path / "kept").rename(pieces)
    any_bench.shows("oak-stool", "stool")
    any_bench.write("oak-stool", "Oak stool, back again")
    any_bench.shows("oak-stool", "back again")
    # Another of its name takes its place in one moment.
    shutil.copytree(pieces, tmp_path / "copy")
    shutil.rmtree(pieces)
    (tmp_path / "copy").rename(pieces)
    any_bench.watch.settled(0.5)
    any_bench.write("oak-stool", "Oak stool, in the copy")
    any_bench.shows("oak-stool", "in the copy")


def test_the_shops_folder_replaced_is_watched_on(any_bench: Bench, tmp_path: Path) -> None:
    root = any_bench.shop.root
    other = ShopWriter(tmp_path / "other").piece().write({STOOL: titled("Oak stool of the other")})
    # Swapped in one moment, as when a backup is put in place.
    root.rename(tmp_path / "first")
    other.root.rename(root)
    any_bench.shows("oak-stool", "of the other")
    any_bench.write("oak-stool", "Oak stool, saved in the other")
    any_bench.shows("oak-stool", "saved in the other")


def test_what_the_system_does_not_tell_of_is_said_once_where_it_says_so(any_bench: Bench) -> None:
    told = [line for line in any_bench.watch.lines if "The system cannot tell of saves here" in line]
    assert any_bench.watch.process.poll() is None
    if told:
        assert len(told) == 1
        assert "(its limit of watched folders is reached), so the files are looked over every 2 seconds." in told[0]


def test_a_piece_that_is_written_bit_by_bit_in_new_folders(shop: ShopWriter) -> None:
    with watching(shop.root) as watch:
        watch.ready()
        shop.piece(folder="first-of-all")  # pieces/ itself is new too
        wait_until(lambda: page(shop, "first-of-all"), "the page of a piece in a new pieces/")
        shop.write({"pieces/first-of-all/piece.yaml": titled("Walnut desk")})
        wait_until(lambda: "Walnut desk" in page(shop, "first-of-all"), "a save in the new pieces/")


def test_receipts_and_years_are_read_again_too(bench: Bench) -> None:
    said = bench.watch.settled(0.5)
    bench.shop.receipts("- {on: 2026-01-09, from: Harbour Hardware, what: felt feet, cost: 4.49, for: supplies}\n")
    ledger = bench.shop.root / "out" / "books" / "ledger.csv"
    wait_until(lambda: "felt feet" in ledger.read_text("utf-8"), "the receipt in the ledger")
    said = bench.watch.says(r"saved receipts/", said)
    bench.shop.write({"years/2025.yaml": "not: a seal\n"})
    said = bench.watch.says(r"saved years/.*to mend", said)
    shutil.rmtree(bench.shop.root / "years")
    bench.watch.says(r"saved years/.*Nothing to mend", said)


@pytest.fixture(scope="module")
def picture() -> bytes:
    """A photograph of some size."""
    out = BytesIO()
    Image.effect_noise((800, 600), 60).convert("RGB").save(out, "JPEG", quality=95)
    return out.getvalue()


def test_a_photo_dropped_in_is_on_the_page_and_a_slow_copy_is_waited_for(bench: Bench, picture: bytes) -> None:
    bench.write("slow-copy", "Slow copy")
    bench.shows("slow-copy", "Slow copy")
    photos = bench.shop.root / "pieces" / "slow-copy" / "photos"
    photos.mkdir()
    said = bench.watch.settled(0.5)
    with (photos / "after-front.jpg").open("wb") as stream:
        for start in range(0, len(picture), len(picture) // 20 + 1):
            stream.write(picture[start : start + len(picture) // 20 + 1])
            stream.flush()
            time.sleep(0.1)
    bench.shows("slow-copy", "picture-")
    bench.watch.settled(0.8)
    # Half a picture would have been told of as one that is damaged.
    assert not [line for line in bench.watch.lines if "cannot be shown" in line]
    assert len(bench.watch.looks(said)) == 1


def test_a_text_saved_while_a_picture_is_copied_does_not_wait_for_it(bench: Bench, picture: bytes) -> None:
    photos = bench.shop.root / "pieces" / "half-copied" / "photos"
    photos.mkdir(parents=True)
    half = len(picture) // 2
    with (photos / "after-front.jpg").open("wb") as stream:
        stream.write(picture[:half])
        stream.flush()
        bench.write("half-copied", "Meanwhile")
        until = time.monotonic() + LONG
        while "Meanwhile" not in page(bench.shop, "half-copied"):
            assert time.monotonic() < until, bench.watch.lines
            stream.write(picture[half : half + 1])  # it goes on growing
            stream.seek(half)
            stream.flush()
            time.sleep(0.02)
        stream.write(picture[half:])
    bench.shows("half-copied", "picture-")
    assert not [line for line in bench.watch.lines if "cannot be shown" in line]


NOT_SAVES = {
    "a file below out": "out/portfolio/oak-stool/index.html",
    "a new folder below out": "out/notes/mine.txt",
    "a hidden file": ".notes.yaml",
    "a file of git": ".git/index",
    "a hidden file beside a piece": "pieces/oak-stool/.piece.yaml.swp",
    "an editor's backup": "pieces/oak-stool/piece.yaml~",
    "an editor's probe": "pieces/oak-stool/4913",
    "an editor's lock": "pieces/oak-stool/#piece.yaml#",
    "a download under way": "pieces/oak-stool/front.jpg.part",
    "a stream editor's file": "receipts/sedA1b2C3",
}


def test_what_is_no_save_leads_to_no_look(bench: Bench) -> None:
    (bench.shop.root / ".git").mkdir()
    (bench.shop.root / "receipts").mkdir(exist_ok=True)
    said = bench.watch.settled(0.5)
    for path in NOT_SAVES.values():
        bench.shop.write({path: "x\n"})
    bench.watch.settled(1)
    assert bench.watch.lines[said:] == []
    # And a true one is still heard of.
    bench.write("oak-stool", "After all")
    bench.shows("oak-stool", "After all")


@pytest.mark.parametrize("where", ["my_shop/made/for-web", "my_shop"])
def test_what_is_written_to_another_output_folder_leads_to_no_look(
    stool: ShopWriter, tmp_path: Path, where: str
) -> None:
    out = tmp_path / where
    with watching(stool.root, "--out", out) as watch:
        said = watch.ready()
        (stool.root / STOOL).write_text(titled("Made there"), "utf-8")
        made = out / "portfolio" / "oak-stool" / "index.html"
        wait_until(lambda: "Made there" in made.read_text("utf-8"), "the page in the other folder")
        watch.settled(0.8)
        assert len(watch.looks(said)) == 1
        made.write_text("x")
        watch.settled(0.8)
        assert len(watch.looks(said)) == 1
        assert not (stool.root / "out").exists()


def test_a_save_during_a_compile_leads_to_another(stool: ShopWriter) -> None:
    slow = (
        "import time, flipbook.compile as c\n"
        "class Slow(c.Compiler):\n"
        "    def compile(self, tick=c.no_tick):\n"
        "        outcome = super().compile(tick)\n"
        "        print('read', flush=True)\n"
        "        time.sleep(1.5)\n"
        "        return outcome\n"
        "c.Compiler = Slow\n"
    )
    with watching(stool.root, first=slow) as watch:
        said = watch.says("^read$")
        (stool.root / STOOL).write_text(titled("Too late for the first"), "utf-8")
        watch.says("^read$", said)
        wait_until(lambda: "Too late for the first" in page(stool), "the page of the second compile")


def test_each_page_is_whole_whenever_it_is_read(bench: Bench) -> None:
    def turned(turn: int) -> None:
        for number in range(6):
            tell = "tell: |\n  " + "It stood in a porch. " * 200 + f"As of turn {turn}.\n"
            bench.shop.piece(tell, folder=f"stool-{number}")
        bench.shows("stool-5", f"As of turn {turn}")

    turned(0)
    pages = [bench.shop.root / "out" / "portfolio" / f"stool-{number}" / "index.html" for number in range(6)]
    broken: list[str] = []
    over = threading.Event()

    def read_all() -> None:
        while not over.wait(0.001):
            for path in pages:
                text = path.read_text("utf-8")
                if not (text.startswith("<!DOCTYPE html>") and text.endswith("</html>\n")):
                    broken.append(f"{path}: {text[-40:]!r}")

    reader = threading.Thread(target=read_all)
    reader.start()
    try:
        for turn in (1, 2, 3):
            turned(turn)
    finally:
        over.set()
        reader.join()
    assert broken == []


def test_nothing_is_reckoned_while_nothing_happens(any_bench: Bench) -> None:
    any_bench.watch.settled(0.5)
    before = any_bench.watch.cpu_seconds()
    time.sleep(3)
    # The system counts in hundredths of a second.
    assert any_bench.watch.cpu_seconds() - before <= 0.02


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_it_with_0_and_a_short_line(stool: ShopWriter, number: int) -> None:
    with watching(stool.root) as watch:
        watch.ready()
        started = time.monotonic()
        assert watch.end(number) == 0
        assert time.monotonic() - started < 5
        assert watch.lines[-1].startswith("Stopped. The pages are as of ")
        assert not list((stool.root / "out").glob(".making-*"))


def test_stopped_in_a_first_compile_it_leaves_nothing_half_made(stool: ShopWriter) -> None:
    for number in range(60):
        stool.piece(folder=f"stool-{number}")
    ticking = (
        "import flipbook.watch.watch as w\n"
        "w.Watch._ticks = (lambda before: lambda self, started: (lambda tick:"
        " lambda what, done, of: (print('tick', flush=True) if done == 5 else None, tick(what, done, of))[1]"
        ")(before(self, started)))(w.Watch._ticks)\n"
    )
    with watching(stool.root, first=ticking) as watch:
        watch.says("^tick$")
        assert watch.end() == 0
        assert watch.lines[-1] == "Stopped. No page was made."
    assert not (stool.root / "out").exists() or list((stool.root / "out").iterdir()) == []


@pytest.mark.parametrize("first", ["", AT_ITS_LIMIT], ids=["told", "at its limit"])
def test_the_shops_folder_gone_ends_it_with_1_and_a_sentence(stool: ShopWriter, tmp_path: Path, first: str) -> None:
    with watching(stool.root, "--out", tmp_path / "out", first=first) as watch:
        watch.ready()
        stool.root.rename(tmp_path / "moved")
        wait_until(lambda: watch.process.poll() is not None, "the end")
        assert watch.end() == 1
        assert watch.lines[-1].startswith(f"flipbook: The shop's folder {stool.root} is gone.")


def test_through_a_link_to_the_shop_saves_are_heard_of(stool: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(stool.root)
    with watching(tmp_path / "link") as watch:
        watch.ready()
        (stool.root / STOOL).write_text(titled("Through the link"), "utf-8")
        wait_until(lambda: "Through the link" in page(stool), "the page of a save")


BROKEN_OFF = """
import os
import watchdog.observers.inotify as i
queue = i.InotifyEmitter.queue_events
def breaking(self, timeout, **how):
    queue(self, timeout, **how)
    if os.path.exists({flag!r}):
        raise KeyError('as a fault of the library would')
i.InotifyEmitter.queue_events = breaking
"""


def test_where_the_systems_messages_break_off_it_says_so_and_looks_itself(stool: ShopWriter, tmp_path: Path) -> None:
    with watching(stool.root, first=BROKEN_OFF.format(flag=str(tmp_path / "break"))) as watch:
        watch.ready()
        (tmp_path / "break").touch()
        stool.piece(folder="pine-chest")
        wait_until(lambda: page(stool, "pine-chest"), "the page of the save that was heard of last")
        watch.says("The system cannot tell of saves here .*its messages broke off")
        stool.piece("tell: Looked for.\n", folder="pine-chest")
        wait_until(lambda: "Looked for" in page(stool, "pine-chest"), "the page of a save after that")
