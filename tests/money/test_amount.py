"""Amounts: what an owner types, what is refused, and the way to Decimal and back."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given

from shopledger.errors import LedgerError
from shopledger.money.amount import LARGEST, from_decimal, read_amount, to_decimal, write_amount
from shopledger.money.refusals import AmountError
from tests.strategies import ANY_AMOUNTS


@pytest.mark.parametrize(
    ("typed", "cents"),
    [
        ("129.95", 12_995),
        ("$1,299.95", 129_995),
        ("1299.95", 129_995),
        ("1,000,000", 100_000_000),
        ("-5.00", -500),
        ("-$5", -500),
        ("$-5", -500),
        ("\N{MINUS SIGN}5.00", -500),
        ("  12.50 ", 1_250),
        (".50", 50),
        ("12.5", 1_250),
        ("0", 0),
        ("-0.00", 0),
        ("999,999,999.99", LARGEST),
    ],
)
def test_what_an_owner_types_is_read_to_the_cent(typed: str, cents: int) -> None:
    """Dollar sign, thousands commas, a minus before or after the sign, and missing cents are all read."""
    assert read_amount(typed) == cents


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("12.345", "at most two decimals"),
        ("5.500", "at most two decimals"),
        ("$1,299.995", "at most two decimals"),
        ("", "dollars and cents. Type it like 129.95."),
        ("   ", "dollars and cents. Type it like 129.95."),
        ("129,95", "before each group of three digits"),
        ("1,29.95", "before each group of three digits"),
        ("12,34,567.00", "before each group of three digits"),
        ("1.299,95", "before each group of three digits"),
        ("(5.00)", "like -5.00"),
        ("-$-5", "digits with a point before the cents"),
        ("--5", "digits with a point before the cents"),
        ("5.", "digits with a point before the cents"),
        (".", "digits with a point before the cents"),
        ("1e3", "digits with a point before the cents"),
        ("nan", "digits with a point before the cents"),
        ("129 .95", "digits with a point before the cents"),
        ("\N{ARABIC-INDIC DIGIT ONE}", "digits with a point before the cents"),
        ("1,000,000,000", "at most 999,999,999.99"),
        ("-1000000000", "at most 999,999,999.99"),
    ],
)
def test_what_is_no_amount_is_refused_with_what_to_type(typed: str, sentence: str) -> None:
    """Part cents, misplaced commas, brackets, words and far too much each get their own sentence."""
    with pytest.raises(AmountError) as refused:
        read_amount(typed, "price")
    assert str(refused.value).startswith(f"price is '{typed.strip()}'; ")
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("value", "example"),
    [(129, '"129.00"'), (129.95, '"129.95"'), (True, '"129.95"'), (float("nan"), '"129.95"'), (None, '"129.95"')],
)
def test_a_float_or_bare_integer_is_never_taken_for_an_amount(value: object, example: str) -> None:
    """A float is not exact and an integer may be dollars or cents, so both are refused with how to write them."""
    with pytest.raises(AmountError, match="as text") as refused:
        read_amount(value)  # type: ignore[arg-type]
    assert str(refused.value).endswith(f"Write it as {example}.")


@pytest.mark.parametrize(
    ("value", "cents"),
    [("129.95", 12_995), ("5.500", 550), ("1E+3", 100_000), ("-0", 0), ("-12.5", -1_250)],
)
def test_a_decimal_of_whole_cents_is_taken_as_it_is(value: str, cents: int) -> None:
    """Trailing zeros and exponents change nothing about how many cents a Decimal holds."""
    assert from_decimal(Decimal(value)) == cents
    assert read_amount(Decimal(value)) == cents


@pytest.mark.parametrize("value", ["1.005", "-0.001", "1." + "0" * 50 + "1", "1E-999999"])
def test_a_decimal_of_part_cents_is_refused_and_never_rounded(value: str) -> None:
    """However far behind the point the part of a cent stands, it is refused and not dropped."""
    with pytest.raises(AmountError, match="at most two decimals"):
        from_decimal(Decimal(value))


@pytest.mark.parametrize("value", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_a_decimal_that_is_no_number_is_refused(value: str) -> None:
    """Not-a-number and the infinities are no amounts."""
    with pytest.raises(AmountError, match="an amount is a number"):
        from_decimal(Decimal(value))


@pytest.mark.parametrize("value", ["1000000000", "-1000000000", "1E+999999", "999999999.991"])
def test_a_decimal_beyond_the_largest_amount_is_refused(value: str) -> None:
    """More than a shop will ever see is taken for a slip, on either side of zero."""
    with pytest.raises(AmountError, match=r"at most 999,999,999\.99"):
        from_decimal(Decimal(value))


def test_a_refused_amount_is_an_error_of_the_ledger() -> None:
    """The command line leaves with the ledger's exit code."""
    with pytest.raises(LedgerError) as refused:
        read_amount("free")
    assert refused.value.exit_code == 30


@pytest.mark.parametrize(
    ("cents", "text"),
    [(129_995, "1,299.95"), (-500, "-5.00"), (0, "0.00"), (7, "0.07"), (-7, "-0.07"), (100_000_000, "1,000,000.00")],
)
def test_amounts_are_written_with_commas_and_two_decimals(cents: int, text: str) -> None:
    """Paper shows thousands commas, always two decimals, and the minus in front."""
    assert write_amount(cents) == text


@given(ANY_AMOUNTS)
def test_what_is_written_is_read_back_the_same(cents: int) -> None:
    """Writing and reading an amount changes nothing."""
    assert read_amount(write_amount(cents)) == cents


@given(ANY_AMOUNTS)
def test_the_way_to_decimal_and_back_changes_nothing(cents: int) -> None:
    """A Decimal for a sheet shows two decimals and gives the same cents again."""
    value = to_decimal(cents)
    assert value.as_tuple().exponent == -2
    assert value * 100 == cents
    assert from_decimal(value) == cents
