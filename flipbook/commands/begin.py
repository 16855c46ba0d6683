"""`flipbook begin`: a new piece's folder."""

from __future__ import annotations

import argparse
import sys
from datetime import date

from flipbook.ending import DONE, Misused, reason, shop_at

PAGE = """\
flipbook begin "TITLE" [--on DATE] [--from WHO] [--cost MONEY] [--shop DIR]

Makes a folder under pieces/ with a piece.yaml that explains each key, and a photos/
folder beside it. Say what the piece cost now, or fill it in later.

  flipbook begin "Bow-front oak washstand" --from "Mill Road estate sale" --cost 40
"""


def take_words(parser: argparse.ArgumentParser) -> None:
    """Tell the parser what may follow the command."""
    parser.add_argument("title", metavar="TITLE")
    parser.add_argument("--on", metavar="DATE")
    parser.add_argument("--from", dest="came_from", metavar="WHO", default="")
    parser.add_argument("--cost", metavar="MONEY")
    parser.add_argument("--shop", metavar="DIR")


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    from flipbook.measures.dates import read_when
    from flipbook.measures.money import read_money
    from flipbook.measures.unreadable import Unreadable
    from flipbook.shipped import templates_folder
    from flipbook.shop.reading import currency_of
    from flipbook.shop.starting import folder_name, start_piece, starter_text

    root = shop_at(arguments.shop)
    title = " ".join(arguments.title.split())
    if not title or not title.isprintable():
        raise Misused('say what the piece is, as `flipbook begin "Bow-front oak washstand"`')
    try:
        day = read_when(arguments.on).day if arguments.on else date.today()
        cost = read_money(arguments.cost, currency_of(root)) if arguments.cost is not None else None
    except Unreadable as fault:
        raise Misused(f"{fault.says}; {fault.write}") from None
    if arguments.came_from and cost is None:
        raise Misused("`--from` wants `--cost` beside it; write `--cost 0` for a free find")
    folder = folder_name(title)
    template = (templates_folder() / "starter" / "piece.yaml").read_text(encoding="utf-8")
    came_from = " ".join(arguments.came_from.split())
    try:
        file = start_piece(root, folder, starter_text(template, title, day, came_from, cost))
    except FileExistsError:
        raise Misused(
            f"there is a folder pieces/{folder} already; give the piece a title that tells it apart"
        ) from None
    except OSError as fault:
        raise Misused(f"the folder pieces/{folder} cannot be made: {reason(fault)}") from None
    sys.stdout.write(f"Write in   {file}\nPictures   {file.parent / 'photos'}\n")
    if cost is None:
        sys.stdout.write("Not yet said: how the piece came and what it cost (`found:`).\n")
    return DONE
