"""Orders prepared but not yet recorded."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.exchange.order_file import read_order_file
from shopledger.ledger.orders import Draft, OrderRequest
from shopledger.store.work import Work


def open_drafts(desk: Desk) -> tuple[Draft, ...]:
    """Give the drafts that have not become orders, oldest first."""
    with desk.reading() as work:
        return work.drafts.open()


def draft_numbered(desk: Desk, number: int) -> Draft:
    """Give one draft."""
    with desk.reading() as work:
        return work.drafts.get(number)


def drafted_order(desk: Desk, number: int) -> OrderRequest:
    """Give the order that a draft holds; one that was recorded already is refused."""
    with desk.reading() as work:
        return read_order_file(unrecorded(work, number).body)


def unrecorded(work: Work, number: int) -> Draft:
    """Give a draft that is still open; one that was recorded already is refused, and its order named."""
    draft = work.drafts.get(number)
    if draft.order_number is not None:
        raise RefusedError(
            "draft",
            number,
            f"it was recorded as order {draft.order_number}",
            f"Look at it with 'shopledger sale show {draft.order_number}'.",
        )
    return draft
