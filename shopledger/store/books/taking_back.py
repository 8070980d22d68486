"""What was taken back, and lists in which it stands below nought on the day it was."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, Final, TypeVar

from sqlalchemy import Row

from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.taking_back import Listed, TakingBack
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction
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


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The documents that were taken back; each is once."""

    transaction: Transaction

    def add(self, taken: TakingBack) -> TakingBack:
        """Post that a document is taken back."""
        if self.of(taken.document) is not None:
            raise DuplicateError("taking back", str(taken.document))
        values = {**_named(taken.document), "day": day_text(taken.day), "reason": taken.reason}
        self.transaction.add("taken_back", {**values, **self.transaction.stamp})
        return taken

    def of(self, document: Document) -> TakingBack | None:
        """Give the taking back of a document, or None."""
        row = self.transaction.row("taken_back", **_named(document))
        return TakingBack(document, read_day(row.day), row.reason) if row else None

    def day_of(self, kind: DocumentKind, number: int) -> date | None:
        """Give the day on which a document was taken back, or None."""
        taken = self.of(Document(kind, number))
        return taken.day if taken else None


def _named(document: Document) -> dict[str, object]:
    return {"document_kind": document.kind.value, "document_number": document.number}


def listed_rows(
    transaction: Transaction, table: str, kind: DocumentKind, read: Callable[[Row[Any]], T], month: Month | None
) -> tuple[Listed[T], ...]:
    """Give a month's documents of one table, or all, by day: each as it is, and below nought when it was taken back."""
    first, last = (day_text(month.first), day_text(month.last)) if month else _EVER
    rows = transaction.asked(
        _LISTED.format(table=table, taken=stands_on(kind, "document.number", "taken")), first=first, last=last
    )
    ordered = sorted(rows, key=lambda row: (row.listed_on, row.number, row.because != ""))
    return tuple(Listed(read_day(row.listed_on), read(row), row.because) for row in ordered)
