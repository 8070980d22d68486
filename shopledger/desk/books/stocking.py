"""Goods that come and go without a sale: received, counted, written off, given away, taken home by the owner."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final

from shopledger.desk.books.billing import receive_one
from shopledger.desk.books.goods_moves import bring_in, take_out
from shopledger.desk.books.shelf import stocked_item
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import GoodsBilled
from shopledger.ledger.books.bills import BillAccount
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.limits import MOVED, hold_amount, hold_pieces
from shopledger.ledger.stock import (
    FirstGoods,
    FirstGoodsError,
    OutOfStockError,
    StockedKind,
    StockMovement,
    StockReason,
)
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.ledger.usual import LOOKED_AT, unusual_goods
from shopledger.money.amount import Cents
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork

if TYPE_CHECKING:
    from shopledger.store.books.stock import StockLevel


@dataclass(frozen=True, slots=True)
class Received:
    """What lies on the shelf after goods came in, and the bill that was made of them."""

    on_hand: int
    account: BillAccount


def receive_stock(
    desk: Desk,
    kind: StockedKind | None,
    code: str,
    quantity: int,
    unit_cost: Cents,
    day: date | None = None,
    *,
    supplier: str = "",
    invoice: str = "",
    paid: SpendMethod | None = None,
    accept: frozenset[str] = frozenset(),
) -> Received:
    """Record goods that came in, as a bill of one line; a supplier who is not named is owed all the same."""
    if quantity < 1:
        raise RefusedError(
            "quantity", quantity, "what came in is 1 or more", "Use 'shopledger stock count' to correct a count."
        )
    hold_pieces("quantity", quantity, least=1)
    goods = GoodsBilled(code, quantity, unit_cost, kind=kind)
    with desk.writing() as work:
        account = receive_one(work, desk, goods, supplier=supplier, invoice=invoice, paid=paid, day=day, accept=accept)
        item, kind = stocked_item(work, kind, code)
        return Received(work.stock.level(kind, item.code).on_hand, account)


@dataclass(frozen=True, slots=True)
class Counted:
    """What a count found: how many more or fewer than in the books, what these cost, and how the item stands now."""

    difference: int
    cost: Cents
    level: StockLevel


def count_stock(
    desk: Desk,
    kind: StockedKind | None,
    code: str,
    counted: int,
    note: str = "",
    day: date | None = None,
    *,
    first: FirstGoods | None = None,
    accept: frozenset[str] = frozenset(),
) -> Counted:
    """Record what lay on the shelf at the end of a day, goods for orders that have not left among them.

    What is missing leaves at the cost of the oldest lots; what is found comes in at the cost last paid. Of what never
    came or went before, `first` says what it is.
    """
    if counted < 0:
        raise RefusedError("count", counted, "it may not be negative", "Type what lies on the shelf.")
    hold_pieces("count", counted)
    on, said = desk.day(day), clean_text("note", note, LONGEST_NOTE, required=False)
    with desk.writing() as work:
        work.periods.refuse_closed(on)
        item, kind = stocked_item(work, kind, code)
        level = work.stock.level(kind, item.code)
        difference = counted - work.stock.on_hand_on(kind, item.code, on)
        reason = _why(work, item.code, kind, first) if difference > 0 or first else StockReason.ADJUSTED
        if difference < 0:
            findings = short_for_orders(level, level.on_hand + difference)
        else:
            came = work.stock.came(kind, item.code, LOOKED_AT)
            findings = unusual_goods(item.code, difference, None, came, level.last_cost)
        accepted_warnings(findings, accept, strict=True)
        cost = 0
        if difference:
            hold_amount(f"cost of {difference} {item.code}", difference * level.last_cost, MOVED)
            found = StockMovement(on, kind, item.code, difference, 0, reason, note=said)
            posted = (
                bring_in(work, replace(found, cost=difference * level.last_cost))
                if difference > 0
                else take_out(work, found)
            )
            cost = posted.cost
        return Counted(difference, cost, work.stock.level(kind, item.code))


def needs_first(desk: Desk, kind: StockedKind | None, code: str) -> bool:
    """Tell whether goods that are counted in are the first of their item."""
    with desk.reading() as work:
        item, kind = stocked_item(work, kind, code)
        return not work.stock.moved(kind, item.code)


def _why(work: UnitOfWork, code: str, kind: StockedKind, first: FirstGoods | None) -> StockReason:
    """Give why counted goods come in, which has to be said of the first of an item and of no others."""
    moved = work.stock.moved(kind, code)
    if first is None:
        if not moved:
            raise FirstGoodsError(code)
        return StockReason.ADJUSTED
    if moved:
        raise RefusedError(
            f"first goods of {code}",
            first.value,
            "some of it came or went before, so what is more than in the books was found",
            "Leave --as out.",
        )
    return first.reason(code)


SHORT: Final = "SHORT-FOR-ORDERS"
"""The warning that orders which have not left would lack goods."""


@dataclass(frozen=True, slots=True)
class Leaving:
    """Goods to take from the shelf: what, how many, why, in words for the books, and on which day."""

    kind: StockedKind | None
    """None: whatever the catalogue has under the code."""
    code: str
    quantity: int
    reason: StockReason
    note: str = ""
    day: date | None = None
    accept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Left:
    """What left, with its cost, and how the item stands now."""

    movement: StockMovement
    level: StockLevel


def let_leave(desk: Desk, asked: Leaving) -> Left:
    """Take goods from the shelf, those that came in first, and post what they cost.

    What is reserved for orders is neither given away nor taken home. It can be broken or lost, though: a write-off
    that leaves fewer than orders need is a warning to accept.
    """
    day = desk.day(asked.day)
    note = clean_text("reason", asked.note, LONGEST_NOTE, required=asked.reason is StockReason.WRITTEN_OFF)
    if asked.quantity < 1:
        hint = "Use 'shopledger stock count' to correct a count."
        raise RefusedError("quantity", asked.quantity, "what leaves is 1 or more", hint)
    hold_pieces("quantity", asked.quantity, least=1)
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        item, kind = stocked_item(work, asked.kind, asked.code)
        code = item.code
        level = work.stock.level(kind, code)
        if asked.quantity > level.on_hand:
            raise OutOfStockError(code, asked.quantity, level.on_hand)
        if asked.reason is StockReason.WRITTEN_OFF:
            accepted_warnings(short_for_orders(level, level.on_hand - asked.quantity), asked.accept, strict=True)
        elif asked.quantity > level.free:
            raise OutOfStockError(code, asked.quantity, level.free)
        return _leave(work, StockMovement(day, kind, code, -asked.quantity, 0, asked.reason, note=note))


def short_for_orders(level: StockLevel, left: int) -> tuple[Finding, ...]:
    """Warn where fewer would be left than are reserved for orders that have not been shipped."""
    if left >= level.reserved:
        return ()
    sentence = (
        f"{level.reserved} {level.item_code} {'is' if level.reserved == 1 else 'are'} reserved for orders that have "
        f"not been shipped; with {left} left they cannot all be shipped."
    )
    return (
        Finding(
            Severity.WARNING, SHORT, "stock", str(left), str(level.reserved), "the shop's own open orders", sentence
        ),
    )


def _leave(work: UnitOfWork, movement: StockMovement) -> Left:
    posted = take_out(work, movement)
    return Left(posted, work.stock.level(posted.kind, posted.item_code))
