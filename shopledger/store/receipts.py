"""Receipts as issued: content frozen, each print counted, replaced at most once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Final

from sqlalchemy import Column, func, select

from shopledger.ledger.canonical import content_hash
from shopledger.ledger.receipt import PAID_SINCE, IssuedReceipt, Unclaimed
from shopledger.ledger.shipping import served_on
from shopledger.store.orders import Orders
from shopledger.store.parcels import Parcels
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError, WordingLostError
from shopledger.store.scales import day_text
from shopledger.store.tables.receipts import (
    paper_wording,
    receipt,
    receipt_claim,
    receipt_print,
    receipt_replacement,
)
from shopledger.store.transaction import Area

_UNCLAIMED: Final = """
SELECT line.order_number, line.wearer_number, customer.name AS customer, wearer.name AS wearer,
    wearer.claim_within_days
FROM (
    SELECT placed.number AS order_number, own.wearer_number
    FROM shop_order placed JOIN order_line own ON own.order_number = placed.number
    WHERE placed.day >= :since AND own.wearer_number IS NOT NULL
  UNION
    SELECT own.order_number, own.wearer_number
    FROM wearer JOIN order_line own ON own.wearer_number = wearer.number
    WHERE wearer.claim_within_days > :usual
) line
JOIN shop_order ON shop_order.number = line.order_number
JOIN customer ON customer.number = shop_order.customer_number
JOIN wearer ON wearer.number = line.wearer_number
WHERE wearer.erased_on IS NULL
  AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = line.order_number)
  AND NOT EXISTS (
    SELECT 1 FROM receipt JOIN receipt_claim claim ON claim.receipt_number = receipt.number
    LEFT JOIN receipt_replacement replacement ON replacement.receipt_number = receipt.number
    WHERE receipt.order_number = line.order_number AND receipt.wearer_number = line.wearer_number
      AND replacement.replaced_by IS NULL)
ORDER BY line.order_number, line.wearer_number
"""

_NUMBER: Final[Column[int]] = receipt.c.number
_PRINTS: Final = (
    select(func.count()).select_from(receipt_print).where(receipt_print.c.receipt_number == _NUMBER).scalar_subquery()
)
RECEIPT: Final = Record(
    IssuedReceipt,
    receipt,
    {
        "prints": _PRINTS,
        "replaced_by": receipt_replacement.c.replaced_by,
        "replaced_because": func.coalesce(receipt_replacement.c.reason, ""),
        "claimed_on": receipt_claim.c.day,
    },
    source=receipt.outerjoin(receipt_replacement, receipt_replacement.c.receipt_number == _NUMBER).outerjoin(
        receipt_claim, receipt_claim.c.receipt_number == _NUMBER
    ),
)


class Receipts(Area):
    """The receipts of the ledger."""

    def next_number(self) -> int:
        """Take the next receipt number, for the content that is about to be frozen."""
        return self.transaction.next_number("receipt")

    def add(self, receipt: IssuedReceipt, replaces: int | None = None, because: str = PAID_SINCE) -> IssuedReceipt:
        """Store an issued receipt, and that it takes the place of an earlier one if it does."""
        self.transaction.put(RECEIPT, receipt)
        if replaces is not None:
            replacement = {"receipt_number": replaces, "replaced_by": receipt.number, "reason": because}
            self.transaction.add(receipt_replacement, replacement)
        return receipt

    def get(self, number: int) -> IssuedReceipt:
        """Give the receipt with that number."""
        return self.transaction.get(RECEIPT, number)

    def of_order(self, order_number: int) -> tuple[IssuedReceipt, ...]:
        """Give an order's receipts, oldest first."""
        return self.of_orders([order_number])[order_number]

    def of_orders(self, numbers: list[int]) -> Mapping[int, tuple[IssuedReceipt, ...]]:
        """Give the receipts of each order, oldest first."""
        return self.transaction.groups(RECEIPT, receipt.c.order_number, {receipt.c.order_number: numbers}, (_NUMBER,))

    def holding(self, numbers: list[int]) -> Mapping[int, tuple[IssuedReceipt, ...]]:
        """Give the receipts of each order whose place no other took, oldest first."""
        where = {receipt.c.order_number: numbers, receipt_replacement.c.replaced_by: None}
        return self.transaction.groups(RECEIPT, receipt.c.order_number, where, (_NUMBER,))

    def recent(self, limit: int = 20) -> tuple[IssuedReceipt, ...]:
        """Give the newest receipts, newest first."""
        return self.transaction.all(RECEIPT, order=(_NUMBER,), newest=True, limit=limit)

    def keep_wording(self, body: str) -> str:
        """Keep the wording that a receipt is printed with, once for all receipts that use it; gives its hash."""
        sha256 = content_hash(body)
        if not self.transaction.has(paper_wording, {paper_wording.c.sha256: sha256}):
            self.transaction.add(paper_wording, {"sha256": sha256, "body": body})
        return sha256

    def wording(self, sha256: str) -> str:
        """Give a kept wording by its hash."""
        body = paper_wording.c.body
        for row in self.transaction.chosen(select(body).where(paper_wording.c.sha256 == sha256)):
            if content_hash(row.body) == sha256:
                return str(row.body)
        raise WordingLostError(sha256)

    def mark_claimed(self, number: int, day: date) -> None:
        """Note that a receipt was handed in; it is noted once."""
        if self.transaction.has(receipt_claim, {receipt_claim.c.receipt_number: number}):
            raise DuplicateError("claim", f"receipt {number}")
        self.transaction.add(receipt_claim, {"receipt_number": number, "day": day})

    def unclaimed(self, since: date, usual_days: int) -> tuple[Unclaimed, ...]:
        """Give each wearer's part of an order of which no receipt was handed in, by order; cancelled ones not.

        Orders before a day are passed over, save those of wearers whose plan gives longer than usual.
        """
        rows = self.transaction.asked(_UNCLAIMED, since=day_text(since), usual=usual_days)
        served = self.served([row.order_number for row in rows])
        return tuple(
            Unclaimed(number, wearer_number, customer, wearer, limit, served(number, wearer_number))
            for number, wearer_number, customer, wearer, limit in rows
        )

    def served(self, orders: Iterable[int]) -> Callable[[int, int], date | None]:
        """Give what says, by an order of these and a wearer, on which day the last of that wearer's goods left."""
        numbers = list(dict.fromkeys(orders))
        parcels = Parcels(self.transaction)
        whole = parcels.left_whole(numbers)
        others = Orders(self.transaction).accounts(sorted(parcels.sent_of(numbers) - whole.keys()))

        def day_of(number: int, wearer_number: int) -> date | None:
            account = others.get(number)
            return served_on(account, (wearer_number,)) if account else whole.get(number)

        return day_of

    def record_print(self, number: int, day: date) -> int:
        """Count one more print of a receipt; gives how many there are now."""
        prints = self.get(number).prints + 1
        self.transaction.add(receipt_print, {"receipt_number": number, "position": prints, "day": day})
        return prints
