"""The bench: inspections with figures and verdicts, proofs of impact resistance, remakes, and what was omitted."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from shopledger.ledger.inspections import ImpactProof, Scrap
from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import Design
from shopledger.store.columns import (
    CentsColumn,
    Code,
    Day,
    Flag,
    Hundredths,
    Key,
    Millionths,
    Number,
    Thousandths,
    Words,
    among,
    between,
    days,
    filled,
    flag,
    not_negative,
    one_of,
)
from shopledger.store.models.base import STRICT, Base, Recorded

FIGURES = ("ordered", "compensated", "read")
"""Whose figures of a lens a row holds: the order's, the maker's sheet's, or the lensmeter's."""


class InspectionRow(Recorded, Base):
    """One inspection of a job; `passed` is what its verdicts, checklist and marks came to."""

    __tablename__ = "inspection"
    __table_args__ = (
        one_of("design", Design),
        among("ordered_pd_given", ("binocular", "monocular")),
        among("pd_given", ("binocular", "monocular")),
        *filled("standard", "edition"),
        *(flag(name) for name in ("bench_right", "temples_right", "hinges_right", "seating_right", "passed")),
        CheckConstraint("sheet_sha256 = '' OR length(sheet_sha256) = 64", name="sheet_whole"),
        *days("day"),
        STRICT,
    )

    number: Mapped[Key]
    job_number: Mapped[Number] = mapped_column(ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day]
    design: Mapped[Words]
    standard: Mapped[Words]
    edition: Mapped[Words]
    ordered_pd_given: Mapped[Words]
    pd_given: Mapped[Words]
    bench_right: Mapped[Flag]
    temples_right: Mapped[Flag]
    hinges_right: Mapped[Flag]
    seating_right: Mapped[Flag]
    sheet_name: Mapped[Words]
    sheet_sha256: Mapped[Words]
    accepted: Mapped[Words]
    passed: Mapped[Flag]
    note: Mapped[Words]


class InspectionReadingRow(Base):
    """The figures of one lens: powers in millionths, PD and height in thousandths of a mm, the rest in hundredths."""

    __tablename__ = "inspection_reading"
    __table_args__ = (
        one_of("side", Side),
        among("figures", FIGURES),
        CheckConstraint("axis > 0 AND axis <= 180000000", name="axis_range"),
        flag("balance"),
        CheckConstraint("(prism_1 IS NULL) = (base_1 IS NULL)", name="prism_1_whole"),
        CheckConstraint("(prism_2 IS NULL) = (base_2 IS NULL)", name="prism_2_whole"),
        one_of("base_1", PrismBase),
        one_of("base_2", PrismBase),
        between("mono_pd", 20_000, 40_000),
        between("fitting_height", 5_000, 50_000),
        between("centre_thickness", 50, 3_000),
        between("base_curve", 0, 2_000),
        flag("marks_seen"),
        STRICT,
    )

    inspection_number: Mapped[Number] = mapped_column(
        ForeignKey("inspection.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    figures: Mapped[Code]
    side: Mapped[Code]
    sphere: Mapped[Millionths]
    cylinder: Mapped[Millionths]
    axis: Mapped[Millionths | None]
    add_power: Mapped[Millionths | None]
    balance: Mapped[Flag]
    prism_1: Mapped[Millionths | None]
    base_1: Mapped[Words | None]
    prism_2: Mapped[Millionths | None]
    base_2: Mapped[Words | None]
    mono_pd: Mapped[Thousandths | None]
    fitting_height: Mapped[Thousandths | None]
    centre_thickness: Mapped[Hundredths | None]
    base_curve: Mapped[Hundredths | None]
    marks_seen: Mapped[Flag | None]


class InspectionVerdictRow(Base):
    """One quantity judged, figures in millionths of its unit."""

    __tablename__ = "inspection_verdict"
    __table_args__ = (
        CheckConstraint("position >= 1", name="position_counts"),
        *filled("quantity", "lens", "unit", "rule", "source"),
        flag("passed"),
        STRICT,
    )

    inspection_number: Mapped[Number] = mapped_column(
        ForeignKey("inspection.number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    position: Mapped[Key]
    quantity: Mapped[Words]
    lens: Mapped[Words]
    ordered: Mapped[Millionths]
    measured: Mapped[Millionths]
    difference: Mapped[Millionths]
    allowed: Mapped[Millionths]
    unit: Mapped[Words]
    rule: Mapped[Words]
    source: Mapped[Words]
    passed: Mapped[Flag]
    or_else: Mapped[Words]


class CertificateRow(Recorded, Base):
    """A certificate as it was first printed: its content frozen with its hash, to be printed again years later."""

    __tablename__ = "certificate"
    __table_args__ = (*filled("body"), CheckConstraint("length(sha256) = 64", name="sha256_whole"), STRICT)

    number: Mapped[Key]
    inspection_number: Mapped[Number] = mapped_column(ForeignKey("inspection.number", ondelete="RESTRICT"), index=True)
    body: Mapped[Words]
    sha256: Mapped[Words]


class ImpactRecordRow(Recorded, Base):
    """What stands for the impact resistance of a job's lenses."""

    __tablename__ = "impact_record"
    __table_args__ = (one_of("proof", ImpactProof), *filled("reference"), *days("day"), STRICT)

    number: Mapped[Key]
    job_number: Mapped[Number] = mapped_column(ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day]
    proof: Mapped[Words]
    reference: Mapped[Words]
    note: Mapped[Words]


class RemakeRow(Recorded, Base):
    """That a job has to be made again, and after which inspection."""

    __tablename__ = "remake"
    __table_args__ = (one_of("scrap", Scrap), *not_negative("cost"), *filled("reason"), *days("day"), STRICT)

    number: Mapped[Key]
    job_number: Mapped[Number] = mapped_column(ForeignKey("order_pair.job_number", ondelete="RESTRICT"), index=True)
    day: Mapped[Day] = mapped_column(index=True)
    reason: Mapped[Words]
    cost: Mapped[CentsColumn]
    scrap: Mapped[Words]
    follows: Mapped[Number | None] = mapped_column(ForeignKey("inspection.number", ondelete="RESTRICT"))


class InspectionOmissionRow(Recorded, Base):
    """That a job was shipped without a passed inspection, and why."""

    __tablename__ = "inspection_omission"
    __table_args__ = (*filled("reason"), STRICT)

    job_number: Mapped[Number] = mapped_column(
        ForeignKey("order_pair.job_number", ondelete="RESTRICT"), primary_key=True, autoincrement=False
    )
    reason: Mapped[Words]
