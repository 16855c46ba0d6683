"""The buyers' portfolio: from facts to public pages. Nothing private passes `public_piece`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from flipbook.pages.pictures import NoPicture, Wanted, make_pictures
from flipbook.pages.public import PublicPicture, PublicPiece, public_piece, public_shop, public_shots
from flipbook.pages.rendering import renderer, shipped_file
from flipbook.pages.writing import Output
from flipbook.shop.facts import Facts
from flipbook.shop.problems import Place, Problem

PORTFOLIO = "portfolio"

_GROUPS = (
    ("For sale", ("for sale",)),
    ("On the bench", ("on the bench",)),
    ("Waiting their turn", ("waiting",)),
    ("Past work", ("sold", "kept", "given")),
)


def write_portfolio(facts: Facts, root: Path, output: Output, tick: Callable[[int, int], None]) -> list[Problem]:
    """Make every buyer's page and picture; a picture that cannot be shown is a warning, and the page goes without it."""
    pictures, problems = _pictures(facts, root, output, tick)
    shop = public_shop(facts)
    pieces = [public_piece(filed, facts, pictures.get(filed.folder, ())) for filed in facts.pieces]
    note = facts.shop.notice
    render = renderer("portfolio/piece.html")
    for filed, piece in zip(facts.pieces, pieces, strict=True):
        output.write(f"{PORTFOLIO}/{filed.folder}/index.html", render(shop=shop, piece=piece, note=note).encode())
    index = renderer("portfolio/index.html")(shop=shop, groups=list(_grouped(pieces)), note=note)
    output.write(f"{PORTFOLIO}/index.html", index.encode())
    output.write(f"{PORTFOLIO}/style.css", shipped_file("portfolio/style.css"))
    return problems


def _grouped(pieces: list[PublicPiece]) -> Iterator[tuple[str, tuple[PublicPiece, ...]]]:
    """The index: what is for sale first, then what is coming, then past work; a piece not saved is not shown."""
    for heading, states in _GROUPS:
        group = tuple(piece for piece in pieces if piece.state in states)
        if group:
            yield heading, group


def _pictures(
    facts: Facts, root: Path, output: Output, tick: Callable[[int, int], None]
) -> tuple[dict[str, list[PublicPicture]], list[Problem]]:
    """The pictures of each folder, and a warning for each that could not be made."""
    wanted = [
        Wanted(source=f"pieces/{filed.folder}/{shot.file}", folder=f"{PORTFOLIO}/{filed.folder}", shot=shot)
        for filed in facts.pieces
        for shot in public_shots(filed)
    ]
    pictures: dict[str, list[PublicPicture]] = {}
    problems = []
    for want, made in zip(wanted, make_pictures(root, wanted, output, tick), strict=True):
        if isinstance(made, NoPicture):
            help = "save it again as a JPEG; the page is made without it"
            problems.append(
                Problem(
                    name="no-picture",
                    place=Place(want.source),
                    says="this picture cannot be shown",
                    label=str(made),
                    help=help,
                    warning=True,
                )
            )
        else:
            pictures.setdefault(want.folder.rpartition("/")[2], []).append(made)
    return pictures, problems
