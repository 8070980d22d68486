"""What the ledger itself knows of its copies: places, keys, terms, and those that were made."""

from __future__ import annotations

from datetime import date
from typing import Final

from sqlalchemy import func, select

from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.backups import BackupKey, BackupPlace, BackupTerms, LastCopies, LedgerCopy
from shopledger.store.audit import Audit
from shopledger.store.records import Record
from shopledger.store.tables.backups import backup_key, backup_place, backup_terms, ledger_copy
from shopledger.store.tables.counters import counter, number_gap
from shopledger.store.tables.journal import journal_entry
from shopledger.store.transaction import Area

PLACE: Final = Record(BackupPlace, backup_place, counter="backup place")
KEY: Final = Record(BackupKey, backup_key, counter="backup key")
TERMS: Final = Record(BackupTerms, backup_terms, also=("one",))
COPY: Final = Record(LedgerCopy, ledger_copy, counter="ledger copy")


class Backups(Area):
    """The copies of the ledger."""

    def places(self) -> tuple[BackupPlace, ...]:
        """Give every place, in the order in which they were named."""
        return self.transaction.all(PLACE, order=(backup_place.c.number,))

    def add_place(self, place: BackupPlace) -> BackupPlace:
        """Keep a place; one that is known already gets its new word on whether it lies outside this computer."""
        same = {backup_place.c.folder: place.folder}
        if not self.transaction.rewrite(PLACE, place, same):
            self.transaction.post(PLACE, place)
        return self.transaction.all(PLACE, same)[0]

    def remove_place(self, place: BackupPlace) -> None:
        """Forget a place; the copies in it stay."""
        self.transaction.remove(backup_place, {backup_place.c.folder: place.folder})

    def public_keys(self) -> tuple[BackupKey, ...]:
        """Give every public key, in the order in which they came."""
        return self.transaction.all(KEY, order=(backup_key.c.number,))

    def add_key(self, key: BackupKey) -> BackupKey:
        """Lock copies with this key from now on."""
        added = self.transaction.post(KEY, key)
        Audit(self.transaction).note(Deed.ADDED_KEY, Subject.LEDGER, detail=key.public)
        return added

    def remove_key(self, key: BackupKey) -> None:
        """Lock no more copies with this key."""
        self.transaction.remove(backup_key, {backup_key.c.public: key.public})
        Audit(self.transaction).note(Deed.REMOVED_KEY, Subject.LEDGER, detail=key.public)

    def terms(self) -> BackupTerms:
        """Give what the owner set; the defaults before anything is set."""
        return self.transaction.one(TERMS, {backup_terms.c.one: 1}) or BackupTerms()

    def save_terms(self, terms: BackupTerms) -> None:
        """Write what the owner set, over what was."""
        if not self.transaction.rewrite(TERMS, terms, {backup_terms.c.one: 1}):
            self.transaction.put(TERMS, terms, one=1)

    def add(self, copy: LedgerCopy) -> LedgerCopy:
        """Keep what is known of a copy."""
        return self.transaction.post(COPY, copy)

    def copies(self) -> tuple[LedgerCopy, ...]:
        """Give every copy that was made, oldest first."""
        return self.transaction.all(COPY, order=(ledger_copy.c.number,))

    def last(self) -> LastCopies:
        """Give the days that a reminder is made of."""
        newest = select(func.max(ledger_copy.c.day))
        (copy,), (away,) = (
            self.transaction.chosen(query)[0] for query in (newest, newest.where(ledger_copy.c.away.in_((True,))))
        )
        entries = select(journal_entry.c.recorded_at).order_by(journal_entry.c.number).limit(1)
        first = next((date.fromisoformat(row[0][:10]) for row in self.transaction.chosen(entries)), None)
        return LastCopies(copy, away, first)

    def counted(self, kinds: tuple[str, ...]) -> dict[str, int]:
        """Give the last number given of each of these kinds."""
        rows = self.transaction.chosen(select(counter.c.name, counter.c.last).where(counter.c.name.in_(kinds)))
        found = {row.name: row.last for row in rows}
        return {kind: found[kind] for kind in kinds}

    def leave_out(self, kind: str, last: int, reason: str) -> None:
        """Give no number of this kind up to the last one printed; numbers left out so are no gap to whoever proves."""
        (after,) = self.counted((kind,)).values()
        if last <= after:
            raise RefusedError(kind, last, f"{after} is counted already", "Type the highest number that was printed.")
        self.transaction.change(counter, {"last": last}, {counter.c.name: kind})
        self.transaction.add(number_gap, {"kind": kind, "after": after, "last": last, "reason": reason})
