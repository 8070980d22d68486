"""What was voided, and lists in which it stands below zero on the day it was."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, Final, TypeVar

from sqlalchemy import Row

from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.voiding import Listed, Voiding
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.spending import taken_back
from shopledger.store.transaction import Area, Transaction, Where
from shopledger.store.words import stands_on

T = TypeVar("T")

_EVER: Final = ("0000-00-00", "9999-99-99")
_LISTED: Final = """
SELECT document.*, document.day AS listed_on, '' AS because
FROM {table} document WHERE document.day BETWEEN :first AND :last
UNION ALL
SELECT document.*, taken.day AS listed_on, taken.reason AS because
FROM taken_back taken JOIN {table} document ON {taken}
WHERE taken.day BETWEEN :first AND :last
"""


VOIDING: Final = Record(
    Voiding,
    taken_back,
    {
        "document": Fields(
            Document, taken_back, {"kind": taken_back.c.document_kind, "number": taken_back.c.document_number}
        )
    },
)


class Voidings(Area):
    """The documents that were voided; each is once."""

    def add(self, taken: Voiding) -> Voiding:
        """Post that a document is voided."""
        if self.of(taken.document) is not None:
            raise DuplicateError("voiding", str(taken.document))
        self.transaction.put(VOIDING, taken)
        return taken

    def of(self, document: Document) -> Voiding | None:
        """Give the voiding of a document, or None."""
        named: Where = {taken_back.c.document_kind: document.kind, taken_back.c.document_number: document.number}
        return self.transaction.one(VOIDING, named)

    def days_of(self, kind: DocumentKind) -> dict[int, date]:
        """Give the days on which documents of a kind were voided, by their numbers."""
        voided = self.transaction.lists(
            taken_back.c.day, taken_back.c.document_number, {taken_back.c.document_kind: kind}
        )
        return {number: days[0] for number, days in voided.items()}

    def day_of(self, kind: DocumentKind, number: int) -> date | None:
        """Give the day on which a document was voided, or None."""
        taken = self.of(Document(kind, number))
        return taken.day if taken else None


def listed_rows(
    transaction: Transaction, table: str, kind: DocumentKind, read: Callable[[Row[Any]], T], month: Month | None
) -> tuple[Listed[T], ...]:
    """Give a month's documents of one table, or all, by day: each as it is, and below zero when it was voided."""
    first, last = (day_text(month.first), day_text(month.last)) if month else _EVER
    rows = transaction.asked(
        _LISTED.format(table=table, taken=stands_on(kind, "document.number", "taken")), first=first, last=last
    )
    ordered = sorted(rows, key=lambda row: (row.listed_on, row.number, row.because != ""))
    return tuple(Listed(read_day(row.listed_on), read(row), row.because) for row in ordered)
