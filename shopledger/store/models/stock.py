"""Stock movements, and the running count that they add up to."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.store.columns import CentsColumn, Code, Day, Key, Number, Words, days, not_negative, one_of
from shopledger.store.models.base import STRICT, Base, Recorded


class MovementRow(Recorded, Base):
    """What came or went, and its whole cost: positive in, negative out, as it stands in the inventory account."""

    __tablename__ = "stock_movement"
    __table_args__ = (
        one_of("kind", StockedKind),
        one_of("reason", StockReason),
        CheckConstraint("quantity <> 0", name="quantity_moves"),
        CheckConstraint("cost = 0 OR (cost > 0) = (quantity > 0)", name="cost_goes_with_quantity"),
        *days("day"),
        Index(None, "kind", "item_code", "day"),
        Index(None, "day"),
        STRICT,
    )

    number: Mapped[Key]
    day: Mapped[Day]
    kind: Mapped[Words]
    item_code: Mapped[Words]
    quantity: Mapped[Number]
    cost: Mapped[CentsColumn]
    reason: Mapped[Words]
    order_number: Mapped[Number | None] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True
    )
    job_number: Mapped[Number | None] = mapped_column(
        ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True
    )
    bill_number: Mapped[Number | None] = mapped_column(ForeignKey("bill.number", ondelete="RESTRICT"), index=True)
    note: Mapped[Words]


class IssueRow(Base):
    """What a movement out took from one lot; a lot is the movement that brought it in."""

    __tablename__ = "stock_issue"
    __table_args__ = (CheckConstraint("quantity >= 1", name="quantity_counts"), *not_negative("cost"), STRICT)

    movement_number: Mapped[Number] = mapped_column(
        ForeignKey("stock_movement.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    lot: Mapped[Number] = mapped_column(ForeignKey("stock_movement.number", ondelete="RESTRICT"), index=True)
    quantity: Mapped[Number]
    cost: Mapped[CentsColumn]


class LotRow(Base):
    """What is left of a lot; always what came in less what was issued, kept so that a shipment need not add."""

    __tablename__ = "stock_lot"
    __table_args__ = (
        one_of("kind", StockedKind),
        CheckConstraint("on_hand >= 1", name="on_hand_counts"),
        *not_negative("cost"),
        Index(None, "kind", "item_code", "day"),
        STRICT,
    )

    number: Mapped[Number] = mapped_column(
        ForeignKey("stock_movement.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    kind: Mapped[Words]
    item_code: Mapped[Words]
    day: Mapped[Day]
    on_hand: Mapped[Number]
    cost: Mapped[CentsColumn]


class LevelRow(Base):
    """What is on hand, what open orders have set aside of it, and what was last paid: the sum of what was posted."""

    __tablename__ = "stock_level"
    __table_args__ = (one_of("kind", StockedKind), *not_negative("on_hand", "set_aside", "last_cost"), STRICT)

    kind: Mapped[Code]
    item_code: Mapped[Code]
    on_hand: Mapped[Number]
    set_aside: Mapped[Number]
    last_cost: Mapped[CentsColumn]
