"""The bench: inspections with figures and verdicts, proofs of impact resistance, remakes, and what was omitted."""

from __future__ import annotations

import json

from shopledger.ledger.inspections import DemoCheck, ImpactProof, Scrap
from shopledger.ledger.orders import AcceptedWarning
from shopledger.optics.prism import Base as PrismBase
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import LensType
from shopledger.store import columns as kept
from shopledger.store.scales import HUNDREDTHS, MILLIONTHS, THOUSANDTHS
from shopledger.store.tables.base import Columns, Recorded, table

FIGURES = ("ordered", "compensated", "read")


def _write_warnings(accepted: tuple[AcceptedWarning, ...]) -> str:
    return json.dumps([[each.code, each.sentence] for each in accepted], ensure_ascii=False)


def _read_warnings(stored: str) -> tuple[AcceptedWarning, ...]:
    return tuple(AcceptedWarning(code, sentence) for code, sentence in json.loads(stored))


class InspectionColumns(Recorded):
    """One inspection of a job; `passed` is what its verdicts, checklist and marks came to."""

    number = kept.key()
    job_number = kept.number(kept.to("order_pair.job_number"), index=True)
    day = kept.day()
    design = kept.one_of(LensType)
    standard = kept.words(kept.FILLED)
    edition = kept.words(kept.FILLED)
    ordered_pd_given = kept.among("binocular", "monocular")
    pd_given = kept.among("binocular", "monocular")
    bench_right = kept.flag()
    temples_right = kept.flag()
    hinges_right = kept.flag()
    seating_right = kept.flag()
    sheet_name = kept.personal(kept.words())
    sheet_sha256 = kept.personal(kept.words())
    accepted = kept.personal(kept.as_text(_write_warnings, _read_warnings), ())
    passed = kept.flag()
    note = kept.personal(kept.words())
    thinning = kept.personal(kept.optional(kept.rounded(MILLIONTHS, kept.between(-10_000_000, 10_000_000))))
    demo_lenses = kept.optional(kept.one_of(DemoCheck))


inspection = table("inspection", InspectionColumns, sheet_whole="sheet_sha256 = '' OR length(sheet_sha256) = 64")


class InspectionReadingColumns(Columns):
    """The figures of one lens: powers in millionths, PD and height in thousandths of a mm, the rest in hundredths."""

    inspection_number = kept.key(kept.to("inspection.number"))
    figures = kept.among(*FIGURES, primary_key=True)
    side = kept.one_of(Side, primary_key=True)
    sphere = kept.personal(kept.rounded(MILLIONTHS))
    cylinder = kept.personal(kept.rounded(MILLIONTHS))
    axis = kept.personal(kept.optional(kept.rounded(MILLIONTHS, kept.above(0, 180_000_000))))
    add_power = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    balance = kept.personal(kept.flag())
    prism_1 = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    base_1 = kept.personal(kept.optional(kept.one_of(PrismBase)))
    prism_2 = kept.personal(kept.optional(kept.rounded(MILLIONTHS)))
    base_2 = kept.personal(kept.optional(kept.one_of(PrismBase)))
    mono_pd = kept.personal(kept.optional(kept.rounded(THOUSANDTHS, kept.between(20_000, 40_000))))
    fitting_height = kept.personal(kept.optional(kept.rounded(THOUSANDTHS, kept.between(5_000, 50_000))))
    centre_thickness = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.between(50, 3_000))))
    base_curve = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.between(0, 2_000))))
    marks_seen = kept.optional(kept.flag())
    near_pd = kept.personal(kept.optional(kept.rounded(THOUSANDTHS, kept.between(10_000, 45_000))))
    tilt = kept.personal(kept.optional(kept.rounded(HUNDREDTHS, kept.between(-4_500, 4_500))))
    segment_width = kept.personal(kept.optional(kept.exact(HUNDREDTHS, kept.between(500, 6_000))))


inspection_reading = table(
    "inspection_reading",
    InspectionReadingColumns,
    whose=("side", "figures"),
    prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
    prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
)


class InspectionVerdictColumns(Columns):
    """One quantity judged, figures in millionths of its unit."""

    inspection_number = kept.key(kept.to("inspection.number"))
    position = kept.key(kept.COUNTS)
    quantity = kept.words(kept.FILLED)
    lens = kept.words(kept.FILLED)
    ordered = kept.personal(kept.rounded(MILLIONTHS))
    measured = kept.personal(kept.rounded(MILLIONTHS))
    difference = kept.personal(kept.rounded(MILLIONTHS))
    allowed = kept.personal(kept.rounded(MILLIONTHS))
    unit = kept.words(kept.FILLED)
    rule = kept.words(kept.FILLED)
    source = kept.words(kept.FILLED)
    passed = kept.flag()
    or_else = kept.words()


inspection_verdict = table("inspection_verdict", InspectionVerdictColumns)


class CertificateColumns(Recorded):
    """An inspection record as it was first printed: its content frozen with its hash, to be printed again."""

    number = kept.key()
    inspection_number = kept.number(kept.to("inspection.number"), index=True)
    body = kept.personal(kept.words(kept.FILLED), kept.Blank.TOMBSTONE)
    sha256 = kept.personal(kept.words(kept.SHA256), kept.Blank.HASH)


certificate = table("certificate", CertificateColumns)


class ImpactRecordColumns(Recorded):
    """What stands for the impact resistance of a job's lenses."""

    number = kept.key()
    job_number = kept.number(kept.to("order_pair.job_number"), index=True)
    day = kept.day()
    proof = kept.one_of(ImpactProof)
    reference = kept.words(kept.FILLED)
    note = kept.personal(kept.words())


impact_record = table("impact_record", ImpactRecordColumns)


class RemakeColumns(Recorded):
    """That a job has to be made again, and after which inspection."""

    number = kept.key()
    job_number = kept.number(kept.to("order_pair.job_number"), index=True)
    day = kept.day(index=True)
    reason = kept.personal(kept.words(kept.FILLED))
    cost = kept.cents(kept.NOT_NEGATIVE)
    scrap = kept.one_of(Scrap)
    follows = kept.optional(kept.number(kept.to("inspection.number")))


remake = table("remake", RemakeColumns)


class InspectionOmissionColumns(Recorded):
    """That a job was shipped without a passed inspection, and why."""

    job_number = kept.key(kept.to("order_pair.job_number"))
    reason = kept.personal(kept.words(kept.FILLED))


inspection_omission = table("inspection_omission", InspectionOmissionColumns)
