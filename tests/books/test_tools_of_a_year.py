"""Tools that last: at once, by section 179, over 5 and 7 years, and sold.

Sources: IRS Notice 2015-82 and Treas. Reg. 1.263(a)-1(f) (2,500.00, "does not exceed"); 26 USC 179(b) (limits);
IRS Publication 946, tables A-1 to A-5; 26 USC 168(d)(3) (mid-quarter); 168(d)(4) (a sale at the middle of its
period); instructions for Form 4562, the decimals for a year of disposal.
"""

from __future__ import annotations

import pytest
from shop_writer import ShopWriter
from year_forms import errors, items, said, under, year_of_books


def tools(shop: ShopWriter, *written: str, seen: str = "") -> ShopWriter:
    """Write tools.yaml; a piece's asking prices on the days `seen` carry the books on to later years."""
    shop.write({"tools.yaml": "tools:\n" + "".join(f"  - {{{one}}}\n" for one in written)})
    if seen:
        asked = ", ".join(f"{{on: {day}, price: 10.00}}" for day in seen.split())
        shop.write({"pieces/stool/piece.yaml": f"piece: stool\ncustomer: yes\nasking: [{asked}]\n"})
    return under(shop, "us")


def written_off(shop: ShopWriter, name: str) -> dict[int, str]:
    return {off.year: f"{off.amount}" for off in shop.books().write_offs if off.tool.tool == name}


@pytest.mark.parametrize(
    ("on", "cost", "wanted"),
    [
        ("2025-03-01", "2500.00", set()),
        ("2025-03-01", "2500.01", {"over-the-limit"}),
        ("2016-01-01", "2500.00", set()),
        ("2015-12-31", "500.00", set()),
        ("2015-12-31", "500.01", {"over-the-limit"}),
    ],
)
def test_the_limit_for_writing_off_at_once(shop: ShopWriter, on: str, cost: str, wanted: set[str]) -> None:
    assert errors(tools(shop, f"tool: sander, on: {on}, cost: {cost}, write off: at once")) == wanted


def test_tools_written_off_at_once_are_other_expenses(shop: ShopWriter) -> None:
    shop = tools(
        shop,
        "tool: sander, on: 2025-01-10, cost: 129.00, write off: at once",
        "tool: extractor, on: 2025-03-01, cost: 2500.00, write off: at once",
    )
    # 129.00 + 2,500.00 = 2,629.00, no part of it on line 13.
    assert said(shop.books(), 2025) == {
        "27b": "2629.00", "28": "2629.00", "29": "-2629.00", "31": "-2629.00", "48": "2629.00",
    }  # fmt: skip
    assert items(shop.books(), 2025) == {"tools at once": "2629.00"}


@pytest.mark.parametrize(
    ("on", "costs", "wanted"),
    [
        ("2025-05-01", ("2500000.00",), set()),  # P.L. 119-21 section 70306
        ("2025-05-01", ("2500000.01",), {"over-the-limit"}),
        ("2026-05-01", ("1000000.00", "1560000.00"), set()),  # Rev. Proc. 2025-32
        ("2026-05-01", ("1000000.00", "1560000.01"), {"over-the-limit"}),
        ("2024-05-01", ("1220000.00",), set()),  # Rev. Proc. 2023-34, from memory
        ("2024-05-01", ("1220000.01",), {"over-the-limit"}),
        ("2017-05-01", ("100.00",), {"no-figure"}),  # before the first year known
        ("2027-05-01", ("100.00",), {"no-figure"}),  # after the last
    ],
)
def test_the_limit_of_section_179_is_for_all_of_a_years_tools(
    shop: ShopWriter, on: str, costs: tuple[str, ...], wanted: set[str]
) -> None:
    written = [f"tool: tool {n}, on: {on}, cost: {cost}, write off: section 179" for n, cost in enumerate(costs)]
    assert errors(tools(shop, *written)) == wanted


def test_section_179_is_on_line_13_whole_in_its_first_year(shop: ShopWriter) -> None:
    shop = tools(shop, "tool: lift, on: 2024-12-01, cost: 2890.00, write off: section 179", seen="2025-02-01")
    assert said(shop.books(), 2024)["13"] == "2890.00"
    assert said(shop.books(), 2025) == {}


@pytest.mark.parametrize(
    ("cost", "over", "amounts"),
    [
        # Table A-1. Running percents 14.29 38.78 56.27 68.76 77.69 86.61 95.54 100 of 2,890.00:
        # 412.981 1,120.742 1,626.203 1,987.164 2,245.241 2,503.029 2,761.106 2,890.00, each to the cent, one less the other.
        ("2890.00", "7 years", "412.98 707.76 505.46 360.96 258.08 257.79 258.08 128.89"),
        # 20 52 71.20 82.72 94.24 100 of 1,234.56: 246.912 641.9712 879.00672 1,021.228 1,163.449 1,234.56.
        ("1234.56", "5 years", "246.91 395.06 237.04 142.22 142.22 71.11"),
    ],
)
def test_a_tool_over_years_by_the_half_year_table(shop: ShopWriter, cost: str, over: str, amounts: str) -> None:
    shop = tools(shop, f"tool: lift, on: 2024-03-01, cost: {cost}, write off: {over}", seen="2026-01-05")
    wanted = amounts.split()
    assert list(written_off(shop, "lift").values()) == wanted
    assert [said(shop.books(), year)["13"] for year in (2024, 2025, 2026)] == wanted[:3]
    assert f"{sum(map(float, wanted)):.2f}" == cost


@pytest.mark.parametrize(
    ("last_quarter", "first", "second", "reckoned"),
    [
        # 3,000.00 in February; the other in November. 40% of all that is written off over years.
        ("2000.00", "428.70", "285.80", "2,000.00 is 40% of 5,000.00 and not over: 14.29% of each"),
        ("2000.01", "750.00", "71.40", "one cent over: table A-2, 25.00%, and table A-5, 3.57% of 2,000.01 = 71.400"),
    ],
)
def test_mid_quarter_at_and_over_forty_percent(
    shop: ShopWriter, last_quarter: str, first: str, second: str, reckoned: str
) -> None:
    shop = tools(
        shop,
        "tool: lift, on: 2025-02-10, cost: 3000.00, write off: 7 years",
        f"tool: saw, on: 2025-11-10, cost: {last_quarter}, write off: 7 years",
    )
    assert (written_off(shop, "lift")[2025], written_off(shop, "saw")[2025]) == (first, second), reckoned


@pytest.mark.parametrize("write_off", ["section 179", "at once"])
def test_what_is_written_off_in_full_does_not_count_towards_the_forty_percent(shop: ShopWriter, write_off: str) -> None:
    """IRS Publication 946: the basis is reduced by section 179 before the test."""
    shop = tools(
        shop,
        "tool: lift, on: 2025-02-10, cost: 3000.00, write off: 7 years",
        f"tool: press, on: 2025-12-01, cost: 2400.00, write off: {write_off}",
    )
    assert written_off(shop, "lift")[2025] == "428.70"  # 14.29% of 3,000.00


def test_a_tool_bought_and_sold_in_one_year_does_not_count_towards_the_forty_percent(shop: ShopWriter) -> None:
    """26 USC 168(d)(3)(B)(ii): property placed in service and disposed of in one year is left out of the test."""
    shop = tools(
        shop,
        "tool: lift, on: 2025-02-10, cost: 3000.00, write off: 7 years",
        "tool: press, on: 2025-11-01, cost: 9000.00, write off: 7 years, sold: {on: 2025-12-20, price: 8000.00}",
    )
    assert written_off(shop, "lift")[2025] == "428.70"  # 14.29% of 3,000.00


def test_a_tool_sold_takes_half_of_its_last_year(shop: ShopWriter) -> None:
    shop = tools(
        shop,
        "tool: lift, on: 2024-03-01, cost: 2890.00, write off: 7 years, sold: {on: 2026-06-10, price: 1000.00}",
        seen="2026-12-01",
    )
    # Half of 505.46 = 252.73. Left: 2,890.00 - 412.98 - 707.76 - 252.73 = 1,516.53; 1,000.00 - 1,516.53 = -516.53.
    assert written_off(shop, "lift") == {2024: "412.98", 2025: "707.76", 2026: "252.73"}
    (sale,) = year_of_books(shop.books(), 2026).tool_sales
    assert (f"{sale.price}", f"{sale.not_written_off}", f"{sale.gain}") == ("1000.00", "1516.53", "-516.53")
    # The gain or loss belongs on another form: on Schedule C there is the half year and no more.
    assert said(shop.books(), 2026) == {"13": "252.73", "28": "252.73", "29": "-252.73", "31": "-252.73"}
    assert [(row.kind, f"{row.money_in}") for row in shop.books().ledger if row.money_in] == [("tool", "1000.00")]


@pytest.mark.parametrize(
    ("sold_on", "last_year", "reckoned"),
    [
        # A tool of 10,000.00, 5 years, in December 2021, the only one of the year: table A-5, fourth year 13.68%.
        ("2024-01-15", "171.00", "1,368.00 x 0.125"),
        ("2024-04-06", "513.00", "1,368.00 x 0.375; the worked example of IRS Publication 946, from memory"),
        ("2024-09-30", "855.00", "1,368.00 x 0.625"),
        ("2024-10-01", "1197.00", "1,368.00 x 0.875"),
    ],
)
def test_a_tool_sold_under_mid_quarter_takes_its_year_up_to_the_middle_of_the_quarter(
    shop: ShopWriter, sold_on: str, last_year: str, reckoned: str
) -> None:
    shop = tools(
        shop,
        f"tool: lift, on: 2021-12-02, cost: 10000.00, write off: 5 years, sold: {{on: {sold_on}, price: 1.00}}",
        seen="2024-12-01",
    )
    # 5.00%, 38.00% and 22.80% of 10,000.00 before it.
    assert written_off(shop, "lift") == {2021: "500.00", 2022: "3800.00", 2023: "2280.00", 2024: last_year}, reckoned


def test_a_tool_bought_and_sold_in_one_year_is_not_written_off(shop: ShopWriter) -> None:
    """Treas. Reg. 1.168(d)-1(b)(3)(ii), from memory: nothing is allowed for such property."""
    shop = tools(
        shop, "tool: lift, on: 2025-02-01, cost: 2890.00, write off: 7 years, sold: {on: 2025-09-01, price: 2600.00}"
    )
    assert said(shop.books(), 2025) == {}
    (sale,) = year_of_books(shop.books(), 2025).tool_sales
    assert (f"{sale.not_written_off}", f"{sale.gain}") == ("2890.00", "-290.00")


@pytest.mark.parametrize(("write_off", "price"), [("at once", "60.00"), ("section 179", "60.00")])
def test_a_tool_already_written_off_is_all_gain(shop: ShopWriter, write_off: str, price: str) -> None:
    shop = tools(
        shop,
        f"tool: sander, on: 2024-01-10, cost: 129.00, write off: {write_off}, sold: {{on: 2025-05-01, price: {price}}}",
        seen="2025-06-01",
    )
    (sale,) = year_of_books(shop.books(), 2025).tool_sales
    assert (f"{sale.not_written_off}", f"{sale.gain}") == ("0.00", "60.00")
    assert said(shop.books(), 2025) == {}


def test_a_tool_sold_in_a_year_in_which_nothing_else_is_logged(shop: ShopWriter) -> None:
    """FORMAT.md, "What compile writes into out/books": years run to the last with anything in it, and a tool's sale is something."""
    shop = tools(
        shop, "tool: sander, on: 2024-01-10, cost: 129.00, write off: at once, sold: {on: 2025-05-01, price: 60.00}"
    )
    books = shop.books()
    assert [year.year.name for year in books.years] == [2024, 2025]
    assert [f"{sale.gain}" for sale in year_of_books(books, 2025).tool_sales] == ["60.00"]


def test_a_tool_under_plain_rules_is_written_off_evenly_and_what_is_left_goes_with_its_sale(shop: ShopWriter) -> None:
    """Common practice, no source: so many equal parts, from the year it was paid."""
    tools(
        shop,
        "tool: lift, on: 2023-11-01, cost: 1000.00, write off: 5 years, sold: {on: 2025-05-01, price: 300.00}",
        seen="2025-06-01",
    )
    books = under(shop, "plain").books()
    # 200.00 a year; in 2025 another 200.00 and 1,000.00 - 600.00 - 300.00 = 100.00 of loss.
    assert [said(books, year)["tool"] for year in (2023, 2024, 2025)] == ["200.00", "200.00", "300.00"]
    assert said(books, 2025)["profit"] == "-300.00"


def test_a_tool_under_uk_rules_stands_among_the_allowances_and_not_in_the_profit(shop: ShopWriter) -> None:
    tools(shop, "tool: lift, on: 2025-05-01, cost: 1000.00, write off: 5 years")
    # Box 23, annual investment allowance; boxes 20 and 21 are without it (SA103S, the note above box 23).
    assert said(under(shop, "uk").books(), 2025) == {"23": "1000.00"}
