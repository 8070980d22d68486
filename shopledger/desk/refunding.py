"""Giving money back on an order, with or without the goods coming back, and taking a whole order back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.desk.books.goods_moves import put_back
from shopledger.desk.books.job_costs import scrap_jobs
from shopledger.desk.context import Desk
from shopledger.desk.sales import goods_out
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.postings import refund_entry, reversing_entry
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Cancellation, OrderAccount, Payment, Refund
from shopledger.ledger.refunds import RefundRequest, cancelled, plan_refund
from shopledger.ledger.sharing import parts_of
from shopledger.store.work import Work


@dataclass(frozen=True, slots=True)
class RefundGiven:
    """A refund, the order as it stands now, and the issued receipts that no longer say all."""

    account: OrderAccount
    refund: Refund
    touched_receipts: tuple[int, ...]
    """Each should be replaced, and the customer told if it was handed in."""


@dataclass(frozen=True, slots=True)
class OrderCancelled:
    """A cancelled order, what is to be paid back, and the issued receipts that hold no longer."""

    account: OrderAccount
    repaid: tuple[Payment, ...]
    touched_receipts: tuple[int, ...]
    put_back: tuple[Payment, ...] = ()
    """Payments out of a deposit: that money is in the deposit again, and none goes out."""


def planned_refund(desk: Desk, order_number: int, asked: RefundRequest) -> Refund:
    """Work a refund out to the cent without storing it."""
    day = desk.day(asked.day, "refund day")
    with desk.reading() as work:
        work.periods.refuse_closed(day)
        return plan_refund(work.orders.account(order_number), asked, day)


def give_refund(desk: Desk, order_number: int, asked: RefundRequest) -> RefundGiven:
    """Store a refund with its posting and the goods that came back: all of it, or nothing."""
    day = desk.day(asked.day, "refund day")
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        before = work.orders.account(order_number)
        refund = work.refunds.add(plan_refund(before, asked, day))
        put_back(work, before, refund)
        work.journal.post(refund_entry(refund, before.order))
        account = work.orders.account(order_number)
        wearers = {
            part.wearer_number for part in parts_of(account) for each, _ in part.refunds if each.number == refund.number
        }
        touched = tuple(number for number, wearer in _current_receipts(work, order_number) if wearer in wearers)
        return RefundGiven(account, refund, touched)


def cancel_order(desk: Desk, order_number: int, reason: str, day: date | None = None) -> OrderCancelled:
    """Take an unshipped order back: every entry reversed, every payment to be paid back, the goods on the shelf."""
    cancelled_on = desk.day(day, "cancellation day")
    with desk.writing() as work:
        work.periods.refuse_closed(cancelled_on)
        account = work.orders.account(order_number)
        _check_cancellable(account, cancelled_on)
        cancellation = work.cancellations.add(Cancellation(order_number, cancelled_on, reason))
        paid = (Document(DocumentKind.PAYMENT, number_of(payment)) for payment in account.payments)
        documents = [Document(DocumentKind.ORDER, order_number), *paid]
        for number, entry in work.journal.of_documents(documents):
            work.journal.post(reversing_entry(entry, number, cancellation))
        for (kind, code), quantity in goods_out(account.order).items():
            work.stock.set_aside(kind, code, -quantity)
        scrap_jobs(work, account.order, cancelled_on)
        touched = tuple(number for number, _ in _current_receipts(work, order_number))
        repaid = tuple(payment for payment in account.payments if payment.deposit_number is None)
        put_back = tuple(payment for payment in account.payments if payment.deposit_number is not None)
        return OrderCancelled(work.orders.account(order_number), repaid, touched, put_back)


def _check_cancellable(account: OrderAccount, day: date) -> None:
    number = account.order.number
    if account.cancellation is not None:
        raise cancelled("cancellation", account)
    if account.shipment is not None:
        raise RefusedError(
            "order",
            number,
            f"it was shipped on {account.shipment.day.isoformat()}, and only an unshipped order can be cancelled",
            f"Give the money back with 'shopledger refund give {number}'.",
        )
    if account.refunds:
        raise RefusedError(
            "order",
            number,
            "something was given back on it already",
            f"Give the rest back with 'shopledger refund give {number}' instead.",
        )
    latest = max([account.order.day, *(payment.day for payment in account.payments)])
    if day < latest:
        raise RefusedError(
            "cancellation day",
            day.isoformat(),
            f"the order was recorded or paid on {latest.isoformat()}",
            "Type a day on or after it.",
        )


def _current_receipts(work: Work, order_number: int) -> list[tuple[int, int]]:
    """Give each receipt of an order that nothing replaced yet, with its wearer."""
    issued = work.receipts.of_order(order_number)
    return [(receipt.number, receipt.wearer_number) for receipt in issued if receipt.replaced_by is None]
