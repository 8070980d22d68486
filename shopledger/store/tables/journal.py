"""The books: entries chained by their hashes, and the postings of each."""

from __future__ import annotations

from shopledger.ledger.books.journal import Account
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table


class EntryColumns(Recorded):
    """One event in the books; the hash covers it and everything before it."""

    number = kept.key(kept.COUNTS)
    day = kept.day(index=True)
    memo = kept.words(kept.FILLED)
    document = kept.words(index=True)
    hash = kept.words(kept.SHA256)
    reverses = kept.optional(kept.number(kept.to("journal_entry.number"), unique=True))


journal_entry = table("journal_entry", EntryColumns)


class PostingColumns(Columns):
    """One account touched: debit positive, credit negative."""

    entry_number = kept.key(kept.to("journal_entry.number"))
    position = kept.key()
    account = kept.one_of(Account, word="title")
    amount = kept.cents()


journal_posting = table("journal_posting", PostingColumns, amount_not_zero="amount <> 0")
