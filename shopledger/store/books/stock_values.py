"""What the stock was worth on any day, how it moved, and what was sold of it, asked of the database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.stock_values import LotLeft
from shopledger.ledger.stock import STOCKED, StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.store.books.stock import MOVEMENT
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.stock import stock_movement
from shopledger.store.transaction import Transaction, Where
from shopledger.store.words import listed, word

_LOTS: Final = """
SELECT lot.number, lot.kind, lot.item_code, lot.day, lot.reason, lot.bill_number,
       CASE WHEN lot.day <= :day THEN lot.quantity ELSE 0 END - COALESCE(gone.quantity, 0) AS quantity,
       CASE WHEN lot.day <= :day THEN lot.cost ELSE 0 END - COALESCE(gone.cost, 0) AS cost
FROM stock_movement lot
LEFT JOIN (
    SELECT issue.lot, SUM(issue.quantity) AS quantity, SUM(issue.cost) AS cost
    FROM stock_issue issue JOIN stock_movement moved ON moved.number = issue.movement_number
    WHERE moved.day <= :day GROUP BY issue.lot
) gone ON gone.lot = lot.number
WHERE lot.quantity > 0 AND (lot.day <= :day OR gone.lot IS NOT NULL)
ORDER BY lot.kind, lot.item_code, lot.day, lot.number
"""
_NOW: Final = "SELECT kind, item_code, SUM(cost) AS cost FROM stock_lot GROUP BY kind, item_code"
_SOLD: Final = f"""
SELECT line.kind, line.item_code, MAX(sold.day) AS last_sold,
       SUM(CASE WHEN sold.day > :since THEN line.quantity ELSE 0 END) AS sold
FROM shop_order sold JOIN order_line line ON line.order_number = sold.number
WHERE line.kind IN {listed(STOCKED)} AND sold.day <= :day
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = sold.number)
GROUP BY line.kind, line.item_code
"""  # noqa: S608 - the words of the ledger
_BOOKED: Final = f"""
SELECT COALESCE(SUM(posting.amount), 0) AS cost
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE posting.account = {word(Account.INVENTORY)} AND entry.day <= :day
"""  # noqa: S608 - as above


@dataclass(frozen=True, slots=True)
class StockValues:
    """The stock as questions answer it; nothing is changed."""

    transaction: Transaction

    def lots_on(self, day: date) -> tuple[LotLeft, ...]:
        """Give what was left of each lot at the end of a day, by item, the oldest first."""
        rows = self.transaction.asked(_LOTS, day=day_text(day))
        left = (
            LotLeft(
                number=row.number,
                kind=StockedKind(row.kind),
                item_code=row.item_code,
                day=read_day(row.day),
                reason=StockReason(row.reason),
                bill_number=row.bill_number,
                quantity=int(row.quantity),
                cost=int(row.cost),
            )
            for row in rows
        )
        return tuple(lot for lot in left if lot.quantity or lot.cost)

    def costs_now(self) -> dict[tuple[StockedKind, str], Cents]:
        """Give what all that is on hand of each item cost."""
        return {(StockedKind(row.kind), row.item_code): int(row.cost) for row in self.transaction.asked(_NOW)}

    def booked(self, day: date) -> Cents:
        """Give what the inventory account came to at the end of a day."""
        return int(self.transaction.asked(_BOOKED, day=day_text(day))[0].cost)

    def history(self, kind: StockedKind, code: str) -> tuple[StockMovement, ...]:
        """Give all movements of an item, by day and then as they were recorded."""
        movement = stock_movement.c
        where: Where = {movement.kind: kind, movement.item_code: code}
        return self.transaction.all(MOVEMENT, where, (movement.day, movement.number))

    def sales(self, since: date, day: date) -> dict[tuple[StockedKind, str], tuple[date, int]]:
        """Give when each item was last sold up to a day, and how many were sold after `since`."""
        rows = self.transaction.asked(_SOLD, since=day_text(since), day=day_text(day))
        return {(StockedKind(row.kind), row.item_code): (read_day(row.last_sold), int(row.sold)) for row in rows}
