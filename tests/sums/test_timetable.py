"""The timetable of the steps that are left: what counts first, what is only noted, and what is refused."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import ShopWriter

from flipbook.measures.unreadable import Unreadable
from flipbook.shop.facts import Facts
from flipbook.sums.timetable import (
    Entry,
    Hours,
    Timetable,
    Wait,
    Work,
    first_free,
    read_hours,
    read_work,
    since_the_log,
    timetable,
    work_of,
)

MORNING = datetime(2026, 3, 2, 9)
ALL_DAY = Hours(opens=time(0), closes=time(23, 59, 59))
PRODUCTS = """\
products:
  fig blue paint: {type: waterborne paint, recoat: 5 h, cure: 20 d}
  satin clear coat: {type: waterborne clear coat}
  hard oil finish: {type: oil finish}
  mystery: {}
"""


@pytest.fixture
def facts(shop: ShopWriter) -> Facts:
    """A shop with products of which some say how they dry."""
    return shop.write({"products.yaml": PRODUCTS}).piece().books().facts


def at(table: Timetable, what: str) -> list[datetime]:
    return [entry.at for entry in table.entries if entry.what == what]


def only(table: Timetable, what: str) -> Entry:
    (entry,) = [entry for entry in table.entries if entry.what == what]
    return entry


def test_the_label_comes_before_what_is_usual(facts: Facts) -> None:
    (work,) = read_work("1 coat fig blue paint", facts.products)
    assert work.recoat == Wait(minutes=Fraction(300), source="the label in products.yaml, fig blue paint: 5 h")
    table = timetable([work, work], MORNING)
    assert at(table, "work") == [MORNING, datetime(2026, 3, 2, 14)]
    # Twenty days by the label, and not the thirty that are usual; from the last coat, which went on at two.
    assert only(table, "cure").at.date() == date(2026, 3, 22)


def test_what_is_usual_is_the_longer_end_and_says_so(facts: Facts) -> None:
    (work,) = read_work("satin clear coat", facts.products)
    assert work.recoat is not None
    assert work.recoat.minutes == 240  # 2 to 4 hours are usual
    assert "usual for waterborne clear coat, 2 h to 4 h, common practice, no source" in work.recoat.source


@pytest.mark.parametrize(
    ("name", "hours"),
    # Common practice, no source, at 70 to 77 F: the longer ends.
    [
        ("waterborne paint", 4), ("waterborne alkyd enamel", 24), ("oil paint", 24), ("shellac", 1), ("lacquer", 2),
        ("oil varnish", 24), ("danish oil", 24), ("milk paint", 4), ("gel stain", 24), ("paste wax", 24),
    ],
)  # fmt: skip
def test_the_usual_wait_before_the_next_coat(name: str, hours: int) -> None:
    (work,) = read_work(name, {})
    assert work.recoat is not None
    assert work.recoat.minutes == hours * 60


def test_a_steps_own_drying_time_counts_first(shop: ShopWriter) -> None:
    more = "planned:\n  - {did: first coat, used: [1 fl oz fig blue paint], dries: 7 h, took: 30 min}\n  - second coat of Fig blue paint\n"
    facts = shop.write({"products.yaml": PRODUCTS}).piece(more).books().facts
    works = [work_of(step, facts.products) for step in facts.pieces[0].piece.planned]
    assert works[0].recoat == Wait(minutes=Fraction(420), source="the step's `dries`: 7 h")
    # A step that says no product has the one that its words name.
    assert works[1].product == "fig blue paint"
    table = timetable(works, MORNING)
    # Half an hour of work, and seven of drying.
    assert at(table, "work") == [MORNING, datetime(2026, 3, 2, 16, 30)]
    assert table.entries[0].until == datetime(2026, 3, 2, 9, 30)


def test_work_is_begun_in_the_shops_hours_and_drying_goes_on_at_night(facts: Facts) -> None:
    works = read_work("3 coats fig blue paint", facts.products)
    table = timetable(works, datetime(2026, 3, 2, 19), hours=read_hours("8:00-20:00"))
    # 19:00 and five hours are midnight; the next may be begun at eight.
    assert at(table, "work") == [datetime(2026, 3, 2, 19), datetime(2026, 3, 3, 8), datetime(2026, 3, 3, 13)]


def test_before_hours_work_waits_for_the_door(facts: Facts) -> None:
    table = timetable(read_work("fig blue paint", facts.products), datetime(2026, 3, 2, 5))
    assert at(table, "work") == [datetime(2026, 3, 2, 8)]


def test_cure_runs_from_the_coat_and_a_slow_one_below_counts() -> None:
    works = read_work("oil varnish, shellac", {})
    table = timetable(works, MORNING, hours=ALL_DAY)
    # Varnish: 30 days from the first; shellac, a day later, only a week.
    assert only(table, "cure").at == MORNING + timedelta(days=30)
    assert "oil varnish" in only(table, "cure").says


def test_sanding_and_use_are_told_of_the_last_coat_alone() -> None:
    table = timetable(read_work("2 coats oil paint", {}), MORNING, hours=ALL_DAY)
    last = at(table, "work")[-1]
    assert at(table, "sand") == [last + timedelta(hours=24)]
    assert at(table, "use") == [last + timedelta(days=7)]


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "notes"),
    [
        (None, None, ["Usual times are for 70 to 77 F"]),
        (72, 50, ["Usual times are for 70 to 77 F"]),
        (45, 50, ["Usual times", "Under 50 F (10 C) waterborne coats"]),
        (60, 50, ["Usual times", "colder than these times are for"]),
        (72, 75, ["Usual times", "Over 70% humidity everything dries slower"]),
        (72, 90, ["Usual times", "Over 85% humidity don't coat"]),
    ],
)
def test_air_is_noted_and_changes_no_time(fahrenheit: int | None, humidity: int | None, notes: list[str]) -> None:
    works = read_work("2 coats waterborne paint", {})
    plain = timetable(works, MORNING)
    table = timetable(
        works,
        MORNING,
        fahrenheit=None if fahrenheit is None else Fraction(fahrenheit),
        humidity=None if humidity is None else Fraction(humidity),
    )
    assert table.entries == plain.entries  # no factor is made up
    assert len(table.notes) == len(notes)
    assert all(start in note for start, note in zip(notes, table.notes, strict=True))


def test_elapsed_time_is_the_callers_to_count() -> None:
    def shift(moment: datetime, minutes: Fraction) -> datetime:
        # A clock that goes an hour ahead at two in the night of 8 March 2026, as in the US.
        naive = moment + timedelta(minutes=float(minutes))
        return naive + timedelta(hours=1) if moment < datetime(2026, 3, 8, 2) <= naive else naive

    works = read_work("2 coats oil varnish", {})
    table = timetable(works, datetime(2026, 3, 7, 12), hours=ALL_DAY, later=shift)
    # A day of 24 hours from noon ends at one o'clock: at noon by the wall only 23 have passed.
    assert at(table, "work")[1] == datetime(2026, 3, 8, 13)


def test_what_nobody_knows_is_told_as_not_known(shop: ShopWriter) -> None:
    more = "planned:\n  - {did: a coat, used: [1 fl oz epoxy]}\n  - wax it\n"
    facts = shop.write({"products.yaml": PRODUCTS}).piece(more).books().facts
    works = [work_of(step, facts.products) for step in facts.pieces[0].piece.planned]
    assert timetable(works, MORNING).not_told == ("a coat",)


LOG = """\
log:
  - {on: "2026-03-01 10:00", did: first coat, used: [1 fl oz fig blue paint]}
  - {on: "2026-03-02 10:00", did: second coat, used: [1 fl oz fig blue paint]}
  - 2026-03-02 washed the brushes
"""


def test_the_coat_that_is_on_is_told_from_the_log(shop: ShopWriter) -> None:
    paint = "- {on: 2026-01-03, from: Harbour Hardware, what: fig blue paint, size: 1 pint, cost: 24.50, for: shelf}\n"
    facts = shop.write({"products.yaml": PRODUCTS}).receipts(paint).piece(LOG).books().facts
    told = since_the_log(facts.pieces[0].piece.log, facts.products)
    assert [(entry.what, entry.at) for entry in told] == [
        ("dry", datetime(2026, 3, 2, 15)),
        ("sand", datetime(2026, 3, 3, 10)),
        ("use", datetime(2026, 3, 9, 10)),
        ("cure", datetime(2026, 3, 22, 10)),
    ]
    assert first_free(told, datetime(2026, 3, 2, 11)) == datetime(2026, 3, 2, 15)
    assert first_free(told, datetime(2026, 3, 5, 11)) == datetime(2026, 3, 5, 11)
    assert first_free((), MORNING) == MORNING


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no step was said"),
        (" , ", "no step was said"),
        ("0 coats fig blue paint", "can't be planned"),
        ("999 coats fig blue paint", "can't be planned"),
        ("3 coats of patience", "is in no products.yaml"),
        ("2 coats", "is in no products.yaml"),
    ],
)
def test_steps_that_cannot_be_are_refused(text: str, says: str) -> None:
    with pytest.raises(Unreadable) as fault:
        read_work(text, {})
    assert says in fault.value.says


@pytest.mark.parametrize(
    ("text", "hours"),
    [("8:00-18:00", (8, 18)), ("9-17", (9, 17)), (" 7:30 to 16:00 ", (7, 16)), ("0-24", (0, 23))],
)
def test_hours_are_read(text: str, hours: tuple[int, int]) -> None:
    read = read_hours(text)
    assert (read.opens.hour, read.closes.hour) == hours


@pytest.mark.parametrize("text", ["", "8", "18:00-8:00", "8:00-8:00", "25-26", "8:61-9:00", "morning", "8-24:30"])
def test_hours_that_cannot_be_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        read_hours(text)


@pytest.mark.parametrize(
    ("works", "named", "says"),
    [
        ([], {}, "no step to plan"),
        ([Work(did="coat")] * 61, {}, "over 60 steps"),
        ([Work(did="coat")], {"fahrenheit": Fraction(500)}, "no shop has that temperature"),
        ([Work(did="coat")], {"humidity": Fraction(101)}, "a humidity is from 0% to 100%"),
        ([Work(did="coat", took=Fraction(10**9))], {}, "waits"),
        ([Work(did="coat")], {"hours": Hours(opens=time(9), closes=time(9))}, "close before they open"),
    ],
)
def test_a_timetable_that_cannot_be_is_refused(works: list[Work], named: dict[str, object], says: str) -> None:
    with pytest.raises(Unreadable) as fault:
        timetable(works, MORNING, **named)
    assert says in fault.value.says


waits = st.none() | st.fractions(min_value=1, max_value=3000, max_denominator=4).map(
    lambda minutes: Wait(minutes=minutes, source="a label")
)
works = st.builds(Work, did=st.just("coat"), product=st.just("paint"), recoat=waits, sand=waits, use=waits, cure=waits)


@given(st.lists(works, min_size=1, max_size=12), st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 31)))
def test_no_step_is_begun_before_the_one_below_is_dry_or_out_of_hours(steps: list[Work], begin: datetime) -> None:
    table = timetable(steps, begin)
    begun = at(table, "work")
    assert len(begun) == len(steps)
    for (before, after), step in zip(pairwise(begun), steps, strict=False):
        assert after - before >= timedelta(minutes=float(step.recoat.minutes) if step.recoat else 0)
    assert all(time(8) <= moment.time() < time(20) for moment in begun)
    assert [entry.at for entry in table.entries] == sorted(entry.at for entry in table.entries)
