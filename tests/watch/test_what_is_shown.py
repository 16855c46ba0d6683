"""The screen of `flipbook watch`, on a terminal of any size; and its plain lines where there is none."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
import unicodedata
from collections.abc import Callable, Iterator
from datetime import datetime
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console, Group
from shop_writer import GOOD_PIECE, ShopWriter, flipbook_environment
from watching import LONG, RUN, Watching, wait_until, watching

from flipbook.shop.problems import Place, Problem
from flipbook.watch.screen import Lines, display_on, fitted_frame, names_of, outcome_of, work_of
from flipbook.watch.watch import Round, made_of, told_first

STOOL = "pieces/oak-stool/piece.yaml"
HALF_TYPED = GOOD_PIECE + "bought:\n  - {on: 2026-01-06, from: Harbour Hardware, what: felt fe"


def page(shop: ShopWriter) -> str:
    return (shop.root / "out" / "portfolio" / "oak-stool" / "index.html").read_text("utf-8")


@pytest.fixture(scope="module")
def shown_in_lines(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[ShopWriter, Watching]]:
    """A shop while a watch of it runs whose lines are read, for tests that mend what they spoil."""
    shop = ShopWriter(tmp_path_factory.mktemp("lines") / "my_shop").piece()
    with watching(shop.root) as watch:
        watch.ready()
        yield shop, watch


def test_a_half_typed_file_is_told_at_once_the_pages_stay_and_it_clears(
    shown_in_lines: tuple[ShopWriter, Watching],
) -> None:
    shop, watch = shown_in_lines
    said = watch.settled(0.5)
    before = page(shop)
    shop.write({STOOL: HALF_TYPED})
    said = watch.says(rf"saved {STOOL}: 1 problem to mend\. The pages stay as they were at [\d:]{{8}}\.", said)
    said = watch.says(rf"{STOOL}:4:\d+: to mend: .* \[yaml-\w+\]; ", said - 1)
    assert page(shop) == before
    shop.write({STOOL: GOOD_PIECE.replace("Oak stool", "Ash stool")})
    watch.says(rf"saved {STOOL}: made .*Nothing to mend\.", said)
    wait_until(lambda: "Ash stool" in page(shop), "the mended page")


FAULTS: dict[str, Callable[[Path], object]] = {
    "a folder in a file's place": lambda file: (file.unlink(), file.mkdir()),
    "a link to nothing": lambda file: (file.unlink(), file.symlink_to("nowhere")),
    "a link to itself": lambda file: (file.unlink(), file.symlink_to(file.name)),
    "a pipe": lambda file: (file.unlink(), os.mkfifo(file)),
    "no text": lambda file: file.write_bytes(b"\xff\xfe\x00\xd8"),
    "too long": lambda file: file.write_bytes(b"#" * 3_000_000),
}


@pytest.mark.parametrize("spoil", FAULTS.values(), ids=FAULTS)
def test_a_file_that_cannot_be_read_is_a_problem_like_others(
    shown_in_lines: tuple[ShopWriter, Watching], spoil: Callable[[Path], object]
) -> None:
    shop, watch = shown_in_lines
    file, said = shop.root / STOOL, watch.settled(0.5)
    spoil(file)
    said = watch.says(rf"{STOOL}(:\d+:\d+)?: to mend: ", said)
    if file.is_dir():
        file.rmdir()
    else:
        file.unlink()
    file.write_text(GOOD_PIECE, "utf-8")
    watch.says("Nothing to mend", said)


def test_a_shop_yaml_that_is_gone_is_a_problem_and_no_end(shown_in_lines: tuple[ShopWriter, Watching]) -> None:
    shop, watch = shown_in_lines
    text, said = (shop.root / "shop.yaml").read_text("utf-8"), watch.settled(0.5)
    (shop.root / "shop.yaml").unlink()
    said = watch.says("shop.yaml: to mend: ", said)
    shop.write({"shop.yaml": text})
    watch.says("Nothing to mend", said)


def test_an_output_folder_that_cannot_be_written_is_said_and_waited_for(
    shown_in_lines: tuple[ShopWriter, Watching],
) -> None:
    shop, watch = shown_in_lines
    said = watch.settled(0.5)
    target = shop.root / "out" / "portfolio" / "pine-chest"
    (target / "index.html").mkdir(parents=True)  # a folder where a page goes
    shop.piece(folder="pine-chest")
    said = watch.says(r"The pages cannot be made: .*\. The pages stay as they were at ", said)
    (target / "index.html").rmdir()
    shop.piece("tell: Again.\n", folder="pine-chest")
    watch.says("Nothing to mend", said)


def test_errors_at_the_start_are_told_in_plain_lines_one_for_each_event_and_nothing_is_made(shop: ShopWriter) -> None:
    shop.write({STOOL: HALF_TYPED, "pieces/a\u202eb\u0301/piece.yaml": HALF_TYPED})
    with watching(shop.root) as watch:
        watch.says(r"2 problems to mend\. What was made before stays as it is\.")
        watch.says(rf"{STOOL}:4:\d+: to mend: ")
        watch.says("pieces/.*: to mend: the folder's name has signs in it")
        assert not (shop.root / "out").exists()
        assert watch.end() == 0
        *timed, last = watch.lines
        assert all(re.match(r"\d\d:\d\d:\d\d \S", line) for line in timed), timed
        assert last == "Stopped. No page was made. 2 problems still to mend; see `flipbook check`."
        for line in watch.lines:
            assert not [sign for sign in line if unicodedata.category(sign) in ("Cc", "Cf")], ascii(line)


def test_a_reader_that_goes_away_ends_it_without_a_word(shop: ShopWriter) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, "watch", str(shop.piece().root)],
        env=flipbook_environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout
    assert process.stderr
    try:
        process.stdout.readline()
        process.stdout.close()
        until = time.monotonic() + LONG
        while process.poll() is None:
            assert time.monotonic() < until
            shop.piece(f"tell: {time.monotonic()}\n")
            time.sleep(0.3)
        assert (process.returncode, process.stderr.read()) == (0, b"")
    finally:
        process.kill()
        process.wait()


class Terminal:
    """A watch in a terminal of its own, and the screen as it was last drawn."""

    def __init__(self, size: tuple[int, int], *words: str | Path, **surroundings: str) -> None:
        self.master, slave = pty.openpty()
        self.resize(size, tell=False)
        self.slave = slave
        self.kept = termios.tcgetattr(slave)
        environment = {"TERM": "xterm-256color", **surroundings}
        self.process = subprocess.Popen(
            [
                sys.executable,
                "-c",
                f"import os, fcntl, termios\nfcntl.ioctl(0, termios.TIOCSCTTY, 0)\n{RUN}",
                "watch",
                *words,
            ],
            env=flipbook_environment(environment),
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
        )
        self.written = b""

    def resize(self, size: tuple[int, int], tell: bool = True) -> None:
        width, height = size
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        if tell:
            self.process.send_signal(signal.SIGWINCH)

    def read(self, seconds: float) -> None:
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if select.select([self.master], [], [], left)[0]:
                with contextlib.suppress(OSError):
                    self.written += os.read(self.master, 65536)

    def screen(self) -> list[str]:
        """The lines of the last drawing, without colours."""
        drawn = self.written.decode("utf-8", "replace").rpartition("\x1b[H")[2]
        plain = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", drawn).replace("\r", "")
        return [line.rstrip() for line in plain.split("\n")]

    def shows(self, pattern: str) -> list[str]:
        """Wait until the screen holds a text; gives its lines."""
        until = time.monotonic() + LONG
        while not (self.screen()[-1] == "Ctrl-C ends it." and re.search(pattern, "\n".join(self.screen()))):
            assert time.monotonic() < until, f"{pattern!r} is not on {self.screen()}"
            assert self.process.poll() is None, self.written
            self.read(0.05)
        return self.screen()


@contextlib.contextmanager
def terminal(size: tuple[int, int], *words: str | Path, **surroundings: str) -> Iterator[Terminal]:
    opened = Terminal(size, *map(str, words), **surroundings)
    try:
        yield opened
        assert b"Traceback" not in opened.written
    finally:
        opened.process.kill()
        opened.process.wait()
        os.close(opened.master)
        os.close(opened.slave)


def test_the_screen_says_what_was_saved_what_was_made_and_what_is_to_be_mended(shop: ShopWriter) -> None:
    shop.piece()
    with terminal((80, 24), shop.root) as shown:
        lines = shown.shows("Nothing to mend")
        assert len(lines) == 24
        assert re.fullmatch(r"Quillback Lane Refinishing +looked at \d\d:\d\d:\d\d", lines[0])
        assert lines[-1] == "Ctrl-C ends it."
        shop.piece("tell: It stood in a porch.\n")
        text = "\n".join(shown.shows("saved  "))
        assert re.search(rf"^saved +{STOOL}$", text, re.MULTILINE)
        assert re.search(r"^made again +\d+ pages? .*in \d+\.\d\d s$", text, re.MULTILINE)
        shop.write({STOOL: HALF_TYPED})
        text = "\n".join(shown.shows("1 problem to mend"))
        for part in (rf"^{STOOL}:4:", r"^    4    - {on: 2026", r"^ +~", "The pages stay as they were at"):
            assert re.search(part, text, re.MULTILINE), part
        shop.piece()
        text = "\n".join(shown.shows("Nothing to mend"))
        assert "to mend:" not in text


def test_nothing_moves_while_nothing_happens_and_the_terminal_is_given_back_as_it_was(shop: ShopWriter) -> None:
    with terminal((80, 24), shop.piece().root) as shown:
        shown.shows("Nothing to mend")
        shown.read(0.5)
        before = shown.written
        os.write(shown.master, b"hello\n\n")
        shown.read(2)
        assert shown.written == before
        os.write(shown.master, b"\x03")
        until = time.monotonic() + LONG
        while shown.process.poll() is None:
            assert time.monotonic() < until
            shown.read(0.05)
        shown.read(0.2)
        assert shown.process.returncode == 0
        after = shown.written[len(before) :]
        assert re.fullmatch(rb"(\^C)?\x1b\[\?25h\x1b\[\?1049lStopped\. The pages are as of [\d:]{8}\.\r\n", after)
        assert shown.written.count(b"\x1b[?1049h") == shown.written.count(b"\x1b[?1049l") == 1
        assert termios.tcgetattr(shown.slave) == shown.kept


SIZES = [(40, 20), (200, 60), (30, 8), (20, 4), (8, 2), (1, 1), (80, 24)]


def test_on_a_terminal_of_any_size_each_line_fits(shop: ShopWriter) -> None:
    shop.piece("wood: orme 日本 🪑 " + "long " * 80 + "\nbogus: 1\n", folder="égérie-日本語-" + "long" * 12)
    for number in range(12):
        shop.piece("size: big\nbogus: [\n", folder=f"stool-{number}")
    measure = Console(width=1000).measure
    with terminal((80, 24), shop.root) as shown:
        text = "\n".join(shown.shows("13 problems to mend"))
        assert "`flipbook check` shows them all." in " ".join(text.split())
        assert "stool-0/piece.yaml:" in text
        for width, height in SIZES:
            shown.resize((width, height))
            # A drawing that was under way when the size changed is followed by one of the new size.
            wait_until(lambda height=height: shown.read(0.1) or len(shown.screen()) == height, "a screen of that size")
            lines = shown.screen()
            assert max(measure(line).maximum for line in lines) <= width, lines
            if height > 4:
                assert re.search(r"looked at \d\d:\d\d:\d\d$", lines[0])
                assert lines[-1] == "Ctrl-C ends it."
        assert "\n".join(lines) == text


@pytest.mark.parametrize(
    ("term", "encoding", "is_drawn"),
    [
        ("xterm-256color", "utf-8", True),
        ("dumb", "utf-8", False),
        ("", "utf-8", False),
        ("unknown", "utf-8", False),
        ("xterm", "ascii", False),
    ],
)
def test_a_terminal_that_cannot_be_drawn_on_gets_plain_lines(
    monkeypatch: pytest.MonkeyPatch, term: str, encoding: str, is_drawn: bool
) -> None:
    monkeypatch.setenv("TERM", term)
    monkeypatch.setattr(os, "tcgetpgrp", lambda _: os.getpgrp())  # the terminal is this process's own
    master, slave = pty.openpty()
    with open(slave, "w", encoding=encoding) as stream:
        display = display_on(stream, lambda: [("for buyers", "/shop/out/portfolio/index.html")])
        assert isinstance(display, Lines) != is_drawn
        if not is_drawn:
            display.begin()
            display.show(a_round())
            written = ""
            while written.count("\n") < 2:
                written += os.read(master, 65536).decode()
            first, second = written.splitlines()
            assert re.fullmatch(r"[\d:]{8} for buyers: /shop/out/portfolio/index\.html", first)
            assert second == "14:31:07 made nothing new in 0.12 s. Nothing to mend."
    os.close(master)


def test_a_terminal_that_another_program_has_gets_plain_lines() -> None:
    master, slave = pty.openpty()
    with open(slave, "w", encoding="utf-8") as stream:
        assert isinstance(display_on(stream, list), Lines)
    os.close(master)


def test_put_aside_by_the_shell_it_gives_the_terminal_back_and_takes_it_again_and_is_without_colours_if_asked(
    shop: ShopWriter,
) -> None:
    with terminal((80, 24), shop.piece().root, NO_COLOR="1") as shown:
        shown.shows("Nothing to mend")
        shown.process.send_signal(signal.SIGTSTP)
        stat = Path(f"/proc/{shown.process.pid}/stat")
        wait_until(lambda: stat.read_text().rpartition(")")[2].split()[0] == "T", "the process to stand still")
        shown.read(0.3)
        assert shown.written.endswith(b"\x1b[?25h\x1b[?1049l")
        shop.piece("tell: Written meanwhile.\n")
        shown.process.send_signal(signal.SIGCONT)
        shown.shows("saved  ")
        assert "Written meanwhile" in page(shop)
        assert not re.search(rb"\x1b\[[\d;]*3[0-9]", shown.written)


@pytest.mark.parametrize(
    ("saved", "words"),
    [
        ([], ""),
        (["shop.yaml"], "shop.yaml"),
        (["a", "b", "c"], "a, b, c"),
        (["a", "b", "c", "d"], "a, b, c, d"),
        (["a", "b", "c", "d", "e"], "a, b, c and 2 more"),
        (["pieces/x/", "pieces/x/photos/", "pieces/x/piece.yaml", "shop.yaml"], "pieces/x/, shop.yaml"),
        (["pieces/x/", "pieces/xy/piece.yaml"], "pieces/x/, pieces/xy/piece.yaml"),
        (["./", "pieces/x/piece.yaml"], "the shop's folder, pieces/x/piece.yaml"),
        (["a\x1b[31mb"], "a·[31mb"),
    ],
)
def test_the_files_saved_are_named_shortly(saved: list[str], words: str) -> None:
    assert names_of(saved) == words


MADE = [
    ([], [], ""),
    (["a.html"], [], "1 page"),
    (["a.html", "b.html", "books/ledger.csv", "a/p.jpg", "style.css"], [], "2 pages, 1 table, 1 picture, 1 other file"),
    ([], ["a.html", "b.csv"], "2 files taken away"),
    (["a.html"], ["b.html"], "1 page, 1 file taken away"),
    ([f"{n}.html" for n in range(1200)], [], "1,200 pages"),
]


@pytest.mark.parametrize(("there", "gone", "words"), MADE)
def test_what_was_made_is_counted_by_kind_in_words(
    tmp_path: Path, there: list[str], gone: list[str], words: str
) -> None:
    for name in there:
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    assert made_of([*there, *gone], tmp_path) == words


AT = datetime(2026, 4, 1, 14, 31, 7)


def a_round(**more: object) -> Round:
    values: dict[str, object] = {"at": AT, "seconds": 0.123, "shop": "s", "saved": (), "made": "", "made_at": AT}
    return Round(**(values | more))


def problem(file: str, warning: bool = False) -> Problem:
    return Problem(name="n", place=Place(file), says="s", warning=warning)


@pytest.mark.parametrize(
    ("one", "outcome", "work"),
    [
        (a_round(), "Nothing to mend.", "nothing new in 0.12 s"),
        (a_round(made="3 pages, 2 tables"), "Nothing to mend.", "3 pages, 2 tables in 0.12 s"),
        (a_round(problems=(problem("a", True),)), "1 thing to look at.", "nothing new in 0.12 s"),
        (a_round(problems=(problem("a", True),) * 2), "2 things to look at.", "nothing new in 0.12 s"),
        (
            a_round(made=None, problems=(problem("a"), problem("b", True))),
            "1 problem to mend. The pages stay as they were at 14:31:07.",
            "",
        ),
        (
            a_round(made=None, made_at=None, problems=(problem("a"),) * 2),
            "2 problems to mend. What was made before stays as it is.",
            "",
        ),
        (
            a_round(made=None, fault="The disk is full."),
            "The disk is full. The pages stay as they were at 14:31:07.",
            "",
        ),
    ],
)
def test_a_look_is_told_in_a_sentence(one: Round, outcome: str, work: str) -> None:
    assert (outcome_of(one), work_of(one)) == (outcome, work)


def test_errors_of_the_file_just_saved_come_first() -> None:
    problems = [problem("a", True), problem("b"), problem("c"), problem("d", True)]
    assert [one.place.file for one in told_first(problems, ["c", "d"])] == ["c", "b", "d", "a"]


@pytest.mark.parametrize("width", [20, 30, 40, 79, 120])
@pytest.mark.parametrize(
    "line", ["kind: {" + "wide, " * 30 + "bad}", "日本語 " * 20 + "bad", "bad", "x" * 300 + "bad" + "y" * 300]
)
def test_a_frame_is_fitted_with_its_mark_under_the_fault(line: str, width: int) -> None:
    start = line.index("bad") + 1
    fault = Problem(
        name="some-fault",
        place=Place("pieces/oak-stool/piece.yaml", 12, start, start + 3),
        says="this is a sentence that says at some length what is wrong",
        label="a label of some words",
        help="write something else instead, at some length too",
    )
    console = Console(width=width, file=StringIO())
    console.print(Group(*fitted_frame(fault, [""] * 11 + [line], width)))
    lines = console.file.getvalue().splitlines()
    assert max(map(cells, lines)) <= width
    whole = " ".join(" ".join(lines).split())
    for words in (fault.says, fault.help[1:]):
        assert words in whole
    (number,) = [n for n, text in enumerate(lines) if "~~~" in text]
    assert cells(lines[number - 1][: lines[number - 1].index("bad")]) == lines[number].index("~")


def cells(text: str) -> int:
    return sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)
