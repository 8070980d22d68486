"""Whose data was erased and why it could be, what must not be erased, and for how many years records are kept."""

from __future__ import annotations

from shopledger.ledger.erasing import AskedBy, HoldDeed
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table


class ErasureColumns(Recorded):
    """That a customer, or one wearer alone, was erased: who asked, why, and the rule that let the records go."""

    number = kept.key(kept.COUNTS)
    customer_number = kept.number(kept.to("customer.number"), index=True)
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))
    day = kept.day()
    asked_by = kept.one_of(AskedBy)
    reason = kept.words(kept.FILLED)
    rule = kept.words(kept.FILLED)


erasure = table("erasure", ErasureColumns)


class ErasurePartColumns(Columns):
    """How many rows of one table an erasure blanked."""

    erasure_number = kept.key(kept.to("erasure.number"))
    table_name = kept.code()
    row_count = kept.number(kept.COUNTS)


erasure_part = table("erasure_part", ErasurePartColumns)


class LegalHoldColumns(Recorded):
    """That somebody's records must stay whatever the rules say, or may go again; the newest word holds."""

    number = kept.key(kept.COUNTS)
    customer_number = kept.number(kept.to("customer.number"), index=True)
    wearer_number = kept.optional(kept.number(kept.to("wearer.number"), index=True))
    day = kept.day()
    deed = kept.one_of(HoldDeed)
    reason = kept.personal(kept.words(kept.FILLED))


legal_hold = table("legal_hold", LegalHoldColumns)


class KeepingColumns(Recorded):
    """For how many years records are kept: one row, and none before anything was set."""

    one = kept.key()
    lens_years = kept.number(kept.between(3, 100))
    tax_years = kept.number(kept.between(3, 100))
    state_years = kept.number(kept.between(0, 100))
    audit_years = kept.number(kept.between(1, 100))


keeping = table("keeping", KeepingColumns, one_row="one = 1")
