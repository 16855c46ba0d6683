"""The stage of a step is told from its words, its grit and what it used; what is not told is not guessed.

The sentences are invented; which stage each belongs to is common practice, no source.
"""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.measures.amounts import UNITS, Amount
from flipbook.measures.dates import When
from flipbook.portfolio.public import public_piece
from flipbook.shop.problems import Place
from flipbook.shop.records.piece import Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.stage import Stage
from flipbook.shop.records.uses import Mix, Use
from flipbook.trade.stages import is_photographing, stage_of, usual_next

KINDS = {
    "fig blue paint": "waterborne paint",
    "harbour fog": "waterborne paint",
    "barn red powder": "milk paint",
    "grip coat": "bonding primer",
    "dewaxed shellac": "shellac",
    "satin clear coat": "waterborne clear coat",
    "hard oil": "oil finish",
    "brown wax": "wax",
    "walnut gel": "gel stain",
    "yellow glue": "wood glue",
    "wood filler": "filler",
    "citrus stripper": "stripper",
    "sandpaper": "",
    "lint-free rag": "",
}
PRODUCTS = {name: Product.unwritten("products.yaml", type=kind) for name, kind in KINDS.items()}


def step(did: str, *used: str, grit: tuple[str, ...] = ()) -> Step:
    uses = tuple(Use(name, Amount(Fraction(1), UNITS["each"]), Place("piece.yaml")) for name in used)
    return Step.unwritten("piece.yaml", on=When(date(2026, 2, 14)), did=did, used=uses, grit=grit)


CLEANING = [
    "washed it twice with dish soap and warm water",
    "scrubbed the legs with a stiff brush",
    "vacuumed sixty years of dust out of the carcass",
    "wiped down inside with mineral spirits",
    "washed off a thick coat of polish",
    "cleaned off the candle grease, then rinsed",
    "degreased the top twice",
    "gave it a second wash with soap, the water is clear now",
    "hosed the porch chair and left it in the wind",
]
REPAIR = [
    "glued the split in the seat and clamped it overnight",
    "knocked the back legs out of their sockets",
    "re-glued two spindles",
    "scraped the old hide glue out of the joints",
    "let a patch into the veneer, sanded the patch flush",
    "filled the screw holes with wax",
    "cut and fitted a new foot from a beech offcut",
    "replaced the broken stretcher",
    "planed a hair off the drawer side",
    "filled the holes of the old pulls",
    "drilled out a snapped screw, plugged the hole",
    "sanded the filler flush once it was hard",
    "pinned the loose moulding",
    "steamed a dent out of the top",
]
STRIPPING = [
    "stripped the case, two rounds, down to the maple",
    "scraped off three layers of paint",
    "took the crazed lacquer off with alcohol",
    "brushed on stripper and left it under plastic",
    "peeled the vinyl off the shelves",
    "sanded off the old varnish",
    "heat gun on the drawer fronts, the paint came away in sheets",
    "removed the finish from the top only",
    "softened the enamel and scraped it away",
    "cleaned off the paint remover with a plastic scraper",
]
SANDING = [
    "sanded the top to bare wood",
    "wet-sanded by hand, mask on",
    "scuffed the old varnish so the paint will hold",
    "hand-sanded with the grain, ready for primer",
    "rubbed down the edges",
    "sanded everything, needs a first coat tomorrow",
    "went over it by hand, smoothed the arrises",
    "sanded for painting",
    "sanded lightly before the first coat of varnish",
    "took the gloss off the old enamel with 180",
    "scraped and sanded the apron; wiped the dust off, cleaned up the floor",
]
PRIMING = [
    "primed the carcass",
    "one coat of bonding primer, edges by brush",
    "sanded the primer back by hand",
    "sealed the knots",
    "shellac over the ink so it cannot bleed through",
    "undercoated the drawer fronts",
    "the stain bled through, sealed it with shellac",
    "spot-primed where the filler showed",
    "grey primer on the legs",
]
COLOUR = [
    "painted the fronts",
    "second coat of paint, thinner",
    "walnut gel stain, wiped off after ten minutes",
    "sanded between coats of paint",
    "painted over the primer",
    "dry-brushed the carving",
    "oil stain on the top to match the legs",
    "whitewashed the back boards",
    "milk paint, mixed a little thick",
    "repainted the one drawer that chipped",
]
FINISH = [
    "sanded between coats",
    "rubbed down with 320 between the second and the third coat",
    "wiped on a thin coat of varnish",
    "waxed and buffed the top",
    "three coats of clear coat, the last one thinned",
    "flooded on tung oil, wiped it off after half an hour",
    "second coat of hard oil; rags hung out singly",
    "rubbed out the finish with wax on steel wool",
    "sprayed lacquer, two passes",
    "French polished the lid",
    "varnished over the stain",
    "first coat of shellac all over",
    "top coat on the drawer fronts",
]
HARDWARE = [
    "fitted eight new pulls",
    "hung the doors",
    "drilled for the knobs with a card template",
    "polished the brasses and put them on",
    "oiled the hinges",
    "new casters",
    "screwed the strap to the back",
    "put the drawers back",
    "reassembled it on the porch",
    "soaked and cleaned the lock, fitted it again",
    "waxed the runners",
    "last coat of varnish, then fitted the handles",
]
NOTHING = [
    "cleaned the brush",
    "washed out the rollers and brushes",
    "swept the shop",
    "hung the rags on the line",
    "cleaned up",
    "ordered the pulls",
    "tested the stain on a scrap",
    "chose the colour",
    "took off the hinges, bagged them",
    "unscrewed the handles",
    "wove the first four passes of cane",
    "no sanding on this one",
    "not painted yet",
    "looked it over, thought about it",
    "photographed",
    "brought it up from the cellar",
    "found a pencil date under the drawer",
    "left to dry by the stove",
    "bought primer",
    "wiped off the surplus oil",
    "stain test under the seat",
    "waxing tomorrow",
    "polished the glass",
    "levelled the legs",
    "masked off the mirror",
]
TABLE = [
    (sentence, stage)
    for stage, sentences in (
        (Stage.CLEANING, CLEANING),
        (Stage.REPAIR, REPAIR),
        (Stage.STRIPPING, STRIPPING),
        (Stage.SANDING, SANDING),
        (Stage.PRIMING, PRIMING),
        (Stage.COLOUR, COLOUR),
        (Stage.FINISH, FINISH),
        (Stage.HARDWARE, HARDWARE),
        (None, NOTHING),
    )
    for sentence in sentences
]


@pytest.mark.parametrize(("sentence", "stage"), TABLE, ids=[sentence for sentence, _ in TABLE])
def test_the_stage_is_told_from_the_words(sentence: str, stage: Stage | None) -> None:
    assert stage_of(step(sentence), {}) == stage
    assert stage_of(step(sentence.upper()), {}) == stage
    assert stage_of(Planned.unwritten("piece.yaml", did=sentence), {}) == stage


@pytest.mark.parametrize(
    ("did", "used", "grit", "stage"),
    [
        ("second coat", ("harbour fog",), (), Stage.COLOUR),
        ("second coat", ("grip coat",), (), Stage.PRIMING),
        ("second coat", ("satin clear coat",), (), Stage.FINISH),
        ("first wash coat, wiped back with the grain", ("harbour fog",), (), Stage.COLOUR),
        ("two coats of sage green", ("fig blue paint",), (), Stage.COLOUR),
        ("second coat", (), (), None),  # of what, nobody can tell
        ("sanded between coats", ("harbour fog", "sandpaper"), ("320",), Stage.COLOUR),
        ("sealed the shelf", ("satin clear coat",), (), Stage.FINISH),
        ("sealed it all", ("dewaxed shellac",), (), Stage.FINISH),
        ("sealed it all with shellac", ("dewaxed shellac",), (), Stage.PRIMING),
        ("waxed the drawer runners", ("brown wax",), (), Stage.HARDWARE),
        ("let it soak in, then the same again", ("hard oil",), (), Stage.FINISH),
        ("another go at the top", ("citrus stripper", "lint-free rag"), (), Stage.STRIPPING),
        ("the left arm", ("yellow glue",), (), Stage.REPAIR),
        ("the whole case by hand", (), ("120", "180"), Stage.SANDING),
        ("the whole case by hand", ("sandpaper",), (), Stage.SANDING),
        ("went at the drawer fronts", (), (), None),
        ("rubbed down, then on with the red", ("barn red powder", "sandpaper"), ("220",), Stage.COLOUR),
        ("cleaned the brush", ("lint-free rag",), (), None),
        ("wiped it on, wiped it off", ("walnut gel", "lint-free rag"), (), Stage.COLOUR),
    ],
)  # fmt: skip
def test_what_was_used_and_the_grit_tell_what_the_words_leave_open(
    did: str, used: tuple[str, ...], grit: tuple[str, ...], stage: Stage | None
) -> None:
    assert stage_of(step(did, *used, grit=grit), PRODUCTS) == stage


def test_a_product_that_no_file_describes_goes_by_its_name() -> None:
    assert stage_of(step("second coat", "Barn  Red paint"), {}) == Stage.COLOUR
    assert stage_of(step("second coat", "grip coat"), {}) is None


def test_a_mix_is_used_as_well() -> None:
    place = Place("piece.yaml")
    mix = Mix(
        (("fig blue paint", Fraction(1), place), ("water", Fraction(2), place)), Amount(Fraction(12), UNITS["fl oz"])
    )
    wash = Step.unwritten("piece.yaml", on=When(date(2026, 2, 14)), did="thin, wiped back", mix=mix)
    assert stage_of(wash, PRODUCTS) == Stage.COLOUR


def test_the_stages_are_named_in_the_order_of_the_work() -> None:
    order = "cleaning repair stripping sanding priming colour finish hardware"
    assert list(Stage) == order.split()


# What shellac seals, and what was sanded between coats, is told by the other clauses of the step.
ALONE = [s for s, stage in TABLE if stage is not None and not re.search("shellac|knots|bleed|bled|between", s)]


@given(st.lists(st.sampled_from(ALONE), min_size=2, max_size=4))
def test_a_step_of_several_stages_belongs_to_the_furthest(sentences: list[str]) -> None:
    order = list(Stage)
    furthest = max((stage_of(step(sentence), {}) for sentence in sentences), key=order.index)
    assert stage_of(step("; ".join(sentences)), {}) == furthest


@given(st.text(max_size=60))
def test_any_words_are_taken(words: str) -> None:
    assert stage_of(step(words), {}) in (None, *Stage)


@pytest.mark.parametrize(
    ("did", "is_one"),
    [
        ("photographed, open and shut", True),
        ("took pictures on the porch", True),
        ("washed", False),
        ("sanded; photos later", False),
    ],
)
def test_a_step_that_took_pictures_is_known(did: str, is_one: bool) -> None:
    assert is_photographing(step(did)) is is_one


@pytest.mark.parametrize(
    ("log", "is_pictured", "comes"),
    [
        ([], False, "cleaning"),
        (["washed it"], False, "repair"),
        (["washed it", "glued a leg"], False, "stripping or sanding"),
        (["stripped it"], False, "sanding"),
        (["sanded it"], False, "priming or colour"),
        (["primed it"], False, "colour"),
        (["painted it"], False, "coat or finish"),
        (["varnished it"], False, "coat or hardware"),
        (["fitted the pulls"], False, "photographs"),
        (["fitted the pulls"], True, "ask a price"),
        (["varnished it", "photographed it"], False, "ask a price"),
        (["varnished it"], True, "coat or hardware"),  # the pictures may show it between coats
        (["photographed it as it came"], False, "cleaning"),
        (["washed it", "photographed it as it came"], False, "repair"),
        (["varnished it", "photographed it", "another coat of varnish"], False, "coat or hardware"),
        (["painted it", "glued a corner block that let go"], False, "on with the colour"),
        (["fitted the pulls", "glued a corner block that let go"], False, "photographs"),
        (["painted it", "both diagonals of cane"], False, ""),  # the last step does not tell
        (["both diagonals of cane"], True, ""),
    ],
)
def test_what_usually_comes_next_goes_by_the_last_step(log: list[str], is_pictured: bool, comes: str) -> None:
    assert usual_next([step(did) for did in log], {}, is_pictured=is_pictured) == comes


def test_a_stage_that_is_written_settles_it(shop: ShopWriter) -> None:
    more = (
        "log:\n"
        "  - {on: 2026-01-06, did: went at the drawer fronts, stage: stripping}\n"
        "  - {on: 2026-01-07, did: painted the pegs, stage: Hardware}\n"
        "planned:\n"
        "  - {did: the left arm, stage: repair}\n"
    )
    facts = shop.piece(more).books().facts
    piece = facts.pieces[0].piece
    steps: list[Step | Planned] = [*piece.log, *piece.planned]
    assert [stage_of(one, facts.products) for one in steps] == [Stage.STRIPPING, Stage.HARDWARE, Stage.REPAIR]
    shown = public_piece(facts.pieces[0], facts, ())
    assert [(stage.name, stage.steps[0].words) for stage in shown.work] == [
        ("Stripping", "went at the drawer fronts"),
        ("Hardware", "painted the pegs"),
    ]


def test_a_stage_that_is_none_is_told_with_the_nearest(shop: ShopWriter) -> None:
    (problem,) = shop.piece("log:\n  - {on: 2026-01-06, did: primed it, stage: primeing}\n").problems()
    assert (problem.name, problem.place.line, problem.help) == ("stage", 4, "write `priming`")
