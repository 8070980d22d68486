"""Who looked at something private, and who changed what may be changed."""

from __future__ import annotations

from datetime import date

from shopledger.store.transaction import Area


class Audit(Area):
    """The audit notes of the ledger; they are added to and never changed."""

    def note(self, deed: str, subject: str) -> None:
        """Write down what was done to what, with the operator and the time."""
        from shopledger.store.tables.counters import audit_note  # noqa: PLC0415 - most that could note only read

        number = self.transaction.next_number("audit")
        self.transaction.add(audit_note, {"number": number, "deed": deed, "subject": subject})

    def first_day(self) -> date | None:
        """Give the day of the first note, which is the set-up's; None where there is no note yet."""
        found = self.transaction.asked("SELECT recorded_at FROM audit_note ORDER BY number LIMIT 1")
        return date.fromisoformat(str(found[0].recorded_at)[:10]) if found else None
