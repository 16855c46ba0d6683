"""Every rules file can be read, and each of its figures says since when it holds and where it was published."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from flipbook.books.rulebook import RULES, NotPublished, document, rule

NAMES = sorted(path.stem for path in RULES.glob("*.yaml"))
DATED = [name for name in NAMES if "figures" in (RULES / f"{name}.yaml").read_text(encoding="utf-8")]


@pytest.mark.parametrize("name", NAMES)
def test_a_rules_file_can_be_read(name: str) -> None:
    assert isinstance(document(name), dict)


@pytest.mark.parametrize("name", DATED)
def test_a_figure_is_quoted_dated_and_has_its_source(name: str) -> None:
    said = document(name)
    assert isinstance(said["known through"], date)
    for since, figure in said["figures"].items():
        assert isinstance(since, date)
        assert isinstance(figure["is"], str), "quoted, so that it stays text"
        assert Decimal(figure["is"]) >= 0
        assert len(figure["source"]) > 5
        assert since <= said["known through"]


@pytest.mark.parametrize("name", DATED)
def test_a_figure_holds_up_to_the_last_day_known_and_not_a_day_longer(name: str) -> None:
    dated = rule(name)
    assert dated.on(dated.known_through) == dated.figures[-1].value
    for day in (dated.known_through + timedelta(days=1), dated.figures[0].since - timedelta(days=1)):
        with pytest.raises(NotPublished) as told:
            dated.on(day)
        assert told.value.write == f"add it, with its source, to flipbook/books/rules/{name}.yaml"
        assert f"{day}" in told.value.says
    for earlier, later in zip(dated.figures, dated.figures[1:], strict=False):
        assert dated.on(later.since - timedelta(days=1)) == earlier.value
        assert dated.on(later.since) == later.value


THRESHOLDS = [
    # rule, day, figure, source
    ("us_de_minimis", "2015-12-31", "500", "Treas. Reg. 1.263(a)-1(f)"),
    ("us_de_minimis", "2016-01-01", "2500", "IRS Notice 2015-82, restated"),
    ("us_section_179", "2018-01-01", "1000000", "P.L. 115-97; 26 USC 179(b)"),
    ("us_section_179", "2021-01-01", "1050000", "Rev. Proc. 2020-45, restated"),
    ("us_section_179", "2025-12-31", "2500000", "P.L. 119-21 section 70306; 26 USC 179(b)"),
    ("us_section_179", "2026-01-01", "2560000", "Rev. Proc. 2025-32, restated"),
    ("us_1099_k_amount", "2023-12-31", "20000", "IRS Notice 2023-74, restated"),
    ("us_1099_k_amount", "2024-12-31", "5000", "IRS Notice 2024-85, restated"),
    ("us_1099_k_amount", "2025-01-01", "20000", "P.L. 119-21 section 70432; 26 USC 6050W(e)"),
    ("us_1099_k_number", "2025-01-01", "200", "P.L. 119-21 section 70432; 26 USC 6050W(e)"),
    ("us_1099_nec", "2025-12-31", "600", "26 USC 6041(a) as it stood"),
    ("us_1099_nec", "2026-01-01", "2000", "P.L. 119-21 section 70433; 26 USC 6041(a)"),
    ("uk_mileage", "2025-06-01", "0.45", "GOV.UK, simplified expenses, vehicles"),
    ("uk_mileage_after", "2025-06-01", "0.25", "GOV.UK, simplified expenses, vehicles"),
    ("uk_mileage_threshold", "2025-06-01", "10000", "GOV.UK, simplified expenses, vehicles"),
]


@pytest.mark.parametrize(("name", "day", "figure", "source"), THRESHOLDS)
def test_a_threshold_is_what_was_published(name: str, day: str, figure: str, source: str) -> None:
    assert rule(name).on(date.fromisoformat(day)) == Decimal(figure), source
