"""Paying suppliers' bills."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from shopledger.desk.books.cash import short_of
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillPaymentRequest
from shopledger.ledger.books.bills import BillAccount, BillPayment, refuse_taken_back
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import bill_payment_entry
from shopledger.ledger.books.spending import SpendMethod
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.optics.findings import Finding
    from shopledger.store.work import Work


@dataclass(frozen=True, slots=True)
class BillPaymentPlan:
    """A payment as it would be stored, the bill it is for, and what is odd about it."""

    account: BillAccount
    payment: BillPayment
    findings: tuple[Finding, ...] = ()


def plan_bill_payment(desk: Desk, number: int, request: BillPaymentRequest) -> BillPaymentPlan:
    """Look at a payment without storing it."""
    with desk.reading() as work:
        return _planned(work, desk, number, request)


def pay_bill(desk: Desk, number: int, request: BillPaymentRequest, accept: frozenset[str] = frozenset()) -> BillAccount:
    """Store a payment on a bill; more than is owed is refused."""
    with desk.writing() as work:
        plan = _planned(work, desk, number, request)
        accepted = accepted_warnings(plan.findings, accept)
        stored = store_bill_payment(work, plan.payment, plan.account.supplier)
        note_accepted(work, accepted, f"bill payment {stored.number}")
        return work.bills.account(number)


def store_bill_payment(work: Work, payment: BillPayment, supplier: str) -> BillPayment:
    """Write a payment on a bill and its posting."""
    stored = work.bills.add_payment(payment)
    work.journal.post(bill_payment_entry(stored, supplier))
    return stored


def short_of_cash(work: Work, method: SpendMethod | None, amount: Cents, day: date) -> tuple[Finding, ...]:
    """Warn where a bill is paid in cash of which less lies in the drawer."""
    return short_of(work, Account.CASH, amount, day) if method is SpendMethod.CASH else ()


def _planned(work: Work, desk: Desk, number: int, request: BillPaymentRequest) -> BillPaymentPlan:
    day = desk.day(request.day, "payment day")
    payment = BillPayment(number, day, request.amount, request.method, request.reference)
    account = work.bills.account(number)
    refuse_taken_back(account)
    _check(account, payment)
    work.periods.refuse_closed(day)
    return BillPaymentPlan(account, payment, short_of_cash(work, payment.method, payment.amount, day))


def _check(account: BillAccount, payment: BillPayment) -> None:
    owed, day = max(account.balance, 0), account.bill.day
    if payment.amount > owed:
        raise RefusedError(
            "payment",
            write_amount(payment.amount),
            f"only {write_amount(owed)} is still owed" if owed else "nothing is owed any more",
            f"Pay {write_amount(owed)} or less." if owed else f"Bill {payment.bill_number} is paid in full.",
        )
    if payment.day < day:
        raise RefusedError(
            "payment day", payment.day.isoformat(), f"the bill is of {day.isoformat()}", "Type a day on or after it."
        )
