"""Time taken as it is written: FORMAT.md, "How things are written", the row `time taken`."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.measures.times import read_time_taken, write_time_taken
from flipbook.measures.unreadable import Unreadable


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("40 min", 40),
        ("40min", 40),
        ("40 mins", 40),
        ("1 minute", 1),
        ("1 h 15 min", 75),
        ("1h 15min", 75),
        ("1h15min", 75),
        ("1 hour 15 minutes", 75),
        ("2 hrs", 120),
        ("1.5 h", 90),
        ("1/2 h", 30),
        ("1 1/2 h", 90),
        ("1:15", 75),
        ("0:40", 40),
        ("10:05", 605),
        ("2 d", 2 * 24 * 60),
        ("1 day", 24 * 60),
        ("2 d 3 h 10 min", (2 * 24 + 3) * 60 + 10),
        (" 40 min ", 40),
        ("0.1 min", Fraction(1, 10)),
    ],
)
def test_a_time_taken_is_exact_minutes(written, minutes):
    assert read_time_taken(written) == minutes


@pytest.mark.parametrize("written", ["90", "1.5", "1 1/2"])
def test_a_bare_number_is_refused_with_both_units_to_choose_from(written):
    with pytest.raises(Unreadable) as refused:
        read_time_taken(written)
    assert refused.value.says == f"`{written}` has no unit"
    assert refused.value.write == f"write `{written} min` or `{written} h`"


@pytest.mark.parametrize("written", ["-40 min", "−40 min", "-1:15"])
def test_a_time_less_than_nothing_is_refused(written):
    with pytest.raises(Unreadable) as refused:
        read_time_taken(written)
    assert refused.value.says == "time taken is not negative"


@pytest.mark.parametrize("written", ["0 min", "0 h 0 min", "0:00"])
def test_no_time_at_all_is_to_be_left_out(written):
    with pytest.raises(Unreadable) as refused:
        read_time_taken(written)
    assert refused.value.write == "leave it out when no time is to be counted"


@pytest.mark.parametrize("written", ["15 min 1 h", "1 h 1 h", "3 h 2 d", "1 h 15 min 20 min"])
def test_the_parts_of_a_time_go_from_the_greatest_to_the_least(written):
    with pytest.raises(Unreadable) as refused:
        read_time_taken(written)
    assert refused.value.write == "write it as `1 h 15 min`"


@pytest.mark.parametrize(
    "written",
    [
        "",
        "1:60",
        "1:5",
        "1:15:00",
        "40 m",
        "30 s",
        "1 week",
        "1,5 h",
        "1 h 15",
        "1 h -15 min",
        "4 each",
        "h",
        "an hour",
    ],
)
def test_what_is_no_time_is_refused_with_the_forms_of_one(written):
    with pytest.raises(Unreadable) as refused:
        read_time_taken(written)
    assert refused.value.write == "write it as `40 min`, `1 h 15 min`, `1.5 h`, `1:15` or `2 d`"


def test_a_fraction_of_an_hour_over_nothing_is_refused():
    with pytest.raises(Unreadable) as refused:
        read_time_taken("1/0 h")
    assert refused.value.says == "a fraction over 0 has no value"


@pytest.mark.parametrize(
    ("minutes", "written"),
    [
        (40, "40 min"),
        (60, "1 h"),
        (75, "1 h 15 min"),
        (1500, "25 h"),
        (2880, "2 d"),
        (Fraction(1, 2), "0.5 min"),
        (Fraction(135, 2), "1 h 7.5 min"),
    ],
)
def test_a_time_is_written_in_days_or_in_hours_and_minutes(minutes, written):
    assert write_time_taken(Fraction(minutes)) == written


@pytest.mark.parametrize(
    ("minutes", "written"),
    [("59.96", "1 h"), ("119.99", "2 h"), ("1439.97", "1 d")],
)
def test_minutes_that_round_to_sixty_are_written_as_an_hour(minutes, written):
    assert write_time_taken(Fraction(minutes)) == written


@given(st.integers(1, 100_000))
def test_a_time_of_whole_minutes_is_read_back_as_it_was_written(minutes):
    assert read_time_taken(write_time_taken(Fraction(minutes))) == minutes


@given(st.integers(0, 9999), st.integers(0, 59))
def test_hours_and_minutes_with_a_colon_or_in_words_are_the_same_time(hours, minutes):
    if hours or minutes:
        assert read_time_taken(f"{hours}:{minutes:02}") == read_time_taken(f"{hours} h {minutes} min")


@given(st.integers(1, 999), st.integers(1, 23), st.integers(1, 59))
def test_the_parts_of_a_time_are_added(days, hours, minutes):
    written = f"{days} d {hours} h {minutes} min"
    assert read_time_taken(written) == (days * 24 + hours) * 60 + minutes
