"""Months closed and reopened; a month is closed while the newest of its events says so."""

from __future__ import annotations

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.books.periods import PeriodDeed
from shopledger.store.columns import Key, Number, Words, not_negative, one_of
from shopledger.store.models.base import STRICT, Base, Recorded


class PeriodEventRow(Recorded, Base):
    """A month closed or reopened, and the head of the books that it happened on."""

    __tablename__ = "period_event"
    __table_args__ = (
        one_of("deed", PeriodDeed),
        CheckConstraint("month LIKE '____-__'", name="month_is_month"),
        CheckConstraint("deed <> 'reopened' OR reason <> ''", name="reopened_for_a_reason"),
        CheckConstraint("length(head_hash) = 64", name="head_whole"),
        *not_negative("head_count"),
        STRICT,
    )

    number: Mapped[Key]
    month: Mapped[Words] = mapped_column(index=True)
    deed: Mapped[Words]
    reason: Mapped[Words]
    accepted: Mapped[Words]
    head_count: Mapped[Number]
    head_hash: Mapped[Words]
