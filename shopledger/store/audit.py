"""Writing down who looked at something private, and who changed what may be changed, from what to what."""

from __future__ import annotations

import platform
from dataclasses import replace
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from shopledger.store.records import Record
from shopledger.store.revision import PROGRAM
from shopledger.store.transaction import Area

if TYPE_CHECKING:
    from shopledger.ledger.audit import Deed, Note, Subject

_LAST: Final = "SELECT hash FROM audit_note WHERE number = :number"
_FIRST: Final = """
SELECT COALESCE((SELECT MIN(began) FROM audit_pruning), (SELECT MIN(recorded_at) FROM audit_note)) AS first
"""
_PRUNED: Final = "SELECT hash FROM audit_pruning WHERE last = :number"


@lru_cache(maxsize=1)
def note_record() -> Record[Note]:
    """Give how a note is kept; made by whoever needs it first."""
    from shopledger.ledger.audit import Note  # noqa: PLC0415 - most that could note only read
    from shopledger.store.tables.counters import audit_note  # noqa: PLC0415 - as above

    return Record(Note, audit_note, counter="audit")


class Audit(Area):
    """The audit notes of the ledger; they are added to and never changed."""

    def note(
        self,
        deed: Deed,
        kind: Subject,
        number: int | None = None,
        *,
        detail: str = "",
        records: int | None = None,
        file_name: str = "",
        refused: bool = False,
    ) -> int:
        """Write down what was done to what, chained to the note before it; gives the note's number."""
        from shopledger.ledger.audit import Note, Outcome  # noqa: PLC0415 - most that could note only read

        own = self.transaction.next_number("audit")
        operator, recorded_at = self.transaction.stamp.values()
        note = Note(
            own,
            deed,
            kind,
            number,
            Outcome.REFUSED if refused else Outcome.DONE,
            detail,
            records,
            file_name,
            platform.node(),
            PROGRAM,
            operator,
            recorded_at,
        )
        chained = replace(note, hash=note.hash_after(self._before(own)))
        self.transaction.put(note_record(), chained)
        return own

    def changed(
        self,
        kind: Subject,
        number: int | None,
        old: object,
        new: object,
        *,
        detail: str = "",
        customer: int | None = None,
        wearer: int | None = None,
    ) -> None:
        """Write down that a record was changed, with what stood in each field; of whom it tells, if any."""
        from shopledger.ledger.audit import Deed, differences  # noqa: PLC0415 - as above
        from shopledger.store.tables.counters import changed_value  # noqa: PLC0415 - as above

        note = self.note(Deed.CHANGED, kind, number, detail=detail)
        own = {"note_number": note, "customer_number": customer, "wearer_number": wearer}
        rows = (
            {
                **own,
                "position": place,
                "field": each.field,
                "old_value": each.old_value,
                "new_value": each.new_value,
            }
            for place, each in enumerate(differences(old, new), start=1)
        )
        self.transaction.add(changed_value, *rows)

    def _before(self, number: int) -> str:
        """Give the hash of the note before, also where it was taken away since."""
        from shopledger.ledger.audit import BEGINNING  # noqa: PLC0415 - as above

        for query in (_LAST, _PRUNED):
            for row in self.transaction.asked(query, number=number - 1):
                return str(row.hash)
        return BEGINNING

    def first_day(self) -> date | None:
        """Give the day of the first note, which is the set-up's, also where it was taken away since; None without."""
        found = self.transaction.asked(_FIRST)
        first = found[0].first if found else None
        return None if first is None else date.fromisoformat(str(first)[:10])
