"""Taking a payment on an order."""

from __future__ import annotations

from datetime import date

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.books.postings import payment_entry
from shopledger.ledger.orders import OrderAccount, Payment, PaymentRequest
from shopledger.ledger.refunds import cancelled
from shopledger.money.amount import Cents, write_amount
from shopledger.store.work import Work


def take_payment(desk: Desk, order_number: int, request: PaymentRequest) -> OrderAccount:
    """Store a payment; more than is owed is refused, so that a deposit never hides in an order."""
    day = desk.day(request.day, "payment day")
    with desk.writing() as work:
        work.periods.refuse_closed(day)
        account = work.orders.account(order_number)
        if account.cancellation is not None:
            raise cancelled("payment", account)
        check_payment(request, account.balance, account.order.day, day)
        store_payment(work, order_number, request, day)
        return work.orders.account(order_number)


def check_payment(request: PaymentRequest, owed: Cents, order_day: date, day: date) -> None:
    """Refuse a payment that is more than owed or lies before the order."""
    if request.amount > owed:
        raise RefusedError(
            "payment",
            write_amount(request.amount),
            f"only {write_amount(owed)} is still owed",
            f"Take {write_amount(owed)} or less." if owed else "The order is paid in full.",
        )
    if day < order_day:
        raise RefusedError(
            "payment day",
            day.isoformat(),
            f"the order was recorded on {order_day.isoformat()}",
            "Type a day on or after it.",
        )


def store_payment(work: Work, order_number: int, request: PaymentRequest, day: date) -> Payment:
    """Write the payment and its posting."""
    payment = work.payments.add(
        Payment(order_number, request.day or day, request.amount, request.method, request.reference)
    )
    work.journal.post(payment_entry(payment))
    return payment
