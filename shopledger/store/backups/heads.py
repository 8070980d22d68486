"""How far a ledger goes, and whether it holds what a copy of it holds."""

from __future__ import annotations

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.store.refusals import RecordsChangedError
from shopledger.store.work import UnitOfWork


def head_of(work: UnitOfWork) -> Head:
    """Give the ledger's head."""
    return work.seals.head()


def holds(work: UnitOfWork, head: Head) -> bool:
    """Tell whether a head is the ledger's own, or one that it once had."""
    return head == EMPTY_HEAD or head.hash in {work.seals.hash_of(head.count), work.journal.hash_of(head.count)}


def prove_chain(work: UnitOfWork) -> Head:
    """Work the chains out again, and hold every record to them; gives the head.

    Raises RecordsChangedError, JournalBrokenError.
    """
    found = work.seals.standing()
    named, _ = work.seals.differences(found)
    for first in (*found.links, *named):
        raise RecordsChangedError(str(first))
    work.journal.verify()
    return found.head


def write_head(head: Head) -> str:
    """Write a head whole: its count and all of its hash."""
    return f"{head.count}-{head.hash}"
