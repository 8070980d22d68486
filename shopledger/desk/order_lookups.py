"""Orders looked at: one with what happened to it, the newest, and what their lenses are made from."""

from __future__ import annotations

from collections.abc import Mapping

from shopledger.desk.context import Desk
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import (
    Order,
    OrderAccount,
)
from shopledger.ledger.parties import Customer
from shopledger.optics.prescription import Prescription


def order_account(desk: Desk, number: int) -> OrderAccount:
    """Give an order with what happened to it."""
    with desk.reading() as work:
        return work.orders.account(number)


def order_card(desk: Desk, number: int) -> tuple[OrderAccount, Customer]:
    """Give an order with what happened to it, and who ordered."""
    with desk.reading() as work:
        account = work.orders.account(number)
        return account, work.customers.get(account.order.customer_number)


def newest_orders(desk: Desk, customer: str | None = None, limit: int = 20) -> tuple[tuple[OrderAccount, str], ...]:
    """Give the newest orders, of one customer or of all, each with the customer's name."""
    with desk.reading() as work:
        whose = None if customer is None else number_of(work.customers.pick(customer))
        accounts = work.orders.newest_accounts(whose, limit)
        customers = work.customers.many(account.order.customer_number for account in accounts)
        return tuple((account, customers[account.order.customer_number].name) for account in accounts)


def prescribed(desk: Desk, order: Order) -> Mapping[int, Prescription]:
    """Give the prescriptions that lenses of an order are made from, but none that was erased; the look is noted."""
    numbers = {pair.prescription_number for pair in order.pairs if pair.made and pair.prescription_number is not None}
    if not numbers:
        return {}
    with desk.writing() as work:
        for number in sorted(numbers):
            work.audit.note(Deed.LOOKED_AT_PRESCRIPTION, Subject.PRESCRIPTION, number)
        return {number: work.prescriptions.get(number).powers for number in sorted(numbers)}
