"""The rows of a month that goods make: each movement, what the stock is worth, and what sold goods cost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class MovementRow:
    """One movement of stock: count and cost are positive in, negative out."""

    day: date
    number: int
    kind: str
    item_code: str
    reason: str
    quantity: int
    cost: Cents
    order_number: int | None = None
    job_number: int | None = None
    bill_number: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class StockRow:
    """One stocked item over the month: counts, and what they cost, first in first out."""

    item_code: str
    description: str
    opening: int = 0
    opening_value: Cents = 0
    came: int = 0
    came_value: Cents = 0
    """Received, there at the beginning, or back from customers."""
    went: int = 0
    went_value: Cents = 0
    """Shipped, given away, taken home or sent back."""
    adjusted: int = 0
    adjusted_value: Cents = 0
    """Found or missing at a count, and written off."""

    @property
    def closing(self) -> int:
        """On hand at the month's end."""
        return self.opening + self.came - self.went + self.adjusted

    @property
    def value(self) -> Cents:
        """What that cost."""
        return self.opening_value + self.came_value - self.went_value + self.adjusted_value


@dataclass(frozen=True, slots=True)
class GoodsCostRow:
    """Something that adds to the cost of goods, or takes from it: goods out of a lot, or a posting for lenses."""

    day: date
    account: str
    event: str
    order_number: int | None = None
    job_number: int | None = None
    item_code: str = ""
    lot: int | None = None
    """Number of the movement that brought the goods in."""
    lot_day: date | None = None
    quantity: int | None = None
    cost: Cents = 0
