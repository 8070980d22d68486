"""Stock movements with the lots they fill and empty, and what they leave on hand."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import accumulate
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import Table, select

from shopledger.ledger.books.lots import Issue, Lot, issued
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import NotThereYetError, OutOfStockError, StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away
from shopledger.store.records import Record
from shopledger.store.scales import day_text
from shopledger.store.tables import stock as tables
from shopledger.store.tables.catalogue import accessory, frame
from shopledger.store.transaction import Area, Where

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
_LEFT_SINCE = """
SELECT 1 AS found FROM stock_issue WHERE lot = :lot AND movement_number > :movement AND quantity > 0 LIMIT 1
"""
_BOUGHT = frozenset({StockReason.OPENING, StockReason.RECEIVED})
"""What tells what one of an item was last bought for."""


@dataclass(frozen=True, slots=True)
class StockLevel:
    """What is on hand of one item, what open orders have reserved of it, and what one of it last cost."""

    kind: StockedKind
    item_code: str
    on_hand: int
    reserved: int
    last_cost: Cents

    @property
    def free(self) -> int:
        """How many may be sold."""
        return self.on_hand - self.reserved


MOVEMENT: Final = Record(StockMovement, tables.stock_movement, counter="movement")
ISSUE: Final = Record(Issue, tables.stock_issue, also=("movement_number",))
LOT: Final = Record(Lot, tables.stock_lot, also=("kind", "item_code"))
LEVEL: Final = Record(StockLevel, tables.stock_level, {"reserved": tables.stock_level.c.set_aside})


class Stock(Area):
    """The stock of the ledger; movements are added and never changed."""

    def bring(self, movement: StockMovement) -> StockMovement:
        """Post goods that come in, as a lot of their own; gives the movement back with its number."""
        posted = self._post(movement)
        lot = Lot(number_of(posted), posted.day, posted.quantity, posted.cost)
        self.transaction.put(LOT, lot, kind=posted.kind, item_code=posted.item_code)
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

    def reprice(self, movement: StockMovement, lot: Lot) -> StockMovement:
        """Post that what is left of a lot costs more, or less below zero; nothing comes or goes."""
        posted = self._post(movement)
        self._issue(posted, (Issue(lot.number, 0, -posted.cost),))
        return posted

    def reserve(self, kind: StockedKind, code: str, quantity: int) -> None:
        """Keep goods on the shelf for an order, or set them free again where the quantity is negative."""
        level = self.level(kind, code)
        if quantity > max(level.free, 0):
            raise OutOfStockError(code, quantity, level.free)
        self._write(replace(level, reserved=level.reserved + quantity))

    def level(self, kind: StockedKind, code: str) -> StockLevel:
        """Give what is on hand of an item; where none ever was, its cost is what the catalogue says."""
        found = self.transaction.one(LEVEL, _item(tables.stock_level, kind, code))
        return found or StockLevel(kind, code, 0, 0, self._listed_cost(kind, code))

    def moved(self, kind: StockedKind, code: str) -> bool:
        """Tell whether an item ever came or went."""
        return self.transaction.has(tables.stock_movement, _item(tables.stock_movement, kind, code))

    def came(self, kind: StockedKind, code: str, limit: int) -> tuple[StockMovement, ...]:
        """Give the newest movements by which an item came from outside."""
        movement = tables.stock_movement.c
        own = {**_item(tables.stock_movement, kind, code), movement.reason: list(_BOUGHT)}
        found = self.transaction.all(MOVEMENT, own, (movement.day, movement.number), newest=True, limit=limit)
        return tuple(each for each in found if each.quantity > 0)

    def on_hand_on(self, kind: StockedKind, code: str, day: date) -> int:
        """Give what was on hand of an item at the end of a day."""
        found = self.transaction.asked(_ON_HAND_ON, kind=kind.value, code=code, day=day_text(day))
        return int(found[0].on_hand)

    @property
    def values(self) -> StockValues:
        """What the stock was worth on any day, and how it moved."""
        from shopledger.store.books.stock_values import StockValues  # noqa: PLC0415 - only questions need it

        return StockValues(self.transaction)

    def movement(self, number: int) -> StockMovement:
        """Give the movement with that number."""
        return self.transaction.get(MOVEMENT, number)

    def left_since(self, lot: int, movement: int) -> bool:
        """Tell whether any of a lot left after a movement was posted."""
        return bool(self.transaction.asked(_LEFT_SINCE, lot=lot, movement=movement))

    def levels(self) -> tuple[StockLevel, ...]:
        """Give what is on hand of everything that ever moved, by kind and code."""
        level = tables.stock_level.c
        return self.transaction.all(LEVEL, order=(level.kind, level.item_code))

    def lots(self, kind: StockedKind, code: str) -> tuple[Lot, ...]:
        """Give the lots of an item that are not empty, the first that came in first."""
        lot = tables.stock_lot.c
        return self.transaction.all(LOT, _item(tables.stock_lot, kind, code), (lot.day, lot.number))

    def of_order(self, order_number: int) -> tuple[StockMovement, ...]:
        """Give the movements of an order, oldest first."""
        movement = tables.stock_movement.c
        return self.transaction.all(MOVEMENT, {movement.order_number: order_number}, (movement.number,))

    def _fewest_since(self, level: StockLevel, day: date) -> int:
        """Give the fewest that were on hand at the end of a day or of any later one."""
        rows = self.transaction.asked(_LATER, kind=level.kind.value, code=level.item_code, day=day_text(day))
        return min(accumulate((-int(row.moved) for row in rows), initial=level.on_hand))

    def _listed_cost(self, kind: StockedKind, code: str) -> Cents:
        listed = (frame.c.cost, frame.c.code) if kind is StockedKind.FRAME else (accessory.c.cost, accessory.c.code)
        cost, own = listed
        return next((row.cost for row in self.transaction.chosen(select(cost).where(own == code))), 0)

    def _post(self, movement: StockMovement) -> StockMovement:
        return self.transaction.post(MOVEMENT, movement)

    def _issue(self, posted: StockMovement, taken: Sequence[Issue]) -> None:
        self.transaction.put(ISSUE, *taken, movement_number=posted.number)
        number = tables.stock_lot.c.number
        lots = self.transaction.all(LOT, {number: [issue.lot for issue in taken]})
        for issue, lot in ((issue, lot) for issue in taken for lot in lots if lot.number == issue.lot):
            if lot.on_hand > issue.quantity:
                left = {"on_hand": lot.on_hand - issue.quantity, "cost": lot.cost - issue.cost}
                self.transaction.change(tables.stock_lot, left, {number: lot.number})
            else:
                self.transaction.remove(tables.stock_lot, {number: lot.number})

    def _write(self, level: StockLevel) -> None:
        if not self.transaction.rewrite(LEVEL, level, _item(tables.stock_level, level.kind, level.item_code)):
            self.transaction.put(LEVEL, level)


def _item(table: Table[Any], kind: StockedKind, code: str) -> Where:
    return {table.c.kind: kind, table.c.item_code: code}
