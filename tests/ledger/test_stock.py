"""Stock movements: something moves, at a cost that is not negative."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.stock import OutOfStockError, StockedKind, StockMovement, StockReason

DAY = date(2026, 3, 2)


def movement(quantity: int, unit_cost: int) -> StockMovement:
    """A frame that came or went."""
    return StockMovement(DAY, StockedKind.FRAME, "WREN-52", quantity, unit_cost, StockReason.RECEIVED)


def test_a_movement_goes_in_or_out() -> None:
    """Either sign, at any cost from nothing."""
    assert (movement(3, 6200).quantity, movement(-1, 0).unit_cost) == (3, 0)


def test_a_movement_of_nothing_is_refused() -> None:
    """Zero moves nothing."""
    with pytest.raises(RefusedError, match="quantity is 0"):
        movement(0, 6200)


def test_a_negative_cost_is_refused() -> None:
    """A thing may be a gift, but nobody pays the shop to take it."""
    with pytest.raises(RefusedError, match=r"unit cost is -0\.01"):
        movement(1, -1)


def test_too_few_on_hand_is_said_with_both_numbers_and_what_to_do() -> None:
    """Item, asked, on hand, and the command that records what came in."""
    error = OutOfStockError("WREN-52", 3, 1)
    assert (error.item_code, error.asked, error.on_hand, error.exit_code) == ("WREN-52", 3, 1, 30)
    assert str(error) == (
        "WREN-52: 3 asked for, 1 on hand. Record what came in with 'shopledger stock receive WREN-52', or sell fewer."
    )
