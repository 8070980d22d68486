"""Taking over what customers owed when the books began."""

from __future__ import annotations

from datetime import date

from shopledger.desk.books.order_postings import post_event
from shopledger.desk.context import Desk
from shopledger.ledger.books.postings import opening_debt_event
from shopledger.ledger.earning import Earned
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.numbers import number_of
from shopledger.ledger.opening_debts import debt_line
from shopledger.ledger.orders import Order, OrderAccount
from shopledger.money.amount import Cents


def take_over_debt(desk: Desk, customer: str, amount: Cents, about: str, day: date | None = None) -> OrderAccount:
    """Store what a customer owed before the books began, as an order that is paid like any other."""
    begun = desk.day(day)
    with desk.writing() as work:
        work.periods.refuse_closed(begun)
        who = work.customers.pick(customer)
        refuse_of_erased(f"customer {who.number}", who)
        line = debt_line(amount, about)
        rounding = work.shop.settings().tax_rounding
        order = work.orders.add(Order(number_of(who), begun, who.address, (), (line,), rounding))
        work.earnings.take_over(number_of(order))
        post_event(work, opening_debt_event(order, (Earned(1, 1, amount, amount),)))
        return work.orders.account(number_of(order))
