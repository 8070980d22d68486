"""Months closed and reopened; a month is closed while the newest that was done to it says so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.closing import MonthState, PeriodDeed, PeriodEvent
from shopledger.ledger.books.journal import NET_SALES, Head
from shopledger.ledger.books.period import Month
from shopledger.store.refusals import MonthClosedError
from shopledger.store.transaction import Transaction
from shopledger.store.words import listed

_NEWEST: Final = """
SELECT * FROM period_event event
WHERE event.number = (SELECT MAX(number) FROM period_event later WHERE later.month = event.month)
ORDER BY event.month
"""
_ENTRIES: Final = """
SELECT substr(day, 1, 7) AS month, COUNT(*) AS entries FROM journal_entry GROUP BY substr(day, 1, 7) ORDER BY month
"""
_NET_SALES: Final = f"""
SELECT substr(entry.day, 1, 7) AS month, -SUM(posting.amount) AS amount
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE posting.account IN {listed(NET_SALES)}
GROUP BY substr(entry.day, 1, 7)
"""  # noqa: S608 - the words of the ledger


@dataclass(frozen=True, slots=True)
class Periods:
    """The months of the ledger, open and closed."""

    transaction: Transaction

    def add(self, event: PeriodEvent) -> PeriodEvent:
        """Store that a month was closed or reopened; gives it back with its number."""
        number = self.transaction.next_number("period")
        values = {
            "number": number,
            "month": str(event.month),
            "deed": event.deed.value,
            "reason": event.reason,
            "accepted": " ".join(event.accepted),
            "head_count": event.head.count,
            "head_hash": event.head.hash,
        }
        self.transaction.add("period_event", {**values, **self.transaction.stamp})
        return replace(
            event, number=number, operator=self.transaction.operator, recorded_at=self.transaction.recorded_at
        )

    def newest(self, month: Month) -> PeriodEvent | None:
        """Give what was last done to a month, or None where nothing ever was."""
        rows = self.transaction.rows("period_event", {"month": str(month)}, order=("number",), newest=True, limit=1)
        return _event(rows[0]) if rows else None

    def is_closed(self, month: Month) -> bool:
        """Tell whether a month takes nothing more."""
        event = self.newest(month)
        return event is not None and event.deed is PeriodDeed.CLOSED

    def closed_months(self) -> tuple[Month, ...]:
        """Give the months that are closed, oldest first."""
        events = (_event(row) for row in self.transaction.asked(_NEWEST))
        return tuple(event.month for event in events if event.deed is PeriodDeed.CLOSED)

    def refuse_closed(self, day: date) -> None:
        """Refuse a day whose month is closed, naming the month."""
        month = Month(day.year, day.month)
        if self.is_closed(month):
            raise MonthClosedError(str(month))

    def history(self, month: Month) -> tuple[PeriodEvent, ...]:
        """Give all that was done to a month, oldest first."""
        rows = self.transaction.rows("period_event", {"month": str(month)}, order=("number",))
        return tuple(_event(row) for row in rows)

    def states(self) -> tuple[MonthState, ...]:
        """Give every month that has entries or was ever closed, oldest first."""
        entries = {Month.read(row.month): int(row.entries) for row in self.transaction.asked(_ENTRIES)}
        events = {event.month: event for event in map(_event, self.transaction.asked(_NEWEST))}
        sold = {Month.read(row.month): int(row.amount) for row in self.transaction.asked(_NET_SALES)}
        months = sorted({*entries, *events})
        return tuple(
            MonthState(month, entries.get(month, 0), events.get(month), sold.get(month, 0)) for month in months
        )


def _event(row: Row[Any]) -> PeriodEvent:
    return PeriodEvent(
        month=Month.read(row.month),
        deed=PeriodDeed(row.deed),
        reason=row.reason,
        accepted=tuple(row.accepted.split()),
        head=Head(row.head_count, row.head_hash),
        operator=row.operator,
        recorded_at=row.recorded_at,
        number=row.number,
    )
