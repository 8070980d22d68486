"""Stock movements, and the running count that they add up to."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.store.columns import CentsColumn, Code, Day, Key, Number, Words, days, not_negative, one_of
from shopledger.store.models.base import STRICT, Base, Recorded


class MovementRow(Recorded, Base):
    """What came or went."""

    __tablename__ = "stock_movement"
    __table_args__ = (
        one_of("kind", StockedKind),
        one_of("reason", StockReason),
        CheckConstraint("quantity <> 0", name="quantity_moves"),
        *not_negative("unit_cost"),
        *days("day"),
        Index(None, "kind", "item_code", "day"),
        STRICT,
    )

    number: Mapped[Key]
    day: Mapped[Day]
    kind: Mapped[Words]
    item_code: Mapped[Words]
    quantity: Mapped[Number]
    unit_cost: Mapped[CentsColumn]
    reason: Mapped[Words]
    order_number: Mapped[Number | None] = mapped_column(
        ForeignKey("shop_order.number", ondelete="RESTRICT"), index=True
    )
    note: Mapped[Words]


class LevelRow(Base):
    """What is on hand now and what was last paid; always the sum of the movements, kept so that a sale need not add."""

    __tablename__ = "stock_level"
    __table_args__ = (one_of("kind", StockedKind), *not_negative("last_cost"), STRICT)

    kind: Mapped[Code]
    item_code: Mapped[Code]
    on_hand: Mapped[Number]
    last_cost: Mapped[CentsColumn]
