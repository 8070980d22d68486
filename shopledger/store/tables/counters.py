"""The numbers that were given, those that never will be, and who looked at what."""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, Unsealed, table


class CounterColumns(Unsealed):
    """The last number given of one kind; taken inside the transaction that uses it, so none is lost."""

    name = kept.code()
    last = kept.number(kept.NOT_NEGATIVE)


counter = table("counter", CounterColumns)


class GapColumns(Recorded):
    """Numbers after one up to another that are never given here: they were given before a copy was put back."""

    kind = kept.code()
    after = kept.key(kept.NOT_NEGATIVE)
    last = kept.number()
    reason = kept.words(kept.FILLED)


number_gap = table("number_gap", GapColumns, last_is_later="last > after")


class AuditColumns(Recorded):
    """That somebody looked at something private, or changed what may be changed."""

    number = kept.key()
    deed = kept.words(kept.FILLED)
    subject = kept.words(index=True)


audit_note = table("audit_note", AuditColumns)
