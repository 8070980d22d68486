"""Posting a correction of an order: its record, the lines it adds, and its entries in the books, together.

A payment on an order that was put right is posted here too: what it carries of the order is kept with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopledger.ledger.books.postings import correction_entries, payment_entry
from shopledger.ledger.carried import newest_share
from shopledger.ledger.corrections import Correction
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Payment
from shopledger.ledger.overtaken import touched
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork


def post_correction(work: UnitOfWork, order: Order, new: Correction, lines: Sequence[OrderLine] = ()) -> Correction:
    """Store a correction with the lines that it adds, and post both; goods and papers are whoever calls its matter."""
    posted = work.corrections.add(new)
    number = number_of(posted)
    added = work.orders.add_lines(order, number, lines)
    payment = work.payments.get(posted.payment_number) if posted.payment_number is not None else None
    for entry in correction_entries(posted, replace(order, lines=(*order.lines, *added)), payment):
        work.journal.post(entry)
    account = work.orders.account(posted.order_number)
    work.paid_shares.of_correction(number, newest_share(account, work.paid_shares.of_order(posted.order_number)))
    return posted


def post_payment(work: UnitOfWork, new: Payment) -> Payment:
    """Store a payment and post it, with what it carries of its order if anything of that was put right."""
    payment = work.payments.add(new)
    work.journal.post(payment_entry(payment))
    number = payment.order_number
    if work.corrections.of_orders([number])[number]:
        share = newest_share(work.orders.account(number), work.paid_shares.of_order(number))
        work.paid_shares.of_payment(number_of(payment), share)
    return payment


def touched_receipts(work: UnitOfWork, before: OrderAccount, after: OrderAccount) -> tuple[int, ...]:
    """Give the receipts of an order that nothing replaced yet and that a deed made say something else than holds."""
    wearers = touched(before, after)
    issued = work.receipts.of_order(number_of(after.order))
    return tuple(each.number for each in issued if each.replaced_by is None and each.wearer_number in wearers)


def pays_for_another(work: UnitOfWork, account: OrderAccount, customer_number: int) -> tuple[Finding, ...]:
    """Ask about money of one customer that is to pay the order of another."""
    if customer_number in work.joins.group(account.order.customer_number):
        return ()
    found = work.customers.many([account.order.customer_number, customer_number])
    payer, buyer = (found[number].name for number in (customer_number, account.order.customer_number))
    said = f"The money is {payer}'s, and order {account.order.number} is {buyer}'s, as where a gift card is used."
    return (Finding(Severity.WARNING, "PAYS-FOR-ANOTHER", "payment", payer, buyer, "the shop's records", said),)
