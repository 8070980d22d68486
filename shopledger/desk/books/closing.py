"""Proving the books; closing a month on them, opening one again, and seeing how the months stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopledger.desk.books.bank_reconciling import bank_findings
from shopledger.desk.watching import as_it_is, keep_proof, proven
from shopledger.ledger.books.closing import (
    ClosedAs,
    MonthState,
    PeriodDeed,
    PeriodEvent,
    accepted_codes,
    check_closable,
    check_reopenable,
    closing_findings,
)
from shopledger.ledger.books.proofs import KeptHead, Verdict
from shopledger.ledger.numbers import number_of

if TYPE_CHECKING:
    from datetime import date

    from shopledger.desk.context import Desk
    from shopledger.ledger.books.journal import Head
    from shopledger.ledger.books.period import Month
    from shopledger.optics.findings import Finding
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class ClosingPlan:
    """What stands against closing a month, and the head of the books it would be closed on."""

    month: Month
    head: Head
    findings: tuple[Finding, ...]


def plan_closing(desk: Desk, month: Month) -> ClosingPlan:
    """Look at what stands against closing a month, without closing it."""
    with desk.reading() as work:
        return _planned(desk, work, month)


def close_month(desk: Desk, month: Month, accept: frozenset[str] = frozenset()) -> PeriodEvent:
    """Close a month: from then on it takes nothing. Errors stop it, and each warning needs a yes, which is kept."""
    with desk.writing() as work:
        plan = _planned(desk, work, month)
        accepted = accepted_codes(month, plan.findings, accept)
        event = work.periods.add(PeriodEvent(month, PeriodDeed.CLOSED, "", accepted, plan.head))
        looks = work.audit_trail.counted(month.first, month.last)
        work.periods.keep(ClosedAs(number_of(event), work.shop.settings().accounting, looks))
        return event


def reopen_month(desk: Desk, month: Month, reason: str) -> PeriodEvent:
    """Open the newest closed month again, with the reason."""
    with desk.writing() as work:
        event = PeriodEvent(month, PeriodDeed.REOPENED, reason, (), work.seals.head())
        check_reopenable(month, work.periods.states())
        return work.periods.add(event)


def refuse_closed(desk: Desk, day: date) -> None:
    """Refuse a day of a month that is closed."""
    with desk.reading() as work:
        work.periods.refuse_closed(day)


def month_states(desk: Desk) -> tuple[MonthState, ...]:
    """Give every month that has entries or a history, oldest first."""
    with desk.reading() as work:
        return work.periods.states()


def month_history(desk: Desk, month: Month) -> tuple[PeriodEvent, ...]:
    """Give all that was done to a month, oldest first."""
    with desk.reading() as work:
        return work.periods.history(month)


def _planned(desk: Desk, work: UnitOfWork, month: Month) -> ClosingPlan:
    check_closable(month, work.periods.states(), desk.today)
    findings = closing_findings(month, work.proofs.all(), work.closing_checks.loose(month))
    return ClosingPlan(month, work.seals.head(), (*findings, *bank_findings(work, month)))


def prove_books(desk: Desk, head: KeptHead | None = None) -> Verdict:
    """Make every check of the ledger, and that it contains an earlier head, if one is given."""
    with desk.reading() as work:
        proofs = work.proofs.all()
        if head is not None:
            proofs = (*proofs, work.proofs.head(head))
        verdict = Verdict(work.seals.head(), proofs)
        counts = work.seals.counts()
    if verdict.holds:
        keep_proof(desk.ledger, verdict.head, counts, desk.now)
    return verdict


def prove_newest(desk: Desk) -> Verdict:
    """Check what was written since all of the ledger was proven last on this computer, and that no row is gone or new.

    Where it was not yet, or the tables were changed since, all is proven.
    """
    known = proven(desk.ledger)
    if known is None:
        return prove_books(desk)
    with desk.reading() as work:
        return Verdict(work.seals.head(), work.proofs.since(*known))


def take_as_it_is(desk: Desk, verdict: Verdict) -> None:
    """Let this computer forget a later head that it saw: the ledger, once proven, is meant to be as it is."""
    as_it_is(desk.ledger, verdict.head, desk.now)
