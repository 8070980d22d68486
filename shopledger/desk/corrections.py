"""Posting a correction of an order: its record, the lines it adds, and its entries in the books, together.

A payment on an order that was put right is posted here too: what it carries of the order is kept with it.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.desk.books.order_postings import given_up, post_event
from shopledger.errors import RefusedError
from shopledger.ledger.books.deposits import Deposit
from shopledger.ledger.books.postings import correction_event, correction_fee_entry, payment_event
from shopledger.ledger.carried import newest_share
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Method, Order, OrderAccount, OrderLine, Payment, Refund
from shopledger.ledger.overtaken import touched
from shopledger.optics.findings import Finding, Severity
from shopledger.store.work import UnitOfWork


def store_correction(
    work: UnitOfWork, before: OrderAccount, new: Correction, lines: Sequence[OrderLine] = ()
) -> Correction:
    """Store a correction with the lines that it adds; goods and papers are whoever calls its matter."""
    stored = work.corrections.add(new)
    work.orders.add_lines(before.order, number_of(stored), lines)
    return stored


def post_correction(
    work: UnitOfWork, before: OrderAccount, stored: Correction, *, refunded: bool = False
) -> OrderAccount:
    """Post a correction that is stored with all that belongs to it; gives the order since.

    Where money is `refunded` with it, what waits no longer counts with the refund.
    """
    number = number_of(stored)
    after = work.orders.account(stored.order_number)
    payment = work.payments.get(stored.payment_number) if stored.payment_number is not None else None
    never_sold = stored.kind is CorrectionKind.PUT_RIGHT
    earned = given_up(work, before, stored.parts, never_sold=never_sold, after=None if refunded else after)
    post_event(work, correction_event(stored, after.order, earned, payment))
    if stored.fee and payment is not None:
        work.journal.post(correction_fee_entry(stored, payment))
    work.paid_shares.of_correction(number, newest_share(after, work.paid_shares.of_order(stored.order_number)))
    return after


def post_payment(work: UnitOfWork, new: Payment, order: Order) -> Payment:
    """Store a payment and post it, with what it carries of its order if anything of that was put right."""
    if new.method is Method.CREDIT and new.deposit_number is None:
        raise RefusedError(
            "method",
            new.method.value,
            "credit is no money: it waits as a deposit of the customer's",
            "Use it with 'shopledger payment take ORDER --deposit NUMBER'; 'shopledger deposit list' shows it.",
        )
    payment = work.payments.add(new)
    post_event(work, payment_event(payment, order))
    number = payment.order_number
    if work.corrections.of_orders([number])[number]:
        share = newest_share(work.orders.account(number), work.paid_shares.of_order(number))
        work.paid_shares.of_payment(number_of(payment), share)
    return payment


def keep_credit(work: UnitOfWork, refund: Refund, order: Order) -> int | None:
    """Let what a refund gives back as credit wait as a deposit of the customer's; gives its number, if it does.

    The refund's own entry owes it to the customer: no money moves, and nothing more is posted.
    """
    if refund.method is not Method.CREDIT:
        return None
    said = f"credit of refund {refund.number}, order {refund.order_number}"
    kept = Deposit(order.customer_number, refund.day, refund.amount, Method.CREDIT, note=said)
    number = number_of(work.deposits.add(kept))
    work.refunds.keep_credit(number_of(refund), number)
    return number


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
