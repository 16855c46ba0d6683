"""What a can is, told once from its words: its family, whether it is a finish, whether its rags warm.

Which words name which kind, and which coat is a finish, are common practice, no source. What warms as it dries: the
National Fire Protection Association's tip sheet on oily rags (oil finishes, oil stains, oil paints and varnishes do,
what is thinned with water does not).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import Stage
from flipbook.trade.kinds import KINDS, UNKNOWN, Family, Hazard, Solvent, kind_of, kind_used, mentions

# What is written, its family, whether it is a finish, and whether a heap of its rags can light itself.
FINISH, NOT_ONE = True, False
WARMS, COOL = True, False
TABLE: list[tuple[str, Family, bool, bool]] = [
    # Paint.
    ("fig blue paint", Family.PAINT, FINISH, COOL),
    ("waterborne paint", Family.PAINT, FINISH, COOL),
    ("latex", Family.PAINT, FINISH, COOL),
    ("latex wall paint", Family.PAINT, FINISH, COOL),
    ("acrylic", Family.PAINT, FINISH, COOL),
    ("acrylic enamel", Family.PAINT, FINISH, COOL),
    ("emulsion", Family.PAINT, FINISH, COOL),
    ("white enamel", Family.PAINT, FINISH, WARMS),
    ("oil paint", Family.PAINT, FINISH, WARMS),
    ("oil-based enamel", Family.PAINT, FINISH, WARMS),
    ("paint, oil", Family.PAINT, FINISH, WARMS),
    ("alkyd", Family.PAINT, FINISH, WARMS),
    ("alkyd enamel", Family.PAINT, FINISH, WARMS),
    ("linseed paint", Family.PAINT, FINISH, WARMS),
    ("waterborne alkyd enamel", Family.PAINT, FINISH, COOL),
    ("chalk paint", Family.CHALKY, FINISH, COOL),
    ("chalk-type paint, duck egg", Family.CHALKY, FINISH, COOL),
    ("mustard milk paint", Family.CHALKY, FINISH, COOL),
    ("barn red milk paint powder", Family.CHALKY, FINISH, COOL),
    ("casein paint", Family.CHALKY, FINISH, COOL),
    # Clear coats.
    ("satin clear coat", Family.CLEAR, FINISH, COOL),
    ("top coat", Family.CLEAR, FINISH, COOL),
    ("topcoat, matte", Family.CLEAR, FINISH, COOL),
    ("clear finish", Family.CLEAR, FINISH, COOL),
    ("water-based poly", Family.CLEAR, FINISH, COOL),
    ("polyurethane, satin, water based", Family.CLEAR, FINISH, COOL),
    ("waterborne varnish", Family.CLEAR, FINISH, COOL),
    ("acrylic varnish", Family.CLEAR, FINISH, COOL),
    ("waterborne lacquer", Family.CLEAR, FINISH, COOL),
    ("poly", Family.VARNISH, FINISH, WARMS),
    ("wipe-on poly", Family.VARNISH, FINISH, WARMS),
    ("polyurethane", Family.VARNISH, FINISH, WARMS),
    ("oil-based polyurethane", Family.VARNISH, FINISH, WARMS),
    ("oil clear coat", Family.VARNISH, FINISH, WARMS),
    ("spar urethane", Family.VARNISH, FINISH, WARMS),
    ("spar varnish", Family.VARNISH, FINISH, WARMS),
    ("oil varnish", Family.VARNISH, FINISH, WARMS),
    ("wiping varnish", Family.VARNISH, FINISH, WARMS),
    ("varnish stain", Family.VARNISH, FINISH, WARMS),
    ("tung oil varnish", Family.VARNISH, FINISH, WARMS),
    ("lacquer", Family.LACQUER, FINISH, COOL),
    ("brushing lacquer", Family.LACQUER, FINISH, COOL),
    ("acrylic lacquer", Family.LACQUER, FINISH, COOL),
    ("dewaxed shellac", Family.SHELLAC, FINISH, COOL),
    ("wax-free shellac", Family.SHELLAC, FINISH, COOL),
    ("shellac flakes", Family.SHELLAC, FINISH, COOL),
    ("french polish", Family.SHELLAC, FINISH, COOL),
    ("button polish", Family.SHELLAC, FINISH, COOL),
    # Oil and wax.
    ("oil finish", Family.OIL, FINISH, WARMS),
    ("hard oil finish", Family.OIL, FINISH, WARMS),
    ("matte hardwax oil", Family.OIL, FINISH, WARMS),
    ("hard wax oil", Family.OIL, FINISH, WARMS),
    ("hemp oil", Family.OIL, FINISH, WARMS),
    ("teak oil", Family.OIL, FINISH, WARMS),
    ("danish oil", Family.OIL, FINISH, WARMS),
    ("tung oil", Family.OIL, FINISH, WARMS),
    ("walnut oil", Family.OIL, FINISH, WARMS),
    ("boiled linseed oil", Family.OIL, FINISH, WARMS),
    ("raw linseed", Family.OIL, FINISH, WARMS),
    ("finishing oil", Family.OIL, FINISH, WARMS),
    ("oil", Family.OIL, FINISH, WARMS),
    ("brown paste wax", Family.WAX, FINISH, COOL),
    ("beeswax", Family.WAX, FINISH, COOL),
    ("clear wax for chalk paint", Family.WAX, FINISH, COOL),
    ("wax polish", Family.WAX, FINISH, COOL),
    # Under a finish, or none.
    ("stain", Family.STAIN, NOT_ONE, WARMS),
    ("walnut oil stain", Family.STAIN, NOT_ONE, WARMS),
    ("walnut gel stain", Family.STAIN, NOT_ONE, WARMS),
    ("waterborne stain", Family.STAIN, NOT_ONE, COOL),
    ("wood dye", Family.STAIN, NOT_ONE, COOL),
    ("spirit stain", Family.STAIN, NOT_ONE, COOL),
    ("glaze", Family.STAIN, NOT_ONE, COOL),
    ("toner", Family.STAIN, NOT_ONE, COOL),
    ("primer", Family.PRIMER, NOT_ONE, COOL),
    ("stain-blocking primer", Family.PRIMER, NOT_ONE, COOL),
    ("undercoat", Family.PRIMER, NOT_ONE, COOL),
    ("oil primer", Family.PRIMER, NOT_ONE, WARMS),
    ("shellac primer", Family.PRIMER, NOT_ONE, COOL),
    ("sanding sealer", Family.SEALER, NOT_ONE, COOL),
    ("wood filler", Family.FILLER, NOT_ONE, COOL),
    ("putty", Family.FILLER, NOT_ONE, COOL),
    ("linseed oil putty", Family.FILLER, NOT_ONE, WARMS),
    ("wax filler stick", Family.FILLER, NOT_ONE, COOL),
    ("wood glue", Family.GLUE, NOT_ONE, COOL),
    ("hide glue", Family.GLUE, NOT_ONE, COOL),
    ("polyurethane glue", Family.GLUE, NOT_ONE, COOL),
    ("contact cement", Family.GLUE, NOT_ONE, COOL),
    ("epoxy", Family.GLUE, NOT_ONE, COOL),
    # What does not stay on a piece.
    ("paint stripper", Family.STRIPPER, NOT_ONE, COOL),
    ("varnish remover", Family.STRIPPER, NOT_ONE, COOL),
    ("linseed oil soap", Family.CLEANER, NOT_ONE, COOL),
    ("dish soap", Family.CLEANER, NOT_ONE, COOL),
    ("wax and grease cleaner", Family.CLEANER, NOT_ONE, COOL),
    ("lacquer thinner", Family.THINNER, NOT_ONE, COOL),
    ("mineral spirits", Family.THINNER, NOT_ONE, COOL),
    ("denatured alcohol", Family.THINNER, NOT_ONE, COOL),
    ("household bleach", Family.BLEACH, NOT_ONE, COOL),
    ("oxalic acid", Family.BLEACH, NOT_ONE, COOL),
    ("mineral oil", Family.POLISH, NOT_ONE, COOL),
    ("lemon oil", Family.POLISH, NOT_ONE, COOL),
    ("furniture polish", Family.POLISH, NOT_ONE, COOL),
    ("sandpaper", Family.ABRASIVE, NOT_ONE, COOL),
    ("steel wool", Family.ABRASIVE, NOT_ONE, COOL),
    ("lint-free rag", Family.TOOL, NOT_ONE, COOL),
    ("paint brush", Family.TOOL, NOT_ONE, COOL),
    ("varnish brush", Family.TOOL, NOT_ONE, COOL),
    ("tack cloth", Family.TOOL, NOT_ONE, COOL),
    ("cup hook", Family.UNKNOWN, NOT_ONE, COOL),
    ("grip coat", Family.UNKNOWN, NOT_ONE, COOL),
    ("", Family.UNKNOWN, NOT_ONE, COOL),
]


@pytest.mark.parametrize(("words", "family", "is_finish", "warms"), TABLE, ids=[row[0] for row in TABLE])
def test_a_product_is_told_by_its_name_or_by_the_same_words_as_its_type(
    words: str, family: Family, is_finish: bool, warms: bool
) -> None:
    for kind in (kind_of(words), kind_of("number 7", words), kind_of(words.upper())):
        assert (kind.family, kind.is_finish, kind.warms) == (family, is_finish, warms)


@pytest.mark.parametrize(
    ("name", "type_", "kind"),
    [
        ("fig blue paint", "milk paint", "milk paint"),
        ("satin wax", "oil finish", "drying-oil finish"),
        ("satin finish", "oil varnish", "oil varnish"),
        # A type that tells no kind by itself is read with the name.
        ("satin polyurethane", "waterborne", "waterborne clear coat"),
        ("grey enamel", "oil-based", "oil paint"),
        ("walnut stain", "gel", "gel stain"),
        ("number 7", "", ""),
    ],
)
def test_the_type_of_products_yaml_beats_the_words_of_the_name(name: str, type_: str, kind: str) -> None:
    assert kind_of(name, type_).name == kind
    known = {name: Product.unwritten("products.yaml", type=type_)}
    assert kind_used(f"  {name.upper()} ", known) is kind_of(name, type_)


@pytest.mark.parametrize(
    ("words", "hazards"),
    [
        ("paint stripper", {Hazard.STRIPPER}),
        ("lacquer thinner", {Hazard.SOLVENT}),
        ("lacquer", {Hazard.SOLVENT}),
        ("acrylic lacquer", {Hazard.SOLVENT}),
        ("methylated spirit", {Hazard.SOLVENT}),
        ("waterborne lacquer", set()),
        ("household bleach", {Hazard.BLEACH, Hazard.CHLORINE}),
        ("wood bleach", {Hazard.BLEACH}),
        ("oxalic acid", {Hazard.BLEACH, Hazard.OXALIC, Hazard.ACID}),
        ("white vinegar", {Hazard.ACID}),
        ("ammonia", {Hazard.AMMONIA}),
        ("fig blue paint", set()),
    ],
)
def test_what_burns_or_poisons_is_told_with_the_kind(words: str, hazards: set[Hazard]) -> None:
    assert kind_of(words).hazards == hazards


def test_a_type_hides_no_hazard_of_the_name() -> None:
    kind = kind_of("household bleach", "cleaner")
    assert (kind.family, kind.hazards) == (Family.CLEANER, {Hazard.BLEACH, Hazard.CHLORINE})


@pytest.mark.parametrize(
    ("words", "stage"),
    [
        ("primer", Stage.PRIMING), ("fig blue paint", Stage.COLOUR), ("walnut gel stain", Stage.COLOUR),
        ("hemp oil", Stage.FINISH), ("poly", Stage.FINISH), ("wood glue", Stage.REPAIR), ("paint stripper", Stage.STRIPPING),
        ("dish soap", Stage.CLEANING), ("sandpaper", Stage.SANDING), ("mineral spirits", None), ("lint-free rag", None),
    ],
)  # fmt: skip
def test_a_kind_has_its_stage_in_the_work(words: str, stage: Stage | None) -> None:
    assert kind_of(words).stage is stage


@pytest.mark.parametrize(
    ("sentence", "families"),
    [
        ("wiped on two coats of wipe-on poly", [Family.VARNISH]),
        ("washed with linseed oil soap, then tung oil", [Family.CLEANER, Family.OIL]),
        ("brushed varnish remover on the legs", [Family.STRIPPER]),
        ("first coat of water-based poly over the walnut gel stain", [Family.CLEAR, Family.STAIN]),
        ("fitted eight new pulls", []),
    ],
)
def test_the_products_of_a_sentence_are_told_by_the_same_rows(sentence: str, families: list[Family]) -> None:
    assert [mention.kind.family for mention in mentions(sentence)] == families


def test_every_kind_is_whole() -> None:
    assert len({kind.name for kind in KINDS}) == len(KINDS)
    assert UNKNOWN.family is Family.UNKNOWN
    for kind in KINDS:
        # The words by which a kind is shown tell it again, so that they can be written as a type.
        assert kind_of("", kind.name) == kind
        assert kind.is_finish == bool(kind.care)
        assert not (kind.warms and kind.solvent is Solvent.WATER)
        for span in (kind.covers, kind.touch, kind.recoat, kind.sand, kind.use, kind.cure):
            assert span is None or 0 < span.least <= span.most


@given(st.text(max_size=60))
def test_any_words_are_taken(words: str) -> None:
    assert kind_of(words) is kind_of(words)
    assert all(words.casefold()[mention.at :].startswith(mention.words) for mention in mentions(words.casefold()))
