"""An amount from which a shell took a part away is refused where that can be seen."""

from __future__ import annotations

import shutil
import subprocess

import pytest
from hypothesis import given

from shopledger.money.amount import write_amount
from shopledger.money.refusals import AmountError
from shopledger.typed.amounts import read_typed_amount, read_typed_pair_price
from tests.strategies import ANY_AMOUNTS


@pytest.mark.parametrize(
    ("text", "meant"), [(".95", "0.95"), ("-.95", "-0.95"), (" +.5", "0.5"), ("\N{MINUS SIGN}.95", "-0.95")]
)
def test_an_amount_that_begins_with_its_point_is_refused(text: str, meant: str) -> None:
    """It may be what is left of a larger one; the sentence says what takes it away and what to type."""
    with pytest.raises(AmountError) as refusal:
        read_typed_amount(text, "price")
    assert "a shell takes a dollar sign" in str(refusal.value)
    assert str(refusal.value).endswith(f"like 129.95; if {meant} is meant, type that.")


@pytest.mark.parametrize("text", ["=5.00", "=199.95 each"])
def test_an_amount_behind_a_second_sign_is_refused(text: str) -> None:
    """`--price==5.00` is a slip, and no amount."""
    for read in (read_typed_amount, read_typed_pair_price):
        with pytest.raises(AmountError, match="begins with a digit"):
            read(text, "price")


def test_a_price_for_one_lens_is_read_with_the_same_care() -> None:
    """`.98 each` may have been 64.98."""
    assert read_typed_pair_price("64.98 each") == 12_996
    with pytest.raises(AmountError, match=r"0\.98 each"):
        read_typed_pair_price(".98 each")


@given(ANY_AMOUNTS)
def test_every_amount_is_read_as_it_is_written(cents: int) -> None:
    """Those below a dollar begin with 0."""
    assert read_typed_amount(write_amount(cents)) == cents


def test_no_refusal_shows_a_dollar_sign() -> None:
    """Nobody is told to type what a shell would take away."""
    for text in ("", "x", "1.2.3", "$", "1,29.95", "5.", "(5.00)", "12.345", ".95", "=5"):
        with pytest.raises(AmountError) as refusal:
            read_typed_amount(text)
        assert "$" not in str(refusal.value).replace(f"'{text}'", "")


@pytest.mark.skipif(shutil.which("sh") is None, reason="there is no shell")
def test_what_a_shell_leaves_of_a_dollar_amount() -> None:
    """The reason for the rule: a shell leaves 99.95 of one amount, which nobody can tell, and no amount of another."""
    shown = "printf '%s ' $199.95 $NOT_SET_ANYWHERE.95 $0.95"
    first, second, third = subprocess.check_output(["sh", "-c", shown], text=True).split()
    assert read_typed_amount(first) == 9_995
    for text in (second, third):
        with pytest.raises(AmountError):
            read_typed_amount(text)
