"""Which accounts each event of the shop touches."""

from __future__ import annotations

from datetime import date
from typing import Final

from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Method, Order, Payment, Refund
from shopledger.ledger.stock import StockMovement, StockReason
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents

MONEY_ACCOUNTS: Final = {
    Method.CARD: Account.CARD_CLEARING,
    Method.CASH: Account.CASH,
    Method.CHECK: Account.BANK,
    Method.TRANSFER: Account.BANK,
}
"""Where money of each method comes in, and goes out again."""


GOODS_ACCOUNTS: Final = {
    StockReason.OPENING: Account.OPENING_BALANCES,
    StockReason.RECEIVED: Account.OPENING_BALANCES,
    StockReason.SOLD: Account.COST_OF_GOODS,
    StockReason.RETURNED: Account.COST_OF_GOODS,
    StockReason.ADJUSTED: Account.STOCK_DIFFERENCES,
    StockReason.WRITTEN_OFF: Account.WRITTEN_OFF,
    StockReason.GIVEN: Account.SAMPLES,
    StockReason.OWN_USE: Account.DRAWS,
    StockReason.SENT_BACK: Account.PAYABLE,
}
"""What the inventory account is set against when goods move for each reason.

What is received stands on its bill's entry; only goods of which no bill is known stand against the opening
balances.
"""


def sale_entry(order: Order) -> Entry:
    """Post a sale: the customer owes the total; goods at list price less offers, shipping and tax are earned or owed.

    Tax that is laid on the seller is part of the receipts, and an expense owed to the state.
    """
    shipping = sum(line.net for line in order.lines if line.kind is LineKind.SHIPPING)
    listed = sum(line.list_price for line in order.lines if line.kind is not LineKind.SHIPPING)
    sellers = sum(line.tax for line in order.lines if line.tax_imposed_on is ImposedOn.SELLER)
    return Entry(
        order.day,
        f"sale, order {order.number}",
        Document(DocumentKind.ORDER, number_of(order)),
        (
            Posting(Account.RECEIVABLE, order.total),
            Posting(Account.DISCOUNTS, listed - (order.net_total - shipping)),
            Posting(Account.SALES, -listed),
            Posting(Account.SHIPPING_INCOME, -shipping),
            Posting(Account.SALES_TAX_PAYABLE, -order.tax_total),
            Posting(Account.TAXES, sellers),
            Posting(Account.SELLERS_TAX_CHARGED, -sellers),
        ),
    )


def payment_entry(payment: Payment) -> Entry:
    """Post a payment: money in by its method, the customer owes that much less."""
    return Entry(
        payment.day,
        f"{payment.method.value} payment, order {payment.order_number}",
        Document(DocumentKind.PAYMENT, number_of(payment)),
        (
            Posting(
                MONEY_ACCOUNTS[payment.method] if payment.deposit_number is None else Account.CUSTOMER_DEPOSITS,
                payment.amount,
            ),
            Posting(Account.RECEIVABLE, -payment.amount),
        ),
    )


def refund_entry(refund: Refund, order: Order) -> Entry:
    """Post a refund: the charge is given back as a return, its tax is owed no longer, money goes out by its method."""
    sellers = sum(part.tax for part in refund.parts if order.lines[part.line - 1].tax_imposed_on is ImposedOn.SELLER)
    return Entry(
        refund.day,
        f"{refund.method.value} refund, order {refund.order_number}",
        Document(DocumentKind.REFUND, number_of(refund)),
        (
            Posting(Account.RETURNS, refund.net),
            Posting(Account.SALES_TAX_PAYABLE, refund.tax),
            Posting(Account.SELLERS_TAX_CHARGED, sellers),
            Posting(Account.TAXES, -sellers),
            Posting(MONEY_ACCOUNTS[refund.method], -refund.amount),
        ),
    )


def goods_entry(movement: StockMovement) -> Entry:
    """Post what goods cost that came, went or were found missing, against the account of the reason."""
    return Entry(
        movement.day,
        f"{movement.reason.value}: {movement.quantity:+d} {movement.item_code}",
        Document(DocumentKind.MOVEMENT, number_of(movement)),
        (Posting(Account.INVENTORY, movement.cost), Posting(GOODS_ACCOUNTS[movement.reason], -movement.cost)),
    )


def shipment_entry(day: date, order_number: int, goods: Cents, lenses: Cents) -> Entry:
    """Post what a shipped order cost: goods from the shelf, and the lenses and lab work billed for its jobs so far."""
    return Entry(
        day,
        f"cost of goods shipped, order {order_number}",
        Document(DocumentKind.SHIPMENT, order_number),
        (
            Posting(Account.COST_OF_GOODS, goods),
            Posting(Account.INVENTORY, -goods),
            Posting(Account.LENSES, lenses),
            Posting(Account.JOBS_IN_WORK, -lenses),
        ),
    )


def reversing_entry(entry: Entry, number: int, cancellation: Cancellation) -> Entry:
    """Post the opposite of an entry of a cancelled order, pointing at it."""
    return Entry(
        cancellation.day,
        f"taken back: {entry.memo}",
        Document(DocumentKind.CANCELLATION, cancellation.order_number),
        tuple(Posting(posting.account, -posting.amount) for posting in entry.postings),
        reverses=number,
    )
