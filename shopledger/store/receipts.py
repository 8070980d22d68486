"""Receipts as issued: content frozen, each print counted, replaced at most once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.receipt import IssuedReceipt
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text
from shopledger.store.transaction import Transaction

_WITH_LIFE = """
SELECT receipt.*, replacement.replaced_by,
       (SELECT COUNT(*) FROM receipt_print print WHERE print.receipt_number = receipt.number) AS prints
FROM receipt LEFT JOIN receipt_replacement replacement ON replacement.receipt_number = receipt.number
"""


@dataclass(frozen=True, slots=True)
class Receipts:
    """The receipts of the ledger."""

    transaction: Transaction

    def next_number(self) -> int:
        """Take the next receipt number, for the content that is about to be frozen."""
        return self.transaction.next_number("receipt")

    def add(self, receipt: IssuedReceipt, replaces: int | None = None) -> IssuedReceipt:
        """Store an issued receipt, and that it takes the place of an earlier one if it does."""
        values = {
            "number": receipt.number,
            "order_number": receipt.order_number,
            "wearer_number": receipt.wearer_number,
            "canonical": receipt.canonical,
            "sha256": receipt.sha256,
        }
        self.transaction.add("receipt", {**values, **self.transaction.stamp})
        if replaces is not None:
            replacement = {"receipt_number": replaces, "replaced_by": receipt.number}
            self.transaction.add("receipt_replacement", {**replacement, **self.transaction.stamp})
        return receipt

    def get(self, number: int) -> IssuedReceipt:
        """Give the receipt with that number."""
        rows = self.transaction.asked(f"{_WITH_LIFE} WHERE receipt.number = :number", number=number)
        if not rows:
            raise NumberUnknownError("receipt", number)
        return _receipt(rows[0])

    def of_order(self, order_number: int) -> tuple[IssuedReceipt, ...]:
        """Give an order's receipts, oldest first."""
        question = f"{_WITH_LIFE} WHERE receipt.order_number = :order ORDER BY receipt.number"
        return _receipts(self.transaction.asked(question, order=order_number))

    def recent(self, limit: int = 20) -> tuple[IssuedReceipt, ...]:
        """Give the newest receipts, newest first."""
        question = f"{_WITH_LIFE} ORDER BY receipt.number DESC LIMIT :most"
        return _receipts(self.transaction.asked(question, most=limit))

    def record_print(self, number: int, day: date) -> int:
        """Count one more print of a receipt; gives how many there are now."""
        prints = self.get(number).prints + 1
        values = {"receipt_number": number, "position": prints, "day": day_text(day)}
        self.transaction.add("receipt_print", {**values, **self.transaction.stamp})
        return prints


def _receipts(rows: Sequence[Row[Any]]) -> tuple[IssuedReceipt, ...]:
    return tuple(_receipt(row) for row in rows)


def _receipt(row: Row[Any]) -> IssuedReceipt:
    return IssuedReceipt(
        number=row.number,
        order_number=row.order_number,
        wearer_number=row.wearer_number,
        canonical=row.canonical,
        sha256=row.sha256,
        prints=row.prints,
        replaced_by=row.replaced_by,
    )
