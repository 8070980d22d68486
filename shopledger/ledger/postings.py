"""Which accounts each event of the shop touches."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.journal import Account, Entry, Posting
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Method, Order, Payment, Refund

MONEY_ACCOUNTS: Final = {
    Method.CARD: Account.CARD_CLEARING,
    Method.CASH: Account.CASH,
    Method.CHECK: Account.BANK,
    Method.TRANSFER: Account.BANK,
}
"""Where money of each method comes in, and goes out again."""


def sale_entry(order: Order) -> Entry:
    """Post a sale: the customer owes the total; goods, shipping and tax are earned or owed on."""
    shipping = sum(line.net for line in order.lines if line.kind is LineKind.SHIPPING)
    return Entry(
        order.day,
        f"sale, order {order.number}",
        f"order {order.number}",
        (
            Posting(Account.RECEIVABLE, order.total),
            Posting(Account.SALES, -(order.net_total - shipping)),
            Posting(Account.SHIPPING_INCOME, -shipping),
            Posting(Account.SALES_TAX_PAYABLE, -order.tax_total),
        ),
    )


def payment_entry(payment: Payment) -> Entry:
    """Post a payment: money in by its method, the customer owes that much less."""
    return Entry(
        payment.day,
        f"{payment.method.value} payment, order {payment.order_number}",
        f"payment {payment.number}",
        (Posting(MONEY_ACCOUNTS[payment.method], payment.amount), Posting(Account.RECEIVABLE, -payment.amount)),
    )


def refund_entry(refund: Refund) -> Entry:
    """Post a refund: the charge is given back as a return, its tax is owed no longer, money goes out by its method."""
    return Entry(
        refund.day,
        f"{refund.method.value} refund, order {refund.order_number}",
        f"refund {refund.number}",
        (
            Posting(Account.RETURNS, refund.net),
            Posting(Account.SALES_TAX_PAYABLE, refund.tax),
            Posting(MONEY_ACCOUNTS[refund.method], -refund.amount),
        ),
    )


def reversing_entry(entry: Entry, number: int, cancellation: Cancellation) -> Entry:
    """Post the opposite of an entry of a cancelled order, pointing at it."""
    return Entry(
        cancellation.day,
        f"taken back: {entry.memo}",
        f"cancellation of order {cancellation.order_number}",
        tuple(Posting(posting.account, -posting.amount) for posting in entry.postings),
        reverses=number,
    )
