"""The frame of a problem as it is printed: position, line, tildes under the right signs, what to write."""

from __future__ import annotations

import pytest
from shop_writer import GOOD_PIECE, ShopWriter, run_flipbook

PIECE = "pieces/oak-stool/piece.yaml"

FRAMES = [
    (
        PIECE, GOOD_PIECE + "asking:\n  - on: 2026-03-01\n    price: 1.240,00\n",
        """\
pieces/oak-stool/piece.yaml:5:12: to mend: the comma stands where the point goes [money]

    5      price: 1.240,00
                  ~~~~~~~~

    Write `1240.00`.
""",
    ),
    (
        PIECE, GOOD_PIECE + "log:\n  - 2026-02-30 washed\n",
        """\
pieces/oak-stool/piece.yaml:4:10: to mend: there is no such day as 2026-02-30 [date]

    4    - 2026-02-30 washed
                ~~~~~

    Check the month and the day.
""",
    ),
    (
        PIECE, GOOD_PIECE + "\n" * 7 + "flows: chipped\n",
        """\
pieces/oak-stool/piece.yaml:10:1: to mend: `flows` is not a key of this mapping [unknown-key]

    10  flows: chipped
        ~~~~~

    Write `flaws`.
""",
    ),
    (
        "receipts/2026.yaml",
        "- {on: 2026-01-02, from: Zoë & 日本, what: wax, cost: 9.00, total: 9.10, for: supplies}\n",
        """\
receipts/2026.yaml:1:66: to mend: the lines come to 9.00, and the total says 9.10 [total-disagrees]

    1  - {on: 2026-01-02, from: Zoë & 日本, what: wax, cost: 9.00, total: 9.10, for: supplies}
                                                                          ~~~~ 0.10 too much

    Check the lines, discount, tax and shipping against the slip.
""",
    ),
    (
        PIECE, GOOD_PIECE + "sold: {on: 2026-04-11, price: 9, at: portch sale}\r\n",
        """\
pieces/oak-stool/piece.yaml:3:38: to mend: `portch sale` is no outlet of shop.yaml [no-such-outlet]

    3  sold: {on: 2026-04-11, price: 9, at: portch sale}
                                            ~~~~~~~~~~~

    Write `porch sale`.
""",
    ),
    (
        PIECE, "\ufeffpiece: Oak stool\nfound:\n\ton: 2026-01-05\n",
        """\
pieces/oak-stool/piece.yaml:3:1: to mend: a tab stands where only spaces may [yaml-tab]

    3   on: 2026-01-05
       ~

    Indent with spaces, and take the tab out.
""",
    ),
    (
        "tool.yaml", "- anything\n",
        """\
tool.yaml: look at: this file is not read [not-read]

    Rename it to `tools.yaml`.
""",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "frame"), FRAMES, ids=[frame.split("\n")[0] for _, _, frame in FRAMES])
def test_a_problem_is_printed_with_its_line_and_tildes_under_the_fault(
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
        "pieces/oak-stool/piece.yaml:6:20: to mend: this was never bought for the shelf [not-on-the-shelf]\n"
        "\n"
        "    6      used: [1/4 can satin claer coat]\n"
        "                          ~~~~~~~~~~~~~~~~ no product named `satin claer coat`\n"
        "\n"
        "    Write `satin clear coat`, bought at receipts/2026.yaml:1:3.\n"
        "\n"
        "1 problem to mend; nothing was written.\n"
    )


def test_a_long_line_is_shown_around_the_fault(shop: ShopWriter) -> None:
    before = "tell: " + "x" * 500
    shop.piece(f"sold: {{private: {'y' * 300}, on: 2026-04-11, price: 40.005, buyer: {'z' * 300}}}\n{before}\n")
    lines = run_flipbook("check", shop.root).out.splitlines()
    head, _, shown, mark = lines[:4]
    assert len(shown) < 120
    assert shown[mark.index("~") : mark.rindex("~") + 1] == "40.005"
    assert shown.count("…") == 2
    column = len("sold: {private: ") + 300 + len(", on: 2026-04-11, price: ") + 1
    assert head.startswith(f"{PIECE}:3:{column}: to mend: ")


def test_problems_of_several_files_are_printed_in_order_and_counted(shop: ShopWriter) -> None:
    shop.piece("size: big\nkind: [a]\n").piece("built: old\n", folder="pine-chest")
    ran = run_flipbook("check", shop.write({"trips.yaml": "- {on: 2026-13-01, miles: 1, to: M.}\n"}).root)
    places = [line.partition(": to mend: ")[0] for line in ran.out.splitlines() if ": to mend: " in line]
    assert places == [f"{PIECE}:3:7", f"{PIECE}:4:7", "pieces/pine-chest/piece.yaml:3:8", "trips.yaml:1:13"]
    assert ran.out.endswith("\n4 problems to mend; nothing was written.\n")
