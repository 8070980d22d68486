"""Drafted orders, and the orders they became."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.orders import Draft
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.tables.payments import draft_order, draft_recording
from shopledger.store.transaction import Area

DRAFT: Final = Record(
    Draft,
    draft_order,
    {"order_number": draft_recording.c.order_number},
    source=draft_order.outerjoin(draft_recording, draft_recording.c.draft_number == draft_order.c.number),
    counter="draft",
)


class Drafts(Area):
    """The drafted orders of the ledger."""

    def add(self, customer_number: int, day: date, reason: str, body: str) -> int:
        """Store a draft; gives its number."""
        number = self.transaction.next_number(DRAFT.counter)
        self.transaction.put(DRAFT, Draft(number, customer_number, day, reason, body))
        return number

    def get(self, number: int) -> Draft:
        """Give the draft with that number."""
        return self.transaction.get(DRAFT, number)

    def open(self) -> tuple[Draft, ...]:
        """Give the drafts that have not become orders, oldest first."""
        return self.transaction.all(DRAFT, {draft_recording.c.order_number: None}, (draft_order.c.number,))

    def mark_recorded(self, number: int, order_number: int) -> None:
        """Write down that a draft became an order; a draft becomes one order."""
        if self.get(number).order_number is not None:
            raise DuplicateError("recorded order", f"draft {number}")
        self.transaction.add(draft_recording, {"draft_number": number, "order_number": order_number})
