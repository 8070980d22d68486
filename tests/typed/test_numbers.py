"""Numbers are read as digits with a point, and two where one is wanted are told apart."""

from __future__ import annotations

import pytest

from shopledger.errors import RefusedError
from shopledger.typed.numbers import read_decimal, read_lengths, read_whole


@pytest.mark.parametrize("text", ["52-18", "52-18-140", "52 x 18", "52\N{WHITE SQUARE}18", "52/18", "31.5x32"])
def test_two_numbers_where_one_is_wanted_are_refused(text: str) -> None:
    """Sizes are copied from a temple as they are marked there."""
    with pytest.raises(RefusedError, match=r"it is one number, not (52 and 18|31\.5 and 32)\. Type each where"):
        read_decimal(text, "eye size")


def test_one_number_is_read() -> None:
    """With a point or a comma, with its sign."""
    assert [read_decimal(text) for text in ("31.5", "31,5", ".5", "-3", "\N{MINUS SIGN}3")] == [31.5, 31.5, 0.5, -3, -3]


def test_lengths_are_one_or_two() -> None:
    """A blank or a slash parts the eyes."""
    assert read_lengths("63", "PD") == (63,)
    assert read_lengths("31.5/32", "PD") == read_lengths("31.5 32", "PD") == (31.5, 32)
    with pytest.raises(RefusedError, match="right and left"):
        read_lengths("1 2 3", "PD")


def test_a_bar_code_is_no_number() -> None:
    """Nor are digits without end."""
    assert read_whole("-12", "line") == -12
    for text in ("4006381333931", "9" * 5000, "1.5", "x"):
        with pytest.raises(RefusedError):
            read_whole(text, "line")
