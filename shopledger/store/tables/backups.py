"""Copies of the ledger: where they go, what locks them, when to remind of them, and those that were made."""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class PlaceColumns(Recorded):
    """A folder for copies."""

    number = kept.key()
    folder = kept.words(kept.FILLED, unique=True)
    away = kept.flag()


backup_place = table("backup_place", PlaceColumns)


class KeyColumns(Recorded):
    """A public key that copies are locked with; the secret one is never here."""

    number = kept.key()
    public = kept.words(kept.FILLED, unique=True)
    holder = kept.words()


backup_key = table("backup_key", KeyColumns)


class TermsColumns(Recorded):
    """After how many days to remind, and what the copies of this ledger are called: one row."""

    one = kept.key()
    days = kept.optional(kept.number(kept.COUNTS))
    away_days = kept.optional(kept.number(kept.COUNTS))
    series = kept.words()


backup_terms = table("backup_terms", TermsColumns, one_row="one = 1")


class CopyColumns(Recorded):
    """A copy that was made and checked; whether it still lies there, the list in its folder says."""

    number = kept.key()
    day = kept.day(index=True)
    folder = kept.words(kept.FILLED)
    file = kept.words(kept.FILLED)
    away = kept.flag()
    size = kept.size()
    sha256 = kept.words(kept.SHA256)
    head = kept.words(kept.FILLED)
    revision = kept.words(kept.FILLED)
    program = kept.words()
    locked_with = kept.as_text(" ".join, lambda text: tuple(text.split()))


ledger_copy = table("ledger_copy", CopyColumns)
