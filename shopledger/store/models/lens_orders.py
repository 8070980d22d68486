"""Lenses ordered for a job from an outside laboratory or supplier, and their arrival."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.store.columns import Day, Key, Number, Words, days, filled
from shopledger.store.models.base import STRICT, Base, Recorded


class LensOrderRow(Recorded, Base):
    """One order of lenses, its content frozen with its hash; one that `follows` another asks for lenses made again."""

    __tablename__ = "lens_order"
    __table_args__ = (
        *filled("body"),
        CheckConstraint("length(sha256) = 64", name="sha256_whole"),
        *days("day", "expected_on"),
        STRICT,
    )

    number: Mapped[Key]
    job_number: Mapped[Number] = mapped_column(ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True)
    supplier_number: Mapped[Number] = mapped_column(ForeignKey("supplier.number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day]
    expected_on: Mapped[Day | None]
    follows: Mapped[Number | None] = mapped_column(ForeignKey("lens_order.number", ondelete="RESTRICT"))
    note: Mapped[Words]
    body: Mapped[Words]
    sha256: Mapped[Words]


class LensArrivalRow(Recorded, Base):
    """The day the lenses of an order arrived; they arrive once."""

    __tablename__ = "lens_arrival"
    __table_args__ = (*days("day"), STRICT)

    lens_order_number: Mapped[Number] = mapped_column(
        ForeignKey("lens_order.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    day: Mapped[Day]
    note: Mapped[Words]
