"""Looking at the stock: what is on hand and free, what it is worth, how it moved, what to reorder, how long it lies."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate
from typing import TYPE_CHECKING, Final

from shopledger.errors import RefusedError, UnknownNameError, nearest
from shopledger.ledger.books.stock_values import AgedItem, ItemStock, ItemValue, LowItem, aged, by_item
from shopledger.ledger.catalogue import Accessory, Frame
from shopledger.ledger.stock import StockedKind, StockMovement
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork

OF_LATE: Final = 90
"""How many days of sales stand beside an item to reorder."""


@dataclass(frozen=True, slots=True)
class StockWorth:
    """What the stock was worth at the end of a day, item by item, and what the inventory account said."""

    day: date
    items: tuple[ItemValue, ...]
    booked: Cents

    @property
    def total(self) -> Cents:
        """What everything on hand cost."""
        return sum(item.cost for item in self.items)


@dataclass(frozen=True, slots=True)
class Moved:
    """A movement with what was on hand after it, and what that had cost."""

    movement: StockMovement
    on_hand: int
    value: Cents


def stock_now(desk: Desk) -> tuple[ItemStock, ...]:
    """Give every frame and accessory that the shop keeps as it stands now."""
    with desk.reading() as work:
        return tuple(_standing(work))


def stock_value(desk: Desk, day: date | None = None) -> StockWorth:
    """Give what was on hand at the end of a day, lot by lot, with what it cost."""
    on = desk.past_day(day)
    with desk.reading() as work:
        return StockWorth(on, _values(work, on), work.stock.values.booked(on))


def stock_history(desk: Desk, kind: StockedKind | None, code: str) -> tuple[StockedKind, tuple[Moved, ...]]:
    """Give what a code names, and every movement of it by day, with what was on hand after it."""
    with desk.reading() as work:
        item, kind = stocked_item(work, kind, code)
        movements = work.stock.values.history(kind, item.code)
    counts = accumulate(each.quantity for each in movements)
    costs = accumulate(each.cost for each in movements)
    return kind, tuple(map(Moved, movements, counts, costs))


def low_stock(desk: Desk, below: int = 1) -> tuple[LowItem, ...]:
    """Give the items of which no more than so many may still be sold: those sold most of late first."""
    if below < 0:
        raise RefusedError("below", below, "it may not be negative", "Type 0 or more.")
    with desk.reading() as work:
        sales = work.stock.values.sales(desk.today - timedelta(days=OF_LATE), desk.today)
        found = [
            LowItem(item, *sales.get((item.kind, item.item_code), (None, 0)))
            for item in _standing(work)
            if item.free <= below
        ]
    return tuple(sorted(found, key=lambda low: (-low.sold, low.item.item_code)))


def stock_ageing(desk: Desk, day: date | None = None) -> tuple[AgedItem, ...]:
    """Give each item's goods at the end of a day by how long they had lain there."""
    on = desk.past_day(day)
    with desk.reading() as work:
        return tuple(aged(item, on) for item in _values(work, on))


def stocked_item(work: UnitOfWork, kind: StockedKind | None, code: str) -> tuple[Frame | Accessory, StockedKind]:
    """Give the frame or accessory that a code names, and which it is; a customer's own frame is no stock."""
    kinds = tuple(StockedKind) if kind is None else (kind,)
    called = [(_called(work, each, code), each) for each in kinds]
    found = [(item, each) for item, each in called if item is not None]
    if not found:
        codes = [item.code for item, each in _kept(work) if each in kinds]
        words = " or ".join(each.value for each in kinds)
        raise UnknownNameError(words, code, nearest(code.strip().upper(), codes), "Add it to the catalogue first.")
    if len(found) > 1:
        hint = 'Say which is meant: --kind frame or --kind accessory, in a bill\'s file kind = "frame" on its line.'
        raise RefusedError("code", code, "a frame and an accessory are both called so", hint)
    owner = getattr(found[0][0], "owned_by", None)
    if owner is not None:
        raise RefusedError("frame", found[0][0].code, f"it belongs to customer {owner}", "It is no stock of the shop.")
    return found[0]


def _called(work: UnitOfWork, kind: StockedKind, code: str) -> Frame | Accessory | None:
    with suppress(UnknownNameError):
        return work.catalogue.frame(code) if kind is StockedKind.FRAME else work.catalogue.accessory(code)
    return None


def _standing(work: UnitOfWork) -> Iterator[ItemStock]:
    levels = {(level.kind, level.item_code): level for level in work.stock.levels()}
    costs = work.stock.values.costs_now()
    for item, kind in _kept(work):
        level = levels.get((kind, item.code))
        cost = costs.get((kind, item.code), 0)
        words = _described(item)
        if level is None:
            yield ItemStock(kind, item.code, words, 0, 0, item.cost, cost)
        else:
            yield ItemStock(kind, item.code, words, level.on_hand, level.reserved, level.last_cost, cost)


def _values(work: UnitOfWork, day: date) -> tuple[ItemValue, ...]:
    words = {(kind, item.code): _described(item) for item, kind in _kept(work)}
    return by_item(work.stock.values.lots_on(day), words)


def _kept(work: UnitOfWork) -> Iterator[tuple[Frame | Accessory, StockedKind]]:
    for frame in work.catalogue.frames():
        if frame.owned_by is None:
            yield frame, StockedKind.FRAME
    for accessory in work.catalogue.accessories():
        yield accessory, StockedKind.ACCESSORY


def _described(item: Frame | Accessory) -> str:
    return item.description if isinstance(item, Frame) else item.name
