"""Issued receipts looked at: as they were frozen, and which of them their order has overtaken."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shopledger.desk.context import Desk
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.overtaken import overtaken
from shopledger.ledger.receipt import IssuedReceipt
from shopledger.store.work import UnitOfWork


def receipt_numbered(desk: Desk, number: int) -> IssuedReceipt:
    """Give an issued receipt; the look is noted. Of one whose wearer was erased the tombstone is left."""
    with desk.noting(Deed.LOOKED_AT_RECEIPT, Subject.RECEIPT, number) as work:
        return work.receipts.get(number)


def receipts(desk: Desk, order_number: int | None = None, limit: int = 50) -> tuple[IssuedReceipt, ...]:
    """Give an order's receipts, or the newest of all, newest first."""
    with desk.reading() as work:
        if order_number is None:
            return work.receipts.recent(limit)
        return tuple(reversed(work.receipts.of_order(order_number)))


def overtaken_of(desk: Desk, issued: Sequence[IssuedReceipt]) -> frozenset[int]:
    """Give the numbers of those receipts that their order has overtaken, and that nothing replaced yet."""
    with desk.reading() as work:
        return overtaken_among(work, issued)


def overtaken_among(work: UnitOfWork, issued: Iterable[IssuedReceipt]) -> frozenset[int]:
    """Give the numbers of those receipts that their order has overtaken, inside a transaction."""
    holding = [each for each in issued if each.replaced_by is None]
    return overtaken(holding, work.orders.sums(sorted({each.order_number for each in holding})))
