"""The books: entries chained by their hashes, and the postings of each."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.books.journal import Account
from shopledger.store.columns import CentsColumn, Day, Key, Number, Words, among, days, filled
from shopledger.store.models.base import STRICT, Base, Recorded


class EntryRow(Recorded, Base):
    """One event in the books; the hash covers it and everything before it."""

    __tablename__ = "journal_entry"
    __table_args__ = (
        *filled("memo"),
        *days("day"),
        CheckConstraint("length(hash) = 64", name="hash_whole"),
        CheckConstraint("number >= 1", name="number_counts"),
        STRICT,
    )

    number: Mapped[Key]
    day: Mapped[Day] = mapped_column(index=True)
    memo: Mapped[Words]
    document: Mapped[Words] = mapped_column(index=True)
    hash: Mapped[Words]
    reverses: Mapped[Number | None] = mapped_column(
        ForeignKey("journal_entry.number", ondelete="RESTRICT"), unique=True
    )


class PostingRow(Base):
    """One account touched: debit positive, credit negative."""

    __tablename__ = "journal_posting"
    __table_args__ = (
        among("account", (account.title for account in Account)),
        CheckConstraint("amount <> 0", name="amount_not_zero"),
        STRICT,
    )

    entry_number: Mapped[Number] = mapped_column(
        ForeignKey("journal_entry.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    account: Mapped[Words]
    amount: Mapped[CentsColumn]
