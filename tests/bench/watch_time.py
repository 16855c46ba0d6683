"""How soon a save stands on its page while `flipbook watch` runs, as a ratio to a first compile in the same run.

The time runs from the moment a new piece.yaml has taken the old one's place until the page with its words does. Of it,
`saves.QUIET` seconds are waited on purpose, in case more is saved.

    python tests/bench/watch_time.py                  500 pieces, 7 saves
    python tests/bench/watch_time.py --at-most 0.5    end with 1 when the median is over that ratio
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

from made_shop import make_shop

from flipbook.watch.saves import QUIET

PATIENCE = 120.0


def saved_to_page(root: Path, out: Path, turn: int, pieces: int) -> float:
    """Seconds from a save to its page."""
    folder = f"piece-{turn * 7919 % pieces:05}"
    file, page = root / "pieces" / folder / "piece.yaml", out / "portfolio" / folder / "index.html"
    words = f"It came back to the bench, turn {turn}."
    aside = file.with_name(".piece.yaml.new")
    aside.write_text(file.read_text("utf-8").replace("It stood in a porch", f"{words} It stood in a porch"), "utf-8")
    aside.replace(file)
    started = time.perf_counter()
    while words not in page.read_text("utf-8"):
        if time.perf_counter() - started > PATIENCE:
            raise TimeoutError(f"{page} was not made again")
        time.sleep(0.002)
    return time.perf_counter() - started


def main() -> int:
    words = argparse.ArgumentParser(description="Measure the time from a save to its page.")
    words.add_argument("--pieces", type=int, default=500)
    words.add_argument("--saves", type=int, default=7)
    words.add_argument("--at-most", type=float)
    arguments = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        root, out = Path(folder) / "shop", Path(folder) / "out"
        make_shop(root, arguments.pieces)
        watch = subprocess.Popen(
            [sys.executable, "-m", "flipbook", "watch", str(root), "--out", str(out)], stdout=subprocess.PIPE, text=True
        )
        assert watch.stdout
        try:
            first = next(
                float(found[1]) for line in watch.stdout if (found := re.search(r"made .* in ([\d.]+) s\.", line))
            )
            times = []
            for turn in range(arguments.saves):
                times.append(saved_to_page(root, out, turn, arguments.pieces))
                look = next(line for line in watch.stdout if " saved " in line)
                work = re.search(r"made (.*) in ([\d.]+) s\.", look)
                assert work, look
                print(f"saved: {times[-1]:.2f} s to its page; {work[1]} made in {work[2]} s")
        finally:
            watch.terminate()
            watch.wait()
    ratio = median(times) / first
    print(
        f"{arguments.pieces} pieces: first compile {first:.2f} s; a save is on its page after {median(times):.2f} s (median), "
        f"{ratio:.2f} of that; {QUIET:.2f} s of it are waited on purpose"
    )
    return 1 if arguments.at_most is not None and ratio > arguments.at_most else 0


if __name__ == "__main__":
    raise SystemExit(main())
