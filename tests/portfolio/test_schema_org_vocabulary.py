"""JSON-LD against the vocabulary of schema.org, and the Open Graph against ogp.me.

The domains and types below are those of https://schema.org/Product, /Offer, /QuantitativeValue, /Organization and
/Thing, as the classes have them that pydantic-schemaorg 1.0.6 was generated with from schema.org's own file; Reserved,
which is newer, was read on a page about https://schema.org/ItemAvailability. Units: UN/ECE Recommendation 20 (INH inch,
CMT centimetre; read in OPC 10000-8, C.3). What a shopping site asks for besides is not held here.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from typing import Any
from urllib.parse import urlsplit

import pytest
from shop_writer import ShopWriter

from flipbook.measures.money import SIGNS
from flipbook.portfolio.product_data import json_ld, open_graph
from flipbook.portfolio.public import PublicPicture, PublicPiece, PublicShop, SizedPicture, public_piece, public_shop
from flipbook.shop.records.state import State

# For each type its properties, and what may stand as their value: a type of this table, or one of those below.
VOCABULARY = {
    "Product": {
        "name": "Text", "description": "Text", "image": "URL", "url": "URL", "category": "Text", "material": "Text",
        "width": "QuantitativeValue", "depth": "QuantitativeValue", "height": "QuantitativeValue", "offers": "Offer",
    },
    "Offer": {
        "url": "URL", "price": "Price", "priceCurrency": "Currency", "availability": "ItemAvailability",
        "itemCondition": "OfferItemCondition", "seller": "Organization",
    },
    "QuantitativeValue": {"value": "Number", "unitCode": "UnitCode"},
    "Organization": {"name": "Text"},
}  # fmt: skip
MEMBERS = {
    "ItemAvailability": {"BackOrder", "Discontinued", "InStock", "InStoreOnly", "LimitedAvailability", "MadeToOrder", "OnlineOnly", "OutOfStock", "PreOrder", "PreSale", "Reserved", "SoldOut"},
    "OfferItemCondition": {"DamagedCondition", "NewCondition", "RefurbishedCondition", "UsedCondition"},
}  # fmt: skip


def is_url(value: Any) -> bool:
    return isinstance(value, str) and urlsplit(value).scheme in ("http", "https") and value.isascii()


ALLOWED = {
    "Text": lambda value: isinstance(value, str) and value.strip() != "",
    "URL": is_url,
    # https://schema.org/price: a full stop for the decimals, no sign of a currency and no separator.
    "Price": lambda value: isinstance(value, str) and re.fullmatch(r"[0-9]+\.[0-9]{2}", value) is not None,
    "Currency": lambda value: value in SIGNS and re.fullmatch("[A-Z]{3}", value) is not None,
    # https://schema.org/value: for a QuantitativeValue the recommended type is Number.
    "Number": lambda value: isinstance(value, int | float) and not isinstance(value, bool) and value > 0,
    "UnitCode": lambda value: value in ("INH", "CMT"),
    **{
        name: lambda value, members=members: value.removeprefix("https://schema.org/") in members
        for name, members in MEMBERS.items()
    },
}


def faults(thing: dict[str, Any], wanted: str) -> list[str]:
    """What in a node of JSON-LD the vocabulary does not know."""
    found = [] if thing.get("@type") == wanted else [f"{wanted}: {thing.get('@type')}"]
    for key, value in thing.items():
        if key.startswith("@"):
            continue
        kind = VOCABULARY[wanted].get(key)
        for one in value if isinstance(value, list) else [value]:
            if kind is None:
                found.append(f"{wanted}.{key}")
            elif kind in VOCABULARY:
                found += faults(one, kind)
            elif not ALLOWED[kind](one):
                found.append(f"{wanted}.{key}: {one}")
    return found


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> tuple[PublicShop, PublicPiece]:
    shop = ShopWriter(tmp_path_factory.mktemp("vocabulary") / "my_shop")
    shop.write({"shop.yaml": "shop: Quillback Lane\nweb: https://quillback.example/\ncurrency: USD\n"})
    more = "kind: stool\nsize: 16 x 15 x 18 1/16 in\nwood: oak\ntell: It is old.\nflaws: [A chip.]\nasking: [{on: 2026-03-20, price: 1055}]\n"
    facts = shop.piece(more).books().facts
    size = SizedPicture(address="a-960.jpg", width=960, height=720)
    picture = PublicPicture(sizes=(size,), shows="after", caption="", alt="The stool")
    return public_shop(facts), public_piece(facts.pieces[0], facts, (picture,))


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"is_held": True},
        {"price": "", "state": State.SOLD, "state_words": "Sold"},
        {"price": "", "state": State.KEPT},
        {"size_inches": "", "size_centimetres": ""},
        {"kind": "", "wood": "", "story": (), "flaws": (), "pictures": ()},
    ],
)
def test_every_property_is_one_of_its_type_with_a_value_of_its_kind(
    records: tuple[PublicShop, PublicPiece], changes: dict[str, Any]
) -> None:
    shop, piece = records
    for by in (shop, replace(shop, web="")):
        found = json.loads(json_ld(by, replace(piece, **changes), "USD"))
        assert found["@context"] == "https://schema.org"
        assert faults(found, "Product") == []
        # What a product cannot do without, and what an offer at a price cannot.
        assert {"name", "description"} <= found.keys()
        if "price" in found.get("offers", {}):
            assert {"priceCurrency", "availability", "itemCondition", "seller"} <= found["offers"].keys()


def test_all_of_the_vocabulary_that_is_written_here_is_used(records: tuple[PublicShop, PublicPiece]) -> None:
    found = json.loads(json_ld(*records, "USD"))
    nodes = [found, found["offers"], found["width"][0], found["offers"]["seller"]]
    for node in nodes:
        assert {key for key in node if not key.startswith("@")} == VOCABULARY[node["@type"]].keys()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("InStock", "Instock"),
        ('"price":"1055.00"', '"price":"$1,055.00"'),
        ('"INH"', '"inch"'),
        ('"material"', '"wood"'),
    ],
)
def test_what_the_vocabulary_does_not_know_is_seen(records: tuple[PublicShop, PublicPiece], old: str, new: str) -> None:
    text = json_ld(*records, "USD")
    assert old in text
    assert faults(json.loads(text.replace(old, new)), "Product") != []


# https://ogp.me: the four that every page is asked for, the rest that are used here, and the types without a vertical.
REQUIRED = {"og:title", "og:type", "og:image", "og:url"}
OPTIONAL = {"og:description", "og:site_name", "og:image:width", "og:image:height", "og:image:alt"}
TYPES = {"website", "article", "book", "profile"}


def test_the_open_graph_has_what_ogp_me_asks_for(records: tuple[PublicShop, PublicPiece]) -> None:
    found = open_graph(*records)
    named = dict(found)
    assert len(named) == len(found)
    assert named.keys() == REQUIRED | OPTIONAL
    assert named["og:type"] in TYPES
    assert is_url(named["og:url"])
    assert is_url(named["og:image"])
    # Structured properties stand after the one that they describe.
    names = [name for name, _ in found]
    assert all(names.index("og:image") < names.index(name) for name in names if name.startswith("og:image:"))
    assert (named["og:image:width"], named["og:image:height"]) == ("960", "720")
