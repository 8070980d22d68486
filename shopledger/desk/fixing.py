"""Looking at something that was recorded, and saying what can still be done about it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Final

from shopledger.desk.changing_jobs import why_cut
from shopledger.desk.context import Desk
from shopledger.desk.putting_right import left_on
from shopledger.ledger.books.completeness import complete
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.payment_corrections import open_dispute
from shopledger.ledger.remedies import (
    Fixable,
    OrderFacts,
    Remedies,
    Remedy,
    job_remedies,
    order_remedies,
    parcel_remedies,
    payment_remedies,
    stands_only,
)
from shopledger.ledger.shipping import parcel_with
from shopledger.money.amount import write_amount
from shopledger.store.work import UnitOfWork


def what_can_be_done(desk: Desk, what: Fixable, number: int) -> Remedies:
    """Say where something stands and what can be done about it; nothing is stored."""
    with desk.reading() as work:
        return _LOOKS[what](work, number)


def order_of(desk: Desk, what: Fixable, number: int) -> int | None:
    """Give the number of the order that something belongs to; None where it belongs to none."""
    with desk.reading() as work:
        held: Mapping[Fixable, Callable[[int], int | None]] = {
            Fixable.ORDER: lambda order: work.orders.account(order).order.number,
            Fixable.JOB: lambda job: work.orders.pair(job)[0].number,
            Fixable.PAYMENT: lambda payment: work.payments.get(payment).order_number,
            Fixable.REFUND: lambda refund: work.refunds.get(refund).order_number,
            Fixable.CORRECTION: lambda correction: work.corrections.get(correction).order_number,
            Fixable.RECEIPT: lambda receipt: work.receipts.get(receipt).order_number,
            Fixable.PARCEL: lambda parcel: work.parcels.get(parcel).order_number,
        }
        return held[what](number) if what in held else None


def _order(work: UnitOfWork, number: int) -> Remedies:
    return order_remedies(_facts(work, work.orders.account(number)))


def _job(work: UnitOfWork, number: int) -> Remedies:
    order, pair = work.orders.pair(number)
    return job_remedies(_facts(work, work.orders.account(number_of(order))), pair)


def _parcel(work: UnitOfWork, number: int) -> Remedies:
    parcel = work.parcels.get(number)
    account = work.orders.account(parcel.order_number)
    return parcel_remedies(_facts(work, account), next(each for each in account.parcels if each.number == number))


def _payment(work: UnitOfWork, number: int) -> Remedies:
    payment = work.payments.get(number)
    facts = _facts(work, work.orders.account(payment.order_number))
    disputed = open_dispute(facts.account, number) is not None
    return payment_remedies(facts, payment, month_closed=_closed(work, payment.day), disputed=disputed)


def _refund(work: UnitOfWork, number: int) -> Remedies:
    refund = work.refunds.get(number)
    order = refund.order_number
    why = "the money went out and its lines count as given back"
    return stands_only(
        f"Refund {number} of {write_amount(refund.amount)} by {refund.method.value} on {refund.day.isoformat()}",
        (f"for order {order}", refund.reason),
        Remedy("too little given back", f"shopledger refund give {order} --line LINE=AMOUNT --method HOW --reason WHY"),
        Remedy("too much given back", f"shopledger fix order {order}", f"{why}: charge the customer again"),
    )


def _correction(work: UnitOfWork, number: int) -> Remedies:
    correction = work.corrections.get(number)
    order = correction.order_number
    commands = {
        CorrectionKind.WRITTEN_OFF: ("it is paid after all", f"shopledger payment revive {order} --reason WHY"),
        CorrectionKind.DISPUTED: ("the dispute ended", f"shopledger fix payment {correction.payment_number}"),
    }
    what, command = commands.get(correction.kind, ("what it put right is wrong", f"shopledger fix order {order}"))
    return stands_only(
        f"Correction {number} of {correction.day.isoformat()}: {correction.kind.value}",
        (f"of order {order}", correction.reason),
        Remedy(what, command),
    )


def _receipt(work: UnitOfWork, number: int) -> Remedies:
    receipt = work.receipts.get(number)
    title = f"Receipt {number} of order {receipt.order_number}"
    if receipt.replaced_by is not None:
        why = f"receipt {receipt.replaced_by} took its place"
        return stands_only(
            title,
            (why,),
            Remedy("anything", f"shopledger fix receipt {receipt.replaced_by}", f"{why}, and it is frozen"),
        )
    account = work.orders.account(receipt.order_number)
    if account.cancellation is not None:
        why = f"its order was cancelled on {account.cancellation.day.isoformat()}"
        return stands_only(title, (why,), Remedy("anything", "", f"{why}: ask for it back"))
    return stands_only(
        title,
        (f"printed {receipt.prints} times",),
        Remedy("lost", f"shopledger receipt print {number}"),
        Remedy(
            "its order was put right since, or a name on it",
            f"shopledger receipt replace {number} --reason WHY",
        ),
        Remedy("what is wrong is on the order", f"shopledger fix order {receipt.order_number}"),
    )


def _prescription(work: UnitOfWork, number: int) -> Remedies:
    written = work.prescriptions.get(number)
    add = "shopledger prescription add"
    why = "a prescription stays as it was written down: record it again as it should be"
    open_jobs = [
        (entry.facts.job_number, work.orders.pair(entry.facts.job_number)[1].prescription_number)
        for entry in work.jobs.open()
    ]
    jobs = [job for job, made_from in open_jobs if made_from == number]
    return stands_only(
        f"Prescription {number} of {written.written_on.isoformat()}",
        (f"open jobs made from it: {', '.join(map(str, jobs)) or 'none'}",),
        Remedy("a power or a date read wrong", add, why),
        *(
            Remedy(f"job {job} to be made from the right one", f"shopledger job put-right {job} --prescription NUMBER")
            for job in jobs
        ),
        Remedy("a diagnosis added", f"shopledger prescription diagnose {number} --diagnosis CODE"),
    )


def _deposit(work: UnitOfWork, number: int) -> Remedies:
    account = work.deposits.account(number)
    left = write_amount(account.left)
    gone = "" if account.left else "nothing of it is left"
    return stands_only(
        f"Deposit {number} of {write_amount(account.deposit.amount)}",
        (f"{left} of it left",),
        Remedy("given back", "" if gone else f"shopledger deposit give-back {number}", gone),
        Remedy("used on an order", "" if gone else f"shopledger payment take ORDER --deposit {number}", gone),
        *(_voidable(work, DocumentKind.DEPOSIT, number, account.deposit.day),),
    )


def _voided(kind: DocumentKind) -> Callable[[UnitOfWork, int], Remedies]:
    """Make the look at a document of the owner's own, which is voided and recorded anew."""

    def look(work: UnitOfWork, number: int) -> Remedies:
        days = {
            DocumentKind.BILL: lambda: work.bills.account(number).bill.day,
            DocumentKind.EXPENSE: lambda: work.expenses.get(number).day,
            DocumentKind.MONEY: lambda: work.money_moves.get(number).day,
        }
        day = days[kind]()
        remedies = [_voidable(work, kind, number, day)]
        if kind is DocumentKind.BILL:
            remedies.append(Remedy("goods sent back", f"shopledger bill send-back {number} --reason WHY"))
        return stands_only(f"{kind.value.capitalize()} {number} of {day.isoformat()}", (), *remedies)

    return look


def _voidable(work: UnitOfWork, kind: DocumentKind, number: int, day: date) -> Remedy:
    """Say whether a document of the owner's own can be voided: a mistake of a closed month is voided in an open one."""
    what = "recorded by mistake, or wrong"
    if work.voidings.of(Document(kind, number)) is not None:
        return Remedy(what, "", "it was voided already")
    closed = ", in the month of today" if _closed(work, day) else ""
    return Remedy(
        f"{what} (void it{closed}, then record it as it is)", f"shopledger void {kind.value} {number} --reason WHY"
    )


def _facts(work: UnitOfWork, account: OrderAccount) -> OrderFacts:
    number = number_of(account.order)
    standing = [pair for pair in account.order.standing_pairs if pair.job_number is not None]
    sent = {pair.job_number or 0: parcel_with(account, pair.job_number) for pair in standing}
    return OrderFacts(
        account,
        left_on(account),
        work.customers.get(account.order.customer_number).erased_on,
        {job: parcel.day for job, parcel in sent.items() if parcel},
        {pair.job_number or 0: why_cut(work, account, pair) for pair in standing},
        frozenset(pair.job_number or 0 for pair in standing if work.lens_orders.of_job(pair.job_number or 0)),
        tuple(each.number for each in work.receipts.of_order(number) if each.replaced_by is None),
        _closed(work, account.order.day),
    )


def _closed(work: UnitOfWork, day: date) -> bool:
    return work.periods.is_closed(Month(day.year, day.month))


_LOOKS: Final[Mapping[Fixable, Callable[[UnitOfWork, int], Remedies]]] = complete(
    Fixable,
    {
        Fixable.ORDER: _order,
        Fixable.JOB: _job,
        Fixable.PAYMENT: _payment,
        Fixable.REFUND: _refund,
        Fixable.CORRECTION: _correction,
        Fixable.RECEIPT: _receipt,
        Fixable.PARCEL: _parcel,
        Fixable.PRESCRIPTION: _prescription,
        Fixable.DEPOSIT: _deposit,
        Fixable.BILL: _voided(DocumentKind.BILL),
        Fixable.EXPENSE: _voided(DocumentKind.EXPENSE),
        Fixable.MONEY: _voided(DocumentKind.MONEY),
    },
    "say in _LOOKS of shopledger/desk/fixing.py how it is looked at",
)
