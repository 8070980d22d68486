"""Days are read in the forms in which people write them, and what could mean two of them is refused with both."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.typed.days import WEEKDAYS, Wanted, read_day
from tests.strategies import DAYS

TODAY = date(2026, 3, 4)
"""A Wednesday."""

READ = [
    ("2026-03-02", date(2026, 3, 2)),
    (" 03/02/2026 ", date(2026, 3, 2)),
    ("3/14/23", date(2023, 3, 14)),
    ("3/14/2023", date(2023, 3, 14)),
    ("14 Mar 2023", date(2023, 3, 14)),
    ("14 march, 2023", date(2023, 3, 14)),
    ("Mar 14 2023", date(2023, 3, 14)),
    ("MARCH 14, 2023", date(2023, 3, 14)),
    ("sep 9,23", date(2023, 9, 9)),
    ("today", TODAY),
    ("Yesterday", date(2026, 3, 3)),
    ("Monday", date(2026, 3, 2)),
    ("thursday", date(2026, 2, 26)),
    ("12/31/36", date(2036, 12, 31)),
    ("12/31/37", date(1937, 12, 31)),
    ("2/29/00", date(2000, 2, 29)),
]

REFUSED = [
    ("14/3/23", "Type 2023-03-14 for Tuesday, March 14, 2023 or 2014-03-23 for Sunday, March 23, 2014."),
    ("14/3/2023", "Type 2023-03-14 for Tuesday, March 14, 2023."),
    ("31/2/2023", "14 is no month".replace("14", "31")),
    ("13/32/2026", "Look at the calendar."),
    ("wednesday", "Type 2026-02-25 for Wednesday, February 25, 2026 or 2026-03-04 for Wednesday, March 4, 2026."),
    ("2026-02-29", "there is no such day"),
    ("0/5/2026", "there is no such day"),
    ("14 Marz 2023", "no month is called 'marz'"),
    ("02.03.2026", "3/2/2026 with the month first"),
    ("20260302", "2026-03-02"),
    ("3/2", "2 Mar 2026"),
    ("14 Mar", "2 Mar 2026"),
    ("tomorrow", "yesterday or a weekday"),
    ("", "a day is typed as"),
    ("01/01/1850", "a day lies from 1890 to 2199"),
]


@pytest.mark.parametrize(("text", "day"), READ)
def test_a_day_is_read_in_the_forms_people_write(text: str, day: date) -> None:
    """In figures, with the month's name in any case, or as a word seen from today."""
    assert read_day(text, today=TODAY) == day


@pytest.mark.parametrize(("text", "said"), REFUSED)
def test_what_is_no_day_or_two_is_refused_with_what_to_type(text: str, said: str) -> None:
    """The sentence names the days that it could be, or the forms that are read."""
    with pytest.raises(RefusedError) as refusal:
        read_day(text, "day of writing", today=TODAY)
    assert str(refusal.value).startswith("day of writing is ")
    assert said in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "day"), [("3/14/47", 1947), ("3/3/26", 2026), ("3/5/26", 1926), ("3/14/27", 1927), ("3/14/2027", 2027)]
)
def test_a_birth_day_of_two_digits_is_never_to_come(text: str, day: int) -> None:
    """A baby of yesterday and somebody near a hundred are both read right; four digits are taken as they are."""
    assert read_day(text, "birth date", today=TODAY, wanted=Wanted.BIRTH).year == day


def test_a_weekday_is_refused_where_a_coming_day_is_wanted() -> None:
    """Lenses that should come on Friday come next Friday, an expense of Friday was last Friday: nobody can tell."""
    with pytest.raises(RefusedError, match=r"2026-02-27 for .* or 2026-03-06 for "):
        read_day("friday", today=TODAY, wanted=Wanted.COMING)


@given(DAYS)
def test_a_day_reads_the_same_in_every_form(day: date) -> None:
    """With all its digits it is the same day, whatever today is."""
    month = f"{day:%B}"
    forms = (
        day.isoformat(),
        day.strftime("%m/%d/%Y"),
        f"{day.month}/{day.day}/{day.year}",
        f"{day.day} {month[:3]} {day.year}",
        f"{month} {day.day}, {day.year}",
    )
    assert {read_day(form, today=TODAY) for form in forms} == {day}


@given(st.dates(date(1950, 1, 1), date(2100, 1, 1)), st.sampled_from(WEEKDAYS))
def test_a_weekday_is_one_of_the_last_six_days(today: date, weekday: str) -> None:
    """It is never today and never further back than a week."""
    if WEEKDAYS[today.weekday()] == weekday:
        with pytest.raises(RefusedError):
            read_day(weekday, today=today)
        return
    found = read_day(weekday, today=today)
    assert WEEKDAYS[found.weekday()] == weekday
    assert timedelta(1) <= today - found <= timedelta(6)


@given(st.dates(date(1950, 1, 1), date(2100, 1, 1)), DAYS)
def test_two_digits_lie_at_most_ten_years_ahead(today: date, day: date) -> None:
    """Nor is there a later year with these digits that would be near enough, but for a day that it does not have."""
    typed = f"{day.month}/{day.day}/{day.year % 100:02d}"
    found = read_day(typed, today=today)
    assert found.year <= today.year + 10
    assert found.year + 100 > today.year + 10 or (day.month, day.day) == (2, 29)
