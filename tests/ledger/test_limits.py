"""What a slip of the finger is: counts, costs, amounts and days beyond what a shop of one person has."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger import limits
from shopledger.ledger.limits import books_begin, hold_amount, hold_day, hold_pieces, is_bar_code, is_long_ago
from shopledger.ledger.text import as_kept

# GS1 General Specifications and public pages on check digits: GTIN-8, -12, -13, -14.
BAR_CODES = ("96385074", "036000291452", "4006381333931", "10614141000415", "012345678905")


@pytest.mark.parametrize("digits", BAR_CODES)
def test_a_bar_code_is_known_by_its_check_digit(digits: str) -> None:
    """Also where a spreadsheet or a number took the zeros in front; with another last digit it is none."""
    assert is_bar_code(digits)
    assert is_bar_code(str(int(digits)))
    assert not any(is_bar_code(f"{digits[:-1]}{last}") for last in "0123456789" if last != digits[-1])


@pytest.mark.parametrize(
    "text", ["", "1234567", "12345678901234567890", "1234567x", "\u0661\u0662\u0663\u0664\u0665\u0666\u0667\u0668"]
)
def test_what_is_no_bar_code(text: str) -> None:
    """Seven digits and fifteen are none, nor anything but plain digits."""
    assert not is_bar_code(text)


def test_a_count_is_no_bar_code_and_no_slip() -> None:
    """Up to a hundred thousand pieces lie on a shelf; a bar code is named as one."""
    hold_pieces("count", 0)
    hold_pieces("count", 100_000)
    with pytest.raises(RefusedError, match=r"count is 100,001; it must lie from 0 to 100,000"):
        hold_pieces("count", 100_001)
    with pytest.raises(RefusedError, match="that is a bar code and no count"):
        hold_pieces("count", 12345678905)
    with pytest.raises(RefusedError, match=r"it must lie from 1"):
        hold_pieces("quantity", 0, least=1)


@pytest.mark.parametrize("limit", [limits.UNIT_COST, limits.JOB_COST, limits.PRICE, limits.MOVED])
def test_an_amount_is_held_to_its_kind(limit: limits.Limit) -> None:
    """The most is allowed and a cent more is not, and the sentence says why."""
    hold_amount("amount", limit.most, limit)
    with pytest.raises(RefusedError, match=limit.why):
        hold_amount("amount", limit.most + 1, limit)


def test_a_day_lies_in_a_life() -> None:
    """A birthday of a century ago is one; the years 1 and 9999 are slips."""
    assert hold_day("day", date(1926, 3, 2)) == date(1926, 3, 2)
    for day in (date(1, 1, 1), date(1889, 12, 31), date(2200, 1, 1), date.max):
        with pytest.raises(RefusedError, match="Check the year"):
            hold_day("day", day)


def test_books_reach_seven_years_before_the_set_up() -> None:
    """So that what still has records can be entered; a leap day has one that is none."""
    assert books_begin(date(2026, 3, 2)) == date(2019, 3, 2)
    assert books_begin(date(2024, 2, 29)) == date(2017, 2, 28)


def test_a_year_is_not_long_ago() -> None:
    """The same day of the year before needs no yes, two days before it does."""
    assert not is_long_ago(date(2025, 3, 1), date(2026, 3, 2))
    assert is_long_ago(date(2025, 2, 28), date(2026, 3, 2))


def test_what_is_kept_is_not_held_to_limits() -> None:
    """A ledger with larger ones goes on being read."""
    with as_kept():
        hold_pieces("count", 12345678905)
        hold_amount("amount", 10**12, limits.MOVED)
        assert hold_day("day", date(1, 1, 1)) == date(1, 1, 1)
