"""Spans of days as the owner types them: months, quarters, years, and any days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.period import Month, Period
from tests.strategies import DAYS

SPANS = st.builds(lambda one, other: Period(min(one, other), max(one, other)), DAYS, DAYS)


@pytest.mark.parametrize("typed", ["2026-03", " 2026-03 ", "2026-3"])
def test_a_month_is_year_and_number(typed: str) -> None:
    """Blanks around it and a missing zero do not matter."""
    assert Month.read(typed) == Month(2026, 3)


@pytest.mark.parametrize("typed", ["", "2026", "2026-13", "2026-00", "26-03", "2026-03-01", "March 2026", "²⁰²⁶-03"])
def test_what_is_no_month_is_refused(typed: str) -> None:
    """Anything else is told the form."""
    with pytest.raises(RefusedError, match="YYYY-MM, as in 2026-03"):
        Month.read(typed)


@pytest.mark.parametrize(
    ("month", "last"),
    [(Month(2026, 2), 28), (Month(2028, 2), 29), (Month(2026, 4), 30), (Month(2026, 12), 31)],
    ids=str,
)
def test_a_month_ends_on_its_last_day(month: Month, last: int) -> None:
    """Leap years included."""
    assert (month.first.day, month.last.day) == (1, last)


@given(DAYS)
def test_every_day_lies_in_one_month_that_is_read_back_as_written(day: date) -> None:
    """First and last day enclose it, and the day after the last begins another month."""
    month = Month(day.year, day.month)
    assert month.first <= day <= month.last
    assert (month.last + timedelta(days=1)).day == 1
    assert Month.read(str(month)) == month


def test_months_are_in_order_of_time() -> None:
    """December comes before the next January."""
    assert sorted([Month(2026, 1), Month(2025, 12), Month(2026, 10)]) == [
        Month(2025, 12),
        Month(2026, 1),
        Month(2026, 10),
    ]


@pytest.mark.parametrize(
    ("typed", "first", "last", "noun"),
    [
        ("2026", "2026-01-01", "2026-12-31", "year"),
        (" 2028-2 ", "2028-02-01", "2028-02-29", "month"),
        ("2026-Q1", "2026-01-01", "2026-03-31", "quarter"),
        ("2026-Q4", "2026-10-01", "2026-12-31", "quarter"),
        ("2026-02-15..2026-03-14", "2026-02-15", "2026-03-14", "period"),
        ("2026-01-01..2026-12-31", "2026-01-01", "2026-12-31", "year"),
        ("2026-03-05..2026-03-05", "2026-03-05", "2026-03-05", "period"),
    ],
)
def test_a_period_is_read_as_it_is_called(typed: str, first: str, last: str, noun: str) -> None:
    """A year, a month, a quarter, or first and last day; the same days are the same period however they are typed."""
    period = Period.read(typed)
    assert period == Period(date.fromisoformat(first), date.fromisoformat(last))
    assert period.noun == noun


@pytest.mark.parametrize("typed", ["", "26", "2026-13", "2026-Q5", "2026-Q0", "2026-02-30..2026-03-01", "2026-02-15.."])
def test_what_is_no_period_is_refused(typed: str) -> None:
    """Anything else is told the forms there are."""
    with pytest.raises(RefusedError, match="a period is YYYY, YYYY-MM, YYYY-Q1 to YYYY-Q4"):
        Period.read(typed)


def test_a_period_does_not_end_before_it_begins() -> None:
    """The refusal names the first day."""
    with pytest.raises(RefusedError, match="the first is 2026-03-02"):
        Period.read("2026-03-02..2026-03-01")


@given(SPANS)
def test_a_period_is_read_back_from_its_name(period: Period) -> None:
    """Its name gives the same days, and its months begin and end with it."""
    assert Period.read(str(period)) == period
    months = period.months
    assert months[0].first <= period.first <= months[0].last
    assert months[-1].first <= period.last <= months[-1].last
    assert list(months) == sorted(set(months))
    assert period.lies_in_one_month is (len(months) == 1)


@given(DAYS)
def test_a_month_is_a_period_and_back(day: date) -> None:
    """All days of a month are that month again; a day less is none."""
    month = Month(day.year, day.month)
    assert month.days.month == month
    assert str(month.days) == str(month)
    assert Period(month.first, month.last - timedelta(days=1)).month is None
