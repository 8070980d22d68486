"""How the CMS-1500 (02/12) wants its boxes written: excerpts of its instructions, and values from memory where said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.claims.box_writing import box_amount, box_code, box_day, box_digits, box_phone


@pytest.mark.parametrize(("code", "box"), [("H52.13", "H5213"), ("H52.4", "H524"), ("H52.223", "H52223")])
def test_a_diagnosis_stands_without_its_point(code: str, box: str) -> None:
    """Box 21 (value from memory)."""
    assert box_code(code) == box


def test_a_tax_number_stands_without_its_hyphen() -> None:
    """Box 25, known from an excerpt."""
    assert box_digits("12-3456789") == "123456789"


@pytest.mark.parametrize(
    ("cents", "box"), [(6498, "64 98"), (0, "0 00"), (5, "0 05"), (100800, "1008 00"), (123456789, "1234567 89")]
)
def test_dollars_and_cents_stand_apart(cents: int, box: str) -> None:
    """Boxes 24F, 28 and 29: no dollar sign, no point, no comma (value from memory)."""
    assert box_amount(cents) == box


@given(st.integers(0, 10**9))
def test_an_amount_can_be_read_back(cents: int) -> None:
    """Two digits of cents stand behind the gap, whatever the amount."""
    dollars, _, rest = box_amount(cents).partition(" ")
    assert len(rest) == 2
    assert int(dollars) * 100 + int(rest) == cents


def test_a_day_stands_as_month_day_and_year() -> None:
    """Box 3 has them apart, known from an excerpt; box 24A without a gap (value from memory); no day stays empty."""
    assert box_day("1978-11-23", " ") == "11 23 1978"
    assert box_day("2026-03-09", "") == "03092026"
    assert box_day("", " ") == ""


@pytest.mark.parametrize(
    ("typed", "box"),
    [
        ("(937) 555-0134", "937 5550134"),
        ("+1 937 555 0134", "937 5550134"),
        ("555-0123", "5550123"),
        ("+44 20 7946 0018", "+44 20 7946 0018"),
        ("", ""),
    ],
)
def test_a_phone_number_is_digits_beside_its_area_code(typed: str, box: str) -> None:
    """Box 33 (value from memory); a number of another country stays as it was given."""
    assert box_phone(typed) == box
