"""Inspections of jobs, their records on paper, proofs, remakes and omissions; none of them is ever changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.ledger.certificates import Certificate
from shopledger.ledger.inspections import (
    BenchHistory,
    Checked,
    ImpactRecord,
    Inspection,
    LensFigures,
    MakersSheet,
    Omission,
    PairFigures,
    Remake,
)
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Entered
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import EyeMeasurements, PdGiven
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.store.eyes import KeptEye
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import DamagedError, DuplicateError, NumberUnknownError
from shopledger.store.tables import inspections as tables
from shopledger.store.transaction import Area, Where


@dataclass(frozen=True, slots=True)
class KeptReading:
    """The figures of one lens: as ordered, as the maker's sheet has it, or as read."""

    power: KeptEye
    mono_pd: float | None
    fitting_height: float | None
    centre_thickness: float | None
    base_curve: float | None
    marks_seen: bool | None
    near_pd: float | None
    tilt: float | None
    segment_width: float | None

    @classmethod
    def of(cls, lens: LensFigures, *, seen: bool | None = None) -> KeptReading:
        """Give a lens's columns."""
        mono_pd, height = (lens.place.mono_pd, lens.place.fitting_height) if lens.place else (None, None)
        segment = lens.near_pd, lens.tilt, lens.segment_width
        return cls(KeptEye.of(lens.power), mono_pd, height, lens.centre_thickness, lens.base_curve, seen, *segment)

    @property
    def eye(self) -> EyePrescription:
        """The power of the lens."""
        if self.power.eye is None:
            message = "the reading of an inspection has no power"
            raise DamagedError(message)
        return self.power.eye

    @property
    def lens(self) -> LensFigures:
        """The lens in the columns."""
        place = None if self.mono_pd is None else EyeMeasurements(self.mono_pd, None, self.fitting_height)
        segment = self.near_pd, self.tilt, self.segment_width
        return LensFigures(self.eye, place, self.centre_thickness, self.base_curve, *segment)


_ENTERED: Final = {
    table: Fields(Entered, table, {"at": table.c.recorded_at}) for table in (tables.inspection, tables.certificate)
}
_CHECKLIST: Final = {
    Checked.BENCH: tables.inspection.c.bench_right,
    Checked.TEMPLES: tables.inspection.c.temples_right,
    Checked.HINGES: tables.inspection.c.hinges_right,
    Checked.SEATING: tables.inspection.c.seating_right,
}
_ALSO: Final = ("ordered_pd_given", "pd_given", "sheet_name", "sheet_sha256", "passed")

INSPECTION: Final = Record(
    Inspection,
    tables.inspection,
    {"entered": _ENTERED[tables.inspection]},
    parts=("ordered", "read", "verdicts", "off", "marks_seen", "sheet"),
    also=(*_ALSO, *(column.key for column in _CHECKLIST.values())),
)
READING: Final = Record(
    KeptReading,
    tables.inspection_reading,
    {"power": Fields(KeptEye, tables.inspection_reading)},
    also=("inspection_number", "figures", "side"),
)
VERDICT: Final = Record(
    Verdict,
    tables.inspection_verdict,
    # `limit` is a word of SQL's own.
    {"where": tables.inspection_verdict.c.lens, "limit": tables.inspection_verdict.c.allowed},
    also=("inspection_number",),
)
CERTIFICATE: Final = Record(Certificate, tables.certificate, {"entered": _ENTERED[tables.certificate]})
IMPACT: Final = Record(ImpactRecord, tables.impact_record, counter="impact record")
REMAKE: Final = Record(Remake, tables.remake)
OMISSION: Final = Record(Omission, tables.inspection_omission)


class Inspections(Area):
    """What happened to the ledger's jobs at the bench."""

    def add(self, inspection: Inspection) -> Inspection:
        """Post an inspection with its figures and verdicts; gives it back with its number."""
        sheet = inspection.sheet
        posted = self.transaction.post(
            INSPECTION,
            inspection,
            ordered_pd_given=inspection.ordered.pd_given,
            pd_given=inspection.read.pd_given,
            sheet_name=sheet.file_name if sheet else "",
            sheet_sha256=sheet.file_sha256 if sheet else "",
            passed=inspection.passed,
            **{column.key: each not in inspection.off for each, column in _CHECKLIST.items()},
        )
        number = number_of(posted)
        self.transaction.add(tables.inspection_reading, *_reading_rows(number, inspection))
        self.transaction.put(VERDICT, *inspection.verdicts, inspection_number=number)
        return posted

    def get(self, number: int) -> Inspection:
        """Give the inspection with that number."""
        found = self._whole({tables.inspection.c.number: number})
        if not found:
            raise NumberUnknownError("inspection", number)
        return found[0]

    def history(self, job_number: int) -> BenchHistory:
        """Give all that happened to a job at the bench."""
        remake, impact = tables.remake.c, tables.impact_record.c
        return BenchHistory(
            job_number,
            self._whole({tables.inspection.c.job_number: job_number}),
            self.transaction.all(REMAKE, {remake.job_number: job_number}, (remake.number,)),
            self.transaction.all(IMPACT, {impact.job_number: job_number}, (impact.number,)),
            self._omission(job_number),
        )

    def next_certificate_number(self) -> int:
        """Take the next certificate number, for the content that is about to be frozen."""
        return self.transaction.next_number("certificate")

    def add_certificate(self, certificate: Certificate) -> Certificate:
        """Post an issued certificate."""
        self.transaction.put(CERTIFICATE, certificate)
        return certificate

    def certificate(self, number: int) -> Certificate:
        """Give the certificate with that number."""
        return self.transaction.get(CERTIFICATE, number, "inspection record")

    def certificates(self, inspection_number: int) -> tuple[Certificate, ...]:
        """Give the certificates of an inspection, oldest first."""
        certificate = tables.certificate.c
        return self.transaction.all(
            CERTIFICATE, {certificate.inspection_number: inspection_number}, (certificate.number,)
        )

    def add_impact(self, record: ImpactRecord) -> ImpactRecord:
        """Post what stands for a job's impact resistance; gives it back with its number."""
        return self.transaction.post(IMPACT, record)

    def add_remake(self, remake: Remake) -> Remake:
        """Post that a job has to be made again; gives it back with its number."""
        return self.transaction.post(REMAKE, remake)

    def omit(self, omissions: Iterable[Omission]) -> None:
        """Post why jobs were shipped without a passed inspection; each job leaves once."""
        for omission in omissions:
            if self._omission(omission.job_number) is not None:
                raise DuplicateError("omitted inspection", f"job {omission.job_number}")
            self.transaction.put(OMISSION, omission)

    def _omission(self, job_number: int) -> Omission | None:
        return self.transaction.one(OMISSION, {tables.inspection_omission.c.job_number: job_number})

    def _whole(self, where: Where) -> tuple[Inspection, ...]:
        """Give inspections, oldest first, each table asked once for them all."""
        inspection, reading, verdict = tables.inspection.c, tables.inspection_reading.c, tables.inspection_verdict.c
        told = (inspection.number, *(inspection[name] for name in _ALSO), *_CHECKLIST.values())
        heads = list(self.transaction.unfinished(INSPECTION, told, where, (inspection.number,)))
        numbers = [key[0] for key, _ in heads]
        if not numbers:
            return ()
        lenses: dict[int, dict[tuple[str, Side], KeptReading]] = defaultdict(dict)
        told_readings = (reading.inspection_number, reading.figures, reading.side)
        for (number, figures, side), made in self.transaction.unfinished(
            READING, told_readings, {reading.inspection_number: numbers}
        ):
            lenses[number][figures, side] = made()
        owner = verdict.inspection_number
        verdicts = self.transaction.groups(VERDICT, owner, {owner: numbers}, (verdict.position,))
        return tuple(
            whole(
                ordered=_pair(lenses[number], "ordered", ordered_given),
                read=_pair(lenses[number], "read", read_given),
                verdicts=verdicts[number],
                off=tuple(each for each, fine in zip(_CHECKLIST, right, strict=True) if not fine),
                marks_seen=tuple(lenses[number]["read", side].marks_seen for side in Side),
                sheet=_sheet(lenses[number], sheet_name, sheet_sha256) if sheet_name else None,
            )
            for (number, ordered_given, read_given, sheet_name, sheet_sha256, _, *right), whole in heads
        )


def _pair(lenses: Mapping[tuple[str, Side], KeptReading], figures: str, pd_given: PdGiven) -> PairFigures:
    return PairFigures(lenses[figures, Side.RIGHT].lens, lenses[figures, Side.LEFT].lens, pd_given)


def _sheet(lenses: Mapping[tuple[str, Side], KeptReading], name: str, sha256: str) -> MakersSheet:
    sent = Prescription(lenses["compensated", Side.RIGHT].eye, lenses["compensated", Side.LEFT].eye)
    return MakersSheet(sent, name, sha256)


def _reading_rows(number: int, inspection: Inspection) -> Iterator[dict[str, object]]:
    """Give a row for each lens as ordered, as the maker's sheet has it where there is one, and as read."""
    for side, seen in zip(Side, inspection.marks_seen, strict=True):
        kept = {
            "ordered": KeptReading.of(inspection.ordered.eye(side)),
            "read": KeptReading.of(inspection.read.eye(side), seen=seen),
        }
        if inspection.sheet is not None:
            kept["compensated"] = KeptReading.of(LensFigures(inspection.sheet.powers.eye(side)))
        for figures, reading in kept.items():
            yield READING.row(reading, inspection_number=number, figures=figures, side=side)
