"""The rows of stock movements as values."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Row

from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.scales import read_day


def movement_of(row: Row[Any]) -> StockMovement:
    """Give the movement in a row."""
    return StockMovement(
        day=read_day(row.day),
        kind=StockedKind(row.kind),
        item_code=row.item_code,
        quantity=row.quantity,
        cost=row.cost,
        reason=StockReason(row.reason),
        order_number=row.order_number,
        job_number=row.job_number,
        bill_number=row.bill_number,
        note=row.note,
        number=row.number,
    )
