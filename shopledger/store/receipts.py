"""Receipts as issued: content frozen, each print counted, replaced at most once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.canonical import content_hash
from shopledger.ledger.receipt import PAID_SINCE, IssuedReceipt
from shopledger.store.refusals import DuplicateError, NumberUnknownError, WordingLostError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_WITH_LIFE = """
SELECT receipt.*, replacement.replaced_by, replacement.reason AS replaced_because, claim.day AS claimed_on,
       (SELECT COUNT(*) FROM receipt_print print WHERE print.receipt_number = receipt.number) AS prints
FROM receipt LEFT JOIN receipt_replacement replacement ON replacement.receipt_number = receipt.number
     LEFT JOIN receipt_claim claim ON claim.receipt_number = receipt.number
"""

_NEVER_PRINTED = f"""
{_WITH_LIFE} WHERE replacement.replaced_by IS NULL
  AND NOT EXISTS (SELECT 1 FROM receipt_print print WHERE print.receipt_number = receipt.number)
ORDER BY receipt.number
"""  # noqa: S608 - the words above
_UNCLAIMED = """
SELECT line.order_number, line.wearer_number
FROM (
    SELECT placed.number AS order_number, own.wearer_number
    FROM shop_order placed JOIN order_line own ON own.order_number = placed.number
    WHERE placed.day >= :since AND own.wearer_number IS NOT NULL
  UNION
    SELECT own.order_number, own.wearer_number
    FROM wearer JOIN order_line own ON own.wearer_number = wearer.number
    WHERE wearer.claim_within_days > :usual
) line
WHERE NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = line.order_number)
  AND NOT EXISTS (
    SELECT 1 FROM receipt JOIN receipt_claim claim ON claim.receipt_number = receipt.number
    LEFT JOIN receipt_replacement replacement ON replacement.receipt_number = receipt.number
    WHERE receipt.order_number = line.order_number AND receipt.wearer_number = line.wearer_number
      AND replacement.replaced_by IS NULL)
ORDER BY line.order_number, line.wearer_number
"""


@dataclass(frozen=True, slots=True)
class Receipts:
    """The receipts of the ledger."""

    transaction: Transaction

    def next_number(self) -> int:
        """Take the next receipt number, for the content that is about to be frozen."""
        return self.transaction.next_number("receipt")

    def add(self, receipt: IssuedReceipt, replaces: int | None = None, because: str = PAID_SINCE) -> IssuedReceipt:
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
            replacement = {"receipt_number": replaces, "replaced_by": receipt.number, "reason": because}
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

    def keep_wording(self, body: str) -> str:
        """Keep the wording that a receipt is printed with, once for all receipts that use it; gives its hash."""
        sha256 = content_hash(body)
        if self.transaction.row("paper_wording", sha256=sha256) is None:
            self.transaction.add("paper_wording", {"sha256": sha256, "body": body, **self.transaction.stamp})
        return sha256

    def wording(self, sha256: str) -> str:
        """Give a kept wording by its hash."""
        row = self.transaction.row("paper_wording", sha256=sha256)
        if row is None or content_hash(row.body) != sha256:
            raise WordingLostError(sha256)
        return str(row.body)

    def mark_claimed(self, number: int, day: date) -> None:
        """Note that a receipt was handed in; it is noted once."""
        if self.transaction.row("receipt_claim", receipt_number=number) is not None:
            raise DuplicateError("claim", f"receipt {number}")
        self.transaction.add(
            "receipt_claim", {"receipt_number": number, "day": day_text(day), **self.transaction.stamp}
        )

    def never_printed(self) -> tuple[IssuedReceipt, ...]:
        """Give the receipts that were numbered but whose print never came, oldest first."""
        return _receipts(self.transaction.asked(_NEVER_PRINTED))

    def unclaimed(self, since: date, usual_days: int) -> tuple[tuple[int, int], ...]:
        """Give each order and wearer with something sold and no receipt handed in, by order; cancelled ones not.

        Orders before a day are passed over, save those of wearers whose plan gives longer than usual.
        """
        rows = self.transaction.asked(_UNCLAIMED, since=day_text(since), usual=usual_days)
        return tuple((row.order_number, row.wearer_number) for row in rows)

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
        replaced_because=row.replaced_because or "",
        claimed_on=read_day(row.claimed_on),
    )
