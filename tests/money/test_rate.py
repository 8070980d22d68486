"""Percentages: read, written, and taken of an amount with one exact rounding."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.money.rate import WHOLE, part_of, read_rate, round_half_away, write_rate
from shopledger.money.refusals import RateError
from tests.strategies import RATES, SHOP_AMOUNTS


@pytest.mark.parametrize(
    ("typed", "rate"),
    [
        ("8.875 %", 88_750),
        ("8.875", 88_750),
        ("8.875%", 88_750),
        (" 20 ", 200_000),
        ("0", 0),
        ("0.25 %", 2_500),
        ("1", 10_000),
        ("100", WHOLE),
        ("6.3125", 63_125),
        (Decimal("8.875"), 88_750),
        (Decimal("1E+1"), 100_000),
    ],
)
def test_a_percentage_is_read_as_typed(typed: str | Decimal, rate: int) -> None:
    """With or without its sign, as text or Decimal, up to four decimals."""
    assert read_rate(typed) == rate


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0.08875", "at most 4 decimals"),
        ("0.08", "needs its percent sign. Write 0.08 % if that is meant; a fraction like 0.08 is written 8 %."),
        (Decimal("0.5"), "needs its percent sign"),
        ("100.0001", "at most 100 percent"),
        ("-3", "from 0 to 100"),
        ("8,875", "from 0 to 100"),
        ("", "from 0 to 100"),
        ("tax", "from 0 to 100"),
        ("1000", "from 0 to 100"),
        (Decimal("NaN"), "from 0 to 100"),
        (8.875, "as text"),
        (8, "as text"),
    ],
)
def test_what_is_no_percentage_is_refused_with_what_to_write(typed: object, sentence: str) -> None:
    """Too fine, too large, below zero, or a fraction typed for a percentage: each is refused by name."""
    with pytest.raises(RateError) as refused:
        read_rate(typed, "tax rate")  # type: ignore[arg-type]
    assert str(refused.value).startswith("tax rate is ")
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("rate", "text"),
    [(88_750, "8.875 %"), (200_000, "20 %"), (0, "0 %"), (WHOLE, "100 %"), (800, "0.08 %"), (63_125, "6.3125 %")],
)
def test_a_rate_is_written_without_needless_zeros(rate: int, text: str) -> None:
    """Only the decimals that say something are shown."""
    assert write_rate(rate) == text


@given(RATES)
def test_a_written_rate_is_read_back_the_same(rate: int) -> None:
    """Writing and reading a percentage changes nothing."""
    assert read_rate(write_rate(rate)) == rate


@pytest.mark.parametrize(
    ("amount", "rate", "part"),
    [
        (10_000, 88_750, 888),  # 8.875 exactly: the half cent goes up
        (-10_000, 88_750, -888),
        (12_995, 200_000, 2_599),
        (1_999, 62_500, 125),  # 1.249375
        (1, 499_999, 0),
        (1, 500_000, 1),
        (-1, 500_000, -1),
        (12_345, 0, 0),
        (12_345, WHOLE, 12_345),
    ],
)
def test_a_part_is_rounded_once_with_halves_away_from_zero(amount: int, rate: int, part: int) -> None:
    """The exact part is rounded to the nearest cent, half a cent away from zero on both sides."""
    assert part_of(amount, rate) == part


@given(SHOP_AMOUNTS, RATES)
def test_a_part_equals_what_exact_decimals_give(amount: int, rate: int) -> None:
    """Whole-number arithmetic agrees with the decimal module's rounding of the exact product."""
    exact = Decimal(amount) * Decimal(rate).scaleb(-6)
    assert part_of(amount, rate) == int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


@given(SHOP_AMOUNTS, RATES)
def test_a_part_lies_between_nothing_and_all(amount: int, rate: int) -> None:
    """No rate up to 100 % takes more than the amount or turns its sign."""
    assert 0 <= abs(part_of(amount, rate)) <= abs(amount)
    assert part_of(amount, rate) * amount >= 0


@given(st.integers(-(10**9), 10**9), st.integers(1, 10**6))
def test_rounding_mirrors_about_zero(numerator: int, denominator: int) -> None:
    """A refund is rounded like the sale it undoes."""
    assert round_half_away(-numerator, denominator) == -round_half_away(numerator, denominator)
