"""Stock movements: something moves, at a cost that is not negative."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.stock import OutOfStockError, StockedKind, StockMovement, StockReason

DAY = date(2026, 3, 2)


def movement(quantity: int, cost: int) -> StockMovement:
    """A frame that came or went."""
    return StockMovement(DAY, StockedKind.FRAME, "WREN-52", quantity, cost, StockReason.RECEIVED)


def test_a_movement_goes_in_or_out() -> None:
    """Its whole cost goes the same way; a gift costs nothing either way."""
    assert (movement(3, 18600).cost, movement(-1, -6200).cost, movement(-1, 0).cost) == (18600, -6200, 0)


def test_a_movement_of_nothing_is_refused() -> None:
    """Zero moves nothing."""
    with pytest.raises(RefusedError, match="quantity is 0"):
        movement(0, 6200)


@pytest.mark.parametrize(("quantity", "cost"), [(1, -1), (-1, 1)])
def test_a_cost_that_goes_the_other_way_is_refused(quantity: int, cost: int) -> None:
    """A thing may be a gift, but nobody pays the shop to take it, nor does it gain by losing one."""
    with pytest.raises(RefusedError, match=r"cost is -?0\.01; it may not be negative"):
        movement(quantity, cost)


def test_too_few_on_hand_is_said_with_both_numbers_and_what_to_do() -> None:
    """Item, asked, on hand, and the command that records what came in."""
    error = OutOfStockError("WREN-52", 3, 1)
    assert (error.item_code, error.asked, error.on_hand, error.exit_code) == ("WREN-52", 3, 1, 30)
    assert str(error) == (
        "WREN-52: 3 asked for, 1 on hand and not reserved for other orders. Record what came in with 'shopledger "
        "stock receive WREN-52', or sell fewer."
    )
