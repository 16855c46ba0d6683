"""The frame of a problem as it is printed: position, line, carets under the right signs, what to write."""

from __future__ import annotations

import pytest
from shop_writer import GOOD_PIECE, ShopWriter, run_flipbook

PIECE = "pieces/oak-stool/piece.yaml"

FRAMES = [
    (
        PIECE, GOOD_PIECE + "asking:\n  - on: 2026-03-01\n    price: 1.240,00\n",
        """\
error: the comma stands where the point goes (money)
 --> pieces/oak-stool/piece.yaml:5:12
  |
5 |     price: 1.240,00
  |            ^^^^^^^^
   = help: write `1240.00`
""",
    ),
    (
        PIECE, GOOD_PIECE + "log:\n  - 2026-02-30 washed\n",
        """\
error: there is no such day as 2026-02-30 (date)
 --> pieces/oak-stool/piece.yaml:4:10
  |
4 |   - 2026-02-30 washed
  |          ^^^^^
   = help: check the month and the day
""",
    ),
    (
        PIECE, GOOD_PIECE + "\n" * 7 + "flows: chipped\n",
        """\
error: `flows` is not a key of this mapping (unknown-key)
  --> pieces/oak-stool/piece.yaml:10:1
   |
10 | flows: chipped
   | ^^^^^
   = help: write `flaws`
""",
    ),
    (
        "receipts/2026.yaml",
        "- {on: 2026-01-02, from: Zoë & 日本, what: wax, cost: 9.00, total: 9.10, for: supplies}\n",
        """\
error: the lines come to 9.00, and the total says 9.10 (total-disagrees)
 --> receipts/2026.yaml:1:66
  |
1 | - {on: 2026-01-02, from: Zoë & 日本, what: wax, cost: 9.00, total: 9.10, for: supplies}
  |                                                                    ^^^^ 0.10 too much
   = help: check the lines, discount, tax and shipping against the slip
""",
    ),
    (
        PIECE, GOOD_PIECE + "sold: {on: 2026-04-11, price: 9, at: portch sale}\r\n",
        """\
error: `portch sale` is no outlet of shop.yaml (no-such-outlet)
 --> pieces/oak-stool/piece.yaml:3:38
  |
3 | sold: {on: 2026-04-11, price: 9, at: portch sale}
  |                                      ^^^^^^^^^^^
   = help: write `porch sale`
""",
    ),
    (
        PIECE, "\ufeffpiece: Oak stool\nfound:\n\ton: 2026-01-05\n",
        """\
error: a tab stands where only spaces may (yaml-tab)
 --> pieces/oak-stool/piece.yaml:3:1
  |
3 |  on: 2026-01-05
  | ^
   = help: indent with spaces, and take the tab out
""",
    ),
    (
        "tool.yaml", "- anything\n",
        """\
warning: this file is not read (not-read)
  --> tool.yaml
   = help: rename it to `tools.yaml`
""",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "frame"), FRAMES, ids=[frame.split("\n")[0] for _, _, frame in FRAMES])
def test_a_problem_is_printed_with_its_line_and_carets_under_the_fault(
    shop: ShopWriter, file: str, text: str, frame: str
) -> None:
    ran = run_flipbook("check", shop.piece().write({file: text}).root)
    assert ran.out.startswith(frame + "\n"), ran.out


def test_the_nearest_product_is_offered_with_where_it_was_bought(shop: ShopWriter) -> None:
    shop.receipts(
        "- {on: 2026-01-02, from: M., what: satin clear coat, cost: 9, for: shelf, size: 1 quart, container: can}\n"
    )
    shop.piece("log:\n  - on: 2026-02-01\n    did: coated\n    used: [1/4 can satin claer coat]\n")
    ran = run_flipbook("check", shop.root)
    assert ran.out == (
        "error: this was never bought for the shelf (not-on-the-shelf)\n"
        " --> pieces/oak-stool/piece.yaml:6:20\n"
        "  |\n"
        "6 |     used: [1/4 can satin claer coat]\n"
        "  |                    ^^^^^^^^^^^^^^^^ no product named `satin claer coat`\n"
        "   = help: write `satin clear coat`, bought at receipts/2026.yaml:1\n"
        "\n"
        "1 problem to mend; nothing was written.\n"
    )


def test_a_long_line_is_shown_around_the_fault(shop: ShopWriter) -> None:
    before = "tell: " + "x" * 500
    shop.piece(f"sold: {{private: {'y' * 300}, on: 2026-04-11, price: 40.005, buyer: {'z' * 300}}}\n{before}\n")
    lines = run_flipbook("check", shop.root).out.splitlines()
    shown, carets = lines[3], lines[4]
    assert len(shown) < 120
    assert shown[carets.index("^") : carets.rindex("^") + 1] == "40.005"
    assert shown.count("…") == 2
    assert lines[1] == f" --> {PIECE}:3:{len('sold: {private: ') + 300 + len(', on: 2026-04-11, price: ') + 1}"


def test_problems_of_several_files_are_printed_in_order_and_counted(shop: ShopWriter) -> None:
    shop.piece("size: big\nkind: [a]\n").piece("built: old\n", folder="pine-chest")
    ran = run_flipbook("check", shop.write({"trips.yaml": "- {on: 2026-13-01, miles: 1, to: M.}\n"}).root)
    places = [line.partition("--> ")[2] for line in ran.out.splitlines() if "-->" in line]
    assert places == [f"{PIECE}:3:7", f"{PIECE}:4:7", "pieces/pine-chest/piece.yaml:3:8", "trips.yaml:1:13"]
    assert ran.out.endswith("\n4 problems to mend; nothing was written.\n")
