"""Spans of days that the shop looks at: a month, a quarter, a year, or any days from a first to a last."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError

_YEAR: Final = re.compile(r"(?:19|20)[0-9]{2}")
_MONTH: Final = re.compile(rf"({_YEAR.pattern})-(0?[1-9]|1[0-2])")
_QUARTER: Final = re.compile(rf"({_YEAR.pattern})-Q([1-4])")
_DAYS: Final = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})\.\.([0-9]{4}-[0-9]{2}-[0-9]{2})")
_MONTHS: Final = 12
_IN_A_QUARTER: Final = 3


@dataclass(frozen=True, slots=True, order=True)
class Month:
    """A calendar month: what the books are closed by."""

    year: int
    number: int

    @classmethod
    def read(cls, text: str) -> Month:
        """Read `2026-03`."""
        typed = _MONTH.fullmatch(text.strip())
        if typed is not None:
            return cls(int(typed[1]), int(typed[2]))
        raise RefusedError("month", f"'{text}'", "a month is YYYY-MM, as in 2026-03", "Type it so.")

    @property
    def first(self) -> date:
        """Its first day."""
        return date(self.year, self.number, 1)

    @property
    def last(self) -> date:
        """Its last day."""
        return date(self.year, self.number, calendar.monthrange(self.year, self.number)[1])

    @property
    def days(self) -> Period:
        """All its days."""
        return Period(self.first, self.last)

    def __str__(self) -> str:
        """YYYY-MM."""
        return f"{self.year:04d}-{self.number:02d}"


@dataclass(frozen=True, slots=True, order=True)
class Period:
    """Any span of days, both ends included; equal to every other of the same days."""

    first: date
    last: date

    def __post_init__(self) -> None:
        """Refuse a span that ends before it begins."""
        if self.last < self.first:
            raise RefusedError(
                "last day",
                self.last.isoformat(),
                f"the first is {self.first.isoformat()}",
                "Type a day on or after it.",
            )

    @classmethod
    def of_month(cls, year: int, number: int) -> Period:
        """Give a calendar month."""
        return Month(year, number).days

    @classmethod
    def of_quarter(cls, year: int, number: int) -> Period:
        """Give a quarter of a calendar year, from 1 to 4."""
        last = number * _IN_A_QUARTER
        return cls(Month(year, last - _IN_A_QUARTER + 1).first, Month(year, last).last)

    @classmethod
    def of_year(cls, year: int) -> Period:
        """Give a calendar year: the tax year of a sole proprietor who chose no other."""
        return cls(date(year, 1, 1), date(year, 12, 31))

    @classmethod
    def read(cls, text: str) -> Period:
        """Read `2026`, `2026-03`, `2026-Q1` or `2026-02-15..2026-03-14`."""
        typed = text.strip()
        if _YEAR.fullmatch(typed):
            return cls.of_year(int(typed))
        if found := _MONTH.fullmatch(typed):
            return cls.of_month(int(found[1]), int(found[2]))
        if found := _QUARTER.fullmatch(typed):
            return cls.of_quarter(int(found[1]), int(found[2]))
        if found := _DAYS.fullmatch(typed):
            try:
                return cls(date.fromisoformat(found[1]), date.fromisoformat(found[2]))
            except RefusedError:
                raise
            except ValueError:
                pass
        rule = "a period is YYYY, YYYY-MM, YYYY-Q1 to YYYY-Q4, or its first and last day as in 2026-02-15..2026-03-14"
        raise RefusedError("period", f"'{text}'", rule, "Type it so.")

    @classmethod
    def read_year(cls, text: str) -> Period:
        """Read `2026`."""
        if _YEAR.fullmatch(text.strip()):
            return cls.of_year(int(text))
        raise RefusedError("year", f"'{text}'", "a year is YYYY, as in 2026", "Type it so.")

    @property
    def months(self) -> tuple[Month, ...]:
        """Every month that it touches, in order."""
        begin, end = (day.year * _MONTHS + day.month - 1 for day in (self.first, self.last))
        return tuple(Month(place // _MONTHS, place % _MONTHS + 1) for place in range(begin, end + 1))

    @property
    def month(self) -> Month | None:
        """The month that it is, from its first to its last day; None where it is none."""
        month = self.months[0]
        return month if self == month.days else None

    @property
    def lies_in_one_month(self) -> bool:
        """Whether all its days are of one month, be it the whole of it or a part."""
        return len(self.months) == 1

    @property
    def is_year(self) -> bool:
        """Whether it is a calendar year."""
        return self == Period.of_year(self.first.year)

    @property
    def year_before(self) -> Period:
        """The calendar year before the one in which it begins."""
        return Period.of_year(self.first.year - 1)

    @property
    def noun(self) -> str:
        """What such a span is called: a year, a month, a quarter or a period."""
        if self.is_year:
            return "year"
        if self.month is not None:
            return "month"
        return "quarter" if self == self._quarter[1] else "period"

    @property
    def _quarter(self) -> tuple[int, Period]:
        """Give the quarter in which it begins, by number and days."""
        number = (self.first.month - 1) // _IN_A_QUARTER + 1
        return number, Period.of_quarter(self.first.year, number)

    def __str__(self) -> str:
        """Give the shortest name that `read` takes for it; it can stand in the name of a file."""
        names = {
            "year": f"{self.first.year:04d}",
            "month": str(self.months[0]),
            "quarter": f"{self.first.year:04d}-Q{self._quarter[0]}",
        }
        return names.get(self.noun, f"{self.first.isoformat()}..{self.last.isoformat()}")
