"""Which copies are kept how long, and when the next is due."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.backups import BackupTerms, LastCopies, LedgerCopy, days_kept, reminder, superseded

TODAY = date(2026, 11, 27)
DAYS = st.sets(st.dates(date(2019, 1, 1), date(2030, 12, 31)), max_size=80)

BOTH_OLD = (
    "The last backup is 9 days old; the last copy outside this computer is 40 days old. Run 'shopledger backup make'."
)


def a_copy(day: date, file: str) -> LedgerCopy:
    """Give a copy of a day; what is in it does not matter here."""
    return LedgerCopy(day, "/copies", file, False, 1, "0" * 64, "0-0", "first", "1")


def test_daily_copies_of_three_years_thin_out() -> None:
    """Seven days, five weeks, twelve months and every year are left; each stands for itself on the calendar."""
    every = [TODAY - timedelta(days=back) for back in range(3 * 365)]
    kept = sorted(days_kept(every), reverse=True)
    assert kept[:7] == every[:7]
    # The Sundays that end the four weeks before this one, of which the last is among the seven days already.
    sundays = [date(2026, 11, 22), date(2026, 11, 15), date(2026, 11, 8), date(2026, 11, 1)]
    ends_of_months = [date(2026, month, 1) - timedelta(days=1) for month in range(11, 0, -1)]
    years = [date(2025, 12, 31), date(2024, 12, 31), date(2023, 12, 31)]
    assert kept == sorted({*every[:7], *sundays, *ends_of_months, *years}, reverse=True)


@given(DAYS)
def test_the_newest_and_one_of_each_year_always_stay(days: set[date]) -> None:
    """Whatever days there are, their newest is kept, each year keeps its last one, and none is invented."""
    kept = days_kept(days)
    assert kept <= days
    assert {max(day for day in days if day.year == year) for year in {day.year for day in days}} <= kept
    assert len(kept) >= min(7, len(days))


@given(DAYS, st.integers(min_value=1, max_value=400))
def test_thinning_each_day_is_thinning_once(days: set[date], later: int) -> None:
    """What was thinned yesterday and thinned again with today's copy is what all copies would be thinned to."""
    day = max(days, default=TODAY) + timedelta(days=later)
    assert days_kept(days_kept(days) | {day}) == days_kept(days | {day})


def test_a_pause_removes_nothing() -> None:
    """Only days with a copy count: seven copies far apart all stay as the last seven days."""
    days = {date(2026, 1, 1) + timedelta(days=each) for each in (0, 1, 2, 3, 4, 5, 200)}
    assert days_kept(days) == days


def test_of_an_earlier_day_its_last_copy_stays_and_of_the_newest_all() -> None:
    """A copy from before a mistake outlives the one from after it, on the same day."""
    before = TODAY - timedelta(days=1)
    copies = [a_copy(before, "a"), a_copy(before, "b"), a_copy(TODAY, "c"), a_copy(TODAY, "d")]
    assert [copy.file for copy in superseded(copies)] == ["a"]
    assert superseded([]) == ()


@pytest.mark.parametrize(
    ("copy", "away", "first", "said"),
    [
        (None, None, None, ""),
        (None, None, 7, ""),
        (None, None, 8, "No backup was ever made. Run 'shopledger backup make'."),
        (7, 30, 900, ""),
        (8, 30, 900, "The last backup is 8 days old. Run 'shopledger backup make'."),
        (0, 31, 900, "The last copy outside this computer is 31 days old. Run 'shopledger backup make'."),
        (0, None, 31, "No copy lies outside this computer. Run 'shopledger backup make'."),
        (
            9,
            40,
            900,
            BOTH_OLD,
        ),
    ],
)
def test_overdue_copies_are_said_in_one_line(copy: int | None, away: int | None, first: int | None, said: str) -> None:
    """After 7 and 30 days, counted from the first entry where no copy was ever made; never of an empty ledger."""
    last = LastCopies(*(None if back is None else TODAY - timedelta(days=back) for back in (copy, away, first)))
    assert reminder(BackupTerms(), last, TODAY) == said


def test_limits_can_be_moved_and_put_off() -> None:
    """What is off is never said; a limit of no days is none."""
    old = LastCopies(TODAY - timedelta(days=500), None, TODAY - timedelta(days=900))
    assert reminder(BackupTerms(None, None), old, TODAY) == ""
    assert reminder(BackupTerms(500, None), old, TODAY) == ""
    assert reminder(BackupTerms(499, None), old, TODAY).startswith("The last backup is 500 days old")
    with pytest.raises(RefusedError, match="at least one day"):
        BackupTerms(0)
