"""Charts stand inside their drawing, and lengths in them are in proportion to the figures."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flipbook.reports.charts import BarChart, lying_bars, prices_over_time, standing_bars, ticks_between

figures = st.decimals(min_value=-5000, max_value=50_000, places=2)
rows = st.lists(figures, min_size=1, max_size=40).map(lambda all_: [(f"n{i}", f, str(f)) for i, f in enumerate(all_)])
ROUNDED = 0.11
"""Coordinates are rounded to one decimal, each end of a bar by itself."""


def is_inside(chart: BarChart) -> bool:
    return all(
        -ROUNDED <= float(bar.x) <= float(bar.x) + float(bar.width) <= chart.width + ROUNDED
        and -ROUNDED <= float(bar.y) <= float(bar.y) + float(bar.height) <= chart.height + ROUNDED
        for bar in chart.bars
    )


@given(rows)
def test_standing_bars_are_in_proportion_and_inside(given_rows: list[tuple[str, Decimal, str]]) -> None:
    chart = standing_bars(given_rows)
    assert is_inside(chart)
    tallest = max(abs(figure) for _, figure, _ in given_rows)
    heights = [float(bar.height) for bar in chart.bars]
    for (_, figure, _), bar in zip(given_rows, chart.bars, strict=True):
        assert bar.is_under == (figure < 0)
        if tallest:
            assert float(bar.height) == pytest.approx(float(abs(figure) / tallest) * max(heights), abs=2 * ROUNDED)
        foot = float(bar.y) if figure < 0 else float(bar.y) + float(bar.height)
        assert foot == pytest.approx(float(chart.zero), abs=2 * ROUNDED)


@given(rows)
def test_lying_bars_are_in_proportion_and_inside(given_rows: list[tuple[str, Decimal, str]]) -> None:
    chart = lying_bars(given_rows)
    assert is_inside(chart)
    longest = max(abs(figure) for _, figure, _ in given_rows)
    widths = [float(bar.width) for bar in chart.bars]
    for (_, figure, _), bar in zip(given_rows, chart.bars, strict=True):
        if longest:
            assert float(bar.width) == pytest.approx(float(abs(figure) / longest) * max(widths), abs=2 * ROUNDED)
        # A chart of profits needs room for the words at both ends.
        assert float(bar.x) >= float(chart.names_at)


@given(figures, figures)
def test_ticks_are_round_even_and_hold_both_ends(one: Decimal, other: Decimal) -> None:
    least, most = sorted((one, other))
    ticks = ticks_between(least, most)
    assert ticks[0] <= least <= most <= ticks[-1]
    steps = {b - a for a, b in pairwise(ticks)}
    assert len(steps) == 1
    digits = f"{float(steps.pop()):.10e}".partition("e")[0].rstrip("0").rstrip(".")
    assert digits in ("1", "2", "5")
    assert 2 <= len(ticks) <= 8


def test_ticks_as_one_would_write_them() -> None:
    # 0 to 380 in about four steps of 95: the next of 1, 2, 5 x a power of ten is 100.
    assert ticks_between(0, 380) == [0, 100, 200, 300, 400]
    assert ticks_between(-30, 170) == [-50, 0, 50, 100, 150, 200]


def test_not_every_name_is_written_where_there_is_no_room() -> None:
    many = standing_bars([(f"2026-{month:02}", 1, "") for month in range(1, 25)])
    assert 4 <= sum(bool(bar.name) for bar in many.bars) <= 12
    few = standing_bars([(f"2026-{month:02}", 1, "") for month in range(1, 7)])
    assert all(bar.name for bar in few.bars)


def test_a_price_stands_until_the_next_one() -> None:
    start = date(2026, 3, 20)
    asked = [(start, Decimal(425)), (start + timedelta(days=11), Decimal(395))]
    offers = [(start + timedelta(days=4), Decimal(300), "offered 300", False)]
    chart = prices_over_time(asked, offers, start + timedelta(days=22), Decimal(250))
    points = [tuple(map(float, point.split(","))) for point in chart.stair.split()]
    (x1, y1), (x2, y2), (x3, y3), (x4, y4) = points
    assert y1 == y2 < y3 == y4
    assert x2 == x3
    # The second price is asked halfway through the 22 days.
    assert x2 - x1 == pytest.approx((x4 - x1) / 2, abs=ROUNDED)
    # 425 and 395 are 30 apart; 300 lies 95 under 395: lengths on the axis are in that proportion.
    assert float(chart.marks[0].y) - y3 == pytest.approx(float(Fraction(95, 30)) * (y3 - y1), abs=0.6)
    assert float(chart.floor) > float(chart.marks[0].y)


def test_one_day_alone_is_drawn() -> None:
    chart = prices_over_time([(date(2026, 3, 20), Decimal(0))], [], date(2026, 3, 20))
    assert [day.words for day in chart.days] == ["2026-03-20"]
    assert "nan" not in chart.stair
