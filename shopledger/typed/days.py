"""Days as they are typed: in figures, with the month's name, or as a word such as `yesterday`.

    2026-03-02, 3/2/2026 (month first), 3/2/26, 2 Mar 2026, March 2, 2026, today, yesterday, monday

Whoever reads one says which day today is; nothing here looks at a clock. A year of two digits is the last one with
these digits that lies no more than ten years ahead: right for a sale of last year and for a bill that is due next year.
A birth day is the last such day that is not to come. A weekday is the last one before today. On that weekday itself it
could be today or a week ago, and where a coming day is wanted it could be the next one: both are refused with the days
that it could be.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError, listed

YEARS_AHEAD: Final = 10
"""How far ahead a year of two digits may lie (common practice, no source)."""
ALLOWED: Final = (
    "a day is typed as 2026-03-02, 3/2/2026 with the month first, 2 Mar 2026, today, yesterday or a weekday"
)
WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_YEAR: Final = "january february march april may june july august september october november december"
_MONTHS: Final = tuple(_YEAR.split())
_TURNED: Final = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_SLASHED: Final = re.compile(r"([0-9]{1,2})/([0-9]{1,2})/([0-9]{4}|[0-9]{2})")
_DAY_FIRST: Final = re.compile(r"([0-9]{1,2}) ([a-z]+)(?: |, ?)([0-9]{4}|[0-9]{2})")
_MONTH_FIRST: Final = re.compile(r"([a-z]+) ([0-9]{1,2})(?: |, ?)([0-9]{4}|[0-9]{2})")
_CENTURY: Final = 100
_NAMED_BY: Final = 3


class Wanted(Enum):
    """Which kind of day is asked for, where that decides what a short form means."""

    DEED = "deed"
    """Of what happened: a weekday is one that has been."""
    COMING = "coming"
    """Of what is to come, such as the last day of an offer: a weekday could be the next one."""
    BIRTH = "birth"
    """Of a birth, which is never to come and may lie a hundred years back."""


def read_day(text: str, field: str = "day", *, today: date, wanted: Wanted = Wanted.DEED) -> date:
    """Read a day, or refuse it; what could mean two days is refused with both."""
    typed = " ".join(text.casefold().split())
    found = _word(typed, field, today, wanted)
    if found is None:
        found = _dated(typed, text, field, today, wanted)
    from shopledger.ledger.limits import hold_day

    return hold_day(field, found)


def _word(typed: str, field: str, today: date, wanted: Wanted) -> date | None:
    """Give the day that a word means, seen from today."""
    if typed in ("today", "yesterday"):
        return today - timedelta(days=typed == "yesterday")
    if typed not in WEEKDAYS:
        return None
    back = (today.weekday() - WEEKDAYS.index(typed)) % len(WEEKDAYS)
    last = today - timedelta(days=back or len(WEEKDAYS))
    coming = last + timedelta(days=len(WEEKDAYS))
    if wanted is Wanted.COMING or not back:
        raise RefusedError(field, f"'{typed}'", "that could be two days", _either(last, coming))
    return last


def _dated(typed: str, text: str, field: str, today: date, wanted: Wanted) -> date:
    """Read a day in figures, or with its month's name."""
    if turned := _TURNED.fullmatch(typed):
        year, month, day = turned.groups()
    elif slashed := _SLASHED.fullmatch(typed):
        month, day, year = slashed.groups()
        if int(month) > len(_MONTHS):
            raise RefusedError(field, f"'{typed}'", *_not_month_first(int(month), int(day), year, today, wanted))
    elif named := _DAY_FIRST.fullmatch(typed):
        day, month, year = named.groups()
    elif named := _MONTH_FIRST.fullmatch(typed):
        month, day, year = named.groups()
    else:
        raise RefusedError(field, f"'{text.strip()}'", ALLOWED, "Type it so.")
    number = _month(month)
    if number is None:
        raise RefusedError(field, f"'{text.strip()}'", f"no month is called '{month}'", "Type it like 2 Mar 2026.")
    found = next(_days(year, number, int(day), today, wanted), None)
    if found is None:
        raise RefusedError(field, f"'{text.strip()}'", "there is no such day", "Look at the calendar.")
    return found


def _month(typed: str) -> int | None:
    """Give the number of a month by its figures, its name, or the first three letters of that."""
    if typed.isdigit():
        return int(typed)
    names = (at for at, name in enumerate(_MONTHS, start=1) if typed in (name, name[:_NAMED_BY]))
    return next(names, None)


def _days(year: str, month: int, day: int, today: date, wanted: Wanted) -> Iterator[date]:
    """Give the days with these figures that a year as typed may mean, the likeliest first."""
    if len(year) > 2:
        years = [int(year)]
    else:
        last = today.year if wanted is Wanted.BIRTH else today.year + YEARS_AHEAD
        newest = last - (last - int(year)) % _CENTURY
        years = [newest, newest - _CENTURY]
    for each in years:
        try:
            found = date(each, month, day)
        except ValueError:
            continue
        if len(years) == 1 or wanted is not Wanted.BIRTH or found <= today:
            yield found


def _not_month_first(first: int, second: int, year: str, today: date, wanted: Wanted) -> tuple[str, str]:
    """Say why a day with slashes is none, and what it could be with the day or the year first."""
    could_be = [*_days(year, second, first, today, wanted)][:1]
    if len(year) == 2:
        could_be += [*_days(f"{first:02d}", second, int(year), today, wanted)][:1]
    why = f"the month stands first between slashes, and {first} is no month"
    return why, _either(*could_be) if could_be else "Look at the calendar."


def _either(*days: date) -> str:
    """Say what to type for each of the days that it could be."""
    said = [
        f"{day.isoformat()} for {WEEKDAYS[day.weekday()].capitalize()}, {_written(day)}" for day in dict.fromkeys(days)
    ]
    return f"Type {listed(said)}."


def _written(day: date) -> str:
    return f"{_MONTHS[day.month - 1].capitalize()} {day.day}, {day.year}"
