"""Drafts looked at: those that are open, and the order that one holds."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.exchange.order_file import read_order_file
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.erasing import ErasedError
from shopledger.ledger.orders import (
    Draft,
    OrderRequest,
)
from shopledger.ledger.text import is_mark
from shopledger.store.work import UnitOfWork


def open_drafts(desk: Desk) -> tuple[Draft, ...]:
    """Give the drafts that have not become orders, oldest first."""
    with desk.reading() as work:
        return tuple(draft for draft in work.drafts.open() if not is_mark(draft.body))


def draft_numbered(desk: Desk, number: int) -> Draft:
    """Give one draft."""
    with desk.noting(Deed.LOOKED_AT_DRAFT, Subject.DRAFT, number) as work:
        return _whole(work, number)


def drafted_order(desk: Desk, number: int) -> OrderRequest:
    """Give the order that a draft holds; one that was recorded already is refused."""
    with desk.reading() as work:
        return read_order_file(unrecorded(work, number).body)


def unrecorded(work: UnitOfWork, number: int) -> Draft:
    """Give a draft that is still open; one that was recorded already is refused, and its order named."""
    draft = _whole(work, number)
    if draft.order_number is not None:
        raise RefusedError(
            "draft",
            number,
            f"it was recorded as order {draft.order_number}",
            f"Look at it with 'shopledger sale show {draft.order_number}'.",
        )
    return draft


def _whole(work: UnitOfWork, number: int) -> Draft:
    """Give a draft, or refuse one whose customer was erased."""
    draft = work.drafts.get(number)
    if is_mark(draft.body):
        raise ErasedError(f"draft {number}", draft.body.rpartition(" ")[2])
    return draft
