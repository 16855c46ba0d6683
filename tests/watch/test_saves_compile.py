"""A save in any editor's manner becomes pages, and nothing else does."""

from __future__ import annotations

import shutil
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from shop_writer import GOOD_PIECE, ShopWriter
from watching import LONG, WAYS_TO_SAVE, wait_until, watching

STOOL = "pieces/oak-stool/piece.yaml"


LIMITED = """
import ctypes, errno
import watchdog.observers.inotify_c as i
add, left = i.inotify_add_watch, [{left}]
def limited(fd, path, mask):
    left[0] -= 1
    if left[0] < 0:
        ctypes.set_errno(errno.ENOSPC)
        return -1
    return add(fd, path, mask)
i.inotify_add_watch = limited
"""


def page(shop: ShopWriter, folder: str = "oak-stool") -> str:
    """A piece's page as it stands; empty when there is none."""
    try:
        return (shop.root / "out" / "portfolio" / folder / "index.html").read_text("utf-8")
    except FileNotFoundError:
        return ""


def titled(title: str) -> str:
    return GOOD_PIECE.replace("Oak stool", title)


@pytest.fixture
def stool(shop: ShopWriter) -> ShopWriter:
    """A shop with one piece."""
    return shop.piece()


def test_it_compiles_at_the_start_and_says_where_the_pages_are(stool: ShopWriter) -> None:
    with watching(stool.root) as watch:
        watch.ready()
        assert "Oak stool" in page(stool)
        for folder in ("portfolio", "books"):
            assert any(str(stool.root / "out" / folder / "index.html") in line for line in watch.lines)


@pytest.mark.parametrize("save", WAYS_TO_SAVE.values(), ids=WAYS_TO_SAVE)
def test_a_save_in_an_editors_manner_becomes_a_page_in_one_look(
    stool: ShopWriter, save: Callable[[Path, str], None]
) -> None:
    with watching(stool.root) as watch:
        said = watch.ready()
        save(stool.root / STOOL, titled("Ash stool"))
        wait_until(lambda: "Ash stool" in page(stool), "the page of the save")
        watch.says(rf"saved {STOOL}: made \d+ pages", said)
        watch.settled()
        assert len(watch.looks(said)) == 1


def test_many_saves_in_a_moment_are_few_looks_and_the_last_one_is_on_the_page(stool: ShopWriter) -> None:
    with watching(stool.root) as watch:
        said, started = watch.ready(), time.monotonic()
        for number in range(40):
            (stool.root / STOOL).write_text(titled(f"Stool {number}"), "utf-8")
            time.sleep(0.01)
        took = time.monotonic() - started
        wait_until(lambda: "Stool 39" in page(stool), "the page of the last save")
        watch.settled()
        # Before each look 0.2 s were quiet, or a second was waited; so half a second of saves is a look or two.
        assert 1 <= len(watch.looks(said)) <= 2 + took / 0.2


def test_saves_without_a_pause_are_not_waited_for_without_end(stool: ShopWriter) -> None:
    with watching(stool.root) as watch:
        watch.ready()
        over = threading.Event()

        def keep_saving() -> None:
            number = 0
            while not over.wait(0.05):
                number += 1
                (stool.root / "receipts").mkdir(exist_ok=True)
                (stool.root / "receipts" / "2026.yaml").write_text(f"# {number}\n")

        saver = threading.Thread(target=keep_saving)
        saver.start()
        try:
            (stool.root / STOOL).write_text(titled("Elm stool"), "utf-8")
            wait_until(lambda: "Elm stool" in page(stool), "a page while saves go on")
        finally:
            over.set()
            saver.join()


def test_a_folder_that_comes_is_renamed_and_goes(stool: ShopWriter, tmp_path: Path) -> None:
    with watching(stool.root) as watch:
        said = watch.ready()
        made_elsewhere = tmp_path / "pine-chest"
        (made_elsewhere / "photos").mkdir(parents=True)
        (made_elsewhere / "piece.yaml").write_text(titled("Pine chest"), "utf-8")
        made_elsewhere.rename(stool.root / "pieces" / "pine-chest")
        wait_until(lambda: "Pine chest" in page(stool, "pine-chest"), "the new piece's page")
        said = watch.says(r"saved pieces/pine-chest/: ", said)

        (stool.root / "pieces" / "pine-chest").rename(stool.root / "pieces" / "blanket-chest")
        wait_until(lambda: page(stool, "blanket-chest") and not page(stool, "pine-chest"), "the renamed piece's page")
        said = watch.says(r"saved pieces/blanket-chest/, pieces/pine-chest/: ", said)

        # What is saved in a folder that was renamed is heard of as before.
        (stool.root / "pieces" / "blanket-chest" / "piece.yaml").write_text(titled("Blanket chest"), "utf-8")
        wait_until(lambda: "Blanket chest" in page(stool, "blanket-chest"), "a save in the renamed folder")

        shutil.rmtree(stool.root / "pieces" / "blanket-chest")
        wait_until(lambda: not page(stool, "blanket-chest"), "the page to go with its piece")
        assert "Oak stool" in page(stool)


def test_a_piece_that_is_written_bit_by_bit_in_new_folders(shop: ShopWriter) -> None:
    with watching(shop.root) as watch:
        watch.ready()
        shop.piece(folder="first-of-all")  # pieces/ itself is new too
        wait_until(lambda: page(shop, "first-of-all"), "the page of a piece in a new pieces/")
        shop.write({"pieces/first-of-all/piece.yaml": titled("Walnut desk")})
        wait_until(lambda: "Walnut desk" in page(shop, "first-of-all"), "a save in the new pieces/")


@pytest.mark.parametrize("left", [100, 0], ids=["told of", "looked for"])
def test_a_folder_at_the_top_that_vanishes_and_comes_back_is_watched_again(
    stool: ShopWriter, tmp_path: Path, left: int
) -> None:
    with watching(stool.root, first=LIMITED.format(left=left)) as watch:
        watch.ready()
        (stool.root / "pieces").rename(tmp_path / "kept")
        wait_until(lambda: not page(stool), "the page to go")
        (tmp_path / "kept").rename(stool.root / "pieces")
        wait_until(lambda: page(stool), "the page to come back")
        (stool.root / STOOL).write_text(titled("Back again"), "utf-8")
        wait_until(lambda: "Back again" in page(stool), "a save in the folder that came back")


@pytest.mark.parametrize("left", [100, 0], ids=["told of", "looked for"])
def test_a_folder_replaced_by_another_of_its_name_in_one_moment(stool: ShopWriter, tmp_path: Path, left: int) -> None:
    with watching(stool.root, first=LIMITED.format(left=left)) as watch:
        watch.ready()
        shutil.copytree(stool.root / "pieces", tmp_path / "copy")
        shutil.rmtree(stool.root / "pieces")
        (tmp_path / "copy").rename(stool.root / "pieces")
        watch.settled()
        (stool.root / STOOL).write_text(titled("In the copy"), "utf-8")
        wait_until(lambda: "In the copy" in page(stool), "a save in the folder that took its place")


def test_receipts_and_years_are_read_again_too(stool: ShopWriter) -> None:
    with watching(stool.root) as watch:
        said = watch.ready()
        stool.receipts("- {on: 2026-01-09, from: Harbour Hardware, what: felt feet, cost: 4.49, for: supplies}\n")
        ledger = stool.root / "out" / "books" / "ledger.csv"
        wait_until(lambda: "felt feet" in ledger.read_text("utf-8"), "the receipt in the ledger")
        said = watch.says(r"saved receipts/", said)
        stool.write({"years/2025.yaml": "not: a seal\n"})
        watch.says(r"saved years/.*to mend", said)


def test_a_photo_dropped_in_is_on_the_page_and_a_slow_copy_is_waited_for(stool: ShopWriter, tmp_path: Path) -> None:
    picture = tmp_path / "picture.jpg"
    Image.effect_noise((1600, 1200), 60).convert("RGB").save(picture, quality=95)
    data = picture.read_bytes()
    with watching(stool.root) as watch:
        said = watch.ready()
        photos = stool.root / "pieces" / "oak-stool" / "photos"
        photos.mkdir()
        said = watch.says(r"saved pieces/oak-stool/photos/", said)
        with (photos / "after-front.jpg").open("wb") as stream:
            for start in range(0, len(data), len(data) // 20 + 1):
                stream.write(data[start : start + len(data) // 20 + 1])
                stream.flush()
                time.sleep(0.1)
        wait_until(lambda: "picture-" in page(stool), "the picture on the page")
        watch.settled()
        # Half a picture would have been told of as one that is damaged.
        assert not [line for line in watch.lines if "cannot be shown" in line]
        assert len(watch.looks(said)) == 1


def test_a_text_saved_while_a_picture_is_copied_does_not_wait_for_it(stool: ShopWriter, tmp_path: Path) -> None:
    picture = tmp_path / "picture.jpg"
    Image.effect_noise((1600, 1200), 60).convert("RGB").save(picture, quality=95)
    data = picture.read_bytes()
    (stool.root / "pieces" / "oak-stool" / "photos").mkdir()
    with watching(stool.root) as watch:
        watch.ready()
        with (stool.root / "pieces" / "oak-stool" / "photos" / "after-front.jpg").open("wb") as stream:
            stream.write(data[: len(data) // 2])
            stream.flush()
            (stool.root / STOOL).write_text(titled("Meanwhile"), "utf-8")
            until = time.monotonic() + LONG
            while "Meanwhile" not in page(stool):
                assert time.monotonic() < until, watch.lines
                stream.write(data[len(data) // 2 : len(data) // 2 + 1])  # it goes on growing
                stream.seek(len(data) // 2)
                stream.flush()
                time.sleep(0.02)
            stream.write(data[len(data) // 2 :])
        wait_until(lambda: "picture-" in page(stool), "the picture, once it is whole")
        assert not [line for line in watch.lines if "cannot be shown" in line]


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


def test_what_is_no_save_leads_to_no_look(stool: ShopWriter) -> None:
    (stool.root / ".git").mkdir()
    (stool.root / "receipts").mkdir()
    with watching(stool.root) as watch:
        said = watch.ready()
        for path in NOT_SAVES.values():
            stool.write({path: "x\n"})
        watch.settled()
        assert watch.lines[said:] == []
        # And a true one is still heard of.
        (stool.root / STOOL).write_text(titled("After all"), "utf-8")
        wait_until(lambda: "After all" in page(stool), "the page of a save")
        watch.says(rf"saved {STOOL}: ", said)


@pytest.mark.parametrize("where", ["elsewhere", "my_shop/made", "my_shop/made/for-web", "my_shop"])
def test_what_is_written_to_another_output_folder_leads_to_no_look(
    stool: ShopWriter, tmp_path: Path, where: str
) -> None:
    out = tmp_path / where
    with watching(stool.root, "--out", out) as watch:
        said = watch.ready()
        (stool.root / STOOL).write_text(titled("Made there"), "utf-8")
        made = out / "portfolio" / "oak-stool" / "index.html"
        wait_until(lambda: "Made there" in made.read_text("utf-8"), "the page in the other folder")
        watch.settled()
        assert len(watch.looks(said)) == 1
        made.write_text("x")
        watch.settled()
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


def test_each_page_is_whole_whenever_it_is_read(stool: ShopWriter) -> None:
    for number in range(12):
        stool.piece("tell: |\n  " + "It stood in a porch. " * 200 + "\n", folder=f"stool-{number}")
    with watching(stool.root) as watch:
        watch.ready()
        pages = [*(stool.root / "out").rglob("*.html")]
        assert len(pages) > 12
        broken: list[str] = []
        over = threading.Event()

        def read_all() -> None:
            while not over.is_set():
                for path in pages:
                    text = path.read_text("utf-8")
                    if not (text.startswith("<!DOCTYPE html>") and text.endswith("</html>\n")):
                        broken.append(f"{path}: {text[-40:]!r}")

        reader = threading.Thread(target=read_all)
        reader.start()
        try:
            for turn in range(4):
                stool.write({"shop.yaml": (stool.root / "shop.yaml").read_text() + f"# {turn}\n"})
                for number in range(12):
                    stool.piece(f"wood: oak, as of turn {turn}\n", folder=f"stool-{number}")
                wait_until(lambda turn=turn: f"as of turn {turn}" in page(stool, "stool-11"), "the turn's pages")
        finally:
            over.set()
            reader.join()
        assert broken == []


def test_nothing_is_reckoned_while_nothing_happens(stool: ShopWriter) -> None:
    with watching(stool.root) as watch:
        watch.ready()
        watch.settled()
        before = watch.cpu_seconds()
        time.sleep(4)
        # The system counts in hundredths of a second.
        assert watch.cpu_seconds() - before <= 0.02


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
    for number in range(400):
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


@pytest.mark.parametrize("left", [100, 0], ids=["told of", "looked for"])
def test_the_shops_folder_gone_ends_it_with_1_and_a_sentence(stool: ShopWriter, tmp_path: Path, left: int) -> None:
    with watching(stool.root, "--out", tmp_path / "out", first=LIMITED.format(left=left)) as watch:
        watch.ready()
        stool.root.rename(tmp_path / "moved")
        wait_until(lambda: watch.process.poll() is not None, "the end")
        assert watch.end() == 1
        assert watch.lines[-1].startswith(f"flipbook: The shop's folder {stool.root} is gone.")


@pytest.mark.parametrize("left", [100, 0], ids=["told of", "looked for"])
def test_the_shops_folder_replaced_is_watched_on(stool: ShopWriter, tmp_path: Path, left: int) -> None:
    other = ShopWriter(tmp_path / "other").piece().write({STOOL: titled("Of the other")})
    with watching(stool.root, "--out", tmp_path / "out", first=LIMITED.format(left=left)) as watch:
        watch.ready()
        # Swapped in one moment, as when a backup is put in place.
        stool.root.rename(tmp_path / "first")
        other.root.rename(stool.root)
        made = tmp_path / "out" / "portfolio" / "oak-stool" / "index.html"
        wait_until(lambda: "Of the other" in made.read_text("utf-8"), "the page of the other folder")
        (stool.root / STOOL).write_text(titled("Saved in the other"), "utf-8")
        wait_until(lambda: "Saved in the other" in made.read_text("utf-8"), "a save in the other folder")


def test_through_a_link_to_the_shop_saves_are_heard_of(stool: ShopWriter, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(stool.root)
    with watching(tmp_path / "link") as watch:
        watch.ready()
        (stool.root / STOOL).write_text(titled("Through the link"), "utf-8")
        wait_until(lambda: "Through the link" in page(stool), "the page of a save")


@pytest.mark.parametrize("left", [0, 1, 3, 4])
def test_at_the_systems_limit_of_watched_folders_it_says_so_and_looks_itself(stool: ShopWriter, left: int) -> None:
    """Of the shop, pieces/, pieces/oak-stool/ and the folder around: that many can be watched; with 4, no new one."""
    with watching(stool.root, first=LIMITED.format(left=left)) as watch:
        said = watch.ready()
        if left == 4:
            stool.piece(folder="pine-chest")
            wait_until(lambda: page(stool, "pine-chest"), "the new piece's page")
        watch.says(r"The system cannot tell of saves here \(.*limit.*every 2 seconds\.")
        stool.piece("tell: Heard of all the same.\n", folder="pine-chest")
        wait_until(lambda: "Heard of all the same" in page(stool, "pine-chest"), "the page of a save")
        assert len([line for line in watch.lines if "cannot tell" in line]) == 1
        watch.settled()
        assert len(watch.looks(said)) <= 5


OVERRUN = """
import os
import watchdog.observers.inotify_c as i
read = i.InotifyFD.read_events
def lossy(self, **how):
    events = read(self, **how)
    if os.path.exists({flag!r}):
        return [i.InotifyEvent(i.WatchDescriptor(-1), i.InotifyConstants.IN_Q_OVERFLOW, 0, b'')]
    return events
i.InotifyFD.read_events = lossy
"""


def test_events_lost_are_made_good(stool: ShopWriter, tmp_path: Path) -> None:
    """As inotify(7) has it when a queue runs over: one event says so, and what happened before is not told."""
    with watching(stool.root, first=OVERRUN.format(flag=str(tmp_path / "lose"))) as watch:
        watch.ready()
        (tmp_path / "lose").touch()
        stool.piece(folder="pine-chest")
        wait_until(lambda: page(stool, "pine-chest"), "what was not told of")
        (tmp_path / "lose").unlink()
        watch.settled()
        stool.piece("tell: Heard of again.\n", folder="pine-chest")
        wait_until(lambda: "Heard of again" in page(stool, "pine-chest"), "a save after that")
        assert not [line for line in watch.lines if "overflow" in line.lower()]


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
