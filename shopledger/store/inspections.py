"""Inspections of jobs, their certificates, proofs, remakes and omissions; none of them is ever changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.certificates import Certificate
from shopledger.ledger.inspections import BenchHistory, ImpactProof, ImpactRecord, Inspection, Omission, Remake, Scrap
from shopledger.ledger.orders import Entered
from shopledger.store import inspection_rows
from shopledger.store.refusals import DuplicateError, NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class Inspections:
    """What happened to the ledger's jobs at the bench."""

    transaction: Transaction

    def add(self, inspection: Inspection) -> Inspection:
        """Post an inspection with its figures and verdicts; gives it back with its number."""
        number = self.transaction.next_number("inspection")
        put = self.transaction.add
        put("inspection", {"number": number, **inspection_rows.head_values(inspection), **self.transaction.stamp})
        put("inspection_reading", *inspection_rows.reading_values(number, inspection))
        put("inspection_verdict", *inspection_rows.verdict_values(number, inspection))
        return replace(inspection, number=number)

    def get(self, number: int) -> Inspection:
        """Give the inspection with that number."""
        row = self.transaction.row("inspection", number=number)
        if row is None:
            raise NumberUnknownError("inspection", number)
        return self._whole(row)

    def history(self, job_number: int) -> BenchHistory:
        """Give all that happened to a job at the bench."""
        omitted = self.transaction.row("inspection_omission", job_number=job_number)
        return BenchHistory(
            job_number,
            tuple(self._whole(row) for row in self._of("inspection", job_number)),
            tuple(_remake(row) for row in self._of("remake", job_number)),
            tuple(_impact(row) for row in self._of("impact_record", job_number)),
            Omission(omitted.job_number, omitted.reason) if omitted else None,
        )

    def next_certificate_number(self) -> int:
        """Take the next certificate number, for the content that is about to be frozen."""
        return self.transaction.next_number("certificate")

    def add_certificate(self, certificate: Certificate) -> Certificate:
        """Post an issued certificate."""
        values = {
            "number": certificate.number,
            "inspection_number": certificate.inspection_number,
            "body": certificate.body,
            "sha256": certificate.sha256,
        }
        self.transaction.add("certificate", {**values, **self.transaction.stamp})
        return certificate

    def certificate(self, number: int) -> Certificate:
        """Give the certificate with that number."""
        row = self.transaction.row("certificate", number=number)
        if row is None:
            raise NumberUnknownError("certificate", number)
        return _certificate(row)

    def certificates(self, inspection_number: int) -> tuple[Certificate, ...]:
        """Give the certificates of an inspection, oldest first."""
        rows = self.transaction.rows("certificate", {"inspection_number": inspection_number}, order=("number",))
        return tuple(_certificate(row) for row in rows)

    def add_impact(self, record: ImpactRecord) -> ImpactRecord:
        """Post what stands for a job's impact resistance; gives it back with its number."""
        number = self.transaction.next_number("impact record")
        values = {
            "number": number,
            "job_number": record.job_number,
            "day": day_text(record.day),
            "proof": record.proof.value,
            "reference": record.reference,
            "note": record.note,
        }
        self.transaction.add("impact_record", {**values, **self.transaction.stamp})
        return replace(record, number=number)

    def add_remake(self, remake: Remake) -> Remake:
        """Post that a job has to be made again; gives it back with its number."""
        number = self.transaction.next_number("remake")
        values = {
            "number": number,
            "job_number": remake.job_number,
            "day": day_text(remake.day),
            "reason": remake.reason,
            "cost": remake.cost,
            "scrap": remake.scrap.value,
            "follows": remake.follows,
        }
        self.transaction.add("remake", {**values, **self.transaction.stamp})
        return replace(remake, number=number)

    def omit(self, omissions: Iterable[Omission]) -> None:
        """Post why jobs were shipped without a passed inspection; each job leaves once."""
        for omission in omissions:
            if self.transaction.row("inspection_omission", job_number=omission.job_number) is not None:
                raise DuplicateError("omitted inspection", f"job {omission.job_number}")
            values = {"job_number": omission.job_number, "reason": omission.reason}
            self.transaction.add("inspection_omission", {**values, **self.transaction.stamp})

    def _of(self, name: str, job_number: int) -> Iterable[Row[Any]]:
        return self.transaction.rows(name, {"job_number": job_number}, order=("number",))

    def _whole(self, row: Row[Any]) -> Inspection:
        key = {"inspection_number": row.number}
        readings = self.transaction.rows("inspection_reading", key)
        verdicts = self.transaction.rows("inspection_verdict", key, order=("position",))
        return inspection_rows.inspection_of(row, readings, verdicts)


def _certificate(row: Row[Any]) -> Certificate:
    entered = Entered(row.operator, row.recorded_at)
    return Certificate(row.number, row.inspection_number, row.body, row.sha256, entered)


def _impact(row: Row[Any]) -> ImpactRecord:
    return ImpactRecord(row.job_number, read_day(row.day), ImpactProof(row.proof), row.reference, row.note, row.number)


def _remake(row: Row[Any]) -> Remake:
    return Remake(row.job_number, read_day(row.day), row.reason, row.cost, Scrap(row.scrap), row.follows, row.number)
