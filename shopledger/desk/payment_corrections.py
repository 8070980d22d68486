"""Payments put right: sent back by a bank, disputed, mistaken, moved to another order, written off, owed again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.desk.context import Desk
from shopledger.desk.corrections import (
    pays_for_another,
    post_correction,
    post_payment,
    store_correction,
    touched_receipts,
)
from shopledger.desk.refusals import accepted_warnings, note_accepted
from shopledger.errors import RefusedError
from shopledger.ledger.books.deposits import check_taking
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount, OrderLine, Payment
from shopledger.ledger.payment_corrections import (
    Change,
    Move,
    Outcome,
    Reversal,
    WriteOff,
    charge_line,
    payment_on,
    plan_change,
    plan_move,
    plan_outcome,
    plan_reversal,
    plan_revival,
    plan_write_off,
)
from shopledger.optics.findings import Finding
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class PaymentPlan:
    """What putting a payment right stores, and what is odd about it."""

    correction: Correction
    payment: Payment | None = None
    """The payment in its place, or on the other order."""
    charge: OrderLine | None = None
    """What the customer is charged for it."""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class PaymentPutRight:
    """What was stored, the orders as they stand now, and the issued receipts that no longer say all."""

    correction: Correction
    account: OrderAccount
    payment: Payment | None = None
    touched_receipts: tuple[int, ...] = ()
    deposit_number: int | None = None
    """The deposit that holds the money again."""
    other: OrderAccount | None = None
    """The order that the payment counts for now."""
    moved_before: tuple[Payment, ...] = ()
    """Where parts of a payment that was taken back count since they were moved; they may have to follow."""


def plan_payment_reversal(desk: Desk, asked: Reversal) -> PaymentPlan:
    """Look at what it would store that a bank or processor took a payment back."""
    with desk.reading() as work:
        return _reversal(desk, work, asked)[1]


def reverse_payment(desk: Desk, asked: Reversal) -> PaymentPutRight:
    """Store that a bank or processor took a payment back, with its fee and what the customer is charged for it."""
    with desk.writing() as work:
        account, plan = _reversal(desk, work, asked)
        stored = [_posted(work, account, plan.correction)]
        if plan.charge:
            charged = Correction(
                plan.correction.order_number, plan.correction.day, CorrectionKind.CHARGED, plan.charge.description
            )
            stored.append(_posted(work, work.orders.account(charged.order_number), charged, plan.charge))
        return _done(work, account, *stored)


def plan_dispute_outcome(desk: Desk, asked: Outcome) -> PaymentPlan:
    """Look at what the end of a dispute would store."""
    with desk.reading() as work:
        return PaymentPlan(_outcome(desk, work, asked)[1])


def end_dispute(desk: Desk, asked: Outcome) -> PaymentPutRight:
    """Store that a dispute was won, and the money that came again; or that it was lost."""
    with desk.writing() as work:
        account, planned = _outcome(desk, work, asked)
        return _done(work, account, _posted(work, account, planned))


def plan_payment_change(desk: Desk, asked: Change) -> PaymentPlan:
    """Look at what putting a payment right would store."""
    with desk.reading() as work:
        return _change(desk, work, asked)[1]


def correct_payment(desk: Desk, asked: Change) -> PaymentPutRight:
    """Put another payment in the place of one that was recorded by mistake, while the month of both is open."""
    with desk.writing() as work:
        account, plan = _change(desk, work, asked)
        stored = _posted(work, account, plan.correction)
        if plan.payment is None:
            return _done(work, account, stored)
        if plan.payment.deposit_number is not None:
            held = work.deposits.account(plan.payment.deposit_number)
            check_taking(held, plan.payment.amount, plan.payment.day)
        return _done(work, account, stored, payment=post_payment(work, plan.payment, account.order))


def plan_payment_move(desk: Desk, asked: Move) -> PaymentPlan:
    """Look at what moving a payment to another order would store."""
    with desk.reading() as work:
        return _move(desk, work, asked)[1]


def move_payment(desk: Desk, asked: Move) -> PaymentPutRight:
    """Let a payment, or part of it, count for another order; no money moves."""
    with desk.writing() as work:
        account, plan = _move(desk, work, asked)
        accepted = accepted_warnings(plan.findings, asked.accept)
        stored = _posted(work, account, plan.correction)
        to = work.orders.get(asked.to_order)
        payment = post_payment(work, plan.payment, to) if plan.payment else None
        note_accepted(work, accepted, Document(DocumentKind.ORDER, asked.to_order))
        return _done(work, account, stored, payment=payment)


def plan_writing_off(desk: Desk, asked: WriteOff) -> PaymentPlan:
    """Look at what writing a rest off would store."""
    with desk.reading() as work:
        return PaymentPlan(_written_off(desk, work, asked)[1])


def write_rest_off(desk: Desk, asked: WriteOff) -> PaymentPutRight:
    """Store that a rest will not be paid: on accrual a loss; on cash it was never income, so none."""
    with desk.writing() as work:
        account, planned = _written_off(desk, work, asked)
        return _done(work, account, _posted(work, account, planned))


def plan_reviving(desk: Desk, asked: WriteOff) -> PaymentPlan:
    """Look at what it would store that something written off is owed again."""
    with desk.reading() as work:
        return PaymentPlan(_revived(desk, work, asked)[1])


def revive_rest(desk: Desk, asked: WriteOff) -> PaymentPutRight:
    """Store that something written off is owed again, so that it can be paid."""
    with desk.writing() as work:
        account, planned = _revived(desk, work, asked)
        return _done(work, account, _posted(work, account, planned))


def paid_order(desk: Desk, order_number: int) -> OrderAccount:
    """Give an order with its payments and what became of each."""
    with desk.reading() as work:
        return work.orders.account(order_number)


def _reversal(desk: Desk, work: UnitOfWork, asked: Reversal) -> tuple[OrderAccount, PaymentPlan]:
    day = _open_day(desk, work, asked.day)
    account = _account_of(work, asked.payment)
    planned = plan_reversal(account, asked, day)
    charge = charge_line(asked.charge, payment_on(account, asked.payment).method) if asked.charge else None
    return account, PaymentPlan(planned, charge=charge)


def _outcome(desk: Desk, work: UnitOfWork, asked: Outcome) -> tuple[OrderAccount, Correction]:
    day = _open_day(desk, work, asked.day)
    account = _account_of(work, asked.payment)
    planned = plan_outcome(account, asked, day)
    deposit_number = payment_on(account, asked.payment).deposit_number
    if deposit_number is not None and planned.amount:
        check_taking(work.deposits.account(deposit_number), planned.amount, day)
    return account, planned


def _change(desk: Desk, work: UnitOfWork, asked: Change) -> tuple[OrderAccount, PaymentPlan]:
    account = _account_of(work, asked.payment)
    wrong, new = plan_change(account, asked)
    _refuse_closed_payment(work, asked.payment, wrong.day)
    if new is not None:
        work.periods.refuse_closed(desk.day(new.day, "payment day"))
    return account, PaymentPlan(wrong, new)


def _move(desk: Desk, work: UnitOfWork, asked: Move) -> tuple[OrderAccount, PaymentPlan]:
    day = _open_day(desk, work, asked.day)
    account, to = _account_of(work, asked.payment), work.orders.account(asked.to_order)
    moved, payment = plan_move(account, to, asked, day)
    return account, PaymentPlan(moved, payment, findings=pays_for_another(work, to, account.order.customer_number))


def _written_off(desk: Desk, work: UnitOfWork, asked: WriteOff) -> tuple[OrderAccount, Correction]:
    day = _open_day(desk, work, asked.day)
    account = work.orders.account(asked.order)
    return account, plan_write_off(account, asked, day)


def _revived(desk: Desk, work: UnitOfWork, asked: WriteOff) -> tuple[OrderAccount, Correction]:
    day = _open_day(desk, work, asked.day)
    account = work.orders.account(asked.order)
    return account, plan_revival(account, asked, day)


def _posted(work: UnitOfWork, before: OrderAccount, new: Correction, *lines: OrderLine) -> Correction:
    """Store a correction with the lines that it adds, and post it."""
    stored = store_correction(work, before, new, lines)
    post_correction(work, before, stored)
    return stored


def _open_day(desk: Desk, work: UnitOfWork, given: date | None) -> date:
    day = desk.day(given)
    work.periods.refuse_closed(day)
    return day


def _account_of(work: UnitOfWork, payment_number: int) -> OrderAccount:
    return work.orders.account(work.payments.get(payment_number).order_number)


def _refuse_closed_payment(work: UnitOfWork, number: int, day: date) -> None:
    """Refuse to put a payment of a closed month right: what was handed over of that month stays."""
    month = Month(day.year, day.month)
    if work.periods.is_closed(month):
        raise RefusedError(
            "payment",
            f"{number}, of {day.isoformat()}",
            f"the month {month} is closed, and its payments stay as they were handed over",
            "If it counts for another order, move it on a day of an open month with 'shopledger payment move'; if the "
            f"bank took it back, 'shopledger payment reverse {number}'. Otherwise open the month again with "
            f"'shopledger month reopen {month} --reason TEXT'.",
        )


def _done(
    work: UnitOfWork, before: OrderAccount, *stored: Correction, payment: Payment | None = None
) -> PaymentPutRight:
    """Give what was stored, with the orders as they stand now."""
    account = work.orders.account(number_of(before.order))
    first = stored[0]
    elsewhere = payment is not None and payment.order_number != first.order_number
    put_back = None
    if first.taken_from_paid > 0 and payment is None and first.payment_number is not None:
        put_back = payment_on(account, first.payment_number).deposit_number
    return PaymentPutRight(
        first,
        account,
        payment,
        touched_receipts(work, before, account),
        put_back,
        work.orders.account(payment.order_number) if payment and elsewhere else None,
        work.payments.moved_from(first.payment_number or 0) if first.kind in _TAKEN_BACK else (),
    )


_TAKEN_BACK: Final = frozenset({CorrectionKind.BOUNCED, CorrectionKind.DISPUTED})
