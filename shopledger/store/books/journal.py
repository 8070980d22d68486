"""The books: entries posted one after another, each chained to the one before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any, Final

from sqlalchemy import Row, select

from shopledger.errors import LedgerError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting, chained
from shopledger.store.books.chain import stretches
from shopledger.store.refusals import JournalBrokenError
from shopledger.store.scales import read_day
from shopledger.store.tables.journal import journal_entry, journal_posting
from shopledger.store.transaction import Area

_ACCOUNTS: Final = {account.title: account for account in Account}
_ENTRIES: Final = """
SELECT entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.hash, entry.reverses,
       posting.account, posting.amount
FROM journal_entry entry LEFT JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE {which} ORDER BY entry.number, posting.position
"""
_STRETCH: Final = _ENTRIES.format(which="entry.number BETWEEN :first AND :last")
_OF_A_DOCUMENT: Final = _ENTRIES.format(which="entry.document_kind = :kind AND entry.document_number = :number")
_LAST: Final = select(journal_entry.c.number, journal_entry.c.hash).order_by(journal_entry.c.number.desc()).limit(1)
_UNBALANCED: Final = """
SELECT entry_number FROM journal_posting GROUP BY entry_number
HAVING SUM(amount) <> 0 OR MIN(position) <> 1 OR MAX(position) <> COUNT(*)
ORDER BY entry_number LIMIT :most
"""


class Journal(Area):
    """The journal of the ledger."""

    def post(self, entry: Entry) -> Head:
        """Post an entry after all others; gives the new head."""
        # The counter is taken first: whoever holds it is alone in posting, so the head below is the newest.
        number = self.transaction.next_number("entry")
        head = chained(self.head(), entry)
        values = {
            "number": number,
            "day": entry.day,
            "memo": entry.memo,
            "document_kind": entry.document.kind,
            "document_number": entry.document.number,
            "hash": head.hash,
            "reverses": entry.reverses,
        }
        self.transaction.add(journal_entry, values)
        postings = (
            {"entry_number": number, "position": place, "account": posting.account, "amount": posting.amount}
            for place, posting in enumerate(entry.postings, start=1)
        )
        self.transaction.add(journal_posting, *postings)
        return head

    def of_documents(self, documents: Sequence[Document]) -> tuple[tuple[int, Entry], ...]:
        """Give the entries that stand on these documents, each with its number, oldest first."""
        found = (
            (number, _read(parts))
            for document in documents
            for number, parts in _numbered(
                self.transaction.asked(_OF_A_DOCUMENT, kind=document.kind.value, number=document.number)
            )
        )
        return tuple(sorted(found, key=lambda numbered: numbered[0]))

    def head(self) -> Head:
        """Give how many entries there are, and the hash of the last."""
        return next((Head(row.number, row.hash) for row in self.transaction.chosen(_LAST)), EMPTY_HEAD)

    def verify(self) -> Head:
        """Work the whole chain out again, and every entry's balance; gives the head, or names what does not fit."""
        head = self.chain()
        for number in self.unbalanced(limit=1):
            raise JournalBrokenError(number, "its debits and credits differ")
        return head

    def chain(self) -> Head:
        """Work the whole chain out again; gives the head, or names the first entry that does not fit."""
        head = EMPTY_HEAD
        for stretch in stretches(self.transaction):
            head = stretch.head_after(head) or self._one_by_one(stretch.first, stretch.last, head)
        return head

    def unbalanced(self, limit: int = 100) -> tuple[int, ...]:
        """Give the numbers of the entries out of balance, lowest first."""
        rows = self.transaction.asked(_UNBALANCED, most=limit)
        return tuple(int(row.entry_number) for row in rows)

    def hash_of(self, number: int) -> str:
        """Give the hash that an entry carries; empty where there is no such entry."""
        found = self.transaction.chosen(select(journal_entry.c.hash).where(journal_entry.c.number == number))
        return found[0].hash if found else ""

    def _one_by_one(self, first: int, last: int, head: Head) -> Head:
        for number, hashed, entry in self._entries(first, last):
            if number != head.count + 1:
                raise JournalBrokenError(head.count + 1, "it is missing")
            head = chained(head, entry)
            if head.hash != hashed:
                raise JournalBrokenError(number, "its hash is not that of its content and of all before it")
        return head

    def _entries(self, first: int, last: int) -> Iterator[tuple[int, str, Entry]]:
        for number, parts in _numbered(self.transaction.stream(_STRETCH, first=first, last=last)):
            try:
                entry = _read(parts)
            except (LedgerError, KeyError, ValueError) as error:
                raise JournalBrokenError(number, f"it holds no entry ({error})") from error
            yield number, parts[0].hash, entry


def _numbered(rows: Iterable[Row[*tuple[Any, ...]]]) -> Iterator[tuple[int, list[Row[*tuple[Any, ...]]]]]:
    """Give the rows of each entry together: one for each posting, or one without a posting."""
    for number, parts in groupby(rows, key=lambda row: int(row.number)):
        yield number, list(parts)


def _read(parts: Sequence[Row[*tuple[Any, ...]]]) -> Entry:
    row = parts[0]
    postings = tuple(Posting(_ACCOUNTS[part.account], part.amount) for part in parts if part.account is not None)
    document = Document(DocumentKind(row.document_kind), row.document_number)
    return Entry(read_day(row.day), row.memo, document, postings, row.reverses)
