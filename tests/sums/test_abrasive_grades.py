"""Grain sizes of abrasives, against public charts of the two series.

Charts: sizes.com, "sandpaper", which lists both series side by side, read to 120; and a chart of a supplier of finishes
that compares CAMI, P and micron grades, in whole micrometres, from memory of it and no source by itself. Both were typed
in here apart from the program's own table. What they say of a standard is not the standard: FEPA 43-1 and ANSI B74.18
are sold, and were not seen.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from flipbook.sums.data.abrasives import AGREE_TO, CAMI_SERIES, P_SERIES
from flipbook.sums.grits import ladder_of, read_grits

# The reference page: mean grain in micrometres.
P_OF_THE_PAGE = {
    12: 1815, 16: 1324, 20: 1000, 24: 764, 30: 642, 36: 538, 40: 425, 50: 336, 60: 269, 80: 201, 100: 162, 120: 125,
}  # fmt: skip
CAMI_OF_THE_PAGE = {16: 1320, 20: 905, 24: 715, 30: 638, 36: 535, 40: 428, 50: 351, 60: 268, 80: 192, 100: 141}

# The supplier's chart: micrometres, CAMI and P in the rows that it gives them.
P_OF_THE_CHART = {
    40: 425, 50: 336, 60: 270, 80: 200, 100: 162, 120: 125, 150: 100, 180: 82, 220: 68, 240: 60, 280: 52, 320: 46,
    360: 40, 400: 35, 500: 30, 600: 26, 800: 22, 1000: 18, 1200: 15, 1500: 13, 2000: 10, 2500: 8,
}  # fmt: skip
CAMI_OF_THE_CHART = {
    40: 430, 50: 350, 60: 270, 80: 192, 120: 116, 150: 93, 180: 82, 220: 68, 240: 52, 280: 42, 320: 35, 360: 28,
    400: 22, 500: 18, 600: 15,
}  # fmt: skip


@pytest.mark.parametrize(("grade", "size"), P_OF_THE_PAGE.items())
def test_the_coarse_grades_of_the_p_series_are_those_of_the_reference_page(grade: int, size: int) -> None:
    assert P_SERIES[grade] == size


@pytest.mark.parametrize(("grade", "size"), CAMI_OF_THE_PAGE.items())
def test_the_coarse_grades_of_the_cami_series_are_those_of_the_reference_page(grade: int, size: int) -> None:
    assert CAMI_SERIES[grade] == size


@pytest.mark.parametrize(("grade", "size"), P_OF_THE_CHART.items())
def test_every_grade_of_the_p_series_is_the_charts_to_two_micrometres(grade: int, size: int) -> None:
    assert abs(P_SERIES[grade] - size) <= Fraction(2)


@pytest.mark.parametrize(("grade", "size"), CAMI_OF_THE_CHART.items())
def test_every_grade_of_the_cami_series_is_the_charts_to_two_micrometres(grade: int, size: int) -> None:
    assert abs(CAMI_SERIES[grade] - size) <= Fraction(2)


@pytest.mark.parametrize(("cami", "p"), [(240, 280), (320, 400), (400, 800), (500, 1000), (600, 1200)])
def test_the_rows_that_the_chart_sets_side_by_side_are_nearest_by_grain_too(cami: int, p: int) -> None:
    nearest = min(P_SERIES, key=lambda grade: abs(P_SERIES[grade] - CAMI_SERIES[cami]))
    assert nearest == p
    # The chart's own point: the same number is another paper.
    assert P_SERIES[cami] > CAMI_SERIES[cami]


@pytest.mark.parametrize("grade", [grade for grade in CAMI_SERIES if 24 <= grade <= AGREE_TO])
def test_up_to_220_the_two_series_are_within_fifteen_percent(grade: int) -> None:
    assert abs(P_SERIES[grade] / CAMI_SERIES[grade] - 1) <= Fraction(15, 100)


def test_past_220_they_are_not() -> None:
    assert P_SERIES[400] / CAMI_SERIES[400] > Fraction(3, 2)


@pytest.mark.parametrize(
    ("first", "then", "ratio", "says"),
    # Worked by hand from the chart's micrometres: 201/125, 162/100, 125/82, 100/68; 125/68, 46.2/25.8; 201/100, 269/125,
    # 201/82, 201/68. Good to 1.7, long to 2: common practice, no source.
    [
        (80, 120, "1.61", "good"),
        (100, 150, "1.62", "good"),
        (120, 180, "1.52", "good"),
        (150, 220, "1.47", "good"),
        (220, 320, "1.47", "good"),
        (120, 220, "1.84", "long"),
        (320, 600, "1.79", "long"),
        (80, 150, "2.01", "too far"),
        (60, 120, "2.15", "too far"),
        (80, 180, "2.45", "too far"),
        (80, 220, "2.96", "too far"),
    ],
)
def test_steps_are_weighed_as_worked_by_hand(first: int, then: int, ratio: str, says: str) -> None:
    rung = ladder_of(read_grits(f"P{first}, P{then}")).rungs[1]
    assert rung.ratio is not None
    assert abs(rung.ratio - Fraction(ratio)) <= Fraction(5, 1000)
    assert rung.says == says


def test_finer_grades_have_smaller_grains_in_both_series() -> None:
    for table in (P_SERIES, CAMI_SERIES):
        sizes = [table[grade] for grade in sorted(table)]
        assert sizes == sorted(sizes, reverse=True)
        assert len(set(sizes)) == len(sizes)
