"""Goods are a code or a line, with a count behind it where it is not one."""

from __future__ import annotations

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.orders import AccessoryRequest
from shopledger.typed.goods import read_goods, read_line_count


def test_goods_are_a_code_with_or_without_a_count() -> None:
    """`CASE` is one of them."""
    assert read_goods("CASE", "accessory") == AccessoryRequest("CASE", 1)
    assert read_goods("CASE=12", "accessory") == AccessoryRequest("CASE", 12)
    for text in ("CASE=", "CASE=x", "CASE=-1", "CASE=0"):
        with pytest.raises(RefusedError):
            read_goods(text, "accessory")


def test_a_line_without_a_count_is_all_of_it() -> None:
    """`3=2` is two of line 3; what is no number is named by its part."""
    assert read_line_count("3", "line") == (3, None)
    assert read_line_count("3=2", "line") == (3, 2)
    with pytest.raises(RefusedError, match="count of line 3"):
        read_line_count("3=x", "line")
