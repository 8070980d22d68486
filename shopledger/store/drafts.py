"""Drafted orders, and the orders they became."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.orders import Draft
from shopledger.store.refusals import DuplicateError, NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_WITH_ORDER = """
SELECT draft_order.*, recording.order_number
FROM draft_order LEFT JOIN draft_recording recording ON recording.draft_number = draft_order.number
"""


@dataclass(frozen=True, slots=True)
class Drafts:
    """The drafted orders of the ledger."""

    transaction: Transaction

    def add(self, customer_number: int, day: date, reason: str, body: str) -> int:
        """Store a draft; gives its number."""
        number = self.transaction.next_number("draft")
        values = {"customer_number": customer_number, "day": day_text(day), "reason": reason, "body": body}
        self.transaction.add("draft_order", {"number": number, **values, **self.transaction.stamp})
        return number

    def get(self, number: int) -> Draft:
        """Give the draft with that number."""
        rows = self.transaction.asked(f"{_WITH_ORDER} WHERE draft_order.number = :number", number=number)
        if not rows:
            raise NumberUnknownError("draft", number)
        return _draft(rows[0])

    def open(self) -> tuple[Draft, ...]:
        """Give the drafts that have not become orders, oldest first."""
        rows = self.transaction.asked(f"{_WITH_ORDER} WHERE recording.order_number IS NULL ORDER BY draft_order.number")
        return tuple(_draft(row) for row in rows)

    def mark_recorded(self, number: int, order_number: int) -> None:
        """Write down that a draft became an order; a draft becomes one order."""
        if self.get(number).order_number is not None:
            raise DuplicateError("recorded order", f"draft {number}")
        values = {"draft_number": number, "order_number": order_number}
        self.transaction.add("draft_recording", {**values, **self.transaction.stamp})


def _draft(row: Row[Any]) -> Draft:
    return Draft(row.number, row.customer_number, read_day(row.day), row.reason, row.body, row.order_number)
