"""How far a ledger goes, whether it holds what a copy of it holds, and whether a copy is what was sealed."""

from __future__ import annotations

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.store.refusals import RecordsChangedError
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.seals import Standing
from shopledger.store.work import UnitOfWork


def head_of(work: UnitOfWork) -> Head:
    """Give the ledger's head."""
    return work.seals.head()


def holds(work: UnitOfWork, head: Head) -> bool:
    """Tell whether a head is the ledger's own, or one that it once had."""
    return head == EMPTY_HEAD or work.seals.hash_of(head.count) == head.hash


def prove_chain(work: UnitOfWork) -> tuple[Head, bool]:
    """Work the whole chain out again, and that of the journal, or name what does not fit.

    Gives the head, and whether the rows came from another kind of database. Its tables and guards cannot be looked at
    here; whoever puts such a copy back makes them anew. Raises RecordsChangedError, JournalBrokenError.
    """
    found = work.seals.standing()
    elsewhere = _came_from_elsewhere(work, found)
    if elsewhere:
        for parts in (found.gone, found.strange):
            parts.pop(SCHEMA, None)
    named, _ = work.seals.differences(found)
    for each in (*found.links, *named):
        raise RecordsChangedError(str(each))
    work.journal.verify()
    return found.head, elsewhere


def _came_from_elsewhere(work: UnitOfWork, found: Standing) -> bool:
    """Tell whether none of the tables and guards is one that was sealed: they are those of another kind of database."""
    present = schema_digests(work.transaction.connection)
    return bool(present) and len(found.strange[SCHEMA]) == len(present)


def write_head(head: Head) -> str:
    """Write a head whole: its count and all of its hash."""
    return f"{head.count}-{head.hash}"


def read_head(written: str) -> Head:
    """Read a head as it was written whole; what is none is a head that no ledger has."""
    count, _, hashed = written.partition("-")
    return Head(int(count), hashed) if count.isascii() and count.isdigit() else Head(-1, "")
