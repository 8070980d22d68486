"""Prescriptions as written: dates and prescriber, powers for each eye, warnings accepted, and the paper as a file."""

from __future__ import annotations

from sqlalchemy import Index

from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.store import columns as kept
from shopledger.store.scales import HUNDREDTHS
from shopledger.store.tables.base import Columns, Recorded, table


class PrescriptionColumns(Recorded):
    """What a prescriber wrote for a wearer."""

    number = kept.key()
    wearer_number = kept.number(kept.to("wearer.number"))
    prescriber_number = kept.number(kept.to("prescriber.number"), index=True)
    written_on = kept.day()
    expires_on = kept.personal(kept.optional(kept.day()))
    intermediate = kept.personal(kept.optional(kept.power()))
    document = kept.personal(kept.words())


prescription = table(
    "prescription",
    PrescriptionColumns,
    Index(None, "wearer_number", "written_on"),
    expires_after_writing="written_on <= expires_on",
)


class PrescriptionEyeColumns(Columns):
    """What is written for one eye, in hundredths; at most two prisms, in the order written."""

    prescription_number = kept.key(kept.to("prescription.number"))
    side = kept.one_of(Side, primary_key=True)
    sphere = kept.personal(kept.power(kept.between(-4_000, 4_000)))
    cylinder = kept.personal(kept.power(kept.between(-2_000, 2_000)))
    axis = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.above(0, 18_000))))
    add_power = kept.personal(kept.optional(kept.power(kept.above(0, 600), said="add")))
    balance = kept.personal(kept.flag())
    prism_1 = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.above(0, 4_000), said="prism_1")))
    base_1 = kept.personal(kept.optional(kept.one_of(PrismBase)))
    prism_2 = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.above(0, 4_000), said="prism_2")))
    base_2 = kept.personal(kept.optional(kept.one_of(PrismBase)))


prescription_eye = table(
    "prescription_eye",
    PrescriptionEyeColumns,
    whose=("side",),
    axis_with_cylinder="(cylinder = 0) = (axis IS NULL)",
    prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
    prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
)


class PrescriptionDiagnosisColumns(Columns):
    """A diagnosis code as the prescriber's document gives it, in the order written."""

    prescription_number = kept.key(kept.to("prescription.number"))
    position = kept.key()
    code = kept.personal(kept.words(kept.FILLED))


prescription_diagnosis = table("prescription_diagnosis", PrescriptionDiagnosisColumns)


class PrescriptionWarningColumns(Columns):
    """A warning on a prescription that the owner said yes to."""

    prescription_number = kept.key(kept.to("prescription.number"))
    position = kept.key()
    code = kept.words(kept.FILLED)
    sentence = kept.personal(kept.words())


prescription_warning = table("prescription_warning", PrescriptionWarningColumns)


class PrescriptionFileColumns(Recorded):
    """The prescriber's document as a file: kept with the prescription, or once it came."""

    prescription_number = kept.key(kept.to("prescription.number"))
    sha256 = kept.personal(kept.optional(kept.words(kept.to("kept_file.sha256"))))


prescription_file = table("prescription_file", PrescriptionFileColumns)
