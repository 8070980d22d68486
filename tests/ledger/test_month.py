"""Calendar months as the owner types them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given

from shopledger.errors import RefusedError
from shopledger.ledger.books.month import Month
from tests.strategies import DAYS


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
