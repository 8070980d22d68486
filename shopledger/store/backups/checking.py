"""Looking into a copy without changing anything of it: that it is a ledger, whole, and how far it goes."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import URL

from shopledger.ledger.books.journal import Head
from shopledger.store.backups.heads import head_of, holds, prove_chain
from shopledger.store.backups.online import UnequalError, check_file
from shopledger.store.ledger import Ledger
from shopledger.store.refusals import BackupFailedError, CopyUnreadableError, UnsettledCopyError
from shopledger.store.revision import HEAD_REVISION
from shopledger.store.work import UnitOfWork

SEALED: bytes = b"age-encryption.org/v1\n"
"""How an encrypted copy begins (C2SP, age, version 1)."""


@dataclass(frozen=True, slots=True)
class Looked:
    """What a copy is: the state of its tables and its head, which is None where its tables are of an older state."""

    revision: str
    head: Head | None
    elsewhere: bool = False
    """Whether its rows came from another kind of database; known only where the chain was proved."""


def is_sealed(file: Path) -> bool:
    """Tell whether a copy is encrypted."""
    try:
        if file.exists() and not file.is_file():
            raise CopyUnreadableError(str(file), "it is no file")
        with file.open("rb") as body:
            return body.read(len(SEALED)) == SEALED
    except OSError as error:
        raise CopyUnreadableError(str(file), (error.strerror or str(error)).lower()) from error


def refuse_unsettled(file: Path) -> None:
    """Refuse a database whose last commits stand in a log beside it: it is no copy, and less than it seems."""
    for suffix in ("-wal", "-journal"):
        log = file.with_name(file.name + suffix)
        if log.exists() and log.stat().st_size:
            raise UnsettledCopyError(str(file), log.name)


def look_into(file: Path, *, chain: bool = False) -> Looked:
    """Check a copy's pages and references, and its whole chain where asked; gives its revision and head.

    Raises BackupFailedError, NotALedgerError, SchemaAheadError, JournalBrokenError.
    """
    refuse_unsettled(file)
    with closing(read_only(file)) as copy:
        revision = copy.revision()
        _check_file(file)
        if revision != HEAD_REVISION:
            copy.refuse_newer(revision, str(file))
            return Looked(revision, None)
        with copy.reading() as work:
            if not chain:
                return Looked(revision, head_of(work))
            return Looked(revision, *prove_chain(work))


def refuse_other_head(live: UnitOfWork, copied: Looked, place: str) -> Head:
    """Refuse a copy that ends with what its ledger never held; gives its head."""
    if copied.head is None or not holds(live, copied.head):
        raise BackupFailedError(place, "its last entry is not one of the ledger's")
    return copied.head


def read_only(file: Path) -> Ledger:
    """Open a database file that nobody writes to, so that not even a lock file appears beside it."""
    place = {"mode": "ro", "immutable": "1", "uri": "true"}
    return Ledger(URL.create("sqlite", database=file.absolute().as_uri(), query=place).render_as_string())


def _check_file(file: Path) -> None:
    try:
        check_file(file)
    except (sqlite3.Error, UnequalError) as error:
        raise BackupFailedError(str(file), str(error)) from error
