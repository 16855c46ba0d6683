"""The worst that 2 MiB can hold: every command on it ends within 10 s and 500 MiB, and says something."""

from __future__ import annotations

import subprocess
import sys

import pytest
from shop_writer import GOOD_PIECE, ShopWriter, flipbook_environment

from flipbook.shop.composing import MOST_BYTES

PIECE, RECEIPTS = "pieces/oak-stool/piece.yaml", "receipts/2026.yaml"
SECONDS, MEBIBYTES = 10, 500

# The command in a process of its own, which then says the most memory that it held, in KiB. The kernel's
# own high-water mark is read, since `resource` would count what the process that starts it held before.
MEASURED = """\
import re, sys
from flipbook.cli.main import main
code = main(["check", sys.argv[1]])
sys.stdout.flush()
with open("/proc/self/status") as status:
    sys.stderr.write("\\n" + re.search(r"VmHWM:\\s+(\\d+) kB", status.read())[1])
sys.exit(code)
"""


def full(before: str, each: str, after: str = "\n") -> str:
    """`each` over and over between `before` and `after`, as often as 2 MiB hold; `@` in it counts up."""
    parts, room, number = [], MOST_BYTES - len(before) - len(after), 0
    while True:
        part = each.replace("@", str(number))
        room -= len(part)
        if room < 0:
            return before + "".join(parts) + after
        parts.append(part)
        number += 1


STEP = GOOD_PIECE + "log:\n  - on: 2026-02-01\n    did: worked\n    "
FLAT = "on: 2026-01-01, from: M."
WORST = {
    "a million open brackets": {PIECE: "[" * 1_000_000},
    "a million open braces": {PIECE: "{" * 1_000_000},
    "half a million list signs": {PIECE: "- " * 500_000},
    "half a million question marks": {PIECE: "? " * 500_000},
    "brackets over many lines": {PIECE: "[\n" * 500_000},
    "one line of 2 MiB": {PIECE: full(GOOD_PIECE + "tell: ", "a")},
    "one quoted line of 2 MiB": {PIECE: full(GOOD_PIECE + 'tell: "', "\\n", '"\n')},
    "2 MiB of spaces": {PIECE: full(GOOD_PIECE, " ")},
    "2 MiB of comments": {PIECE: full(GOOD_PIECE, "#\n")},
    "a million words": {PIECE: full(GOOD_PIECE + "flaws: [", "a,", "a]\n")},
    "a million keys in braces": {PIECE: full(GOOD_PIECE + "given: {", "a,", "a: b}\n")},
    "a million problems in one list": {PIECE: full(STEP + "used: [", "a,", "a]\n")},
    "unknown keys line by line": {PIECE: full(GOOD_PIECE, "k@:\n")},
    "the same key line by line": {PIECE: full(GOOD_PIECE, "kind: a\n")},
    "one-line steps without a day": {PIECE: full(GOOD_PIECE + "log:\n", "- a\n")},
    "spaces in the middle of a size": {PIECE: full(GOOD_PIECE + 'size: "34', " ", 'b"\n')},
    "letters and spaces in a size": {PIECE: full(GOOD_PIECE + 'size: "34 x 19 x 30 W', " ", 'b"\n')},
    "many signs between the parts of a size": {PIECE: full(GOOD_PIECE + "size: ", "x ")},
    "spaces in the middle of every other measure": {
        PIECE: full(GOOD_PIECE + 'built: "about', " ", 'b"\n'),
        RECEIPTS: full(f'- {{{FLAT}, what: wax, cost: 1, for: shelf, size: "1', " ", 'b"}\n'),
        "tools.yaml": full('- {tool: a, cost: 1, write off: at once, on: "2026-01-01', " ", 'b"}\n'),
        "products.yaml": full('products: {a: {covers: "75 sq ft', " ", 'b", recoat: "1 h b"}}\n'),
    },
    "spaces in the middle of a use": {PIECE: full(STEP + 'used: ["1', " ", 'b"]\n')},
    "spaces in a step of one line": {PIECE: full(GOOD_PIECE + 'log: ["2026-02-01', " ", 'b"]\n')},
    "spaces in a time taken": {PIECE: full(STEP + 'took: "1 h', " ", 'b"\n')},
    "a number of 100,000 digits everywhere": {
        PIECE: STEP + "took: {0} min\n    used: [{0} oz wax, 1/{0} can wax]\n    grit: {0}\nsize: {0} x {0} x {0} in\n"
        "built: {0}\nasking: [{{on: 2026-03-01, price: {0}}}, {{on: {0}-01-01, price: 1.{0}}}]\n".format("9" * 100_000),
    },
    "commas and points in a sum": {PIECE: full(GOOD_PIECE + "asking:\n  - on: 2026-03-01\n    price: ", "1,.")},
    "slashes in a path": {PIECE: full("piece: a\nfound: {on: 2026-01-05, cost: 1, scan: ", "x/", "}\n")},
    "scans that are not there": {PIECE: full("piece: a\nfound: {on: 2026-01-05, cost: 1, scan: [", "x@,", "x]}\n")},
    "totals that disagree": {RECEIPTS: full("", f"- {{{FLAT}, what: b, cost: 1, total: 2, for: bank}}\n")},
    "receipts for pieces that are not there": {RECEIPTS: full("", f"- {{{FLAT}, what: b, cost: 1, for: oak-@}}\n")},
    "uses of thousands of products that were never bought": {
        RECEIPTS: full("", f"- {{{FLAT}, what: wax @, cost: 1, for: shelf}}\n"),
        PIECE: full(STEP + "used: [", "1 g wox @,", "1 g wox]\n"),
    },
    "a receipt shared by thousands of pieces": {RECEIPTS: full(f"- {{{FLAT}, what: b, cost: 1, for: {{", "o@: 1,", "p: 1}}\n")},
    "sales and deposits by the thousand": {
        PIECE: GOOD_PIECE + "deposits:\n" + "- {on: 2026-01-10, amount: 1}\n" * 30_000 + "sold:\n"
        + "- {on: 2026-02-01, price: 1, returned: {on: 2026-02-01, refund: 1}}\n" * 16_000,
    },
    "a mix of thousands of parts": {PIECE: full(STEP + "mix: {makes: 1 pint", ", p@: 1/9@", "}\n")},
    "lots bought and used up one by one": {
        RECEIPTS: full("", f"- {{{FLAT}, what: wax, cost: 1, for: shelf}}\n"),
        PIECE: STEP + "used: [" + "1 each wax," * 30_000 + "1 each wax]\n",
    },
    "uses in thirds and sevenths": {
        RECEIPTS: f"- {{{FLAT}, what: wax, cost: 999.99, for: shelf, size: 900000 oz}}\n",
        "shop.yaml": "shop: a\ncurrency: USD\ncosting: average\n",
        PIECE: STEP + "used: [" + ", ".join(f"1/{n} oz wax" for n in range(1, 20_000)) + "]\n",
    },
}  # fmt: skip


@pytest.mark.parametrize("what", WORST)
def test_the_worst_that_a_file_can_hold_is_told_in_time_and_in_little_memory(shop: ShopWriter, what: str) -> None:
    files = WORST[what]
    assert all(len(text.encode()) <= MOST_BYTES for text in files.values()), "over 2 MiB is refused unread"
    shop.piece().write(files)
    ran = subprocess.run(
        [sys.executable, "-c", MEASURED, str(shop.root)],
        env=flipbook_environment(),
        capture_output=True,
        timeout=SECONDS,
        check=False,
    )
    said, _, kibibytes = ran.stderr.decode().rpartition("\n")
    assert ran.returncode in (0, 1), said[-2000:]
    assert "Traceback" not in said
    assert 0 < len(ran.stdout) < MOST_BYTES
    assert int(kibibytes) < MEBIBYTES * 1024
