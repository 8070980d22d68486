"""Voiding an expense, a bill, what was paid or changed on one, other money, a deposit or an adjusting entry."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from shopledger.desk.books.adjusting import check_adjustment_can_be_voided
from shopledger.desk.books.banking import short_of
from shopledger.desk.books.bill_credits import check_credit_can_be_voided, undo_credit
from shopledger.desk.books.billing import check_bill_can_be_voided, undo_bill
from shopledger.desk.books.disposing import refuse_gone
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError
from shopledger.ledger.books.deposits import check_deposit_can_be_voided
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry
from shopledger.ledger.books.voiding import Voiding, refuse_early, voiding_entries
from shopledger.optics.findings import Finding

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class VoidPlan:
    """What taking a document back stores: the reversing entries, and what is odd about it."""

    taken: Voiding
    entries: tuple[Entry, ...]
    findings: tuple[Finding, ...] = ()


def plan_voiding(desk: Desk, document: Document, reason: str, day: date | None = None) -> VoidPlan:
    """Look at what taking a document back would do, without storing anything."""
    with desk.reading() as work:
        return _planned(desk, work, document, reason, day)


def void_document(
    desk: Desk,
    document: Document,
    reason: str,
    day: date | None = None,
    accept: frozenset[str] = frozenset(),
) -> VoidPlan:
    """Reverse every entry of a document by a new one that points at it; a document is voided once."""
    with desk.writing() as work:
        plan = _planned(desk, work, document, reason, day)
        accepted = accepted_warnings(plan.findings, accept)
        work.voidings.add(plan.taken)
        for entry in plan.entries:
            work.journal.post(entry)
        if document.kind is DocumentKind.BILL:
            undo_bill(work, document.number, plan.taken.day)
        if document.kind is DocumentKind.BILL_CREDIT:
            undo_credit(work, document.number, plan.taken.day)
        note_accepted(work, accepted, document, voiding=True)
        return plan


def _planned(desk: Desk, work: UnitOfWork, document: Document, reason: str, day: date | None) -> VoidPlan:
    taken = Voiding(document, desk.day(day), reason)
    work.periods.refuse_closed(taken.day)
    _refuse_second(work, document)
    refuse_early(taken, _STANDING[document.kind](work, document.number))
    entries = voiding_entries(work.journal.of_documents([document]), taken)
    return VoidPlan(taken, entries, _short(work, entries, taken.day))


def _refuse_second(work: UnitOfWork, document: Document) -> None:
    before = work.voidings.of(document)
    if before is not None:
        raise RefusedError(
            "document",
            document,
            f"it was voided on {before.day.isoformat()} ({before.reason})",
            "Record the right one, if that was a mistake too.",
        )


def _short(work: UnitOfWork, entries: tuple[Entry, ...], day: date) -> tuple[Finding, ...]:
    """Warn where the books would then say that less than nothing lies in the till."""
    taken = -sum(posting.amount for entry in entries for posting in entry.postings if posting.account is Account.CASH)
    return short_of(work, Account.CASH, taken, day) if taken > 0 else ()


def _expense(work: UnitOfWork, number: int) -> date:
    refuse_gone(work, Document(DocumentKind.EXPENSE, number))
    return work.expenses.get(number).day


def _bill(work: UnitOfWork, number: int) -> date:
    refuse_gone(work, Document(DocumentKind.BILL, number))
    return check_bill_can_be_voided(work, number).bill.day


def _bill_payment(work: UnitOfWork, number: int) -> date:
    return work.bills.payment(number).day


def _money(work: UnitOfWork, number: int) -> date:
    return work.money_moves.get(number).day


def _deposit(work: UnitOfWork, number: int) -> date:
    return check_deposit_can_be_voided(work.deposits.account(number))


def _adjustment(work: UnitOfWork, number: int) -> date:
    refuse_gone(work, Document(DocumentKind.ADJUSTMENT, number))
    return check_adjustment_can_be_voided(work, number)


def _disposal(work: UnitOfWork, number: int) -> date:
    return work.disposals.get(number).day


_STANDING: Final[dict[DocumentKind, Callable[[UnitOfWork, int], date]]] = {
    DocumentKind.EXPENSE: _expense,
    DocumentKind.BILL: _bill,
    DocumentKind.BILL_PAYMENT: _bill_payment,
    DocumentKind.BILL_CREDIT: check_credit_can_be_voided,
    DocumentKind.MONEY: _money,
    DocumentKind.DEPOSIT: _deposit,
    DocumentKind.ADJUSTMENT: _adjustment,
    DocumentKind.DISPOSAL: _disposal,
}
"""Gives the last day on which something happened to a document, or says what stands in the way of taking it back."""
