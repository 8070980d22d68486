"""Which accounts a supplier's bill touches, and what happens to the costs of a job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import Final

from shopledger.errors import LedgerError
from shopledger.ledger.books.bills import Bill, BillLine, BillLineKind, BillPayment, SupplierCredit
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.inspections import Remake
from shopledger.ledger.numbers import number_of
from shopledger.money.amount import Cents

JOB_ACCOUNTS: Final = (Account.JOBS_IN_WORK, Account.LENSES, Account.SCRAP)
"""Where a job's costs may stand: before it leaves, after, and where its order was cancelled."""

JobAccounts = Mapping[int, Account]
"""In which account each job's costs stand."""


class NoAccountError(LedgerError):
    """A line of a bill that is shared out over the others was to be posted by itself."""

    kind: str
    sentence = "a line of {kind} has no account of its own."


def bill_entry(bill: Bill, supplier: str, jobs: JobAccounts) -> Entry:
    """Post a bill: goods, jobs and expenses at their landed cost, owed to the supplier."""
    sums: Counter[Account] = Counter()
    for line in bill.lines:
        if line.kind is not BillLineKind.FREIGHT:
            sums[account_of(line, jobs)] += line.landed
    memo = f"bill of {supplier}, invoice {bill.invoice}" if bill.invoice else f"bill of {supplier}"
    postings = [Posting(account, amount) for account, amount in sums.items()]
    return Entry(
        bill.day, memo, Document(DocumentKind.BILL, number_of(bill)), (*postings, Posting(Account.PAYABLE, -bill.total))
    )


def account_of(line: BillLine, jobs: JobAccounts) -> Account:
    """Give the account that a line of a bill is posted to."""
    if line.kind is BillLineKind.STOCK:
        return Account.INVENTORY
    if line.job_number is not None:
        return jobs[line.job_number]
    if line.category is not None:
        return line.category.account
    raise NoAccountError(line.kind.value)


def bill_payment_entry(payment: BillPayment, supplier: str) -> Entry:
    """Post a payment on a bill: less is owed, money goes out by its method."""
    return Entry(
        payment.day,
        f"{payment.method.value} payment to {supplier}, bill {payment.bill_number}",
        Document(DocumentKind.BILL_PAYMENT, number_of(payment)),
        (Posting(Account.PAYABLE, payment.amount), Posting(payment.method.account, -payment.amount)),
    )


def credit_entry(credit: SupplierCredit, supplier: str) -> Entry:
    """Post goods sent back: less is owed by the credit; what they cost more or less is a stock difference."""
    return Entry(
        credit.day,
        f"sent back to {supplier}, bill {credit.bill_number}: {credit.quantity} {credit.item_code}",
        Document(DocumentKind.MOVEMENT, credit.movement_number),
        (
            Posting(Account.PAYABLE, credit.credit),
            Posting(Account.STOCK_DIFFERENCES, credit.cost - credit.credit),
            Posting(Account.INVENTORY, -credit.cost),
        ),
    )


def remake_entry(remake: Remake, standing: Account) -> Entry:
    """Post what a remake cost as scrap, out of the account in which the job's costs stand."""
    return Entry(
        remake.day,
        f"job {remake.job_number} made again",
        Document(DocumentKind.REMAKE, number_of(remake)),
        (Posting(Account.SCRAP, remake.cost), Posting(standing, -remake.cost)),
    )


def cancelled_jobs_entry(day: date, order_number: int, cost: Cents) -> Entry:
    """Post what was billed for the jobs of a cancelled order as scrap: nobody will wear the lenses."""
    return Entry(
        day,
        f"jobs of cancelled order {order_number}",
        Document(DocumentKind.CANCELLATION, order_number),
        (Posting(Account.SCRAP, cost), Posting(Account.JOBS_IN_WORK, -cost)),
    )


def moved_jobs_entry(bill: Bill, posted: Entry, jobs: JobAccounts, day: date) -> Entry:
    """Post what puts job costs right when a bill is taken back whose jobs left, or were cancelled, after it.

    Reversing the bill's own entry takes the costs out of where they stood then; by now they stand elsewhere.
    """
    then: Counter[Account] = Counter()
    for posting in posted.postings:
        if posting.account in JOB_ACCOUNTS:
            then[posting.account] += posting.amount
    now: Counter[Account] = Counter()
    for line in bill.lines:
        if line.job_number is not None:
            now[jobs[line.job_number]] += line.landed
    return Entry(
        day,
        f"job costs of bill {bill.number} put right",
        Document(DocumentKind.BILL_VOIDED, number_of(bill)),
        tuple(Posting(account, then[account] - now[account]) for account in JOB_ACCOUNTS),
    )
