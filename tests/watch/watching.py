"""`flipbook watch` as a process: what it says, read as it comes, and ways in which editors save."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from shop_writer import flipbook_environment

LONG = 30.0
"""Seconds that anything may take on a busy machine before it counts as not happening."""

# A test may be run in the background of a shell that lets nothing there be interrupted.
RUN = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
signal.signal(signal.SIGHUP, signal.SIG_DFL)
from flipbook.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


def wait_until(holds: Callable[[], object], what: str, within: float = LONG) -> None:
    """Wait until something holds."""
    until = time.monotonic() + within
    while not holds():
        assert time.monotonic() < until, f"not within {within} s: {what}"
        time.sleep(0.02)


class Watching:
    """A watch that runs; `lines` grows with what it says. `first` is Python that its process runs before."""

    def __init__(self, *words: str | Path, first: str = "") -> None:
        self.lines: list[str] = []
        self.process = subprocess.Popen(
            [sys.executable, "-c", f"{first}\n{RUN}", "watch", *map(str, words)],
            env=flipbook_environment(),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout
        for line in self.process.stdout:
            self.lines.append(line.rstrip("\n"))

    def says(self, pattern: str, after: int = 0, within: float = LONG) -> int:
        """Wait until a line after the first `after` fits; gives how many lines there were with it."""

        def fitting() -> int:
            found = (n for n, line in enumerate(self.lines[after:], after + 1) if re.search(pattern, line))
            return next(found, 0)

        until = time.monotonic() + within
        while not fitting():
            assert time.monotonic() < until, f"no line fits {pattern!r}: {self.lines}"
            assert self.process.poll() is None or not self._reader.is_alive(), self.lines
            time.sleep(0.02)
        return fitting()

    def ready(self) -> int:
        """Wait until the first compile is over; gives how many lines were said."""
        return self.says("Nothing to mend|to look at|to mend")

    def looks(self, after: int = 0) -> list[str]:
        """The lines that say what came of a save."""
        return [line for line in self.lines[after:] if re.match(r"[\d:]{8} saved ", line)]

    def settled(self, quiet: float = 1.5) -> int:
        """Wait until nothing has been said for a while; gives how many lines were said."""
        said, since = len(self.lines), time.monotonic()
        until = since + LONG
        while time.monotonic() - since < quiet:
            assert time.monotonic() < until, self.lines
            time.sleep(0.05)
            if len(self.lines) != said:
                said, since = len(self.lines), time.monotonic()
        return said

    def address(self) -> str:
        """Where the portfolio is shown."""
        number = self.says(r"for buyers: http://")
        return self.lines[number - 1].rpartition("for buyers: ")[2]

    def cpu_seconds(self) -> float:
        """What the process has used of the processors until now, all threads together."""
        stat = Path(f"/proc/{self.process.pid}/stat").read_text()
        user, system = stat.rpartition(")")[2].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")

    def end(self, with_signal: int = signal.SIGINT) -> int:
        """Stop it; gives its exit status."""
        if self.process.poll() is None:
            self.process.send_signal(with_signal)
        try:
            status = self.process.wait(LONG)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise
        self._reader.join(LONG)
        text = "\n".join(self.lines)
        assert "Traceback" not in text, text
        return status


@contextlib.contextmanager
def watching(*words: str | Path, first: str = "") -> Iterator[Watching]:
    """A watch that is stopped at the end, whatever happens; what it says must hold no traceback."""
    watch = Watching(*words, first=first)
    try:
        yield watch
        watch.end()
    finally:
        watch.process.kill()
        watch.process.wait()


def in_two_halves(path: Path, text: str) -> None:
    """Empty the file, then write it in two parts."""
    with path.open("w", encoding="utf-8") as stream:
        stream.write(text[: len(text) // 2])
        stream.flush()
        stream.write(text[len(text) // 2 :])


def aside_and_renamed(path: Path, text: str) -> None:
    """Write a file beside it, and give that its name."""
    aside = path.with_name(f".{path.name}.part-x7")
    aside.write_text(text, encoding="utf-8")
    aside.replace(path)


def shown_aside_and_renamed(path: Path, text: str) -> None:
    """The same with a name that is not hidden."""
    aside = path.with_name(f"{path.name}.tmp")
    aside.write_text(text, encoding="utf-8")
    aside.replace(path)


def backup_kept(path: Path, text: str) -> None:
    """Probe the folder, rename the old file to a backup, write a new one, take the backup away."""
    probe = path.with_name("4913")
    probe.touch()
    probe.unlink()
    backup = path.with_name(f"{path.name}~")
    path.rename(backup)
    path.write_text(text, encoding="utf-8")
    path.chmod(0o644)
    backup.unlink()


def gone_and_new(path: Path, text: str) -> None:
    """Take the file away and make a new one of its name."""
    path.unlink()
    path.write_text(text, encoding="utf-8")


WAYS_TO_SAVE = {
    "in two halves": in_two_halves,
    "aside and renamed": aside_and_renamed,
    "shown aside and renamed": shown_aside_and_renamed,
    "with a backup": backup_kept,
    "gone and new": gone_and_new,
}
