"""The feed against RFC 4287: its RELAX NG grammar, the musts that the grammar leaves to prose, and another's reader.

The grammar is Appendix B of the RFC, in the XML form that libxml2 reads, written out by hand from the compact form; the
Schematron rules of the appendix are the tests below it. Content is plain text here, so the parts on XHTML and on
atom:content and atom:source are left out.
"""

from __future__ import annotations

import re
from calendar import timegm
from dataclasses import replace
from datetime import date

import feedparser
import pytest
from lxml import etree
from shop_writer import ShopWriter

from flipbook.portfolio.feeds import Offered, feed
from flipbook.portfolio.public import PublicShop, public_piece, public_shop

ATOM = "{http://www.w3.org/2005/Atom}"

GRAMMAR = b"""\
<grammar xmlns="http://relaxng.org/ns/structure/1.0" ns="http://www.w3.org/2005/Atom"
         datatypeLibrary="http://www.w3.org/2001/XMLSchema-datatypes">
  <start><ref name="atomFeed"/></start>
  <define name="atomCommonAttributes">
    <optional><attribute name="xml:base" ns="http://www.w3.org/XML/1998/namespace"><data type="anyURI"/></attribute></optional>
    <optional><attribute name="xml:lang" ns="http://www.w3.org/XML/1998/namespace">
      <data type="string"><param name="pattern">[A-Za-z]{1,8}(-[A-Za-z0-9]{1,8})*</param></data>
    </attribute></optional>
  </define>
  <define name="atomTextConstruct">
    <ref name="atomCommonAttributes"/>
    <optional><attribute name="type" ns=""><choice><value>text</value><value>html</value></choice></attribute></optional>
    <text/>
  </define>
  <define name="atomPersonConstruct">
    <ref name="atomCommonAttributes"/>
    <interleave>
      <element name="name"><text/></element>
      <optional><element name="uri"><data type="anyURI"/></element></optional>
      <optional><element name="email"><data type="string"><param name="pattern">.+@.+</param></data></element></optional>
    </interleave>
  </define>
  <define name="atomDateConstruct"><ref name="atomCommonAttributes"/><data type="dateTime"/></define>
  <define name="atomFeed">
    <element name="feed">
      <ref name="atomCommonAttributes"/>
      <interleave>
        <zeroOrMore><ref name="atomAuthor"/></zeroOrMore>
        <zeroOrMore><ref name="atomCategory"/></zeroOrMore>
        <zeroOrMore><element name="contributor"><ref name="atomPersonConstruct"/></element></zeroOrMore>
        <optional><element name="generator"><ref name="atomCommonAttributes"/><text/></element></optional>
        <optional><element name="icon"><ref name="atomCommonAttributes"/><data type="anyURI"/></element></optional>
        <ref name="atomId"/>
        <zeroOrMore><ref name="atomLink"/></zeroOrMore>
        <optional><element name="logo"><ref name="atomCommonAttributes"/><data type="anyURI"/></element></optional>
        <optional><element name="rights"><ref name="atomTextConstruct"/></element></optional>
        <optional><element name="subtitle"><ref name="atomTextConstruct"/></element></optional>
        <ref name="atomTitle"/>
        <ref name="atomUpdated"/>
        <zeroOrMore><ref name="atomEntry"/></zeroOrMore>
      </interleave>
    </element>
  </define>
  <define name="atomEntry">
    <element name="entry">
      <ref name="atomCommonAttributes"/>
      <interleave>
        <zeroOrMore><ref name="atomAuthor"/></zeroOrMore>
        <zeroOrMore><ref name="atomCategory"/></zeroOrMore>
        <ref name="atomId"/>
        <zeroOrMore><ref name="atomLink"/></zeroOrMore>
        <optional><element name="published"><ref name="atomDateConstruct"/></element></optional>
        <optional><element name="rights"><ref name="atomTextConstruct"/></element></optional>
        <optional><element name="summary"><ref name="atomTextConstruct"/></element></optional>
        <ref name="atomTitle"/>
        <ref name="atomUpdated"/>
      </interleave>
    </element>
  </define>
  <define name="atomAuthor"><element name="author"><ref name="atomPersonConstruct"/></element></define>
  <define name="atomCategory">
    <element name="category"><ref name="atomCommonAttributes"/><attribute name="term" ns=""/><empty/></element>
  </define>
  <define name="atomId"><element name="id"><ref name="atomCommonAttributes"/><data type="anyURI"/></element></define>
  <define name="atomTitle"><element name="title"><ref name="atomTextConstruct"/></element></define>
  <define name="atomUpdated"><element name="updated"><ref name="atomDateConstruct"/></element></define>
  <define name="atomLink">
    <element name="link">
      <ref name="atomCommonAttributes"/>
      <attribute name="href" ns=""><data type="anyURI"/></attribute>
      <optional><attribute name="rel" ns=""/></optional>
      <optional><attribute name="type" ns=""><data type="string"><param name="pattern">.+/.+</param></data></attribute></optional>
      <empty/>
    </element>
  </define>
</grammar>
"""


@pytest.fixture(scope="module")
def feeds(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Feeds of a shop with three pieces, with words that XML has to escape, and with nothing for sale."""
    shop = ShopWriter(tmp_path_factory.mktemp("atom") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane\nweb: https://quillback.example/\ncurrency: USD\n"})
    facts = shop.piece("asking: [{on: 2026-03-20, price: 55}]\n").books().facts
    public, stool = public_shop(facts), public_piece(facts.pieces[0], facts, ())
    days = [date(2024, 2, 29), date(2026, 3, 20), date(1999, 12, 31)]
    offered = [Offered(piece=replace(stool, address=f"p{n}"), since=day) for n, day in enumerate(days)]
    odd = replace(stool, title="A & B <i>'\"]]>", story=("</summary>",), address="a%26b'c")

    def made(by: PublicShop, pieces: list[Offered]) -> bytes:
        found = feed(by, pieces)
        assert found is not None
        return found

    return {
        "three": made(public, offered),
        "odd": made(replace(public, name="<&>", web="https://quillback.example/a&b'c/"), [Offered(piece=odd, since=days[0])]),
        "empty": made(public, []),
    }  # fmt: skip


NAMES = ("three", "odd", "empty")


@pytest.mark.parametrize("name", NAMES)
def test_the_feed_is_valid_by_the_grammar_of_appendix_b(feeds: dict[str, bytes], name: str) -> None:
    grammar = etree.RelaxNG(etree.fromstring(GRAMMAR))
    assert grammar.validate(etree.fromstring(feeds[name])), grammar.error_log


BROKEN = [
    (rb"<updated>.*?</updated>\n", b""),
    (rb"<id>.*?</id>\n", b""),
    (rb"T00:00:00Z", b""),
    (rb"<title>", b"<title/><title>"),
    (rb'href="[^"]*"', b""),
    (rb"<name>.*?</name>", b""),
]


@pytest.mark.parametrize(("old", "new"), BROKEN)
def test_the_grammar_refuses_what_the_rfc_refuses(feeds: dict[str, bytes], old: bytes, new: bytes) -> None:
    broken, times = re.subn(old, new, feeds["three"], count=1)
    assert times == 1
    assert not etree.RelaxNG(etree.fromstring(GRAMMAR)).validate(etree.fromstring(broken))


@pytest.mark.parametrize("name", NAMES)
def test_the_musts_that_the_grammar_leaves_to_prose(feeds: dict[str, bytes], name: str) -> None:
    found = etree.fromstring(feeds[name])
    entries = found.findall(f"{ATOM}entry")
    # 4.1.1: an author, unless every entry has one; one link to itself should be there; alternates differ in type.
    assert len(found.findall(f"{ATOM}author")) == 1
    (self_link,) = (link for link in found.findall(f"{ATOM}link") if link.get("rel") == "self")
    # 4.1.2: an entry without content has an alternate link, and at most one of a type and language.
    for holder in (found, *entries):
        alternates = [link for link in holder.findall(f"{ATOM}link") if link.get("rel") == "alternate"]
        assert len(alternates) == 1
    # 4.2.6: an id is an absolute IRI that does not change; 4.2.6.1: they are compared letter by letter, so each is once.
    ids = [one.findtext(f"{ATOM}id") for one in (found, *entries)]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"https://quillback\.example/[!-~]*", one) for one in ids)
    assert self_link.get("href") == ids[0]
    # 3.3: a date has a capital T and, without an offset, a capital Z.
    for moment in [*found.iter(f"{ATOM}updated"), *found.iter(f"{ATOM}published")]:
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)", moment.text)
    # 4.2.15, 4.2.9: an entry is not updated before it is published, nor after the feed.
    for entry in entries:
        assert (
            entry.findtext(f"{ATOM}published") <= entry.findtext(f"{ATOM}updated") <= found.findtext(f"{ATOM}updated")
        )


def test_another_reader_reads_what_was_meant(feeds: dict[str, bytes]) -> None:
    read = feedparser.parse(feeds["three"])
    assert not read.bozo
    assert read.version == "atom10"
    assert (read.feed.title, read.feed.link, read.feed.author) == (
        "Quillback Lane", "https://quillback.example/", "Quillback Lane",
    )  # fmt: skip
    assert [(entry.id, entry.link, entry.title) for entry in read.entries] == [
        (f"https://quillback.example/p{n}/index.html", f"https://quillback.example/p{n}/index.html", "Oak stool") for n in (1, 0, 2)
    ]  # fmt: skip
    # Seconds since 1970: 2026-03-20 is 20532 days after 1970-01-01 (56 years of 365, 14 leap days, 31 + 28 + 19).
    assert timegm(read.entries[0].published_parsed) == 86400 * (56 * 365 + 14 + 31 + 28 + 19)
    assert read.entries[0].summary == "$55.00."


def test_another_reader_reads_odd_words_letter_for_letter(feeds: dict[str, bytes]) -> None:
    read = feedparser.parse(feeds["odd"])
    assert not read.bozo
    assert read.feed.title == "<&>"
    assert read.entries[0].title == "A & B <i>'\"]]>"
    assert read.entries[0].summary == "$55.00. </summary>"
    assert read.entries[0].link == "https://quillback.example/a&b'c/a%26b'c/index.html"
