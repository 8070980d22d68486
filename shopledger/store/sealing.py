"""What one transaction writes, kept until it ends: then a seal with all of it follows on the chain.

Where a row is changed or deleted, its digest as it stood is taken off and its new one put on; a row that the same
transaction wrote before leaves no trace of how it stood in between.
"""

from __future__ import annotations

import secrets
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any, Final

from sqlalchemy import Connection, Table, insert, select

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.ledger.seals import Seal, Sealed, next_seal
from shopledger.store.digests import as_stored, form_of
from shopledger.store.records import Record
from shopledger.store.revision import WRITTEN_BY
from shopledger.store.tables.base import SALT, SEAL
from shopledger.store.tables.seals import seal

SALT_BYTES: Final = 16
SEALS: Final = Record(Seal, seal)

_LAST: Final = select(seal.c.number, seal.c.hash).order_by(seal.c.number.desc()).limit(1)


class Sealing:
    """The rows that a transaction wrote, by table, and the seal that they are written under."""

    __slots__ = ("_added", "_connection", "_head", "_removed")

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._head: Head | None = None
        self._added: defaultdict[str, set[str]] = defaultdict(set)
        self._removed: defaultdict[str, set[str]] = defaultdict(set)

    @property
    def head(self) -> Head:
        """The head of the chain that this transaction found."""
        if self._head is None:
            self._head = last_head(self._connection)
        return self._head

    @property
    def number(self) -> int:
        """The number of the seal that this transaction ends with."""
        return self.head.count + 1

    def marked(self, table: Table[Any], row: Mapping[str, object]) -> dict[str, object]:
        """Give a new row with its seal, and with random bytes where it holds personal data."""
        if SALT in table.c:
            return {**row, SEAL: self.number, SALT: secrets.token_hex(SALT_BYTES)}
        return {**row, SEAL: self.number}

    def added(self, table: Table[Any], rows: Iterable[Mapping[str, Any]]) -> None:
        """Take note of new rows."""
        digest = form_of(table).digest
        self._added[table.name].update(digest(as_stored(table, row)) for row in rows)

    def removed(self, table: Table[Any], rows: Iterable[Mapping[str, Any]]) -> None:
        """Take note of rows, as they were stored, that are no more or no more the same."""
        added, removed = self._added[table.name], self._removed[table.name]
        for digest in map(form_of(table).digest, rows):
            if digest in added:
                added.remove(digest)
            else:
                removed.add(digest)

    def changed(self, table: Table[Any], rows: Iterable[Mapping[str, Any]], values: Mapping[str, Any]) -> None:
        """Take note of rows, as they were stored, that now hold other values."""
        before, new, digest = list(rows), as_stored(table, values), form_of(table).digest
        self.removed(table, before)
        self._added[table.name].update(digest({**row, **new}) for row in before)

    def seal(self, operator: str, recorded_at: str) -> Head | None:
        """End the transaction with its seal, and give the new head; None where nothing was written."""
        names = sorted({name for each in (self._added, self._removed) for name, found in each.items() if found})
        if not names:
            return None
        tables = {name: Sealed.of(self._added[name], self._removed[name]) for name in names}
        new = next_seal(self.head, operator, recorded_at, WRITTEN_BY, tables)
        add_seal(self._connection, new)
        return new.head


def last_head(connection: Connection) -> Head:
    """Give how many seals there are, and the hash of the last."""
    found = connection.execute(_LAST).first()
    return Head(found.number, found.hash) if found else EMPTY_HEAD


def add_seal(connection: Connection, new: Seal) -> None:
    """Put a seal on the chain."""
    connection.execute(insert(seal), SEALS.row(new, operator=new.operator, recorded_at=new.recorded_at))
