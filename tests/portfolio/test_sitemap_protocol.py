"""The map of the pages against the protocol of sitemaps.org: its XML schema, and its limits on a file.

The schema is that of https://www.sitemaps.org/schemas/sitemap/0.9/sitemap.xsd (2008-03-26) without its annotations;
the limits are of https://www.sitemaps.org/protocol.html: 50,000 addresses, 50 MB (52,428,800 bytes), an address of less
than 2,048 characters, in UTF-8, escaped.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import etree
from shop_writer import ShopWriter

from flipbook.portfolio.feeds import sitemap
from flipbook.portfolio.public import PublicPiece, PublicShop, public_piece, public_shop

SCHEMA = b"""\
<xsd:schema xmlns:xsd="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.sitemaps.org/schemas/sitemap/0.9"
            xmlns="http://www.sitemaps.org/schemas/sitemap/0.9" elementFormDefault="qualified">
  <xsd:element name="urlset">
    <xsd:complexType>
      <xsd:sequence>
        <xsd:any namespace="##other" minOccurs="0" maxOccurs="unbounded" processContents="strict"/>
        <xsd:element name="url" type="tUrl" maxOccurs="unbounded"/>
      </xsd:sequence>
    </xsd:complexType>
  </xsd:element>
  <xsd:complexType name="tUrl">
    <xsd:sequence>
      <xsd:element name="loc" type="tLoc"/>
      <xsd:element name="lastmod" type="xsd:string" minOccurs="0"/>
      <xsd:element name="changefreq" type="xsd:string" minOccurs="0"/>
      <xsd:element name="priority" type="xsd:decimal" minOccurs="0"/>
      <xsd:any namespace="##other" minOccurs="0" maxOccurs="unbounded" processContents="strict"/>
    </xsd:sequence>
  </xsd:complexType>
  <xsd:simpleType name="tLoc">
    <xsd:restriction base="xsd:anyURI"><xsd:minLength value="12"/><xsd:maxLength value="2048"/></xsd:restriction>
  </xsd:simpleType>
</xsd:schema>
"""
LOC = "{http://www.sitemaps.org/schemas/sitemap/0.9}loc"


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> tuple[PublicShop, PublicPiece]:
    shop = ShopWriter(tmp_path_factory.mktemp("map") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane\nweb: https://quillback.example/\ncurrency: USD\n"})
    facts = shop.piece().books().facts
    return public_shop(facts), public_piece(facts.pieces[0], facts, ())


def made(shop: PublicShop, pieces: list[PublicPiece]) -> bytes:
    """The map, valid by the schema."""
    found = sitemap(shop, pieces)
    assert found is not None
    schema = etree.XMLSchema(etree.fromstring(SCHEMA))
    # A file near the limit of bytes is larger than the parser takes by itself.
    assert schema.validate(etree.fromstring(found, etree.XMLParser(huge_tree=True))), schema.error_log
    return found


def addresses(found: bytes) -> list[str]:
    return [one.text or "" for one in etree.fromstring(found, etree.XMLParser(huge_tree=True)).iter(LOC)]


@pytest.mark.parametrize(
    "web", ["https://quillback.example", "https://quillback.example/a&b'c/", "https://bücher.example/ü"]
)
def test_the_map_is_valid_and_its_addresses_are_absolute(records: tuple[PublicShop, PublicPiece], web: str) -> None:
    shop, piece = records
    found = addresses(made(replace(shop, web=web), [piece, replace(piece, address="a%20b")]))
    assert len(found) == 3
    # The protocol: every address is of one host, and lies below the folder that the map lies in.
    assert all(one.startswith(found[0]) and one.isascii() for one in found)


def test_the_protocols_own_example_of_escaping(records: tuple[PublicShop, PublicPiece]) -> None:
    # https://www.sitemaps.org/protocol.html, from memory: http://www.example.com/ümlat.php&q=name is written so.
    shop, piece = records
    found = made(replace(shop, web="http://www.example.com/ümlat.php&q=name"), [piece])
    assert b"<loc>http://www.example.com/%C3%BCmlat.php&amp;q=name/</loc>" in found


def test_there_are_at_most_fifty_thousand_addresses(records: tuple[PublicShop, PublicPiece]) -> None:
    shop, piece = records
    found = addresses(made(shop, [replace(piece, address=f"p{number}") for number in range(50_010)]))
    assert len(found) == 50_000
    assert found[-1] == "https://quillback.example/p49998/index.html"


def test_a_file_is_at_most_fifty_megabytes(records: tuple[PublicShop, PublicPiece]) -> None:
    shop, piece = records
    found = made(shop, [replace(piece, address=f"{number:02000}") for number in range(30_000)])
    assert 52_428_800 - 2_100 < len(found) <= 52_428_800


@pytest.mark.parametrize(("length", "count"), [(2_047, 2), (2_048, 1)])
def test_an_address_is_shorter_than_2048_characters(
    records: tuple[PublicShop, PublicPiece], length: int, count: int
) -> None:
    shop, piece = records
    around = len("https://quillback.example/") + len("/index.html")
    assert len(addresses(made(shop, [replace(piece, address="a" * (length - around))]))) == count
