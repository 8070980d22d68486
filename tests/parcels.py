"""A parcel with all that an order holds, for tests that only need it to have left."""

from __future__ import annotations

from datetime import date

from shopledger.ledger.orders import Order, OrderAccount
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.shipping import whole_content


def whole_parcel(
    order: Order, day: date, carrier: str = "post", tracking: str = "", number: int | None = None
) -> Parcel:
    """Give the parcel in which an order leaves whole."""
    content = whole_content(OrderAccount(order))
    return Parcel(order.number or 0, day, order.ship_to, carrier, tracking, content, number=number)
