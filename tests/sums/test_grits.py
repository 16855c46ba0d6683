"""Grits: ladders, warnings, and grades that are never compared by number."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.unreadable import Unreadable
from flipbook.sums.data.abrasives import CAMI_SERIES, GOOD, P_SERIES, PURPOSES, SOLD, SandedFor
from flipbook.sums.grits import (
    Grit,
    Series,
    ladder_between,
    ladder_of,
    purpose_of,
    read_grit,
    read_grits,
    usual_ladder,
)


def told(grits: object) -> list[str]:
    assert isinstance(grits, tuple | list)
    return [str(grit) for grit in grits]


@pytest.mark.parametrize(
    ("start", "end", "ladder"),
    [
        ("80", "220", ["P80", "P120", "P180", "P220"]),
        ("60", "P320", ["P60", "P100", "P150", "P220", "P320"]),
        ("120", "180", ["P120", "P180"]),
        ("P320", "P400", ["P320", "P400"]),
    ],
)
def test_a_ladder_goes_up_in_good_steps(start: str, end: str, ladder: list[str]) -> None:
    made = ladder_between(read_grit(start), read_grit(end))
    assert told(made.grits) == ladder
    assert made.warnings == ()


@pytest.mark.parametrize("number", ["240", "320", "400", "600", "800", "1000"])
def test_a_number_past_220_has_to_say_its_series(number: str) -> None:
    with pytest.raises(Unreadable) as fault:
        read_grit(number)
    assert "does not say which series" in fault.value.says
    assert f"write `P{number}` or `CAMI {number}`" in fault.value.write


def test_320_of_one_series_is_400_of_the_other_by_its_grains() -> None:
    # 35.0 and 36 micrometres: nearly the same paper under two numbers, and P320 is a coarser one.
    cami, p400, p320 = read_grit("CAMI 320"), read_grit("P400"), read_grit("P320")
    assert abs(cami.grain - p400.grain) < 2
    assert p320.grain - cami.grain > 10
    step = ladder_of([p320, cami]).rungs[1]
    assert step.says == "good"
    assert step.ratio is not None and step.ratio > 1  # finer, although the number is the same


@pytest.mark.parametrize(
    ("text", "series", "grades"),
    [
        ("80, 120, 180", None, ["P80", "P120", "P180"]),
        ("80, 120, CAMI 320", None, ["CAMI 80", "CAMI 120", "CAMI 320"]),
        ("180, P320", None, ["P180", "P320"]),
        ("240, 320", "P", ["P240", "P320"]),
        ("240; 320", "CAMI", ["CAMI 240", "CAMI 320"]),
        ("p220, cami 220", None, ["P220", "CAMI 220"]),
    ],
)
def test_a_list_is_read_in_the_series_that_it_says(text: str, series: Series | None, grades: list[str]) -> None:
    assert told(read_grits(text, series)) == grades


@pytest.mark.parametrize(
    ("text", "says", "write"),
    [
        ("P85", "`P85` is no grade of the P series", "`P80` or `P100`"),
        ("P99999", "no grade", "`P2000` or `P2500`"),
        ("CAMI 1200", "no grade of the CAMI series", "`CAMI 500` or `CAMI 600`"),
        ("0", "no grade", "`P12` or `P16`"),
        ("-80", "is not a grit", "as `120`"),
        ("fine", "is not a grit", "as `120`"),
        ("80.5", "is not a grit", "as `120`"),
        ("", "is not a grit", "as `120`"),
        ("1234567", "is not a grit", "as `120`"),
    ],
)
def test_an_unknown_grade_gets_the_nearest(text: str, says: str, write: str) -> None:
    with pytest.raises(Unreadable) as fault:
        read_grit(text)
    assert says in fault.value.says
    assert write in fault.value.write


def test_a_ladder_of_two_series_is_refused_between_its_ends_and_weighed_in_a_list() -> None:
    with pytest.raises(Unreadable, match="two series"):
        ladder_between(read_grit("P80"), read_grit("CAMI 220"))
    weighed = ladder_of(read_grits("P180, CAMI 220"))
    assert any("by their grains" in line for line in weighed.advice)


@pytest.mark.parametrize(("start", "end"), [("220", "80"), ("120", "120")])
def test_a_ladder_that_does_not_get_finer_is_refused(start: str, end: str) -> None:
    with pytest.raises(Unreadable):
        ladder_between(read_grit(start), read_grit(end))


def test_skips_are_warned_of() -> None:
    far = ladder_of(read_grits("80, 220"))
    assert [rung.says for rung in far.rungs] == ["start", "too far"]
    assert "2.96 to 1: too far" in far.warnings[0]
    assert ladder_of(read_grits("80, 120, 180")).warnings == ()


def test_going_back_is_a_repair_and_no_skip() -> None:
    back = ladder_of(read_grits("180, 120, 180"))
    assert [rung.says for rung in back.rungs] == ["start", "back", "good"]
    assert back.warnings == ()


def test_veneer_starts_fine_and_says_how_thin_it_is() -> None:
    coarse = ladder_of(read_grits("80, 120, 180"), veneer=True)
    assert "P80 is too coarse for veneer" in coarse.warnings[0]
    # Five grains of 201 micrometres in a row are 1.005 mm.
    assert "are 1 mm" in coarse.warnings[0]
    fine = ladder_of(read_grits("120, 180"), veneer=True)
    assert not any("too coarse" in line for line in fine.warnings)
    assert any("No belt sander" in line for line in fine.warnings)


@pytest.mark.parametrize("purpose", PURPOSES, ids=lambda purpose: purpose.name)
def test_every_usual_ladder_is_of_known_grades_in_steps_that_are_not_too_far(purpose: SandedFor) -> None:
    ladder = usual_ladder(purpose)
    assert all(rung.says in ("start", "good") for rung in ladder.rungs)
    assert "common practice, no source" in ladder.advice[0]
    assert min(grit.grade for grit in usual_ladder(purpose, veneer=True).grits) >= 120


def test_a_purpose_misspelled_gets_the_nearest() -> None:
    with pytest.raises(Unreadable, match="write `stain`"):
        purpose_of("stian")
    assert purpose_of("  Softwood  Stain ").name == "softwood stain"


def test_no_grit_and_too_many_are_refused() -> None:
    with pytest.raises(Unreadable, match="no grit"):
        ladder_of([])
    with pytest.raises(Unreadable, match="over 30"):
        ladder_of(read_grits(", ".join(["120"] * 31)))


@given(st.sampled_from(sorted(P_SERIES)), st.sampled_from(sorted(P_SERIES)))
def test_any_ladder_gets_finer_and_has_its_ends(first: int, last: int) -> None:
    start, end = (Grit(series="P", grade=grade, grain=P_SERIES[grade]) for grade in sorted((first, last)))
    if start == end:
        return
    ladder = ladder_between(start, end)
    grains = [grit.grain for grit in ladder.grits]
    assert (ladder.grits[0], ladder.grits[-1]) == (start, end)
    assert grains == sorted(set(grains), reverse=True)
    # From 36 to 2000 the grades that are kept leave no gap.
    if start.grade >= min(SOLD) and end.grade <= max(SOLD):
        assert all(a <= 2 * b for a, b in pairwise(grains))


@given(st.sampled_from(sorted(P_SERIES)))
def test_no_shorter_ladder_of_good_steps_is_passed_over(last: int) -> None:
    start = Grit(series="P", grade=80, grain=P_SERIES[80])
    end = Grit(series="P", grade=last, grain=P_SERIES[last])
    if end.grain >= start.grain:
        return
    made = ladder_between(start, end).grits
    # Step by step, every grade that can be reached in so many good steps from 80.
    kept = [P_SERIES[grade] for grade in SOLD if P_SERIES[grade] > end.grain] + [end.grain]
    reached, steps = {start.grain}, 0
    while end.grain not in reached:
        reached |= {size for size in kept if any(size < at <= GOOD * size for at in reached)}
        steps += 1
    assert len(made) - 1 == steps


@given(st.text(max_size=20))
def test_any_text_is_a_grit_or_refused(text: str) -> None:
    try:
        grit = read_grit(text)
    except Unreadable as fault:
        assert fault.says
    else:
        assert grit.grain == {"P": P_SERIES, "CAMI": CAMI_SERIES}[grit.series][grit.grade]
