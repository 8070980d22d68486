"""Months closed and reopened; a month is closed while the newest of its events says so."""

from __future__ import annotations

from shopledger.ledger.books.closing import PeriodDeed
from shopledger.ledger.books.period import Month
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table
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
