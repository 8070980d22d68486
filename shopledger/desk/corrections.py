"""Posting a correction of an order: its record, the lines it adds, and its entries in the books, together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shopledger.ledger.books.postings import correction_entries
from shopledger.ledger.corrections import Correction
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderLine
from shopledger.store.work import UnitOfWork


def post_correction(work: UnitOfWork, order: Order, new: Correction, lines: Sequence[OrderLine] = ()) -> Correction:
    """Store a correction with the lines that it adds, and post both; goods and papers are whoever calls its matter."""
    posted = work.corrections.add(new)
    added = work.orders.add_lines(order, number_of(posted), lines)
    payment = work.payments.get(posted.payment_number) if posted.payment_number is not None else None
    for entry in correction_entries(posted, replace(order, lines=(*order.lines, *added)), payment):
        work.journal.post(entry)
    return posted
