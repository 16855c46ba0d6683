"""Write-offs over 5 and 7 years against IRS Publication 946.

Table A-1 is from a machine-readable copy; tables A-2 to A-5 from public copies typed from the printed page, several
of which agree. Each figure is worked again from the rule: 200% declining balance, going over to straight line in the
year in which that is more, from the middle of the period in which the tool was taken into use.
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from shop_writer import ShopWriter

from flipbook.books.rulebook import document
from flipbook.books.tools import quarter_of

TABLES = [
    # convention (0 half-year, else the quarter), years, percents, table
    (0, 5, "20.00 32.00 19.20 11.52 11.52 5.76", "A-1"),
    (0, 7, "14.29 24.49 17.49 12.49 8.93 8.92 8.93 4.46", "A-1"),
    (1, 5, "35.00 26.00 15.60 11.01 11.01 1.38", "A-2"),
    (1, 7, "25.00 21.43 15.31 10.93 8.75 8.74 8.75 1.09", "A-2"),
    (2, 5, "25.00 30.00 18.00 11.37 11.37 4.26", "A-3"),
    (2, 7, "17.85 23.47 16.76 11.97 8.87 8.87 8.87 3.34", "A-3"),
    (3, 5, "15.00 34.00 20.40 12.24 11.30 7.06", "A-4"),
    (3, 7, "10.71 25.51 18.22 13.02 9.30 8.85 8.86 5.53", "A-4"),
    (4, 5, "5.00 38.00 22.80 13.68 10.94 9.58", "A-5"),
    (4, 7, "3.57 27.55 19.68 14.06 10.04 8.73 8.73 7.64", "A-5"),
]
# How much of its first year a tool is in use: half of it, or from the middle of its quarter (168(d)(4)).
FIRST_YEAR = {0: Fraction(1, 2), 1: Fraction(7, 8), 2: Fraction(5, 8), 3: Fraction(3, 8), 4: Fraction(1, 8)}


def column(quarter: int, years: int) -> list[str]:
    tables = document("us_write_off_tables")
    name = f"{years} years"
    found: list[str] = tables["mid-quarter"][name][quarter] if quarter else tables["half-year"][name]
    return found


def worked(quarter: int, years: int) -> list[Fraction]:
    """The percents by the rule, unrounded (26 USC 168(b)(1))."""
    left, gone, found = Fraction(100), Fraction(0), []
    for number in range(years + 1):
        share = FIRST_YEAR[quarter] if number == 0 else Fraction(1)
        still = years - gone  # years of the recovery period that are left at the start of this one
        rate = max(Fraction(2, years), 1 / still) if still > 1 else Fraction(1)
        found.append(left * min(Fraction(1), rate * share))
        left -= found[-1]
        gone += share
    return found


@pytest.mark.parametrize(("quarter", "years", "percents", "table"), TABLES)
def test_the_percents_are_those_of_the_printed_table(quarter: int, years: int, percents: str, table: str) -> None:
    assert column(quarter, years) == percents.split(), f"table {table}"


@pytest.mark.parametrize(("quarter", "years", "percents", "table"), TABLES)
def test_the_percents_worked_again_from_the_rule(quarter: int, years: int, percents: str, table: str) -> None:
    by_rule = worked(quarter, years)
    printed = [Fraction(percent) for percent in column(quarter, years)]
    for year, (ours, exact) in enumerate(zip(printed, by_rule, strict=True), start=1):
        # The last year takes up what the rounding of those before it left: 0.0138 in table A-3, 7 years, printed 3.34.
        most = Fraction(2 if year == len(printed) else 1, 100)
        assert abs(ours - exact) <= most, f"table {table}, year {year}: {float(exact):.4f}"
    assert sum(by_rule) == sum(printed) == 100


def test_no_column_stands_in_the_rules_that_is_not_above() -> None:
    tables = document("us_write_off_tables")
    quarters = [(quarter, name) for name, columns in tables["mid-quarter"].items() for quarter in columns]
    assert len(tables["half-year"]) + len(quarters) == len(TABLES)


@pytest.mark.parametrize(
    ("day", "quarter"),
    [
        ("2025-01-01", 1),
        ("2025-03-31", 1),
        ("2025-04-01", 2),
        ("2025-06-30", 2),
        ("2025-07-01", 3),
        ("2025-09-30", 3),
        ("2025-10-01", 4),
        ("2025-12-31", 4),
    ],
)
def test_the_quarter_of_a_day(day: str, quarter: int) -> None:
    assert quarter_of(date.fromisoformat(day), (1, 1)) == quarter


def write_offs(shop: ShopWriter, *tools: str) -> dict[tuple[str, int], str]:
    shop.write({"shop.yaml": "shop: S\ncurrency: USD\ntax: {rules: us}\n"})
    shop.write({"tools.yaml": "tools:\n" + "".join(f"  - {{{tool}}}\n" for tool in tools)})
    return {(off.tool.tool, off.year): f"{off.amount}" for off in shop.books().write_offs}


def test_a_published_example_of_the_mid_quarter_convention(shop: ShopWriter) -> None:
    """Your Income Tax 2013 (Wiley), 42.7: furniture 1,000 in August, a computer 5,000 in October: 107 and 250."""
    offs = write_offs(
        shop,
        "tool: furniture, on: 2012-08-15, cost: 1000.00, write off: 7 years",
        "tool: computer, on: 2012-10-15, cost: 5000.00, write off: 5 years",
    )
    # 5,000 is more than 40% of 6,000; 10.71% of 1,000 = 107.10 and 5% of 5,000.
    assert (offs["furniture", 2012], offs["computer", 2012]) == ("107.10", "250.00")


def test_the_example_of_three_things_bought_in_one_year(shop: ShopWriter) -> None:
    """IRS Publication 946, the example of tables A-2, A-4 and A-5, its inputs from memory; worked again here."""
    offs = write_offs(
        shop,
        "tool: machine, on: 2025-01-15, cost: 4000.00, write off: 7 years",
        "tool: furniture, on: 2025-09-15, cost: 1000.00, write off: 7 years",
        "tool: computer, on: 2025-10-15, cost: 5000.00, write off: 5 years",
    )
    # 5,000 is 50% of 10,000. 25% of 4,000; 10.71% of 1,000; 5% of 5,000.
    assert [offs[name, 2025] for name in ("machine", "furniture", "computer")] == ["1000.00", "107.10", "250.00"]
    # In the second year 21.43%, 25.51% and 38%: 46.43% of 4,000 is 1,857.20, less 1,000.00.
    assert [offs[name, 2026] for name in ("machine", "furniture", "computer")] == ["857.20", "255.10", "1900.00"]


@pytest.mark.parametrize(
    ("october", "first_year"),
    [
        ("4000.00", "857.40"),  # 40% of 10,000.00 and not over: half-year, 14.29% of 6,000.00
        ("4000.01", "1500.00"),  # 10,000.01 x 40% = 4,000.004, and 4,000.01 is over: table A-2, 25.00%
        ("0.01", "857.40"),
    ],
)
def test_the_forty_percent_must_be_exceeded(shop: ShopWriter, october: str, first_year: str) -> None:
    """26 USC 168(d)(3)(A): "exceed 40 percent"."""
    offs = write_offs(
        shop,
        "tool: lift, on: 2025-01-15, cost: 6000.00, write off: 7 years",
        f"tool: saw, on: 2025-10-01, cost: {october}, write off: 5 years",
    )
    assert offs["lift", 2025] == first_year


def test_the_last_day_of_september_is_not_in_the_last_three_months(shop: ShopWriter) -> None:
    offs = write_offs(shop, "tool: saw, on: 2025-09-30, cost: 1000.00, write off: 5 years")
    assert offs["saw", 2025] == "200.00"


def test_tools_of_another_year_do_not_count(shop: ShopWriter) -> None:
    offs = write_offs(
        shop,
        "tool: lift, on: 2024-02-15, cost: 6000.00, write off: 7 years",
        "tool: saw, on: 2025-10-01, cost: 6000.00, write off: 5 years",
    )
    assert (offs["lift", 2024], offs["saw", 2025]) == ("857.40", "300.00")  # 14.29%; table A-5, 5.00%
