"""Reading the audit: who looked at what and who changed it, whether its chain holds, and taking old notes away."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.ledger.audit import (
    BEGINNING,
    EXPORTS,
    HASHED,
    LOOKS,
    RECEIPTS,
    ChangedValue,
    Deed,
    Looks,
    Note,
    Outcome,
    Pruning,
    Subject,
    hash_after,
)
from shopledger.ledger.books.proofs import Difference, Proof, proof
from shopledger.store.audit import note_record
from shopledger.store.records import Record
from shopledger.store.scales import day_text
from shopledger.store.subjects import CUSTOMER, rows_of
from shopledger.store.tables.counters import audit_note, audit_pruning, changed_value
from shopledger.store.transaction import Area
from shopledger.store.words import listed, word

NOTE: Final = note_record()
PRUNING: Final = Record(Pruning, audit_pruning, counter="audit pruning")
CHANGED: Final = Record(ChangedValue, changed_value, also=("note_number",))

_KEYS: Final[Mapping[Subject, tuple[str, str]]] = {
    Subject.CUSTOMER: ("customer", "number"),
    Subject.WEARER: ("wearer", "number"),
    Subject.PRESCRIPTION: ("prescription", "number"),
    Subject.ORDER: ("shop_order", "number"),
    Subject.JOB: ("order_pair", "job_number"),
    Subject.RECEIPT: ("receipt", "number"),
    Subject.CERTIFICATE: ("certificate", "number"),
    Subject.LENS_ORDER: ("lens_order", "number"),
    Subject.DRAFT: ("draft_order", "number"),
    Subject.DEPOSIT: ("deposit", "number"),
}
"""The table of each kind of subject that leads to a customer, and its column that a note's number is one of."""

_OF_CUSTOMER: Final = " OR ".join(
    f"(note.subject_kind = {word(kind)} AND note.subject_number IN (SELECT {key} FROM {table} WHERE "  # noqa: S608
    f"{rows_of(table, CUSTOMER)}))"
    for kind, (table, key) in _KEYS.items()
)
_CHAINED: Final = f"SELECT {', '.join(HASHED)}, hash FROM audit_note ORDER BY number"  # noqa: S608 - names of columns
_SHOWN: Final = """
SELECT note.number FROM audit_note note
WHERE (:since = '' OR substr(note.recorded_at, 1, 10) >= :since) AND (:deed = '' OR note.deed = :deed)
  {customer}
ORDER BY note.number DESC LIMIT :limit
"""
_COUNTED: Final = f"""
SELECT operator,
       SUM(CASE WHEN deed IN {listed(sorted(LOOKS, key=lambda deed: deed.value))} THEN 1 ELSE 0 END) AS looks,
       SUM(CASE WHEN deed IN {listed(sorted(RECEIPTS, key=lambda deed: deed.value))} THEN 1 ELSE 0 END) AS receipts,
       SUM(CASE WHEN deed IN {listed(sorted(EXPORTS, key=lambda deed: deed.value))} THEN 1 ELSE 0 END) AS exports
FROM audit_note
WHERE outcome = {word(Outcome.DONE)} AND substr(recorded_at, 1, 10) BETWEEN :first AND :last
GROUP BY operator ORDER BY operator
"""  # noqa: S608 - the words of the ledger


@dataclass(frozen=True, slots=True)
class Noted:
    """A note with the fields that were changed, where it is of a change."""

    note: Note
    changes: tuple[ChangedValue, ...] = ()


class AuditTrail(Area):
    """What was noted, for whoever looks it over."""

    def shown(
        self, *, customer: int | None = None, since: date | None = None, deed: Deed | None = None, limit: int = 50
    ) -> tuple[Noted, ...]:
        """Give the newest notes, of one customer's data alone, since a day, of one deed; newest first."""
        values = {
            "since": "" if since is None else day_text(since),
            "deed": "" if deed is None else deed.value,
            "limit": limit,
            **({} if customer is None else {"person": customer}),
        }
        query = _SHOWN.format(customer="" if customer is None else f"AND ({_OF_CUSTOMER})")
        numbers = [int(row.number) for row in self.transaction.asked(query, **values)]
        notes = self.transaction.many(NOTE, numbers)
        changes = self._changes(numbers)
        return tuple(Noted(notes[number], changes[number]) for number in numbers)

    def counted(self, first: date, last: date) -> tuple[Looks, ...]:
        """Give how often each operator looked at private things in a span of days, by name; nothing for who did not."""
        rows = self.transaction.asked(_COUNTED, first=day_text(first), last=day_text(last))
        found = (Looks(row.operator, int(row.looks), int(row.receipts), int(row.exports)) for row in rows)
        return tuple(each for each in found if each.looks or each.receipts or each.exports)

    def proof(self) -> Proof:
        """Prove that every note goes on from the one before it, and none is missing but those that grew old."""
        past = self.transaction.all(PRUNING, order=(audit_pruning.c.number,), newest=True, limit=1)
        number, before = (past[0].last, past[0].hash) if past else (0, BEGINNING)
        many, off = 0, []
        for own, *values, found in self.transaction.stream(_CHAINED):
            many += 1
            if own != number + 1:
                off.append(Difference(f"audit note {number + 1}", "there", "missing"))
            elif found != hash_after(before, (own, *values)):
                off.append(Difference(f"audit note {own}", "as it was written", "it was changed"))
            number, before = own, found
        last = self.transaction.asked("SELECT last FROM counter WHERE name = :name", name=NOTE.counter)
        if last and last[0].last > number:
            off.append(Difference(f"audit note {number + 1}", "there", "missing"))
        return proof("AUDIT", "every note of who looked and changed goes on from the one before it", many, off)

    def prune(self, before: date) -> Pruning | None:
        """Take away the notes that were written before a day, with what was changed then; gives what went, if any.

        The hash of the last of them is kept, and the next goes on from it.
        """
        day = day_text(before)
        old = self.transaction.asked(
            "SELECT number, hash, recorded_at FROM audit_note WHERE number < (SELECT COALESCE(MIN(number), 0) "
            "FROM audit_note WHERE substr(recorded_at, 1, 10) >= :day) ORDER BY number DESC",
            day=day,
        )
        if not old:
            return None
        past = self.transaction.all(PRUNING, order=(audit_pruning.c.number,), limit=1)
        began = past[0].began if past else str(old[-1].recorded_at)
        done = self.transaction.post(PRUNING, Pruning(old[0].number, old[0].hash, len(old), day, began))
        for row in old:
            self.transaction.remove(changed_value, {changed_value.c.note_number: row.number})
            self.transaction.remove(audit_note, {audit_note.c.number: row.number})
        return done

    def _changes(self, numbers: Sequence[int]) -> Mapping[int, tuple[ChangedValue, ...]]:
        if not numbers:
            return defaultdict(tuple)
        own = changed_value.c
        found: Mapping[int, tuple[ChangedValue, ...]] = self.transaction.groups(
            CHANGED, own.note_number, {own.note_number: list(numbers)}, (own.note_number, own.position)
        )
        return found
