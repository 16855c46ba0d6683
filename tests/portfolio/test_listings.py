"""Words to paste: within their lengths for any text, no flaw passed over, and nothing in them but plain words."""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import replace

import pytest
from how_many import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.portfolio.listings import Lengths, cut_words, lengths_of, listing, listing_text, one_line
from flipbook.portfolio.public import PublicPiece, PublicShop, public_piece, public_shop
from flipbook.shop.records.setup import BODY_LENGTH, LEAST_BODY, LEAST_TITLE, TITLE_LENGTH
from flipbook.trade.cautions import CAUTIONS

WORKSTAND = """\
piece: Bow-front oak sideboard
kind: sideboard
size: 34 x 19 x 30 1/2 in
wood: oak, oak veneer on the drawers
built: about 1985
tell: |
  It stood in a cellar under
  a stack of paint cans.

  It is grey now.
flaws: [A ring in the top., Sand-through on the lower rail]
found: {on: 2026-01-05, from: Mill Road estate sale, cost: 40.00}
asking: [{on: 2026-03-20, price: 1425}]
"""

Records = tuple[PublicShop, PublicPiece]


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Records:
    """The shop and its sideboard, as buyers may see them."""
    shop = ShopWriter(tmp_path_factory.mktemp("listings") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane Refinishing\nplace: Port Ellery\ncurrency: USD\n"})
    shop.write({"pieces/sideboard/piece.yaml": WORKSTAND})
    facts = shop.books().facts
    return public_shop(facts), public_piece(facts.pieces[0], facts, ())


def test_a_listing_says_all_that_a_buyer_asks_for(records: Records) -> None:
    shop, piece = records
    words = listing(shop, replace(piece, finish="satin clear coat"), Lengths())
    assert words.title == "Bow-front oak sideboard, 34 W x 19 D x 30 1/2 H in"
    assert (
        words.body
        == """\
It stood in a cellar under a stack of paint cans.

It is grey now.

Size: 34 W x 19 D x 30 1/2 H in (86.5 W x 48.5 D x 77.5 H cm)
Wood: oak, oak veneer on the drawers
Built: about 1985
Condition: used, refinished
Finish: satin clear coat

Flaws:
1. A ring in the top.
2. Sand-through on the lower rail

Please note: It can tip over on a child: fix it to a wall stud with an anti-tip kit.

Pick-up: Port Ellery
Price: $1,425.00"""
    )
    assert words.left_out == ()


def test_a_file_holds_the_words_and_below_a_rule_what_is_not_to_be_pasted(records: Records) -> None:
    shop, piece = records
    lengths = Lengths(body=LEAST_BODY)
    words = listing(shop, piece, lengths)
    head, rule, foot = listing_text(words, lengths).partition("\n\n---\n")
    assert head == f"{words.title}\n\n{words.body}"
    assert rule
    assert foot == (
        f"Not part of the words: the title has {len(words.title)} of 80 characters, "
        f"the description {len(words.body)} of 200.\nLeft out for length: {'; '.join(words.left_out)}.\n"
    )
    assert "the story" in words.left_out


STORY = "It stood in a cellar under a stack of paint cans."
REST = """\
Size: 34 W x 19 D x 30 1/2 H in (86.5 W x 48.5 D x 77.5 H cm)
Wood: oak, oak veneer on the drawers
Built: about 1985
Condition: used

Flaws:
1. A ring in the top.
2. Sand-through on the lower rail

Please note: It can tip over on a child: fix it to a wall stud with an anti-tip kit.

Pick-up: Port Ellery
Price: $1,425.00"""
ROOM = len(REST)


# The story goes first; then what matters least of the rest.
@pytest.mark.parametrize(
    ("most", "body"),
    [
        (ROOM + 2 + len(STORY) + 17, f"{STORY}\n\nIt is grey now.\n\n{REST}"),
        (ROOM + 2 + len(STORY) + 16, f"{STORY}\n\nIt is grey …\n\n{REST}"),
        (ROOM + 2 + len(STORY) + 2, f"{STORY} …\n\n{REST}"),
        (ROOM + 2 + len(STORY) + 1, f"{STORY}\n\n{REST}"),
        (ROOM + 2 + len(STORY) - 1, f"It stood in a cellar under a stack of paint …\n\n{REST}"),
        (ROOM + 2 + 40, f"It stood in a cellar under a stack of …\n\n{REST}".partition("\n\n")[2]),
        (ROOM, REST),
        (ROOM - 1, REST.replace("Built: about 1985\n", "")),
        (ROOM - len("Built: about 1985\n") - 1, REST.replace("Wood: oak, oak veneer on the drawers\n", "")),
    ],
)
def test_the_story_is_shortened_before_a_flaw_is(records: Records, most: int, body: str) -> None:
    words = listing(*records, Lengths(body=most))
    assert words.body == body
    assert len(body) <= most


def test_flaws_without_room_are_counted(records: Records) -> None:
    shop, piece = records
    flawed = replace(
        piece, flaws=("x" * 300, "A ring in the top.", *(f"Chip number {number}." for number in range(50)))
    )
    words = listing(shop, flawed, Lengths(body=200))
    told = re.findall(r"^\d+\. (.*)$", words.body, re.MULTILINE)
    assert told[0] == "A ring in the top."
    assert f"And {52 - len(told)} more, too long for here; please ask." in words.body
    assert f"{52 - len(told)} flaws" in words.left_out


def test_a_piece_without_flaws_says_that_none_were_noted(records: Records) -> None:
    shop, piece = records
    assert "\nFlaws: none noted.\n" in listing(shop, replace(piece, flaws=()), Lengths()).body


@pytest.mark.parametrize(
    ("title", "kind", "wood", "told"),
    [
        ("Bow-front oak sideboard", "sideboard", "oak", "Bow-front oak sideboard, 34 W x 19 D x 30 1/2 H in"),
        ("Sideboard", "", "red oak", "Sideboard, red oak, 34 W x 19 D x 30 1/2 H in"),
        ("Oaken sideboard", "", "oak", "Oaken sideboard, oak, 34 W x 19 D x 30 1/2 H in"),
        ("Sideboard " * 9, "", "red oak", "Sideboard Sideboard Sideboard Sideboard Sideboard Sideboard Sideboard Sideboard"),
        ("W" * 300, "sideboard", "oak", "sideboard, oak, 34 W x 19 D x 30 1/2 H in"),
        ("W" * 300, "W" * 81, "", "Piece of furniture, 34 W x 19 D x 30 1/2 H in"),
    ],
)  # fmt: skip
def test_a_title_says_what_it_is_then_its_wood_and_size(
    records: Records, title: str, kind: str, wood: str, told: str
) -> None:
    shop, piece = records
    assert listing(shop, replace(piece, title=title, kind=kind, wood=wood), Lengths()).title == told


# Every caution that buyers are told has a short form here, so that a new one is not pasted at its full length unseen.
def test_the_cautions_are_given_in_short(records: Records) -> None:
    shop, piece = records
    for caution in (caution for caution in CAUTIONS if caution.buyer):
        body = listing(shop, replace(piece, cautions=(caution.buyer,)), Lengths()).body
        (line,) = re.findall(r"^Please note: (.+)$", body, re.MULTILINE)
        assert len(line) <= 120
        assert "safe" not in line.replace("safety rules", "")


@pytest.mark.parametrize(
    ("text", "most", "cut"),
    [
        ("one two three", 13, "one two three"),
        ("one two three", 12, "one two …"),
        ("one two three", 9, "one two …"),
        ("one two three", 8, "one …"),
        ("one two three", 5, "one …"),
        ("one two three", 4, ""),
        ("unbreakable", 10, ""),
        ("", 0, ""),
    ],
)
def test_a_text_is_cut_between_words(text: str, most: int, cut: str) -> None:
    assert cut_words(text, most) == cut


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a\tb\r\nc\u2028d\u2029e\x85f\x1cg", "a b c d e f g"),
        ("a\x00b\x07c\x7fd\x9fe\ufefff\ufffeg\U0001ffffh\ud800i", "abcdefghi"),
        ("\u202eoverride\u202c \u2066apart\u2069", "override apart"),
        ("e\u0301 \u05e9\u05d9\u05d3\u05d4 \u200f\u0645\u06cc\u200c\u062e", "e\u0301 \u05e9\u05d9\u05d3\u05d4 \u200f\u0645\u06cc\u200c\u062e"),
    ],
)  # fmt: skip
def test_unseen_characters_are_taken_out_and_letters_stay(text: str, told: str) -> None:
    assert one_line(text) == told


@pytest.mark.parametrize("emoji", ["\U0001f600", "\U0001f469\u200d\U0001f3ed", "\u2764\ufe0f", "1\ufe0f\u20e3", "\u2b50", "\U0001f1fa\U0001f1f8"])  # fmt: skip
def test_no_emoji_is_pasted(records: Records, emoji: str) -> None:
    shop, piece = records
    words = listing(shop, replace(piece, title=f"Stool {emoji}", story=(f"Old {emoji} one.",)), Lengths())
    assert words.title.startswith("Stool")
    assert "Old one." in words.body.replace("1 ", "").replace("  ", " ")
    assert not set(emoji) & set(words.title + words.body) - set("1")


BLANK = " \n\t\u2028"
texts = st.text(max_size=400) | st.lists(
    st.sampled_from(["oak", "W" * 300, "</script>", "{{ x }}", "\u202e", "\x00", "it's", "\U0001f600", "שידה"]), max_size=40
).map(" ".join)  # fmt: skip
lengths = st.builds(
    Lengths,
    title=st.integers(LEAST_TITLE, 200) | st.just(10**7),
    body=st.integers(LEAST_BODY, 1500) | st.just(10**7),
)


@settings(max_examples=examples(150))
@given(title=texts, words=texts, story=st.lists(texts, max_size=4), flaws=st.lists(texts, max_size=12), most=lengths)
def test_no_text_is_longer_than_it_may_be_and_no_flaw_is_passed_over(
    records: Records, title: str, words: str, story: list[str], flaws: list[str], most: Lengths
) -> None:
    shop, piece = records
    piece = replace(piece, title=title, wood=words, built=words, finish=words, story=tuple(story), flaws=tuple(flaws))
    made = listing(replace(shop, place=words), piece, most)
    assert len(made.title) <= most.title
    assert len(made.body) <= most.body
    assert "\n" not in made.title
    plain = [text for text in (one_line(flaw) for flaw in flaws) if text.strip(BLANK)]
    told = re.findall(r"^\d+\. \S", made.body.partition("Flaws:")[2], re.MULTILINE)
    more = re.search(r"^And (\d+) more, too long|^Flaws: (\d+) noted, too long", made.body, re.MULTILINE)
    missing = int(next(filter(None, more.groups()))) if more else 0
    # A flaw that is nothing but emoji is no words; every other one is told or counted.
    assert len([text for text in plain if re.search(r"[\w<{']", text)]) <= len(told) + missing <= len(plain)
    for character in made.title + made.body:
        assert character == "\n" or unicodedata.category(character) not in ("Cc", "Cs", "Zl", "Zp")
        assert unicodedata.bidirectional(character) not in (
            "LRE",
            "RLE",
            "LRO",
            "RLO",
            "PDF",
            "LRI",
            "RLI",
            "FSI",
            "PDI",
        )


marked = st.lists(st.integers(1, 60), min_size=1, max_size=60).map(
    lambda sizes: [f"w{number}{'x' * size}e" for number, size in enumerate(sizes)]
)


@settings(max_examples=examples(100))
@given(story=marked, flaws=st.lists(marked, max_size=5), most=lengths)
def test_no_word_is_cut(records: Records, story: list[str], flaws: list[list[str]], most: Lengths) -> None:
    shop, piece = records
    whole = {*story, *(word for flaw in flaws for word in flaw)}
    piece = replace(piece, title=" ".join(story), story=(" ".join(story),), flaws=tuple(map(" ".join, flaws)))
    made = listing(shop, piece, most)
    found = [word.rstrip(",") for word in re.findall(r"w\d\S*", f"{made.title} {made.body}")]
    assert [word for word in found if word not in whole] == []


SHORT = [
    ("listing: {title: 80, body: 1000}", Lengths()),
    ("listing: {title: 140}", Lengths(title=140)),
    ("listing: {body: 4000}", Lengths(body=4000)),
    ("listing: {}", Lengths()),
    ("listing:", Lengths()),
    ("", Lengths()),
    (f"listing: {{title: {LEAST_TITLE}, body: {LEAST_BODY}}}", Lengths(title=LEAST_TITLE, body=LEAST_BODY)),
]


@pytest.mark.parametrize(("line", "read"), SHORT, ids=[line for line, _ in SHORT])
def test_the_maker_sets_the_lengths(shop: ShopWriter, line: str, read: Lengths) -> None:
    shop.write({"shop.yaml": f"shop: Quillback Lane\ncurrency: USD\n{line}\n"}).piece()
    assert lengths_of(shop.books().facts.shop) == read
    assert (TITLE_LENGTH, BODY_LENGTH) == (80, 1000)


@pytest.mark.parametrize(
    ("value", "name", "help"),
    [
        (f"{{title: {LEAST_TITLE - 1}}}", "listing-too-short", "write 20 or more"),
        (f"{{body: {LEAST_BODY - 1}}}", "listing-too-short", "write 200 or more"),
        ("{title: 0}", "count", "write a whole number"),
        ("{title: eighty}", "count", "write a whole number"),
        ("{titel: 80}", "unknown-key", "write `title`"),
        ("80", "wrong-kind", "`title` or `body`"),
    ],
)
def test_lengths_that_hold_nothing_are_refused(shop: ShopWriter, value: str, name: str, help: str) -> None:
    shop.write({"shop.yaml": f"shop: Quillback Lane\ncurrency: USD\nlisting: {value}\n"}).piece()
    (problem,) = shop.problems()
    assert (problem.name, problem.place.file, problem.place.line) == (name, "shop.yaml", 3)
    assert help in problem.help
    assert not problem.warning


def test_nothing_but_public_words_is_in_a_listing(shop: ShopWriter) -> None:
    private = json.dumps("zqprivate")
    shop.write({"pieces/a/piece.yaml": f"""\
piece: Stool
private: {private}
found: {{on: 2026-01-05, from: {private}, cost: 4123.59, private: {private}}}
log: [{{on: 2026-01-06, did: sanded, hide: yes, private: {private}}}]
asking: [{{on: 2026-03-20, price: 50, }}]
offers: [{{on: 2026-03-24, price: 4300, from: {private}, private: {private}}}]
"""})  # fmt: skip
    facts = shop.books().facts
    most = Lengths()
    text = listing_text(listing(public_shop(facts), public_piece(facts.pieces[0], facts, ()), most), most)
    assert "Stool" in text
    assert "$50.00" in text
    for secret in ("zqprivate", "4123", "4300", "2026", "sanded"):
        assert secret not in text
