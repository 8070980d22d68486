"""The books: entries posted one after another, each chained to the one before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from sqlalchemy import Row

from shopledger.errors import LedgerError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting, chained
from shopledger.store.books.chain import stretches
from shopledger.store.refusals import JournalBrokenError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_ACCOUNTS: Final = {account.title: account for account in Account}
_EVERYTHING: Final = """
SELECT entry.number, entry.day, entry.memo, entry.document_kind, entry.document_number, entry.hash, entry.reverses,
       posting.account, posting.amount
FROM journal_entry entry LEFT JOIN journal_posting posting ON posting.entry_number = entry.number
WHERE entry.number BETWEEN :first AND :last
ORDER BY entry.number, posting.position
"""
_UNBALANCED: Final = """
SELECT entry_number FROM journal_posting GROUP BY entry_number HAVING SUM(amount) <> 0
ORDER BY entry_number LIMIT :most
"""


@dataclass(frozen=True, slots=True)
class Journal:
    """The journal of the ledger."""

    transaction: Transaction

    def post(self, entry: Entry) -> Head:
        """Post an entry after all others; gives the new head."""
        # The counter is taken first: whoever holds it is alone in posting, so the head below is the newest.
        number = self.transaction.next_number("entry")
        head = chained(self.head(), entry)
        values = {
            "number": number,
            "day": day_text(entry.day),
            "memo": entry.memo,
            "document_kind": entry.document.kind.value,
            "document_number": entry.document.number,
            "hash": head.hash,
            "reverses": entry.reverses,
        }
        self.transaction.add("journal_entry", {**values, **self.transaction.stamp})
        postings = [
            {"entry_number": number, "position": place, "account": posting.account.title, "amount": posting.amount}
            for place, posting in enumerate(entry.postings, start=1)
        ]
        self.transaction.add("journal_posting", *postings)
        return head

    def of_documents(self, documents: Sequence[Document]) -> tuple[tuple[int, Entry], ...]:
        """Give the entries that stand on these documents, each with its number, oldest first."""
        entries: list[tuple[int, Entry]] = []
        for document in documents:
            named = {"document_kind": document.kind.value, "document_number": document.number}
            for row in self.transaction.rows("journal_entry", named, order=("number",)):
                postings = self.transaction.rows("journal_posting", {"entry_number": row.number}, order=("position",))
                entries.append((row.number, _read(row, postings)))
        return tuple(sorted(entries, key=lambda numbered: numbered[0]))

    def head(self) -> Head:
        """Give how many entries there are, and the hash of the last."""
        rows = self.transaction.rows("journal_entry", order=("number",), newest=True, limit=1)
        return Head(rows[0].number, rows[0].hash) if rows else EMPTY_HEAD

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
        row = self.transaction.row("journal_entry", number=number)
        return "" if row is None else str(row.hash)

    def _one_by_one(self, first: int, last: int, head: Head) -> Head:
        for number, hashed, entry in self._entries(first, last):
            if number != head.count + 1:
                raise JournalBrokenError(head.count + 1, "it is missing")
            head = chained(head, entry)
            if head.hash != hashed:
                raise JournalBrokenError(number, "its hash is not that of its content and of all before it")
        return head

    def _entries(self, first: int, last: int) -> Iterator[tuple[int, str, Entry]]:
        rows = self.transaction.stream(_EVERYTHING, first=first, last=last)
        for number, group in groupby(rows, key=lambda row: int(row.number)):
            parts = list(group)
            yield number, parts[0].hash, _entry(number, parts)


def _entry(number: int, rows: list[Row[Any]]) -> Entry:
    try:
        return _read(rows[0], [row for row in rows if row.account is not None])
    except (LedgerError, KeyError, ValueError) as error:
        raise JournalBrokenError(number, f"it holds no entry ({error})") from error


def _read(row: Row[Any], postings: Sequence[Row[Any]]) -> Entry:
    posted = tuple(Posting(_ACCOUNTS[posting.account], posting.amount) for posting in postings)
    document = Document(DocumentKind(row.document_kind), row.document_number)
    return Entry(read_day(row.day), row.memo, document, posted, row.reverses)
