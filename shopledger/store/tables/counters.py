"""The numbers that were given, those that never will be, and who looked at what or changed it."""

from __future__ import annotations

from sqlalchemy import Index

from shopledger.ledger.audit import Deed, Outcome, Subject
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, Unsealed, table


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
    """That somebody looked at something private, or changed what may be changed; chained to the note before it."""

    number = kept.key()
    deed = kept.one_of(Deed)
    subject_kind = kept.one_of(Subject)
    subject_number = kept.optional(kept.number())
    outcome = kept.one_of(Outcome)
    detail = kept.words()
    records = kept.optional(kept.number(kept.NOT_NEGATIVE))
    file_name = kept.words()
    machine = kept.words()
    program = kept.words()
    hash = kept.words(kept.SHA256)


audit_note = table("audit_note", AuditColumns, Index(None, "subject_kind", "subject_number"))


class ChangedValueColumns(Columns):
    """What stood in one field of a record before it was changed, and what stands there since: NULL for nothing."""

    note_number = kept.key(kept.COUNTS)
    position = kept.key(kept.COUNTS)
    field = kept.words(kept.FILLED)
    old_value = kept.personal(kept.optional(kept.words()))
    new_value = kept.personal(kept.optional(kept.words()))
    customer_number = kept.optional(kept.number(kept.to("customer.number"), index=True))
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))


changed_value = table("changed_value", ChangedValueColumns)


class PruningColumns(Recorded):
    """That notes grown old were taken away: up to which, and the hash that the next one goes on from."""

    number = kept.key()
    last = kept.number(kept.COUNTS)
    hash = kept.words(kept.SHA256)
    many = kept.number(kept.COUNTS)
    older_than = kept.words(kept.FILLED)
    began = kept.words(kept.FILLED)


audit_pruning = table("audit_pruning", PruningColumns)
