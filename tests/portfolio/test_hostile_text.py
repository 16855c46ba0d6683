"""Whatever a maker writes is shown as text: no element, attribute or link is made of it.

Each shop is compiled twice, with plain words and with hostile ones, and both pages must be built of the same
elements with the same attributes; the hostile words must be there, letter for letter, as text.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, unquote, urlsplit

import pytest
from pictures_with_metadata import busy_jpeg
from shop_writer import ShopWriter

from flipbook.compile import compile_shop

JPEG = busy_jpeg((60, 90, 30))

HOSTILE = {
    "a script": "<script>alert(1)</script>",
    "an end of everything": "</p></li></h1></title></style></main></body></html><script>alert(1)</script>",
    "an attribute's end": "\"><img src=x onerror=alert(1)> '><svg onload=alert(1)>",
    "an attribute": '" onmouseover="alert(1)" x="',
    "an apostrophe's attribute": "' onfocus='alert(1)' autofocus='",
    "template braces": "{{ 7 * 7 }} {% include 'books/index.html' %} {# gone #}",
    "braces of formats": "{0.__class__} %s %(x)s ${x}",
    "a comment": "<!-- --> --!> <!DOCTYPE x>",
    "character data": "<![CDATA[ x ]]> ]]> <?php echo 1 ?>",
    "references": "&lt;b&gt; &amp;amp; &#60;i&#62; &copy &notit;",
    "an override of direction": "\u202eesrever\u202c \u2066apart\u2069 \u202eopen",
    "another direction": "שידה מאלון",
    "joined signs": "\U0001f469\u200d\U0001f3ed e\u0301 \u00a0 nbsp",
    "an address": "javascript:alert(1)",
    "an address in capitals": "JaVaScRiPt:alert(1)//@x.example",
    "a style": "@import url(//elsewhere.example); </style> expression(alert(1)) url(x)",
    "a formula": "=HYPERLINK(\"https://elsewhere.example\",\"x\")",
    "backslashes": "\\u003cscript\\u003e \\x3cb\\x3e \\",
    "control characters": "bell\x07 escape\x1b[31m first\x01 and the end",
    "marks of direction and joining": "\u200e\u200f\u061c\u2067deep \u2067deeper\u2069 \u202aembedded",
    "an end of a script": "</script><script>alert(1)</script> <!--<script> ]]> \u2028 {\"a\": 1}",
    "a very long word": "W" * 5000,
    "a very long text": "word " * 4000 + "end",
}  # fmt: skip


def shop_files(words: str) -> dict[str, str]:
    """A shop with `words` in every field that a buyer or the maker sees."""
    w = json.dumps(words, ensure_ascii=False)
    product, tool = json.dumps(f"paint {words}", ensure_ascii=False), json.dumps(f"wax {words}", ensure_ascii=False)
    return {
        "shop.yaml": f"shop: {w}\nmaker: {w}\nplace: {w}\ncontact: {w}\nnotice: {w}\ncurrency: USD\noutlets: {{porch: {{}}}}\n",
        "products.yaml": f"products:\n  ? {product}\n  : {{type: {w}}}\n",
        "trips.yaml": f"trips:\n  - {{on: 2026-01-05, miles: 2, to: {w}, why: {w}}}\n",
        "receipts/2026.yaml": f"""\
- {{on: 2026-01-02, from: {w}, what: {product}, size: 1 pint, cost: 9, for: shelf}}
- {{on: 2026-01-02, from: {w}, what: {tool}, size: 8 oz, cost: 9, for: shelf}}
- {{on: 2026-01-02, from: {w}, what: {w}, cost: 9, for: supplies}}
""",
        "pieces/oak-stool/piece.yaml": f"""\
piece: {w}
kind: {w}
wood: {w}
tell: {w}
flaws: [{w}, {w}]
care: {w}
found: {{on: 2026-01-03, from: {w}, cost: 5}}
log:
  - on: 2026-01-04
    did: {w}
    mix:
      ? {product}
      : 1
      water: 2
      makes: 3 fl oz
    used: [{{what: {tool}, amount: 1 oz}}]
photos:
  - {{file: photos/after.jpg, shows: after, caption: {w}, alt: {w}}}
  - {{file: photos/before.jpg, shows: before, caption: {w}}}
  - {{file: photos/detail.jpg, shows: {w}, caption: {w}, alt: {w}}}
asking: [{{on: 2026-01-05, price: 50}}]
""",
    }


class Parsed(HTMLParser):
    """A page's elements with the attributes they have, its texts, the values of attributes, and its links."""

    EMPTY = frozenset(("meta", "link", "img", "br", "source"))

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.shape: list[tuple[str, ...]] = []
        self.values: list[str] = []
        self.links: list[str] = []
        self.unguarded: list[str] = []
        self.text = ""
        self.data: list[str] = []
        self._open: list[tuple[str, bool]] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.shape.append((tag, *(name for name, _ in attrs)))
        self.values += [value or "" for _, value in attrs]
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]
        guards = tag == "bdi" or dict(attrs).get("dir") == "auto"
        if tag not in self.EMPTY:
            self._open.append((tag, guards))

    def handle_endtag(self, tag: str) -> None:
        self.shape.append((f"/{tag}",))
        assert self._open, f"</{tag}> closes nothing"
        assert self._open.pop()[0] == tag, f"</{tag}> closes another element"

    def handle_comment(self, data: str) -> None:
        self.shape.append(("!--",))

    def handle_pi(self, data: str) -> None:
        self.shape.append(("?",))

    def unknown_decl(self, data: str) -> None:
        self.shape.append(("![",))

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1][0] == "script":
            self.data.append(data)
            return
        self.text += data
        if "\u202e" in data and not any(guards or tag == "title" for tag, guards in self._open):
            self.unguarded.append(data)


@pytest.fixture(scope="module")
def pages_with(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], dict[str, Parsed]]:
    """Every page of a shop with some words in it, parsed; compiled once for all tests."""

    @cache
    def pages(words: str) -> dict[str, Parsed]:
        shop = ShopWriter(tmp_path_factory.mktemp("words") / "shop").write(shop_files(words))
        shop.write({f"pieces/oak-stool/photos/{name}.jpg": JPEG for name in ("after", "before", "detail")})
        out = shop.root / "out"
        assert compile_shop(shop.root, out).books is not None
        return {str(path.relative_to(out)): Parsed(path.read_text("utf-8")) for path in sorted(out.rglob("*.html"))}

    return pages


@pytest.fixture(scope="module")
def plain(pages_with: Callable[[str], dict[str, Parsed]]) -> dict[str, Parsed]:
    """The pages of the shop with harmless words."""
    return pages_with("harmless")


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_hostile_words_are_shown_as_words(
    pages_with: Callable[[str], dict[str, Parsed]], plain: dict[str, Parsed], words: str
) -> None:
    pages = pages_with(words)
    assert pages.keys() == plain.keys()
    for name, page in pages.items():
        assert page.shape == plain[name].shape, name
        if name.startswith("books/labels/"):
            continue  # a tag or a card has room for so many words, and shortens the others
        often = squeezed(plain[name].text).count("harmless")
        assert squeezed(page.text).count(squeezed(words)) >= often, name
    assert squeezed(plain["portfolio/oak-stool/index.html"].text).count("harmless") >= 14


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_hostile_words_make_no_link(
    pages_with: Callable[[str], dict[str, Parsed]], plain: dict[str, Parsed], words: str
) -> None:
    pages = pages_with(words)
    for name, page in pages.items():
        assert len(page.links) == len(plain[name].links), name
        if name.startswith("portfolio/"):
            assert not [link for link in page.links if urlsplit(link).scheme], name


@pytest.mark.parametrize("words", HOSTILE.values(), ids=HOSTILE)
def test_what_is_there_for_machines_stays_data(pages_with: Callable[[str], dict[str, Parsed]], words: str) -> None:
    """One script element of data, whole to its end, that is JSON and holds the title."""
    page = pages_with(words)["portfolio/oak-stool/index.html"]
    (data,) = page.data
    assert "<" not in data
    title = "".join(sign for sign in json.loads(data)["name"] if sign.isalnum())
    assert title == "".join(sign for sign in words if sign.isalnum())


def test_an_open_override_of_direction_turns_nothing_of_ours(pages_with: Callable[[str], dict[str, Parsed]]) -> None:
    for name, page in pages_with("\u202eopen").items():
        if name.startswith("portfolio/"):
            assert "\u202e" in page.text
            assert page.unguarded == [], name


LINKED = {
    "hello@quillback.example": True,
    "ada+shop@quillback.example": True,
    "javascript:alert(1)": False,
    "javascript:alert(1)@quillback.example": False,
    "JAVASCRIPT:x@quillback.example": False,
    "mailto:hello@quillback.example": False,
    "hello@quillback.example?bcc=all@elsewhere.example": False,
    "hello@quillback.example&bcc=all@elsewhere.example": False,
    "hello@a.example, other@b.example": False,
    "data:text/html,x@y": False,
    "555 0100, mornings": False,
}


@pytest.mark.parametrize(("contact", "is_linked"), LINKED.items(), ids=LINKED)
def test_only_a_mail_address_becomes_a_link(shop: Any, contact: str, is_linked: bool) -> None:
    shop.piece()
    shop.write({"shop.yaml": f"shop: Quillback Lane\ncontact: {json.dumps(contact)}\ncurrency: USD\n"})
    assert compile_shop(shop.root, shop.root / "out").books is not None
    for page in (shop.root / "out" / "portfolio").rglob("*.html"):
        parsed = Parsed(page.read_text("utf-8"))
        links = [link for link in parsed.links if urlsplit(link).scheme]
        assert contact in parsed.text
        assert bool(links) == is_linked
        assert all(unquote(urlsplit(link).path) == contact and link.startswith("mailto:") for link in links)


@pytest.mark.parametrize(
    "title", ["Stool & bench", "x&bcc=all@elsewhere.example", "a?b=c#d%26e+f", "Hocker für 2\u00a0€"]
)
def test_a_letters_subject_is_the_title_and_nothing_more(shop: Any, title: str) -> None:
    shop.write({"shop.yaml": "shop: Quillback Lane\ncontact: hello@quillback.example\ncurrency: USD\n"})
    shop.write(
        {"pieces/s/piece.yaml": f"piece: {json.dumps(title)}\nfound: {{on: 2026-01-05, from: Mill Road, cost: 10}}\n"}
    )
    assert compile_shop(shop.root, shop.root / "out").books is not None
    page = Parsed((shop.root / "out" / "portfolio" / "s" / "index.html").read_text("utf-8"))
    (link,) = (link for link in page.links if link.startswith("mailto:"))
    assert parse_qs(urlsplit(link).query, strict_parsing=True) == {"subject": [title]}
    assert urlsplit(link).fragment == ""


NO_WEB = [
    "javascript:alert(1)", "data:text/html,<script>alert(1)</script>", "ftp://quillback.example/", "//quillback.example/",
    "vbscript:x", "file:///etc/passwd", "https:", "https://", 'https://quillback.example/" onclick="alert(1)',
    "https://quillback.example/<script>", "quillback.example", "https://quill back.example/", "HTTPS//x.example",
]  # fmt: skip


@pytest.mark.parametrize("web", NO_WEB)
def test_a_web_address_that_is_none_is_refused(shop: Any, web: str) -> None:
    shop.piece().write({"shop.yaml": f"shop: Quillback Lane\nweb: {json.dumps(web)}\ncurrency: USD\n"})
    problems = shop.problems()
    assert [problem.place.file for problem in problems] == ["shop.yaml"]
    assert not problems[0].warning


@pytest.mark.parametrize("web", ["https://quillback.example/", "http://quillback.example/a?b=c&d=e"])
def test_a_web_address_is_linked_as_it_is_written(shop: Any, web: str) -> None:
    shop.piece().write({"shop.yaml": f"shop: Quillback Lane\nweb: {json.dumps(web)}\ncurrency: USD\n"})
    assert compile_shop(shop.root, shop.root / "out").books is not None
    assert web in Parsed((shop.root / "out" / "portfolio" / "index.html").read_text("utf-8")).links


FOLDERS = ["a&b", "a b", "a%41", "a#b?c=d", "it's", 'a"b', "<b>", "ä-ö", "javascript:alert(1)", "{{x}}", "&amp;"]


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_folder_of_any_name_is_linked_and_found(shop: Any, folder: str) -> None:
    shop.piece(folder=folder).write({f"pieces/{folder}/photos/after.jpg": JPEG})
    assert compile_shop(shop.root, shop.root / "out").books is not None
    out = shop.root / "out"
    for index, marks in (
        ("portfolio/index.html", lambda link: link.endswith("/index.html")),
        ("books/index.html", lambda link: link.startswith("pieces/")),
        (f"books/pieces/{folder}.html", lambda link: "/portfolio/" in link),
    ):
        links = [link for link in Parsed((out / index).read_text("utf-8")).links if marks(link)]
        assert len(links) == 1
        parts = urlsplit(links[0])
        assert (parts.scheme, parts.netloc, parts.query, parts.fragment) == ("", "", "", "")
        assert (out / Path(index).parent / unquote(parts.path)).resolve().is_file()
