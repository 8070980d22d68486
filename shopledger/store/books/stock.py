"""Stock movements with the lots they fill and empty, and what they leave on hand."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate
from typing import TYPE_CHECKING, Any

from sqlalchemy import Row

from shopledger.ledger.books.lots import Issue, Lot, issued
from shopledger.ledger.stock import NotThereYetError, OutOfStockError, StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away
from shopledger.store.books.stock_rows import movement_of
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

if TYPE_CHECKING:
    from shopledger.store.books.stock_values import StockValues

_ON_HAND_ON = """
SELECT COALESCE(SUM(quantity), 0) AS on_hand FROM stock_movement
WHERE kind = :kind AND item_code = :code AND day <= :day
"""
_LATER = """
SELECT day, SUM(quantity) AS moved FROM stock_movement
WHERE kind = :kind AND item_code = :code AND day > :day GROUP BY day ORDER BY day DESC
"""
_BOUGHT = frozenset({StockReason.OPENING, StockReason.RECEIVED})
"""What tells what one of an item was last bought for."""


@dataclass(frozen=True, slots=True)
class StockLevel:
    """What is on hand of one item, what open orders have set aside of it, and what one of it last cost."""

    kind: StockedKind
    item_code: str
    on_hand: int
    set_aside: int
    last_cost: Cents

    @property
    def free(self) -> int:
        """How many may be sold."""
        return self.on_hand - self.set_aside


@dataclass(frozen=True, slots=True)
class Stock:
    """The stock of the ledger; movements are added and never changed."""

    transaction: Transaction

    def bring(self, movement: StockMovement) -> StockMovement:
        """Post goods that come in, as a lot of their own; gives the movement back with its number."""
        posted = self._post(movement)
        lot = {
            "number": posted.number,
            "kind": posted.kind.value,
            "item_code": posted.item_code,
            "day": day_text(posted.day),
            "on_hand": posted.quantity,
            "cost": posted.cost,
        }
        self.transaction.add("stock_lot", lot)
        level = self.level(posted.kind, posted.item_code)
        cost = level.last_cost
        if posted.reason in _BOUGHT:
            cost = round_half_away(posted.cost, posted.quantity)
        self._write(replace(level, on_hand=level.on_hand + posted.quantity, last_cost=cost))
        return posted

    def take(self, movement: StockMovement, first: Collection[int] = ()) -> StockMovement:
        """Post goods that leave, from the lots that came in first; gives the movement with its number and cost.

        The cost of the movement given is not looked at. More than is on hand, on the day of the movement or on any day
        since, is refused. Lots named in `first` are emptied before all others.
        """
        level = self.level(movement.kind, movement.item_code)
        if -movement.quantity > level.on_hand:
            raise OutOfStockError(movement.item_code, -movement.quantity, level.on_hand)
        there = self._fewest_since(level, movement.day)
        if -movement.quantity > there:
            raise NotThereYetError(movement.item_code, -movement.quantity, there, movement.day)
        lots = sorted(self.lots(movement.kind, movement.item_code), key=lambda lot: lot.number not in first)
        taken = issued(lots, -movement.quantity)
        posted = self._post(replace(movement, cost=-sum(issue.cost for issue in taken)))
        self._issue(posted, taken)
        self._write(replace(level, on_hand=level.on_hand + posted.quantity))
        return posted

    def set_aside(self, kind: StockedKind, code: str, quantity: int) -> None:
        """Keep goods on the shelf for an order, or set them free again where the quantity is negative."""
        level = self.level(kind, code)
        if quantity > max(level.free, 0):
            raise OutOfStockError(code, quantity, level.free)
        self._write(replace(level, set_aside=level.set_aside + quantity))

    def level(self, kind: StockedKind, code: str) -> StockLevel:
        """Give what is on hand of an item; where none ever was, its cost is what the catalogue says."""
        row = self.transaction.row("stock_level", kind=kind.value, item_code=code)
        if row is not None:
            return _level(row)
        item = self.transaction.row(kind.value, code=code)
        return StockLevel(kind, code, 0, 0, int(item.cost) if item is not None else 0)

    def on_hand_on(self, kind: StockedKind, code: str, day: date) -> int:
        """Give what was on hand of an item at the end of a day."""
        found = self.transaction.asked(_ON_HAND_ON, kind=kind.value, code=code, day=day_text(day))
        return int(found[0].on_hand)

    @property
    def values(self) -> StockValues:
        """What the stock was worth on any day, and how it moved."""
        from shopledger.store.books.stock_values import StockValues  # noqa: PLC0415 - only questions need it

        return StockValues(self.transaction)

    def levels(self) -> tuple[StockLevel, ...]:
        """Give what is on hand of everything that ever moved, by kind and code."""
        return tuple(_level(row) for row in self.transaction.rows("stock_level", order=("kind", "item_code")))

    def lots(self, kind: StockedKind, code: str) -> tuple[Lot, ...]:
        """Give the lots of an item that are not empty, the first that came in first."""
        rows = self.transaction.rows("stock_lot", {"kind": kind.value, "item_code": code}, order=("day", "number"))
        return tuple(Lot(row.number, read_day(row.day), row.on_hand, row.cost) for row in rows)

    def of_order(self, order_number: int) -> tuple[StockMovement, ...]:
        """Give the movements of an order, oldest first."""
        rows = self.transaction.rows("stock_movement", {"order_number": order_number}, order=("number",))
        return tuple(movement_of(row) for row in rows)

    def _fewest_since(self, level: StockLevel, day: date) -> int:
        """Give the fewest that were on hand at the end of a day or of any later one."""
        rows = self.transaction.asked(_LATER, kind=level.kind.value, code=level.item_code, day=day_text(day))
        return min(accumulate((-int(row.moved) for row in rows), initial=level.on_hand))

    def _post(self, movement: StockMovement) -> StockMovement:
        posted = replace(movement, number=self.transaction.next_number("movement"))
        values = {
            "number": posted.number,
            "day": day_text(posted.day),
            "kind": posted.kind.value,
            "item_code": posted.item_code,
            "quantity": posted.quantity,
            "cost": posted.cost,
            "reason": posted.reason.value,
            "order_number": posted.order_number,
            "job_number": posted.job_number,
            "bill_number": posted.bill_number,
            "note": posted.note,
        }
        self.transaction.add("stock_movement", {**values, **self.transaction.stamp})
        return posted

    def _issue(self, posted: StockMovement, taken: Iterable[Issue]) -> None:
        for place, issue in enumerate(taken, start=1):
            values = {"movement_number": posted.number, "position": place}
            self.transaction.add(
                "stock_issue", {**values, "lot": issue.lot, "quantity": issue.quantity, "cost": issue.cost}
            )
            lot = self.transaction.row("stock_lot", number=issue.lot)
            if lot is not None and lot.on_hand > issue.quantity:
                left = {"on_hand": lot.on_hand - issue.quantity, "cost": lot.cost - issue.cost}
                self.transaction.change("stock_lot", left, number=issue.lot)
            else:
                self.transaction.remove("stock_lot", number=issue.lot)

    def _write(self, level: StockLevel) -> None:
        key = {"kind": level.kind.value, "item_code": level.item_code}
        values = {"on_hand": level.on_hand, "set_aside": level.set_aside, "last_cost": level.last_cost}
        if not self.transaction.change("stock_level", values, **key):
            self.transaction.add("stock_level", {**key, **values})


def _level(row: Row[Any]) -> StockLevel:
    return StockLevel(StockedKind(row.kind), row.item_code, row.on_hand, row.set_aside, row.last_cost)
