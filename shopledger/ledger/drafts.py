"""A drafted order: an order file kept in the ledger until the owner records it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Draft:
    """An order file's text with why it was drafted; `order_number` is the order it became, or None while open."""

    number: int
    customer_number: int
    day: date
    reason: str
    body: str
    order_number: int | None = None
