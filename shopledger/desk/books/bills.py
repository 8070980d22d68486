"""A supplier's bill once it is recorded: looking at it, paying it, sending goods of it back."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Final

from shopledger.desk.books.banking import short_of
from shopledger.desk.books.bill_credits import CreditRequest, planned_credit, store_credit
from shopledger.desk.refusals import accepted_warnings, note_accepted, on_or_after
from shopledger.errors import RefusedError, listed, nearest
from shopledger.files.replacing import COPY
from shopledger.files.writing import write_whole
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import BillPaymentRequest, SendBackRequest
from shopledger.ledger.books.bills import BillAccount, BillLine, BillPayment, SupplierCredit, refuse_voided
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import bill_payment_entry, credit_entry
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import OutOfStockError, StockedKind, StockMovement, StockReason
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.optics.findings import Finding
    from shopledger.store.work import UnitOfWork

_BILL_OF: Final = "the bill is of"


def bills(desk: Desk, supplier: str | None = None, *, open_only: bool = False) -> tuple[BillAccount, ...]:
    """Give all bills or only the open ones, of one supplier or of all, newest first."""
    with desk.reading() as work:
        whose = _whose(work, supplier)
        return work.bills.open_accounts(whose) if open_only else work.bills.accounts(whose)


def newest_bills(desk: Desk, limit: int, supplier: str | None = None) -> tuple[BillAccount, ...]:
    """Give the newest bills, of one supplier or of all, newest first."""
    with desk.reading() as work:
        return work.bills.newest_accounts(limit, _whose(work, supplier))


def _whose(work: UnitOfWork, supplier: str | None) -> int:
    return 0 if supplier is None else number_of(work.suppliers.pick(supplier))


def bill_account(desk: Desk, number: int) -> BillAccount:
    """Give a bill with what happened to it."""
    with desk.reading() as work:
        return work.bills.account(number)


def kept_name(desk: Desk, account: BillAccount) -> str:
    """Give the name of the file that was kept of a bill; none is empty."""
    if account.bill.file_sha256 is None:
        return ""
    with desk.reading() as work:
        return work.kept_files.get(account.bill.file_sha256).name


def write_kept_file(desk: Desk, number: int, folder: Path) -> Path:
    """Write the file that was kept of a bill into a folder, byte for byte; gives its path."""
    with desk.reading() as work:
        sha256 = work.bills.account(number).bill.file_sha256
        if sha256 is None:
            hint = "A file is kept with --file when the bill is recorded."
            raise RefusedError("bill", number, "no file was kept of it", hint)
        kept, body = work.kept_files.get(sha256), work.kept_files.body(sha256)
    # The name was typed by somebody else once, so nothing of it may lead out of the folder.
    target = folder / f"bill-{number}-{re.sub(r'[^A-Za-z0-9._-]+', '-', kept.name)[-100:]}"
    return write_whole(body, target, COPY)


@dataclass(frozen=True, slots=True)
class BillPaymentPlan:
    """A payment as it would be stored, the bill it is for, and what is odd about it."""

    account: BillAccount
    payment: BillPayment
    findings: tuple[Finding, ...] = ()


def plan_bill_payment(desk: Desk, number: int, request: BillPaymentRequest) -> BillPaymentPlan:
    """Look at a payment without storing it."""
    with desk.reading() as work:
        return _planned_payment(work, desk, number, request)


def pay_bill(desk: Desk, number: int, request: BillPaymentRequest, accept: frozenset[str] = frozenset()) -> BillAccount:
    """Store a payment on a bill, and the discount that was taken with it; more than is owed is refused."""
    with desk.writing() as work:
        if request.discount:
            store_credit(work, planned_credit(work, desk, number, _discount(request)))
            request = replace(request, discount=0)
        plan = _planned_payment(work, desk, number, request)
        accepted = accepted_warnings(plan.findings, accept)
        stored = store_bill_payment(work, plan.payment, plan.account.supplier)
        note_accepted(work, accepted, Document(DocumentKind.BILL_PAYMENT, number_of(stored)))
        return work.bills.account(number)


def _discount(request: BillPaymentRequest) -> CreditRequest:
    return CreditRequest(CreditKind.DISCOUNT, request.discount, "paid within the terms", request.day)


def store_bill_payment(work: UnitOfWork, payment: BillPayment, supplier: str) -> BillPayment:
    """Write a payment on a bill and its posting."""
    stored = work.bills.add_payment(payment)
    work.journal.post(bill_payment_entry(stored, supplier))
    return stored


def short_of_cash(work: UnitOfWork, method: SpendMethod | None, amount: Cents, day: date) -> tuple[Finding, ...]:
    """Warn where a bill is paid in cash of which less lies in the drawer."""
    return short_of(work, Account.CASH, amount, day) if method is SpendMethod.CASH else ()


def _planned_payment(work: UnitOfWork, desk: Desk, number: int, request: BillPaymentRequest) -> BillPaymentPlan:
    day = desk.day(request.day, "payment day")
    payment = BillPayment(number, day, request.amount, request.method, request.reference)
    account = work.bills.account(number)
    refuse_voided(account)
    _refuse_payment(account, payment, request.discount)
    work.periods.refuse_closed(day)
    return BillPaymentPlan(account, payment, short_of_cash(work, payment.method, payment.amount, day))


def _refuse_payment(account: BillAccount, payment: BillPayment, discount: Cents = 0) -> None:
    owed = max(account.balance - discount, 0)
    if payment.amount > owed:
        raise RefusedError(
            "payment",
            write_amount(payment.amount),
            f"only {write_amount(owed)} is still owed" if owed else "nothing is owed any more",
            f"Pay {write_amount(owed)} or less." if owed else f"Bill {payment.bill_number} is paid in full.",
        )
    on_or_after(account.bill.day, payment.day, "payment day", _BILL_OF)


@dataclass(frozen=True, slots=True)
class SentBack:
    """What went back, and the bill as it stands now."""

    account: BillAccount
    credit: SupplierCredit


def send_back(desk: Desk, bill_number: int, asked: SendBackRequest) -> SentBack:
    """Take goods of a bill from the shelf and lower what is owed by the credit given for them.

    Those of the bill's own lot leave first. A credit larger than what is owed leaves a balance in the shop's favour.
    """
    day = desk.day(asked.day)
    with desk.writing() as work:
        account = work.bills.account(bill_number)
        refuse_voided(account)
        on_or_after(account.bill.day, day, "day", _BILL_OF)
        line = _brought(account, asked)
        kind = line.item_kind or StockedKind.FRAME
        _refuse_count(work, account, asked, line, kind)
        _refuse_credit(account, asked, line.item_code)
        work.periods.refuse_closed(day)
        first = [number_of(each) for each in work.bills.goods(bill_number) if each.quantity > 0]
        leaving = StockMovement(
            day,
            kind,
            line.item_code,
            -asked.quantity,
            0,
            StockReason.SENT_BACK,
            bill_number=bill_number,
            note=asked.reason,
        )
        gone = work.stock.take(leaving, first=first)
        credit = SupplierCredit(
            bill_number, number_of(gone), day, line.item_code, asked.quantity, -gone.cost, asked.credit, asked.reason
        )
        entry = credit_entry(credit, account.supplier)
        if entry.postings:
            work.journal.post(entry)
        return SentBack(work.bills.account(bill_number), credit)


def _brought(account: BillAccount, asked: SendBackRequest) -> BillLine:
    """Find the goods among what the bill brought."""
    brought = {line.item_code: line for line in account.bill.lines if line.item_kind is not None}
    code = asked.item.strip().upper()
    if code not in brought:
        near = nearest(code, brought)
        hint = f"Did you mean {listed(near)}?" if near else "Look at the bill with 'shopledger bill show'."
        raise RefusedError("item", f"'{asked.item}'", f"bill {account.bill.number} brought no such goods", hint)
    return brought[code]


def _refuse_credit(account: BillAccount, asked: SendBackRequest, code: str) -> None:
    """Refuse a credit for goods above what they cost on the bill, with their share of its freight."""
    lines = [line for line in account.bill.lines if line.item_code == code]
    cost, pieces = sum(line.landed for line in lines), sum(line.quantity for line in lines)
    most = -(-cost * asked.quantity // pieces)
    if asked.credit > most:
        allowed = f"{asked.quantity} {code} cost {write_amount(most)} on bill {account.bill.number}"
        hint = f"Type {write_amount(most)} or less; what else a supplier gives is 'shopledger money other-income'."
        raise RefusedError("credit", write_amount(asked.credit), allowed, hint)


def _refuse_count(
    work: UnitOfWork, account: BillAccount, asked: SendBackRequest, line: BillLine, kind: StockedKind
) -> None:
    code = line.item_code
    brought = sum(each.quantity for each in account.bill.lines if each.item_code == code)
    back = sum(each.quantity for each in account.credits if each.item_code == code)
    if asked.quantity > brought - back:
        allowed = f"bill {account.bill.number} brought {brought} {code}, of which {back} went back already"
        raise RefusedError("quantity", asked.quantity, allowed, f"Send back {brought - back} at most.")
    level = work.stock.level(kind, code)
    if asked.quantity > level.free:
        raise OutOfStockError(code, asked.quantity, level.free)
