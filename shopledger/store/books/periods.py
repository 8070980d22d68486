"""Months closed and reopened; a month is closed while the newest that was done to it says so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final

from shopledger.ledger.audit import Looks
from shopledger.ledger.books.closing import ClosedAs, MonthState, PeriodDeed, PeriodEvent
from shopledger.ledger.books.journal import NET_SALES, Head
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.numbers import number_of
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import MonthClosedError
from shopledger.store.tables.periods import closed_as, closed_look, period_event
from shopledger.store.transaction import Area
from shopledger.store.words import listed

_ENTRIES: Final = """
SELECT substr(day, 1, 7) AS month, COUNT(*) AS entries FROM journal_entry GROUP BY substr(day, 1, 7) ORDER BY month
"""
_NET_SALES: Final = f"""
SELECT substr(entry.day, 1, 7) AS month, -SUM(posting.amount) AS amount
FROM journal_posting posting JOIN journal_entry entry ON entry.number = posting.entry_number
WHERE posting.account IN {listed(NET_SALES)}
GROUP BY substr(entry.day, 1, 7)
"""  # noqa: S608 - the words of the ledger


EVENT: Final = Record(PeriodEvent, period_event, {"head": Fields(Head, period_event, prefix="head_")}, counter="period")
CLOSED_AS: Final = Record(ClosedAs, closed_as, parts=("looks",))
LOOKS: Final = Record(Looks, closed_look, {"operator": closed_look.c.looker}, also=("event_number",))


class Periods(Area):
    """The months of the ledger, open and closed."""

    def add(self, event: PeriodEvent) -> PeriodEvent:
        """Store that a month was closed or reopened; gives it back with its number."""
        operator, recorded_at = self.transaction.stamp.values()
        return replace(self.transaction.post(EVENT, event), operator=operator, recorded_at=recorded_at)

    def keep(self, shown: ClosedAs) -> None:
        """Store what a closed month's workbook goes on saying beside its rows."""
        self.transaction.put(CLOSED_AS, shown)
        self.transaction.put(LOOKS, *shown.looks, event_number=shown.event_number)

    def closed_as(self, closing: int) -> ClosedAs | None:
        """Give what was kept with a closing; nothing where an earlier form of the ledger kept none."""
        own = {closed_look.c.event_number: closing}
        looks = self.transaction.all(LOOKS, own, (closed_look.c.position,))
        found = self.transaction.unfinished(CLOSED_AS, (), {closed_as.c.event_number: closing})
        return next((made(looks=looks) for _, made in found), None)

    def last_closing(self, period: Period) -> PeriodEvent | None:
        """Give what was done last to close a month of a period, or None where none of them is closed."""
        events = self._newest()
        closed = (event for month, event in events.items() if month in period.months)
        return max((event for event in closed if event.deed is PeriodDeed.CLOSED), key=number_of, default=None)

    def newest(self, month: Month) -> PeriodEvent | None:
        """Give what was last done to a month, or None where nothing ever was."""
        own = {period_event.c.month: month}
        found = self.transaction.all(EVENT, own, (period_event.c.number,), newest=True, limit=1)
        return found[0] if found else None

    def is_closed(self, month: Month) -> bool:
        """Tell whether a month takes nothing more."""
        event = self.newest(month)
        return event is not None and event.deed is PeriodDeed.CLOSED

    def closed_months(self) -> tuple[Month, ...]:
        """Give the months that are closed, oldest first."""
        events = sorted(self._newest().items())
        return tuple(month for month, event in events if event.deed is PeriodDeed.CLOSED)

    def refuse_closed(self, day: date) -> None:
        """Refuse a day whose month is closed, naming the month."""
        month = Month(day.year, day.month)
        if self.is_closed(month):
            raise MonthClosedError(str(month))

    def history(self, month: Month) -> tuple[PeriodEvent, ...]:
        """Give all that was done to a month, oldest first."""
        return self.transaction.all(EVENT, {period_event.c.month: month}, (period_event.c.number,))

    def states(self) -> tuple[MonthState, ...]:
        """Give every month that has entries or was ever closed, oldest first."""
        entries = {Month.read(row.month): int(row.entries) for row in self.transaction.asked(_ENTRIES)}
        sold = {Month.read(row.month): int(row.amount) for row in self.transaction.asked(_NET_SALES)}
        events = self._newest()
        months = sorted({*entries, *events})
        return tuple(
            MonthState(month, entries.get(month, 0), events.get(month), sold.get(month, 0)) for month in months
        )

    def _newest(self) -> dict[Month, PeriodEvent]:
        """Give what was last done to each month to which anything was: the later overwrites the earlier."""
        return {event.month: event for event in self.transaction.all(EVENT, order=(period_event.c.number,))}
