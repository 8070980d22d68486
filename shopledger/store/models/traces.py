"""Traced shapes: both eyes' radii, where they came from, and what the tracer's file stated."""

from __future__ import annotations

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.store.columns import Day, Key, Thousandths, Words, between, days, filled
from shopledger.store.models.base import STRICT, Base, Recorded


class TraceRow(Recorded, Base):
    """One tracing of a frame; radii are whole hundredths of a mm, parted by spaces."""

    __tablename__ = "trace"
    __table_args__ = (
        between("dbl", 5_000, 40_000),
        *filled("file_name", "file_sha256", "right_radii", "left_radii"),
        *days("traced_on"),
        STRICT,
    )

    number: Mapped[Key]
    frame_code: Mapped[Words] = mapped_column(ForeignKey("frame.code", ondelete="RESTRICT"), index=True)
    dbl: Mapped[Thousandths]
    file_name: Mapped[Words]
    file_sha256: Mapped[Words]
    traced_on: Mapped[Day]
    device: Mapped[Words]
    stated_right_a: Mapped[Thousandths | None]
    stated_left_a: Mapped[Thousandths | None]
    stated_right_b: Mapped[Thousandths | None]
    stated_left_b: Mapped[Thousandths | None]
    stated_dbl: Mapped[Thousandths | None]
    stated_right_ed: Mapped[Thousandths | None]
    stated_left_ed: Mapped[Thousandths | None]
    stated_right_circumference: Mapped[Thousandths | None]
    stated_left_circumference: Mapped[Thousandths | None]
    other_records: Mapped[Words]
    right_radii: Mapped[Words]
    left_radii: Mapped[Words]
