"""Self-employment tax against the statute and an open model of United States tax.

The figures of MODEL were computed once with taxcalc 6.8.0, a general model that knows nothing of shops (a venv of half a
gigabyte, and 98 seconds for the whole grid, which is why its answers are kept here and not asked for each time). They
are its answers to the cent for a single filer; one cent of difference is let pass, since Schedule SE rounds each part.
"""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from flipbook.books.profile import profile
from flipbook.books.rulebook import NotPublished, rule
from flipbook.books.set_aside import self_employment_tax

ESTIMATE = profile("us").estimate
assert ESTIMATE is not None
US = ESTIMATE.self_employment_tax

MODEL = [
    # year, wages that bore social security tax, net profit, tax by taxcalc 6.8.0
    (2015, "0", "433.14", "61.20"),
    (2015, "0", "118500", "16743.52"),
    (2015, "30000", "118500", "14147.61"),
    (2015, "150000", "60000", "1606.89"),
    (2016, "0", "140000", "18443.41"),
    (2016, "30000", "158000", "15205.48"),
    (2017, "0", "140000", "19522.21"),
    (2017, "30000", "118500", "15226.41"),
    (2018, "0", "140000", "19671.01"),
    (2018, "30000", "140000", "15951.01"),
    (2019, "0", "158000", "20711.08"),
    (2019, "30000", "118500", "15933.21"),
    (2020, "0", "158000", "21306.28"),
    (2020, "30000", "118500", "16528.41"),
    (2021, "0", "158000", "21938.68"),
    (2021, "30000", "140000", "17736.61"),
    (2022, "0", "158000", "22324.69"),
    (2022, "0", "180000", "23048.67"),
    (2022, "30000", "140000", "18257.41"),
    (2023, "0", "12345.67", "1744.39"),
    (2023, "0", "180000", "24685.47"),
    (2023, "150000", "12345.67", "1595.44"),
    (2023, "150000", "27500", "2001.29"),
    (2024, "0", "27500", "3885.63"),
    (2024, "0", "200000", "26262.70"),
    (2024, "30000", "158000", "21417.88"),
    (2024, "150000", "27500", "3042.89"),
    (2025, "0", "1000", "141.30"),
    (2025, "0", "60000", "8477.73"),
    (2025, "0", "200000", "27192.70"),
    (2025, "0", "250000.50", "28531.79"),
    (2025, "30000", "180000", "22937.07"),
    (2025, "150000", "158000", "7467.88"),
    (2026, "0", "433.60", "61.27"),
    (2026, "0", "200000", "28234.30"),
    (2026, "0", "400000", "33590.60"),
    (2026, "30000", "180000", "23978.67"),
    (2026, "150000", "60000", "5884.89"),
]
# Social Security Administration, contribution and benefit base; read in taxcalc 6.8.0 and policyengine-us 2.68.0, equal.
WAGE_BASE = {
    2015: 118_500, 2016: 118_500, 2017: 127_200, 2018: 128_400, 2019: 132_900, 2020: 137_700,
    2021: 142_800, 2022: 147_000, 2023: 160_200, 2024: 168_600, 2025: 176_100, 2026: 184_500,
}  # fmt: skip


def by_statute(year: int, wages: Fraction, profit: Fraction) -> Fraction:
    """The tax in full, unrounded: 26 USC 1402(a)(12), (b)(1), (b)(2); 1401(a) 12.4%; 1401(b)(1) 2.9%."""
    net = profit * (1 - Fraction("0.153") / 2)
    if net < 400:
        return Fraction(0)
    return min(net, max(Fraction(0), WAGE_BASE[year] - wages)) * Fraction("0.124") + net * Fraction("0.029")


@pytest.mark.parametrize(("year", "wages", "profit", "tax"), MODEL)
def test_the_tax_against_an_open_model(year: int, wages: str, profit: str, tax: str) -> None:
    ours = self_employment_tax(US, Decimal(profit), year, Decimal(wages)).tax
    assert abs(ours - Decimal(tax)) <= Decimal("0.01")
    assert abs(by_statute(year, Fraction(wages), Fraction(profit)) - Fraction(tax)) < Fraction("0.0051"), (
        "the model agrees"
    )


@pytest.mark.parametrize("year", WAGE_BASE)
def test_the_tax_against_the_statute_over_a_grid(year: int) -> None:
    """Incomes on both sides of the floor and of the wage base, each part rounded as Schedule SE has it."""
    base = WAGE_BASE[year]
    profits = ["0.01", "433.13", "433.14", "5000", "27123.45", "99999.99", f"{base}", f"{base + 15_000}", "1000000"]
    for profit in profits:
        for wages in ("0", "40000.50", f"{base - 1000}", f"{base}", f"{base + 1}"):
            found = self_employment_tax(US, Decimal(profit), year, Decimal(wages))
            exact = by_statute(year, Fraction(wages), Fraction(profit))
            assert abs(Fraction(found.tax) - exact) <= Fraction("0.01"), (profit, wages)
            net = (Decimal(profit) * Decimal("0.9235")).quantize(Decimal("0.01"), ROUND_HALF_UP)
            assert found.net_earnings == net


@pytest.mark.parametrize(("year", "base"), WAGE_BASE.items())
def test_the_wage_base_of_each_year(year: int, base: int) -> None:
    assert rule("us_wage_base").on(date(year, 12, 31)) == base


@pytest.mark.parametrize(
    ("profit", "tax", "half", "reckoned"),
    [
        ("433.13", "0.00", "0.00", "433.13 x 0.9235 = 399.9956, which is under 400 though it rounds to it"),
        ("433.14", "61.20", "30.60", "400.00479: 49.60 and 11.60"),
        ("0", "0.00", "0.00", "no profit"),
        ("-500.00", "0.00", "0.00", "a loss"),
        ("1000.00", "141.30", "70.65", "923.50: 114.51 and 26.78; 141.29 or, of 141.2955 unrounded, 141.30"),
    ],
)
def test_the_floor(profit: str, tax: str, half: str, reckoned: str) -> None:
    found = self_employment_tax(US, Decimal(profit), 2025)
    assert abs(found.tax - Decimal(tax)) <= Decimal("0.01"), reckoned
    assert abs(found.half - Decimal(half)) <= Decimal("0.01"), reckoned
    assert (found.tax == 0) == (tax == "0.00"), reckoned


def test_net_earnings_of_exactly_400_are_taxed() -> None:
    """26 USC 1402(b)(2) frees net earnings of less than 400; no profit in cents comes to exactly 400, so an exact one."""
    exactly = Fraction(400) / Fraction("0.9235")
    found = self_employment_tax(US, exactly, 2025)
    assert (f"{found.net_earnings}", f"{found.social_security}", f"{found.medicare}") == ("400.00", "49.60", "11.60")
    under = self_employment_tax(US, exactly - Fraction(1, 10**9), 2025)
    assert f"{under.tax}" == "0.00"


@pytest.mark.parametrize(
    ("wages", "social_security", "reckoned"),
    [
        ("0", "18093.21", "158,000.00 x 0.9235 = 145,913.00, under 176,100; x 0.124 = 18,093.212"),
        ("150000", "3236.40", "176,100 - 150,000 = 26,100 of room; x 0.124"),
        ("176100", "0.00", "no room"),
        ("200000", "0.00", "no room, and none under nothing"),
        ("30187", "18093.21", "room of 145,913 exactly"),
    ],
)
def test_wages_take_up_the_wage_base_of_2025(wages: str, social_security: str, reckoned: str) -> None:
    found = self_employment_tax(US, Decimal("158000.00"), 2025, Decimal(wages))
    assert f"{found.social_security}" == social_security, reckoned
    assert f"{found.medicare}" == "4231.48", "145,913.00 x 0.029 = 4,231.477; it has no upper end"


@pytest.mark.parametrize("year", [2012, 2027])
def test_a_year_without_its_figures_is_refused(year: int) -> None:
    with pytest.raises(NotPublished):
        self_employment_tax(US, Decimal("50000"), year)
