"""Looking over who looked at what and who changed it, and letting notes go that are old enough."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.desk.context import Desk
from shopledger.ledger.audit import Deed, Pruning, Subject
from shopledger.ledger.numbers import number_of
from shopledger.store.audit_trail import Noted


@dataclass(frozen=True, slots=True)
class Pruned:
    """What was taken away, if anything, and the day before which notes may go."""

    before: date
    done: Pruning | None


def audit(
    desk: Desk, customer: str | None = None, since: date | None = None, deed: Deed | None = None, limit: int = 50
) -> tuple[Noted, ...]:
    """Give the newest notes first: those about one customer's data, since a day, of one deed, or all."""
    with desk.reading() as work:
        whose = None if customer is None else number_of(work.customers.pick(customer, erased_too=True))
        return work.audit_trail.shown(customer=whose, since=since, deed=deed, limit=limit)


def prune_audit(desk: Desk) -> Pruned:
    """Take away the notes that are older than the owner keeps them; that it was done is noted."""
    with desk.writing() as work:
        years = work.erasures.keeping().audit_years
        before = date(desk.today.year - years, desk.today.month, 1)
        work.audit.note(Deed.PRUNED, Subject.AUDIT, detail=before.isoformat())
        return Pruned(before, work.audit_trail.prune(before))
