"""Stock movements, and the running count that they add up to."""

from __future__ import annotations

from sqlalchemy import Index

from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, Unsealed, table
from shopledger.store.words import word


class MovementColumns(Recorded):
    """What came or went, and its whole cost: positive in, negative out, as it stands in the inventory account."""

    number = kept.key()
    day = kept.day()
    kind = kept.one_of(StockedKind)
    item_code = kept.words()
    quantity = kept.number()
    cost = kept.cents()
    reason = kept.one_of(StockReason)
    order_number = kept.optional(kept.number(kept.to("shop_order.number"), index=True))
    job_number = kept.optional(kept.number(kept.to("order_pair.job_number"), index=True))
    bill_number = kept.optional(kept.number(kept.to("bill.number"), index=True))
    note = kept.words()
    parcel_number = kept.optional(kept.number(kept.to("parcel.number"), index=True))


stock_movement = table(
    "stock_movement",
    MovementColumns,
    Index(None, "kind", "item_code", "day"),
    Index(None, "day"),
    quantity_moves=f"(quantity = 0) = (reason = {word(StockReason.REPRICED)})",
    cost_goes_with_quantity="cost = 0 OR quantity = 0 OR (cost > 0) = (quantity > 0)",
)


class IssueColumns(Columns):
    """What a movement out took from one lot; a lot is the movement that brought it in.

    Where only its price changed, none is taken: a cost above zero came off, one below zero was added.
    """

    movement_number = kept.key(kept.to("stock_movement.number"))
    position = kept.key()
    lot = kept.number(kept.to("stock_movement.number"), index=True)
    quantity = kept.number(kept.NOT_NEGATIVE)
    cost = kept.cents()


stock_issue = table("stock_issue", IssueColumns, cost_goes_with_quantity="quantity = 0 OR cost >= 0")


class LotColumns(Unsealed):
    """What is left of a lot; always what came in less what was issued, kept so that a parcel need not add."""

    number = kept.key(kept.to("stock_movement.number"))
    kind = kept.one_of(StockedKind)
    item_code = kept.words()
    day = kept.day(checked=False)
    on_hand = kept.number(kept.COUNTS)
    cost = kept.cents(kept.NOT_NEGATIVE)


stock_lot = table("stock_lot", LotColumns, Index(None, "kind", "item_code", "day"))


class LevelColumns(Columns):
    """What is on hand, what open orders have reserved of it, and what was last paid: the sum of what was posted."""

    kind = kept.one_of(StockedKind, primary_key=True)
    item_code = kept.code()
    on_hand = kept.number(kept.NOT_NEGATIVE)
    set_aside = kept.number(kept.NOT_NEGATIVE)
    last_cost = kept.cents(kept.NOT_NEGATIVE)


stock_level = table("stock_level", LevelColumns)
