"""Which piece is meant: any part of its folder's name or its title that fits no other piece."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import NamedTuple

from flipbook.measures.unreadable import shown
from flipbook.shop.composing import Block, Scalar, compose
from flipbook.shop.finding import find
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Problem, visible
from flipbook.shop.reading import record_in
from flipbook.shop.records.piece import Piece
from flipbook.shop.records.state import State

MOST_LISTED = 20
_WHOLE_TITLE = 1
"""The place of a whole title among the ranks."""


class Known(NamedTuple):
    """A piece as it can be named: its folder, and its title when that can be read."""

    folder: str
    title: str

    @property
    def file(self) -> str:
        return f"pieces/{self.folder}/piece.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The piece that is meant. `passed_over` are pieces that have left the shop and would have fitted as well."""

    piece: Known
    state: State | None
    """The piece's state, or None when its file cannot be read."""
    passed_over: tuple[Known, ...] = ()

    @property
    def has_left(self) -> bool:
        """Whether it is known to have left the shop."""
        return _has_left(self.state)

    @property
    def note(self) -> str:
        """What to say of the choice before something is written, when it was not plain or the piece is gone."""
        if self.has_left:
            return f"Note that {self.piece.folder} has left the shop: it is {self.state}."
        if not self.passed_over:
            return ""
        others = ", ".join(one.folder for one in self.passed_over[:3]) + (", …" if len(self.passed_over) > 3 else "")
        gone = "has left the shop; its" if len(self.passed_over) == 1 else "have left the shop; a"
        return f"Taken for {self.piece.folder}. {others} {gone} whole folder name would mean it."


@dataclass(frozen=True, slots=True, kw_only=True)
class NotChosen:
    """Why no piece was chosen: a sentence, and the pieces to choose from, a line each."""

    says: str
    listed: tuple[str, ...] = ()

    def __str__(self) -> str:
        return "\n".join((self.says, *self.listed))


def plain(text: str) -> str:
    """A name with case, accents and spacing folded, its words parted by one space: `Égérie's  café` is `egerie s cafe`."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    letters = "".join(c for c in apart if not unicodedata.combining(c)).casefold()
    return " ".join(re.findall(r"[^\W_]+", letters))


def choose(root: Path, said: str, *, open_first: bool = False) -> Chosen | NotChosen:
    """The piece of the shop at `root` that `said` names.

    The whole name of a folder comes first, then a whole title; else every word of `said` must be in the name or the
    title, at the start of a word or, where no piece has that, anywhere. With `open_first` the one piece that has
    not left the shop is taken before those that have.
    """
    folder = ShopFolder(root)
    names = find(folder).pieces
    if said in names:
        piece = Known(said, title_of(folder, said))
        return Chosen(piece=piece, state=_state(folder, said))
    pieces = [Known(name, title_of(folder, name)) for name in names]
    if not pieces:
        return NotChosen(says='there is no piece in this shop yet; `flipbook begin "TITLE"` starts one')
    words = plain(said).split()
    ranks = list(_ranks(pieces, words)) if words else []
    rank, fits = next(((number, fit) for number, fit in enumerate(ranks) if fit), (0, []))
    states = {one.folder: _state(folder, one.folder) for one in fits[:MOST_LISTED]}
    open_ones = [one for one in fits if not _has_left(states.get(one.folder))]
    if open_first and fits and not open_ones and rank > _WHOLE_TITLE:
        # An open piece that fits less well is meant rather than one that is gone.
        wider = [one for one in ranks[-1] if one not in fits]
        states |= {one.folder: _state(folder, one.folder) for one in wider[:MOST_LISTED]}
        open_ones = [one for one in wider if not _has_left(states.get(one.folder))]
    if len(fits) == 1 and not (open_first and len(open_ones) == 1):
        return Chosen(piece=fits[0], state=states[fits[0].folder])
    if open_first and len(open_ones) == 1:
        passed_over = tuple(one for one in fits if one is not open_ones[0])
        return Chosen(piece=open_ones[0], state=states[open_ones[0].folder], passed_over=passed_over)
    if fits:
        return NotChosen(
            says=f"`{shown(said)}` fits {len(fits)} pieces; say more of the name of one of them",
            listed=_listed(fits, lambda one: states.get(one.folder)),
        )
    near = _nearest(pieces, plain(said))
    return NotChosen(
        says=f"no piece is named like `{shown(said)}`; "
        + ("these come nearest" if near else "their names are those of the folders in pieces/"),
        listed=_listed(near, lambda one: _state(folder, one.folder)),
    )


def _ranks(pieces: list[Known], words: list[str]) -> Iterable[list[Known]]:
    """The pieces that fit, by how well: the whole folder, the whole title, starts of words, anywhere."""
    said = " ".join(words)
    yield [one for one in pieces if plain(one.folder) == said]
    yield [one for one in pieces if plain(one.title) == said]
    yield [
        one
        for one in pieces
        if all(any(part.startswith(word) for part in plain(f"{one.folder} {one.title}").split()) for word in words)
    ]
    yield _anywhere(pieces, words)


def _anywhere(pieces: list[Known], words: list[str]) -> list[Known]:
    run_together = ((one, plain(f"{one.folder} {one.title}").replace(" ", "")) for one in pieces)
    return [one for one, text in run_together if all(word in text for word in words)]


def _nearest(pieces: list[Known], said: str) -> list[Known]:
    """The pieces whose names, or words of them, are most like `said`."""
    by_text: dict[str, Known] = {}
    for one in pieces:
        for text in (plain(one.folder), plain(one.title), *plain(f"{one.folder} {one.title}").split()):
            by_text.setdefault(text, one)
    close = get_close_matches(said[:80], [text for text in by_text if text], n=5, cutoff=0.6)
    return list(dict.fromkeys(by_text[text] for text in close))[:3]


def _listed(pieces: list[Known], state_of: Callable[[Known], State | None]) -> tuple[str, ...]:
    """A line for each piece: folder, title and state, no wider than a terminal."""
    few = pieces[:MOST_LISTED]
    wide = min(max((len(one.folder) for one in few), default=0), 30)
    lines = [
        f"  {one.folder:{wide}}  {shown(visible(one.title), 32):32}  {state_of(one) or ''}".rstrip() for one in few
    ]
    if len(pieces) > len(few):
        lines.append(f"  and {len(pieces) - len(few)} more")
    return tuple(lines)


def _has_left(state: State | None) -> bool:
    return state is not None and state.is_ending


def _state(folder: ShopFolder, name: str) -> State | None:
    piece = read_piece(folder, name)
    return None if piece is None or isinstance(piece, list) else piece.state


def read_piece(folder: ShopFolder, name: str, currency: str | None = None) -> Piece | list[Problem]:
    """One piece's record, or what stands in the way of reading it; `currency` None takes any sign of money."""
    file = f"pieces/{name}/piece.yaml"
    data = folder.read(file)
    if isinstance(data, Problem):
        return [data]
    piece, problems = record_in(file, data, Piece, currency)
    return piece or list(problems)


_TITLE = re.compile(rb"^(?:\xef\xbb\xbf)?((?:piece|\"piece\"|'piece')[ \t]*:[ \t][^\r\n]*)", re.MULTILINE)


def title_of(folder: ShopFolder, name: str) -> str:
    """The title of a piece, also where the rest of its file cannot be read; nothing when it has none.

    Looks at the line of the title alone where it can: a shop may have thousands of pieces.
    """
    file = f"pieces/{name}/piece.yaml"
    data = folder.read(file)
    if isinstance(data, Problem):
        return ""
    found = _TITLE.search(data)
    if found is not None and (title := _title_in(compose(file, found[1]))):
        return title
    return _title_in(compose(file, data))


def _title_in(node: object) -> str:
    for key, value in node.pairs if isinstance(node, Block) else ():
        if key.text.strip() == "piece" and isinstance(value, Scalar):
            return " ".join(value.text.split())
    return ""
