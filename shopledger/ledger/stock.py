"""Stock as movements: what came, what went, what was counted; what is on hand is their sum."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import Final

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.offers import LineKind
from shopledger.money.amount import Cents, write_amount


class StockedKind(Enum):
    """What is kept in stock."""

    FRAME = "frame"
    ACCESSORY = "accessory"


STOCKED: Final[Mapping[LineKind, StockedKind]] = MappingProxyType(
    {
        LineKind.FRAME: StockedKind.FRAME,
        LineKind.ACCESSORY: StockedKind.ACCESSORY,
    }
)
"""The kinds of order line that take goods out of stock; lenses are ordered for each job."""


class StockReason(Enum):
    """Why stock moved."""

    OPENING = "opening"
    RECEIVED = "received"
    SOLD = "sold"
    RETURNED = "returned"
    """Back from a customer, or from an order that was cancelled."""
    ADJUSTED = "adjusted"


class OutOfStockError(LedgerError):
    """More asked for than is on hand."""

    def __init__(self, item_code: str, asked: int, on_hand: int) -> None:
        super().__init__(item_code, asked, on_hand)
        self.item_code = item_code
        self.asked = asked
        self.on_hand = on_hand

    def __str__(self) -> str:
        """Say what is asked, what is there, and what to do."""
        return (
            f"{self.item_code}: {self.asked} asked for, {self.on_hand} on hand. "
            f"Record what came in with 'shopledger stock receive {self.item_code}', or sell fewer."
        )


@dataclass(frozen=True, slots=True)
class StockMovement:
    """One movement: quantity is positive in, negative out; the unit cost is what one was bought for."""

    day: date
    kind: StockedKind
    item_code: str
    quantity: int
    unit_cost: Cents
    reason: StockReason
    order_number: int | None = None
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a movement of nothing or a negative cost."""
        if self.quantity == 0:
            raise RefusedError("quantity", 0, "a movement moves something", "Type how many came or went.")
        if self.unit_cost < 0:
            raise RefusedError("unit cost", write_amount(self.unit_cost), "it may not be negative", "Type 0 or more.")
