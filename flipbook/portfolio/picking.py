"""Kinds and finishes to pick pieces by: a page for each beside the first page, which links to them.

The pages are ready made, so that picking needs no script.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

from flipbook.portfolio.public import PublicPiece
from flipbook.shop.nearest import folded

MANY = 24
"""Where there are more kinds than that, those of a single piece are left out, so that the list stays one to read."""
LONGEST = 60
"""The most letters that a page's name takes from a kind or a finish."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicChoice:
    """A kind or a finish to pick by: its words, the page of its pieces from the first page, and how many there are."""

    words: str
    address: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Picking:
    """What there is to pick by on the first page; a list of fewer than two choices is no choice, and is empty."""

    kinds: tuple[PublicChoice, ...] = ()
    finishes: tuple[PublicChoice, ...] = ()


def picking(pieces: Sequence[PublicPiece]) -> Picking:
    """The kinds and finishes of the pieces given, by their words."""
    return Picking(kinds=_choices("kind", pieces, kind_of), finishes=_choices("finish", pieces, finish_of))


def kind_of(piece: PublicPiece) -> str:
    return piece.kind


def finish_of(piece: PublicPiece) -> str:
    return piece.finish


def pieces_of(
    pieces: Iterable[PublicPiece], choices: Iterable[PublicChoice], of: Callable[[PublicPiece], str]
) -> Iterator[tuple[PublicChoice, list[PublicPiece]]]:
    """Each choice with its pieces, in the order given."""
    by_name: dict[str, list[PublicPiece]] = {}
    for piece in pieces:
        by_name.setdefault(_alike(of(piece)), []).append(piece)
    for choice in choices:
        yield choice, by_name[_alike(choice.words)]


def _choices(what: str, pieces: Sequence[PublicPiece], of: Callable[[PublicPiece], str]) -> tuple[PublicChoice, ...]:
    by_name: dict[str, list[str]] = {}
    for piece in pieces:
        if name := _alike(of(piece)):
            by_name.setdefault(name, []).append(of(piece))
    if len(by_name) > MANY:
        by_name = {name: written for name, written in by_name.items() if len(written) > 1}
    if len(by_name) < 2:
        return ()
    slugs = slugs_of(by_name)
    return tuple(
        PublicChoice(
            words=" ".join(by_name[name][0].split()), address=f"{what}-{slugs[name]}.html", count=len(by_name[name])
        )
        for name in sorted(by_name)
    )


def slugs_of(names: Iterable[str]) -> dict[str, str]:
    """A part of a file's name for each of several folded names: lower-case ASCII, and no two alike.

    Names whose letters come to the same, or that have none of these letters, get some of their digest besides, so that
    an address does not depend on which other names there are before it.
    """
    plain = {name: _plain(name) for name in names}
    often: dict[str, int] = {}
    for slug in plain.values():
        often[slug] = often.get(slug, 0) + 1
    return {
        name: slug
        if slug and often[slug] == 1 and not _ENDS_AS_A_DIGEST.search(slug)
        else f"{slug}-{_digest(name)}".lstrip("-")
        for name, slug in plain.items()
    }


_ENDS_AS_A_DIGEST = re.compile(r"(?:^|-)[0-9a-f]{10}$")


def _alike(name: str) -> str:
    """Names that a buyer takes for one: case, spacing and the ways to write one letter folded."""
    return folded(unicodedata.normalize("NFKC", name))


def _plain(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", letters.casefold()).strip("-")[:LONGEST].strip("-")


def _digest(name: str) -> str:
    return sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:10]
