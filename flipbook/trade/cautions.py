"""Cautions, for the person at the bench and for the one who takes a piece home. None ever says that a thing is safe.

Each is data: a name, what calls for it, words for the maker, words for a buyer where a buyer needs them, and its
authority. US rules are federal unless a state is named, and were read from stored copies unless they say `from memory`;
they can have changed. Local codes and licensed people come before all of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from flipbook.measures.lengths import in_inches
from flipbook.measures.unreadable import shown
from flipbook.shop.facts import Facts
from flipbook.shop.nearest import choices, folded, write_instead
from flipbook.shop.problems import Problem
from flipbook.shop.records.piece import Piece, Planned, Step
from flipbook.shop.records.setup import Product
from flipbook.shop.records.state import State
from flipbook.trade.caution_signs import (
    Sign,
    can_tip,
    clashes,
    in_tip_over_rule,
    is_crib,
    is_for_children,
    is_storage_unit,
    is_wired,
    may_be_old_crib,
    may_hold_lead,
    signs_of,
)
from flipbook.trade.kinds import Hazard

__all__ = [
    "CAUTIONS",
    "Called",
    "Caution",
    "bench_cautions",
    "called_for",
    "cautions_for",
    "may_hold_lead",
    "problems_of",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Caution:
    """A caution: what to do at once, all that is to be said to the maker, to a buyer (or nothing), and who says so."""

    name: str
    first: str
    maker: str
    authority: str
    buyer: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Called:
    """A caution that a piece calls for: why, and the step that does, or None where the piece itself does."""

    caution: Caution
    why: str
    step: Step | Planned | None = None


LEAD_PAINT: Final = Caution(
    name="lead paint",
    first="Treat every old coat on it as lead paint: no dry sanding or scraping, no heat gun, no open flame; work wet, and keep children out.",
    maker=(
        "Every old coat on it may be lead paint. Don't sand or scrape it dry, or by power without a HEPA vacuum on the tool; no heat "
        "gun at 1100 F or over, no open flame. Work wet, clean up with a HEPA vacuum, wear a P100, keep children and food away, wash "
        "before you eat, and keep the work clothes out of the house. A swab kit is judged at the limit for houses, 5000 ppm; paint on "
        "furniture is banned over 90 ppm, and a kit finds nothing under a lead-free top coat: a negative swab does not end this, a "
        "laboratory's figure can. In a customer's house, and on what is built in, the rule for renovators may bind you. Your state has "
        "rules on the waste."
    ),
    buyer=(
        "It was built before lead paint was banned for furniture in the US (16 CFR 1303), or its age is not known: old paint "
        "and varnish on it may hold lead. Don't sand or scrape it dry; have it tested by a laboratory before a child uses it, and follow your local rules."
    ),
    authority="16 CFR 1303.1; kits: 40 CFR 745.88(c); ways of work as 40 CFR 745.85(a)(3) has them for houses, from memory",
)
OILY_RAGS: Final = Caution(
    name="oily rags",
    first="Lay its rags and pads out singly, out of doors, until they are stiff; then into a lidded metal can full of water. Never in a heap.",
    maker=(
        "It warms as it dries, and a heap of its rags, pads or sanding dust can light itself hours later. That goes for linseed and other "
        "drying oils, and for oil stains, alkyds, oil varnish and oil polyurethane. Spread each rag by itself, out of doors and away from "
        "buildings, until it is stiff; then into a metal can with a tight lid, filled with water and detergent; then as your town says. "
        "Never in a pile or a bin, not for an hour."
    ),
    authority="National Fire Protection Association, tip sheet on oily rags; your fire department's word comes first",
)
STRIPPERS: Final = Caution(
    name="strippers",
    first="Read its label for methylene chloride, and if it has any, don't use it: a cartridge mask does not protect from it.",
    maker=(
        "Methylene chloride (dichloromethane) has killed people who stripped in small rooms. No cartridge respirator protects from it, "
        "only supplied air. In the US a consumer is one who strips without pay, so a person who sells furniture is none, and the rules "
        "for businesses bind: it may not be supplied to consumers for paint removal since 22 November 2019, to retailers since 3 February "
        "2025, or by retailers since 5 May 2025; what may go on in a shop needs what the rule asks for. NMP is a hazard in pregnancy. "
        "Whatever the stripper: air from outdoors, the gloves its label names, no flame, and the sludge handled as your state says, as "
        "lead where the old coat may hold it."
    ),
    authority="40 CFR 751 subpart B (751.103 says who is a consumer); 84 FR 11420; 89 FR 39254; NMP: 89 FR 51134, proposed",
)
SOLVENTS: Final = Caution(
    name="solvents",
    first="Its vapour burns: no pilot light, spark or flame near, and air from outdoors.",
    maker=(
        "Thinners, spirits, alcohol and lacquer give off vapour that burns and creeps along the floor to a pilot light. Work with air from "
        "outdoors, spray in no room that is not built for it, wear organic-vapour cartridges with a particle filter where you spray, and "
        "keep cans shut. How much may be stored is for your fire department: a home's limit is far below a workplace's."
    ),
    authority="29 CFR 1910.106 where people are employed; the local fire code",
)
DUST: Final = Caution(
    name="dust",
    first="Catch the dust at the tool and wear an N95 or better; P100 where the old coat may hold lead.",
    maker=(
        "Wood dust causes cancer (IARC, group 1), and a cloud of it can explode; fibreboard adds resin. Catch it at the tool, vacuum, don't "
        "sweep or blow. An N95 for clean wood, a P100 for old paint. The recommended limit is 1 mg to the cubic metre of air over a day; "
        "nobody can see that little. Who is employed is fit-tested."
    ),
    authority="IARC Monographs 62 and 100C; NIOSH Pocket Guide 0667; 29 CFR 1910.134 for employees",
)
TIP_OVER: Final = Caution(
    name="tip-over",
    first="Sell it with an anti-tip kit and words on fixing it to a stud.",
    maker=(
        "Furniture with drawers, doors or shelves tips over on children who climb it. Give an anti-tip kit along, and say: fix it to a wall "
        "stud, heavy things low, one drawer open at a time, no television on it. Casters, new legs and lost drawer stops make it worse. The "
        "US rule binds new clothing storage of 27 in and more, 30 lb and more, with 3.2 cubic feet and more of closed space (behind doors "
        "half of it counts). An old dresser sold again is outside that rule, and so is a small one: that says nothing on whether it tips."
    ),
    buyer=(
        "Furniture with drawers or doors can tip over on a child. Fix it to a wall stud with an anti-tip kit, keep heavy things low, "
        "open one drawer at a time, and put no television on it (see the US rule for clothing storage, 16 CFR 1261)."
    ),
    authority="16 CFR 1261 (ASTM F2057-23), 15 USC 2056f, and the commission's guide for businesses",
)
CHILDREN: Final = Caution(
    name="children",
    first="Look the make and model up among the recalls before you sell it; a crib of before 28 June 2011 is not sold at all.",
    maker=(
        "Who sells or gives away a thing answers for it: what is recalled, banned or below a standard may not be sold, from home neither. "
        "Look up make and model among the recalls. Nursery things that are broken, wobbly or incomplete are not sold. Cribs made before 28 "
        "June 2011, drop-sides among them, may not be sold. A child's product may hold 100 ppm of lead in any part and 90 in its paint; "
        "making furniture into one can make you its manufacturer, with tests and a certificate: stop and ask."
    ),
    buyer=(
        "Cribs, bunk beds and other children's furniture have safety rules of their own: look up the make and model among the "
        "recalls of the consumer safety authority before a child uses it."
    ),
    authority="CPSC Resellers Guide; 16 CFR 1219 and 1220, from memory; CPSIA section 101",
)
WIRING: Final = Caution(
    name="wiring",
    first="Have it wired or checked by a licensed electrician, and say in `tell` that it was rewired.",
    maker=(
        "A rewired lamp is no longer the one that was listed. Use parts listed for lamps, mind polarity, cord and switch, and have a licensed "
        "person check it; tell the buyer that it was rewired. Old cords, sockets and radios are not plugged in to see."
    ),
    buyer="Have the wiring checked by a licensed electrician before it is plugged in.",
    authority="UL 153, from memory; the local electrical code",
)
UPHOLSTERY: Final = Caution(
    name="upholstery",
    first="Covered for sale it has to meet 16 CFR 1640 and carry its permanent label; ask your state about tags too.",
    maker=(
        "Seats, backs and arms that are upholstered again for sale since 25 June 2021 must meet 16 CFR 1640 (California TB 117-2013), and "
        "since 25 June 2022 carry the permanent label that 1640.4 words; a drop-in seat is inside it, from memory. Many states want tags, "
        "registration or disinfection from those who sell stuffed furniture. A customer's own chair that goes back to the customer is "
        "outside the federal rule."
    ),
    authority="16 CFR 1640 and CPSC's page on upholstered furniture; states, as Ohio OAC 4101:6-1-08",
)
BLEACHES: Final = Caution(
    name="bleach",
    first="Never let chlorine bleach meet ammonia or an acid, rinse and dry between; don't sand dry oxalic residue.",
    maker=(
        "Chlorine bleach makes poison gas with ammonia, and with any acid: vinegar, oxalic, cleaners. Use one, rinse it off, let it dry "
        "through, and only then think of another. Oxalic acid is poisonous and corrosive: gloves and goggles, neutralize and rinse it, and "
        "never sand its dry residue. Two-part wood bleach (lye, peroxide) burns skin and eyes, from memory."
    ),
    authority="poison centres' pages on bleach; OSHA's limit for oxalic acid is 1 mg to the cubic metre (New Jersey fact sheet 1445)",
)
CAUTIONS: Final = (LEAD_PAINT, OILY_RAGS, STRIPPERS, SOLVENTS, DUST, TIP_OVER, CHILDREN, WIRING, UPHOLSTERY, BLEACHES)
"""Every caution, the gravest first."""


def cautions_for(piece: Piece) -> tuple[str, ...]:
    """The cautions that the public facts of a piece call for, in words for a buyer, the gravest first."""
    told = (
        (LEAD_PAINT, may_hold_lead(piece.built)),
        (TIP_OVER, can_tip(piece)),
        (CHILDREN, is_for_children(piece)),
        (WIRING, is_wired(piece)),
    )
    return tuple(caution.buyer for caution, is_called in told if is_called)


def bench_cautions(piece: Piece, products: Mapping[str, Product]) -> tuple[Caution, ...]:
    """The cautions that a piece calls for at the bench and that its log does not say were seen to."""
    seen = {_plain(name) for name in piece.seen_to}
    return tuple(called.caution for called in called_for(piece, products) if _plain(called.caution.name) not in seen)


def called_for(piece: Piece, products: Mapping[str, Product]) -> tuple[Called, ...]:
    """Every caution that a piece in hand calls for, seen to or not; none for one that has left the shop.

    Planned steps call for them too, before the work is done. `products` are by folded name, as `Facts.products` has.
    """
    if piece.state.is_ending:
        return ()
    case = _Case(piece, products)
    found = (call(case) for call in _CALLS)
    return tuple(called for called in found if called is not None)


def problems_of(facts: Facts) -> list[Problem]:
    """A warning for each caution that a piece in hand calls for, until `seen to` names it; and names that are none."""
    found: list[Problem] = []
    for filed in facts.pieces:
        piece = filed.piece
        found += _unknown_names(piece)
        seen = {_plain(name) for name in piece.seen_to}
        for called in called_for(piece, facts.products):
            if _plain(called.caution.name) not in seen:
                found.append(_problem(called, piece))
    return found


def _problem(called: Called, piece: Piece) -> Problem:
    """The warning, marked at the start of its step: a key would have the file composed again at every compile."""
    caution, record = called.caution, called.step or piece
    # A step on one line is marked whole.
    words = piece.kind if called.step is None else "" if record.spot.end - record.spot.column > 20 else called.step.did
    return record.problem(
        caution.name.replace(" ", "-"),
        called.why,
        f"{caution.first} Once it is seen to, write `seen to: [{caution.name}]`",
        label=shown(" ".join(words.split()), 50),
        warning=True,
    )


def _unknown_names(piece: Piece) -> Iterator[Problem]:
    known = {_plain(caution.name): caution.name for caution in CAUTIONS}
    for number, name in enumerate(piece.seen_to):
        if _plain(name) not in known:
            help = write_instead(name, known.values(), f"write {choices(known.values())}")
            yield piece.problem("unknown-caution", f"`{shown(name)}` is no caution known here", help, "seen_to", number)


def _plain(name: str) -> str:
    return folded(name).replace("-", " ")


class _Case:
    """A piece, with the signs of its steps."""

    def __init__(self, piece: Piece, products: Mapping[str, Product]) -> None:
        self.piece = piece
        steps: Iterable[Step | Planned] = (*piece.log, *piece.planned)
        self.steps = [(step, signs) for step in steps if (signs := signs_of(step, products))]

    def first(self, sign: Sign | Hazard) -> Step | Planned | None:
        """The first step with a sign."""
        return next((step for step, signs in self.steps if sign in signs), None)


def _at_step(caution: Caution, sign: Sign | Hazard, why: str, planned: str) -> Callable[[_Case], Called | None]:
    """A caution that a step alone calls for; `why` where it was done, `planned` where it is still to be."""

    def call(case: _Case) -> Called | None:
        step = case.first(sign)
        if step is None:
            return None
        return Called(caution=caution, why=planned if isinstance(step, Planned) else why, step=step)

    return call


def _lead(case: _Case) -> Called | None:
    step = case.first(Sign.REMOVES) if may_hold_lead(case.piece.built) else None
    if step is None:
        return None
    built = case.piece.built
    age = "its age is not known" if not built or built == "unknown" else f"it was built {built}"
    does = "is to sand, scrape or strip" if isinstance(step, Planned) else "sands, scrapes or strips"
    return Called(caution=LEAD_PAINT, why=f"this step {does} it, and {age}, so old coats may be lead paint", step=step)


def _dust(case: _Case) -> Called | None:
    step = case.first(Sign.POWER_DUST)
    wood = case.piece.wood.casefold()
    if step is None and any(
        word in wood for word in ("mdf", "fibreboard", "fiberboard", "particle board", "particleboard")
    ):
        step = case.first(Sign.SANDS)
    if step is None:
        return None
    return Called(caution=DUST, why="this step makes fine dust", step=step)


def _tips(case: _Case) -> Called | None:
    piece = case.piece
    step = case.first(Sign.TALLER) if can_tip(piece) else None
    if step is None and not (is_storage_unit(piece) and piece.state is State.FOR_SALE):
        return None
    size = piece.size
    room = size.width * size.depth * size.height if size is not None else None
    would = in_tip_over_rule(height=size.height if size else None, weight=None, storage=room)
    tall = f"{in_inches(size.height)} in tall" if size is not None else "of a height that is not said"
    rule = (
        "the US rule for new ones would reach it"
        if would
        else "outside the US rule for new ones it can tip all the same"
    )
    why = f"it goes to somebody's home, {tall} and with drawers, doors or shelves; {rule}"
    if step is not None:
        return Called(caution=TIP_OVER, why=f"this step makes it stand less firm, and it is {tall}", step=step)
    return Called(caution=TIP_OVER, why=why)


def _children(case: _Case) -> Called | None:
    piece = case.piece
    if not is_for_children(piece):
        return None
    why = "furniture for children has rules of its own"
    if is_crib(piece) and may_be_old_crib(piece.built):
        why = "an old crib may not be sold, and the age of this one does not rule that out"
    return Called(caution=CHILDREN, why=why)


def _wired(case: _Case) -> Called | None:
    step = case.first(Sign.WIRES)
    if step is not None:
        return Called(caution=WIRING, why="this step works on wiring", step=step)
    if not is_wired(case.piece):
        return None
    return Called(caution=WIRING, why="it may have wiring in it")


def _covered(case: _Case) -> Called | None:
    step = None if case.piece.customer else case.first(Sign.COVERS)
    if step is None:
        return None
    return Called(caution=UPHOLSTERY, why="this covers a seat, a back or arms for sale", step=step)


def _bleached(case: _Case) -> Called | None:
    signs = frozenset().union(*(signs for _, signs in case.steps)) if case.steps else frozenset()
    step = case.first(Hazard.BLEACH) or (case.first(Hazard.CHLORINE) if clashes(signs) else None)
    if step is None:
        return None
    why = "this step bleaches"
    if clashes(signs):
        why = "chlorine bleach and what makes poison gas with it, ammonia or an acid, stand in one log"
    elif Hazard.OXALIC in signs:
        why = "oxalic acid is poisonous, and its dry residue is not to be sanded"
    return Called(caution=BLEACHES, why=why, step=step)


_CALLS: Final[tuple[Callable[[_Case], Called | None], ...]] = (
    _lead,
    _at_step(
        OILY_RAGS,
        Sign.WARMS,
        "what this step used warms as it dries, and a heap of its rags can light itself",
        "what this step will use warms as it dries, and a heap of its rags can light itself",
    ),
    _at_step(STRIPPERS, Hazard.STRIPPER, "this step used a stripper", "this step will use a stripper"),
    _at_step(
        SOLVENTS,
        Hazard.SOLVENT,
        "what this step used gives off vapour that burns",
        "what this step will use gives off vapour that burns",
    ),
    _dust,
    _tips,
    _children,
    _wired,
    _covered,
    _bleached,
)
