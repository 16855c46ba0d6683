"""Words completed in the shell: commands, options, and the names that a shop's files give."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterable
from importlib import import_module
from pathlib import Path

import argcomplete
from argcomplete.completers import BaseCompleter, DirectoriesCompleter, FilesCompleter

from flipbook.cli.ending import Misused, shop_at
from flipbook.shop.records.expenses import KINDS


def complete(parser: argparse.ArgumentParser) -> None:
    """Answer the shell, and end. Nothing is done, and nothing is said of what goes wrong."""
    argcomplete.autocomplete(parser, always_complete_options="long", default_completer=_Names())


class _Names(BaseCompleter):
    """What may stand for a word, by its name in the help."""

    def __call__(
        self, *, prefix: str, action: argparse.Action, parser: argparse.ArgumentParser, parsed_args: argparse.Namespace
    ) -> Iterable[str]:
        metavar = action.metavar if isinstance(action.metavar, str) else ""
        try:
            if metavar == "FILE":
                return list(FilesCompleter()(prefix))
            if metavar in ("DIR", "SHOP"):
                return list(DirectoriesCompleter()(prefix))
            if metavar in _NAMES:
                return _NAMES[metavar](shop_at(getattr(parsed_args, "shop", None)), prefix)
        except (Misused, OSError, ValueError):
            pass  # there is nothing to offer, and no place to say why
        return ()


def _folders(root: Path, prefix: str) -> list[str]:
    """The folders of pieces; no file is opened."""
    with os.scandir(root / "pieces") as there:
        return sorted(entry.name for entry in there if entry.is_dir() and not entry.name.startswith("."))


def _products(root: Path, prefix: str) -> list[str]:
    """The products that go on from what stands there already, as `1/4 can sat` goes on to `1/4 can satin clear coat`."""
    names: list[str] = import_module("flipbook.shop.names").products_of(root)
    for start in (number for number in range(len(prefix) + 1) if not number or prefix[number - 1] == " "):
        begun = prefix[start:].casefold()
        fits = [name for name in names if name.casefold().startswith(begun)]
        if fits:
            return [prefix + name[len(begun) :] for name in fits]
    return []


def _outlets(root: Path, prefix: str) -> list[str]:
    outlets: list[str] = import_module("flipbook.shop.names").outlets_of(root)
    return outlets


def _purposes(root: Path, prefix: str) -> list[str]:
    return [*_folders(root, prefix), *KINDS]


_NAMES: dict[str, Callable[[Path, str], list[str]]] = {
    "PIECE": _folders,
    "PAST": _folders,
    "NEW": _folders,
    "USE": _products,
    "MIX": _products,
    "WHAT": _products,
    "LINE": _products,
    "OUTLET": _outlets,
    "PURPOSE": _purposes,
}
