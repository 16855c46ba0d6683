"""`flipbook watch`: saving a file compiles."""

from __future__ import annotations

import argparse
import errno
import sys
from pathlib import Path

from flipbook.cli.ending import DONE, Misused, reason, shop_at
from flipbook.compile import Compiler, may_be_output
from flipbook.measures.unreadable import shown
from flipbook.watch.screen import display_on
from flipbook.watch.showing import Showing
from flipbook.watch.watch import Watch

HIGHEST_PORT = 65535


def carry_out(arguments: argparse.Namespace) -> int:
    """Carry out the command and say how it ended."""
    root = shop_at(arguments.shop)
    out = Path(arguments.out) if arguments.out else root / "out"
    port = None if arguments.show is None else _port(arguments.show)

    why_not = may_be_output(root, out)
    if why_not:
        raise Misused(f"{out} cannot take the output: {why_not}")
    try:
        showing = None if port is None else Showing(out, port)
    except OSError as fault:
        raise Misused(f"port {port} cannot be had: {_why(fault)}; name another, or 0 for any that is free") from None

    def places() -> tuple[tuple[str, str], ...]:
        if showing:
            return ("for buyers", showing.address), ("for you", f"{showing.address}books/")
        pages = (out.resolve() / folder / "index.html" for folder in ("portfolio", "books"))
        return tuple(zip(("for buyers", "for you"), map(str, pages), strict=True))

    compiler = Compiler(root, out)
    watch = Watch(root, out, compiler, display_on(sys.stdout, places), showing.announce if showing else None)
    try:
        ended, words = watch.run()
    finally:
        if showing:
            showing.close()
    if ended == DONE:
        sys.stdout.write(f"{words}\n")
        sys.stdout.flush()
        compiler.leave_note()
    else:
        sys.stderr.write(f"flipbook: {words}\n")
    return ended


def _port(text: str) -> int:
    """A port's number. Raises Misused."""
    is_number = text.isascii() and text.isdigit() and len(text) <= len(str(HIGHEST_PORT))
    if not is_number or int(text) > HIGHEST_PORT:
        raise Misused(f"`{shown(text)}` is no port; write a number up to {HIGHEST_PORT}, or 0 for any that is free")
    return int(text)


def _why(fault: OSError) -> str:
    if fault.errno == errno.EADDRINUSE:
        return "another program has it"
    if fault.errno in (errno.EACCES, errno.EPERM):
        return "the system keeps it for itself"
    return reason(fault)
