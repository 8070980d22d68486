"""How far a ledger goes, and whether it holds what a copy of it holds."""

from __future__ import annotations

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.store.work import UnitOfWork


def head_of(work: UnitOfWork) -> Head:
    """Give the ledger's head."""
    return work.seals.head()


def holds(work: UnitOfWork, head: Head) -> bool:
    """Tell whether a head is the ledger's own, or one that it once had."""
    return head == EMPTY_HEAD or head.hash in {work.seals.hash_of(head.count), work.journal.hash_of(head.count)}


def prove_chain(work: UnitOfWork) -> Head:
    """Work the whole chain out again; gives the head, or names what does not fit. Raises JournalBrokenError."""
    return work.journal.verify()


def write_head(head: Head) -> str:
    """Write a head whole: its count and all of its hash."""
    return f"{head.count}-{head.hash}"
