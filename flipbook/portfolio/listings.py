"""Words to paste where a piece is advertised: a title and a description within the lengths that the maker sets.

They come from the public records alone. They are plain text: no markup, no emoji, no address and no telephone number,
which most marketplaces refuse (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from flipbook.portfolio.public import PublicPiece, PublicShop
from flipbook.shop.nearest import folded
from flipbook.shop.records.setup import BODY_LENGTH, TITLE_LENGTH, Shop
from flipbook.trade.cautions import CHILDREN, LEAD_PAINT, TIP_OVER, WIRING

CUT_HERE = " …"
"""What stands where a text was cut."""
LEAST_STORY = 40
"""A story cut shorter than that tells nothing."""

# Control characters but those that are white space, marks that turn the reading direction of what follows, lone halves
# of surrogate pairs and code points that are no characters (Unicode 23.7).
_UNSEEN = re.compile(
    "[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ud800-\udfff\ufdd0-\ufdef"
    + "".join(f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0, 0x110000, 0x10000))
    + "]"
)
# The blocks that emoji stand in, from memory of Unicode's emoji-data.txt, with the joiners and selectors that follow one.
_EMOJI = re.compile(
    "[\u231a\u231b\u2328\u23cf\u23e9-\u23fa\u2600-\u27bf\u2b05-\u2b07\u2b1b\u2b1c\u2b50\u2b55\u3030\u303d\u3297\u3299"
    "\U0001f000-\U0001faff][\u200d\ufe0e\ufe0f\U000e0020-\U000e007f]*|[\ufe0e\ufe0f]?\u20e3|[\ufe0e\ufe0f]"
)

# The cautions of a piece's page, as short as a description has room for; the page has them whole.
_IN_SHORT = {
    LEAD_PAINT.buyer: "Old paint and varnish on it may hold lead: don't sand or scrape it dry, and have it tested before a child uses it.",
    TIP_OVER.buyer: "It can tip over on a child: fix it to a wall stud with an anti-tip kit.",
    CHILDREN.buyer: "Look up the recalls and the safety rules for children's furniture before a child uses it.",
    WIRING.buyer: WIRING.buyer,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """The most characters of a title and of a description.

    A character is a Unicode code point, and the end of a line is one of them.
    """

    title: int = TITLE_LENGTH
    body: int = BODY_LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A title of one line, and a description; `left_out` names what had no room."""

    title: str
    body: str
    left_out: tuple[str, ...]


def lengths_of(shop: Shop) -> Lengths:
    """The lengths that shop.yaml sets, or the usual ones."""
    set_there = shop.listing
    return Lengths() if set_there is None else Lengths(title=set_there.title, body=set_there.body)


def one_line(text: str) -> str:
    """A text as words with one space between them, without unseen characters and overrides of direction."""
    return " ".join(_UNSEEN.sub("", text).split())


def cut_words(text: str, most: int, cut: str = CUT_HERE) -> str:
    """As many whole words of a one-line text as fit in `most` characters, `cut` behind them when words are left out.

    It is empty when not even the first word fits.
    """
    if len(text) <= most:
        return text
    end = text.rfind(" ", 0, max(most - len(cut) + 1, 0))
    return text[:end] + cut if end > 0 else ""


def listing(shop: PublicShop, piece: PublicPiece, lengths: Lengths) -> Listing:
    """The words to paste for a piece: never longer than `lengths`, and never cut inside a word.

    Where the description has no room for all, the story is shortened first. Flaws are given whole or counted; from
    LEAST_BODY characters on it says of each flaw what it is or that there are so many more.
    """
    title = _title(piece, lengths.title)
    body, left_out = _body(shop, piece, lengths.body)
    if title != _words(piece.title) and not title.startswith(_words(piece.title)):
        left_out = ("the end of the title", *left_out)
    return Listing(title=title, body=body, left_out=left_out)


def listing_text(words: Listing, lengths: Lengths) -> str:
    """What a file of words to paste holds: the title, a blank line, the description; and below a rule what is not to paste."""
    told = (
        f"Not part of the words: the title has {len(words.title)} of {lengths.title} characters, "
        f"the description {len(words.body)} of {lengths.body}."
    )
    if words.left_out:
        told += f"\nLeft out for length: {'; '.join(words.left_out)}."
    return f"{words.title}\n\n{words.body}\n\n---\n{told}\n"


def _words(text: str) -> str:
    """A one-line text without emoji."""
    return one_line(_EMOJI.sub("", text))


def _title(piece: PublicPiece, most: int) -> str:
    """What it is comes first, then its wood, unless that is said, and its size, as far as they fit whole."""
    told = (_words(piece.title), _words(piece.kind), _words(piece.wood), "Piece of furniture")
    title = next(filter(None, (cut_words(text, most, "") for text in told)), "")
    wood = _words(piece.wood)
    is_said = all(word in folded(title).split() for word in folded(wood.partition(",")[0]).split())
    for more in ("" if is_said else wood, piece.size_inches):
        if title and more and len(title) + len(more) + 2 <= most:
            title += f", {more}"
    return title


def _body(shop: PublicShop, piece: PublicPiece, most: int) -> tuple[str, tuple[str, ...]]:
    """The description, and what had no room in it. What matters more takes its room first."""
    flaws = [text for text in map(_words, piece.flaws) if text]
    price = f"Price: {piece.price}" if piece.price else ""
    kept: dict[str, str] = {"price": price} if len(price) <= most else {}
    kept["flaws"], missing = _flaws(flaws, _room(kept, "flaws", most))
    left_out = [f"{missing} flaw{'s' if missing > 1 else ''}"] if missing else []
    size = f"{piece.size_inches} ({piece.size_centimetres})" if piece.size_inches else ""
    cautions = [_IN_SHORT.get(caution, _words(caution)) for caution in piece.cautions]
    for name, label, text in (
        ("size", "Size", size),
        ("condition", "Condition", "used, refinished" if piece.finish else "used"),
        ("finish", "Finish", _words(piece.finish)),
        ("pick-up", "Pick-up", _words(shop.place)),
        ("cautions", "Please note", " ".join(cautions)),
        ("wood", "Wood", _words(piece.wood)),
        ("built", "Built", _words(piece.built)),
    ):
        line = f"{label}: {text}"
        if text and len(line) <= _room(kept, name, most):
            kept[name] = line
        elif text:
            left_out.append(_NAMED.get(name, f"the {name}"))
    story = [text for text in map(_words, piece.story) if text]
    kept["story"] = _story(story, _room(kept, "story", most))
    if story and kept["story"] != "\n\n".join(story):
        if len(kept["story"]) < LEAST_STORY:
            kept["story"] = ""
        left_out.insert(0, "the end of the story" if kept["story"] else "the story")
    return _laid_out(kept), tuple(left_out)


_NAMED = {"cautions": "what to note", "pick-up": "the place", "built": "when it was built"}
_PARTS = (("story",), ("size", "wood", "built", "condition", "finish"), ("flaws",), ("cautions",), ("pick-up", "price"))
"""The parts of a description in their order, a blank line between the groups."""


def _laid_out(kept: dict[str, str]) -> str:
    groups = ("\n".join(kept[name] for name in names if kept.get(name)) for names in _PARTS)
    return "\n\n".join(group for group in groups if group)


def _room(kept: dict[str, str], name: str, most: int) -> int:
    """How many characters are left for one more part."""
    return most - len(_laid_out({**kept, name: "-"})) + 1


def _flaws(flaws: Sequence[str], room: int) -> tuple[str, int]:
    """The flaws, numbered, a line each; those that do not fit are counted. And how many these are."""
    if not flaws:
        none = "Flaws: none noted."
        return (none if len(none) <= room else ""), 0
    kept: list[str] = []
    for flaw in flaws:
        if len(_flaw_lines([*kept, flaw], len(flaws))) <= room:
            kept.append(flaw)
    lines = _flaw_lines(kept, len(flaws))
    return (lines if len(lines) <= room else ""), len(flaws) - len(kept)


def _flaw_lines(kept: Sequence[str], of: int) -> str:
    lines = [f"{number}. {flaw}" for number, flaw in enumerate(kept, 1)]
    missing = of - len(kept)
    if not kept:
        return f"Flaws: {of} noted, too long for here; please ask."
    if missing:
        lines.append(f"And {missing} more, too long for here; please ask.")
    return "\n".join(["Flaws:", *lines])


def _story(paragraphs: Iterable[str], room: int) -> str:
    """The story, its paragraphs parted by blank lines, cut at a word where the room ends."""
    told = ""
    for paragraph in paragraphs:
        before = f"{told}\n\n" if told else ""
        cut = cut_words(paragraph, room - len(before))
        if cut == paragraph:
            told = before + paragraph
            continue
        if cut:
            return before + cut
        return told + CUT_HERE if told and len(told) + len(CUT_HERE) <= room else told
    return told
