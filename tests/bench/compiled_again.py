"""How fast a shop compiles again: with nothing changed, and after one piece's log was saved.

A compile with nothing changed is held against `git status --porcelain` on the same tree, each a process of its
own. What a `Compiler` does after a log was saved is held against its own first compile, and every byte of its
output against a first compile of the shop as it is then. The log is one in the middle of the shop's years; what
a step takes off the shelf changes what later pieces cost, and so their pages.

    python tests/bench/compiled_again.py SHOP FOLDER      SHOP is a made shop; the outputs go into FOLDER
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import time
from hashlib import sha256
from pathlib import Path
from statistics import median

from made_shop import PRODUCTS

from flipbook.compile import Compiler, compile_shop
from flipbook.unchanged import NOTE

NOTHING = b"Nothing had changed"
EDITS = {
    "another word": lambda log: log.replace("rinsed and towelled dry", "rinsed twice and towelled dry", 1),
    "a step": lambda log: log.replace("\ntrips:", "\n  - 2029-01-02 30 min buffed the top\ntrips:", 1),
    "a step that uses a product": lambda log: log.replace(
        "\ntrips:", f"\n  - {{on: 2029-01-02, did: waxed, used: [1/2 fl oz {PRODUCTS[0]}]}}\ntrips:", 1
    ),
    "a receipt above the log": lambda log: log.replace(
        "\nlog:", "\n  - {on: 2026-09-01, from: Harbour Hardware, what: felt pads, cost: 4.49}\nlog:", 1
    ),
}


def nothing_changed(root: Path, out: Path, runs: int = 21) -> tuple[float, float]:
    """Seconds of a compile that finds nothing changed, and of `git status --porcelain`, each a process of its own."""
    git = ["git", "-C", str(root), "-c", "user.name=bench", "-c", "user.email=bench@quillback.example"]
    (root / ".gitignore").write_text("out/\n")
    for words in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "as it is"]):
        subprocess.run([*git, *words], check=True)
    again = [sys.executable, "-m", "flipbook", "compile", str(root), "--out", str(out)]
    said = [subprocess.run(again, check=True, capture_output=True).stdout for _ in range(2)]
    assert NOTHING in said[1]
    ours, theirs = [], []
    for _ in range(runs):  # in turn, so that what else the machine does falls on both
        ours.append(seconds_of(again))
        theirs.append(seconds_of([*git, "status", "--porcelain"]))
    return median(ours), median(theirs)


def seconds_of(words: list[str]) -> float:
    started = time.perf_counter()
    subprocess.run(words, check=True, capture_output=True)
    return time.perf_counter() - started


def bytes_in(folder: Path) -> dict[str, bytes]:
    """A digest of every byte of each file of an output, the note apart."""
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != NOTE)
    return {str(path.relative_to(folder)): sha256(path.read_bytes()).digest() for path in files}


def one_log_saved(root: Path, home: Path) -> None:
    """What a `Compiler` takes after each edit of a log, and whether it leaves what a first compile would leave."""
    logs = sorted((root / "pieces").glob("*/piece.yaml"))
    log = logs[len(logs) // 2]
    was = log.read_text()
    compiler = Compiler(root, home / "kept")
    first = seconds_to(compiler)
    print(f"a Compiler's first compile {first:.2f} s, peak memory {peak()} MiB")
    after = {}
    for what, edit in EDITS.items():
        took = []
        for _ in range(3):
            log.write_text(edit(was))
            assert log.read_text() != was
            took.append(seconds_to(compiler))
            after[what] = bytes_in(home / "kept")
            log.write_text(was)
            compiler.compile()
        print(f"one log saved, {what}: {median(took):.3f} s, {median(took) / first:.1%} of the first")
    print(f"after {len(EDITS) * 6} edits peak memory {peak()} MiB")
    for what, edit in EDITS.items():
        log.write_text(edit(was))
        shutil.rmtree(home / "fresh", ignore_errors=True)
        compile_shop(root, home / "fresh")
        log.write_text(was)
        assert after[what] == bytes_in(home / "fresh"), what
    print("every byte after each edit is as a first compile's")


def seconds_to(compiler: Compiler) -> float:
    started = time.perf_counter()
    assert compiler.compile().books is not None
    return time.perf_counter() - started


def peak() -> int:
    found = re.search(r"VmHWM:\s+([0-9]+)", Path("/proc/self/status").read_text())
    assert found is not None
    return int(found[1]) // 1024


def main() -> None:
    root, home = map(Path, sys.argv[1:])
    ours, theirs = nothing_changed(root, home / "again")
    print(f"nothing changed {ours:.3f} s, git status --porcelain {theirs:.3f} s: {ours / theirs:.2f}")
    one_log_saved(root, home)


if __name__ == "__main__":
    main()
