"""Tax years: when they start, and which a day falls in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

CALENDAR = (1, 1)


@dataclass(frozen=True, slots=True, order=True)
class TaxYear:
    """A tax year, named after the calendar year in which it starts; both ends belong to it."""

    name: int
    start: date
    end: date

    def __contains__(self, day: date) -> bool:
        return self.start <= day <= self.end

    @property
    def title(self) -> str:
        """The year as a heading has it: 2025, or the two calendar years it touches."""
        return str(self.name) if self.end.year == self.name else f"{self.name}/{self.end.year % 100:02}"


def year_of(day: date, starts: tuple[int, int] = CALENDAR) -> TaxYear:
    """The tax year that `day` falls in, for years that start on `starts` (month, day)."""
    start = date(day.year, *starts)
    if day < start:
        start = date(day.year - 1, *starts)
    return TaxYear(start.year, start, date(start.year + 1, *starts) - timedelta(days=1))


def years_between(first: date, last: date, starts: tuple[int, int] = CALENDAR) -> list[TaxYear]:
    """Every tax year from the one of `first` to the one of `last`."""
    names = range(year_of(first, starts).name, year_of(last, starts).name + 1)
    return [year_of(date(name, *starts), starts) for name in names]
