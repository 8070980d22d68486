"""Receipts as issued, each print of them, which one replaced which, and which were handed in."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.store.columns import Day, Key, Number, Words, days, filled
from shopledger.store.models.base import STRICT, Base, Recorded


class ReceiptRow(Recorded, Base):
    """A receipt's frozen content and its hash."""

    __tablename__ = "receipt"
    __table_args__ = (*filled("canonical"), CheckConstraint("length(sha256) = 64", name="sha256_whole"), STRICT)

    number: Mapped[Key]
    order_number: Mapped[Number] = mapped_column(ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True)
    wearer_number: Mapped[Number] = mapped_column(ForeignKey("wearer.number", ondelete="RESTRICT"), index=True)
    canonical: Mapped[Words]
    sha256: Mapped[Words]


class ReceiptReplacementRow(Recorded, Base):
    """That a later receipt took the place of an earlier one."""

    __tablename__ = "receipt_replacement"
    __table_args__ = (
        CheckConstraint("replaced_by > receipt_number", name="by_a_later_one"),
        *filled("reason"),
        STRICT,
    )

    receipt_number: Mapped[Number] = mapped_column(
        ForeignKey("receipt.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    replaced_by: Mapped[Number] = mapped_column(ForeignKey("receipt.number", ondelete="RESTRICT"), unique=True)
    reason: Mapped[Words]


class ReceiptPrintRow(Recorded, Base):
    """One print of a receipt, counted from 1."""

    __tablename__ = "receipt_print"
    __table_args__ = (CheckConstraint("position >= 1", name="position_counts"), *days("day"), STRICT)

    receipt_number: Mapped[Number] = mapped_column(
        ForeignKey("receipt.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    day: Mapped[Day]


class PaperWordingRow(Recorded, Base):
    """The words and looks that papers were first printed with, kept once for all that used them."""

    __tablename__ = "paper_wording"
    __table_args__ = (*filled("body"), CheckConstraint("length(sha256) = 64", name="sha256_whole"), STRICT)

    sha256: Mapped[Words] = mapped_column(primary_key=True)
    body: Mapped[Words]


class ReceiptClaimRow(Recorded, Base):
    """That the customer handed a receipt in to a plan or an account."""

    __tablename__ = "receipt_claim"
    __table_args__ = (*days("day"), STRICT)

    receipt_number: Mapped[Number] = mapped_column(
        ForeignKey("receipt.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    day: Mapped[Day]
