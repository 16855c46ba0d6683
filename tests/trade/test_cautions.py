"""Cautions: what calls for each, what does not end one, and words that never claim that a thing is safe."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from caution_shop import SANDED, facts_of, names, raised
from shop_writer import ShopWriter

from flipbook.measures.amounts import INCH, UNITS
from flipbook.shop.reading import read_shop
from flipbook.trade.caution_signs import (
    TIP_OVER_HEIGHT,
    TIP_OVER_SPACE,
    TIP_OVER_WEIGHT,
    Box,
    closed_storage,
    in_tip_over_rule,
)
from flipbook.trade.cautions import (
    CAUTIONS,
    called_for,
    may_hold_lead,
    problems_of,
)


# Lead. 16 CFR 1303.1: the first ban took effect on 28 February 1978, and stock was sold on; HQ 088319 took an expert's
# "about" as five years either way.
@pytest.mark.parametrize(
    ("built", "may"),
    [
        ("", True), ("unknown", True), ("1977", True), ("1978", True), ("1979", False), ("about 1980", True),
        ("about 1983", True), ("about 1984", False), ("1970s", True), ("1980s", False), ("about 1935", True), ("2015", False),
    ],
)  # fmt: skip
def test_an_age_that_reaches_back_to_lead_paint_calls_for_the_caution(shop: ShopWriter, built: str, may: bool) -> None:
    assert may_hold_lead(built) == may
    line = f"built: {built}\n" if built else ""
    assert ("lead paint" in names(shop, line + SANDED)) == may


@pytest.mark.parametrize(
    "step",
    [
        "sanded the top", "hand-sanded the drawers", "scraped the old varnish off", "took the paint off with a heat gun",
        "stripped the legs", "stripping the top", "wet-sanded the flaking edges", "scuffed it all over",
        "sanded the top and primed it", "wire-brushed the feet", "peeled the paint off",
    ],
)  # fmt: skip
def test_work_that_disturbs_an_old_coat_calls_for_it(shop: ShopWriter, step: str) -> None:
    assert "lead paint" in names(shop, f"log:\n  - 2026-01-06 {step}\n")


@pytest.mark.parametrize(
    "step",
    [
        "washed it with dish soap", "touched in the sand-through", "bought sandpaper", "rubbed with 320 between the coats",
        "sanded between the second and the third coat", "waxed the runners", "put in a strip of oak", "no sanding at all",
        "looked it over", "brushed on the sanding sealer",
    ],
)  # fmt: skip
def test_work_that_disturbs_none_does_not(shop: ShopWriter, step: str) -> None:
    assert "lead paint" not in names(shop, f"log:\n  - 2026-01-06 {step}\n")


def test_a_piece_with_neither_age_nor_steps_raises_nothing(shop: ShopWriter) -> None:
    assert raised(shop, "") == []
    assert raised(shop, "kind: chest of drawers\nsize: 40 x 20 x 44 in\n") == []


@pytest.mark.parametrize(
    "words",
    [
        "tested the paint with a swab: negative",
        "lead test kit came out negative, twice",
        "swabbed for lead, none found",
    ],
)
def test_a_negative_swab_never_ends_it(shop: ShopWriter, words: str) -> None:
    # Kits are judged at 5000 ppm (40 CFR 745.88(c)); furniture is banned over 90 ppm (16 CFR 1303.1).
    more = f'log:\n  - {{on: 2026-01-05, did: "{words}"}}\n  - 2026-01-06 sanded the top\n'
    assert names(shop, more) == ["lead paint"]
    (caution,) = [one for one in CAUTIONS if one.name == "lead paint"]
    for figure in ("5000 ppm", "90 ppm", "a negative swab does not end this"):
        assert figure in caution.maker
    assert names(shop, more + "seen to: [lead paint]\n") == []


@pytest.mark.parametrize(
    ("state", "more"),
    [
        ("sold", "sold: {on: 2026-02-01, price: 90}\n"),
        ("kept", "kept: {on: 2026-02-01}\n"),
        ("given", "given: {on: 2026-02-01}\n"),
        ("scrapped", "scrapped: {on: 2026-02-01}\n"),
    ],
)
def test_a_piece_that_has_left_the_shop_raises_none(shop: ShopWriter, state: str, more: str) -> None:
    facts = facts_of(shop, SANDED + more)
    assert facts.pieces[0].piece.state == state
    assert problems_of(facts) == []


def test_a_planned_step_calls_for_it_before_the_work_is_done(shop: ShopWriter) -> None:
    (problem,) = raised(shop, "planned:\n  - sand the top back to bare wood\n")
    assert (problem.name, problem.warning, problem.place.line) == ("lead-paint", True, 4)
    assert "is to sand" in problem.says


def test_it_is_marked_at_the_first_step_that_calls_for_it_once(shop: ShopWriter) -> None:
    (problem,) = raised(
        shop, "log:\n  - 2026-01-06 washed it\n  - 2026-01-07 sanded it\n  - 2026-01-08 sanded it again\n"
    )
    assert (problem.place.file, problem.place.line) == ("pieces/oak-stool/piece.yaml", 5)
    assert problem.help.endswith("Once it is seen to, write `seen to: [lead paint]`")


# Rags. The National Fire Protection Association's tip sheet: oil finishes, stains, paints and varnishes warm as they dry.
@pytest.mark.parametrize(
    "product",
    [
        "boiled linseed oil", "tung oil", "danish oil", "hard oil finish", "oil stain", "walnut gel stain", "stain",
        "alkyd enamel", "oil paint", "spar varnish", "oil-based polyurethane", "polyurethane", "oil primer",
    ],
)  # fmt: skip
def test_what_warms_as_it_dries_calls_for_the_rags(shop: ShopWriter, product: str) -> None:
    used = f"log:\n  - {{on: 2026-01-06, did: wiped it on, used: [1 fl oz {product}]}}\n"
    assert "oily rags" in names(shop, used, shelf=(product,))


@pytest.mark.parametrize(
    ("words", "called"),
    [
        ("wiped on two coats of wipe-on poly", True), ("first coat of spar varnish", True), ("walnut stain on the top", True),
        ("boiled linseed oil, wiped off", True), ("oil-based poly over the paint", True), ("flooded on tung oil", True),
        ("two coats of water-based poly", False), ("scraped the old varnish off", False), ("painted over the old varnish", False),
        ("household bleach on the stain", False), ("no linseed oil on this one", False), ("washed it with linseed oil soap", False),
        # What is thinned with water hides no oil in the same step.
        ("acrylic paint on the legs, tung oil on the top", True),
    ],
)  # fmt: skip
def test_a_step_that_only_says_its_coat_in_words_calls_for_the_rags(shop: ShopWriter, words: str, called: bool) -> None:
    assert ("oily rags" in names(shop, f'log:\n  - {{on: 2026-01-06, did: "{words}"}}\n')) == called


@pytest.mark.parametrize(
    "product",
    [
        "waterborne varnish", "water-based polyurethane", "waterborne stain", "acrylic enamel", "fog grey paint",
        "satin clear coat", "waterborne alkyd enamel", "mineral oil", "brown paste wax", "milk paint", "linseed oil soap",
        "stain-blocking primer", "dewaxed shellac",
    ],
)  # fmt: skip
def test_waterborne_products_wax_and_mineral_oil_do_not(shop: ShopWriter, product: str) -> None:
    used = f"log:\n  - {{on: 2026-01-06, did: put it on, used: [1 fl oz {product}]}}\n"
    assert "oily rags" not in names(shop, used, shelf=(product,))


def test_the_type_in_products_yaml_settles_it(shop: ShopWriter) -> None:
    used = "log:\n  - {on: 2026-01-06, did: put it on, used: [1 fl oz satin finish]}\n"
    assert "oily rags" in names(shop, used, "  satin finish: {type: oil varnish}\n", ("satin finish",))


def test_the_type_of_a_waterborne_one_settles_it_too(shop: ShopWriter) -> None:
    used = "log:\n  - {on: 2026-01-06, did: put it on, used: [1 fl oz satin polyurethane]}\n"
    assert names(shop, used, "  satin polyurethane: {type: waterborne}\n", ("satin polyurethane",)) == []


def test_rags_are_spread_out_of_doors_first_and_then_drowned_in_a_lidded_can() -> None:
    (caution,) = [one for one in CAUTIONS if one.name == "oily rags"]
    for words in (caution.first.lower(), caution.maker.lower()):
        places = [words.index(step) for step in ("out of doors", "until", "stiff", "then into", "metal can", "water")]
        assert places == sorted(places)
        assert re.search(r"lidded metal can|can with a tight lid", words)
    assert "sanding dust" in caution.maker


# Strippers. 40 CFR 751 subpart B; 751.103: a consumer is one who strips without pay.
@pytest.mark.parametrize(
    "more",
    [
        "log:\n  - 2026-01-06 put on paint stripper\n",
        "log:\n  - 2026-01-06 brushed varnish remover on the legs\n",
        "log:\n  - 2026-01-06 a can that says methylene chloride\n",
        "planned:\n  - citrus stripper on the top\n",
    ],
)
def test_a_stripper_calls_for_a_look_at_its_label(shop: ShopWriter, more: str) -> None:
    assert "strippers" in names(shop, "built: 2015\n" + more)


def test_a_cartridge_does_not_protect_and_one_who_sells_is_no_consumer() -> None:
    (caution,) = [one for one in CAUTIONS if one.name == "strippers"]
    assert "a cartridge mask does not protect from it" in caution.first
    assert "No cartridge respirator protects" in caution.maker
    assert "a consumer is one who strips without pay" in caution.maker
    assert "a person who sells furniture is none" in caution.maker
    for day in ("22 November 2019", "3 February 2025", "5 May 2025"):
        assert day in re.sub(r"\s+", " ", caution.maker)


# Tip-over. 16 CFR 1261 and the commission's guide for businesses: 27 in, 30 lb, 3.2 cubic feet, each `at least`.
FOOT3 = (12 * INCH) ** 3


@pytest.mark.parametrize(
    ("inches", "pounds", "cubic_feet", "inside"),
    [
        ("27", "30", "3.2", True), ("26.99", "30", "3.2", False), ("27", "29.99", "3.2", False),
        ("27", "30", "3.19", False), ("44", "90", "12", True), ("60", "29", "12", False),
        (None, "30", "3.2", True), ("27", None, "3.2", True), ("27", "30", None, True), (None, None, None, True),
        ("26", None, None, False),
    ],
)  # fmt: skip
def test_each_limit_of_the_rule_is_at_least(
    inches: str | None, pounds: str | None, cubic_feet: str | None, inside: bool
) -> None:
    height = None if inches is None else Fraction(inches) * INCH
    weight = None if pounds is None else Fraction(pounds) * UNITS["lb"].size
    storage = None if cubic_feet is None else Fraction(cubic_feet) * FOOT3
    assert in_tip_over_rule(height=height, weight=weight, storage=storage) == inside


def test_the_limits_are_those_of_the_guide() -> None:
    height, weight, space = TIP_OVER_HEIGHT, TIP_OVER_WEIGHT, TIP_OVER_SPACE
    assert (height, weight) == (Fraction("685.8"), Fraction("453.59237") * 30)
    assert space == Fraction("3.2") * Fraction("304.8") ** 3


def test_space_behind_doors_counts_half_and_a_drawer_less_an_eighth() -> None:
    # A drawer of 6 1/8 x 24 x 12 in counts 6 x 24 x 12 = 1728 cubic inches, a cubic foot.
    drawer = Box(Fraction("6.125") * INCH, 24 * INCH, 12 * INCH)
    behind = Box(24 * INCH, 12 * INCH, 12 * INCH)
    assert closed_storage(drawers=[drawer]) == FOOT3
    assert closed_storage(doors=[behind]) == FOOT3  # two cubic feet, and half of them
    assert closed_storage(drawers=[drawer] * 3, doors=[behind]) == 4 * FOOT3
    assert closed_storage() == 0


@pytest.mark.parametrize(
    ("kind", "size", "words"),
    [
        ("chest of drawers", "40 x 20 x 44 in", "would reach it"),
        ("low cabinet", "18 x 15 x 25 in", "outside the US rule for new ones it can tip all the same"),
        ("bookcase", "36 x 12 x 72 in", "would reach it"),
    ],
)
def test_outside_the_standard_is_not_said_to_be_safe(shop: ShopWriter, kind: str, size: str, words: str) -> None:
    more = f"kind: {kind}\nsize: {size}\nbuilt: 2015\nasking: [{{on: 2026-02-01, price: 90}}]\n"
    (problem,) = raised(shop, more)
    assert problem.name == "tip-over"
    assert words in problem.says


def test_check_marks_it_at_the_piece(shop: ShopWriter) -> None:
    more = "kind: chest of drawers\nbuilt: 2015\nasking: [{on: 2026-02-01, price: 90}]\n"
    (problem,) = shop.piece(more).problems()
    assert (problem.name, problem.place.file, problem.place.line) == ("tip-over", "pieces/oak-stool/piece.yaml", 1)


@pytest.mark.parametrize(
    ("kind", "called"),
    [
        ("blanket chest", False),
        ("pine chest", False),
        ("chest of drawers", True),
        ("dressing chest", True),
        ("stool", False),
        ("mirror", False),
        ("washstand", False),
        ("nightstand", False),
        ("desk", False),
        ("secretary desk", True),
        ("sideboard", True),
        ("dresser", True),
        ("tall bookcase", True),
    ],
)
def test_only_what_has_drawers_doors_or_shelves_is_told_to_tip(shop: ShopWriter, kind: str, called: bool) -> None:
    more = f"kind: {kind}\nbuilt: 2015\nasking: [{{on: 2026-02-01, price: 90}}]\n"
    assert ("tip-over" in names(shop, more)) == called


def test_casters_call_for_it_on_the_bench(shop: ShopWriter) -> None:
    more = "kind: cabinet\nbuilt: 2015\nlog:\n  - 2026-01-06 fitted new brass casters\n"
    (problem,) = raised(shop, more)
    assert (problem.name, problem.place.line) == ("tip-over", 6)


# Upholstery. 16 CFR 1640: covered again for sale; a customer's own, returned to the customer, is outside.
COVERED = "built: 2015\nlog:\n  - 2026-01-06 re-covered the seat in green wool\n"


def test_a_chair_covered_for_sale_has_duties(shop: ShopWriter) -> None:
    assert names(shop, COVERED) == ["upholstery"]


def test_a_customers_own_chair_has_not(shop: ShopWriter) -> None:
    own = "piece: Oak chair\ncustomer: yes\n" + COVERED
    facts = read_shop(shop.write({"pieces/own/piece.yaml": own}).root).facts
    assert facts is not None
    assert called_for(facts.pieces[0].piece, facts.products) == ()


@pytest.mark.parametrize(
    "step", ["upholstered the seat", "reupholstered both arms", "new foam and fabric", "new webbing under the seat"]
)
def test_covering_is_told_by_its_words(shop: ShopWriter, step: str) -> None:
    assert names(shop, f"built: 2015\nlog:\n  - 2026-01-06 {step}\n") == ["upholstery"]


@pytest.mark.parametrize("step", ["recovered the lost key", "covered it with a sheet", "caned the seat"])
def test_other_covers_are_none(shop: ShopWriter, step: str) -> None:
    assert names(shop, f"built: 2015\nlog:\n  - 2026-01-06 {step}\n") == []


# Children. 16 CFR 1219 and 1220, from memory: cribs made before 28 June 2011 are not sold.
@pytest.mark.parametrize(
    ("kind", "built", "words"),
    [
        ("crib", "1990s", "an old crib may not be sold"),
        ("crib", "2011", "an old crib may not be sold"),
        ("crib", "", "an old crib may not be sold"),
        ("crib", "2018", "rules of its own"),
        ("bunk bed", "1990s", "rules of its own"),
        ("high chair", "2020", "rules of its own"),
    ],
)
def test_childrens_furniture_and_old_cribs(shop: ShopWriter, kind: str, built: str, words: str) -> None:
    more = f"kind: {kind}\n" + (f"built: {built}\n" if built else "")
    (problem,) = [problem for problem in raised(shop, more) if problem.name == "children"]
    assert words in problem.says


@pytest.mark.parametrize("title", ["scribed mirror frame", "described table"])
def test_a_crib_in_a_word_is_none(shop: ShopWriter, title: str) -> None:
    assert names(shop, f"kind: {title}\nbuilt: 2015\n") == []


# Bleach. Poison centres' pages: with ammonia chloramines, with any acid chlorine.
@pytest.mark.parametrize(
    ("log", "words"),
    [
        (["used household bleach on the stain"], "this step bleaches"),
        (["household bleach on the ring", "rinsed with vinegar"], "poison gas"),
        (["household bleach on the ring", "wiped with ammonia"], "poison gas"),
        (["chlorine bleach on it", "oxalic acid on it"], "poison gas"),
        (["oxalic acid on the iron stain"], "its dry residue is not to be sanded"),
    ],
)
def test_bleach_with_ammonia_or_any_acid_and_oxalic_alone(shop: ShopWriter, log: list[str], words: str) -> None:
    more = "built: 2015\nlog:\n" + "".join(f"  - 2026-01-0{n} {did}\n" for n, did in enumerate(log, 6))
    (problem,) = [problem for problem in raised(shop, more) if problem.name == "bleach"]
    assert words in problem.says


def test_vinegar_alone_and_sun_bleached_wood_are_no_bleach(shop: ShopWriter) -> None:
    more = (
        "built: 2015\nlog:\n  - 2026-01-06 washed the glass with vinegar\n  - 2026-01-07 oiled the sun-bleached arm\n"
    )
    assert "bleach" not in names(shop, more)


@pytest.mark.parametrize(
    ("more", "name"),
    [
        ("kind: table lamp\n", "wiring"),
        ("log:\n  - 2026-01-06 rewired it with new cord\n", "wiring"),
        ("log:\n  - 2026-01-06 sanded it with the orbital sander\n", "dust"),
        ("wood: MDF with paper\nlog:\n  - 2026-01-06 sanded it\n", "dust"),
        ("log:\n  - 2026-01-06 wiped it down with mineral spirits\n", "solvents"),
        ("log:\n  - 2026-01-06 sprayed lacquer in the yard\n", "solvents"),
        ("log:\n  - 2026-01-06 took the cloudy finish off with alcohol\n", "solvents"),
    ],
)
def test_wiring_dust_and_solvents(shop: ShopWriter, more: str, name: str) -> None:
    assert name in names(shop, "built: 2015\n" + more)


@pytest.mark.parametrize(
    "more",
    [
        "log:\n  - 2026-01-06 plugged the old knob holes\n",
        "log:\n  - 2026-01-06 sprayed waterborne lacquer\n",
        "log:\n  - 2026-01-06 sanded it by hand\n",
    ],
)
def test_plugs_of_wood_waterborne_lacquer_and_a_hand_are_none_of_these(shop: ShopWriter, more: str) -> None:
    assert names(shop, "built: 2015\n" + more) == []


@pytest.mark.parametrize(
    ("kind", "called"),
    [
        ("floor lamp", True),
        ("wall light", True),
        ("radio cabinet", True),
        ("light oak table", False),
        ("lamp table", False),
    ],
)
def test_what_has_wires_is_told_by_its_name(shop: ShopWriter, kind: str, called: bool) -> None:
    assert ("wiring" in names(shop, f"kind: {kind}\nbuilt: 2015\n")) == called
