"""Pages for buyers are HTML as the standard has it, by the strict parser of html5lib; and what they link to is there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import html5lib
import pytest

from flipbook.compile import Outcome


@pytest.fixture(scope="module")
def portfolio(demo: tuple[Path, Outcome]) -> Path:
    """The demo's pages for buyers."""
    root, outcome = demo
    assert [problem for problem in outcome.problems if problem.name == "no-words-for-a-picture"] == []
    return root / "out" / "portfolio"


def test_the_strict_parser_refuses_what_is_wrong() -> None:
    for wrong in ("<p>no type", "<!DOCTYPE html><title>x</title><p><b></p>", "<!DOCTYPE html><title>x</title><a b b>"):
        with pytest.raises(html5lib.html5parser.ParseError):
            html5lib.HTMLParser(strict=True).parse(wrong)


def test_every_page_for_buyers_is_parsed_strictly(portfolio: Path) -> None:
    pages = sorted(portfolio.rglob("*.html"))
    assert len(pages) > 25
    for path in pages:
        html5lib.HTMLParser(strict=True).parse(path.read_text("utf-8"))


def addresses(page: Path) -> Iterator[str]:
    """Every address of a page: of links, scripts, stylesheets and each size of each picture."""
    tree = html5lib.parse(page.read_text("utf-8"), namespaceHTMLElements=False)
    for element in tree.iter():
        for name in ("href", "src"):
            if name in element.attrib:
                yield element.attrib[name]
        if "srcset" in element.attrib:
            yield from (size.split()[0] for size in element.attrib["srcset"].split(", "))


def test_everything_that_a_page_names_is_there(output: Path) -> None:
    seen = 0
    for page in output.rglob("*.html"):
        ids = page.read_text("utf-8")
        named = list(addresses(page))
        assert len(named) > 1, page
        for address in named:
            parts = urlsplit(address)
            if parts.scheme:
                assert parts.scheme in ("mailto", "https"), address
                assert "quillback.example" in address
            elif not parts.path:
                assert f'id="{parts.fragment}"' in ids, address
            else:
                assert (page.parent / unquote(parts.path)).is_file(), (page.name, address)
                seen += 1
    assert seen > 500


def test_every_picture_that_is_there_is_named_by_a_page(portfolio: Path) -> None:
    named = {
        (page.parent / unquote(address)).resolve() for page in portfolio.rglob("*.html") for address in addresses(page)
    }
    pictures = {path.resolve() for ending in ("jpg", "webp") for path in portfolio.rglob(f"*.{ending}")}
    assert pictures
    assert pictures - named == set()
