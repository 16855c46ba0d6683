"""The calendar of a timetable, read back by another library and held against RFC 5545 line by line.

`vobject` parses what `icalendar` wrote. The rules on lines, folding, escaping and values are those of RFC 5545, with
the section beside each.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st
from shop_writer import ShopWriter, run_flipbook

from flipbook.sums.calendar import calendar_of
from flipbook.sums.timetable import Timetable, Wait, Work, timetable

MADE = datetime(2026, 3, 1, 12, 30, tzinfo=UTC)
WAIT = Wait(minutes=Fraction(240), source="the label in products.yaml, fig blue paint: 4 h")


def table(did: str = 'first coat, of "fig blue"; wiped\\rubbed', number: int = 2) -> Timetable:
    work = Work(did=did, product="fig blue paint", took=Fraction(30), recoat=WAIT, sand=WAIT, use=WAIT, cure=WAIT)
    return timetable([work] * number, datetime(2026, 3, 2, 9))


def lines(data: bytes) -> list[bytes]:
    """The content lines, unfolded (3.1: a long line is split by CRLF and a space)."""
    return data.replace(b"\r\n ", b"").split(b"\r\n")


def test_lines_end_in_crlf_and_are_of_75_octets_at_most() -> None:
    data = calendar_of(
        table(), title="Bow-front oak workstand with its marble, and a drawer", piece="workstand", made=MADE
    )
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert max(map(len, data.split(b"\r\n"))) <= 75  # 3.1


def test_it_has_what_a_calendar_and_an_event_must_have() -> None:
    got = lines(calendar_of(table(), title="Oak stool", piece="oak-stool", made=MADE))
    assert (got[0], got[-2]) == (b"BEGIN:VCALENDAR", b"END:VCALENDAR")
    # 3.6: PRODID and VERSION, once each; 3.6.1: UID and DTSTAMP in every event, DTSTART where there is no METHOD.
    assert sum(line.startswith(b"PRODID:") for line in got) == 1
    assert got.count(b"VERSION:2.0") == 1
    events = got.count(b"BEGIN:VEVENT")
    assert events == got.count(b"END:VEVENT") == len(table().entries)
    for name in (b"UID", b"DTSTAMP", b"DTSTART", b"SUMMARY"):
        assert sum(re.match(name + b"[;:]", line) is not None for line in got) == events
    # 3.8.7.2: DTSTAMP is in UTC. 3.3.5, form 1: a local time without a zone, the shop's own clock.
    assert all(re.fullmatch(rb"DTSTAMP:[0-9]{8}T[0-9]{6}Z", line) for line in got if line.startswith(b"DTSTAMP"))
    starts = [line for line in got if line.startswith(b"DTSTART")]
    assert all(re.fullmatch(rb"DTSTART:[0-9]{8}T[0-9]{6}|DTSTART;VALUE=DATE:[0-9]{8}", line) for line in starts)


def test_another_library_reads_the_same_times_and_words() -> None:
    made = table()
    read = vobject.readOne(calendar_of(made, title="Oak stool; red, wide", piece="oak-stool", made=MADE).decode())
    assert len(read.vevent_list) == len(made.entries)
    for event, entry in zip(read.vevent_list, made.entries, strict=True):
        start = event.dtstart.value
        if entry.what == "cure":
            assert (start, event.dtend.value) == (entry.at.date(), entry.at.date() + timedelta(days=1))
        else:
            assert start == entry.at
            assert start.tzinfo is None
            assert event.dtend.value > start
        assert event.summary.value.endswith(f": Oak stool; red, wide: {entry.says}")
        assert event.dtstamp.value == MADE
        if entry.what == "work":
            assert event.dtend.value - start == timedelta(minutes=30)


def test_an_entry_keeps_its_name_and_no_two_share_one() -> None:
    def names(made: Timetable, piece: str) -> list[str]:
        read = vobject.readOne(calendar_of(made, title="Oak stool", piece=piece, made=MADE).decode())
        return [event.uid.value for event in read.vevent_list]

    first = names(table(), "oak-stool")
    assert len(set(first)) == len(first)  # 3.8.4.7: globally unique
    # The same steps a day later are the same entries moved, and another piece's are others.
    later = timetable([Work(did=table().entries[0].says, product="fig blue paint", took=Fraction(30), recoat=WAIT, sand=WAIT, use=WAIT, cure=WAIT)] * 2, datetime(2026, 3, 3, 9))  # fmt: skip
    assert sorted(names(later, "oak-stool")) == sorted(first)
    assert not set(names(table(), "elm-stool")) & set(first)


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=120))
def test_any_words_come_back_unfolded_and_unescaped(words: str) -> None:
    data = calendar_of(table(did=words, number=1), title=words, piece="x", made=MADE)
    assert max(map(len, data.split(b"\r\n"))) <= 75
    (summary,) = [line for line in lines(data) if line.startswith(b"SUMMARY:Bench")]
    # 3.3.11: backslash, semicolon, comma and line breaks are escaped, and nothing else.
    text = re.sub(r"\\([\\;,])", r"\1", summary.decode().removeprefix("SUMMARY:"))
    assert text == f"Bench: {words}: {words}"


@pytest.mark.parametrize("words", ["evil\r\nBEGIN:VEVENT", "a\nATTACH:file:///etc/passwd"])
def test_words_cannot_add_a_line(words: str) -> None:
    data = calendar_of(table(did=words, number=1), title="Oak stool", piece="x", made=MADE)
    assert lines(data).count(b"BEGIN:VEVENT") == len(table(number=1).entries)
    assert not [line for line in lines(data) if line.startswith(b"ATTACH")]


def test_the_command_writes_it_beside_its_timetable(shop: ShopWriter, tmp_path: Path) -> None:
    path = tmp_path / "plan.ics"
    shop.piece()
    ran = run_flipbook(
        "sums", "drying", "2 coats waterborne paint", "--begin", "2026-03-02 9:00", "--piece", "stool", "--calendar", path,
        cwd=shop.root,
    )  # fmt: skip
    assert (ran.code, ran.err) == (0, "")
    assert "Written:" in ran.out
    read = vobject.readOne(path.read_bytes().decode())
    began = [event.dtstart.value for event in read.vevent_list if event.summary.value.startswith("Bench: Oak stool")]
    # Four hours are usual between two coats of waterborne paint, common practice.
    assert began == [datetime(2026, 3, 2, 9), datetime(2026, 3, 2, 13)]
    (hard,) = [event for event in read.vevent_list if event.summary.value.startswith("Hard:")]
    assert hard.dtstart.value == date(2026, 4, 1)  # 30 days from the second coat


def test_a_calendar_is_made_again_over_itself_and_over_nothing_else(shop: ShopWriter, tmp_path: Path) -> None:
    words = ("sums", "drying", "shellac", "--begin", "2026-03-02 9:00", "--calendar")
    assert run_flipbook(*words, tmp_path / "plan.ics", cwd=shop.root).code == 0
    assert run_flipbook(*words, tmp_path / "plan.ics", cwd=shop.root).code == 0
    (tmp_path / "other.ics").write_text("my own")
    ran = run_flipbook(*words, tmp_path / "other.ics", cwd=shop.root)
    assert ran.code == 2
    assert (tmp_path / "other.ics").read_text() == "my own"
