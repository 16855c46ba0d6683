"""What a later commit changed is told with what it was and what it is; what was only written another way is not told."""

from __future__ import annotations

from pathlib import Path

import pytest
from repository_writer import PIECE, RepositoryWriter, log_of

from flipbook.looking.history import Version, history_of

FOUND = "found, 2026-01-05 (Mill Road estate sale)"
WASH = "{on: 2026-02-17, did: first wash coat, took: 40 min, mix: {fig blue paint: 1, water: 2, makes: 12 fl oz}}"
SANDED = "2026-02-16 1 h sanded the top"
RECEIPT = """\
bought:
  - on: 2026-02-20
    from: Harbour Hardware
    lines:
      - {what: brass cup hook, count: 6, each: 6.99}
      - {what: oak bead moulding, count: 3, each: 4.10}
    tax: 4.63
    total: 58.87
"""

# A name, the file before and after, and the sentences that are to be told, each after what sort it is.
EDITS = [
    ("a cost", log_of(), log_of(cost="15.00"), [f"changed {FOUND}: cost was 10.00, now 15.00"]),
    ("a cost written another way", log_of(), log_of(cost="$10"), []),
    (
        "a date",
        log_of(SANDED),
        log_of("2026-02-15 1 h sanded the top"),
        ["changed step, 2026-02-16 (sanded the top): on was 2026-02-16, now 2026-02-15"],
    ),
    (
        "a time taken",
        log_of(SANDED),
        log_of("2026-02-16 1 h 30 min sanded the top"),
        ["changed step, 2026-02-16 (sanded the top): took was 1 h, now 1 h 30 min"],
    ),
    ("the same time in minutes", log_of(SANDED), log_of("2026-02-16 60 min sanded the top"), []),
    ("a line become a mapping", log_of(SANDED), log_of("{did: sanded the top, on: 2026-02-16, took: '1:00'}"), []),
    (
        "a time filled in",
        log_of("2026-02-16 sanded the top"),
        log_of(SANDED),
        ["changed step, 2026-02-16 (sanded the top): took 1 h, not said before"],
    ),
    (
        "a time taken out",
        log_of(SANDED),
        log_of("2026-02-16 sanded the top"),
        ["changed step, 2026-02-16 (sanded the top): took was 1 h, no longer said"],
    ),
    ("a step more", log_of(SANDED), log_of(SANDED, "2026-02-18 waxed"), ["new step, 2026-02-18: waxed"]),
    (
        "a step gone",
        log_of(SANDED, "2026-02-18 waxed"),
        log_of(SANDED),
        ["gone step, 2026-02-18: waxed"],
    ),
    (
        "a step reworded",
        log_of("2026-02-16 sanded the top and the sides by hand"),
        log_of("2026-02-16 sanded the top and the sides by machine"),
        [
            "changed step, 2026-02-16 (sanded the top and the sides by hand): words was sanded the top and the sides "
            "by hand, now sanded the top and the sides by machine"
        ],
    ),
    (
        "one step for quite another on the same day",
        log_of("2026-02-16 sanded the top"),
        log_of("2026-02-16 glued a split rail"),
        ["new step, 2026-02-16: glued a split rail", "gone step, 2026-02-16: sanded the top"],
    ),
    ("steps in another order", log_of(SANDED, WASH), log_of(WASH, SANDED), []),
    (
        "the same words on two days, of which one goes",
        log_of("2026-02-16 waxed", "2026-02-18 waxed"),
        log_of("2026-02-18 waxed"),
        ["gone step, 2026-02-16: waxed"],
    ),
    (
        "a mix",
        log_of(WASH),
        log_of(WASH.replace("water: 2", "water: 3")),
        [
            "changed step, 2026-02-17 (first wash coat): mix was 1 part fig blue paint, 2 parts water; makes 12 fl oz, "
            "now 1 part fig blue paint, 3 parts water; makes 12 fl oz"
        ],
    ),
    (
        "a use as a mapping",
        log_of("{on: 2026-02-16, did: wiped, used: [2 each rag]}"),
        log_of("{on: 2026-02-16, did: wiped, used: {what: rag, amount: 2 each}}"),
        [],
    ),
    (
        "a price asked, and one lowered after the fact",
        log_of(more="asking: [{on: 2026-03-01, price: 120}]\n"),
        log_of(more="asking: [{on: 2026-03-01, price: 110}, {on: 2026-03-09, price: 95}]\n"),
        [
            "changed asking, 2026-03-01: price was 120.00, now 110.00",
            "new asking, 2026-03-09: price 95.00",
        ],
    ),
    (
        "an offer and its answer",
        log_of(more="offers: [{on: 2026-03-04, price: 80, from: R.}]\n"),
        log_of(more="offers: [{on: 2026-03-04, price: 80, from: R., answer: counter 90}]\n"),
        ["changed offer, 2026-03-04 (R.): answer counter 90, not said before"],
    ),
    (
        "a sale",
        log_of(),
        log_of(more="sold: {on: 2026-04-01, price: 90.00, at: porch sale}\n"),
        ["new sold, 2026-04-01: price 90.00; at porch sale"],
    ),
    (
        "a sale that came back",
        log_of(more="sold: {on: 2026-04-01, price: 90.00}\n"),
        log_of(more="sold: {on: 2026-04-01, price: 90.00, returned: {on: 2026-04-09, refund: 90.00}}\n"),
        [
            "changed sold, 2026-04-01: returned on 2026-04-09, not said before",
            "changed sold, 2026-04-01: returned refund 90.00, not said before",
        ],
    ),
    (
        "a receipt, told once with its lines",
        log_of(),
        log_of(more=RECEIPT),
        [
            "new receipt, 2026-02-20: brass cup hook, 6 at 6.99 each; oak bead moulding, 3 at 4.10 each; from Harbour "
            "Hardware, tax 4.63, total 58.87"
        ],
    ),
    (
        "a line of a receipt, and its total",
        log_of(more=RECEIPT),
        log_of(more=RECEIPT.replace("each: 6.99", "each: 5.99").replace("58.87", "52.87")),
        [
            "changed bought, 2026-02-20 (brass cup hook): each was 6.99, now 5.99",
            "changed receipt, 2026-02-20 (Harbour Hardware): total was 58.87, now 52.87",
        ],
    ),
    (
        "the day of a receipt, once and not for each line",
        log_of(more=RECEIPT),
        log_of(more=RECEIPT.replace("2026-02-20", "2026-02-19")),
        ["changed receipt, 2026-02-20 (Harbour Hardware): on was 2026-02-20, now 2026-02-19"],
    ),
    (
        "the title",
        log_of(),
        log_of().replace("Oak stool", "Ash stool"),
        ["changed the piece: title was Oak stool, now Ash stool"],
    ),
    (
        "a key that this program does not know",
        log_of(more="mood: hopeful\n"),
        log_of(more="mood: sour\n"),
        ["changed the piece: mood was hopeful, now sour"],
    ),
    (
        "a flaw",
        log_of(),
        log_of(more="flaws: A scratch on one leg.\n"),
        ["new flaw: A scratch on one leg."],
    ),
]


def told(version: Version) -> list[str]:
    return [f"{one.how} {one.says}" for one in version.told]


@pytest.mark.parametrize(
    ("before", "after", "sentences"), [case[1:] for case in EDITS], ids=[case[0] for case in EDITS]
)
def test_an_edit_is_told_while_it_waits_and_when_it_is_committed(
    tmp_path: Path, before: str, after: str, sentences: list[str]
) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    repository.commit({PIECE: before})
    repository.write({PIECE: after})
    _, *waiting = history_of(repository.shop, "oak-stool").versions
    assert [(version.commit, told(version)) for version in waiting] == ([(None, sentences)] if sentences else [])
    repository.commit({}, "2026-03-30")
    _, second = history_of(repository.shop, "oak-stool").versions
    assert told(second) == sentences
    assert second.notes == (() if sentences else ("only the way it is written changed",))


def test_a_long_text_is_shown_from_where_it_differs(tmp_path: Path) -> None:
    repository = RepositoryWriter(tmp_path / "shop")
    long = "It stood in a porch for twenty years and the top had gone grey, and the drawers still ran. " * 3
    repository.commit({PIECE: log_of(more=f"tell: {long}The dovetails were sound.\n")})
    repository.commit({PIECE: log_of(more=f"tell: {long}The dovetails were loose.\n")}, "2026-03-30")
    _, second = history_of(repository.shop, "oak-stool").versions
    assert [one.says.partition(": ")[2] for one in second.told] == [
        "words was … The dovetails were sound., now … The dovetails were loose."
    ]
