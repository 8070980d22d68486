"""Stock movements, and what they leave on hand."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.store.scales import day_text
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class StockLevel:
    """What is on hand of one item, and what one of it last cost."""

    kind: StockedKind
    item_code: str
    on_hand: int
    last_cost: Cents


@dataclass(frozen=True, slots=True)
class Stock:
    """The stock of the ledger; movements are added and never changed."""

    transaction: Transaction

    def add(self, movement: StockMovement) -> None:
        """Post a movement and bring the count up to date."""
        values = {
            "number": self.transaction.next_number("movement"),
            "day": day_text(movement.day),
            "kind": movement.kind.value,
            "item_code": movement.item_code,
            "quantity": movement.quantity,
            "unit_cost": movement.unit_cost,
            "reason": movement.reason.value,
            "order_number": movement.order_number,
            "note": movement.note,
        }
        self.transaction.add("stock_movement", {**values, **self.transaction.stamp})
        self._bring_up_to_date(movement)

    def on_hand(self, kind: StockedKind, code: str) -> int:
        """Give how many of an item are on hand."""
        row = self.transaction.row("stock_level", kind=kind.value, item_code=code)
        return row.on_hand if row else 0

    def last_cost(self, kind: StockedKind, code: str) -> Cents:
        """Give what one was last bought for; before any came in, what the catalogue says it costs."""
        row = self.transaction.row("stock_level", kind=kind.value, item_code=code)
        if row is not None:
            return int(row.last_cost)
        item = self.transaction.row(kind.value, code=code)
        return int(item.cost) if item is not None else 0

    def cost_sold_at(self, order_number: int, kind: StockedKind, code: str) -> Cents:
        """Give what one cost that left with an order; nothing where none did."""
        sold = {"order_number": order_number, "kind": kind.value, "item_code": code, "reason": StockReason.SOLD.value}
        rows = self.transaction.rows("stock_movement", sold, order=("number",), limit=1)
        return int(rows[0].unit_cost) if rows else 0

    def levels(self) -> tuple[StockLevel, ...]:
        """Give what is on hand of everything that ever moved, by kind and code."""
        rows = self.transaction.rows("stock_level", order=("kind", "item_code"))
        return tuple(StockLevel(StockedKind(row.kind), row.item_code, row.on_hand, row.last_cost) for row in rows)

    def _bring_up_to_date(self, movement: StockMovement) -> None:
        key = {"kind": movement.kind.value, "item_code": movement.item_code}
        row = self.transaction.row("stock_level", **key)
        if row is None:
            level = {"on_hand": movement.quantity, "last_cost": movement.unit_cost}
            self.transaction.add("stock_level", {**key, **level})
            return
        # What comes back is no purchase: it keeps the cost it left at, and leaves the last price paid as it was.
        bought = movement.quantity > 0 and movement.reason is not StockReason.RETURNED
        cost = movement.unit_cost if bought else row.last_cost
        self.transaction.change("stock_level", {"on_hand": row.on_hand + movement.quantity, "last_cost": cost}, **key)
