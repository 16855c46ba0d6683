"""The command line of grits: the words read, the ladder told."""

from __future__ import annotations

import re
from typing import cast

from flipbook.cli.ending import Misused
from flipbook.entry.said import read_words
from flipbook.measures.numerals import write_decimal
from flipbook.measures.unreadable import Unreadable, shown
from flipbook.shop.editing import Entry
from flipbook.sums.answer import Answer, AtHand, reckoned, said
from flipbook.sums.grits import (
    Ladder,
    Series,
    ladder_between,
    ladder_of,
    purpose_of,
    read_grits,
    usual_ladder,
)
from flipbook.trade.cautions import LEAD_PAINT, may_hold_lead


def grits(at_hand: AtHand) -> Answer:
    """`flipbook sums grits`."""
    arguments = at_hand.arguments
    series = _series(arguments.series)
    purpose = said(arguments.purpose, purpose_of, "--for") if arguments.purpose is not None else None
    piece = at_hand.piece
    veneer = arguments.veneer or (piece is not None and "veneer" in piece.wood.casefold())
    words = " ".join(arguments.words).strip()
    between = re.fullmatch(r"(.+?) +to +(.+)", words)
    is_logged, head = False, ""
    if between is not None:
        ends = said(f"{between[1]}, {between[2]}", lambda text: read_grits(text, series), "the grits")
        if len(ends) != 2:
            raise Misused("a ladder goes from one grit to one other, as `80 to 220`; a list has no `to` in it")
        ladder = reckoned(lambda: ladder_between(ends[0], ends[1], purpose=purpose, veneer=veneer))
    elif words:
        of_list = said(words, lambda text: read_grits(text, series), "the grits")
        ladder = reckoned(lambda: ladder_of(of_list, purpose=purpose, veneer=veneer))
    elif purpose is not None:
        ladder = reckoned(lambda: usual_ladder(purpose, series=series or "P", veneer=veneer))
        head = f"Usual for {purpose.name}: "
    else:
        ladder, head = _logged(at_hand, series, veneer=veneer)
        is_logged = True
    told = ", ".join(str(grit) for grit in ladder.grits)
    did = (
        said(arguments.did, read_words, "--did") if arguments.did is not None else _did(purpose.name if purpose else "")
    )
    return Answer(
        lines=[f"{head}{told}.", *ladder.advice],
        warnings=[*ladder.warnings, *_lead(at_hand)],
        working=ladder.working,
        data={
            "grits": [
                {
                    "grit": str(rung.grit),
                    "micrometres": write_decimal(rung.grit.grain, places=1),
                    "step": None if rung.ratio is None else write_decimal(rung.ratio, places=2),
                    "is": rung.says,
                }
                for rung in ladder.rungs
            ],
            "for": purpose.name if purpose else None,
            "veneer": veneer,
            "advice": list(ladder.advice),
        },
        planned=[] if is_logged else [_planned(ladder, did)],
        cannot_jot="its log has these already; say the grits to plan, or --for a purpose",
    )


def _lead(at_hand: AtHand) -> list[str]:
    """The caution about lead, for a piece whose age does not rule it out."""
    piece = at_hand.piece
    if piece is None or piece.state.is_ending or not may_hold_lead(piece.built):
        return []
    return at_hand.caution(LEAD_PAINT)


def _series(text: str | None) -> Series | None:
    if text is None:
        return None
    word = text.strip().upper()
    if word not in ("P", "CAMI"):
        raise Misused(f"--series: `{shown(text)}` is no series; write P or CAMI")
    return cast(Series, word)


def _logged(at_hand: AtHand, series: Series | None, *, veneer: bool) -> tuple[Ladder, str]:
    """The ladder of the step with the most grits in the piece's log, the last of such."""
    piece = at_hand.piece
    if piece is None or at_hand.chosen is None:
        raise Misused(
            "say the grits, as `80 to 220` or `80,120,220`; or --for a purpose, or --piece for those of its log"
        )
    steps = [step for step in piece.log if step.grit]
    if not steps:
        raise Misused(f"`{at_hand.chosen.piece.folder}` has no grits in its log; say them, as `80 to 220`")
    step = max(enumerate(steps), key=lambda pair: (len(pair[1].grit), pair[0]))[1]
    try:
        logged = ladder_of(read_grits(", ".join(step.grit), series), veneer=veneer)
    except Unreadable as fault:
        raise Misused(f"its log of {step.on.day}: {fault.says}; say which with --series P or --series CAMI") from None
    return logged, f"Its log of {step.on.day}: "


def _did(purpose: str) -> str:
    return {
        "strip": "sand the old coats off",
        "scuff": "scuff the old finish",
        "raised grain": "damp it, let it dry, and sand the raised grain once by hand",
        "between paint coats": "sand between the coats of paint",
        "between clear coats": "scuff between the clear coats",
        "wax": "rub it down for wax",
    }.get(purpose, f"sand for {purpose}" if purpose else "sand")


def _planned(ladder: Ladder, did: str) -> Entry:
    """A planned step with the grits as the log takes them: the P series with its letter, the other as numbers."""
    grits = ", ".join(f"P{grit.grade}" if grit.series == "P" else str(grit.grade) for grit in ladder.grits)
    return {"did": did, "grit": grits}
