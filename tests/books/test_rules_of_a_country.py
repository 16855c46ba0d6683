"""A country is data: what a profile must hold to be used, what it refuses of a shop, and a third one made by the recipe."""

from __future__ import annotations

import ast
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from shop_writer import REPOSITORY, ShopWriter
from year_forms import piece, said, under

from flipbook.books import profile, rulebook
from flipbook.books.profile import RulesRefused
from flipbook.books.terms import EXPENSE_OF, RowKind, Term
from flipbook.shop.records.expenses import EXPENSE_KINDS
from flipbook.shop.records.setup import RULES

Rewrite = Callable[[str, str, str], None]


@pytest.fixture
def rules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the rules that a test may change."""
    copy = tmp_path / "rules"
    shutil.copytree(rulebook.RULES, copy)
    kept = (rulebook.document, rulebook.rule, profile.profile, profile.profiles)
    monkeypatch.setattr(rulebook, "RULES", copy)
    for cached in kept:
        cached.cache_clear()
    yield copy
    for cached in kept:
        cached.cache_clear()


def rewrite(rules: Path, name: str, old: str, new: str) -> None:
    path = rules / f"{name}.yaml"
    text = path.read_text("utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}.yaml"
    path.write_text(text.replace(old, new), "utf-8")


def line_of(rules: Path, name: str, words: str) -> int:
    """The line of a profile that holds some words."""
    (number,) = [
        n for n, line in enumerate((rules / f"{name}.yaml").read_text("utf-8").splitlines(), 1) if words in line
    ]
    return number


BROKEN = [
    # profile, what stands there, what it becomes, the line that is named, what is said of it
    ("us", "Inventory at end of year, sum: [closing]", "Inventory at end of year, sum: []", '{key: "41"',
     "line 41 of the form: it is the sum of nothing"),
    ("us", "sum: [supplies]", "sum: [supplies, rent]", '{key: "22"', "line 22 of the form: `rent` stands on more lines than one"),
    ("us", "sum: [delivery, software, ", "sum: [software, ", "lines:", "`delivery` stands on no line"),
    ("us", 'plus: ["7"], less: ["28"]', 'plus: ["7"], less: ["82"]', '{key: "29"', "line 29 of the form: it is made of line `82`"),
    ("us", '"21", "22", "23", 24a', '"21", "23", 24a', '{key: "31"', "line 31 of the form: it counts `supplies` 0 times, and should count it -1"),
    ("us", 'plus: ["35", "36", "38"]', 'plus: ["35", "36"]', '{key: "42"', "it counts `materials` 0 times, and should count it 1"),
    ("us", "sum: [refund]", "sum: [-refund]", '{key: "31"', "it counts `refund` 1 times, and should count it -1"),
    ("us", 'plus: ["3"], less: ["4"]', 'plus: ["31"], less: ["4"]', '{key: "5"', "it is made of itself"),
    ("us", "sum: [advertising]", "sum: [advertizing]", '{key: "8"', "line 8 of the form: "),
    ("us", "home workshop: {area", "home workshp: {area", "home workshp", "`home workshp`: "),
    ("us", 'cost of goods sold: "42"', 'cost of goods sold: "24"', 'goods sold: "24"', "`cost of goods sold`: there is no line `24`"),
    ("us", "helpers: us_1099_nec", "helpers: us_1099", "# Schedule C", "there are no rules `us_1099`"),
    ("us", "currency: USD", "currency: dollars", "currency: dollars", "`currency`: "),
    ("us", "home workshop: {area: us_home_workshop_area, rate: us_home_workshop_rate}\n", "", '{key: "30"', "`home-workshop` stands there"),
    ("uk", "outside profit: [write-offs, tools-at-once]", "outside profit: []", "{key: net", "it counts `write-offs` 0 times"),
    ("plain", "sum: [-closing]", "sum: [closing]", "{key: profit", "it counts `closing` -1 times"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "old", "new", "line", "says"), BROKEN)
def test_a_profile_that_does_not_hold_is_refused_with_its_line(
    rules: Path, shop: ShopWriter, name: str, old: str, new: str, line: str, says: str
) -> None:
    rewrite(rules, name, old, new)
    if name == "us" and line == "United States":
        line = "# Schedule C"
    with pytest.raises(RulesRefused) as refused:
        profile.profile(name)
    where = f"flipbook/books/rules/{name}.yaml:{line_of(rules, name, line)}: "
    assert any(fault.says.startswith(where) and says in fault.says for fault in refused.value.faults)
    outcome = under(piece(shop, "stool", "found: {on: 2026-01-05, cost: 10.00}\n"), name).check()
    assert outcome.books is None
    assert {(p.name, p.place.file, p.place.line) for p in outcome.problems} == {("rules-do-not-hold", "shop.yaml", 3)}


def test_the_cost_of_what_is_in_hand_is_never_left_out_of_a_form_in_silence(rules: Path, shop: ShopWriter) -> None:
    """75.00 bought and 10.00 of it sold: with no line for what is left, line 42 would say 75.00."""
    piece(shop, "stool", "found: {on: 2026-01-05, cost: 10.00}\nsold: {on: 2026-02-01, price: 40.00}\n")
    piece(shop, "chest", "found: {on: 2026-01-06, cost: 65.00}\n")
    assert said(under(shop, "us").books(), 2026)["42"] == "10.00"
    rewrite(rules, "us", "Inventory at end of year, sum: [closing]", "Inventory at end of year, sum: []")
    profile.profile.cache_clear()
    rulebook.document.cache_clear()
    (first, *_) = shop.problems()
    assert "us.yaml" in first.says
    assert "line 41" in first.says


MONEY = [
    # Each country's tax is reckoned in its own money; plain has no country.
    ("us", "EUR", "write `currency: USD`, or `rules: plain`"),
    ("us", "GBP", "write `currency: USD`, or `rules: plain` or `rules: uk`"),
    ("uk", "USD", "write `currency: GBP`, or `rules: plain` or `rules: us`"),
]


@pytest.mark.parametrize(("name", "currency", "write"), MONEY)
def test_rules_of_a_country_with_another_currency_are_refused(
    shop: ShopWriter, name: str, currency: str, write: str
) -> None:
    shop.write({"shop.yaml": f"shop: S\ncurrency: {currency}\ntax:\n  rules: {name}\n"})
    (problem,) = shop.problems()
    assert (problem.name, str(problem.place), problem.warning) == ("another-currency", "shop.yaml:4", False)
    assert problem.help == write


@pytest.mark.parametrize("currency", ["USD", "GBP", "EUR", "SEK"])
def test_plain_rules_take_any_currency(shop: ShopWriter, currency: str) -> None:
    shop.write({"shop.yaml": f"shop: S\ncurrency: {currency}\ntax: {{rules: plain}}\n"})
    assert shop.problems() == []


CA = """\
country: Canada
form: T2125
currency: CAD
distance: km
year starts: 01-01
miles: [ca_distance]
purpose on trips: yes
tools: evenly
home workshop: {area: ca_area, rate: ca_rate}
lines:
  - {key: "8299", caption: Gross business income, sum: [sale, delivery-charged, -refund, other-income]}
  - {key: "8518", caption: Cost of goods sold, sum: [opening, found, materials, -closing], total: yes}
  - key: "9368"
    caption: Total expenses
    sum: [supplies, rent, insurance, advertising, selling-fees, card-fees, delivery, repairs, office, phone, software,
          licences, professional, training, travel, utilities, contract-labour, bank, vehicle, other, sale-fees, write-offs,
          tools-at-once, driving]
    itemised: yes
  - {key: "9945", caption: Business use of home, sum: [home-workshop]}
  - {key: "9946", caption: Net income, plus: ["8299"], less: ["8518", "9368", "9945"], total: yes}
profit: "9946"
cost of goods sold: "8518"
"""
FIGURE = """\
what: An invented figure, for a test of a third country.
unit: dollars
chosen by: the day
known through: 2026-12-31
figures:
  2020-01-01: {is: "%s", source: invented for this test}
"""


@pytest.fixture
def a_third_country(rules: Path, shop: ShopWriter) -> ShopWriter:
    """A profile made by the recipe, and a shop under it. The figures of it are invented."""
    (rules / "ca.yaml").write_text(CA, "utf-8")
    for name, figure in (("ca_distance", "0.70"), ("ca_area", "100"), ("ca_rate", "2.00")):
        (rules / f"{name}.yaml").write_text(FIGURE % figure, "utf-8")
    piece(
        shop,
        "stool",
        "found: {on: 2026-01-05, cost: 10.00}\n"
        "trips: [{on: 2026-01-05, km: 50, to: Mill Road, why: collect it}, {on: 2026-02-01, miles: 10, to: Mill Road}]\n"
        "sold: {on: 2026-02-01, price: 400.00}\n",
    )
    return shop.write({"shop.yaml": "shop: S\ncurrency: CAD\ntax: {rules: ca, home workshop: 120 sq ft}\n"})


def test_a_third_country_works_from_its_data_alone(a_third_country: ShopWriter) -> None:
    books = a_third_country.books()
    # 50 km at 0.70 = 35.00; 10 miles are 16.09344 km = 11.265408, 11.27; at most 100 sq ft at 2.00 = 200.00.
    # 400.00 - 10.00 - 46.27 - 200.00 = 143.73
    assert said(books, 2026) == {"8299": "400.00", "8518": "10.00", "9368": "46.27", "9945": "200.00", "9946": "143.73"}
    assert [problem.name for problem in a_third_country.problems()] == ["no-purpose"]
    (sheet,) = books.sheets
    assert sheet.miles == books.sheets[0].trips[0].miles + 10


def test_a_third_country_is_told_to_write_its_own_name(a_third_country: ShopWriter) -> None:
    text = (a_third_country.root / "shop.yaml").read_text("utf-8")
    for old, new, name, words in (
        ("currency: CAD", "currency: USD", "another-currency", "write `currency: CAD`"),
        ("rules: ca", "rules: uk", "home-workshop", "`rules: ca` or `rules: us`"),
        ("rules: ca", "rules: caa", "rules", "write `ca`"),
    ):
        a_third_country.write({"shop.yaml": text.replace(old, new)})
        (problem,) = [p for p in a_third_country.problems() if p.name == name]
        assert words in problem.help


def test_a_third_country_s_drives_are_shown_in_its_own_unit(a_third_country: ShopWriter, tmp_path: Path) -> None:
    from flipbook.compile import compile_shop

    assert compile_shop(a_third_country.root, tmp_path / "out").books is not None
    rows = (tmp_path / "out" / "books" / "trips-2026.csv").read_text("utf-8").splitlines()
    assert rows[0] == "date,piece,to,why,km,rate,amount"
    assert rows[1:] == [
        "2026-01-05,stool,Mill Road,collect it,50,0.70,35.00",
        "2026-02-01,stool,Mill Road,,16.0934,0.70,11.27",
    ]


def test_every_kind_of_expense_is_a_row_and_all_but_sales_tax_a_term() -> None:
    assert set(EXPENSE_KINDS) <= set(map(str, RowKind))
    assert set(map(str, EXPENSE_OF)) == set(EXPENSE_KINDS) - {"sales-tax"}


@pytest.mark.parametrize("name", profile.profiles())
def test_every_term_stands_on_one_line(name: str) -> None:
    form = profile.profile(name)
    stand = [part.term for line in form.lines for part in line.terms]
    assert len(stand) == len(set(stand))
    assert set(Term) - set(stand) <= {Term.DRIVING, Term.HOME_WORKSHOP}
    assert (Term.DRIVING in stand) == bool(form.miles)
    assert (Term.HOME_WORKSHOP in stand) == (form.home_workshop is not None)


def test_no_country_is_named_outside_the_rules_and_the_list_of_what_may_be_named() -> None:
    assert set(profile.profiles()) == set(RULES)
    named = {
        (path.relative_to(REPOSITORY).as_posix(), node.value)
        for path in (REPOSITORY / "flipbook").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if node.value in RULES or node.value.startswith(tuple(f"{rules}_" for rules in RULES))
    }
    assert named == {("flipbook/shop/records/setup.py", rules) for rules in RULES}
