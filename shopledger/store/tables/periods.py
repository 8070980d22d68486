"""Months closed and reopened; a month is closed while the newest of its events says so."""

from __future__ import annotations

from shopledger.ledger.books.closing import PeriodDeed
from shopledger.ledger.books.period import Month
from shopledger.ledger.settings import Accounting
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table
from shopledger.store.words import word


def _read_codes(stored: str) -> tuple[str, ...]:
    return tuple(stored.split())


class PeriodEventColumns(Recorded):
    """A month closed or reopened, and the head of the books that it happened on."""

    number = kept.key()
    month = kept.as_text(str, Month.read, index=True)
    deed = kept.one_of(PeriodDeed)
    reason = kept.words()
    accepted = kept.as_text(" ".join, _read_codes)
    head_count = kept.number(kept.NOT_NEGATIVE)
    head_hash = kept.words()


period_event = table(
    "period_event",
    PeriodEventColumns,
    month_is_month="month LIKE '____-__'",
    reopened_for_a_reason=f"deed <> {word(PeriodDeed.REOPENED)} OR reason <> ''",
    head_whole="length(head_hash) = 64",
)


class ClosedAsColumns(Columns):
    """What a closed month's workbook goes on saying beside its rows."""

    event_number = kept.key(kept.to("period_event.number"))
    accounting = kept.one_of(Accounting)


closed_as = table("closed_as", ClosedAsColumns)


class ClosedLookColumns(Columns):
    """How often an operator had looked at private things in a month when it was closed."""

    event_number = kept.key(kept.to("closed_as.event_number"))
    position = kept.key(kept.COUNTS)
    looker = kept.words(kept.FILLED)
    looks = kept.number(kept.NOT_NEGATIVE)
    receipts = kept.number(kept.NOT_NEGATIVE)
    exports = kept.number(kept.NOT_NEGATIVE)


closed_look = table("closed_look", ClosedLookColumns)
