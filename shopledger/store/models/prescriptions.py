"""Prescriptions as written: dates and prescriber, one row of powers for each eye, and the warnings accepted."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.store.columns import (
    Code,
    Day,
    Flag,
    Hundredths,
    Key,
    Number,
    Words,
    between,
    days,
    filled,
    flag,
    one_of,
)
from shopledger.store.models.base import STRICT, Base, Recorded


class PrescriptionRow(Recorded, Base):
    """What a prescriber wrote for a wearer."""

    __tablename__ = "prescription"
    __table_args__ = (
        *days("written_on", "expires_on"),
        CheckConstraint("written_on <= expires_on", name="expires_after_writing"),
        Index(None, "wearer_number", "written_on"),
        STRICT,
    )

    number: Mapped[Key]
    wearer_number: Mapped[Number] = mapped_column(ForeignKey("wearer.number", ondelete="RESTRICT"))
    prescriber_number: Mapped[Number] = mapped_column(ForeignKey("prescriber.number", ondelete="RESTRICT"), index=True)
    written_on: Mapped[Day]
    expires_on: Mapped[Day | None]
    intermediate: Mapped[Hundredths | None]
    document: Mapped[Words]


class PrescriptionEyeRow(Base):
    """What is written for one eye, in hundredths; at most two prisms, in the order written."""

    __tablename__ = "prescription_eye"
    __table_args__ = (
        one_of("side", Side),
        between("sphere", -4_000, 4_000),
        between("cylinder", -2_000, 2_000),
        CheckConstraint("(cylinder = 0) = (axis IS NULL)", name="axis_with_cylinder"),
        CheckConstraint("axis > 0 AND axis <= 18000", name="axis_range"),
        CheckConstraint("add_power > 0 AND add_power <= 600", name="add_power_range"),
        flag("balance"),
        CheckConstraint("prism_1 > 0 AND prism_1 <= 4000", name="prism_1_range"),
        CheckConstraint("prism_2 > 0 AND prism_2 <= 4000", name="prism_2_range"),
        CheckConstraint("(prism_1 IS NULL) = (base_1 IS NULL)", name="prism_1_whole"),
        CheckConstraint("(prism_2 IS NULL) = (base_2 IS NULL)", name="prism_2_whole"),
        one_of("base_1", PrismBase),
        one_of("base_2", PrismBase),
        STRICT,
    )

    prescription_number: Mapped[Number] = mapped_column(
        ForeignKey("prescription.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    side: Mapped[Code]
    sphere: Mapped[Hundredths]
    cylinder: Mapped[Hundredths]
    axis: Mapped[Hundredths | None]
    add_power: Mapped[Hundredths | None]
    balance: Mapped[Flag]
    prism_1: Mapped[Hundredths | None]
    base_1: Mapped[Words | None]
    prism_2: Mapped[Hundredths | None]
    base_2: Mapped[Words | None]


class PrescriptionDiagnosisRow(Base):
    """A diagnosis code as the prescriber's document gives it, in the order written."""

    __tablename__ = "prescription_diagnosis"
    __table_args__ = (*filled("code"), STRICT)

    prescription_number: Mapped[Number] = mapped_column(
        ForeignKey("prescription.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    code: Mapped[Words]


class PrescriptionWarningRow(Base):
    """A warning on a prescription that the owner said yes to."""

    __tablename__ = "prescription_warning"
    __table_args__ = (*filled("code"), STRICT)

    prescription_number: Mapped[Number] = mapped_column(
        ForeignKey("prescription.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    code: Mapped[Words]
    sentence: Mapped[Words]
