"""Proving the books; closing a month on them, opening one again, and seeing how the months stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopledger.ledger.books.closing import (
    MonthState,
    PeriodDeed,
    PeriodEvent,
    accepted_codes,
    check_closable,
    check_reopenable,
    closing_findings,
)
from shopledger.ledger.books.proofs import Difference, KeptHead, Proof, Verdict, proof
from shopledger.store.refusals import FileChangedError

if TYPE_CHECKING:
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
        return work.periods.add(PeriodEvent(month, PeriodDeed.CLOSED, "", accepted, plan.head))


def reopen_month(desk: Desk, month: Month, reason: str) -> PeriodEvent:
    """Open the newest closed month again, with the reason."""
    with desk.writing() as work:
        event = PeriodEvent(month, PeriodDeed.REOPENED, reason, (), work.journal.head())
        check_reopenable(month, work.periods.states())
        return work.periods.add(event)


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
    return ClosingPlan(month, work.journal.head(), findings)


def prove_books(desk: Desk, head: KeptHead | None = None, *, files: bool = False) -> Verdict:
    """Make every check of the ledger: that it contains an earlier head, if one is given; the kept files, if asked."""
    with desk.reading() as work:
        proofs = work.proofs.all()
        if head is not None:
            proofs = (*proofs, work.proofs.head(head))
        if files:
            proofs = (*proofs, _files_proof(work))
        return Verdict(work.journal.head(), proofs)


def _files_proof(work: UnitOfWork) -> Proof:
    """Prove that every kept file is there, and is what was kept."""
    kept, off = work.kept_files.all(), []
    for file in kept:
        try:
            work.kept_files.body(file.sha256)
        except FileChangedError as error:
            off.append(Difference(f"{file.name} ({error.place})", "as it was kept", error.reason))
    return proof("FILES", "kept files are there, and are what was kept", len(kept), off)
