"""What is spent: suppliers, bills with their lines and payments, expenses, other money, and files kept as proof."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.money_moves import MoveKind, Till
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockedKind
from shopledger.store.columns import CentsColumn, Code, Day, Key, Number, Words, days, filled, not_negative, one_of
from shopledger.store.models.base import STRICT, Base, Recorded


class KeptFileRow(Recorded, Base):
    """A file kept beside the ledger under the hash of its bytes."""

    __tablename__ = "kept_file"
    __table_args__ = (
        CheckConstraint("length(sha256) = 64", name="sha256_whole"),
        *filled("name"),
        *not_negative("size"),
        STRICT,
    )

    sha256: Mapped[Code]
    name: Mapped[Words]
    size: Mapped[CentsColumn]


class SupplierRow(Recorded, Base):
    """Who sends goods and bills. `folded` is the name as it is searched."""

    __tablename__ = "supplier"
    __table_args__ = (*filled("name"), STRICT)

    number: Mapped[Key]
    name: Mapped[Words]
    folded: Mapped[Words] = mapped_column(index=True)
    account: Mapped[Words]
    phone: Mapped[Words]
    email: Mapped[Words]
    note: Mapped[Words]


class BillRow(Recorded, Base):
    """A supplier's bill."""

    __tablename__ = "bill"
    __table_args__ = (*days("day", "due_on"), STRICT)

    number: Mapped[Key]
    supplier_number: Mapped[Number] = mapped_column(ForeignKey("supplier.number", ondelete="RESTRICT"), index=True)
    invoice: Mapped[Words]
    day: Mapped[Day] = mapped_column(index=True)
    due_on: Mapped[Day | None]
    note: Mapped[Words]
    file_sha256: Mapped[Words | None] = mapped_column(ForeignKey("kept_file.sha256", ondelete="RESTRICT"))


class BillLineRow(Base):
    """One line of a bill: the amount as billed, and with its share of the freight (freight itself lands in others)."""

    __tablename__ = "bill_line"
    __table_args__ = (
        one_of("kind", BillLineKind),
        one_of("item_kind", StockedKind),
        one_of("category", ExpenseCategory),
        *not_negative("quantity", "amount", "landed"),
        CheckConstraint("(kind = 'stock') = (item_kind IS NOT NULL)", name="stock_names_an_item"),
        CheckConstraint("(kind = 'job') = (job_number IS NOT NULL)", name="job_named"),
        CheckConstraint("(kind = 'expense') = (category IS NOT NULL)", name="expense_has_a_category"),
        STRICT,
    )

    bill_number: Mapped[Number] = mapped_column(
        ForeignKey("bill.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    kind: Mapped[Words]
    description: Mapped[Words]
    item_kind: Mapped[Words | None]
    item_code: Mapped[Words]
    quantity: Mapped[Number]
    job_number: Mapped[Number | None] = mapped_column(
        ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True
    )
    category: Mapped[Words | None]
    amount: Mapped[CentsColumn]
    landed: Mapped[CentsColumn]


class BillPaymentRow(Recorded, Base):
    """Money paid on a bill."""

    __tablename__ = "bill_payment"
    __table_args__ = (
        one_of("method", SpendMethod),
        CheckConstraint("amount > 0", name="amount_positive"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    bill_number: Mapped[Number] = mapped_column(ForeignKey("bill.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    amount: Mapped[CentsColumn]
    method: Mapped[Words]
    reference: Mapped[Words]


class ExpenseRow(Recorded, Base):
    """Money spent and paid at once, under a heading of Schedule C."""

    __tablename__ = "expense"
    __table_args__ = (
        one_of("category", ExpenseCategory),
        one_of("method", SpendMethod),
        CheckConstraint("amount > 0", name="amount_positive"),
        *filled("payee"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    day: Mapped[Day] = mapped_column(index=True)
    payee: Mapped[Words]
    category: Mapped[Words]
    description: Mapped[Words]
    amount: Mapped[CentsColumn]
    method: Mapped[Words]
    reference: Mapped[Words]
    file_sha256: Mapped[Words | None] = mapped_column(ForeignKey("kept_file.sha256", ondelete="RESTRICT"))


class MoneyMoveRow(Recorded, Base):
    """Money that moved without a sale or a bill; a payout's fee is what the processor kept."""

    __tablename__ = "money_move"
    __table_args__ = (
        one_of("kind", MoveKind),
        one_of("till", Till),
        CheckConstraint("amount > 0", name="amount_positive"),
        *not_negative("fee"),
        CheckConstraint("fee <= amount", name="fee_within_amount"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    day: Mapped[Day] = mapped_column(index=True)
    kind: Mapped[Words]
    till: Mapped[Words]
    amount: Mapped[CentsColumn]
    fee: Mapped[CentsColumn]
    state: Mapped[Words]
    reference: Mapped[Words]
    note: Mapped[Words]


class DepositRow(Recorded, Base):
    """Money of a customer's that waits for an order; a row that `gives_back` another hands it back instead."""

    __tablename__ = "deposit"
    __table_args__ = (
        one_of("method", Method),
        CheckConstraint("amount > 0", name="amount_positive"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    customer_number: Mapped[Number] = mapped_column(ForeignKey("customer.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    amount: Mapped[CentsColumn]
    method: Mapped[Words]
    reference: Mapped[Words]
    note: Mapped[Words]
    gives_back: Mapped[Number | None] = mapped_column(ForeignKey("deposit.number", ondelete="RESTRICT"), index=True)


class TakenBackRow(Recorded, Base):
    """That a bill, expense or other document of the owner's own was a mistake: its entries were reversed."""

    __tablename__ = "taken_back"
    __table_args__ = (*filled("reason"), *days("day"), STRICT)

    document: Mapped[Code]
    day: Mapped[Day] = mapped_column(index=True)
    reason: Mapped[Words]
