"""The books: entries chained by their hashes, and the postings of each."""

from __future__ import annotations

from sqlalchemy import Index

from shopledger.ledger.books.adjustments import ENTERED
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, Unsealed, table
from shopledger.store.words import DOCUMENT, word


class EntryColumns(Recorded):
    """One event in the books; the hash covers it and everything before it."""

    number = kept.key(kept.COUNTS)
    day = kept.day(index=True)
    memo = kept.words(kept.FILLED)
    document_kind = kept.one_of(DocumentKind)
    document_number = kept.number(kept.COUNTS)
    document = kept.derived(DOCUMENT)
    hash = kept.words(kept.SHA256)
    reverses = kept.optional(kept.number(kept.to("journal_entry.number"), unique=True))


journal_entry = table("journal_entry", EntryColumns, Index(None, "document_kind", "document_number"))


class PostingColumns(Unsealed):
    """One account touched: debit positive, credit negative."""

    entry_number = kept.key(kept.to("journal_entry.number"))
    position = kept.key()
    account = kept.one_of(Account, word="title")
    amount = kept.cents()


journal_posting = table("journal_posting", PostingColumns, amount_not_zero="amount <> 0")


class AdjustmentColumns(Recorded):
    """An adjusting entry of the owner's own, which may reverse an earlier one."""

    number = kept.key()
    day = kept.day(index=True)
    reason = kept.words(kept.FILLED)
    reverses = kept.optional(kept.number(kept.to("adjustment.number"), index=True))
    opening = kept.flag()


adjustment = table("adjustment", AdjustmentColumns)


class AdjustmentLineColumns(Columns):
    """One account that it moves: debit positive, credit negative."""

    adjustment_number = kept.key(kept.to("adjustment.number"))
    position = kept.key()
    account = kept.one_of(Account, *ENTERED, word="title")
    amount = kept.cents()
    state = kept.words()


adjustment_line = table(
    "adjustment_line",
    AdjustmentLineColumns,
    amount_not_zero="amount <> 0",
    tax_names_a_state=f"(account = {word(Account.SALES_TAX_PAYABLE)}) = (state <> '')",
)
