"""The chain over every record: one seal for each time something was written, with the digests of what was."""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Unsealed, table


class SealColumns(Unsealed):
    """One link of the chain; its hash covers the rest of it and the hash before."""

    number = kept.key(kept.COUNTS)
    operator = kept.words()
    recorded_at = kept.words()
    note = kept.words()
    body = kept.words(kept.FILLED)
    hash = kept.words(kept.SHA256)


seal = table("seal", SealColumns)
