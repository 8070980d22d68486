"""Stock as movements: what came, what went, what was counted; what is on hand, and what it cost, is their sum.

Goods that are sold are set aside on the shelf until their order is shipped: only then do they leave.
"""

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
    """Shipped with an order."""
    RETURNED = "returned"
    """Back from a customer."""
    ADJUSTED = "adjusted"
    """The difference found at a count."""
    WRITTEN_OFF = "written off"
    GIVEN = "given away"
    """A gift or a sample."""
    OWN_USE = "own use"
    """Taken home by the owner: no expense of the shop's."""
    SENT_BACK = "sent back"
    """Back to the supplier."""


class OutOfStockError(LedgerError):
    """More asked for than is on hand."""

    item_code: str
    asked: int
    on_hand: int
    sentence = (
        "{item_code}: {asked} asked for, {on_hand} on hand and not set aside for other orders. "
        "Record what came in with 'shopledger stock receive {item_code}', or sell fewer."
    )


class NotThereYetError(LedgerError):
    """Goods are to leave on a day before they came in, or that are gone already by a later day."""

    item_code: str
    asked: int
    there: int
    day: date
    sentence = (
        "{item_code}: {asked} to leave on {day}, but only {there} could have left on that day: "
        "the rest came in later, or left since. Type a later day, or look at 'shopledger stock history {item_code}'."
    )


class GoodsShortError(LedgerError):
    """An order cannot be shipped, since fewer of its goods lie there than it needs."""

    order_number: int
    short: tuple[tuple[str, int, int], ...]

    def __str__(self) -> str:
        said = "; ".join(f"{code}: {needed} needed, {there} on hand" for code, needed, there in self.short)
        receive = f"'shopledger stock receive {self.short[0][0]}'"
        return (
            f"order {self.order_number} cannot be shipped, and nothing was stored: {said}. Record what came in with "
            f"{receive}, or take the order back with 'shopledger sale cancel {self.order_number}'."
        )


@dataclass(frozen=True, slots=True)
class StockMovement:
    """One movement: quantity and whole cost are positive in, negative out."""

    day: date
    kind: StockedKind
    item_code: str
    quantity: int
    cost: Cents
    reason: StockReason
    order_number: int | None = None
    job_number: int | None = None
    bill_number: int | None = None
    note: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse a movement of nothing, and a cost that goes the other way."""
        if self.quantity == 0:
            raise RefusedError("quantity", 0, "a movement moves something", "Type how many came or went.")
        if self.cost * self.quantity < 0:
            raise RefusedError("cost", write_amount(self.cost), "it may not be negative", "Type 0 or more.")
