"""The buyers' portfolio: from facts to public pages. Nothing private passes `public_piece`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from flipbook.portfolio.feeds import FEED, SITEMAP, Offered, feed, offered_since, sitemap
from flipbook.portfolio.own_templates import OwnFault, OwnTemplates, read_own, render_own
from flipbook.portfolio.picking import Picking, PublicChoice, finish_of, kind_of, picking, pieces_of
from flipbook.portfolio.pictures import NoPicture, PicturesMade, Wanted, make_pictures
from flipbook.portfolio.product_data import canonical, canonical_base, json_ld, open_graph
from flipbook.portfolio.public import (
    PublicPicture,
    PublicPiece,
    PublicShop,
    public_piece,
    public_shop,
    public_shots,
    without_words,
)
from flipbook.remembering import Remember, afresh
from flipbook.rendering import as_it_is, renderer, shipped_file
from flipbook.shop.facts import Facts
from flipbook.shop.folder import ShopFolder
from flipbook.shop.problems import Place, Problem
from flipbook.shop.records.state import Heading
from flipbook.writing import Output

PORTFOLIO = "portfolio"

Groups = list[tuple[str, tuple[PublicPiece, ...]]]


def write_portfolio(
    facts: Facts,
    folder: ShopFolder,
    output: Output,
    tick: Callable[[int, int], None],
    remember: Remember = afresh,
    made_before: PicturesMade | None = None,
) -> tuple[list[PublicPiece], list[Problem]]:
    """Make every buyer's page and picture, and hand out the public side of each piece; a picture that cannot be shown is a warning, and the page goes without it.

    `made_before` holds the pictures that were made in this process, and takes up those that are made now. An error among
    the problems is one of the shop's own templates: then nothing may be published.
    """
    own, told = read_own(folder)
    if not all(problem.warning for problem in told):
        return [], told
    pictures, problems = _pictures(facts, folder, output, tick, remember, made_before)
    problems += told
    shop, note, currency = public_shop(facts), facts.shop.notice, facts.shop.currency
    # Of the facts, a piece's page needs what is said of the shop and its products; another piece's log changes nothing.
    beside = Facts(shop=facts.shop, products=facts.products)
    pieces: list[PublicPiece] = []
    faults: list[Problem] = []
    for filed in facts.pieces:
        shown = pictures.get(filed.folder, ())
        piece = remember(("public", filed.folder), public_piece, filed, beside, shown)
        pieces.append(piece)
        if not faults:  # most likely every other piece's page has the same
            with _told(faults):
                output.make(f"{PORTFOLIO}/{filed.folder}/index.html", _piece_page, own, shop, piece, note, currency)
    offered = [
        Offered(piece=piece, since=since)
        for filed, piece in zip(facts.pieces, pieces, strict=True)
        if piece.price and (since := offered_since(filed.piece)) is not None
    ]
    for name, made in ((SITEMAP, sitemap(shop, pieces)), (FEED, feed(shop, offered))):
        if made is not None:
            output.write(f"{PORTFOLIO}/{name}", made)
    with _told(faults):
        _write_index(own, shop, pieces, note, output)
    style = shipped_file("portfolio/style.css") if own.style is None else own.style.encode()
    output.write(f"{PORTFOLIO}/style.css", style)
    output.write(f"{PORTFOLIO}/compare.js", shipped_file("portfolio/compare.js"))
    return pieces, [*problems, *faults]


@contextmanager
def _told(faults: list[Problem]) -> Iterator[None]:
    """Takes down a fault of the shop's own templates in place of a page."""
    try:
        yield
    except OwnFault as fault:
        faults.append(fault.problem)


def _write_index(own: OwnTemplates, shop: PublicShop, pieces: list[PublicPiece], note: str, output: Output) -> None:
    """The first page, and one like it for each kind and finish to pick by."""
    groups = list(_grouped(pieces))
    on_show = [piece for _, group in groups for piece in group]
    choices = picking(on_show)
    news = FEED if canonical_base(shop) else ""
    output.make(f"{PORTFOLIO}/index.html", _index, own, shop, groups, note, choices, None, news)
    for listed, of in ((choices.kinds, kind_of), (choices.finishes, finish_of)):
        for choice, few_pieces in pieces_of(on_show, listed, of):
            few = list(_grouped(few_pieces))
            output.make(f"{PORTFOLIO}/{choice.address}", _index, own, shop, few, note, choices, choice, news)


def _piece_page(own: OwnTemplates, shop: PublicShop, piece: PublicPiece, note: str, currency: str) -> bytes:
    return _page(
        own,
        "portfolio/piece.html",
        shop=shop,
        piece=piece,
        note=note,
        canonical=canonical(shop, piece),
        open_graph=open_graph(shop, piece),
        json_ld=as_it_is(json_ld(shop, piece, currency)),
    )


def _index(
    own: OwnTemplates,
    shop: PublicShop,
    groups: Groups,
    note: str,
    choices: Picking,
    choice: PublicChoice | None,
    news: str,
) -> bytes:
    return _page(
        own, "portfolio/index.html", shop=shop, groups=groups, note=note, picking=choices, picked=choice, feed=news
    )


def _page(own: OwnTemplates, name: str, **given: object) -> bytes:
    return render_own(own, name, given) if own.texts else renderer(name)(**given).encode()


def _grouped(pieces: Sequence[PublicPiece]) -> Iterator[tuple[str, tuple[PublicPiece, ...]]]:
    """The index: what is for sale first, then past work, then the others; a piece not saved is not shown."""
    for heading in Heading:
        group = tuple(piece for piece in pieces if piece.state.facts.heading is heading)
        if group:
            yield heading, group


def _pictures(
    facts: Facts,
    folder: ShopFolder,
    output: Output,
    tick: Callable[[int, int], None],
    remember: Remember,
    made_before: PicturesMade | None,
) -> tuple[dict[str, list[PublicPicture]], list[Problem]]:
    """The pictures of each folder; a warning for each that could not be made, and for a main one without words."""
    shots = {
        filed.folder: remember(("shots", filed.folder), public_shots, filed, facts.products) for filed in facts.pieces
    }
    wanted = [
        Wanted(source=f"pieces/{piece}/{shot.file}", folder=f"{PORTFOLIO}/{piece}", shot=shot)
        for piece, own in shots.items()
        for shot in own
    ]
    pictures: dict[str, list[PublicPicture]] = {}
    told = (without_words(filed, shots[filed.folder]) for filed in facts.pieces)
    problems = [problem for problem in told if problem is not None]
    for want, made in zip(wanted, make_pictures(folder, wanted, output, tick, made_before), strict=True):
        if isinstance(made, NoPicture):
            problems.append(_no_picture(want.source, made))
        else:
            pictures.setdefault(want.folder.rpartition("/")[2], []).append(made)
    return pictures, problems


def _no_picture(source: str, why: NoPicture) -> Problem:
    return Problem(
        name="no-picture",
        place=Place(source),
        says="this picture cannot be shown",
        label=str(why),
        help="save it again as a JPEG; the page is made without it",
        warning=True,
    )
